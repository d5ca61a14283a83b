#include "runtime/single.h"

#include <algorithm>
#include <bit>
#include <cstring>

namespace betony::runtime {
namespace {

constexpr std::size_t none = ~std::size_t{0};
constexpr std::size_t words_together = 8;   // rows are a multiple of these

bool bit(const std::uint64_t* words, Index at) { return words[at / 64] >> (at % 64) & 1u; }

// out = the row behind the last input's, or-ed with those of the inputs that are yes.
template <std::size_t bytes>
__attribute__((always_inline)) inline void or_rows_by(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words, std::uint64_t* out) {
  typedef std::uint64_t Part __attribute__((vector_size(bytes)));
  constexpr std::size_t step = bytes / 8;
  for (std::size_t w = 0; w < words; ++w) {
    for (std::uint64_t left = inputs[w]; left != 0; left &= left - 1) {
      const std::uint64_t* row = rows + (w * 64 + static_cast<std::size_t>(std::countr_zero(left))) * width;
      for (std::size_t i = 0; i < width; i += step) {
        Part a, b;
        std::memcpy(&a, out + i, bytes), std::memcpy(&b, row + i, bytes);
        a |= b;
        std::memcpy(out + i, &a, bytes);
      }
    }
  }
}

void or_rows_plain(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words, std::uint64_t* out) {
  for (std::size_t w = 0; w < words; ++w)
    for (std::uint64_t left = inputs[w]; left != 0; left &= left - 1) {
      const std::uint64_t* row = rows + (w * 64 + static_cast<std::size_t>(std::countr_zero(left))) * width;
      for (std::size_t i = 0; i < width; ++i) out[i] |= row[i];
    }
}

#if defined(__x86_64__) && defined(__GNUC__)
__attribute__((target("avx2"))) void or_rows_avx2(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words, std::uint64_t* out) {
  or_rows_by<32>(rows, width, inputs, words, out);
}
__attribute__((target("avx512f"))) void or_rows_avx512(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words, std::uint64_t* out) {
  or_rows_by<64>(rows, width, inputs, words, out);
}
bool has_avx2() { return __builtin_cpu_supports("avx2"); }
bool has_avx512() { return __builtin_cpu_supports("avx512f"); }
#else
constexpr auto or_rows_avx2 = or_rows_plain, or_rows_avx512 = or_rows_plain;
bool has_avx2() { return false; }
bool has_avx512() { return false; }
#endif

std::uint8_t code_of(Verdict verdict, bool care) { return static_cast<std::uint8_t>(static_cast<unsigned>(verdict) + (care ? DecisionGraph::care : 0)); }
bool may_have_care(Verdict verdict) { return verdict == Verdict::advised || verdict == Verdict::allowed; }

}  // namespace

// ---------------------------------------------------------------- making

class SingleWeigher::Maker {
 public:
  explicit Maker(SingleWeigher& made) : made_(made), program_(made.program_) {}

  void make(const Reading& reading) {
    look_at_gates();
    made_.applies_ = reading.applies;
    begin();
    add(reading.refers);
    made_.flags_ = ended();
    for (std::size_t p = 0; p < reading.practices.size(); ++p) practice(reading, p);
    weave();
  }

 private:
  using Conjunction = std::vector<Index>;   // operands, all of which must hold

  bool is_gate(Index o) const { return o / 2 > program_.inputs; }
  const Gate& gate(Index o) const { return program_.gates[o / 2 - 1 - program_.inputs]; }
  bool is_input(Index o) const { return o > 1 && !is_gate(o); }

  // Which gates several ask for, and how deep they stand.
  void look_at_gates() {
    std::vector<Index> asked(program_.gates.size()), depth(program_.gates.size());
    for (Index g = 0; g < program_.gates.size(); ++g)
      for (const Index o : program_.gates[g].operands)
        if (is_gate(o)) {
          const Index inner = o / 2 - 1 - program_.inputs;
          ++asked[inner];
          depth[g] = std::max(depth[g], depth[inner] + 1);
        }
    made_.is_deep_ = std::any_of(depth.begin(), depth.end(), [](Index d) { return d > most_depth; });
    made_.shared_.assign(program_.gates.size(), no_index);
    for (Index g = 0; g < asked.size(); ++g)
      if (asked[g] > 1 || made_.is_deep_) made_.shared_[g] = made_.shared_count_++;
  }

