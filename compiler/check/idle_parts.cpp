// Idle, down to the part: an item, a value, an end of a range or an `unless` that could be struck out, and
// nobody would be told anything else.
//
// Every practice (choice) notes what it knows of the parts of its sentences; what matters nowhere is told once
// all have been looked at. The condition without each of its parts costs one walk over it (parts.h); whether the
// persons whom the sentence then reaches besides, or no longer, are told something else is bearing.h.
#include "compiler/check/idle_parts.h"

#include <algorithm>

#include "compiler/check/bearing.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Kind = Sentence::Kind;
using tree::Verdict;

constexpr std::size_t most_together = 12;  // parts of one sentence tried for being struck together
constexpr std::size_t most_lines = 3;      // other sentences named

bool has_parts(const Study& study, Index sentence) {
  const Sentence& s = study.ruleset.sentences[sentence];
  switch (s.kind) {
    case Kind::indicated: case Kind::allowed: case Kind::discouraged: case Kind::contraindicated: case Kind::caution:
    case Kind::dose: case Kind::take: case Kind::refuse: case Kind::refer:
      return is_conditional(s) && !is_companion(study.ruleset, sentence);
    default: return false;
  }
}

// A part that may be struck, outermost only.
struct Idle {
  Index part;
  Reach reach;
};

std::vector<Idle> outermost(const Dissection& dissection, const std::vector<Reach>& reach) {
  std::vector<Idle> idle;
  for (Index i = 0; i < reach.size(); ++i) {
    if (reach[i] == Reach::matters) continue;
    Index outer = dissection.parts()[i].inside;
    while (outer != no_index && reach[outer] == Reach::matters) outer = dissection.parts()[outer].inside;
    if (outer == no_index) idle.push_back({i, reach[i]});
  }
  return idle;
}

// ---------------------------------------------------------------- one condition in one space

class Striking {
 public:
  Striking(Space& space, const Dissection& dissection, std::vector<Reading> readings, const PeopleOf& people, const StrikingMatters& matters)
      : space_(space), graph_(space.graph()), dissection_(dissection), readings_(std::move(readings)), people_(people), matters_(matters) {}

  std::vector<Reach> reaches() {
    const auto& parts = dissection_.parts();
    std::vector<Reach> reach(parts.size(), Reach::same_words);
    for (Reading reading : readings_) {
      if (std::all_of(reach.begin(), reach.end(), [](Reach r) { return r == Reach::matters; })) break;
      const Node now = whole(reading, {});
      const std::vector<Node> struck = dissection_.each_struck(space_, reading);
      for (std::size_t i = 0; i < parts.size(); ++i)
        if (reach[i] != Reach::matters) reach[i] = std::max(reach[i], reach_of(reading, now, struck[i], parts[i].kind == Part::Kind::whole_in));
    }
    return reach;
  }

  // The later parts go first: what stands first is what was meant first.
  Struck together(const std::vector<Reach>& reach) {
    Struck struck;
    std::size_t tried = 0;
    const std::vector<Idle> idle = outermost(dissection_, reach);
    for (auto at = idle.rbegin(); at != idle.rend(); ++at) {
      Struck more = struck;
      more.insert(at->part);
      if (struck.empty() || (++tried <= most_together && dissection_.leaves_something(more) && may_go(more))) struck = std::move(more);
    }
    return struck;
  }

 private:
  Node whole(Reading reading, const Struck& struck) { return space_.of(dissection_.without(space_.meaning(), reading, struck)); }

  bool may_go(const Struck& struck) {
    return std::all_of(readings_.begin(), readings_.end(), [&](Reading reading) {
      return reach_of(reading, whole(reading, {}), whole(reading, struck), false) != Reach::matters;
    });
  }

  // The whole of `in …` is struck only where it holds for everybody.
  Reach reach_of(Reading reading, Node now, Node then, bool only_if_same) {
    graph_.spend(1);
    if (now == then) return Reach::same_words;
    const Node more = graph_.without(then, now), fewer = graph_.without(now, then), people = people_(reading);
    const auto nobody = [&](Node among) { return !graph_.meet(more, among) && !graph_.meet(fewer, among); };
    if (nobody(space_.background())) return Reach::same_possible;
    if (nobody(people)) return Reach::same_people;
    return only_if_same || matters_(reading, graph_.both(more, people), graph_.both(fewer, people)) ? Reach::matters : Reach::same_told;
  }

