// Contradictions: an indication (Indicated, Allowed) and a live ban (Contraindicated, Discouraged) of one
// practice that speak for the same persons of R.
//
// For each indication the first that fits is told, and then nothing more of it: head-on with a
// contraindication; swallowed by contraindications; head-on with a discouragement; swallowed with the help
// of discouragements. If none fits, every ban it meets is an exception (strictly inside it) or a crossing.
//
// The smallest set that swallows is found by branching on one person of the indication whom the set so far
// leaves free: some ban that holds for this person has to be in the set (iterative deepening). A ban inside
// another's part of the indication can never be needed beside it, so the depth stays small.
#include <algorithm>

#include "compiler/check/checks.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Voice = Voices::Voice;

// A crossing is `asked` where it is a question to the author: both depend on a finding in common, and nothing
// says that contraindications prevail. Else it is `settled`, and only counted.
enum class Meeting { head_on, swallowed, exception, asked, settled };

struct Met {
  Meeting meeting;
  bool grave;                 // every ban concerned is a contraindication
  Index indication;
  std::vector<Index> bans;
  Node region;
};

// ---------------------------------------------------------------- the smallest set that covers

bool holds_at(const Graph& graph, Node node, const std::vector<Index>& cells) {
  while (!graph.is_leaf(node)) node = graph.children(node)[cells[graph.level(node)]];
  return node != Graph::no;
}

// Some combination of cells where the condition (not `no`) holds.
std::vector<Index> some_person(const Graph& graph, Node node) {
  std::vector<Index> cells(graph.widths().size(), 0);
  while (!graph.is_leaf(node)) {
    const auto children = graph.children(node);
    Index cell = 0;
    while (children[cell] == Graph::no) ++cell;
    cells[graph.level(node)] = cell;
    node = children[cell];
  }
  return cells;
}

bool cover(Graph& graph, Node left, const std::vector<Voice>& bans, std::size_t most, std::vector<Index>& chosen) {
  if (left == Graph::no) return true;
  if (chosen.size() == most) return false;
  graph.spend(bans.size());
  const std::vector<Index> person = some_person(graph, left);
  for (const Voice& ban : bans) {
    if (!holds_at(graph, ban.fires, person)) continue;
    chosen.push_back(ban.sentence);
    if (cover(graph, graph.without(left, ban.fires), bans, most, chosen)) return true;
    chosen.pop_back();
  }
  return false;
}

// A smallest set of bans that together hold for everyone in `region`, which they all together do.
std::vector<Index> smallest_cover(Graph& graph, Node region, const std::vector<Voice>& bans) {
  std::vector<Index> chosen;
  for (std::size_t most = 1; !cover(graph, region, bans, most, chosen); ++most) chosen.clear();
  std::sort(chosen.begin(), chosen.end());
  return chosen;
}

// ---------------------------------------------------------------- what one indication meets

class Indication {
 public:
  Indication(Study& study, PracticeStudy& practice, Reading reading)
      : study_(study), space_(practice.space), graph_(space_.graph()), looked_at_(space_.looked_at(reading)),
        voices_(practice.voices.at(reading.school)) {
    const auto on_people = [&](const std::vector<Voice>& bans) {
      std::vector<Voice> result;
      for (const Voice& ban : bans) result.push_back({ban.sentence, graph_.both(ban.fires, looked_at_)});
      return result;
    };
    grave_ = on_people(voices_.contraindicated);
    mild_ = on_people(voices_.discouraged);
    any_grave_ = graph_.both(voices_.any_contraindicated, looked_at_);
    any_ban_ = graph_.either(any_grave_, graph_.both(voices_.any_discouraged, looked_at_));
  }

  void meet(const Voice& indication, std::vector<Met>& met) {
    const Node speaks = graph_.both(indication.fires, looked_at_);
    if (speaks == Graph::no) return;
    if (head_on(indication, speaks, grave_, true, met)) return;
    if (swallowed(indication, speaks, any_grave_, grave_, met)) return;
    if (head_on(indication, speaks, mild_, false, met)) return;
    std::vector<Voice> both = grave_;
    both.insert(both.end(), mild_.begin(), mild_.end());
    if (swallowed(indication, speaks, any_ban_, both, met)) return;
    cross(indication, speaks, grave_, true, voices_.contraindicated, met);
    cross(indication, speaks, mild_, false, voices_.discouraged, met);
  }

