// Every order of asking, gone through where few findings are left.
//
// What is known is a number with one digit a finding: its answer, or open, the highest. Answers that no node tells apart are
// one. Of all that is known the outcome is one (then nothing more is asked), or the cost is a question and
// what is to be expected behind its answers; knowing more is always a smaller number, so one pass upwards does it.
#include <algorithm>
#include <map>

#include "runtime/asking.h"
#include "runtime/question.h"

namespace betony::runtime {
namespace {

constexpr std::size_t most_findings = 10, most_known = std::size_t{1} << 16, most_compared = 2'000'000, most_walked = 5'000'000;

struct Dial {
  Index finding = 0, variable = 0;
  Run run;
  std::vector<Index> cells;  // one of each answer
  std::vector<double> shares;
  std::size_t stride = 1;
  bool is_flag = false;  // red flags depend on it
  bool is_known = true;  // it may be asked for
};

class Orders {
 public:
  Orders(const Reach& reach, const Agenda& agenda, const std::vector<Index>& not_known) : reach_(reach), agenda_(agenda), not_known_(not_known) {}

  Asked best() {
    if (!set_dials()) return {};
    find_outcomes();
    return cheapest();
  }

 private:
  static constexpr Index mixed = no_index, nobody = no_index - 1;

  bool is_known(Index finding) const { return !std::binary_search(not_known_.begin(), not_known_.end(), finding); }

  bool set_dials() {
    const Pack& pack = reach_.pack();
    for (const OpenPractice& open : agenda_.graphs) {
      for (Index q = 0; q < open.graph.allowed.size(); ++q) {
        if (!open.graph.asks(q)) continue;
        const auto& question = open.graph.graph->questions[q];
        const Variable& v = pack.variables[question.parts[0]];
        if (question.parts.size() > 1 || v.is_measure) return false;
        if (reach_.answers()[v.index] || reach_.cells()[question.parts[0]].is_told()) continue;
        const auto is_its = [&](const Dial& dial) { return dial.finding == v.index; };
        if (std::none_of(dials_.begin(), dials_.end(), is_its))
          dials_.push_back({v.index, question.parts[0], reach_.cells()[question.parts[0]], {}, {}, 1, false, is_known(v.index)});
        auto& dial = *std::find_if(dials_.begin(), dials_.end(), is_its);
        dial.is_flag = dial.is_flag || open.practice == no_index;
      }
    }
    if (dials_.empty() || dials_.size() > most_findings) return false;
    std::sort(dials_.begin(), dials_.end(), [](const Dial& a, const Dial& b) { return a.finding < b.finding; });
    known_ = 1;
    for (Dial& dial : dials_) {
      if (!tell_answers_apart(dial)) return false;
      dial.stride = known_;
      known_ *= dial.cells.size() + 1;
      if (known_ > most_known) return false;
    }
    return may_walk();
  }

  // Whether it is not too much to go through every graph with all that may be known, and to keep where each ends.
  bool may_walk() const {
    std::size_t persons = 1, nodes = 0;
    for (const Dial& dial : dials_) persons *= dial.cells.size();
    for (const OpenPractice& open : agenda_.graphs)
      for (Index q = 0; q < open.graph.allowed.size(); ++q) nodes += open.graph.asks(q);
    return nodes <= most_walked / persons;
  }

  static Index local_cell(const DecisionGraph::Question& question, Index cell) {
    return static_cast<Index>(std::lower_bound(question.last.begin(), question.last.end(), cell) - question.last.begin());
  }
  static Index way(const DecisionGraph::Node& node, Index local) {
    const auto before = [local](const DecisionGraph::Way& w) { return w.last < local; };
    return std::partition_point(node.ways.begin(), node.ways.end(), before)->to;
  }

  // Cells that every node sends the same way are one answer.
  bool tell_answers_apart(Dial& dial) {
    struct Place {
      const DecisionGraph* graph;
      Index node;
    };
    std::vector<Place> places;
    for (const OpenPractice& open : agenda_.graphs)
      for (Index n = 0; n < open.graph.reached.size(); ++n)
        if (open.graph.reached[n] && open.graph.graph->questions[open.graph.graph->nodes[n].question].parts[0] == dial.variable)
          places.push_back({open.graph.graph, n});
    if (places.size() * (dial.run.last - dial.run.first + 1) > most_compared) return false;
    const std::vector<double> shares = shares_of(reach_.pack(), reach_.pack().variables[dial.variable]);
    std::map<std::vector<Index>, std::size_t> known;
    for (Index cell = dial.run.first; cell <= dial.run.last; ++cell) {
      std::vector<Index> ways;
      for (const Place& p : places)
        ways.push_back(way(p.graph->nodes[p.node], local_cell(p.graph->questions[p.graph->nodes[p.node].question], cell)));
      const auto [at, is_new] = known.try_emplace(std::move(ways), dial.cells.size());
      if (is_new) dial.cells.push_back(cell), dial.shares.push_back(0);
      dial.shares[at->second] += shares[cell];
    }
    return true;
  }

