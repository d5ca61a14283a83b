#include "compiler/trial/shrink.h"

#include <rapidcheck.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace betony::trial {
namespace {

using Tree = rc::Shrinkable<Outcomes>;

class Shrinker {
 public:
  Shrinker(const Sampler& sampler, const std::vector<Index>& matter, const std::function<bool(const Outcomes&)>& breaks, std::size_t most_tries)
      : sampler_(sampler), matter_(matter), breaks_(breaks), left_(most_tries), usual_(sampler.usual()) {}

  Outcomes run(Outcomes person) {
    const auto breaks = [this](const Outcomes& tried) { return left_ > 0 && --left_ > 0 && breaks_(tried); };
    if (const auto plain = among_the_plainest(person, breaks)) person = *plain;
    const Tree tree = rc::shrinkable::shrinkRecur(person, [this](const Outcomes& at) { return rc::seq::fromContainer(plainer(at)); });
    return rc::shrinkable::findLocalMin(tree, breaks).first;
  }

 private:
  // Unusual answers, how far they are from the usual ones, and how rare.
  using Cost = std::tuple<unsigned, unsigned, double>;
  Cost cost(const Outcomes& person) const {
    unsigned unusual = 0, far = 0;
    double rare = 0;
    for (std::size_t g = 0; g < person.size(); ++g) {
      if (person[g] == usual_[g]) continue;
      const Group& group = sampler_.groups()[g];
      const Outcome &own = group.outcomes[person[g]], &usual = group.outcomes[usual_[g]];
      unusual += own.unusual;
      for (std::size_t v = 0; v < group.findings.size(); ++v) {
        const Index a = own.cells[v], b = usual.cells[v];
        far += is_ordered(group.findings[v]) ? (a > b ? a - b : b - a) : a != b;
      }
      rare -= own.share > 0 ? std::log(own.share) : -40;
    }
    return {unusual, far, rare};
  }

  bool is_ordered(Index finding) const { return sampler_.ruleset().findings[finding].kind != Finding::Kind::one_of; }

  std::vector<Index> unusual_groups(const Outcomes& person) const {
    std::vector<Index> out;
    for (Index g = 0; g < person.size(); ++g)
      if (person[g] != usual_[g]) out.push_back(g);
    return out;
  }

  // The usual person, then those with one unusual answer, then with two; by a third of the tries at most.
  template <class Breaks>
  std::optional<Outcomes> among_the_plainest(const Outcomes& person, const Breaks& breaks) {
    const std::size_t reserved = left_ / 3 * 2, unusual = sampler_.unusual(person);
    Outcomes tried = usual_;
    if (breaks(tried)) return tried;
    std::vector<std::pair<Index, std::uint16_t>> single;
    for (Index g : matter_)
      for (std::uint16_t o : plainest_first(g))
        if (o != usual_[g]) single.emplace_back(g, o);
    for (std::size_t depth = 1; depth <= 2 && depth < unusual; ++depth)
      for (std::size_t i = 0; i < single.size(); ++i) {
        for (std::size_t j = depth == 1 ? i : i + 1; j < (depth == 1 ? i + 1 : single.size()); ++j) {
          if (depth == 2 && single[i].first == single[j].first) continue;
          if (left_ < reserved) return std::nullopt;
          tried = usual_;
          tried[single[i].first] = single[i].second;
          tried[single[j].first] = single[j].second;
          if (breaks(tried)) return tried;
        }
      }
    return std::nullopt;
  }

  std::vector<std::uint16_t> plainest_first(Index group) const {
    const auto& outcomes = sampler_.groups()[group].outcomes;
    std::vector<std::uint16_t> out(outcomes.size());
    for (std::size_t o = 0; o < out.size(); ++o) out[o] = static_cast<std::uint16_t>(o);
    std::stable_sort(out.begin(), out.end(), [&](std::uint16_t a, std::uint16_t b) {
      if (outcomes[a].unusual != outcomes[b].unusual) return outcomes[a].unusual < outcomes[b].unusual;
      return outcomes[a].share > outcomes[b].share;
    });
    return out;
  }

  // Persons a step plainer, the greatest steps first.
  std::vector<Outcomes> plainer(const Outcomes& person) const {
    std::vector<Outcomes> out;
    const Cost own = cost(person);
    const auto take = [&](Outcomes tried) {
      if (tried != person && cost(tried) < own) out.push_back(std::move(tried));
    };
    const std::vector<Index> unusual = unusual_groups(person);
    for (std::size_t length = unusual.size(); length >= 1; length = length == 1 ? 0 : (length + 1) / 2)   // halves, quarters, single ones
      for (std::size_t from = 0; from < unusual.size(); from += length) {
        Outcomes tried = person;
        for (std::size_t i = from; i < std::min(from + length, unusual.size()); ++i) tried[unusual[i]] = usual_[unusual[i]];
        take(std::move(tried));
      }
    for (Index g : unusual)
      for (std::uint16_t o : plainest_first(g)) {
        Outcomes tried = person;
        tried[g] = o;
        take(std::move(tried));
      }
    swaps(person, unusual, take);
    return out;
  }

  // Two answers taken back, or one, and another changed.
  template <class Take>
  void swaps(const Outcomes& person, const std::vector<Index>& unusual, const Take& take) const {
    static constexpr std::size_t most_unusual = 6, most_outcomes = 40;
    if (unusual.size() < 2 || unusual.size() > most_unusual) return;
    for (std::size_t i = 0; i < unusual.size(); ++i)
      for (std::size_t j = i; j < unusual.size(); ++j)
        for (Index g : matter_) {
          if (g == unusual[i] || g == unusual[j]) continue;
          const auto order = plainest_first(g);
          for (std::size_t o = 0; o < order.size() && o < most_outcomes; ++o) {
            Outcomes tried = person;
            tried[unusual[i]] = usual_[unusual[i]];
            tried[unusual[j]] = usual_[unusual[j]];
            tried[g] = order[o];
            take(std::move(tried));
          }
        }
  }

  const Sampler& sampler_;
  const std::vector<Index>& matter_;
  const std::function<bool(const Outcomes&)>& breaks_;
  std::size_t left_;
  const Outcomes usual_;
};

}  // namespace

Outcomes shrunk(const Sampler& sampler, const Outcomes& person, const std::vector<Index>& matter, const std::function<bool(const Outcomes&)>& breaks,
                const Shrinking& how) {
  return Shrinker(sampler, matter, breaks, how.most_tries).run(person);
}

}  // namespace betony::trial
