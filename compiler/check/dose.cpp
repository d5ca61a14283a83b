// Doses: two that fire together and have nothing in common (dose clash); nothing said of how much where the
// practice is advised though an amount is said elsewhere (dose missing); and which Dose sentences matter.
//
// All three look at those of R for whom the practice is advised or allowed: nobody else takes it. Intervals
// of a line that meet two by two all meet (Helly), so a clash is always one of two sentences.
#include <algorithm>

#include "compiler/check/checks.h"
#include "compiler/dose.h"

namespace betony {
namespace {

using Node = Graph::Node;
using tree::Verdict;

class DoseStudy {
 public:
  DoseStudy(Study& study, PracticeStudy& practice, Reading reading)
      : study_(study), ruleset_(study.ruleset), practice_(practice), reading_(reading), space_(practice.space), graph_(space_.graph()),
        sentences_(dose_sentences(ruleset_, practice.practice, reading)) {
    const Voices& v = practice.voices.at(reading.school);
    advised_ = graph_.both(graph_.where(v.all, [&](std::int64_t n) { return VerdictCode::of(n).verdict == Verdict::advised; }), space_.looked_at(reading));
    taken_by_ = graph_.both(where_done(graph_, v.all), space_.looked_at(reading));
  }

  // ---- clash

  struct Clash {
    Dose::Part part;
    Node region;
    std::vector<std::pair<Index, Index>> pairs;
    friend auto operator<=>(const Clash&, const Clash&) = default;
  };

  // Pairs that clash for exactly the same persons are one clash.
  std::vector<Clash> clashes() {
    std::map<std::tuple<std::size_t, Node>, Clash> found;
    for (std::size_t p = 0; p < sentences_.parts.size(); ++p) {
      const DosePart& part = sentences_.parts[p];
      const auto meet = [&](Index a, Index b, Node region) {
        if (region == Graph::no || !empty(common(said(ruleset_, a, part.what), said(ruleset_, b, part.what)))) return;
        Clash& clash = found[{p, region}];
        clash.part = part.what, clash.region = region;
        clash.pairs.emplace_back(a, b);
      };
      each_pair(part.conditional, [&](Index a, Index b) { meet(a, b, graph_.both(graph_.both(fires(a), fires(b)), taken_by_)); });
      if (part.plain.size() < 2) continue;
      const Node left = graph_.without(taken_by_, any_of(part.conditional));
      each_pair(part.plain, [&](Index a, Index b) { meet(a, b, left); });
    }
    std::vector<Clash> result;
    for (auto& [key, clash] : found) result.push_back(std::move(clash));
    return result;
  }

  // ---- missing

  // Where the practice is advised and neither an amount nor words are heard; `no` if no amount is heard anywhere.
  Node missing() {
    Node amount = Graph::no;
    for (const DosePart& part : sentences_.parts)
      if (part.what == Dose::Part::amount) amount = graph_.either(amount, said_to(part));
    if (!graph_.meet(amount, taken_by_)) return Graph::no;
    return graph_.without(advised_, graph_.either(amount, said_to(sentences_.words)));
  }

  // ---- what matters

  void note_what_matters(SentenceFacts& facts) {
    for (const DosePart& part : sentences_.parts) {
      for (Index s : part.conditional)
        if (!facts[s].matters && of_part(part, s, fires(s)) != Graph::no) facts[s].matters = true;
      for (Index s : part.plain)
        if (!facts[s].matters && plain_matters(part, s)) facts[s].matters = true;
    }
    for (Index s : sentences_.factors)
      if (!facts[s].matters && of_factor(s, fires(s)) != Graph::no) facts[s].matters = true;
    for (Index s : sentences_.words.conditional)
      if (!facts[s].matters && of_words(s, fires(s)) != Graph::no) facts[s].matters = true;
    for (Index s : sentences_.words.plain)
      if (!facts[s].matters && plain_words_matter(s)) facts[s].matters = true;
  }

  // Those of `within` whose dose is another if this sentence, which has a condition, speaks for them.
  Node bearing(Index sentence, Node within) {
    const auto holds = [&](const std::vector<Index>& list) { return std::find(list.begin(), list.end(), sentence) != list.end(); };
    Node result = Graph::no;
    for (const DosePart& part : sentences_.parts)
      if (holds(part.conditional)) result = graph_.either(result, of_part(part, sentence, within));
    if (holds(sentences_.factors)) result = graph_.either(result, of_factor(sentence, within));
    if (holds(sentences_.words.conditional)) result = graph_.either(result, of_words(sentence, within));
    return result;
  }

