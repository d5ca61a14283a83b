// How packs are changed, so that what lies behind their digest is reached. In one of three ways, from within:
//
//   as a struct   some members of a pack that can be read, whatever they are, get other values; lists get longer or shorter.
//                 Mostly what refers to something is then made to refer to something that is there, so that the pack is sound
//                 again; the rest is left as it came out, for the proof to refuse
//   as sections   the bytes of one section are changed, and the table of the sections, the size and the digest put right
//   as bytes      anything is changed; now and then size and digest are put right
//
// Of two packs, each section is taken from the one or from the other, and mended. The members are those of runtime/pack_members.h, so that
// what is added to packs is changed too.
#include <random>
#include <tuple>
#include <type_traits>

#include "runtime/digest.h"
#include "runtime/pack_members.h"
#include "runtime/pack_verify.h"
#include "tests/fuzz/pack_input.h"

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);

namespace betony::fuzz {
namespace {

using namespace betony::runtime;
using Buffer = std::vector<std::uint8_t>;

constexpr std::size_t header_size = 56, section_size = 24, count_at = 12, size_at = 16, digest_at = 24;

class Dice {
 public:
  explicit Dice(unsigned seed) : dice_(seed) {}
  std::uint32_t below(std::size_t bound) { return bound == 0 ? 0 : static_cast<std::uint32_t>(dice_() % bound); }
  bool one_in(std::size_t many) { return below(many) == 0; }

 private:
  std::mt19937 dice_;
};

Buffer mutated(Bytes bytes, std::size_t most) {
  Buffer out(std::max(most, bytes.size() + 1));
  std::copy(bytes.begin(), bytes.end(), out.begin());
  out.resize(LLVMFuzzerMutate(out.data(), bytes.size(), out.size()));
  return out;
}

// ---------------------------------------------------------------- as a struct

// Counts the members of a pack, or changes one of them, as an archive of pack_members.h.
class Member {
 public:
  Member(Dice& dice, std::size_t wanted) : dice_(dice), wanted_(wanted) {}
  std::size_t count() const { return at_; }

  void operator()(std::uint32_t& n) {
    if (!here()) return;
    switch (dice_.below(6)) {
      case 0: n = dice_.below(4); break;
      case 1: n = dice_.below(200); break;
      case 2: n ^= 1; break;
      case 3: n += 1; break;
      case 4: n -= 1; break;
      default: n = dice_.one_in(2) ? no_index : 1u << dice_.below(32);
    }
  }
  void operator()(bool& b) {
    if (here()) b = !b;
  }
  void operator()(std::string& text) {
    if (!here()) return;
    const Buffer letters = mutated({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()}, text.size() + 8);
    text.assign(letters.begin(), letters.end());
  }
  void operator()(Number& number) {
    static const char* const odd[] = {"0", "1", "-1", "1/3", "-1/7", "0.1", "365", "1439", "86400", "1/86400", "1000000000000000000",
                                      "-999999999999999999.9", "18446744073709551615", "1/18446744073709551616",
                                      "340282366920938463463374607431768211456/3"};
    if (!here()) return;
    switch (dice_.below(6)) {
      case 0: number += *Number::read(odd[dice_.below(std::size(odd))]); break;
      case 1: number = -number; break;
      case 2: if (number.bits() < 5000) number *= number; break;
      case 3: number = number.floor(); break;
      default: number = *Number::read(odd[dice_.below(std::size(odd))]);
    }
  }
  void operator()(std::array<std::uint8_t, 32>& digest) {
    if (here()) digest[dice_.below(32)] ^= 1;
  }
  template <class Enumerated>
  void operator()(Enumerated& value, std::size_t count) {
    if (here()) value = static_cast<Enumerated>(dice_.below(count));
  }
  template <class Item>
  void operator()(std::vector<Item>& list) {
    if (here()) resize(list);
    for (Item& item : list) (*this)(item);
  }
  template <class Item>
  void operator()(std::optional<Item>& item) {
    if (here()) item = item ? std::nullopt : std::optional<Item>(Item{});
    if (item) (*this)(*item);
  }
  template <class Struct>
  void operator()(Struct& x) requires requires { members(*this, x); } { members(*this, x); }

 private:
  bool here() { return at_++ == wanted_; }

  template <class Item>
  void resize(std::vector<Item>& list) {
    const std::size_t place = dice_.below(list.size());
    const auto at = list.begin() + static_cast<std::ptrdiff_t>(place);
    switch (list.empty() ? 0 : dice_.below(5)) {
      case 0: list.emplace_back(); break;
      case 1: list.erase(at); break;
      case 2: std::swap(list[place], list[dice_.below(list.size())]); break;
      case 3: list.resize(place); break;
      default: list.insert(at, Item(list[dice_.below(list.size())]));
    }
  }