  Space& space_;
  Graph& graph_;
  const Dissection& dissection_;
  std::vector<Reading> readings_;
  const PeopleOf& people_;
  const StrikingMatters& matters_;
};

std::vector<Reading> heard_in(const Study& study, const Sentence& sentence) {
  std::vector<Reading> readings;
  for (Reading reading : study.all_readings)
    if (in_reading(study.ruleset, sentence, reading)) readings.push_back(reading);
  return readings;
}

// ---------------------------------------------------------------- one practice

std::optional<Verdict> verdict_of(Kind kind) {
  switch (kind) {
    case Kind::contraindicated: return Verdict::withheld;
    case Kind::discouraged: return Verdict::discouraged;
    case Kind::indicated: return Verdict::advised;
    case Kind::allowed: return Verdict::allowed;
    default: return std::nullopt;
  }
}

void note_parts_here(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  Graph& graph = practice.space.graph();
  std::map<Index, Bearing> bearings;  // by school
  std::map<std::pair<Index, Verdict>, Node> others;  // who has not this verdict, by school
  for (Reading reading : study.all_readings) bearings.try_emplace(reading.school, study, practice, reading);
  for (Index s : study.ruleset.practices[practice.practice].sentences) {
    if (!has_parts(study, s)) continue;
    const std::optional<Verdict> own = verdict_of(study.ruleset.sentences[s].kind);
    const auto told_otherwise = [&](Reading reading, Node persons) {
      if (!own || persons == Graph::no) return false;
      const auto [at, is_new] = others.try_emplace({reading.school, *own}, Graph::no);
      const Node all = practice.voices.at(reading.school).all;
      if (is_new) at->second = graph.where(all, [&](std::int64_t n) { return VerdictCode::of(n).verdict != *own; });
      return graph.meet(persons, at->second);
    };
    const auto matters = [&](Reading reading, Node more, Node fewer) {
      return told_otherwise(reading, more) || bearings.at(reading.school).of(s, graph.either(more, fewer)) != Graph::no;
    };
    look_at_parts(study, practice.space, s, [&](Reading reading) { return practice.space.looked_at(reading); }, matters, facts);
  }
}

// ---------------------------------------------------------------- telling

class Teller {
 public:
  Teller(Study& study, const Dissection& dissection, const std::vector<Idle>& idle, Struck together)
      : study_(study), dissection_(dissection), idle_(idle), together_(std::move(together)) {}

  void tell(Problem p, Concerned concerned, const std::string& line, std::optional<Index> sentence) {
    for (const Idle& idle : idle_) concerned.marks.push_back({dissection_.parts()[idle.part].place});
    p.sentences.push_back(std::move(concerned));
    p.matter = idle_.size() == 1 ? "a part that changes nothing" : "parts that change nothing";
    if (sentence && weakest() == Reach::same_told) show(p, *sentence);
    p.sense = idle_.size() == 1 ? sense_of_one(p, !sentence) : sense_of_several(p);
    const std::vector<std::string> remedies = dissection_.remedies(together_, line);
    p.write = {remedies.size() == 1 ? remedies[0] : remedies[0] + ", and " + remedies[1]};
    study_.tell(std::move(p));
  }

  Reach weakest() const {
    return std::max_element(idle_.begin(), idle_.end(), [](const Idle& a, const Idle& b) { return a.reach < b.reach; })->reach;
  }

 private:
  // A space of its own, only to show whom it concerns.
  void show(Problem& p, Index sentence) {
    const Sentence& s = study_.ruleset.sentences[sentence];
    for (Reading reading : heard_in(study_, s)) {
      const Form now = study_.meaning.fires(sentence, reading), then = dissection_.without(study_.meaning, reading, together_);
      std::vector<Form> asked = dissection_.asked(study_.meaning, reading);
      asked.insert(asked.end(), {now, then});
      Space space(study_.meaning, study_.people, asked, study_.limit());
      const Node whole = space.looked_at(reading), region = space.graph().both(space.graph().differing(space.of(now), space.of(then)), whole);
      if (region == Graph::no) continue;
      study_.show(p, space, region, whole, reading);
      if (s.practices.size() == 1) study_.replay(p, s.practices[0], reading);
      name_others(p, sentence, reading);
      return;
    }
  }

