// Half-known persons.
//
// What is possible is looked up on two rails. Then it is proven: completions are made that are to get each of the codes, the plainest
// first, and whatever they get is witnessed. Where no sentence asks for anything not to be so, the plainest completion in which an item
// holds has the fewest others hold; so where each of these gets something graver, nobody gets the code. What is left is looked for in
// the decision graph.
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
    case Gate::Kind::most: break;
  }
  unsigned no = 0, yes = 0;
  for (const Index* o = begin; o < end; ++o) {
    const Truth t = truth_of(*o, rails, scratch);
    no += may_be_no(t), yes += may_be_yes(t);
  }
  return truth(no > 1, yes > 1);
}

// Of what an item asks for besides its clauses.
Truth SingleWeigher::rest_truth(std::size_t item, const Rails& rails, Scratch& scratch) const {
  Truth out = Truth::yes;
  const Index *part = parts_.data() + items_[item].rest, *end = parts_.data() + items_[item].end;
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

// Whether any item holds of those from begin to end.
Truth SingleWeigher::any_of(const Area& area, std::size_t begin, std::size_t end, const Rails& rails, Scratch& scratch) const {
  bool may = false;
  for (std::size_t w = begin / 64; w * 64 < end; ++w) {
    std::uint64_t within = ~std::uint64_t{0};
    if (w == begin / 64) within <<= begin % 64;
    if (end - w * 64 < 64) within &= (std::uint64_t{1} << (end - w * 64)) - 1;
    const std::uint64_t surely = scratch.surely[area.first + w] & within, exact = exact_[area.first + w];
    if ((surely & exact) != 0) return Truth::yes;
    may = may || (scratch.may[area.first + w] & within & exact) != 0;
    for (std::uint64_t left = surely; left != 0; left &= left - 1) {
      const Truth t = rest_truth((area.first + w) * 64 + static_cast<std::size_t>(std::countr_zero(left)), rails, scratch);
      if (t == Truth::yes) return t;
      may = may || t == Truth::open;
    }
    for (std::uint64_t left = scratch.may[area.first + w] & within & ~surely; left != 0 && !may; left &= left - 1)
      may = rest_truth((area.first + w) * 64 + static_cast<std::size_t>(std::countr_zero(left)), rails, scratch) != Truth::no;
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
    if (!care) care = any_of(practice.items, practice.ends[3], practice.ends[4], rails, scratch);
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
         any_of(practice.items, r == 0 ? 0 : practice.ends[r - 1], practice.ends[r], rails, scratch));
  if (on) add(static_cast<Verdict>(practice.otherwise % DecisionGraph::care), practice.otherwise >= DecisionGraph::care);
  return set;
}

void SingleWeigher::possible(const std::uint64_t* yes, const std::uint64_t* no, Scratch& scratch, std::uint32_t* sets) const {
  const Rails rails{yes, no};
  or_rows(yes, scratch.rows);
  scratch.sure_inputs.resize(words());
  for (std::size_t w = 0; w < words(); ++w) scratch.sure_inputs[w] = yes[w] & ~no[w];
  or_rows(scratch.sure_inputs.data(), scratch.sure_rows);
  items_of(scratch.rows, scratch.sure_rows, scratch.may);
  items_of(scratch.sure_rows, scratch.rows, scratch.surely);
  next_person(scratch.half);
  if (is_deep_) work_out(rails, scratch);
  const Truth applies = truth_of(applies_, rails, scratch);
  const Truth refers = any_of(flags_, 0, std::size_t{flags_.count} * 64, rails, scratch);
  std::optional<bool> completed;
  for (std::size_t p = 0; p < practices_.size(); ++p) {
    const Practice& practice = practices_[p];
    std::uint32_t set = on_two_rails(practice, applies, refers, rails, scratch);
    if ((set & (set - 1)) != 0) {
      if (!completed) completed = begin_completions(rails, scratch), scratch.everybody.reset();
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

// The plainest: of what is open everything no, or in its first cell. False where there may be none: a measure is open, or it is known
// from what cannot be, and then not everybody has it who is as the rest is chosen.
bool SingleWeigher::begin_completions(const Rails& rails, Scratch& scratch) const {
  if (is_deep_) return false;
  Scratch::Completion& base = scratch.base;
  base.inputs.resize(words());
  for (std::size_t w = 0; w < words(); ++w) {
    if ((rails.yes[w] & rails.no[w] & measured_[w]) != 0) return false;
    base.inputs[w] = rails.yes[w] & ~rails.no[w];
  }
  if (pack_.background != 1) {
    if (behind_measures_.hidden) return false;
    for (const Index v : behind_measures_.variables) {
      Index possible = 0;
      for (Index cell = 0; cell < pack_.variables[v].cells; ++cell) possible += cell_is_possible(v, cell, rails);
      if (possible != 1) return false;
    }
  }
  scratch.is_plain = pack_.background == 1 && applies_ / 2 <= program_.inputs;
  for (const Index v : wide_) {
    Index cell = 0;
    while (cell < pack_.variables[v].cells && !cell_is_possible(v, cell, rails)) ++cell;
    if (cell == pack_.variables[v].cells) return false;
    assign(v, cell, base);
    for (Index other = cell + 1; other < pack_.variables[v].cells && scratch.is_plain; ++other) scratch.is_plain = !cell_is_possible(v, other, rails);
  }
  // Such as the teaching is meant for, where they can be.
  scratch.begin_trial();
  if (satisfy(pack_.background, rails, scratch) && satisfy(applies_, rails, scratch)) base.inputs = scratch.trial.inputs;
  or_rows(base.inputs.data(), base.rows);
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

// A cell in which the input is as wanted, the nearest to its beginning; it stays so from then on.
bool SingleWeigher::set(Index input, bool yes, const Rails& rails, Scratch::Completion& completion) const {
  const bool is_held = bit(completion.held.data(), input), is_so = bit(completion.inputs.data(), input) == yes;
  completion.held[input / 64] |= std::uint64_t{1} << (input % 64);
  if (is_so) return true;
  if (is_held || !bit(yes ? rails.yes : rails.no, input)) return false;
  if (bit(yes_no_.data(), input)) {
    completion.inputs[input / 64] ^= std::uint64_t{1} << (input % 64);
    if (yes) completion.added.push_back(input);
    completion.is_added_to = completion.is_added_to && yes;
    return true;
  }
  const Index variable = variable_of_[input];
  const Variable& v = pack_.variables[variable];
  const Index i = input - v.first_input, behind = static_cast<Index>(v.ends.size());
  const bool words = !v.is_measure && pack_.findings[v.index].has_words();
  const auto fits = [&](Index cell) {
    const bool here = words ? (v.inputs == 1 ? cell == 1 : cell == i) : i == behind ? cell > behind : cell <= behind && cell > i;
    return here == yes && cell_is_possible(variable, cell, rails);
  };
  for (Index cell = yes && !words ? i : 0; cell < v.cells; ++cell)
    if (fits(cell)) {
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
  if (each) return std::all_of(gate.operands.begin(), gate.operands.end(), [&](Index o) { return satisfy(o ^ turned, rails, scratch); });
  for (const Index o : gate.operands)  // what is so already
    if (o / 2 - 1 < program_.inputs && bit(scratch.trial.inputs.data(), o / 2 - 1) != ((o ^ turned) & 1u)) return satisfy(o ^ turned, rails, scratch);
  return std::any_of(gate.operands.begin(), gate.operands.end(),
                     [&](Index o) { return may_be_yes(truth_of(o ^ turned, rails, scratch)) && satisfy(o ^ turned, rails, scratch); });
}

bool SingleWeigher::satisfy(const Choice& choice, const Rails& rails, Scratch& scratch) const {
  const Index *part = parts_.data() + items_[choice.item].begin, *end = parts_.data() + items_[choice.item].end;
  for (bool is_first = true; part < end;) {
    const Index count = *part < any_of_these ? 0 : *part - any_of_these;
    Index chosen = *part;
    if (count > 0 && is_first) {
      chosen = choice.input, is_first = false;
    } else if (count > 0) {
      const Index* one = part + 1;
      while (one < part + count && !may_be_yes(truth_of(*one, rails, scratch))) ++one;
      chosen = *one;
    }
    if (!satisfy(chosen, rails, scratch)) return false;
    part += 1 + count;
  }
  return true;
}

// The ways to have an item from begin to end of an area hold, one after another, but for those that need an input that spoils it.
class SingleWeigher::Choices {
 public:
  Choices(const SingleWeigher& weigher, const Area& area, std::size_t begin, std::size_t end, const std::uint64_t* spoils, const Rails& rails,
          Scratch& scratch)
      : weigher_(weigher), rails_(rails), scratch_(scratch), spoils_(spoils), first_(area.first * std::size_t{64}), word_(begin / 64), end_(end) {
    if (begin < end) left_ = scratch.may[area.first + word_] & ~std::uint64_t{0} << (begin % 64);
  }
  std::optional<Choice> next() {
    for (;;) {
      for (; input_ < behind_; ++input_)
        if (const Index o = *input_; bit(o & 1u ? rails_.no : rails_.yes, o / 2 - 1) && !is_spoilt(o)) {
          ++input_;
          return Choice{item_, o};
        }
      if (!next_item()) return std::nullopt;
      const Index *part = weigher_.parts_.data() + weigher_.items_[item_].begin, *end = weigher_.parts_.data() + weigher_.items_[item_].end;
      for (; part < end && *part < any_of_these; ++part)
        if (is_spoilt(*part)) break;
      if (part == end) return Choice{item_, 0};
      if (*part < any_of_these) continue;
      input_ = part + 1, behind_ = part + 1 + (*part - any_of_these);
    }
  }

 private:
  bool is_spoilt(Index o) const { return spoils_ && !(o & 1u) && o / 2 - 1 < weigher_.program_.inputs && o > 1 && bit(spoils_, o / 2 - 1); }
  bool next_item() {
    do {
      while (left_ == 0) {
        if (++word_ * 64 >= end_) return false;
        left_ = scratch_.may[first_ / 64 + word_];
      }
      const std::size_t at = word_ * 64 + static_cast<std::size_t>(std::countr_zero(left_));
      if (at >= end_) return false;
      left_ &= left_ - 1;
      item_ = first_ + at;
    } while (weigher_.rest_truth(item_, rails_, scratch_) == Truth::no);
    return true;
  }
  const SingleWeigher& weigher_;
  const Rails& rails_;
  Scratch& scratch_;
  const std::uint64_t* spoils_;
  std::size_t first_, word_, end_, item_ = 0;
  std::uint64_t left_ = 0;
  const Index *input_ = nullptr, *behind_ = nullptr;
};

// Makes an item not hold in the trial, by whichever of its parts can be made so.
bool SingleWeigher::break_item(std::size_t item, const Rails& rails, Scratch& scratch) const {
  const Index *part = parts_.data() + items_[item].begin, *end = parts_.data() + items_[item].end;
  while (part < end) {
    const Index count = *part < any_of_these ? 0 : *part - any_of_these;
    const Index *first = count > 0 ? part + 1 : part, *behind = part + 1 + count;
    if (std::all_of(first, behind, [&](Index o) { return satisfy(o ^ 1u, rails, scratch); })) return true;
    part = behind;
  }
  return false;
}

// The item by which the completion on trial was told the code; none where it was by the teaching not being meant for it.
std::size_t SingleWeigher::item_that_tells(const Practice& practice, std::uint32_t told, Scratch& scratch) const {
  const auto verdict = static_cast<unsigned>(std::countr_zero(told)) % DecisionGraph::care;
  const std::uint64_t *items = scratch.trial.items.data(), *inputs = scratch.trial.inputs.data();
  const bool referred = verdict == static_cast<unsigned>(Verdict::referred);
  if (!referred && (verdict < static_cast<unsigned>(Verdict::withheld) || verdict > static_cast<unsigned>(Verdict::allowed))) return no_item;
  const Area& area = referred ? flags_ : practice.items;
  const std::size_t at = first_that_holds(area, 0, referred ? area.count * std::size_t{64} : practice.ends[3], items, inputs, scratch);
  return at == no_item ? at : area.first * std::size_t{64} + at;
}

// What the practice tells the completion on trial; nothing where nobody is so.
std::uint32_t SingleWeigher::told_in_trial(const Practice& practice, Scratch& scratch) const {
  Scratch::Completion &trial = scratch.trial, &base = scratch.base;
  const std::uint64_t* inputs = trial.inputs.data();
  next_person(scratch.whole);
  if (!holds(pack_.background, inputs, scratch)) return 0;
  if (!holds(applies_, inputs, scratch)) return std::uint32_t{1} << static_cast<unsigned>(Verdict::outside);
  if (trial.is_added_to && !rows_.empty()) {
    trial.items.resize(width_);
    trial.rows.resize(first_row_.size());
    for (const Area& area : {flags_, practice.items})
      for (std::uint32_t w = area.first; w < area.first + area.count; ++w) {
        for (std::size_t at = w; at < first_row_.size(); at += width_) {
          std::uint64_t row = base.rows[at];
          for (const Index input : trial.added) row |= rows_[input * first_row_.size() + at];
          trial.rows[at] = row;
        }
        trial.items[w] = items_of(trial.rows, trial.rows, w);
      }
  } else {
    or_rows(inputs, trial.rows);
    items_of(trial.rows, trial.rows, trial.items);
  }
  const std::uint64_t* items = trial.items.data();
  if (first_that_holds(flags_, 0, flags_.count * std::size_t{64}, items, inputs, scratch) != no_item)
    return std::uint32_t{1} << static_cast<unsigned>(Verdict::referred);
  return std::uint32_t{1} << code_of_practice(practice, items, inputs, scratch);
}

// Those of the set that some completion gets; what nobody can get is taken out of the set.
std::uint32_t SingleWeigher::witnessed(const Practice& practice, std::uint32_t& set, const Rails& rails, Scratch& scratch) const {
  scratch.begin_trial();
  std::uint32_t out = told_in_trial(practice, scratch) | scratch.everybody.value_or(0);
  for (std::uint32_t left = set & ~out; left != 0; left &= left - 1) {
    const auto code = static_cast<unsigned>(std::countr_zero(left));
    if ((out >> code & 1u) != 0) continue;
    bool is_complete = false;
    out |= tried(practice, code, is_complete, rails, scratch);
    if (is_complete) set &= out | ~(std::uint32_t{1} << code);
  }
  // What is told of everybody is so in each practice.
  scratch.everybody =
      out & (std::uint32_t{1} << static_cast<unsigned>(Verdict::outside) | std::uint32_t{1} << static_cast<unsigned>(Verdict::referred));
  return out & set;
}

// Whatever comes of tries to get the code. Complete: nobody gets it who is not among them.
std::uint32_t SingleWeigher::tried(const Practice& practice, unsigned code, bool& is_complete, const Rails& rails, Scratch& scratch) const {
  const unsigned verdict = code % DecisionGraph::care;
  const bool is_growing = scratch.is_plain && flags_.is_growing && practice.items.is_growing;
  bool all = true;  // that was there to be tried
  unsigned tries = 0;
  const unsigned most_tries = is_growing ? 400 : 12, most_mended = 6;
  std::uint32_t out = 0;
  const auto done = [&] { return (out >> code & 1u) != 0 || tries >= most_tries; };
  // The completion in which the choices hold; what it is told, or nothing where there is none.
  const auto tell = [&](const Choice* way, const Choice* care) -> std::uint32_t {
    ++tries;
    scratch.begin_trial();
    if ((way && !satisfy(*way, rails, scratch)) || (care && !satisfy(*care, rails, scratch))) {
      all = false;
      return 0;
    }
    for (unsigned mended = 0;; ++mended) {
      const std::uint32_t told = told_in_trial(practice, scratch);
      out |= told;
      // What is graver than wanted is taken out of the way, where that can be.
      if (is_growing || mended == most_mended || told == 0 || static_cast<unsigned>(std::countr_zero(told)) % DecisionGraph::care >= verdict)
        return told;
      const std::size_t item = item_that_tells(practice, told, scratch);
      if (item == no_item || !break_item(item, rails, scratch)) return told;
    }
  };
  if (verdict == static_cast<unsigned>(Verdict::outside)) {
    scratch.begin_trial();
    if (satisfy(applies_ ^ 1u, rails, scratch)) out |= told_in_trial(practice, scratch);
    return out;
  }
  const auto spoils = [&](unsigned rung) {
    const bool asks = practice.codes[rung][0] != practice.codes[rung][1];
    return spoils_.data() + practice.spoils + (asks && code < DecisionGraph::care ? 5 + rung : rung) * words();
  };
  const auto with_care = [&](unsigned rung, const Choice* way) {
    const std::uint32_t told = tell(way, nullptr);
    // Where it was told something else than what was wanted without care, more will not do either.
    if (done() || (told != 0 && told != std::uint32_t{1} << (code ^ DecisionGraph::care)) || code < DecisionGraph::care) return;
    Choices cares(*this, practice.items, practice.ends[3], practice.ends[4], spoils(rung), rails, scratch);
    for (auto care = cares.next(); care && !done(); care = cares.next()) tell(way, &*care);
  };
  if (verdict == practice.otherwise % DecisionGraph::care) with_care(4, nullptr);
  if (!done() && verdict == static_cast<unsigned>(Verdict::referred)) {
    Choices flags(*this, flags_, 0, flags_.count * std::size_t{64}, nullptr, rails, scratch);
    for (auto flag = flags.next(); flag && !done(); flag = flags.next()) tell(&*flag, nullptr);
  } else if (!done() && verdict <= static_cast<unsigned>(Verdict::allowed)) {
    const unsigned rung = verdict - static_cast<unsigned>(Verdict::withheld);
    Choices ways(*this, practice.items, rung == 0 ? 0 : practice.ends[rung - 1], practice.ends[rung], spoils(rung), rails, scratch);
    for (auto way = ways.next(); way && !done(); way = ways.next()) with_care(rung, &*way);
  }
  is_complete = is_growing && all && tries < most_tries;
  return out;
}

}  // namespace betony::runtime
