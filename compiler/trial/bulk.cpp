#include "compiler/trial/bulk.h"

#include <algorithm>

namespace betony::trial {

using runtime::block_words;

namespace {

constexpr std::size_t planes_each = 4, plane_of_care = 3;

// Something watched, as a practice of its own that everybody is advised, those with care for whom it holds: so it is a plane.
runtime::Reading::Ways watched(ship::Operand operand) {
  runtime::Reading::Ways ways;
  ways.advised = ship::yes_operand;
  ways.care = operand;
  return ways;
}

}  // namespace

Bulk::Bulk(const Ruleset& ruleset)
    : ruleset_(ruleset), universe_(cut(ruleset, Scoping(ruleset).everything().scope(), BoundFindings::none(ruleset))), meaning_(ruleset, universe_),
      variables_(ship::variables_in_pack(ruleset, universe_, program_)), gates_(meaning_.conditions(), universe_, variables_, program_) {}

Index Bulk::watch(Form form) {
  watches_.push_back(gates_.of(form));
  return static_cast<Index>(watches_.size() - 1);
}

std::unique_ptr<runtime::BlockWeigher> Bulk::weigher_of(std::vector<runtime::Reading::Ways> ways, ship::Operand applies, ship::Operand refers) const {
  runtime::Pack pack;
  pack.program = program_;
  runtime::Reading& reading = pack.readings.emplace_back();
  reading.applies = applies, reading.refers = refers;
  reading.practices = std::move(ways);
  pack.practices.resize(reading.practices.size());
  return std::make_unique<runtime::BlockWeigher>(pack);
}

void Bulk::finish() {
  std::vector<runtime::Reading::Ways> ways, watches;
  for (Index p = 0; p < ruleset_.practices.size(); ++p) ways.push_back(ship::ways_of(ruleset_, meaning_, gates_, p, {}));
  for (ship::Operand operand : watches_) watches.push_back(watched(operand));
  const ship::Operand applies = gates_.of(meaning_.applies()), refers = gates_.of(meaning_.refers({})), background = gates_.of(meaning_.background());
  verdicts_ = weigher_of(std::move(ways), applies, refers);
  watcher_ = weigher_of(std::move(watches), ship::yes_operand, ship::no_operand);
  background_ = weigher_of({watched(background)}, ship::yes_operand, ship::no_operand);
  background_support_ = meaning_.conditions()[meaning_.background()].support;
  find_asked();
}

void Bulk::find_asked() {
  std::vector<bool> inputs(1 + program_.inputs);
  const auto ask = [&](ship::Operand operand) {
    if (operand / 2 < inputs.size()) inputs[operand / 2] = true;
  };
  for (const runtime::Gate& gate : program_.gates)
    for (ship::Operand operand : gate.operands) ask(operand);
  for (ship::Operand operand : watches_) ask(operand);
  ask(gates_.of(meaning_.applies())), ask(gates_.of(meaning_.refers({}))), ask(gates_.of(meaning_.background()));
  for (Index p = 0; p < ruleset_.practices.size(); ++p) {
    const auto ways = ship::ways_of(ruleset_, meaning_, gates_, p, {});
    for (ship::Operand operand : {ways.withheld, ways.discouraged, ways.advised, ways.allowed, ways.care}) ask(operand);
  }
  for (const runtime::Variable& v : variables_)
    asked_.push_back(std::any_of(inputs.begin() + 1 + v.first_input, inputs.begin() + 1 + v.first_input + v.inputs, [](bool b) { return b; }));
}

void Bulk::codes(const runtime::Block& block, Scratch& scratch) const {
  scratch.codes.resize(verdicts_->practices() * runtime::block_persons);
  verdicts_->weigh(block, scratch.scratch_, scratch.codes.data());
}

void Bulk::weigh(const runtime::Block& block, Scratch& scratch) const {
  codes(block, scratch);
  scratch.planes_.resize(watches_.size() * planes_each * block_words);
  scratch.watched_.resize(watches_.size() * block_words);
  watcher_->weigh_planes(block, scratch.scratch_, scratch.planes_.data());
  for (std::size_t w = 0; w < watches_.size(); ++w)
    std::copy_n(&scratch.planes_[(w * planes_each + plane_of_care) * block_words], block_words, &scratch.watched_[w * block_words]);
}

void Bulk::possible(const runtime::Block& block, Scratch& scratch, std::uint64_t* words) const {
  std::uint64_t planes[planes_each * block_words];
  background_->weigh_planes(block, scratch.scratch_, planes);
  std::copy_n(planes + plane_of_care * block_words, block_words, words);
}

}  // namespace betony::trial