  Dice& dice_;
  const std::size_t wanted_;
  std::size_t at_ = 0;
};

// Sections are chosen first, so that long texts do not get all the changes.
void change_member(Pack& pack, Dice& dice) {
  std::size_t count = 0;
  sections(pack, [&](Section, auto&...) { ++count; });
  const std::size_t wanted = dice.below(count);
  const auto visit = [&](Member& member) {
    std::size_t at = 0;
    sections(pack, [&](Section, auto&... parts) {
      if (at++ == wanted) (member(parts), ...);
    });
  };
  Member counting(dice, SIZE_MAX);
  visit(counting);
  Member changing(dice, dice.below(counting.count()));
  visit(changing);
}

// Makes what refers to something refer to something that is there.
class Mending {
 public:
  explicit Mending(Pack& pack) : p_(pack) {}

  void mend() {
    for (Finding& finding : p_.findings) mend(finding);
    mend_variables();
    mend_program();
    for (Tally& tally : p_.tallies)
      for (Tally::Item& item : tally.items) mend_operand(item.condition);
    for (std::size_t m = 0; m < p_.measures.size(); ++m) mend_formula(p_.measures[m].formula, m);
    for (Sentence& sentence : p_.sentences) mend(sentence);
    for (Practice& practice : p_.practices) mend(practice.sentences, p_.sentences.size()), mend(practice.choices, p_.choices.size());
    for (Choice& choice : p_.choices) mend(choice);
    for (DecisionGraph& graph : p_.graphs) mend(graph);
    if (p_.readings.empty()) p_.readings.emplace_back();
    std::vector<Index> owner(p_.graphs.size(), no_index);
    for (Reading& reading : p_.readings) mend(reading), mend_graphs(reading, owner);
  }

 private:
  static void mend(Index& index, std::size_t bound) {
    if (bound != 0 && index >= bound) index %= bound;
  }
  static void mend(std::vector<Index>& list, std::size_t bound) {
    for (Index& index : list) mend(index, bound);
    std::sort(list.begin(), list.end());
    list.erase(std::unique(list.begin(), list.end()), list.end());
    if (bound == 0) list.clear();
  }
  void mend_operand(Index& operand) const { mend(operand, std::size_t{p_.program.slots()} * 2); }

  void mend(Finding& f) const {
    if (f.units != no_index) mend(f.units, p_.unit_tables.size());
    if (p_.unit_tables.empty()) f.units = no_index;
    if (f.kind == Finding::Kind::yes_no) f.values.resize(2);
    if (f.has_words() && f.values.empty()) f.values.emplace_back();
    if (f.has_words()) f.or_never = false;
    else f.values.clear();
    if (f.high < f.low) std::swap(f.high, f.low);
    if (f.step.sign() < 0) f.step = -f.step;
    if (f.has_words() && f.usual) f.usual->kind = Value::Kind::word, mend(f.usual->word, f.values.size());
    if (!f.has_words() && f.usual) f.usual->kind = Value::Kind::number, f.usual->number = f.low;
  }