 private:
  bool head_on(const Voice& indication, Node speaks, const std::vector<Voice>& bans, bool grave, std::vector<Met>& met) {
    bool any = false;
    for (const Voice& ban : bans) {
      if (ban.fires != speaks) continue;
      met.push_back({Meeting::head_on, grave, indication.sentence, {ban.sentence}, speaks});
      any = true;
    }
    return any;
  }

  bool swallowed(const Voice& indication, Node speaks, Node all_bans, std::vector<Voice> bans, std::vector<Met>& met) {
    if (!graph_.inside(speaks, all_bans)) return false;
    // What every reading holds comes first, so that of sets as small as each other the same one is told of every reading.
    std::stable_partition(bans.begin(), bans.end(), [&](const Voice& ban) {
      return std::all_of(study_.readings.begin(), study_.readings.end(),
                         [&](Reading other) { return in_reading(study_.ruleset, study_.ruleset.sentences[ban.sentence], other); });
    });
    const std::vector<Index> set = smallest_cover(graph_, speaks, bans);
    const bool grave = std::all_of(set.begin(), set.end(), [&](Index s) {
      return study_.ruleset.sentences[s].kind == Sentence::Kind::contraindicated;
    });
    met.push_back({Meeting::swallowed, grave, indication.sentence, set, speaks});
    return true;
  }

  void cross(const Voice& indication, Node speaks, const std::vector<Voice>& bans, bool grave,
             const std::vector<Voice>& everywhere, std::vector<Met>& met) {
    for (std::size_t i = 0; i < bans.size(); ++i) {
      graph_.spend(1);
      const Node region = graph_.both(speaks, bans[i].fires);
      if (region == Graph::no) continue;
      Meeting meeting = Meeting::exception;
      if (region != bans[i].fires)
        meeting = !study_.ruleset.contraindications_prevail && share_a_finding(indication.fires, everywhere[i].fires) ? Meeting::asked
                                                                                                                      : Meeting::settled;
      graph_.spend(64);  // as long as each is kept in mind, there cannot be millions
      met.push_back({meeting, grave, indication.sentence, {bans[i].sentence}, region});
    }
  }

  bool share_a_finding(Node a, Node b) {
    const std::vector<Index>&first = findings(a), &second = findings(b);
    std::vector<Index> common;
    std::set_intersection(first.begin(), first.end(), second.begin(), second.end(), std::back_inserter(common));
    return !common.empty();
  }
  const std::vector<Index>& findings(Node node) {
    const auto [at, is_new] = findings_.try_emplace(node);
    if (is_new) at->second = space_.findings(node);
    return at->second;
  }

  Study& study_;
  Space& space_;
  Graph& graph_;
  Node looked_at_;
  const Voices& voices_;
  std::vector<Voice> grave_, mild_;  // on R
  Node any_grave_, any_ban_;
  std::map<Node, std::vector<Index>> findings_;
};

// ---------------------------------------------------------------- telling

const char* form_of(Meeting meeting) {
  switch (meeting) {
    case Meeting::head_on: return "head-on";
    case Meeting::swallowed: return "swallowed";
    case Meeting::exception: return "exception";
    case Meeting::asked:
    case Meeting::settled: break;
  }
  return "crossing";
}

class Teller {
 public:
  Teller(Study& study, PracticeStudy& practice, Reading reading, std::string school)
      : study_(study), practice_(practice), reading_(reading), school_(std::move(school)) {}

  void tell(const std::vector<Met>& met) {
    const bool prevail = study_.ruleset.contraindications_prevail;
    std::vector<Met> exceptions, settled;
    std::map<std::pair<Index, bool>, std::vector<Met>> by_ban;
    for (const Met& m : met) {
      if (m.meeting == Meeting::head_on || m.meeting == Meeting::swallowed) dead(m);
      else if (m.meeting == Meeting::exception) exceptions.push_back(m);
      else if (m.meeting == Meeting::settled) settled.push_back(m);
      else by_ban[{m.bans[0], m.grave}].push_back(m);
    }
    for (const auto& [ban, group] : by_ban) crossing(group);
    if (!exceptions.empty()) counted(exceptions, "exception", "exceptions, as they should be");
    if (!settled.empty())
      counted(settled, "crossing", prevail ? "sentences cross, and contraindications prevail" : "sentences meet that ask different things");
  }

