// grammar/table_rows.h: the rows of a table as sentences. Inside table*.cpp only.
#pragma once

#include <string>
#include <vector>

#include "grammar/table_columns.h"

namespace betony::tables {

// Adds to `text` what the columns declare and what the rows say:
//
//   Finding … is ….                      the columns that declare a finding
//   Practice ….                          the columns of a practice; under it, rows that ask for nothing or say otherwise
//   In …: … is …; … is ….  -- row 7      a row's verdicts
//   Choice … is ….                       the columns of a choice, each with its rows
//     Take … in ….  -- row 7
//   Practice ….                          the columns of a dose, each with its rows
//     Dose … in ….  -- row 7
//
// At most `most` sentences and one more; where they have more than `most_bytes` it is told, and what follows left out.
// Cost O(size of the table + size of what is added).
void write_rows(Reading& reading, const std::vector<Column>& columns, std::size_t most, std::size_t most_bytes, std::string& text);

}  // namespace betony::tables