  // Sentences that tell the witness the same.
  void name_others(const Problem& p, Index sentence, Reading reading) {
    const Sentence& s = study_.ruleset.sentences[sentence];
    if (!p.witness || s.practices.size() > 1) return;
    const auto& among = s.choice != no_index ? study_.ruleset.choices[s.choice].sentences : study_.ruleset.practices[s.practices[0]].sentences;
    study_.spend(10 * among.size());
    for (Index other : among) {
      const Sentence& o = study_.ruleset.sentences[other];
      const bool alike = o.kind == s.kind && o.values == s.values && (o.kind != Kind::caution || o.text == s.text);
      if (other == sentence || !alike || others_.size() == most_lines) continue;
      if (in_reading(study_.ruleset, o, reading) && fires(study_.ruleset, o, *p.witness, reading)) others_.push_back(study_.line_of(other));
    }
  }

  std::string words(Index part) const {
    const Part& p = dissection_.parts()[part];
    const char* before = p.kind == Part::Kind::low_end ? "from " : p.kind == Part::Kind::high_end ? "to " : p.kind == Part::Kind::whole_in ? "in "
                         : p.kind == Part::Kind::whole_unless ? "unless " : "";
    return "\"" + (before + study_.source_words(p.place)) + "\"";
  }

  std::string sense_of_one(const Problem& p, bool of_term) const {
    const Part& part = dissection_.parts()[idle_[0].part];
    const std::string what = words(idle_[0].part), same = of_term ? "the term means the same" : "the sentence speaks for the same persons";
    switch (idle_[0].reach) {
      case Reach::same_words:
        return "With or without " + what + " " + same + ": it " +
               (part.widens ? "keeps out nobody whom the rest lets in." : "brings in nobody whom the rest does not.");
      case Reach::same_possible: return "With or without " + what + " " + same + ", as far as anybody is possible.";
      case Reach::same_people: return what + " makes a difference only for persons whom a red flag has referred, or whom the ruleset is not about.";
      default: break;
    }
    const std::string where = p.region.empty() ? "" : " " + where_words(p);
    return "Without " + what + " the sentence would speak for " + (part.widens ? "more" : "fewer") + " persons" + where + "; they " +
           (part.widens ? "are told the same as it is." : "would be told the same.") + others_words();
  }

  std::string others_words() const {
    if (others_.empty()) return "";
    std::string out = " " + listed(others_) + (others_.size() == 1 ? " speaks" : " speak") + " for the person shown.";
    out[1] = 'L';
    return out;
  }

  std::string sense_of_several(const Problem& p) const {
    std::vector<std::string> each, struck;
    for (const Idle& idle : idle_) each.push_back("without " + words(idle.part));
    for (Index part : together_) struck.push_back(words(part));
    const bool all = together_.size() == idle_.size();
    std::string out = "Nothing would change " + listed(each, "or") + (all ? ", or without all of them." : "; but not all of them can go at once.");
    if (p.region.empty()) return out;
    return out + " Striking " + listed(struck) + " concerns persons " + where_words(p) + "; they are told the same." + others_words();
  }

  Study& study_;
  const Dissection& dissection_;
  const std::vector<Idle>& idle_;
  Struck together_;
  std::vector<std::string> others_;
};

// ---------------------------------------------------------------- sentences

// A condition in front (`In …:`) is shared by all its sentences, and is struck for all of them.
using Spot = std::tuple<Index, std::uint32_t, std::uint32_t, Part::Kind>;  // {tree sentence, bytes of the part}