  void begin() { first_ = items_.size(); }
  // Items begin at a word, and so does what follows.
  Area ended() {
    const std::size_t count = items_.size() - first_, words = (count + 63) / 64;
    items_.resize(first_ + words * 64);
    return {static_cast<std::uint32_t>(first_ / 64), static_cast<std::uint32_t>(words)};
  }

  void practice(const Reading& reading, std::size_t p) {
    const Reading::Ways& w = reading.practices[p];
    Practice& out = made_.practices_.emplace_back();
    begin();
    const Index rungs[] = {w.withheld, w.discouraged, w.advised, w.allowed};
    for (unsigned r = 0; r < 4; ++r) add(rungs[r]), out.ends[r] = static_cast<std::uint32_t>(items_.size() - first_);
    out.ways = ended();
    begin();
    add(w.care);
    out.care = ended();
    out.otherwise = code_of(w.otherwise, w.otherwise_care);
    if (!reading.graphs.empty() && reading.graphs[p] != no_index) out.graph = &made_.pack_.graphs[reading.graphs[p]];
  }

  // The alternatives of an operand, each as what must hold together; gates that stand within others of their kind are opened.
  void add(Index operand) {
    if (operand == 0) return;
    std::vector<Index> rest{operand};
    while (!rest.empty()) {
      const Index o = rest.back();
      rest.pop_back();
      const bool is_any = is_gate(o) && gate(o).kind == (o & 1u ? Gate::Kind::all : Gate::Kind::any);
      if (!is_any || items_.size() - first_ > most_items) {
        items_.push_back(conjunction(o));
        continue;
      }
      const auto& parts = gate(o).operands;
      for (std::size_t i = parts.size(); i-- > 0;) rest.push_back(parts[i] ^ (o & 1u));
    }
  }
  Conjunction conjunction(Index operand) const {
    Conjunction out;
    std::vector<Index> rest{operand};
    while (!rest.empty()) {
      const Index o = rest.back();
      rest.pop_back();
      const bool is_all = is_gate(o) && gate(o).kind == (o & 1u ? Gate::Kind::any : Gate::Kind::all);
      if (!is_all || out.size() > most_together) out.push_back(o);
      else for (const Index part : gate(o).operands) rest.push_back(part ^ (o & 1u));
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    if (!out.empty() && out[0] == 1) out.erase(out.begin());  // what always holds
    // Inputs first: they are soon looked up.
    std::stable_partition(out.begin(), out.end(), [this](Index o) { return is_input(o); });
    return out;
  }

  // Each item is watched by that of its inputs, of those that must be yes, which the fewest items ask for.
  void weave() {
    const std::size_t words = items_.size() / 64;
    made_.width_ = (words + words_together - 1) / words_together * words_together;
    made_.is_watched_ = made_.width_ <= most_row_words / (program_.inputs + std::size_t{1});
    const std::size_t watchers = made_.is_watched_ ? program_.inputs : 0;
    made_.rows_.assign((watchers + 1) * made_.width_, 0);
    std::vector<std::size_t> asked(program_.inputs);
    for (const auto& item : items_)
      if (item)
        for (const Index o : *item)
          if (is_input(o) && !(o & 1u)) ++asked[o / 2 - 1];
    made_.items_.resize(items_.size());
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (!items_[i]) continue;
      std::size_t watch = none;
      for (const Index o : *items_[i])
        if (made_.is_watched_ && is_input(o) && !(o & 1u) && (watch == none || asked[o / 2 - 1] < asked[watch])) watch = o / 2 - 1;
      Item& item = made_.items_[i];
      item.begin = static_cast<std::uint32_t>(made_.operands_.size());
      for (const Index o : *items_[i])
        if (watch == none || o != (watch + 1) * 2) made_.operands_.push_back(o);
      item.end = static_cast<std::uint32_t>(made_.operands_.size());
      made_.rows_[(watch == none ? watchers : watch) * made_.width_ + i / 64] |= std::uint64_t{1} << (i % 64);
    }
  }

