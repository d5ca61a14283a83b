#include "runtime/single_completion.h"

#include <algorithm>

namespace betony::runtime {

SingleWeigher::Completion::Completion(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch)
    : weigher_(weigher), memory_(scratch.completed) {
  const Index inputs = weigher.program_.inputs;
  memory_.states.resize(inputs + std::size_t{1});
  states_ = reinterpret_cast<const std::uint8_t*>(memory_.states.data());
  memory_.states[0] = {0, is_all | is_known};  // by operand: what never is, and what always is
  static constexpr Scratch::State of[4] = {{0, 0}, {is_all | is_known, 0}, {0, is_all | is_known}, {may_be, may_be | is_now}};
  for (Index i = 0; i < inputs; i += 64) {
    std::uint64_t yes = rails.yes[i / 64], no = rails.no[i / 64];
    for (Index k = i; k < std::min(i + 64, inputs); ++k, yes >>= 1, no >>= 1) memory_.states[k + 1] = of[(yes & 1u) + 2 * (no & 1u)];
  }
  memory_.barred.assign(weigher.words(), 0);
  memory_.base.assign(scratch.sure_inputs.begin(), scratch.sure_inputs.end());
  for (const Index v : weigher.wide_) {
    const Variable& variable = weigher.pack_.variables[v];
    for (Index i = variable.first_input; i < variable.first_input + variable.inputs; ++i)
      memory_.states[i + 1].yes |= is_wide, memory_.states[i + 1].no |= is_wide;
    settle(v);
  }
  begin_others(mark());
}

const std::vector<std::uint64_t>& SingleWeigher::Completion::inputs() {
  memory_.inputs.assign(weigher_.words(), 0);
  for (Index i = 0; i < weigher_.program_.inputs; ++i) memory_.inputs[i / 64] |= std::uint64_t{is_yes(i)} << (i % 64);
  return memory_.inputs;
}

const std::vector<Index>& SingleWeigher::Completion::all() {
  memory_.all.clear();
  for (Index i = 0; i < weigher_.program_.inputs; ++i)
    if (is_yes(i)) memory_.all.push_back(i);
  return memory_.all;
}

void SingleWeigher::Completion::begin_others(const Mark& from) {
  const bool is_other = added_ > 0 || turned_ > 0;
  if (is_other) memory_.base = inputs();
  undo(from);
  for (Index i = 0; i < weigher_.program_.inputs && is_other; ++i)
    if (const bool yes = memory_.base[i / 64] >> (i % 64) & 1u; yes != is_yes(i)) turn(i, yes);
  changes_ = added_ = turned_ = 0;
}

void SingleWeigher::Completion::turn(Index input, bool yes) {
  Scratch::State state = memory_.states[input + 1];
  std::uint8_t &so = yes ? state.yes : state.no, &otherwise = yes ? state.no : state.yes;
  so |= is_now, otherwise &= static_cast<std::uint8_t>(~is_now);
  write(input + 1, state);
  if (yes && !(memory_.base[input / 64] >> (input % 64) & 1u))
    add(input);
  else
    ++turned_;
}

bool SingleWeigher::Completion::narrow(Index input, bool yes) {
  Scratch::State state = memory_.states[input + 1];
  std::uint8_t &so = yes ? state.yes : state.no, &otherwise = yes ? state.no : state.yes;
  if (!(so & may_be)) return false;
  if (so & is_kept) return true;
  so |= is_kept, otherwise &= is_now | is_wide;
  write(input + 1, state);
  return true;
}

// And with it whatever of the variable follows from it.
bool SingleWeigher::Completion::keep_wide(Index operand) {
  const Index input = operand / 2 - 1, variable = weigher_.variable_of_[input];
  const Variable& v = weigher_.pack_.variables[variable];
  const Index i = input - v.first_input, behind = static_cast<Index>(v.ends.size());
  const bool yes = !(operand & 1u), words = has_words(v);
  bool can = narrow(input, yes);
  for (Index at = 0; at < v.inputs && can; ++at) {
    if (at == i) continue;
    const Index other = v.first_input + at;
    if (words) can = !yes || narrow(other, false);                                // it is one word only
    else if (i == behind || at == behind) can = !yes || narrow(other, false);     // never, or somewhere
    else if (yes ? at < i : at > i) can = narrow(other, yes);                     // past all ends before it, or past none behind it
  }
  return can && settle(variable);
}

bool SingleWeigher::Completion::is_in_cell(const Variable& v, Index i, Index cell) const {
  const Index behind = static_cast<Index>(v.ends.size());
  return has_words(v) ? cell == i : i == behind ? cell > behind : cell <= behind && cell > i;
}

bool SingleWeigher::Completion::cell_may_be(const Variable& v, Index cell) const {
  const auto may = [&](Index i, bool yes) { return (state(2 * (v.first_input + i) + (yes ? 2 : 3)) & may_be) != 0; };
  const Index behind = static_cast<Index>(v.ends.size());
  if (has_words(v)) return may(cell, true);
  if (cell > behind) return may(behind, true);
  if (v.inputs > behind && !may(behind, false)) return false;
  return (cell == 0 || may(cell - 1, true)) && (cell == behind || may(cell, false));
}

// In its first cell that can be.
bool SingleWeigher::Completion::settle(Index variable) {
  const Variable& v = weigher_.pack_.variables[variable];
  Index cell = 0;
  while (cell < v.cells && !cell_may_be(v, cell)) ++cell;
  if (cell == v.cells) return false;
  for (Index i = 0; i < v.inputs; ++i)
    if (const bool yes = is_in_cell(v, i, cell); is_yes(v.first_input + i) != yes) turn(v.first_input + i, yes);
  return true;
}

}  // namespace betony::runtime
