// The question that leaves the verdicts least mixed.
#include "runtime/asking.h"

#include <algorithm>
#include <array>
#include <map>

namespace betony::runtime {
namespace {

constexpr std::size_t leaves = 16;
using Mix = std::array<double, leaves>;  // of each verdict, its probability
using Question = DecisionGraph::Question;

double total(const Mix& mix) {
  double sum = 0;
  for (double part : mix) sum += part;
  return sum;
}

// Probability times the chance that two persons of the mix differ.
double impurity(const Mix& mix) {
  const double all = total(mix);
  if (all <= 0) return 0;
  double squares = 0;
  for (double part : mix) squares += part * part;
  return all - squares / all;
}

// Persons as they go through an open graph: how many come to each node, and where they end from there.
class Flow {
 public:
  Flow(const OpenPractice& practice)
      : practice_(practice),
        open_(practice.graph),
        graph_(*open_.graph),
        shares_(graph_.questions.size()),
        coming_(graph_.nodes.size()),
        ending_(graph_.nodes.size()) {
    for (Index q = 0; q < shares_.size(); ++q)
      if (open_.asks(q)) shares_[q] = shares(q);
    if (graph_.root < DecisionGraph::leaf) coming_[graph_.root] = 1;
    for (Index n = 0; n < graph_.nodes.size(); ++n) {
      if (!open_.reached[n]) continue;
      for_each_way(n, [&](Index to, double share) {
        if (to < DecisionGraph::leaf) coming_[to] += coming_[n] * share;
      });
    }
    for (Index n = static_cast<Index>(graph_.nodes.size()); n-- > 0;) {
      if (!open_.reached[n]) continue;
      for_each_way(n, [&](Index to, double share) { add(ending_[n], end(to), share); });
    }
  }

  double mixed() const { return settled(impurity(end(graph_.root))); }

  // How mixed it is to be expected once the finding is told.
  double mixed_after(const Reach& reach, Index finding) const {
    for (Index q = 0; q < graph_.questions.size(); ++q) {
      const auto& findings = practice_.findings[q];
      if (std::binary_search(findings.begin(), findings.end(), finding)) return mixed_after(reach, q, finding, findings.size() == 1);
    }
    return mixed();
  }

 private:
  // Of the cells that are allowed, 1 together.
  std::vector<double> shares(Index q) const {
    const auto& question = graph_.questions[q];
    std::vector<double> out(question.cells());
    double all = 0, some = 0;
    for (Index c = 0; c < out.size(); ++c)
      if (open_.allowed[q][c]) all += out[c] = question.shares[c], some += 1;
    for (Index c = 0; c < out.size(); ++c)
      if (open_.allowed[q][c]) out[c] = all > 0 ? out[c] / all : 1 / some;
    return out;
  }

  template <class Visit>
  void for_each_way(Index n, const Visit& visit) const {
    const auto& [q, ways] = graph_.nodes[n];
    Index c = 0;
    for (const DecisionGraph::Way& way : ways) {
      double share = 0;
      for (; c <= way.last; ++c) share += shares_[q][c];
      if (share > 0) visit(way.to, share);
    }
  }

  Mix end(Index to) const {
    if (to < DecisionGraph::leaf) return ending_[to];
    Mix mix{};
    if (to - DecisionGraph::leaf < leaves) mix[to - DecisionGraph::leaf] = 1;  // not of nobody
    return mix;
  }
  static void add(Mix& mix, const Mix& other, double times) {
    for (std::size_t v = 0; v < leaves; ++v) mix[v] += times * other[v];
  }
  double settled(double impurity) const {
    const double all = total(end(graph_.root));
    return all > 0 ? impurity / all : 0;
  }

