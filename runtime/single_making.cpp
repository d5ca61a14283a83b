// Makes a SingleWeigher of a reading: items, what each asks for, and the rows of the inputs.
#include <algorithm>
#include <map>
#include <optional>

#include "runtime/single_way_making.h"

namespace betony::runtime {

class SingleWeigher::Maker {
 public:
  explicit Maker(SingleWeigher& made) : made_(made), program_(made.program_), ways_(made) {}

  void make(const Reading& reading) {
    look_at_gates();
    look_at_inputs();
    look_behind_measures();
    made_.applies_ = reading.applies;
    std::vector<Group> groups{alternatives(reading.refers)};
    for (const Reading::Ways& w : reading.practices)
      for (const Index operand : {w.withheld, w.discouraged, w.advised, w.allowed, w.care}) groups.push_back(alternatives(operand));
    choose_clauses(groups);
    auto group = groups.begin();
    put(*group++);
    made_.flags_ = ended();
    for (std::size_t p = 0; p < reading.practices.size(); ++p) {
      practice(reading, p);
      for (std::uint32_t& end : made_.practices_[p].ends) put(*group++), end = static_cast<std::uint32_t>(items_.size() - first_);
      made_.practices_[p].items = ended();
    }
    weave();
    put_ways();
    for (Practice& practice : made_.practices_) {
      if (practice.items.is_exact && practice.items.count == 1 && practice.ends[4] <= few) put_table(practice);
    }
  }

 private:
  using Operands = std::vector<Index>;

  // Inputs, as operands, one of which must be yes where the part is to hold.
  struct Clause {
    Operands inputs;
    Index part = 0;        // none where several items were put together
    bool is_part = false;  // the part holds as soon as one of them is yes
  };
  // What an item asks for: parts that all must hold. One that holds as long as an input is not yes forbids it.
  struct Asked {
    std::vector<Clause> clauses;
    Operands forbidden, rest;  // rest: parts that are neither forbidden inputs nor clauses
    Operands operands = {};    // of which one must hold: its own, or those of all that were put together
    bool is_one_clause() const { return clauses.size() == 1 && clauses[0].is_part && rest.empty() && forbidden.empty(); }
  };
  using Group = std::vector<Asked>;  // any of them

  bool is_gate(Index o) const { return o / 2 > program_.inputs; }
  const Gate& gate(Index o) const { return program_.gates[o / 2 - 1 - program_.inputs]; }
  bool is_input(Index o) const { return o > 1 && !is_gate(o); }
  bool is_any(Index o) const { return is_gate(o) && gate(o).kind == (o & 1u ? Gate::Kind::all : Gate::Kind::any); }
  bool is_all(Index o) const { return is_gate(o) && gate(o).kind == (o & 1u ? Gate::Kind::any : Gate::Kind::all); }

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
    made_.blocks_ = std::max<std::size_t>(1, (program_.inputs + Literals::inputs - 1) / Literals::inputs);
    made_.of_wide_.resize(made_.blocks_), made_.of_words_.resize(made_.blocks_);
    for (Index v = 0; v < made_.pack_.variables.size(); ++v) {
      const Variable& variable = made_.pack_.variables[v];
      for (Index i = variable.first_input; i < variable.first_input + variable.inputs; ++i) {
        made_.variable_of_[i] = v;
        if (variable.is_measure) made_.measured_[i / 64] |= std::uint64_t{1} << (i % 64);
      }
      const bool has_words = made_.has_words(variable);
      if (variable.inputs == 1 && has_words) continue;
      made_.wide_.push_back(v);
      for (Index i = variable.first_input; i < variable.first_input + variable.inputs; ++i) {
        const std::uint64_t bit = std::uint64_t{1} << (i % 64);
        made_.of_wide_[i / Literals::inputs].yes[i / 64 % Literals::words] |= bit;
        if (has_words) made_.of_words_[i / Literals::inputs].yes[i / 64 % Literals::words] |= bit;
      }
    }
  }

  void look_behind_measures() {
    const Pack& pack = made_.pack_;
    std::vector<bool> measures(pack.measures.size()), findings(pack.findings.size());
    for (const Variable& variable : pack.variables)
      if (variable.is_measure) measures[variable.index] = true;
    Behind& behind = made_.behind_measures_;
    for (std::size_t m = measures.size(); m-- > 0;)  // each asks for those before it only
      if (measures[m])
        for (const Step& step : pack.measures[m].formula) {
          if (step.kind == Step::Kind::measure) measures[step.index] = true;
          if (step.kind == Step::Kind::finding) findings[step.index] = true;
          if (step.kind == Step::Kind::tally) behind.hidden = true;
        }
    for (Index v = 0; v < pack.variables.size(); ++v)
      if (const Variable& variable = pack.variables[v]; !variable.is_measure && findings[variable.index])
        behind.variables.push_back(v), findings[variable.index] = false;
    behind.hidden = behind.hidden || std::count(findings.begin(), findings.end(), true) > 0;
  }