  static constexpr std::size_t most_items = std::size_t{1} << 16, most_together = 1024;
  static constexpr std::size_t most_row_words = std::size_t{1} << 23;   // 64 MiB
  static constexpr Index most_depth = 200;
  SingleWeigher& made_;
  const Program& program_;
  std::vector<std::optional<Conjunction>> items_;   // nothing where a word is filled up
  std::size_t first_ = 0;
};

SingleWeigher::SingleWeigher(const Pack& pack, Index reading, Path path) : pack_(pack), program_(pack.program) {
  if (path == Path::best || path == Path::avx512) path = has_avx512() ? Path::avx512 : Path::avx2;
  if (path == Path::avx2 && !has_avx2()) path = Path::plain;
  path_ = path;
  or_rows_ = path == Path::avx512 ? or_rows_avx512 : path == Path::avx2 ? or_rows_avx2 : or_rows_plain;
  Maker(*this).make(pack.readings[reading]);
}

// ---------------------------------------------------------------- whole persons

void SingleWeigher::next_person(Scratch& scratch) const {
  if (scratch.known.size() < shared_count_) scratch.known.resize(shared_count_), scratch.truths.resize(shared_count_);
  if (++scratch.person != 0) return;
  std::fill(scratch.known.begin(), scratch.known.end(), 0);
  scratch.person = 1;
}

bool SingleWeigher::holds(Index operand, const std::uint64_t* inputs, Scratch& scratch) const {
  const Index slot = operand / 2;
  const bool opposite = operand & 1u;
  if (slot == 0) return opposite;
  if (slot <= program_.inputs) return bit(inputs, slot - 1) != opposite;
  const Index gate = slot - 1 - program_.inputs, shared = shared_[gate];
  if (shared == no_index) return gate_holds(gate, inputs, scratch) != opposite;
  if (scratch.known[shared] != scratch.person) {
    const bool held = gate_holds(gate, inputs, scratch);
    scratch.known[shared] = scratch.person, scratch.truths[shared] = held ? Truth::yes : Truth::no;
  }
  return (scratch.truths[shared] == Truth::yes) != opposite;
}

bool SingleWeigher::gate_holds(Index index, const std::uint64_t* inputs, Scratch& scratch) const {
  const Gate& gate = program_.gates[index];
  switch (gate.kind) {
    case Gate::Kind::all:
      for (const Index o : gate.operands)
        if (!holds(o, inputs, scratch)) return false;
      return true;
    case Gate::Kind::any:
      for (const Index o : gate.operands)
        if (holds(o, inputs, scratch)) return true;
      return false;
    case Gate::Kind::parity: {
      bool odd = false;
      for (const Index o : gate.operands) odd = odd != holds(o, inputs, scratch);
      return odd;
    }
    case Gate::Kind::most: break;
  }
  unsigned yes = 0;
  for (const Index o : gate.operands) yes += holds(o, inputs, scratch);
  return yes > 1;
}

bool SingleWeigher::item_holds(std::size_t item, const std::uint64_t* inputs, Scratch& scratch) const {
  for (std::uint32_t at = items_[item].begin; at < items_[item].end; ++at)
    if (!holds(operands_[at], inputs, scratch)) return false;
  return true;
}

std::size_t SingleWeigher::first_that_holds(const Area& area, const std::uint64_t* inputs, Scratch& scratch) const {
  for (std::uint32_t w = 0; w < area.count; ++w)
    for (std::uint64_t left = scratch.may[area.first + w]; left != 0; left &= left - 1) {
      const std::size_t at = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
      if (item_holds(std::size_t{area.first} * 64 + at, inputs, scratch)) return at;
    }
  return none;
}

void SingleWeigher::weigh(const std::uint64_t* inputs, Scratch& scratch, std::uint8_t* codes) const {
  next_person(scratch);
  if (is_deep_) work_out(inputs, scratch);
  if (!holds(applies_, inputs, scratch)) {
    std::memset(codes, static_cast<int>(Verdict::outside), practices_.size());
    return;
  }
  scratch.may.resize(width_);
  std::uint64_t* rows = scratch.may.data();
  if (width_ > 0) std::memcpy(rows, rows_.data() + rows_.size() - width_, width_ * sizeof *rows);
  if (is_watched_) or_rows_(rows_.data(), width_, inputs, words(), rows);
  if (first_that_holds(flags_, inputs, scratch) != none) {
    std::memset(codes, static_cast<int>(Verdict::referred), practices_.size());
    return;
  }
  for (std::size_t p = 0; p < practices_.size(); ++p) {
    const Practice& practice = practices_[p];
    const std::size_t first = first_that_holds(practice.ways, inputs, scratch);
    std::uint8_t code = practice.otherwise;
    if (first != none) {
      unsigned rung = 0;
      while (first >= practice.ends[rung]) ++rung;
      code = static_cast<std::uint8_t>(static_cast<unsigned>(Verdict::withheld) + rung);
    }
    if (may_have_care(static_cast<Verdict>(code)) && first_that_holds(practice.care, inputs, scratch) != none) code += DecisionGraph::care;
    codes[p] = code;
  }
}

// Every gate after those that it asks for, so that none is looked for within another.
void SingleWeigher::work_out(const std::uint64_t* inputs, Scratch& scratch) const {
  for (Index g = 0; g < program_.gates.size(); ++g) {
    const bool held = gate_holds(g, inputs, scratch);
    scratch.known[g] = scratch.person, scratch.truths[g] = held ? Truth::yes : Truth::no;
  }
}
void SingleWeigher::work_out(const Rails& rails, Scratch& scratch) const {
  for (Index g = 0; g < program_.gates.size(); ++g) {
    const Truth found = gate_truth(g, rails, scratch);
    scratch.known[g] = scratch.person, scratch.truths[g] = found;
  }
}

// ---------------------------------------------------------------- half-known persons

Truth SingleWeigher::truth_of(Index operand, const Rails& rails, Scratch& scratch) const {
  const Index slot = operand / 2;
  const auto as_asked = [&](Truth t) { return operand & 1u ? opposite(t) : t; };
  if (slot == 0) return as_asked(Truth::no);
  if (slot <= program_.inputs) return as_asked(truth(bit(rails.no, slot - 1), bit(rails.yes, slot - 1)));
  const Index gate = slot - 1 - program_.inputs, shared = shared_[gate];
  if (shared == no_index) return as_asked(gate_truth(gate, rails, scratch));
  if (scratch.known[shared] != scratch.person) {
    const Truth found = gate_truth(gate, rails, scratch);
    scratch.known[shared] = scratch.person, scratch.truths[shared] = found;
  }
  return as_asked(scratch.truths[shared]);
}

Truth SingleWeigher::gate_truth(Index index, const Rails& rails, Scratch& scratch) const {
  const auto& [kind, operands] = program_.gates[index];
  Truth out = kind == Gate::Kind::all ? Truth::yes : Truth::no;
  switch (kind) {
    case Gate::Kind::all:
      for (std::size_t i = 0; i < operands.size() && out != Truth::no; ++i) out = both(out, truth_of(operands[i], rails, scratch));
      return out;
    case Gate::Kind::any:
      for (std::size_t i = 0; i < operands.size() && out != Truth::yes; ++i) out = either(out, truth_of(operands[i], rails, scratch));
      return out;
    case Gate::Kind::parity:
      for (std::size_t i = 0; i < operands.size() && out != Truth::open; ++i) {
        const Truth t = truth_of(operands[i], rails, scratch);
        out = t == Truth::open ? t : t == Truth::yes ? opposite(out) : out;
      }
      return out;
    case Gate::Kind::most: break;
  }
  unsigned no = 0, yes = 0;
  for (const Index o : operands) {
    const Truth t = truth_of(o, rails, scratch);
    no += may_be_no(t), yes += may_be_yes(t);
  }
  return truth(no > 1, yes > 1);
}

// Of what it is watched by is known only that it may be yes.
Truth SingleWeigher::item_truth(std::size_t item, const Rails& rails, Scratch& scratch) const {
  Truth out = Truth::yes;
  for (std::uint32_t at = items_[item].begin; at < items_[item].end && out != Truth::no; ++at) out = both(out, truth_of(operands_[at], rails, scratch));
  return out;
}

// Whether any item holds of those from begin to end: what surely holds is among those whose watch surely is yes.
Truth SingleWeigher::any_of(const Area& area, std::size_t begin, std::size_t end, const Rails& rails, Scratch& scratch) const {
  bool may = false;
  for (std::size_t w = begin / 64; w * 64 < end; ++w) {
    std::uint64_t within = ~std::uint64_t{0};
    if (w == begin / 64) within <<= begin % 64;
    if (end - w * 64 < 64) within &= (std::uint64_t{1} << (end - w * 64)) - 1;
    const std::uint64_t surely = scratch.surely[area.first + w] & within;
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
    if (to >= DecisionGraph::leaf) out |= to == DecisionGraph::leaf + DecisionGraph::nobody ? 0 : std::uint32_t{1} << (to - DecisionGraph::leaf);
    else if (scratch.seen[to] != scratch.walk) scratch.seen[to] = scratch.walk, scratch.rest.push_back(to);
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

void SingleWeigher::possible(const std::uint64_t* yes, const std::uint64_t* no, Scratch& scratch, std::uint32_t* sets) const {
  const Rails rails{yes, no};
  scratch.may.assign(rows_.end() - static_cast<std::ptrdiff_t>(width_), rows_.end());
  scratch.surely = scratch.may;
  if (is_watched_) or_rows_(rows_.data(), width_, yes, words(), scratch.may.data());
  for (std::size_t w = 0; w < words() && is_watched_; ++w) {
    const std::uint64_t surely = yes[w] & ~no[w];
    or_rows_(rows_.data() + w * 64 * width_, width_, &surely, 1, scratch.surely.data());
  }
  next_person(scratch);
  if (is_deep_) work_out(rails, scratch);
  const Truth applies = truth_of(applies_, rails, scratch);
  const Truth refers = any_of(flags_, 0, std::size_t{flags_.count} * 64, rails, scratch);
  for (std::size_t p = 0; p < practices_.size(); ++p) {
    const Practice& practice = practices_[p];
    std::uint32_t set = 0;
    std::optional<Truth> care;
    const auto add = [&](Verdict verdict, bool always_care) {
      if (!may_have_care(verdict)) return void(set |= std::uint32_t{1} << code_of(verdict, false));
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
      rung(static_cast<Verdict>(static_cast<unsigned>(Verdict::withheld) + r), any_of(practice.ways, r == 0 ? 0 : practice.ends[r - 1], practice.ends[r], rails, scratch));
    if (on) add(static_cast<Verdict>(practice.otherwise % DecisionGraph::care), practice.otherwise >= DecisionGraph::care);
    if ((set & (set - 1)) != 0) {
      const std::uint32_t there = practice.graph ? reached(*practice.graph, set, rails, scratch) : set | not_exact;
      // Where nobody is so at all the set stays as it was.
      if ((there & set) != 0) set = (set & there) | (there & not_exact);
    }
    sets[p] = (set & ~not_exact & ((set & ~not_exact) - 1)) == 0 ? set & ~not_exact : set;
  }
}

}  // namespace betony::runtime