  // Persons are parted by what they tell: by the run of the finding's part, or, where it is the last that is open, by cell.
  double mixed_after(const Reach& reach, Index q, Index finding, bool is_last) const {
    const Question& question = graph_.questions[q];
    const std::size_t parts = question.parts.size();
    std::size_t part = 0;
    while (part < parts && (reach.pack().variables[question.parts[part]].is_measure || reach.pack().variables[question.parts[part]].index != finding))
      ++part;
    if (part == parts && !is_last) return mixed();  // one of several that a measure asks for
    std::vector<Index> answer_of(question.cells());
    std::map<Index, Index> firsts;
    for (Index c = 0; c < answer_of.size(); ++c) {
      const Index first = is_last ? c : question.first[c * parts + part];
      answer_of[c] = firsts.try_emplace(first, static_cast<Index>(firsts.size())).first->second;
    }
    std::vector<Mix> after(firsts.size());
    std::vector<double> told(firsts.size());
    for (Index c = 0; c < answer_of.size(); ++c) told[answer_of[c]] += shares_[q][c];
    Mix around = end(graph_.root);
    for (Index n = 0; n < graph_.nodes.size(); ++n) {
      if (graph_.nodes[n].question != q || !open_.reached[n]) continue;
      add(around, ending_[n], -coming_[n]);
      Index c = 0;
      for (const DecisionGraph::Way& way : graph_.nodes[n].ways)
        for (; c <= way.last; ++c)
          if (shares_[q][c] > 0) add(after[answer_of[c]], end(way.to), coming_[n] * shares_[q][c]);
    }
    double sum = 0;
    for (std::size_t a = 0; a < after.size(); ++a) {
      add(after[a], around, told[a]);
      for (double& part_of_mix : after[a]) part_of_mix = std::max(0.0, part_of_mix);
      sum += impurity(after[a]);
    }
    return settled(sum);
  }

  const OpenPractice& practice_;
  const OpenGraph& open_;
  const DecisionGraph& graph_;
  std::vector<std::vector<double>> shares_;
  std::vector<double> coming_;
  std::vector<Mix> ending_;
};

}  // namespace

OpenPractice::OpenPractice(const Reach& reach, Index p, OpenGraph g) : practice(p), graph(std::move(g)), findings(graph.graph->questions.size()) {
  for (Index q = 0; q < findings.size(); ++q) {
    if (std::count(graph.allowed[q].begin(), graph.allowed[q].end(), true) < 2) continue;  // not asked, or answered by what is told
    findings[q] = open_findings(reach, graph.graph->questions[q]);
    all_findings.insert(all_findings.end(), findings[q].begin(), findings[q].end());
  }
  std::sort(all_findings.begin(), all_findings.end());
  all_findings.erase(std::unique(all_findings.begin(), all_findings.end()), all_findings.end());
}

bool OpenPractice::asks_for(Index finding) const { return std::binary_search(all_findings.begin(), all_findings.end(), finding); }

bool may_withhold(const Agenda& agenda, Index finding) {
  return std::any_of(agenda.graphs.begin(), agenda.graphs.end(), [&](const OpenPractice& open) {
    return (open.graph.verdicts >> static_cast<unsigned>(Verdict::withheld) & 1u) && open.asks_for(finding);
  });
}

Asked least_mixed(const Reach& reach, const Agenda& agenda, const std::vector<Index>& candidates) {
  std::vector<Flow> flows;
  for (const OpenPractice& open : agenda.graphs) flows.emplace_back(open);
  // Where red flags come first, how mixed these are counts before the rest.
  using Score = std::pair<double, double>;
  Asked best;
  Score least;
  bool best_withholds = false;
  for (Index finding : candidates) {
    Score score;
    for (std::size_t g = 0; g < flows.size(); ++g)
      (agenda.flags_first && g == 0 ? score.first : score.second) += flows[g].mixed_after(reach, finding);
    const auto apart = [](double a, double b) { return a < b - 1e-9; };
    const bool better =
        best.finding == no_index || apart(score.first, least.first) || (!apart(least.first, score.first) && apart(score.second, least.second));
    const bool alike = !better && !apart(least.first, score.first) && !apart(least.second, score.second);
    if (!better && (!alike || best_withholds || !may_withhold(agenda, finding))) continue;
    best.finding = finding;
    if (better) least = score;
    best_withholds = may_withhold(agenda, finding);
  }
  return best;
}

}  // namespace betony::runtime