  // ---------------------------------------------------------------- items

  void practice(const Reading& reading, std::size_t p) {
    const Reading::Ways& w = reading.practices[p];
    Practice& out = made_.practices_.emplace_back();
    const bool with_care = w.otherwise_care && may_be_done(w.otherwise);
    out.otherwise = static_cast<std::uint8_t>(static_cast<unsigned>(w.otherwise) + (with_care ? DecisionGraph::care : 0));
    for (unsigned rung = 0; rung < 5; ++rung) {
      const unsigned plain = rung < 4 ? static_cast<unsigned>(Verdict::withheld) + rung : out.otherwise;
      const bool may_have_care = may_be_done(static_cast<Verdict>(plain % DecisionGraph::care));
      out.codes[rung][0] = static_cast<std::uint8_t>(plain);
      out.codes[rung][1] = static_cast<std::uint8_t>(may_have_care ? plain | DecisionGraph::care : plain);
    }
    if (!reading.graphs.empty() && reading.graphs[p] != no_index) out.graph = &made_.pack_.graphs[reading.graphs[p]];
  }

  // Gates that stand within others of their kind are opened.
  Group alternatives(Index operand) const {
    Group out;
    Operands rest{operand};
    while (!rest.empty()) {
      const Index o = rest.back();
      rest.pop_back();
      if (o == 0) continue;
      if (!is_any(o) || out.size() > most_items) {
        out.push_back(asked_by(o));
        continue;
      }
      const auto& parts = gate(o).operands;
      for (std::size_t i = parts.size(); i-- > 0;) rest.push_back(parts[i] ^ (o & 1u));
    }
    return out;
  }

  Asked asked_by(Index operand) const {
    Asked out;
    out.operands = {operand};
    for (const Index o : conjunction(operand)) {
      Clause clause{{}, o, is_clause(o)};
      unsigned work = 0;
      if (is_input(o) && (o & 1u)) {
        out.forbidden.push_back(o);
        continue;
      }
      const bool has_clause = necessary(o, clause.inputs, work);
      if (has_clause) out.clauses.push_back(clause);
      if (!has_clause || !clause.is_part) out.rest.push_back(o);
    }
    return out;
  }

  // Met as soon as one of some inputs is yes.
  bool is_clause(Index o) const {
    if (is_input(o)) return !(o & 1u);
    return is_any(o) && !gate(o).operands.empty() && gate(o).operands.size() <= most_together &&
           std::all_of(gate(o).operands.begin(), gate(o).operands.end(), [&](Index inner) { return is_input(inner) && !((inner ^ o) & 1u); });
  }

  // Inputs of which one must be yes where the operand is to be; false where there is no such clause.
  bool necessary(Index o, Operands& clause, unsigned& work) const {
    if (++work > most_together || clause.size() > most_together) return false;
    if (is_input(o)) {
      clause.push_back(o);
      return !(o & 1u);
    }
    if (is_any(o) && !gate(o).operands.empty()) {
      return std::all_of(gate(o).operands.begin(), gate(o).operands.end(), [&](Index inner) { return necessary(inner ^ (o & 1u), clause, work); });
    }
    if (!is_all(o)) return false;
    std::optional<Operands> best;
    for (const Index inner : gate(o).operands) {
      Operands one;
      if (necessary(inner ^ (o & 1u), one, work) && (!best || one.size() < best->size())) best = std::move(one);
    }
    if (best) clause.insert(clause.end(), best->begin(), best->end());
    return best.has_value();
  }

