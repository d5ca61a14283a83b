// Sources that disagree: the meetings of indications and bans, by the two sources that speak against each other, with
// which of them prevails.
//
// A meeting is looked at whatever becomes of it: an indication that names the ban in `despite` prevails, and of all
// others the ban does, unless a graver one does. What is told is the verdict; whoever asked for it has prevailed.
// A source that stands behind both sentences does not disagree. Every practice notes its meetings; the persons
// concerned are put together over all practices at the end, in a space of their own for every two sources.
#include <algorithm>

#include "compiler/check/checks.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Kind = Sentence::Kind;
using tree::Verdict;

Verdict asked_for(const Sentence& sentence) {
  switch (sentence.kind) {
    case Kind::contraindicated: return Verdict::withheld;
    case Kind::discouraged: return Verdict::discouraged;
    case Kind::indicated: return Verdict::advised;
    default: return Verdict::allowed;
  }
}

std::set<Index> sources_of(const Sentence& sentence) {
  std::set<Index> sources;
  for (const Citation& citation : sentence.citations) sources.insert(citation.source);
  return sources;
}

// Those that speak for one of the sentences alone.
std::vector<Index> only_of(const std::set<Index>& own, const std::set<Index>& other) {
  std::vector<Index> only;
  std::set_difference(own.begin(), own.end(), other.begin(), other.end(), std::back_inserter(only));
  return only;
}

// A meeting, and which of its two sentences the earlier declared source speaks for.
struct Against {
  Disagreement meeting;
  bool first_indicates;
};

class View {
 public:
  View(Study& study, Index first, Index second, const std::vector<Against>& meetings)
      : study_(study), meetings_(meetings), space_(study.meaning, study.people, asked(study, meetings), study.limit()), graph_(space_.graph()) {
    seen_.first.source = first, seen_.second.source = second;
  }

  SourcesDisagree look() {
    const Node people = space_.looked_at({});
    std::vector<Node> all, first, second;
    for (const Against& against : meetings_) {
      const Disagreement& m = against.meeting;
      const Node where = graph_.all({space_.of(study_.meaning.fires(m.indication, {})), space_.of(study_.meaning.fires(m.ban, {})), people});
      all.push_back(where);
      side(seen_.first, first, m, against.first_indicates ? m.indication : m.ban, where);
      side(seen_.second, second, m, against.first_indicates ? m.ban : m.indication, where);
    }
    seen_.places = meetings_.size();
    seen_.share = space_.share(graph_.any(std::move(all)), people);
    seen_.first.share = space_.share(graph_.any(std::move(first)), people);
    seen_.second.share = space_.share(graph_.any(std::move(second)), people);
    say();
    return seen_;
  }

 private:
  static std::vector<Form> asked(Study& study, const std::vector<Against>& meetings) {
    std::vector<Form> asked;
    for (const auto& [m, unused] : meetings) {
      for (Index s : {m.indication, m.ban}) {
        asked.push_back(study.meaning.fires(s, {}));
        asked.push_back(study.meaning.verdict(m.practice, asked_for(study.ruleset.sentences[s]), {}));
      }
    }
    return asked;
  }

  void side(SourcesDisagree::Side& side, std::vector<Node>& regions, const Disagreement& meeting, Index sentence, Node where) {
    const Verdict verdict = asked_for(study_.ruleset.sentences[sentence]);
    const Node prevails = graph_.both(where, space_.of(study_.meaning.verdict(meeting.practice, verdict, {})));
    side.places += prevails != Graph::no;
    regions.push_back(prevails);
  }

  // ---- words

  std::string name(const SourcesDisagree::Side& side) const { return study_.ruleset.sources[side.source].title; }
  static std::string places(std::size_t count) { return std::to_string(count) + (count == 1 ? " place" : " places"); }

  void say() {
    seen_.sense = name(seen_.first) + " against " + name(seen_.second) + ": " + places(seen_.places) + ", " + share_words(seen_.share) + ".";
    std::vector<std::string> sides;
    for (const auto* side : {&seen_.first, &seen_.second})
      if (side->places > 0) sides.push_back(name(*side) + " in " + std::to_string(side->places) + ", " + share_words(side->share));
    seen_.prevails = sides.empty() ? "neither" : sides[0] + (sides.size() > 1 ? "; " + sides[1] : "");
  }

  Study& study_;
  const std::vector<Against>& meetings_;
  Space space_;
  Graph& graph_;
  SourcesDisagree seen_;
};

}  // namespace

void note_disagreements(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  Space& space = practice.space;
  Graph& graph = space.graph();
  const Voices& whole = practice.voices.at(no_index);
  const Node people = space.looked_at({});
  for (const auto* indications : {&whole.indicated, &whole.allowed})
    for (const auto& indication : *indications) {
      const std::set<Index> own = sources_of(study.ruleset.sentences[indication.sentence]);
      const Node speaks = graph.both(indication.fires, people);
      if (own.empty() || speaks == Graph::no) continue;
      for (const auto* bans : {&whole.contraindicated, &whole.discouraged})
        for (const auto& ban : *bans) {
          graph.spend(1);
          const std::set<Index> other = sources_of(study.ruleset.sentences[ban.sentence]);
          if (only_of(own, other).empty() || only_of(other, own).empty()) continue;
          if (!graph.meet(speaks, space.of(study.meaning.fires(ban.sentence, {})))) continue;
          graph.spend(64);  // as long as each is kept in mind, there cannot be millions
          facts.disagreements.push_back({practice.practice, indication.sentence, ban.sentence});
        }
    }
}

void view_sources(Study& study, const SentenceFacts& facts) {
  std::map<std::pair<Index, Index>, std::vector<Against>> by_sources;
  for (const Disagreement& m : facts.disagreements) {
    const std::set<Index> indicates = sources_of(study.ruleset.sentences[m.indication]), bans = sources_of(study.ruleset.sentences[m.ban]);
    for (Index a : only_of(indicates, bans))
      for (Index b : only_of(bans, indicates)) by_sources[std::minmax(a, b)].push_back({m, a < b});
  }
  try {
    for (const auto& [sources, meetings] : by_sources)
      study.report.sources_disagree.push_back(View(study, sources.first, sources.second, meetings).look());
  } catch (const BudgetMet&) {
    study.not_settled("which sources disagree");
  }
}

}  // namespace betony
