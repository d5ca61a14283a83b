// Sources that disagree: the meetings of indications and bans, by the two sources that speak against each other, with
// which of them prevails.
//
// A meeting is looked at whatever becomes of it: an indication that names the ban in `despite` prevails, and of all
// others the ban does, unless a graver one does. What is told is the verdict; whoever asked for it has prevailed.
// A source that stands behind both sentences does not disagree. Every practice notes its meetings with their shares;
// where two sources meet in several practices, the persons concerned are put together in a space of their own. Where that
// would grow too large the shares are told as intervals: no less than in any one practice, no more than in all added up.
#include <algorithm>

#include "compiler/check/checks.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Pair = Disagreement::Pair;
using Two = std::pair<Index, Index>;  // sources, in the order of their declarations
using tree::Verdict;

// Of persons put together over several practices; what is more is told between bounds.
constexpr std::size_t most_meetings = 2'000;
constexpr std::uint64_t most_nodes = 200'000, most_steps = 2'000'000;
const char* const what_is_open = "which sources disagree";

// The persons of all meetings of two sources, and those for whom each of the two prevails.
struct Regions {
  Node all = Graph::no, first = Graph::no, second = Graph::no;

  void add(Graph& graph, Node where, Node indicated, Node banned, bool first_indicates, SourcesDisagree& seen) {
    Node &for_indication = first_indicates ? first : second, &for_ban = first_indicates ? second : first;
    all = graph.either(all, where);
    for_indication = graph.either(for_indication, indicated);
    for_ban = graph.either(for_ban, banned);
    ++seen.places;
    (first_indicates ? seen.first : seen.second).places += indicated != Graph::no;
    (first_indicates ? seen.second : seen.first).places += banned != Graph::no;
  }

  void share(Space& space, SourcesDisagree& seen) const {
    const Node people = space.looked_at({});
    for (const auto& [region, share] : {std::pair(all, &seen.share), std::pair(first, &seen.first.share), std::pair(second, &seen.second.share)}) {
      space.graph().spend(space.graph().reachable(region).size());
      *share = space.share(region, people);
    }
  }
};

// ---------------------------------------------------------------- in one practice

class Meetings {
 public:
  Meetings(Study& study, PracticeStudy& practice)
      : study_(study), practice_(practice), space_(practice.space), graph_(space_.graph()), voices_(practice.voices.at(no_index)) {}

  // Nothing, and not settled, if too many sources meet.
  std::vector<Disagreement> all() {
    for (const auto* indications : {&voices_.indicated, &voices_.allowed})
      for (const auto& indication : *indications)
        if (!meet(indication.sentence)) {
          study_.not_settled(what_is_open);
          return {};
        }
    std::vector<Disagreement> result;
    for (auto& [sources, there] : by_sources_) {
      graph_.spend(500);  // kept over all practices
      there.regions.share(space_, there.told.seen);
      result.push_back(std::move(there.told));
    }
    return result;
  }

 private:
  struct There {
    Disagreement told;
    Regions regions;
  };

  bool meet(Index indication) {
    const std::set<Index>& own = sources(indication);
    const Node speaks = graph_.both(fires(indication), space_.looked_at({}));
    if (own.empty() || speaks == Graph::no) return true;
    for (const auto* bans : {&voices_.contraindicated, &voices_.discouraged})
      for (const auto& ban : *bans) {
        const std::set<Index>& other = sources(ban.sentence);
        graph_.spend(1 + own.size() * other.size());
        const std::vector<Two> against = speak_against(own, other);
        const Node where = against.empty() ? Graph::no : graph_.both(speaks, fires(ban.sentence));
        if (where == Graph::no) continue;
        const Node indicated = graph_.both(where, verdict(indication)), banned = graph_.both(where, verdict(ban.sentence));
        for (const auto& [a, b] : against) {
          graph_.spend(64);  // as long as each is kept in mind, there cannot be millions
          There& there = by_sources_[std::minmax(a, b)];
          there.told.practice = practice_.practice;
          there.told.seen.first.source = std::min(a, b), there.told.seen.second.source = std::max(a, b);
          there.told.pairs.push_back({indication, ban.sentence, a < b});
          there.regions.add(graph_, where, indicated, banned, a < b, there.told.seen);
        }
        if (by_sources_.size() > most_source_pairs) return false;
      }
    return true;
  }

  // {of the indication, of the ban}: sources that speak for one of the two alone.
  static std::vector<Two> speak_against(const std::set<Index>& indicates, const std::set<Index>& bans) {
    std::vector<Two> result;
    for (Index a : indicates)
      for (Index b : bans)
        if (bans.count(a) == 0 && indicates.count(b) == 0) result.emplace_back(a, b);
    return result;
  }

  const std::set<Index>& sources(Index sentence) {
    const auto [at, is_new] = sources_.try_emplace(sentence);
    if (is_new)
      for (const Citation& citation : study_.ruleset.sentences[sentence].citations) at->second.insert(citation.source);
    return at->second;
  }

  Node fires(Index sentence) { return space_.of(study_.meaning.fires(sentence, {})); }