  // Parts that all must hold: inputs first, then gates that nobody else asks for.
  Operands conjunction(Index operand) const {
    Operands out, rest{operand};
    while (!rest.empty()) {
      const Index o = rest.back();
      rest.pop_back();
      if (!is_all(o) || out.size() > most_together)
        out.push_back(o);
      else
        for (const Index part : gate(o).operands) rest.push_back(part ^ (o & 1u));
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    if (!out.empty() && out[0] == 1) out.erase(out.begin());  // what always holds
    const auto rank = [this](Index o) { return !is_gate(o) ? 0 : made_.shared_[o / 2 - 1 - program_.inputs] == no_index ? 1 : 2; };
    std::stable_sort(out.begin(), out.end(), [&](Index a, Index b) { return rank(a) < rank(b); });
    return out;
  }

  // ---------------------------------------------------------------- rows

  // Of more clauses than there are rows for, those are kept that the fewest items ask for.
  void choose_clauses(std::vector<Group>& groups) const {
    std::vector<std::size_t> asked(program_.inputs);
    const auto each = [&](const auto& use) {
      for (Group& group : groups)
        for (Asked& item : group) use(item);
    };
    each([&](const Asked& item) {
      for (const Clause& clause : item.clauses)
        for (const Index o : clause.inputs) ++asked[o / 2 - 1];
    });
    const auto uses = [&](const Clause& clause) {
      std::size_t out = 0;
      for (const Index o : clause.inputs) out += asked[o / 2 - 1];
      return out;
    };
    each([&](Asked& item) {
      std::stable_sort(item.clauses.begin(), item.clauses.end(), [&](const Clause& a, const Clause& b) { return uses(a) < uses(b); });
      for (; item.clauses.size() > most_clauses; item.clauses.pop_back())
        if (item.clauses.back().is_part) item.rest.push_back(item.clauses.back().part);
    });
  }

  // As items, those that are soon looked up first; what asks for one clause only is put together.
  void put(Group& group) {
    std::optional<Asked> one_clause;
    for (Asked& item : group) {
      if (!item.is_one_clause()) continue;
      if (!one_clause) one_clause = Asked{{Clause{{}, 0, true}}, {}, {}};
      Operands &all = one_clause->clauses[0].inputs, &its = item.clauses[0].inputs;
      all.insert(all.end(), its.begin(), its.end());
      one_clause->operands.push_back(item.operands[0]);
    }
    if (one_clause) {
      Operands& inputs = one_clause->clauses[0].inputs;
      std::sort(inputs.begin(), inputs.end());
      inputs.erase(std::unique(inputs.begin(), inputs.end()), inputs.end());
      items_.push_back(std::move(one_clause));
    }
    std::stable_sort(group.begin(), group.end(), [](const Asked& a, const Asked& b) { return a.rest.size() < b.rest.size(); });
    for (Asked& item : group)
      if (!item.is_one_clause()) items_.push_back(std::move(item));
  }

  // Items that belong together begin at a word.
  Area ended() {
    const std::size_t count = items_.size() - first_, words = (count + 63) / 64;
    const bool exact =
        std::all_of(items_.begin() + static_cast<std::ptrdiff_t>(first_), items_.end(), [](const auto& item) { return item->rest.empty(); });
    const Area out{static_cast<std::uint32_t>(first_ / 64), static_cast<std::uint32_t>(words), exact};
    items_.resize(first_ + words * 64);
    first_ = items_.size();
    return out;
  }

  void weave() {
    made_.width_ = std::max<std::size_t>(1, (items_.size() / 64 + words_together - 1) / words_together) * words_together;
    bool forbids = false;
    for (const auto& item : items_)
      if (item) made_.clauses_ = std::max(made_.clauses_, item->clauses.size()), forbids = forbids || !item->forbidden.empty();
    made_.layers_ = made_.clauses_ + forbids;
    const bool few = made_.width_ * made_.layers_ <= most_row_words / (program_.inputs + std::size_t{1});
    if (!few) made_.clauses_ = made_.layers_ = 1;
    const std::size_t row = made_.width_ * made_.layers_;
    made_.rows_.assign(few ? (program_.inputs + 1) * row : 0, 0);
    made_.first_row_.assign(row, 0);
    made_.items_.resize(items_.size());
    made_.exact_.resize(made_.width_);
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (!items_[i]) continue;
      Asked& asked = *items_[i];
      const std::size_t word = i / 64;
      const std::uint64_t bit = std::uint64_t{1} << (i % 64);
      const auto mark = [&](Index o, std::size_t layer) { made_.rows_[(o / 2 - 1) * row + layer * made_.width_ + word] |= bit; };
      for (std::size_t layer = 0; layer < made_.clauses_; ++layer) {
        if (!few || layer >= asked.clauses.size()) {
          made_.first_row_[layer * made_.width_ + word] |= bit;
          continue;
        }
        for (const Index o : asked.clauses[layer].inputs) mark(o, layer);
      }
      if (few)
        for (const Index o : asked.forbidden) mark(o, made_.clauses_);
      put_parts(asked, few, made_.items_[i]);
      if (made_.items_[i].begin == made_.items_[i].end) made_.exact_[word] |= bit;
    }
    if (!few)
      for (Area* area : areas()) area->is_exact = false;
  }
  std::vector<Area*> areas() {
    std::vector<Area*> out{&made_.flags_};
    for (Practice& practice : made_.practices_) out.push_back(&practice.items);
    return out;
  }