 private:
  template <class Function>
  void each_pair(const std::vector<Index>& sentences, const Function& function) {
    for (std::size_t i = 0; i < sentences.size(); ++i) {
      graph_.spend(sentences.size());
      for (std::size_t j = i + 1; j < sentences.size(); ++j) function(sentences[i], sentences[j]);
    }
  }

  Node fires(Index sentence) { return space_.of(study_.meaning.fires(sentence, reading_)); }

  Node any_of(const std::vector<Index>& sentences) {
    graph_.spend(10 * sentences.size());  // what is known already costs no step of its own
    std::vector<Node> any;
    for (Index s : sentences) any.push_back(fires(s));
    return graph_.any(std::move(any));
  }

  Node said_to(const DosePart& part) { return part.plain.empty() ? any_of(part.conditional) : Graph::yes; }

  bool for_anyone(Node region) { return graph_.meet(region, taken_by_); }

  std::optional<Interval> all_of(const std::vector<Index>& sentences, Dose::Part part) const {
    if (sentences.empty()) return std::nullopt;
    Interval interval;
    for (Index s : sentences) interval = common(interval, said(ruleset_, s, part));
    return interval;
  }

  // Without it another end holds where no other that fires reaches as far in; or, where it speaks alone, what is
  // said without a condition.
  Node of_part(const DosePart& part, Index sentence, Node within) {
    const Interval& own = said(ruleset_, sentence, part.what);
    std::vector<Index> others, as_low, as_high;
    graph_.spend(part.conditional.size());
    for (Index other : part.conditional) {
      if (other == sentence) continue;
      const Interval& said_there = said(ruleset_, other, part.what);
      others.push_back(other);
      if (!own.low || (said_there.low && *said_there.low >= *own.low)) as_low.push_back(other);
      if (!own.high || (said_there.high && *said_there.high <= *own.high)) as_high.push_back(other);
    }
    const Node any_other = any_of(others), taken = graph_.both(within, taken_by_);
    const Node reached = graph_.both(own.low ? any_of(as_low) : Graph::yes, own.high ? any_of(as_high) : Graph::yes);
    const Node among_others = graph_.without(graph_.both(taken, any_other), reached);
    const auto plain = all_of(part.plain, part.what);
    return plain && same(*plain, own) ? among_others : graph_.either(among_others, graph_.without(taken, any_other));
  }

  bool plain_matters(const DosePart& part, Index sentence) {
    const DoseSentences without = dose_sentences(ruleset_, practice_.practice, reading_, sentence);
    graph_.spend(ruleset_.practices[practice_.practice].sentences.size());
    std::optional<Interval> left;
    for (const DosePart& other : without.parts)
      if (other.what == part.what && (part.what != Dose::Part::amount || alike(other.unit, part.unit))) left = all_of(other.plain, part.what);
    if (left && same(*left, *all_of(part.plain, part.what))) return false;
    return for_anyone(graph_.without(Graph::yes, any_of(part.conditional)));
  }

  Node of_factor(Index sentence, Node within) {
    std::vector<Index> as_small;
    for (Index other : sentences_.factors)
      if (other != sentence && factor(other) <= factor(sentence)) as_small.push_back(other);
    Node amount = Graph::no;
    for (const DosePart& part : sentences_.parts)
      if (part.what == Dose::Part::amount) amount = graph_.either(amount, said_to(part));
    return graph_.all({graph_.without(within, any_of(as_small)), amount, taken_by_});
  }

  const Rational& factor(Index sentence) const { return *ruleset_.doses[ruleset_.sentences[sentence].dose].factor; }
  const std::string& words(Index sentence) const { return ruleset_.doses[ruleset_.sentences[sentence].dose].words; }

  // Where no other says the same words, or where it speaks alone and those without a condition say other words.
  Node of_words(Index sentence, Node within) {
    const DosePart& all = sentences_.words;
    std::vector<Index> others, alike;
    for (Index other : all.conditional) {
      if (other == sentence) continue;
      others.push_back(other);
      if (words(other) == words(sentence)) alike.push_back(other);
    }
    const Node any_other = any_of(others), taken = graph_.both(within, taken_by_);
    const Node among_others = graph_.without(graph_.both(taken, any_other), any_of(alike));
    if (texts(all.plain) == std::set<std::string>{words(sentence)}) return among_others;
    return graph_.either(among_others, graph_.without(taken, any_other));
  }

  // Where nobody with a condition speaks, unless another says the same.
  bool plain_words_matter(Index sentence) {
    const DoseSentences without = dose_sentences(ruleset_, practice_.practice, reading_, sentence);
    return texts(without.words.plain) != texts(sentences_.words.plain) &&
           for_anyone(graph_.without(Graph::yes, any_of(sentences_.words.conditional)));
  }

