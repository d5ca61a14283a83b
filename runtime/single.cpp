#include "runtime/single.h"

#include <algorithm>
#include <bit>
#include <cstring>

namespace betony::runtime {
namespace {

constexpr std::size_t none = ~std::size_t{0};
constexpr std::size_t words_together = 8;  // rows are a multiple of these

bool bit(const std::uint64_t* words, Index at) { return words[at / 64] >> (at % 64) & 1u; }

// out = the row behind the last input's, or-ed with those of the inputs that are yes.
template <std::size_t bytes>
__attribute__((always_inline)) inline void or_rows_by(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words,
                                                      std::uint64_t* out) {
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
__attribute__((target("avx2"))) void or_rows_avx2(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words,
                                                  std::uint64_t* out) {
  or_rows_by<32>(rows, width, inputs, words, out);
}
__attribute__((target("avx512f"))) void or_rows_avx512(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words,
                                                       std::uint64_t* out) {
  or_rows_by<64>(rows, width, inputs, words, out);
}
bool has_avx2() { return __builtin_cpu_supports("avx2"); }
bool has_avx512() { return __builtin_cpu_supports("avx512f"); }
#else
constexpr auto or_rows_avx2 = or_rows_plain, or_rows_avx512 = or_rows_plain;
bool has_avx2() { return false; }
bool has_avx512() { return false; }
#endif

}  // namespace

// ---------------------------------------------------------------- making

class SingleWeigher::Maker {
 public:
  explicit Maker(SingleWeigher& made) : made_(made), program_(made.program_) {}

  void make(const Reading& reading) {
    look_at_gates();
    look_at_inputs();
    made_.applies_ = reading.applies;
    begin();
    add(reading.refers);
    made_.flags_ = ended();
    for (std::size_t p = 0; p < reading.practices.size(); ++p) practice(reading, p);
    weave();
  }

 private:
  using Conjunction = std::vector<Index>;  // operands, all of which must hold

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
    for (const Gate& gate : program_.gates) {
      OpenedGate& opened = made_.gates_.emplace_back();
      opened.kind = gate.kind;
      opened.begin = static_cast<std::uint32_t>(made_.gate_operands_.size());
      made_.gate_operands_.insert(made_.gate_operands_.end(), gate.operands.begin(), gate.operands.end());
      opened.end = static_cast<std::uint32_t>(made_.gate_operands_.size());
      opened.of_inputs = std::all_of(gate.operands.begin(), gate.operands.end(), [this](Index o) { return is_input(o); });
    }
    made_.shared_.assign(program_.gates.size(), no_index);
    for (Index g = 0; g < asked.size(); ++g)
      if (asked[g] > 1 || made_.is_deep_) made_.shared_[g] = made_.shared_count_++;
  }

  void look_at_inputs() {
    made_.variable_of_.resize(program_.inputs);
    made_.measured_.resize(made_.words());
    for (Index v = 0; v < made_.pack_.variables.size(); ++v) {
      const Variable& variable = made_.pack_.variables[v];
      for (Index i = variable.first_input; i < variable.first_input + variable.inputs; ++i) {
        made_.variable_of_[i] = v;
        if (variable.is_measure) made_.measured_[i / 64] |= std::uint64_t{1} << (i % 64);
      }
      if (variable.is_measure || variable.inputs != 1 || !made_.pack_.findings[variable.index].has_words()) made_.wide_.push_back(v);
    }
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
    out.otherwise = static_cast<std::uint8_t>(static_cast<unsigned>(w.otherwise) + (w.otherwise_care ? DecisionGraph::care : 0));
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
      if (!is_all || out.size() > most_together)
        out.push_back(o);
      else
        for (const Index part : gate(o).operands) rest.push_back(part ^ (o & 1u));
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    if (!out.empty() && out[0] == 1) out.erase(out.begin());  // what always holds
    // Inputs first, then gates that nobody else asks for: what is soon looked up.
    const auto rank = [this](Index o) { return !is_gate(o) ? 0 : made_.shared_[o / 2 - 1 - program_.inputs] == no_index ? 1 : 2; };
    std::stable_sort(out.begin(), out.end(), [&](Index a, Index b) { return rank(a) < rank(b); });
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
    made_.plain_.resize(made_.width_);
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (!items_[i]) continue;
      std::size_t watch = none;
      for (const Index o : *items_[i])
        if (made_.is_watched_ && is_input(o) && !(o & 1u) && (watch == none || asked[o / 2 - 1] < asked[watch])) watch = o / 2 - 1;
      Item& item = made_.items_[i];
      item.begin = static_cast<std::uint32_t>(made_.parts_.size());
      for (const Index o : *items_[i])
        if (watch == none || o != (watch + 1) * 2) put_part(o);
      item.end = static_cast<std::uint32_t>(made_.parts_.size());
      if (watch != none) item.watch = static_cast<Index>((watch + 1) * 2);
      if (item.begin == item.end) made_.plain_[i / 64] |= std::uint64_t{1} << (i % 64);
      made_.rows_[(watch == none ? watchers : watch) * made_.width_ + i / 64] |= std::uint64_t{1} << (i % 64);
    }
    look_at(made_.flags_);
    for (Practice& p : made_.practices_) look_at(p.ways), look_at(p.care);
  }

