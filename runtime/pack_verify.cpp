#include "runtime/pack_verify.h"

#include <algorithm>

namespace betony::runtime {
namespace {

constexpr std::size_t most_parts = 64;   // variables that one question of a graph binds together
constexpr std::size_t bits_told = 2048;  // of a number that is told of a finding, brought to its unit, and of those between which it lies

bool ascending_below(const std::vector<Index>& list, std::size_t bound) {
  for (std::size_t i = 0; i < list.size(); ++i)
    if (list[i] >= bound || (i > 0 && list[i] <= list[i - 1])) return false;
  return true;
}

class Proof {
 public:
  explicit Proof(const Pack& pack) : p_(pack) {}

  std::string wrong() const {
    if (!all(p_.findings, &Proof::finding)) return "the pack's findings are not sound";
    if (!units()) return "the pack's units are not sound";
    if (!tallies()) return "the pack's tallies are not sound";
    if (!measures()) return "the pack's measures are not sound";
    if (!variables()) return "the pack's thresholds are not sound";
    if (!program()) return "the pack's conditions are not sound";
    if (!all(p_.sentences, &Proof::sentence)) return "the pack's sentences are not sound";
    if (!all(p_.doses, &Proof::dose)) return "the pack's doses are not sound";
    if (!all(p_.practices, &Proof::practice)) return "the pack's practices are not sound";
    if (!all(p_.choices, &Proof::choice)) return "the pack's choices are not sound";
    if (!all(p_.graphs, &Proof::graph)) return "the pack's decision graphs are not sound";
    if (!graphs_have_one_owner()) return "the pack's decision graphs are not sound";
    if (p_.readings.empty() || !all(p_.readings, &Proof::reading)) return "the pack's verdicts are not sound";
    return {};
  }

 private:
  template <class Item>
  bool all(const std::vector<Item>& list, bool (Proof::*sound)(const Item&) const) const {
    return std::all_of(list.begin(), list.end(), [&](const Item& item) { return (this->*sound)(item); });
  }
  bool operand(Index o) const { return o / 2 < p_.program.slots(); }

  bool value(const Finding& f, const Value& v) const {
    if (v.kind == Value::Kind::never) return f.or_never;
    if (v.kind == Value::Kind::word) return f.has_words() && v.word < f.values.size();
    return !f.has_words() && v.number >= f.low && v.number <= f.high;
  }
  bool finding(const Finding& f) const {
    if (f.has_words() ? f.values.empty() || f.or_never : !f.values.empty() || f.high < f.low || f.step.sign() < 0) return false;
    if (f.kind == Finding::Kind::yes_no && f.values.size() != 2) return false;
    if (f.kind == Finding::Kind::date && (f.low < Number(0) || f.high > Number(365))) return false;
    if (f.kind == Finding::Kind::time_of_day && (f.low < Number(0) || f.high > Number(1439))) return false;
    if (f.units != no_index && f.units >= p_.unit_tables.size()) return false;
    if (f.low.bits() > bits_told || f.high.bits() > bits_told || f.step.bits() > bits_told) return false;
    return !f.usual || (value(f, *f.usual) && f.usual->number.bits() <= bits_told);
  }
  bool units() const {
    for (const auto& table : p_.unit_tables)
      for (const UnitName& unit : table)
        if (unit.factor.sign() <= 0 || unit.factor.bits() > 512 || unit.offset.bits() > 512) return false;
    return true;
  }
  bool tallies() const {
    for (const Tally& tally : p_.tallies)
      for (const Tally::Item& item : tally.items)
        if (!operand(item.condition)) return false;
    return true;
  }