  std::set<std::string> texts(const std::vector<Index>& sentences) const {
    std::set<std::string> result;
    for (Index s : sentences) result.insert(words(s));
    return result;
  }

  Study& study_;
  const Ruleset& ruleset_;
  PracticeStudy& practice_;
  Reading reading_;
  Space& space_;
  Graph& graph_;
  DoseSentences sentences_;
  Node advised_ = Graph::no, taken_by_ = Graph::no;
};

using Clash = DoseStudy::Clash;

// ---------------------------------------------------------------- telling

Problem begin(Study& study, PracticeStudy& practice, const char* kind, Severity severity, const std::string& school) {
  Problem p = study.problem(kind, "", severity);
  p.practice = study.ruleset.practices[practice.practice].name;
  p.school = school;
  return p;
}

void finish(Study& study, PracticeStudy& practice, Problem& p, Node region, Reading reading) {
  study.show(p, practice.space, region, practice.space.looked_at(reading), reading);
  study.replay(p, practice.practice, reading);
}

void tell_clash(Study& study, PracticeStudy& practice, const Clash& clash, Reading reading, const std::string& school) {
  Problem p = begin(study, practice, "dose-clash", Severity::error, school);
  Bringing bring(study, p);
  for (const auto& [a, b] : clash.pairs) bring.pair(a, b);
  finish(study, practice, p, clash.region, reading);
  std::vector<std::string> doses;
  for (Index sentence : bring.sentences()) doses.push_back(said_words(study.ruleset, sentence, clash.part));
  const std::vector<std::string> lines = study.lines_of(bring.sentences());
  p.matter = clash.part == Dose::Part::amount ? "two amounts at once" : clash.part == Dose::Part::often ? "two rates at once" : "two lengths at once";
  p.sense = (doses.size() == 2 ? "Both speak " : "All speak ") + where_words(p) + "; " + listed(doses) + " have nothing in common." + school_sentence(school);
  p.write = {"unless …, at the end of " + listed(lines, "or") + ", for the persons whom the other is meant for",
             "one dose for them, in place of " + std::string(doses.size() == 2 ? "both" : "these")};
  study.tell(std::move(p));
}

void tell_missing(Study& study, PracticeStudy& practice, Node region, Reading reading, const std::string& school) {
  Problem p = begin(study, practice, "dose-missing", Severity::question, school);
  const Practice& named = study.ruleset.practices[practice.practice];
  p.sentences.push_back(study.declared(named.sentence, named.place));
  finish(study, practice, p, region, reading);
  p.matter = "how much is not said";
  p.sense = named.name + " is advised " + where_words(p) + ", and no dose speaks for them, though one does for others." + school_sentence(school);
  p.write = {"Dose … in … for them", "Dose …. without a condition, for everyone not spoken for"};
  study.tell(std::move(p));
}

}  // namespace

Graph::Node dose_bearing(Study& study, PracticeStudy& practice, Reading reading, Index sentence, Graph::Node within) {
  practice.space.graph().spend(study.ruleset.practices[practice.practice].sentences.size());
  return DoseStudy(study, practice, reading).bearing(sentence, within);
}

void check_dose(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  const auto& sentences = study.ruleset.practices[practice.practice].sentences;
  if (std::none_of(sentences.begin(), sentences.end(), [&](Index s) { return study.ruleset.sentences[s].kind == Sentence::Kind::dose; })) return;
  for (Reading reading : study.all_readings) DoseStudy(study, practice, reading).note_what_matters(facts);
  std::map<std::pair<Clash, Node>, std::vector<Reading>> clashes;  // by those looked at
  std::map<std::pair<Node, Node>, std::vector<Reading>> missing;
  for (Reading reading : study.readings) {
    DoseStudy doses(study, practice, reading);
    const Node looked_at = practice.space.looked_at(reading);
    for (Clash& clash : doses.clashes()) clashes[{std::move(clash), looked_at}].push_back(reading);
    if (const Node region = doses.missing(); region != Graph::no) missing[{region, looked_at}].push_back(reading);
  }
  for (const auto& [key, readings] : clashes)
    for (const auto& [a, b] : key.first.pairs) facts[a].told = facts[b].told = true;
  for (const auto& found : clashes)
    study.once_or_each(found.second, [&](Reading reading, const std::string& school) { tell_clash(study, practice, found.first.first, reading, school); });
  for (const auto& found : missing)
    study.once_or_each(found.second, [&](Reading reading, const std::string& school) { tell_missing(study, practice, found.first.first, reading, school); });
}

}  // namespace betony
