// boxes_once TASK KIND COLUMNS ROWS SEED: makes the table and answers one question, as a whole process.
// TASK: generate (and nothing else), witness, boxes, overlaps-and-share. Exit status 0 if it was answered. Prints its peak of memory in KiB.
#include <cstdio>
#include <fstream>

#include "compiler/cover.h"
#include "tests/bench/once.h"

namespace {

void print_peak() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);)
    if (line.starts_with("VmHWM:")) std::printf("%ld\n", std::atol(line.c_str() + 6));
}

int run(int count, char** words) {
  using namespace betony;
  if (count != 6) return 3;
  const std::string task = words[1];
  const bench::Spec spec = bench::spec_of(words + 2);
  bench::Table table = bench::table_of(spec);
  table.rows = {};  // what only its making needed
  table.outcomes = {};
  if (task == "generate") return table.boxes.row_count() == spec.rows ? 0 : 1;
  if (task == "witness") return Cover(table.boxes).uncovered_point().witness ? 0 : 1;
  Spending spending{400'000'000'000};
  if (task == "boxes") return uncovered_boxes(table.boxes, 10'000'000, spending).complete ? 0 : 1;
  if (task != "overlaps-and-share") return 3;
  const Weights weights(table.weights);
  table.weights = {};
  const auto met = meetings(table.boxes, spending);
  return overlaps(table.boxes, met, Between::all_rows, 10'000, spending).complete && uncovered_share(table.boxes, weights, met, spending).exact ? 0
                                                                                                                                                : 1;
}

}  // namespace

int main(int count, char** words) {
  const int status = run(count, words);
  print_peak();
  return status;
}
