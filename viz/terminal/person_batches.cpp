#include "viz/terminal/person_batches.h"

namespace betony::terminal {

using namespace runtime;

PersonBatches::PersonBatches(const Pack& pack, PersonSettings settings, std::function<bool(Batch)> take)
    : take_(std::move(take)), table_(pack, std::move(settings), *this) {}

void PersonBatches::finish() {
  table_.finish();
  hand_on();
}

void PersonBatches::block(PersonBlock& block) {
  batch_.block = std::move(block);
  hand_on();
}

// Twice an answer: a number may own as much again.
void PersonBatches::open(OpenPerson& person) {
  const std::size_t bytes = sizeof person + 2 * sizeof(Answers::value_type) * person.answers.size() + person.kept.bytes.size() +
                            sizeof(std::size_t) * person.kept.ends.size();
  batch_.others.emplace_back(std::move(person));
  weighs(bytes);
}

// Only the first are told in words; of later ones it is enough that they were bad.
void PersonBatches::bad(const BadRow& row) {
  if (++bad_ <= most_told) batch_.others.emplace_back(row);
  else batch_.others.emplace_back(BadRow{row.row, {}, {}});
  weighs(sizeof(BadRow) + row.column.size() + row.wrong.size());
}

void PersonBatches::weighs(std::size_t bytes) {
  bytes_ += bytes;
  if (bytes_ < most_bytes) return;
  table_.hand_out();
  hand_on();
}

void PersonBatches::hand_on() {
  if (wanted_ && (batch_.block || !batch_.others.empty())) wanted_ = take_(std::move(batch_));
  batch_ = {};
  bytes_ = 0;
}

}  // namespace betony::terminal