 private:
  std::string name() const { return study_.ruleset.practices[practice_.practice].name; }

  Problem begin(const char* form, Severity severity, std::string matter) const {
    Problem p = study_.problem("contradiction", form, severity);
    p.practice = name();
    p.school = school_;
    p.matter = std::move(matter);
    return p;
  }

  void finish(Problem& p, Node region) {
    study_.show(p, practice_.space, region, practice_.space.looked_at(reading_), reading_);
    study_.replay(p, practice_.practice, reading_);
  }

  void dead(const Met& m) {
    const bool head_on = m.meeting == Meeting::head_on;
    Problem p = begin(form_of(m.meeting), m.grave ? Severity::error : Severity::question,
                      head_on ? "two sentences say the opposite" : "this can never be followed");
    p.sentences.push_back(study_.concerned(m.indication));
    std::vector<std::string> bans;
    for (Index ban : m.bans) {
      p.sentences.push_back(study_.concerned(ban));
      p.pairs.emplace_back(0, static_cast<unsigned>(p.sentences.size() - 1));
      bans.push_back(study_.named(ban));
    }
    finish(p, m.region);
    const std::string verb = m.grave ? "held back" : "held back or advised against";
    p.sense = head_on ? "Both speak for exactly the same persons, " + where_words(p) + "."
                      : "Every person whom " + study_.line_of(m.indication) + " speaks for is " + verb + " by " + listed(bans) + ", " +
                            where_words(p) + ".";
    p.sense += school_sentence(school_);
    remedies(p, m);
    study_.tell(std::move(p));
  }

  // "despite LABEL, in line 41; or take line 41 out."
  void remedies(Problem& p, const Met& m) const {
    std::vector<std::string> labels, unnamed;
    for (Index ban : m.bans) {
      const std::string& label = study_.ruleset.sentences[ban].label;
      (label.empty() ? unnamed : labels).push_back(label.empty() ? study_.line_of(ban) : "despite " + label);
    }
    const std::string here = study_.line_of(m.indication);
    if (unnamed.empty()) p.write.push_back(listed(labels) + ", in " + here + ", if it should hold all the same");
    else p.write.push_back("called NAME, at the end of " + listed(unnamed) + ", and despite NAME, in " + here + ", if it should hold all the same");
    p.write.push_back("take " + here + " out");
  }

  void crossing(const std::vector<Met>& group) {
    const Index ban = group[0].bans[0];
    const bool many = group.size() > 1;
    Problem p = begin("crossing", group[0].grave ? Severity::question : Severity::note,
                      many ? std::to_string(group.size()) + " sentences cross one ban" : "two sentences cross");
    p.sentences.push_back(study_.concerned(ban));
    std::vector<Node> regions;
    std::vector<std::string> lines;
    for (const Met& m : group) {
      p.sentences.push_back(study_.concerned(m.indication));
      p.pairs.emplace_back(static_cast<unsigned>(p.sentences.size() - 1), 0);
      regions.push_back(m.region);
      lines.push_back(study_.line_of(m.indication));
    }
    finish(p, practice_.space.graph().any(regions));
    p.sense = (many ? "Each of " + listed(lines) + " meets " + study_.named(ban) + ", " : "Both speak ") + where_words(p) + "." +
              school_sentence(school_);
    const Sentence& banned = study_.ruleset.sentences[ban];
    const std::string where = listed(lines);
    if (banned.when.kind == Cond::Kind::test || banned.when.kind == Cond::Kind::term)
      p.write.push_back("and not (" + written(study_.ruleset.tree, banned.when.place) + "), at the end of the condition of " + where);
    else if (banned.when.kind != Cond::Kind::always)
      p.write.push_back("unless " + written(study_.ruleset.tree, banned.when.place) + ", in " + where);
    p.write.push_back(banned.label.empty() ? "called NAME, in " + study_.line_of(ban) + ", and despite NAME, in " + where
                                           : "despite " + banned.label + ", in " + where);
    if (group[0].grave) p.write.push_back("Contraindications prevail. to settle every such meeting");
    study_.tell(std::move(p));
  }