  void mend_variables() {
    p_.program.inputs = 0;
    for (Variable& v : p_.variables) {
      mend(v.index, v.is_measure ? p_.measures.size() : p_.findings.size());
      const bool is_finding = !v.is_measure && v.index < p_.findings.size();
      const bool words = is_finding && p_.findings[v.index].has_words(), never = is_finding && p_.findings[v.index].or_never;
      const auto values = static_cast<Index>(words ? p_.findings[v.index].values.size() : 0);
      if (words) v.ends.clear();
      std::sort(v.ends.begin(), v.ends.end(), [](const auto& a, const auto& b) { return a.at != b.at ? a.at < b.at : a.belongs < b.belongs; });
      v.cells = words ? values : static_cast<Index>(v.ends.size()) + 1 + never;
      v.inputs = !words ? v.cells - 1 : p_.findings[v.index].kind == Finding::Kind::yes_no ? 1 : values;
      v.first_input = p_.program.inputs;
      p_.program.inputs += v.inputs;
    }
  }
  void mend_program() {
    Index own = 1 + p_.program.inputs;
    for (Gate& gate : p_.program.gates) {
      for (Index& operand : gate.operands) mend(operand, std::size_t{own} * 2);
      if (gate.kind == Gate::Kind::most) gate.operands.resize(3);
      ++own;
    }
    mend_operand(p_.background);
  }
  // Steps that lack something are left out, and what is left in the end is added up.
  void mend_formula(std::vector<Step>& formula, std::size_t before) const {
    std::vector<Step> out;
    std::size_t stack = 0;
    for (Step& step : formula) {
      const std::size_t things[] = {1, p_.findings.size(), before, p_.tallies.size()};
      const auto kind = static_cast<std::size_t>(step.kind);
      const bool operates = step.kind >= Step::Kind::negate, takes_many = step.kind == Step::Kind::least || step.kind == Step::Kind::most;
      if (!operates && things[kind] == 0) continue;
      if (!operates) mend(step.index, things[kind]);
      if (step.kind == Step::Kind::finding && p_.findings[step.index].has_words()) continue;
      if (takes_many) step.index = std::max<Index>(1, step.index % 4);
      const std::size_t operands = !operates ? 0 : takes_many ? step.index : step.kind == Step::Kind::negate ? 1 : 2;
      if (operands > stack) continue;
      stack = stack - operands + 1;
      out.push_back(std::move(step));
    }
    if (stack == 0) out.emplace_back(), ++stack;
    for (; stack > 1; --stack) out.push_back({Step::Kind::add, 0, {}});
    formula = std::move(out);
  }
  void mend(Sentence& s) const {
    mend(s.despite, p_.sentences.size());
    for (Citation& citation : s.citations) mend(citation.source, p_.sources.size());
    if (p_.sources.empty()) s.citations.clear();
    if (s.kind == Sentence::Kind::dose && p_.doses.empty()) s.kind = Sentence::Kind::caution;
    if (s.kind == Sentence::Kind::dose) mend(s.dose, p_.doses.size());
    else s.dose = no_index;
  }
  void mend(Choice& choice) {
    mend(choice.sentences, p_.sentences.size());
    for (const Index s : choice.sentences) mend(p_.sentences[s].values, choice.values.size());
  }
  void mend(Reading& reading) const {
    mend_operand(reading.applies), mend_operand(reading.refers);
    reading.fires.resize(p_.sentences.size());
    reading.practices.resize(p_.practices.size());
    reading.fits.resize(p_.choices.size());
    for (Index& operand : reading.fires) mend_operand(operand);
    for (Reading::Ways& w : reading.practices) {
      for (Index* operand : {&w.withheld, &w.discouraged, &w.advised, &w.allowed, &w.care}) mend_operand(*operand);
      w.otherwise = std::max(w.otherwise, Verdict::withheld);
      if (w.otherwise_sentence != no_index) mend(w.otherwise_sentence, p_.sentences.size());
      if (p_.sentences.empty()) w.otherwise_sentence = no_index;
    }
    for (std::size_t c = 0; c < reading.fits.size(); ++c) {
      reading.fits[c].resize(p_.choices[c].values.size());
      for (Index& operand : reading.fits[c]) mend_operand(operand);
    }
  }

  // ---------------------------------------------------------------- decision graphs

  // Which of them is whose: each of one practice only.
  void mend_graphs(Reading& reading, std::vector<Index>& owner) const {
    if (!reading.graphs.empty()) reading.graphs.resize(p_.practices.size(), no_index);
    for (Index practice = 0; practice < reading.graphs.size(); ++practice) {
      Index& graph = reading.graphs[practice];
      if (p_.graphs.empty()) graph = no_index;
      if (graph == no_index) continue;
      mend(graph, p_.graphs.size());
      if (owner[graph] != no_index && owner[graph] != practice) graph = no_index;
      else owner[graph] = practice;
    }
    if (p_.graphs.empty()) reading.red_flags = no_index;
    if (reading.red_flags != no_index) mend(reading.red_flags, p_.graphs.size());
  }

  void mend(DecisionGraph& g) const {
    if (p_.variables.empty()) g.questions.clear();
    std::vector<Index> askable;      // a node's ways part at least two cells
    for (Index q = 0; q < g.questions.size(); ++q) {
      mend(g.questions[q]);
      if (g.questions[q].cells() > 1) askable.push_back(q);
    }
    if (askable.empty()) g.nodes.clear();
    for (DecisionGraph::Node& node : g.nodes) {
      mend(node.question, g.questions.size());
      if (g.questions[node.question].cells() < 2) node.question = askable[node.question % askable.size()];
    }
    for (std::size_t n = 0; n < g.nodes.size(); ++n) mend_ways(g, n);
    mend_leaf(g.root);
    if (g.root < DecisionGraph::leaf && g.nodes.empty()) g.root = DecisionGraph::leaf;
    if (g.root < DecisionGraph::leaf) mend(g.root, g.nodes.size());
  }

