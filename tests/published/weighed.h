// tests/published/weighed.h: a published table, shipped as a pack, read again, and held against the print, row for row, from CSV.
//
//   const Held held = hold(Table("work_rest.bty"), {{"temperature", degrees}, {"load", {"light", "moderate", "heavy"}}}, printed);
//   CHECK(held.counts.at("work: discouraged") == 14);
//
// The columns' values are put together to every person there can be; `printed` says of each, from the figures typed in the
// test, what is published. Then four things are asked of the pack:
//
//   whole persons  a CSV table of all of them, read in pieces by PersonTable, weighed in blocks by BlockWeigher, on the widest and on
//                  the plainest path: the verdicts. What fits of choices, from the bits of the same blocks. None may come out open or bad
//   reasons too    the same cells by weigh.h: the same verdicts, what fits, and the dose
//   open ones      for each column a table in which its cells are empty, by weigh.h: the verdicts that are possible are those that are
//                  published of the persons who differ in this column alone; no value of a choice fits surely that does not fit all of
//                  them, and each that fits one of them is possible. So the values of a column must reach everything that is printed. What
//                  the pack does not tell to be exact (runtime/weigh.h) may hold more verdicts than those; it is counted
//   the program    `betony weigh PACK TABLE.csv` says the same
//
// Every finding of the ruleset has a column, with a unit in brackets if the cells are in another one than its own.
#pragma once

#include <functional>

#include "tests/published/table.h"

namespace betony::published {

struct Column {
  std::string name;
  std::vector<std::string> values;
};

// What is published of a person, by the names of practices and choices. All of them; of doses those there are.
struct Published {
  std::map<std::string, std::string> verdicts;   // "allowed", "allowed with care"
  std::map<std::string, std::string> fits;       // "stage 1, stage 2", "nothing"
  std::map<std::string, std::string> doses;      // "45 min, once every 1 h"
};
using Print = std::function<Published(const Person&)>;

struct Held {
  std::size_t whole = 0, open = 0;               // so many persons were weighed
  std::size_t not_exact = 0;                     // practices of open persons of whom that is told
  std::map<std::string, std::size_t> counts;     // of whole ones, as the pack says it: "work: allowed", "class: stage 1, stage 2"
};

struct Holding {
  std::string school = {};                       // the reading; empty: the whole
  std::function<bool(const Person&)> possible = {};  // whom the background allows; empty: everybody
};

// Fails the test with the first persons of whom something else is told.
Held hold(const Table& table, const std::vector<Column>& columns, const Print& print, const Holding& holding = {});

// Whole numbers from first to last, as they are written.
std::vector<std::string> whole_numbers(int first, int last);

}  // namespace betony::published