  static std::size_t added(std::size_t a, std::size_t b) { return std::min(a + b, most_bits + 1); }
  std::size_t bits_of(const Tally& tally) const {
    std::size_t bits = 1;
    for (const Tally::Item& item : tally.items) bits = added(bits, item.points.bits() + 1);
    return bits;
  }
  // How many bits its value can have; nothing where the formula is none.
  std::optional<std::size_t> bits_of(const Measure& measure, const std::vector<std::size_t>& before) const {
    std::vector<std::size_t> stack;
    for (const Step& step : measure.formula) {
      std::size_t operands = 0, bits = 0;
      switch (step.kind) {
        case Step::Kind::number: bits = step.number.bits(); break;
        case Step::Kind::finding:
          if (step.index >= p_.findings.size() || p_.findings[step.index].has_words()) return std::nullopt;
          bits = bits_told;
          break;
        case Step::Kind::measure:
          if (step.index >= before.size()) return std::nullopt;
          bits = before[step.index];
          break;
        case Step::Kind::tally:
          if (step.index >= p_.tallies.size()) return std::nullopt;
          bits = bits_of(p_.tallies[step.index]);
          break;
        case Step::Kind::negate: operands = 1; break;
        case Step::Kind::least:
        case Step::Kind::most: operands = step.index; break;
        default: operands = 2;
      }
      const bool operates = step.kind >= Step::Kind::negate;
      if (operands > stack.size() || (operates && operands == 0)) return std::nullopt;
      for (std::size_t i = 0; i < operands; ++i) {
        bits = added(bits, stack.back() + 1);
        stack.pop_back();
      }
      if (bits > most_bits) return std::nullopt;
      stack.push_back(bits);
    }
    return stack.size() == 1 ? std::optional(stack[0]) : std::nullopt;
  }
  bool measures() const {
    std::vector<std::size_t> bits;
    for (const Measure& measure : p_.measures) {
      const auto own = bits_of(measure, bits);
      if (!own) return false;
      bits.push_back(*own);
    }
    return true;
  }

  bool variable(const Variable& v) const {
    if (v.is_measure) {
      if (v.index >= p_.measures.size()) return false;
    } else if (v.index >= p_.findings.size()) {
      return false;
    }
    const Finding* finding = v.is_measure ? nullptr : &p_.findings[v.index];
    if (finding && finding->has_words()) {
      const bool yes_no = finding->kind == Finding::Kind::yes_no;
      return v.ends.empty() && v.cells == finding->values.size() && v.inputs == (yes_no ? 1 : v.cells);
    }
    for (std::size_t i = 1; i < v.ends.size(); ++i) {
      const auto &before = v.ends[i - 1], &end = v.ends[i];
      if (end.at < before.at || (end.at == before.at && before.belongs >= end.belongs)) return false;
    }
    const bool never = finding && finding->or_never;
    return v.inputs == v.ends.size() + never && v.cells == v.ends.size() + 1 + never;
  }
  bool variables() const {
    std::vector<bool> findings(p_.findings.size()), measures(p_.measures.size());
    Index inputs = 0;
    for (const Variable& v : p_.variables) {
      if (!variable(v) || v.first_input != inputs || v.inputs > p_.program.inputs - inputs) return false;
      auto& seen = v.is_measure ? measures : findings;
      if (seen[v.index]) return false;
      seen[v.index] = true;
      inputs += v.inputs;
    }
    return inputs == p_.program.inputs;
  }
  bool program() const {
    const Program& program = p_.program;
    if (program.inputs > (1u << 28) || program.gates.size() > (1u << 28)) return false;
    Index own = 1 + program.inputs;
    for (const Gate& gate : program.gates) {
      if (gate.kind == Gate::Kind::most && gate.operands.size() != 3) return false;
      for (Index o : gate.operands)
        if (o / 2 >= own) return false;
      ++own;
    }
    return operand(p_.background);
  }

