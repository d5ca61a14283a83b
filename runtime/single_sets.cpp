// Half-known persons: what is known to come and what is known not to (single_search.h); and where neither is known, what two rails leave
// possible, and of that what can be reached in the decision graph.
#include <algorithm>
#include <bit>
#include <optional>

#include "runtime/single_search.h"

namespace betony::runtime {
namespace {

bool bit(const std::uint64_t* words, Index at) { return words[at / 64] >> (at % 64) & 1u; }
std::uint8_t code_of(Verdict verdict, bool care) {
  return static_cast<std::uint8_t>(static_cast<unsigned>(verdict) + (care ? DecisionGraph::care : 0));
}

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
    if (!may_be_done(verdict)) {
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
  scratch.has_two_rails = false;
  const auto found = [&](std::size_t p, const Codes& codes) {
    const bool is_known = (codes.found | codes.unknown) != 0 && (codes.unknown & ~codes.found) == 0;
    const std::uint32_t set = is_known ? codes.found : looked_up(practices_[p], codes, rails, scratch);
    const std::uint32_t without = set & ~not_exact;
    sets[p] = (without & (without - 1)) == 0 ? without : set;
  };
  if (may_complete(rails)) return search(rails, scratch, found);
  for (std::size_t p = 0; p < practices_.size(); ++p) found(p, {});
}

template <class Found>
void SingleWeigher::search(const Rails& rails, Scratch& scratch, const Found& found) const {
  const auto by = [&](auto&& search) {
    for (std::size_t p = 0; p < practices_.size(); ++p) found(p, search.of(practices_[p]));
  };
  if (blocks_ == 1) return by(Search<1>(*this, rails, scratch));
  by(Search<0>(*this, rails, scratch));
}

// Of somebody of whom nothing is known.
void SingleWeigher::prefer() {
  if (is_deep_) return;
  std::vector<std::uint64_t> all(words());
  for (Index i = 0; i < program_.inputs; ++i) all[i / 64] |= std::uint64_t{1} << (i % 64);
  Scratch scratch;
  const auto by = [&](auto&& search) {
    for (const Practice& practice : practices_)
      if (practice.ways.is_told) search.prefer(practice, literals_.data() + practice.ways.preferred);
  };
  const Rails rails{all.data(), all.data()};
  if (blocks_ == 1) return by(Search<1>(*this, rails, scratch));
  by(Search<0>(*this, rails, scratch));
}

// Where no completion can be made, or nobody is so, or some codes are neither found nor out of reach.
std::uint32_t SingleWeigher::looked_up(const Practice& practice, const Codes& codes, const Rails& rails, Scratch& scratch) const {
  if (!scratch.has_two_rails) {
    scratch.sure_inputs.resize(words());
    for (std::size_t w = 0; w < words(); ++w) scratch.sure_inputs[w] = rails.yes[w] & ~rails.no[w];
    or_rows(scratch.sure_inputs.data(), scratch.sure_rows);
    or_rows(rails.yes, scratch.rows);
    items_of(scratch.rows, scratch.sure_rows, scratch.may);
    items_of(scratch.sure_rows, scratch.rows, scratch.surely);
    next_person(scratch.half);
    if (is_deep_) work_out(rails, scratch);
    scratch.applies = truth_of(applies_, rails, scratch);
    scratch.refers = any_of(flags_, 0, std::size_t{flags_.count} * 64, rails, scratch);
    scratch.has_two_rails = true;
  }
  std::uint32_t set = on_two_rails(practice, scratch.applies, scratch.refers, rails, scratch);
  const bool is_any = codes.found == 0 && codes.unknown == 0;
  if (!is_any) set = codes.found | (set & codes.unknown);
  if ((set & (set - 1)) == 0 || set == codes.found) return set;
  if (!practice.graph) return set | not_exact;
  const std::uint32_t there = reached(*practice.graph, set, rails, scratch) | codes.found;
  return (there & set) != 0 ? (set & there) | (there & not_exact) : set;  // where nobody is so at all it stays as it was
}

// Whether completions can be made. Not where a measure is open, or is known from what cannot be: then not everybody has it who is as
// the rest is chosen.
bool SingleWeigher::may_complete(const Rails& rails) const {
  if (is_deep_) return false;
  for (std::size_t w = 0; w < words(); ++w)
    if ((rails.yes[w] & rails.no[w] & measured_[w]) != 0) return false;
  if (pack_.background != 1) {
    if (behind_measures_.hidden) return false;
    for (const Index v : behind_measures_.variables) {
      Index possible = 0;
      for (Index cell = 0; cell < pack_.variables[v].cells; ++cell) possible += cell_is_possible(v, cell, rails);
      if (possible != 1) return false;
    }
  }
  return std::all_of(wide_.begin(), wide_.end(), [&](Index v) {
    Index cell = 0;
    while (cell < pack_.variables[v].cells && !cell_is_possible(v, cell, rails)) ++cell;
    return cell < pack_.variables[v].cells;
  });
}

}  // namespace betony::runtime
