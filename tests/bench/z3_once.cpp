// z3_once TASK KIND COLUMNS ROWS SEED: makes the table and asks Z3 for a point that no row covers, as a whole process.
// TASK: integers, bits. Exit status 0 if there is one.
#include "tests/bench/once.h"
#include "tests/bench/peers.h"

int main(int count, char** words) {
  using namespace betony;
  if (count != 6) return 3;
  return bench::peers::z3_uncovered_point(bench::table_of(bench::spec_of(words + 2)).boxes, std::string(words[1]) == "bits") ? 0 : 1;
}
