// viz/terminal/person_batches.h: a table of persons in batches that follow each other as its rows do.
//
//   PersonBatches batches(pack, settings, [&](Batch batch) { return weigh(batch); });
//   while (batches.feed(piece)) ...
//   batches.finish();
//
// All rows of a batch come before all rows of the next one. Within it the persons of the block and the others are ascending each, and
// are to be merged (for_each_row). A batch holds a block, or what may be held back of the others.
//
// Bounds    a batch: a block, and of the others some most_bytes, whatever the table is
// Tested by tests/unit/terminal_weigh_table_test.cpp
#pragma once

#include <functional>
#include <optional>
#include <variant>
#include <vector>

#include "runtime/persons.h"

namespace betony::terminal {

struct Batch {
  std::optional<runtime::PersonBlock> block;
  std::vector<std::variant<runtime::OpenPerson, runtime::BadRow>> others;
};

// Calls whole(person of the block), open(OpenPerson&) or bad(BadRow&) for each row in order, as long as they give true.
template <class Whole, class Open, class Bad>
bool for_each_row(Batch& batch, const Whole& whole, const Open& open, const Bad& bad) {
  const unsigned persons = batch.block ? batch.block->bits.persons : 0;
  unsigned person = 0;
  const auto wholes_before = [&](std::uint64_t row) {
    for (; person < persons && batch.block->rows[person] < row; ++person)
      if (!whole(person)) return false;
    return true;
  };
  for (auto& other : batch.others) {
    auto* const opened = std::get_if<runtime::OpenPerson>(&other);
    auto* const wrong = std::get_if<runtime::BadRow>(&other);
    if (!wholes_before(opened ? opened->row : wrong->row) || !(opened ? open(*opened) : bad(*wrong))) return false;
  }
  return wholes_before(~std::uint64_t{0});
}

class PersonBatches : private runtime::PersonTaker {
 public:
  static constexpr std::size_t most_bytes = std::size_t{1} << 20;
  static constexpr std::size_t most_told = 20;    // bad rows whose words are kept

  // `take` gives false where no more is wanted. The pack is borrowed.
  PersonBatches(const runtime::Pack& pack, runtime::PersonSettings settings, std::function<bool(Batch)> take);

  bool feed(std::string_view bytes) { return table_.feed(bytes) && wanted_; }
  // Hands on what is left. What ended the table before its time stays in trouble().
  void finish();
  const std::optional<runtime::BadRow>& trouble() const { return table_.trouble(); }

 private:
  void block(runtime::PersonBlock& block) override;
  void open(runtime::OpenPerson& person) override;
  void bad(const runtime::BadRow& row) override;
  void weighs(std::size_t bytes);
  void hand_on();

  std::function<bool(Batch)> take_;
  runtime::PersonTable table_;
  Batch batch_;
  std::size_t bytes_ = 0, bad_ = 0;
  bool wanted_ = true;
};

}  // namespace betony::terminal