class Sentences {
 public:
  Sentences(Study& study, const SentenceFacts& facts) : study_(study), facts_(facts) {
    for (const PartsOfSentence& parts : facts.parts) noted_[parts.sentence].push_back(&parts);
    for (Index s = 0; s < study.ruleset.sentences.size(); ++s) {
      if (!has_parts(study, s)) continue;
      const Dissection dissection(study.ruleset, s);
      const std::vector<Reach> here = reach_of(s, dissection);
      for (std::size_t i = 0; i < here.size(); ++i) {
        Shared& shared = shared_[spot(s, dissection.parts()[i])];
        shared.reach = std::max(shared.reach, here[i]);
        ++shared.sentences;
      }
    }
  }

  void tell() {
    for (Index s = 0; s < study_.ruleset.sentences.size(); ++s)
      if (has_parts(study_, s) && noted_.count(s) && facts_.matters[s] && !facts_.told[s] && facts_.looked_at[s]) tell(s);
  }

 private:
  struct Shared {
    Reach reach = Reach::same_words;
    unsigned sentences = 0;
    bool told = false;
  };

  Spot spot(Index s, const Part& part) const {
    return {study_.ruleset.sentences[s].sentence, part.place.span.begin, part.place.span.end, part.kind};
  }

  // Over all practices it speaks of; one that was not looked at to the end lets nothing be struck.
  std::vector<Reach> reach_of(Index s, const Dissection& dissection) const {
    std::vector<Reach> reach(dissection.parts().size(), Reach::matters);
    const auto known = noted_.find(s);
    const std::size_t needed = std::max<std::size_t>(1, study_.ruleset.sentences[s].practices.size());
    if (known == noted_.end() || known->second.size() != needed) return reach;
    for (std::size_t i = 0; i < reach.size(); ++i) {
      reach[i] = Reach::same_words;
      for (const PartsOfSentence* parts : known->second) reach[i] = std::max(reach[i], parts->reach[i]);
    }
    return reach;
  }

  void tell(Index s) {
    const Dissection dissection(study_.ruleset, s);
    std::vector<Reach> reach;
    bool alone = noted_.at(s).size() == 1;
    for (const Part& part : dissection.parts()) {
      const Shared& shared = shared_.at(spot(s, part));
      reach.push_back(shared.reach);
      alone = alone && shared.sentences == 1;
    }
    std::vector<Idle> idle = outermost(dissection, reach);
    std::erase_if(idle, [&](const Idle& i) { return std::exchange(shared_.at(spot(s, dissection.parts()[i.part])).told, true); });
    if (idle.empty()) return;
    const Sentence& sentence = study_.ruleset.sentences[s];
    Teller teller(study_, dissection, idle, alone ? noted_.at(s)[0]->together : Struck{idle.back().part});
    const bool of_people = std::all_of(idle.begin(), idle.end(), [](const Idle& i) { return i.reach == Reach::same_people; });
    Problem p = study_.problem("idle", "part", of_people ? Severity::note : Severity::question);
    if (sentence.practices.size() == 1) p.practice = study_.ruleset.practices[sentence.practices[0]].name;
    if (sentence.choice != no_index) p.choice = study_.ruleset.choices[sentence.choice].name;
    teller.tell(std::move(p), study_.concerned(s, false), study_.line_of(s), s);
  }

  Study& study_;
  const SentenceFacts& facts_;
  std::map<Index, std::vector<const PartsOfSentence*>> noted_;
  std::map<Spot, Shared> shared_;
};

// ---------------------------------------------------------------- red flags and terms

// What striking does to a red flag or a term is looked at by its meaning alone.
const StrikingMatters always_matters = [](Reading, Node, Node) { return true; };

void note_red_flags(Study& study, SentenceFacts& facts) {
  const std::vector<Index>& flags = study.ruleset.red_flags;
  if (flags.empty()) return;
  Space space(study.meaning, study.people, asked_by_parts(study, flags), study.limit());
  for (Index s : flags) look_at_parts(study, space, s, [&](Reading) { return space.applies(); }, always_matters, facts);
}

// What is possible may itself hang on terms, and then says nothing about them.
bool asks_for_more_than_findings(const Cond& condition) {
  const auto subject = condition.test.subject;
  if (condition.kind == Cond::Kind::term) return true;
  if (condition.kind == Cond::Kind::test) return subject != Test::Subject::finding && subject != Test::Subject::measure;
  return std::any_of(condition.parts.begin(), condition.parts.end(), asks_for_more_than_findings);
}