  // Once it is known what is plain.
  void look_at(Area& area) const {
    const auto first = made_.items_.begin() + static_cast<std::ptrdiff_t>(area.first) * 64,
               end = first + static_cast<std::ptrdiff_t>(area.count) * 64;
    area.is_plain = std::all_of(first, end, [](const Item& item) { return item.begin == item.end; });
  }

  void put_part(Index o) {
    const bool is_any = is_gate(o) && gate(o).kind == (o & 1u ? Gate::Kind::all : Gate::Kind::any);
    const bool alone =
        is_any && !gate(o).operands.empty() && made_.gates_[o / 2 - 1 - program_.inputs].of_inputs && gate(o).operands.size() <= most_together;
    if (!alone) {
      made_.parts_.push_back(o);
      return;
    }
    made_.parts_.push_back(any_of_these + static_cast<Index>(gate(o).operands.size()));
    for (const Index inner : gate(o).operands) made_.parts_.push_back(inner ^ (o & 1u));
  }

  static constexpr std::size_t most_items = std::size_t{1} << 16, most_together = 1024;
  static constexpr std::size_t most_row_words = std::size_t{1} << 23;  // 64 MiB
  static constexpr Index most_depth = 200;
  SingleWeigher& made_;
  const Program& program_;
  std::vector<std::optional<Conjunction>> items_;  // nothing where a word is filled up
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

void SingleWeigher::next_person(Scratch::Memory& memory) const {
  if (memory.known.size() < shared_count_) memory.known.resize(shared_count_), memory.truths.resize(shared_count_);
  if (++memory.person != 0) return;
  std::fill(memory.known.begin(), memory.known.end(), 0);
  memory.person = 1;
}

bool SingleWeigher::holds(Index operand, const std::uint64_t* inputs, Scratch& scratch) const {
  const Index slot = operand / 2;
  const bool opposite = operand & 1u;
  if (slot == 0) return opposite;
  if (slot <= program_.inputs) return bit(inputs, slot - 1) != opposite;
  const Index gate = slot - 1 - program_.inputs, shared = shared_[gate];
  if (shared == no_index) return gate_holds(gate, inputs, scratch) != opposite;
  Scratch::Memory& memory = scratch.whole;
  if (memory.known[shared] != memory.person) {
    const bool held = gate_holds(gate, inputs, scratch);
    memory.known[shared] = memory.person, memory.truths[shared] = held ? Truth::yes : Truth::no;
  }
  return (memory.truths[shared] == Truth::yes) != opposite;
}

// Whether any of the inputs is as wanted; without a branch for each, since nobody could tell which way it goes.
bool SingleWeigher::any_input(const Index* begin, const Index* end, bool wanted, const std::uint64_t* inputs) {
  unsigned any = 0;
  for (const Index* o = begin; o < end; ++o) {
    const Index at = *o / 2 - 1;
    any |= static_cast<unsigned>(inputs[at / 64] >> (at % 64)) ^ *o ^ unsigned { !wanted };
  }
  return any & 1u;
}

bool SingleWeigher::gate_holds(Index index, const std::uint64_t* inputs, Scratch& scratch) const {
  const OpenedGate& gate = gates_[index];
  const Index *begin = gate_operands_.data() + gate.begin, *end = gate_operands_.data() + gate.end;
  if (gate.of_inputs && gate.kind == Gate::Kind::any) return any_input(begin, end, true, inputs);
  if (gate.of_inputs && gate.kind == Gate::Kind::all) return !any_input(begin, end, false, inputs);
  switch (gate.kind) {
    case Gate::Kind::all:
      for (std::uint32_t i = gate.begin; i < gate.end; ++i)
        if (!holds(gate_operands_[i], inputs, scratch)) return false;
      return true;
    case Gate::Kind::any:
      for (std::uint32_t i = gate.begin; i < gate.end; ++i)
        if (holds(gate_operands_[i], inputs, scratch)) return true;
      return false;
    case Gate::Kind::parity: {
      bool odd = false;
      for (std::uint32_t i = gate.begin; i < gate.end; ++i) odd = odd != holds(gate_operands_[i], inputs, scratch);
      return odd;
    }
    case Gate::Kind::most:
      break;
  }
  unsigned yes = 0;
  for (std::uint32_t i = gate.begin; i < gate.end; ++i) yes += holds(gate_operands_[i], inputs, scratch);
  return yes > 1;
}

bool SingleWeigher::item_holds(std::size_t item, const std::uint64_t* inputs, Scratch& scratch) const {
  const Index *part = parts_.data() + items_[item].begin, *end = parts_.data() + items_[item].end;
  while (part < end) {
    const Index count = *part < any_of_these ? 0 : *part - any_of_these;
    if (count > 0 ? !any_input(part + 1, part + 1 + count, true, inputs) : !holds(*part, inputs, scratch)) return false;
    part += 1 + count;
  }
  return true;
}

std::size_t SingleWeigher::first_that_holds(const Area& area, const std::uint64_t* rows, const std::uint64_t* inputs, Scratch& scratch) const {
  const std::uint64_t *here = rows + area.first, *plain = plain_.data() + area.first;
  std::size_t first = none;
  for (std::size_t w = 0; w < area.count; ++w) {
    const std::uint64_t left = here[w] & plain[w];
    if (left == 0) continue;
    first = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
    break;
  }
  if (area.is_plain) return first;
  // Of the others only those before it matter.
  for (std::size_t w = 0; w < area.count && w * 64 < first; ++w)
    for (std::uint64_t left = here[w] & ~plain[w]; left != 0; left &= left - 1) {
      const std::size_t at = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
      if (at > first) return first;
      if (item_holds(std::size_t{area.first} * 64 + at, inputs, scratch)) return at;
    }
  return first;
}

// Of somebody who is neither outside nor referred.
std::uint8_t SingleWeigher::code_of_practice(const Practice& practice, const std::uint64_t* rows, const std::uint64_t* inputs,
                                             Scratch& scratch) const {
  const std::size_t first = first_that_holds(practice.ways, rows, inputs, scratch);
  std::uint8_t code = practice.otherwise;
  if (first != none) {
    const unsigned rung = (first >= practice.ends[0]) + (first >= practice.ends[1]) + (first >= practice.ends[2]);
    code = static_cast<std::uint8_t>(static_cast<unsigned>(Verdict::withheld) + rung);
  }
  const bool may_have_care = code == static_cast<unsigned>(Verdict::advised) || code == static_cast<unsigned>(Verdict::allowed);
  if (may_have_care && first_that_holds(practice.care, rows, inputs, scratch) != none) code += DecisionGraph::care;
  return code;
}

void SingleWeigher::weigh(const std::uint64_t* inputs, Scratch& scratch, std::uint8_t* codes) const {
  next_person(scratch.whole);
  if (is_deep_) work_out(inputs, scratch);
  if (!holds(applies_, inputs, scratch)) {
    std::memset(codes, static_cast<int>(Verdict::outside), practices_.size());
    return;
  }
  scratch.may.resize(width_);
  std::uint64_t* rows = scratch.may.data();
  if (width_ > 0) std::memcpy(rows, rows_.data() + rows_.size() - width_, width_ * sizeof *rows);
  if (is_watched_) or_rows_(rows_.data(), width_, inputs, words(), rows);
  if (first_that_holds(flags_, rows, inputs, scratch) != none) {
    std::memset(codes, static_cast<int>(Verdict::referred), practices_.size());
    return;
  }
  for (std::size_t p = 0; p < practices_.size(); ++p) codes[p] = code_of_practice(practices_[p], rows, inputs, scratch);
}

// Every gate after those that it asks for, so that none is looked for within another.
void SingleWeigher::work_out(const std::uint64_t* inputs, Scratch& scratch) const {
  for (Index g = 0; g < program_.gates.size(); ++g) {
    const bool held = gate_holds(g, inputs, scratch);
    scratch.whole.known[g] = scratch.whole.person, scratch.whole.truths[g] = held ? Truth::yes : Truth::no;
  }
}

}  // namespace betony::runtime