  void mend(DecisionGraph::Question& q) const {
    std::vector<Index> parts;
    for (Index part : q.parts) {
      mend(part, p_.variables.size());
      if (std::find(parts.begin(), parts.end(), part) == parts.end() && parts.size() < 64) parts.push_back(part);
    }
    if (parts.empty()) parts.push_back(0);
    q.parts = std::move(parts);
    if (q.shares.empty()) q.shares.push_back(1);
    const std::size_t part_count = q.parts.size();
    q.first.resize(q.shares.size() * part_count), q.last.resize(q.shares.size() * part_count);
    for (std::size_t at = 0; at < q.first.size(); ++at) {
      const Index cells = p_.variables[q.parts[at % part_count]].cells;
      mend(q.first[at], cells), mend(q.last[at], cells);
      if (q.first[at] > q.last[at]) std::swap(q.first[at], q.last[at]);
    }
    if (part_count == 1) mend_line(q, p_.variables[q.parts[0]].cells);
  }
  // The cells of a single variable stand one behind another.
  static void mend_line(DecisionGraph::Question& q, Index cells) {
    q.last.push_back(cells - 1);
    mend(q.last, cells);
    q.first = {0};
    for (std::size_t c = 1; c < q.last.size(); ++c) q.first.push_back(q.last[c - 1] + 1);
    q.shares.resize(q.last.size(), 1);
  }

  static void mend_leaf(Index& to) {
    const Index code = to - DecisionGraph::leaf;
    if (to < DecisionGraph::leaf || code == DecisionGraph::nobody) return;
    if (code % DecisionGraph::care >= verdict_count || code >= 2 * DecisionGraph::care) to = DecisionGraph::leaf + code % verdict_count;
  }
  static void mend_ways(DecisionGraph& g, std::size_t n) {
    auto& [question, ways] = g.nodes[n];
    const Index cells = g.questions[question].cells();
    for (DecisionGraph::Way& way : ways) mend(way.last, cells), mend_leaf(way.to);
    ways.push_back({cells - 1, ways.empty() ? DecisionGraph::leaf : ways.back().to});
    std::stable_sort(ways.begin(), ways.end(), [](const auto& a, const auto& b) { return a.last < b.last; });
    ways.erase(std::unique(ways.begin(), ways.end(), [](const auto& a, const auto& b) { return a.last == b.last; }), ways.end());
    if (ways.size() == 1) ways.insert(ways.begin(), {cells - 2, DecisionGraph::leaf + static_cast<Index>(Verdict::silent)});
    std::vector<Index> below;        // nodes that it may lead to
    for (std::size_t m = n + 1; m < g.nodes.size(); ++m)
      if (g.nodes[m].question > question) below.push_back(static_cast<Index>(m));
    for (DecisionGraph::Way& way : ways) {
      if (way.to >= DecisionGraph::leaf || std::binary_search(below.begin(), below.end(), way.to)) continue;
      way.to = below.empty() ? DecisionGraph::leaf + way.to % static_cast<Index>(verdict_count) : below[way.to % below.size()];
    }
  }