  // Many meetings in one note.
  void counted(const std::vector<Met>& group, const char* form, const std::string& matter) {
    Problem p = begin(form, Severity::note, matter);
    Bringing bring(study_, p, false);
    std::vector<Node> regions;
    for (const Met& m : group) {
      bring.pair(m.indication, m.bans[0]);
      regions.push_back(m.region);
    }
    finish(p, practice_.space.graph().any(regions));
    const std::string count = group.size() == 1 ? "One pair of sentences meets" : std::to_string(group.size()) + " pairs of sentences meet";
    p.sense = count + (form == std::string("exception") ? ", the ban each time inside the indication: "
                       : study_.ruleset.contraindications_prevail ? "; Contraindications prevail. settles them: "
                                                                  : " though they ask for nothing in common; the ban wins: ") +
              share_words(p.share) + "." + school_sentence(school_);
    study_.tell(std::move(p));
  }

  Study& study_;
  PracticeStudy& practice_;
  Reading reading_;
  std::string school_;
};

// ---------------------------------------------------------------- schools

// A pair that stands together in no school's reading, met in the whole.
void tell_dissent(Study& study, PracticeStudy& practice) {
  const auto together = [&](Index a, Index b) {
    return std::any_of(study.readings.begin(), study.readings.end(), [&](Reading r) {
      return in_reading(study.ruleset, study.ruleset.sentences[a], r) && in_reading(study.ruleset, study.ruleset.sentences[b], r);
    });
  };
  Space& space = practice.space;
  const Voices& whole = practice.voices.at(no_index);
  const Node looked_at = space.looked_at({});
  Problem p = study.problem("dissent", "", Severity::note);
  p.practice = study.ruleset.practices[practice.practice].name;
  Bringing bring(study, p);
  std::vector<Node> regions;
  for (const auto* indications : {&whole.indicated, &whole.allowed})
    for (const Voice& indication : *indications)
      for (const auto* bans : {&whole.contraindicated, &whole.discouraged})
        for (const Voice& ban : *bans) {
          if (together(indication.sentence, ban.sentence)) continue;
          const Node region = space.graph().both(space.graph().both(indication.fires, ban.fires), looked_at);
          if (region == Graph::no) continue;
          bring.pair(indication.sentence, ban.sentence);
          regions.push_back(region);
        }
  if (regions.empty()) return;
  study.show(p, space, space.graph().any(regions), looked_at, {});
  study.replay(p, practice.practice, {});
  p.matter = "the schools differ";
  p.sense = "What one school advises or allows the other forbids or advises against, " + where_words(p) + ". Read without a school, the ban wins.";
  study.tell(std::move(p));
}

// Alike in two readings only if those looked at are the same too (a red flag may be one school's).
using Key = std::tuple<Meeting, bool, Index, std::vector<Index>, Node, Node>;

}  // namespace

void check_contradiction(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  std::map<Key, std::set<Index>> found;  // by schools whose reading shows it
  for (Reading reading : study.readings) {
    std::vector<Met> met;
    Indication indication(study, practice, reading);
    const Voices& voices = practice.voices.at(reading.school);
    for (const Voice& v : voices.indicated) indication.meet(v, met);
    for (const Voice& v : voices.allowed) indication.meet(v, met);
    for (const Met& m : met) found[{m.meeting, m.grave, m.indication, m.bans, m.region, practice.space.looked_at(reading)}].insert(reading.school);
  }
  std::vector<Met> everywhere;
  std::map<Index, std::vector<Met>> by_school;
  for (const auto& [key, schools] : found) {
    const auto& [meeting, grave, indication, bans, region, looked_at] = key;
    const Met met{meeting, grave, indication, bans, region};
    if (meeting == Meeting::head_on || meeting == Meeting::swallowed) facts[indication].told = true;
    if (schools.size() == study.readings.size()) everywhere.push_back(met);
    else
      for (Index school : schools) by_school[school].push_back(met);
  }
  Teller(study, practice, study.readings[0], "").tell(everywhere);
  for (const auto& [school, met] : by_school) Teller(study, practice, {school}, study.school_name({school})).tell(met);
  if (!study.ruleset.schools.empty()) tell_dissent(study, practice);
}

}  // namespace betony
