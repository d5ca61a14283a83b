// Half-known persons.
//
// What is possible is looked up on two rails. Then it is proven: completions are made that are to get each of the codes, the plainest
// first, and whatever they get is witnessed. What is not, is looked for in the decision graph.
#include <algorithm>
#include <bit>
#include <optional>

#include "runtime/single.h"

namespace betony::runtime {
namespace {

constexpr std::size_t no_item = ~std::size_t{0};

bool bit(const std::uint64_t* words, Index at) { return words[at / 64] >> (at % 64) & 1u; }
std::uint8_t code_of(Verdict verdict, bool care) {
  return static_cast<std::uint8_t>(static_cast<unsigned>(verdict) + (care ? DecisionGraph::care : 0));
}
bool may_have_care(Verdict verdict) { return verdict == Verdict::advised || verdict == Verdict::allowed; }

}  // namespace

void SingleWeigher::work_out(const Rails& rails, Scratch& scratch) const {
  for (Index g = 0; g < program_.gates.size(); ++g) {
    const Truth found = gate_truth(g, rails, scratch);
    scratch.half.known[g] = scratch.half.person, scratch.half.truths[g] = found;
  }
}

Truth SingleWeigher::truth_of(Index operand, const Rails& rails, Scratch& scratch) const {
  const Index slot = operand / 2;
  const auto as_asked = [&](Truth t) { return operand & 1u ? opposite(t) : t; };
  if (slot == 0) return as_asked(Truth::no);
  if (slot <= program_.inputs) return as_asked(truth(bit(rails.no, slot - 1), bit(rails.yes, slot - 1)));
  const Index gate = slot - 1 - program_.inputs, shared = shared_[gate];
  if (shared == no_index) return as_asked(gate_truth(gate, rails, scratch));
  Scratch::Memory& memory = scratch.half;
  if (memory.known[shared] != memory.person) {
    const Truth found = gate_truth(gate, rails, scratch);
    memory.known[shared] = memory.person, memory.truths[shared] = found;
  }
  return as_asked(memory.truths[shared]);
}

Truth SingleWeigher::gate_truth(Index index, const Rails& rails, Scratch& scratch) const {
  const OpenedGate& gate = gates_[index];
  const Index *begin = gate_operands_.data() + gate.begin, *end = gate_operands_.data() + gate.end;
  Truth out = gate.kind == Gate::Kind::all ? Truth::yes : Truth::no;
  switch (gate.kind) {
    case Gate::Kind::all:
      for (const Index* o = begin; o < end && out != Truth::no; ++o) out = both(out, truth_of(*o, rails, scratch));
      return out;
    case Gate::Kind::any:
      for (const Index* o = begin; o < end && out != Truth::yes; ++o) out = either(out, truth_of(*o, rails, scratch));
      return out;
    case Gate::Kind::parity:
      for (const Index* o = begin; o < end && out != Truth::open; ++o) {
        const Truth t = truth_of(*o, rails, scratch);
        out = t == Truth::open ? t : t == Truth::yes ? opposite(out) : out;
      }
      return out;
    case Gate::Kind::most:
      break;
  }
  unsigned no = 0, yes = 0;
  for (const Index* o = begin; o < end; ++o) {
    const Truth t = truth_of(*o, rails, scratch);
    no += may_be_no(t), yes += may_be_yes(t);
  }
  return truth(no > 1, yes > 1);
}

// Of what it is watched by is known only that it may be yes.
Truth SingleWeigher::item_truth(std::size_t item, const Rails& rails, Scratch& scratch) const {
  Truth out = Truth::yes;
  const Index *part = parts_.data() + items_[item].begin, *end = parts_.data() + items_[item].end;
  while (part < end && out != Truth::no) {
    const Index count = *part < any_of_these ? 0 : *part - any_of_these;
    Truth one = Truth::no;
    if (count == 0) one = truth_of(*part, rails, scratch);
    for (Index i = 1; i <= count && one != Truth::yes; ++i) one = either(one, truth_of(part[i], rails, scratch));
    out = both(out, one);
    part += 1 + count;
  }
  return out;
}

// Whether any item holds of those from begin to end: what surely holds is among those whose watch surely is yes.
Truth SingleWeigher::any_of(const Area& area, std::size_t begin, std::size_t end, const Rails& rails, Scratch& scratch) const {
  bool may = false;
  for (std::size_t w = begin / 64; w * 64 < end; ++w) {
    std::uint64_t within = ~std::uint64_t{0};
    if (w == begin / 64) within <<= begin % 64;
    if (end - w * 64 < 64) within &= (std::uint64_t{1} << (end - w * 64)) - 1;
    const std::uint64_t surely = scratch.surely[area.first + w] & within, plain = plain_[area.first + w];
    if ((surely & plain) != 0) return Truth::yes;
    may = may || (scratch.may[area.first + w] & within & plain) != 0;
    for (std::uint64_t left = surely; left != 0; left &= left - 1) {
      const Truth t = item_truth((area.first + w) * 64 + static_cast<std::size_t>(std::countr_zero(left)), rails, scratch);
      if (t == Truth::yes) return t;
      may = may || t == Truth::open;
    }
    for (std::uint64_t left = scratch.may[area.first + w] & within & ~surely; left != 0 && !may; left &= left - 1)
      may = item_truth((area.first + w) * 64 + static_cast<std::size_t>(std::countr_zero(left)), rails, scratch) != Truth::no;
  }
  return may ? Truth::open : Truth::no;
}

bool SingleWeigher::cell_is_possible(Index variable, Index cell, const Rails& rails) const {
  const Variable& v = pack_.variables[variable];
  const auto yes = [&](Index input) { return bit(rails.yes, v.first_input + input); };
  const auto no = [&](Index input) { return bit(rails.no, v.first_input + input); };
  if (!v.is_measure && pack_.findings[v.index].has_words()) return v.inputs == 1 ? (cell == 1 ? yes(0) : no(0)) : yes(cell);
  const Index behind = static_cast<Index>(v.ends.size());
  if (cell > behind) return yes(behind);
  if (v.inputs > behind && !no(behind)) return false;  // it is never
  return (cell == 0 || yes(cell - 1)) && (cell == behind || no(cell));
}

// The codes that can be reached in a graph, until they are all that is wanted; not_exact where a question binds several variables.
std::uint32_t SingleWeigher::reached(const DecisionGraph& graph, std::uint32_t wanted, const Rails& rails, Scratch& scratch) const {
  if (++scratch.walk == 0) std::fill(scratch.seen.begin(), scratch.seen.end(), 0), scratch.walk = 1;
  if (scratch.seen.size() < graph.nodes.size()) scratch.seen.resize(graph.nodes.size());
  std::uint32_t out = graph.exact ? 0 : not_exact;
  scratch.rest.clear();
  const auto go = [&](Index to) {
    if (to >= DecisionGraph::leaf)
      out |= to == DecisionGraph::leaf + DecisionGraph::nobody ? 0 : std::uint32_t{1} << (to - DecisionGraph::leaf);
    else if (scratch.seen[to] != scratch.walk)
      scratch.seen[to] = scratch.walk, scratch.rest.push_back(to);
  };
  for (go(graph.root); !scratch.rest.empty() && (out & wanted) != wanted;) {
    const DecisionGraph::Node& node = graph.nodes[scratch.rest.back()];
    scratch.rest.pop_back();
    const DecisionGraph::Question& question = graph.questions[node.question];
    if (question.parts.size() > 1) return wanted | not_exact;
    Index cell = 0;
    for (const DecisionGraph::Way& way : node.ways) {
      bool any = false;
      for (; cell <= way.last; ++cell)
        for (Index c = question.first[cell]; c <= question.last[cell] && !any; ++c) any = cell_is_possible(question.parts[0], c, rails);
      if (any) go(way.to);
    }
  }
  return out;
}

std::uint32_t SingleWeigher::on_two_rails(const Practice& practice, Truth applies, Truth refers, const Rails& rails, Scratch& scratch) const {
  std::uint32_t set = 0;
  std::optional<Truth> care;
  const auto add = [&](Verdict verdict, bool always_care) {
    if (!may_have_care(verdict)) {
      set |= std::uint32_t{1} << code_of(verdict, false);
      return;
    }
    if (!care) care = any_of(practice.care, 0, std::size_t{practice.care.count} * 64, rails, scratch);
    if (may_be_no(*care) && !always_care) set |= std::uint32_t{1} << code_of(verdict, false);
    if (may_be_yes(*care) || always_care) set |= std::uint32_t{1} << code_of(verdict, true);
  };
  bool on = true;  // somebody comes further down the ladder
  const auto rung = [&](Verdict verdict, Truth is_so) {
    if (may_be_yes(is_so)) add(verdict, false);
    on = may_be_no(is_so);
  };
  rung(Verdict::outside, opposite(applies));
  if (on) rung(Verdict::referred, refers);
  for (unsigned r = 0; r < 4 && on; ++r)
    rung(static_cast<Verdict>(static_cast<unsigned>(Verdict::withheld) + r),
         any_of(practice.ways, r == 0 ? 0 : practice.ends[r - 1], practice.ends[r], rails, scratch));
  if (on) add(static_cast<Verdict>(practice.otherwise % DecisionGraph::care), practice.otherwise >= DecisionGraph::care);
  return set;
}

void SingleWeigher::possible(const std::uint64_t* yes, const std::uint64_t* no, Scratch& scratch, std::uint32_t* sets) const {
  const Rails rails{yes, no};
  scratch.may.assign(rows_.end() - static_cast<std::ptrdiff_t>(width_), rows_.end());
  scratch.surely = scratch.may;
  if (is_watched_) or_rows_(rows_.data(), width_, yes, words(), scratch.may.data());
  for (std::size_t w = 0; w < words() && is_watched_; ++w) {
    const std::uint64_t surely = yes[w] & ~no[w];
    or_rows_(rows_.data() + w * 64 * width_, width_, &surely, 1, scratch.surely.data());
  }
  next_person(scratch.half);
  if (is_deep_) work_out(rails, scratch);
  const Truth applies = truth_of(applies_, rails, scratch);
  const Truth refers = any_of(flags_, 0, std::size_t{flags_.count} * 64, rails, scratch);
  std::optional<bool> completed;
  for (std::size_t p = 0; p < practices_.size(); ++p) {
    const Practice& practice = practices_[p];
    std::uint32_t set = on_two_rails(practice, applies, refers, rails, scratch);
    if ((set & (set - 1)) != 0) {
      if (!completed) completed = begin_completions(rails, scratch);
      std::uint32_t there = *completed ? witnessed(practice, set, rails, scratch) : 0;
      if (there != set) there |= practice.graph ? reached(*practice.graph, set, rails, scratch) : set | not_exact;
      // Where nobody is so at all the set stays as it was.
      if ((there & set) != 0) set = (set & there) | (there & not_exact);
    }
    const std::uint32_t codes = set & ~not_exact;
    sets[p] = (codes & (codes - 1)) == 0 ? codes : set;
  }
}

// ---------------------------------------------------------------- completions

// The plainest: of what is open everything no, or in its first cell. False where there can be none: a measure is open.
bool SingleWeigher::begin_completions(const Rails& rails, Scratch& scratch) const {
  if (is_deep_) return false;
  Scratch::Completion& base = scratch.base;
  base.inputs.resize(words());
  for (std::size_t w = 0; w < words(); ++w) {
    if ((rails.yes[w] & rails.no[w] & measured_[w]) != 0) return false;
    base.inputs[w] = rails.yes[w] & ~rails.no[w];
  }
  for (const Index v : wide_) {
    Index cell = 0;
    while (cell < pack_.variables[v].cells && !cell_is_possible(v, cell, rails)) ++cell;
    if (cell == pack_.variables[v].cells) return false;
    assign(v, cell, base);
  }
  base.rows.assign(rows_.end() - static_cast<std::ptrdiff_t>(width_), rows_.end());
  if (is_watched_) or_rows_(rows_.data(), width_, base.inputs.data(), words(), base.rows.data());
  return true;
}

void SingleWeigher::assign(Index variable, Index cell, Scratch::Completion& completion) const {
  const Variable& v = pack_.variables[variable];
  const bool words = !v.is_measure && pack_.findings[v.index].has_words();
  const Index behind = static_cast<Index>(v.ends.size());
  for (Index i = 0; i < v.inputs; ++i) {
    const bool yes = words ? (v.inputs == 1 ? cell == 1 : cell == i) : i == behind ? cell > behind : cell <= behind && cell > i;
    const Index input = v.first_input + i;
    if (bit(completion.inputs.data(), input) == yes) continue;
    completion.inputs[input / 64] ^= std::uint64_t{1} << (input % 64);
    if (yes)
      completion.added.push_back(input);
    else
      completion.is_added_to = false;
  }
}

// A cell in which the input is as wanted, the nearest to its beginning.
bool SingleWeigher::set(Index input, bool yes, const Rails& rails, Scratch::Completion& completion) const {
  if (bit(completion.inputs.data(), input) == yes) return true;
  if (!bit(yes ? rails.yes : rails.no, input)) return false;
  const Index variable = variable_of_[input];
  const Variable& v = pack_.variables[variable];
  const Index i = input - v.first_input, behind = static_cast<Index>(v.ends.size());
  const bool words = !v.is_measure && pack_.findings[v.index].has_words();
  const auto is_so = [&](Index cell) {
    const bool here = words ? (v.inputs == 1 ? cell == 1 : cell == i) : i == behind ? cell > behind : cell <= behind && cell > i;
    return here == yes && cell_is_possible(variable, cell, rails);
  };
  for (Index cell = yes && !words ? i : 0; cell < v.cells; ++cell)
    if (is_so(cell)) {
      assign(variable, cell, completion);
      return true;
    }
  return false;
}

// Makes the operand yes in the trial, as far as one choice after another can.
bool SingleWeigher::satisfy(Index operand, const Rails& rails, Scratch& scratch) const {
  const Index slot = operand / 2, turned = operand & 1u;
  if (slot == 0) return turned;
  if (slot <= program_.inputs) return set(slot - 1, !turned, rails, scratch.trial);
  const Gate& gate = program_.gates[slot - 1 - program_.inputs];
  if (gate.kind == Gate::Kind::parity || gate.kind == Gate::Kind::most) return true;
  const bool each = (gate.kind == Gate::Kind::all) != (turned == 1);
  for (const Index o : gate.operands) {
    if (each && !satisfy(o ^ turned, rails, scratch)) return false;
    if (!each && may_be_yes(truth_of(o ^ turned, rails, scratch))) return satisfy(o ^ turned, rails, scratch);
  }
  return each;
}

bool SingleWeigher::satisfy_item(std::size_t item, const Rails& rails, Scratch& scratch) const {
  if (!satisfy(items_[item].watch, rails, scratch)) return false;
  const Index *part = parts_.data() + items_[item].begin, *end = parts_.data() + items_[item].end;
  while (part < end) {
    const Index count = *part < any_of_these ? 0 : *part - any_of_these;
    const Index* chosen = part;
    while (chosen < part + count && (chosen == part || !may_be_yes(truth_of(*chosen, rails, scratch)))) ++chosen;
    if (!satisfy(*chosen, rails, scratch)) return false;
    part += 1 + count;
  }
  return true;
}

// What the practice tells the completion on trial; nothing where nobody is so.
std::uint32_t SingleWeigher::told_in_trial(const Practice& practice, Scratch& scratch) const {
  Scratch::Completion& trial = scratch.trial;
  const std::uint64_t* inputs = trial.inputs.data();
  next_person(scratch.whole);
  if (!holds(pack_.background, inputs, scratch)) return 0;
  if (!holds(applies_, inputs, scratch)) return std::uint32_t{1} << static_cast<unsigned>(Verdict::outside);
  if (is_watched_ && trial.is_added_to) {
    trial.rows.resize(width_);
    for (const Area& area : {flags_, practice.ways, practice.care})
      for (std::uint32_t w = area.first; w < area.first + area.count; ++w) {
        trial.rows[w] = scratch.base.rows[w];
        for (const Index input : trial.added) trial.rows[w] |= rows_[input * width_ + w];
      }
  } else {
    trial.rows.assign(rows_.end() - static_cast<std::ptrdiff_t>(width_), rows_.end());
    if (is_watched_) or_rows_(rows_.data(), width_, inputs, words(), trial.rows.data());
  }
  if (first_that_holds(flags_, trial.rows.data(), inputs, scratch) != no_item) return std::uint32_t{1} << static_cast<unsigned>(Verdict::referred);
  return std::uint32_t{1} << code_of_practice(practice, trial.rows.data(), inputs, scratch);
}

// Those of the set that some completion gets.
std::uint32_t SingleWeigher::witnessed(const Practice& practice, std::uint32_t set, const Rails& rails, Scratch& scratch) const {
  scratch.begin_trial();
  std::uint32_t out = told_in_trial(practice, scratch);
  for (std::uint32_t left = set & ~out; left != 0; left &= left - 1) {
    const auto code = static_cast<unsigned>(std::countr_zero(left));
    if ((out >> code & 1u) == 0) out |= tried(practice, code, rails, scratch);
  }
  return out & set;
}

// Whatever comes of some tries to get the code.
std::uint32_t SingleWeigher::tried(const Practice& practice, unsigned code, const Rails& rails, Scratch& scratch) const {
  constexpr unsigned most_tries = 6;
  const unsigned verdict = code % DecisionGraph::care;
  std::uint32_t out = 0;
  unsigned tries = 0;
  // Each item from `from` to `to` that may hold, until one gets the code.
  const auto each = [&](const Area& area, std::size_t from, std::size_t to, const auto& use) {
    for (std::size_t w = from / 64; w * 64 < to; ++w)
      for (std::uint64_t left = scratch.may[area.first + w]; left != 0; left &= left - 1) {
        const std::size_t at = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
        if (at >= to || tries >= most_tries || (out >> code & 1u)) return;
        if (at >= from && item_truth(std::size_t{area.first} * 64 + at, rails, scratch) != Truth::no) use(std::size_t{area.first} * 64 + at);
      }
  };
  const auto with_care = [&](const auto& rest) {
    if (code < DecisionGraph::care || practice.otherwise == code) return rest(no_item);
    each(practice.care, 0, std::size_t{practice.care.count} * 64, rest);
  };
  const auto try_items = [&](std::size_t way) {
    with_care([&](std::size_t care) {
      ++tries;
      scratch.begin_trial();
      const bool made = (way == no_item || satisfy_item(way, rails, scratch)) && (care == no_item || satisfy_item(care, rails, scratch));
      if (made) out |= told_in_trial(practice, scratch);
    });
  };
  if (verdict == static_cast<unsigned>(Verdict::outside)) {
    scratch.begin_trial();
    if (satisfy(applies_ ^ 1u, rails, scratch)) out |= told_in_trial(practice, scratch);
  } else if (verdict == static_cast<unsigned>(Verdict::referred)) {
    each(flags_, 0, std::size_t{flags_.count} * 64, try_items);
  } else if (verdict <= static_cast<unsigned>(Verdict::allowed)) {
    const unsigned rung = verdict - static_cast<unsigned>(Verdict::withheld);
    each(practice.ways, rung == 0 ? 0 : practice.ends[rung - 1], practice.ends[rung], try_items);
  }
  if ((out >> code & 1u) == 0 && verdict == practice.otherwise % DecisionGraph::care) {
    tries = 0;
    try_items(no_item);
  }
  return out;
}

}  // namespace betony::runtime