  bool citation(const Citation& c) const { return c.source < p_.sources.size(); }
  bool sentence(const Sentence& s) const {
    return all(s.citations, &Proof::citation) && ascending_below(s.despite, p_.sentences.size()) &&
           (s.kind == Sentence::Kind::dose ? s.dose < p_.doses.size() : s.dose == no_index);
  }
  bool dose(const Dose& d) const {
    for (const auto* range : {&d.amount, &d.often, &d.length})
      if (*range && ((!(*range)->low && !(*range)->high) || ((*range)->low && (*range)->high && *(*range)->high < *(*range)->low))) return false;
    return d.scale.sign() > 0 && (!d.factor || d.factor->sign() > 0);
  }
  bool practice(const Practice& practice) const {
    return ascending_below(practice.sentences, p_.sentences.size()) && ascending_below(practice.choices, p_.choices.size());
  }
  bool choice(const Choice& choice) const {
    const auto values_fit = [&](Index s) { return ascending_below(p_.sentences[s].values, choice.values.size()); };
    return ascending_below(choice.sentences, p_.sentences.size()) && std::all_of(choice.sentences.begin(), choice.sentences.end(), values_fit);
  }
  bool ways(const Reading::Ways& w) const {
    for (Index o : {w.withheld, w.discouraged, w.advised, w.allowed, w.care})
      if (!operand(o)) return false;
    return w.otherwise >= Verdict::withheld && (w.otherwise_sentence == no_index || w.otherwise_sentence < p_.sentences.size());
  }
  bool reading(const Reading& r) const {
    const auto sound = [&](Index o) { return operand(o); };
    if (!operand(r.applies) || !operand(r.refers) || r.fires.size() != p_.sentences.size() || r.practices.size() != p_.practices.size() ||
        r.fits.size() != p_.choices.size())
      return false;
    for (std::size_t c = 0; c < r.fits.size(); ++c)
      if (r.fits[c].size() != p_.choices[c].values.size() || !std::all_of(r.fits[c].begin(), r.fits[c].end(), sound)) return false;
    const auto graph_there = [&](Index g) { return g == no_index || g < p_.graphs.size(); };
    return std::all_of(r.fires.begin(), r.fires.end(), sound) && all(r.practices, &Proof::ways) && (r.graphs.empty() || r.graphs.size() == p_.practices.size()) &&
           std::all_of(r.graphs.begin(), r.graphs.end(), graph_there) && graph_there(r.red_flags);
  }

  // A graph is of one practice, in any of the readings; so what a person is told is worked out by going through each once.
  bool graphs_have_one_owner() const {
    std::vector<Index> owner(p_.graphs.size(), no_index);
    for (const Reading& reading : p_.readings) {
      for (Index practice = 0; practice < reading.graphs.size(); ++practice) {
        const Index graph = reading.graphs[practice];
        if (graph == no_index) continue;
        if (graph >= owner.size() || (owner[graph] != no_index && owner[graph] != practice)) return false;
        owner[graph] = practice;
      }
    }
    return true;
  }

  bool question(const DecisionGraph::Question& q) const {
    const std::size_t parts = q.parts.size(), cells = q.shares.size();
    if (parts == 0 || parts > most_parts || cells == 0 || q.first.size() != parts * cells || q.last.size() != parts * cells) return false;
    for (std::size_t i = 0; i < parts; ++i) {
      if (q.parts[i] >= p_.variables.size() || std::count(q.parts.begin(), q.parts.end(), q.parts[i]) != 1) return false;
      for (std::size_t at = i; at < q.first.size(); at += parts)
        if (q.first[at] > q.last[at] || q.last[at] >= p_.variables[q.parts[i]].cells) return false;
    }
    // Of a single variable the cells stand one behind another and are all of it.
    for (std::size_t c = 0; parts == 1 && c < cells; ++c)
      if (q.first[c] != (c == 0 ? 0 : q.last[c - 1] + 1)) return false;
    return parts > 1 || q.last.back() + 1 == p_.variables[q.parts[0]].cells;
  }
  bool way(const DecisionGraph& g, Index to, std::size_t from) const {
    if (to >= DecisionGraph::leaf) {
      const Index code = to - DecisionGraph::leaf;
      return code == DecisionGraph::nobody || (code % DecisionGraph::care < verdict_count && code < 2 * DecisionGraph::care);
    }
    return to < g.nodes.size() && (from == no_index || (to > from && g.nodes[to].question > g.nodes[from].question));
  }
  bool graph(const DecisionGraph& g) const {
    if (!all(g.questions, &Proof::question) || g.nodes.size() * g.questions.size() > DecisionGraph::most_size || !way(g, g.root, no_index)) return false;
    for (std::size_t n = 0; n < g.nodes.size(); ++n) {
      const auto& [asked, ways] = g.nodes[n];
      if (asked >= g.questions.size() || ways.size() < 2 || ways.back().last + 1 != g.questions[asked].cells()) return false;
      for (std::size_t w = 0; w < ways.size(); ++w)
        if ((w > 0 && ways[w].last <= ways[w - 1].last) || !way(g, ways[w].to, n)) return false;
    }
    return true;
  }

  const Pack& p_;
};

}  // namespace

std::string what_is_wrong(const Pack& pack) { return Proof(pack).wrong(); }

}  // namespace betony::runtime