bool background_is_plain(const Ruleset& ruleset) {
  const auto plain = [](const Background& fact) { return !asks_for_more_than_findings(fact.condition); };
  return (!ruleset.applies || !asks_for_more_than_findings(*ruleset.applies)) &&
         std::all_of(ruleset.backgrounds.begin(), ruleset.backgrounds.end(), plain);
}

void tell_term(Study& study, const Term& term, bool plain) {
  const Dissection dissection(study.ruleset, term.condition, std::get<tree::TermLine>(study.ruleset.tree.sentences[term.sentence].form).condition);
  if (dissection.parts().empty()) return;
  std::vector<Form> asked;
  for (Reading reading : study.all_readings)
    for (Form form : dissection.asked(study.meaning, reading)) asked.push_back(form);
  Space space(study.meaning, study.people, asked, study.limit());
  const PeopleOf all = [](Reading) { return Graph::yes; };
  Striking striking(space, dissection, study.all_readings, all, always_matters);
  std::vector<Reach> reach = striking.reaches();
  for (Reach& r : reach)
    if (r != Reach::same_words && (r != Reach::same_possible || !plain)) r = Reach::matters;
  const std::vector<Idle> idle = outermost(dissection, reach);
  if (idle.empty()) return;
  Concerned here = study.declared(term.sentence, term.place);
  here.marks.clear();
  Struck together = striking.together(reach);
  if (!plain && together.size() > 1) together = {*together.rbegin()};
  Teller teller(study, dissection, idle, std::move(together));
  teller.tell(study.problem("idle", "part", Severity::question), here, study.line_of(here.place), std::nullopt);
}

}  // namespace

std::vector<Form> asked_by_parts(Study& study, const std::vector<Index>& sentences) {
  std::vector<Form> asked;
  for (Index s : sentences) {
    if (!has_parts(study, s)) continue;
    const Dissection dissection(study.ruleset, s);
    for (Reading reading : heard_in(study, study.ruleset.sentences[s]))
      for (Form form : dissection.asked(study.meaning, reading)) asked.push_back(form);
  }
  return asked;
}

void look_at_parts(Study& study, Space& space, Index sentence, const PeopleOf& people, const StrikingMatters& matters, SentenceFacts& facts) {
  if (!has_parts(study, sentence)) return;
  const Dissection dissection(study.ruleset, sentence);
  if (dissection.parts().empty()) return;
  Striking striking(space, dissection, heard_in(study, study.ruleset.sentences[sentence]), people, matters);
  PartsOfSentence parts{sentence, striking.reaches(), {}};
  parts.together = striking.together(parts.reach);
  facts.parts.push_back(std::move(parts));
}

void note_parts(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  const Practice& named = study.ruleset.practices[practice.practice];
  try {
    const std::vector<Form> asked = asked_by_parts(study, named.sentences);
    const bool reached = std::all_of(asked.begin(), asked.end(), [&](Form form) { return practice.space.reaches(form); });
    if (reached) return note_parts_here(study, practice, facts);
    std::vector<Form> wider = asked_by(study.meaning, practice.practice, study.all_readings);  // parts that cancel out leave their findings out
    wider.insert(wider.end(), asked.begin(), asked.end());
    Space space(study.meaning, study.people, wider, study.limit());
    PracticeStudy wide{practice.practice, space, {}};
    for (Reading reading : study.all_readings) wide.voices.emplace(reading.school, voices(space, practice.practice, reading));
    note_parts_here(study, wide, facts);
  } catch (const BudgetMet&) {  // of the sentences not reached nothing is noted, and no part of theirs is told
    study.not_settled(named.name);
  }
}

void check_parts(Study& study, SentenceFacts& facts) {
  try {
    note_red_flags(study, facts);
    Sentences(study, facts).tell();
    const bool plain = background_is_plain(study.ruleset);
    for (const Term& term : study.ruleset.terms) tell_term(study, term, plain);
  } catch (const BudgetMet&) {
    study.not_settled("which parts of sentences change nothing");
  }
}

}  // namespace betony