  // Who is told what the sentence says.
  Node verdict(Index sentence) {
    const Verdict asked = verdict_asked(study_.ruleset.sentences[sentence]).value();
    const auto [at, is_new] = verdicts_.try_emplace(asked, Graph::no);
    if (is_new) at->second = graph_.where(voices_.all, [&](std::int64_t n) { return VerdictCode::of(n).verdict == asked; });
    return at->second;
  }

  Study& study_;
  PracticeStudy& practice_;
  Space& space_;
  Graph& graph_;
  const Voices& voices_;
  std::map<Index, std::set<Index>> sources_;
  std::map<Verdict, Node> verdicts_;
  std::map<Two, There> by_sources_;
};

// ---------------------------------------------------------------- in several practices

std::vector<Form> asked_everywhere(Study& study, const std::vector<Disagreement>& all) {
  std::vector<Form> asked;
  for (const Disagreement& there : all)
    for (const Pair& pair : there.pairs)
      for (Index s : {pair.indication, pair.ban}) {
        asked.push_back(study.meaning.fires(s, {}));
        asked.push_back(study.meaning.verdict(there.practice, verdict_asked(study.ruleset.sentences[s]).value(), {}));
      }
  return asked;
}

SourcesDisagree together(Study& study, const std::vector<Disagreement>& all) {
  const Graph::Limit limit = study.limit();
  Space space(study.meaning, study.people, asked_everywhere(study, all),
              {std::min(limit.nodes, most_nodes), std::min(limit.steps, most_steps), limit.account});
  Graph& graph = space.graph();
  SourcesDisagree seen = all[0].seen;
  seen.places = seen.first.places = seen.second.places = 0;
  Regions regions;
  for (const Disagreement& there : all)
    for (const Pair& pair : there.pairs) {
      const auto fires = [&](Index s) { return space.of(study.meaning.fires(s, {})); };
      const auto told = [&](Index s) { return space.of(study.meaning.verdict(there.practice, verdict_asked(study.ruleset.sentences[s]).value(), {})); };
      const Node where = graph.all({fires(pair.indication), fires(pair.ban), space.looked_at({})});
      regions.add(graph, where, graph.both(where, told(pair.indication)), graph.both(where, told(pair.ban)), pair.first_indicates, seen);
    }
  regions.share(space, seen);
  return seen;
}

// What is certain without looking at the persons once more.
SourcesDisagree bounds(const std::vector<Disagreement>& all) {
  SourcesDisagree seen = all[0].seen;
  const auto add = [](Share& share, const Share& more) {
    share.low = std::max(share.low, more.low);
    share.high = std::min(Rational(1), Rational(share.high + more.high));
    share.exact = share.low == share.high;
  };
  for (std::size_t i = 1; i < all.size(); ++i) {
    const SourcesDisagree& more = all[i].seen;
    seen.places += more.places;
    add(seen.share, more.share);
    for (auto side : {&SourcesDisagree::first, &SourcesDisagree::second}) {
      (seen.*side).places += (more.*side).places;
      add((seen.*side).share, (more.*side).share);
    }
  }
  return seen;
}

// ---------------------------------------------------------------- words

void say(const Ruleset& ruleset, SourcesDisagree& seen) {
  const auto name = [&](const SourcesDisagree::Side& side) { return ruleset.sources[side.source].title; };
  seen.sense = name(seen.first) + " against " + name(seen.second) + ": " + std::to_string(seen.places) +
               (seen.places == 1 ? " place, " : " places, ") + share_words(seen.share) + ".";
  std::vector<std::string> sides;
  for (const auto* side : {&seen.first, &seen.second})
    if (side->places > 0) sides.push_back(name(*side) + " in " + std::to_string(side->places) + ", " + share_words(side->share));
  seen.prevails = sides.empty() ? "neither" : sides[0] + (sides.size() > 1 ? "; " + sides[1] : "");
}

}  // namespace

void note_disagreements(Study& study, PracticeStudy& practice) {
  if (study.ruleset.sources.size() > 1) study.found.disagreements = Meetings(study, practice).all();
}

std::vector<std::vector<Disagreement>> by_sources(std::vector<Disagreement> all) {
  std::map<Two, std::vector<Disagreement>> sorted;
  for (Disagreement& there : all) sorted[{there.seen.first.source, there.seen.second.source}].push_back(std::move(there));
  std::vector<std::vector<Disagreement>> result;
  if (sorted.size() > most_source_pairs) return {{}};
  for (auto& [sources, of_two] : sorted) result.push_back(std::move(of_two));
  return result;
}

bool put_together(const std::vector<Disagreement>& all) {
  std::size_t meetings = 0;
  for (const Disagreement& there : all) meetings += there.pairs.size();
  return all.size() > 1 && meetings <= most_meetings;
}

void check_sources(Study& study, const std::vector<Disagreement>& all) {
  if (all.empty()) return study.not_settled(what_is_open);
  SourcesDisagree seen = bounds(all);
  if (put_together(all)) {
    try {
      seen = together(study, all);
    } catch (const BudgetMet&) {
      if (study.account().exhausted()) throw;
    }
  }
  say(study.ruleset, seen);
  study.found.sources_disagree.push_back(std::move(seen));
}

}  // namespace betony