  Pack& p_;
};

Buffer changed_struct(Pack pack, Dice& dice) {
  for (std::uint32_t changes = 1 + dice.below(4); changes > 0; --changes) change_member(pack, dice);
  if (!dice.one_in(4)) Mending(pack).mend();
  return write_pack(pack);
}

// Takes some sections from another pack.
void cross(Pack& pack, Pack& other, Dice& dice) {
  sections(pack, [&](Section section, auto&... mine) {
    sections(other, [&](Section theirs_is, auto&... theirs) {
      if constexpr (std::is_same_v<std::tuple<decltype(mine)...>, std::tuple<decltype(theirs)...>>)
        if (section == theirs_is && dice.one_in(2)) ((mine = theirs), ...);
    });
  });
}

// ---------------------------------------------------------------- as bytes

void put(Buffer& bytes, std::size_t at, std::uint64_t number) {
  for (std::size_t i = 0; i < 8; ++i) bytes[at + i] = static_cast<std::uint8_t>(number >> (8 * i));
}
std::uint64_t number_at(Bytes bytes, std::size_t at, std::size_t size) {
  std::uint64_t number = 0;
  for (std::size_t i = 0; i < size; ++i) number |= std::uint64_t{bytes[at + i]} << (8 * i);
  return number;
}

void put_right(Buffer& pack) {
  if (pack.size() < header_size) return;
  put(pack, size_at, pack.size());
  const auto digest = sha256(Bytes(pack).subspan(header_size));
  std::copy(digest.begin(), digest.end(), pack.begin() + digest_at);
}

// Nothing where the table of the sections does not hold.
Buffer changed_section(Bytes pack, Dice& dice, std::size_t most) {
  if (pack.size() < header_size) return {};
  const std::uint64_t count = number_at(pack, count_at, 4);
  if (count == 0 || count > (pack.size() - header_size) / section_size) return {};
  const std::size_t at = header_size + section_size * dice.below(count);
  const std::uint64_t offset = number_at(pack, at + 8, 8), size = number_at(pack, at + 16, 8);
  if (offset > pack.size() || size > pack.size() - offset) return {};
  const Buffer section = mutated(pack.subspan(offset, size), size + (most > pack.size() ? most - pack.size() : 0));
  Buffer out(pack.begin(), pack.begin() + static_cast<std::ptrdiff_t>(offset));
  out.insert(out.end(), section.begin(), section.end());
  out.insert(out.end(), pack.begin() + static_cast<std::ptrdiff_t>(offset + size), pack.end());
  if (at + section_size > offset) return {};
  put(out, at + 16, section.size());
  for (std::size_t later = at + section_size; later < header_size + section_size * count && later + section_size <= offset; later += section_size)
    put(out, later + 8, number_at(out, later + 8, 8) + section.size() - size);
  put_right(out);
  return out;
}

Buffer changed_bytes(Bytes pack, Dice& dice, std::size_t most) {
  Buffer out = mutated(pack, most);
  if (!dice.one_in(3)) put_right(out);
  return out;
}

void seal(Buffer& pack) {
  static constexpr char magic[] = "btnyseal";
  pack.insert(pack.end(), magic, magic + 8);
  pack.resize(pack.size() + 96, 7);
}

Buffer changed_pack(Bytes pack, Dice& dice, std::size_t most) {
  Buffer out;
  const std::uint32_t way = dice.below(16);
  if (way < 11)
    if (auto read = read_pack(pack); read.pack) out = changed_struct(std::move(*read.pack), dice);
  if (out.empty() && way < 14) out = changed_section(pack, dice, most);
  if (out.empty()) out = changed_bytes(pack, dice, most);
  if (dice.one_in(50)) seal(out);
  if (dice.one_in(50) && !out.empty()) out[dice.below(out.size())] ^= static_cast<std::uint8_t>(1u << dice.below(8));
  return out;
}

std::size_t mutate(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed) {
  Dice dice(seed);
  const PackInput input = parts_of({data, size});
  Buffer choices(input.choices.begin(), input.choices.end()), pack(input.pack.begin(), input.pack.end());
  if (dice.one_in(6)) choices = mutated(choices, 24);
  else pack = changed_pack(pack, dice, most);
  choices.resize(std::min<std::size_t>(choices.size(), 24));
  const Buffer out = joined(choices, pack);
  if (out.size() > most) return LLVMFuzzerMutate(data, size, most);    // too long; something else
  std::copy(out.begin(), out.end(), data);
  return out.size();
}

std::size_t cross_over(Bytes one, Bytes other, std::uint8_t* out, std::size_t most, unsigned seed) {
  Dice dice(seed);
  if (!dice.one_in(8)) return 0;        // libFuzzer then tries something else; it would cross every second time
  const PackInput first = parts_of(one), second = parts_of(other);
  auto pack = read_pack(first.pack), others = read_pack(second.pack);
  if (!pack.pack || !others.pack) return 0;
  cross(*pack.pack, *others.pack, dice);
  Mending(*pack.pack).mend();
  const Buffer bytes = joined(dice.one_in(2) ? first.choices : second.choices, write_pack(*pack.pack));
  if (bytes.size() > most) return 0;
  std::copy(bytes.begin(), bytes.end(), out);
  return bytes.size();
}

}  // namespace
}  // namespace betony::fuzz

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed) {
  return betony::fuzz::mutate(data, size, most, seed);
}
extern "C" std::size_t LLVMFuzzerCustomCrossOver(const std::uint8_t* one, std::size_t one_size, const std::uint8_t* other, std::size_t other_size,
                                                 std::uint8_t* out, std::size_t most, unsigned seed) {
  return betony::fuzz::cross_over({one, one_size}, {other, other_size}, out, most, seed);
}