  void put_parts(const Asked& asked, bool few, Item& item) {
    auto& parts = made_.parts_;
    item.begin = static_cast<std::uint32_t>(parts.size());
    for (const Clause& clause : asked.clauses) {
      if (few || !clause.is_part) continue;  // where there are rows they tell it
      if (clause.inputs.size() > 1) parts.push_back(any_of_these + static_cast<Index>(clause.inputs.size()));
      parts.insert(parts.end(), clause.inputs.begin(), clause.inputs.end());
    }
    if (!few) parts.insert(parts.end(), asked.forbidden.begin(), asked.forbidden.end());
    for (const Index o : asked.rest) {
      const bool of_inputs = is_any(o) && made_.gates_[o / 2 - 1 - program_.inputs].of_inputs;
      const bool alone = of_inputs && !gate(o).operands.empty() && gate(o).operands.size() <= most_together;
      if (alone) parts.push_back(any_of_these + static_cast<Index>(gate(o).operands.size()));
      if (!alone)
        parts.push_back(o);
      else
        for (const Index inner : gate(o).operands) parts.push_back(inner ^ (o & 1u));
    }
    item.end = static_cast<std::uint32_t>(parts.size());
  }

  // ---------------------------------------------------------------- ways

  void put_ways() {
    for (Practice& practice : made_.practices_) {
      std::vector<WayMaker::Asked> rungs[5];
      std::uint32_t at = 0;
      for (unsigned rung = 0; rung < 5; at = practice.ends[rung++]) rungs[rung] = asked_in(practice.items, at, practice.ends[rung]);
      practice.ways = ways_.put_table(rungs);
      for (unsigned rung = 4; rung > 0; --rung) {
        const std::uint32_t its = std::uint32_t{1} << practice.codes[rung][0] | std::uint32_t{1} << practice.codes[rung][1];
        practice.codes_behind[rung - 1] = practice.codes_behind[rung] | (rung == 4 || !rungs[rung].empty() ? its : 0);
      }
    }
    made_.nobody_ = ways_.put_conditions(asked_otherwise(made_.pack_.background));
    made_.not_meant_ = ways_.put_conditions(asked_otherwise(made_.applies_));
    made_.referred_ = ways_.put_conditions(asked_in(made_.flags_, 0, made_.flags_.count * 64));
    ways_.put_sides();
  }

  std::vector<WayMaker::Asked> asked_in(const Area& area, std::uint32_t begin, std::uint32_t end) const {
    std::vector<WayMaker::Asked> out;
    for (std::size_t i = area.first * std::size_t{64} + begin; i < area.first * std::size_t{64} + end; ++i)
      if (items_[i]) out.push_back(ways_asked(*items_[i]));
    return out;
  }
  std::vector<WayMaker::Asked> asked_otherwise(Index operand) const {
    std::vector<WayMaker::Asked> out;
    for (const Asked& asked : alternatives(operand ^ 1u)) out.push_back(ways_asked(asked));
    return out;
  }
  WayMaker::Asked ways_asked(const Asked& asked) const {
    if (asked.is_one_clause()) return {asked.operands[0], {}, asked.clauses[0].inputs};
    return {asked.operands[0], conjunction(asked.operands[0]), {}};
  }

  void put_table(Practice& practice) {
    practice.table = static_cast<std::uint32_t>(made_.tables_.size());
    for (std::uint64_t items = 0; items >> practice.ends[4] == 0; ++items) made_.tables_.push_back(code_of_exact(practice, &items));
  }

  static constexpr std::uint32_t few = 8;
  static constexpr std::size_t words_together = 8;  // rows are a multiple of these
  static constexpr std::size_t most_items = std::size_t{1} << 16, most_together = 1024, most_clauses = 3;
  static constexpr std::size_t most_row_words = std::size_t{1} << 23;  // 64 MiB
  static constexpr Index most_depth = 200;
  SingleWeigher& made_;
  const Program& program_;
  WayMaker ways_;
  std::vector<std::optional<Asked>> items_;  // nothing where a word is filled up
  std::size_t first_ = 0;
};

void SingleWeigher::make(const Reading& reading) {
  Maker(*this).make(reading);
  prefer();
}

}  // namespace betony::runtime