  // The leaf where somebody with these answers ends (answers by dial).
  Index leaf_of(const OpenGraph& open, const std::vector<Index>& dial_of_variable, const std::vector<std::size_t>& answers) const {
    Index at = open.graph->root;
    while (at < DecisionGraph::leaf) {
      const DecisionGraph::Node& node = open.graph->nodes[at];
      const auto& question = open.graph->questions[node.question];
      const Index dial = dial_of_variable[question.parts[0]];
      const Index cell = dial == no_index ? reach_.cells()[question.parts[0]].first : dials_[dial].cells[answers[dial]];
      at = way(node, local_cell(question, cell));
    }
    return at;
  }

  void find_outcomes() {
    outcome_.assign(known_, nobody), flags_.assign(known_, nobody), mass_.assign(known_, 0);
    std::vector<Index> dial_of_variable(reach_.pack().variables.size(), no_index);
    for (Index d = 0; d < dials_.size(); ++d) dial_of_variable[dials_[d].variable] = d;
    std::map<std::vector<Index>, Index> outcomes;
    std::vector<std::size_t> digits(dials_.size());
    for (std::size_t k = 0; k < known_; ++k) {
      Index open = no_index;
      double mass = 1;
      for (Index d = static_cast<Index>(dials_.size()); d-- > 0;) {
        digits[d] = k / dials_[d].stride % (dials_[d].cells.size() + 1);
        if (digits[d] == dials_[d].cells.size())
          open = d;
        else
          mass *= dials_[d].shares[digits[d]];
      }
      if (open != no_index)
        put_together(k, open);
      else
        tell_outcome(k, mass, dial_of_variable, digits, outcomes);
    }
  }

  void tell_outcome(std::size_t k, double mass, const std::vector<Index>& dial_of_variable, const std::vector<std::size_t>& answers,
                    std::map<std::vector<Index>, Index>& outcomes) {
    std::vector<Index> leaves;
    for (const OpenPractice& open : agenda_.graphs) {
      leaves.push_back(leaf_of(open.graph, dial_of_variable, answers));
      if (leaves.back() == DecisionGraph::leaf + DecisionGraph::nobody) return;
    }
    mass_[k] = mass;
    flags_[k] = agenda_.flags_first ? leaves[0] : 0;
    // Of somebody who is referred nothing more is asked, whatever else differs.
    const bool referred = agenda_.flags_first && leaves[0] == DecisionGraph::leaf + static_cast<Index>(Verdict::referred);
    if (referred) leaves.resize(1);
    outcome_[k] = outcomes.try_emplace(std::move(leaves), static_cast<Index>(outcomes.size())).first->second;
  }

  static Index joined(Index a, Index b) { return a == nobody ? b : b == nobody || a == b ? a : mixed; }

  void put_together(std::size_t k, Index open) {
    const Dial& dial = dials_[open];
    for (std::size_t a = 0; a < dial.cells.size(); ++a) {
      const std::size_t more = k - (dial.cells.size() - a) * dial.stride;
      mass_[k] += mass_[more];
      outcome_[k] = joined(outcome_[k], outcome_[more]);
      flags_[k] = joined(flags_[k], flags_[more]);
    }
  }

  // What is to be expected where the dial is asked at k.
  double cost_of(std::size_t k, const Dial& dial) const {
    double sum = 0, some = 0;
    for (std::size_t a = 0; a < dial.cells.size(); ++a) {
      const std::size_t more = k - (dial.cells.size() - a) * dial.stride;
      if (outcome_[more] == nobody) continue;
      const double weight = mass_[k] > 0 ? mass_[more] : 1;
      sum += weight * cost_[more];
      some += weight;
    }
    return 1 + (some > 0 ? sum / some : 0);
  }

  Asked cheapest() {
    cost_.assign(known_, 0);
    Asked best;
    for (std::size_t k = 0; k < known_; ++k) {
      if (outcome_[k] != mixed) continue;
      const bool flags_only = flags_[k] == mixed, is_start = k + 1 == known_;
      double least = 0;
      bool any = false, best_withholds = false;
      for (const Dial& dial : dials_) {
        if (!dial.is_known || k / dial.stride % (dial.cells.size() + 1) != dial.cells.size() || (flags_only && !dial.is_flag)) continue;
        const double cost = cost_of(k, dial);
        const bool better = !any || cost < least - 1e-9;
        if (is_start) {
          const bool withholds = may_withhold(agenda_, dial.finding);
          const bool alike = !better && cost < least + 1e-9;
          if (better || (alike && withholds && !best_withholds)) best.finding = dial.finding, best_withholds = withholds;
        }
        if (better) least = cost;
        any = true;
      }
      cost_[k] = least;
    }
    best.further = cost_.back();
    return best.finding == no_index ? Asked{} : best;
  }

  const Reach& reach_;
  const Agenda& agenda_;
  const std::vector<Index>& not_known_;
  std::vector<Dial> dials_;
  std::size_t known_ = 1;
  std::vector<Index> outcome_, flags_;  // of all that is known
  std::vector<double> mass_, cost_;
};

}  // namespace

Asked best_of_all_orders(const Reach& reach, const Agenda& agenda, const std::vector<Index>& not_known) {
  return Orders(reach, agenda, not_known).best();
}

}  // namespace betony::runtime
