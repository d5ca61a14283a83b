// viz/terminal/weigh_table.h: `betony weigh` for a table of persons.
//
//   Profiles -> PersonBatches -> RowWeigher, one or several side by side -> the output, in the order of the rows
//
// The thread that calls reads and cuts the table. With several cores others weigh its batches; each writes when it is its turn, so the
// answer is the same with any number of them. Bad rows are told on the error stream, the first ones in words, and counted at the end.
//
// Bounds    memory: the plan, and some batches of person_batches.h for each core, whatever the table is
// Errors    Misuse, where the header of the table cannot be used
// Tested by tests/unit/terminal_weigh_table_test.cpp
#pragma once

#include "viz/terminal/profiles.h"
#include "viz/terminal/terminal.h"
#include "viz/terminal/weigh_rows.h"

namespace betony::terminal {

struct TableSettings {
  RowSettings rows;
  unsigned cores = 1;
};

// Returns   status_good; status_no where rows were bad; status_misuse where the output takes no more, which ends it at once.
int weigh_table(const runtime::Pack& pack, Profiles& table, TableSettings settings, Surroundings& around);

}  // namespace betony::terminal
