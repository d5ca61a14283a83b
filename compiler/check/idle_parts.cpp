// Idle, down to the part: an item, a value, an end of a range or an `unless` that could be struck out, and
// nobody would be told anything else.
//
// Every practice (choice, the red flags) notes what it knows of the parts of its sentences; what matters nowhere is told
// once all have been looked at. The condition without each of its parts costs one walk over it (parts.h); whether the
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

bool has_parts(const Ruleset& ruleset, Index sentence) {
  const Sentence& s = ruleset.sentences[sentence];
  switch (s.kind) {
    case Kind::indicated: case Kind::allowed: case Kind::discouraged: case Kind::contraindicated: case Kind::caution:
    case Kind::dose: case Kind::take: case Kind::refuse: case Kind::refer:
      return is_conditional(s) && !is_companion(ruleset, sentence);
    default: return false;
  }
}

// Those that may be struck and lie in no other such.
std::vector<IdleParts::Part> outermost(const Dissection& dissection, const std::vector<Reach>& reach) {
  std::vector<IdleParts::Part> idle;
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
    const std::vector<IdleParts::Part> idle = outermost(dissection_, reach);
    for (auto at = idle.rbegin(); at != idle.rend(); ++at) {
      Struck more = struck;
      more.insert(at->number);
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

void note_parts_here(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  Graph& graph = practice.space.graph();
  std::map<Index, Bearing> bearings;  // by school
  std::map<std::pair<Index, Verdict>, Node> others;  // who has not this verdict, by school
  for (Reading reading : study.all_readings) bearings.try_emplace(reading.school, study, practice, reading);
  for (Index s : study.ruleset.practices[practice.practice].sentences) {
    if (!has_parts(study.ruleset, s)) continue;
    const std::optional<Verdict> own = verdict_asked(study.ruleset.sentences[s]);
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
  Teller(Study& study, const Dissection& dissection, const IdleParts& idle) : study_(study), dissection_(dissection), idle_(idle) {}

  void tell(Problem p, Concerned concerned, const std::string& line) {
    for (const IdleParts::Part& part : idle_.parts) concerned.marks.push_back({dissection_.parts()[part.number].place});
    const bool is_row = study_.ruleset.tree.files[concerned.place.file].is_table;
    p.sentences.push_back(std::move(concerned));
    p.matter = idle_.parts.size() == 1 ? "a part that changes nothing" : "parts that change nothing";
    show(p);
    p.sense = idle_.parts.size() == 1 ? sense_of_one(p) : sense_of_several(p);
    p.write = {is_row ? remedy_of_row(line) : dissection_.remedy(idle_.struck, line)};
    study_.tell(std::move(p));
  }

 private:
  // A space of its own, only to show whom striking concerns; where it concerns nobody, whom the sentence speaks for.
  void show(Problem& p) {
    const Sentence* s = idle_.sentence == no_index ? nullptr : &study_.ruleset.sentences[idle_.sentence];
    const bool is_flag = s && s->kind == Kind::refer;
    for (Reading reading : s ? heard_in(study_, *s) : study_.all_readings) {
      std::vector<Form> asked = dissection_.asked(study_.meaning, reading);
      asked.push_back(dissection_.without(study_.meaning, reading, {}));
      if (concerns_somebody()) asked.push_back(dissection_.without(study_.meaning, reading, idle_.struck));
      Space space(study_.meaning, study_.people, asked, study_.limit());
      Graph& graph = space.graph();
      const Node now = space.of(dissection_.without(study_.meaning, reading, {})), whole = is_flag ? space.applies() : space.looked_at(reading);
      const Node then = concerns_somebody() ? space.of(dissection_.without(study_.meaning, reading, idle_.struck)) : Graph::no;
      const Node region = graph.both(graph.differing(now, then), whole);
      if (region == Graph::no) continue;
      study_.show(p, space, region, whole, reading);
      if (!s || is_flag) return;
      if (s->practices.size() == 1) study_.replay(p, s->practices[0], reading);
      if (concerns_somebody()) name_others(p, reading);
      return;
    }
  }

  bool concerns_somebody() const {
    return std::any_of(idle_.parts.begin(), idle_.parts.end(), [](const IdleParts::Part& part) { return part.reach == Reach::same_told; });
  }

  // Sentences that tell the witness the same.
  void name_others(const Problem& p, Reading reading) {
    const Ruleset& ruleset = study_.ruleset;
    const Sentence& s = ruleset.sentences[idle_.sentence];
    if (!p.witness || s.practices.size() > 1) return;
    const auto& among = s.choice != no_index ? ruleset.choices[s.choice].sentences : ruleset.practices[s.practices[0]].sentences;
    study_.spend(10 * among.size());
    for (Index other : among) {
      const Sentence& o = ruleset.sentences[other];
      const bool alike = o.kind == s.kind && o.values == s.values && (o.kind != Kind::caution || o.text == s.text);
      if (other == idle_.sentence || !alike || others_.size() == most_lines) continue;
      if (in_reading(ruleset, o, reading) && fires(ruleset, o, *p.witness, reading)) others_.push_back(study_.line_of(other));
    }
  }

  // ---- words

  // "leave the cell of age empty, in row 3", or what is to be taken out of a cell.
  std::string remedy_of_row(const std::string& row) const {
    std::vector<std::string> cells;
    for (Index part : idle_.struck) {
      if (!dissection_.is_cell(part)) return "take " + listed(words(idle_.struck)) + " out of " + row;
      const tree::Condition* asked = dissection_.parts()[part].item;
      while (asked->kind != tree::Condition::Kind::atom) asked = &asked->parts[0];
      cells.push_back(asked->atom.name.text);
    }
    return "leave the cell" + std::string(cells.size() == 1 ? "" : "s") + " of " + listed(cells) + " empty, in " + row;
  }

  std::string words(Index part) const {
    const Part& p = dissection_.parts()[part];
    const char* before = p.kind == Part::Kind::low_end ? "from " : p.kind == Part::Kind::high_end ? "to " : p.kind == Part::Kind::whole_in ? "in "
                         : p.kind == Part::Kind::whole_unless ? "unless " : "";
    return "\"" + (before + written(study_.ruleset.tree, p.place)) + "\"";
  }

  template <class Parts>
  std::vector<std::string> words(const Parts& parts, const std::string& before = "") const {
    std::vector<std::string> all;
    for (const auto& part : parts) {
      if constexpr (requires { part.number; }) all.push_back(before + words(part.number));
      else all.push_back(before + words(part));
    }
    return all;
  }

  std::string sense_of_one(const Problem& p) const {
    const Part& part = dissection_.parts()[idle_.parts[0].number];
    const std::string what = words(idle_.parts[0].number);
    const std::string where = p.region.empty() ? "" : " " + where_words(p), subject = idle_.sentence == no_index ? "the term" : "the sentence";
    const std::string same = "With or without " + what + " " + subject + (idle_.sentence == no_index ? " holds" : " speaks") +
                             " for the same persons" + (where.empty() ? "" : "," + where) + ". It ";
    switch (idle_.parts[0].reach) {
      case Reach::same_words: return same + (part.widens ? "keeps out nobody whom the rest lets in." : "brings in nobody whom the rest does not.");
      case Reach::same_possible: return same + (part.widens ? "would keep out" : "would bring in") + " only persons who cannot be.";
      case Reach::same_people:
        return what + " makes a difference only for persons whom a red flag has referred, or whom the ruleset is not about." +
               (where.empty() ? "" : " The sentence is heard" + where + ".");
      default: break;
    }
    return "Without " + what + " the sentence would speak for " + (part.widens ? "more" : "fewer") + " persons" + where + "; they " +
           (part.widens ? "are told the same as now" : "would still be told the same") + others_words() +
           (part.widens ? " It may stay, to say whom the sentence is meant for." : "");
  }

  std::string others_words() const {
    if (others_.empty()) return ".";
    return ", the person shown by " + listed(others_) + ".";
  }

  std::string sense_of_several(const Problem& p) const {
    const bool all = idle_.struck.size() == idle_.parts.size();
    const std::string out = "Nothing would change " + listed(words(idle_.parts, "without "), "or") +
                            (all ? ", or without all of them." : "; but not all of them can go at once.");
    if (p.region.empty()) return out;
    if (!concerns_somebody()) return out + (idle_.sentence == no_index ? " The term holds " : " The sentence speaks ") + where_words(p) + ".";
    return out + " Striking " + listed(words(idle_.struck)) + " concerns persons " + where_words(p) + "; they are told the same as now" +
           others_words();
  }

  Study& study_;
  const Dissection& dissection_;
  const IdleParts& idle_;
  std::vector<std::string> others_;
};

// ---------------------------------------------------------------- sentences

// A condition in front (`In …:`) is shared by all its sentences, and is struck for all of them.
using Spot = std::tuple<Index, std::uint32_t, std::uint32_t, Part::Kind>;  // {tree sentence, bytes of the part}

class Sentences {
 public:
  Sentences(const Ruleset& ruleset, const AllFacts& facts) : ruleset_(ruleset), facts_(facts), some_may_go_(ruleset.tree.sentences.size()) {
    for (Index s = 0; s < facts.size(); ++s)
      if (facts[s] && std::any_of(facts[s]->parts.begin(), facts[s]->parts.end(), [](Reach r) { return r != Reach::matters; }))
        some_may_go_[ruleset.sentences[s].sentence] = true;
    for (Index s = 0; s < ruleset.sentences.size(); ++s) {
      if (!may_have_idle_parts(s) || !has_parts(ruleset, s)) continue;
      const Dissection dissection(ruleset, s);
      const std::vector<Reach> here = reach_of(s, dissection);
      for (std::size_t i = 0; i < here.size(); ++i) {
        Shared& shared = shared_[spot(s, dissection.parts()[i])];
        shared.reach = std::max(shared.reach, here[i]);
        ++shared.sentences;
      }
    }
  }

  std::vector<IdleParts> idle() {
    std::vector<IdleParts> all;
    for (Index s = 0; s < facts_.size(); ++s) {
      const auto& fact = facts_[s];
      if (fact && fact->parts_seen > 0 && fact->matters && !fact->told && fact->looked_at && may_have_idle_parts(s))
        if (IdleParts idle = idle_in(s, *fact); !idle.parts.empty()) all.push_back(std::move(idle));
    }
    return all;
  }

 private:
  struct Shared {
    Reach reach = Reach::same_words;
    unsigned sentences = 0;
    bool told = false;
  };

  bool may_have_idle_parts(Index s) const { return some_may_go_[ruleset_.sentences[s].sentence]; }
  Spot spot(Index s, const Part& part) const { return {ruleset_.sentences[s].sentence, part.place.span.begin, part.place.span.end, part.kind}; }

  // Over all practices it speaks of; one that was not looked at to the end lets nothing be struck.
  std::vector<Reach> reach_of(Index s, const Dissection& dissection) const {
    const auto& known = facts_[s];
    const std::size_t needed = std::max<std::size_t>(1, ruleset_.sentences[s].practices.size());
    if (known && known->parts_seen == needed) return known->parts;
    return std::vector<Reach>(dissection.parts().size(), Reach::matters);
  }

  IdleParts idle_in(Index s, const SentenceFact& fact) {
    const Dissection dissection(ruleset_, s);
    std::vector<Reach> reach;
    bool alone = fact.parts_seen == 1;
    for (const Part& part : dissection.parts()) {
      const Shared& shared = shared_.at(spot(s, part));
      reach.push_back(shared.reach);
      alone = alone && shared.sentences == 1;
    }
    IdleParts idle{s, outermost(dissection, reach), {}};
    std::erase_if(idle.parts, [&](const IdleParts::Part& i) { return std::exchange(shared_.at(spot(s, dissection.parts()[i.number])).told, true); });
    if (!idle.parts.empty()) idle.struck = alone ? fact.struck : Struck{idle.parts.back().number};
    return idle;
  }

  const Ruleset& ruleset_;
  const AllFacts& facts_;
  std::vector<bool> some_may_go_;  // by tree sentence: a part of one of its sentences need not matter
  std::map<Spot, Shared> shared_;
};

// What striking does to a red flag or a term is looked at by its meaning alone.
const StrikingMatters always_matters = [](Reading, Node, Node) { return true; };

std::vector<Form> asked_by_parts(Study& study, const Dissection& dissection, const std::vector<Reading>& readings) {
  study.spend(dissection.cost() * readings.size());
  std::vector<Form> asked;
  for (Reading reading : readings)
    for (Form form : dissection.asked(study.meaning, reading)) asked.push_back(form);
  return asked;
}

}  // namespace

// ---------------------------------------------------------------- noting

void note_parts_in(Study& study, const std::string& name, const std::vector<Index>& sentences, Space& space, std::vector<Form> asked,
                   const std::function<void(Space&)>& note) {
  try {
    bool reached = true;
    for (Index s : sentences) {
      if (!has_parts(study.ruleset, s)) continue;
      for (Form form : asked_by_parts(study, Dissection(study.ruleset, s), heard_in(study, study.ruleset.sentences[s]))) {
        reached = reached && space.reaches(form);
        asked.push_back(form);
      }
    }
    const bool has_steps_left = space.graph().steps() < study.common.budget.steps / 2;
    if (reached && has_steps_left) return note(space);
    Space wide(study.meaning, study.people, asked, study.limit());
    note(wide);
  } catch (const BudgetMet&) {  // of the sentences not reached nothing is noted, and no part of theirs is told
    study.not_settled(name);
  }
}

void look_at_parts(Study& study, Space& space, Index sentence, const PeopleOf& people, const StrikingMatters& matters, SentenceFacts& facts) {
  if (!has_parts(study.ruleset, sentence)) return;
  const Dissection dissection(study.ruleset, sentence);
  if (dissection.parts().empty()) return;
  space.graph().spend(dissection.cost());
  Striking striking(space, dissection, heard_in(study, study.ruleset.sentences[sentence]), people, matters);
  std::vector<Reach> reach = striking.reaches();
  SentenceFact& fact = facts[sentence];
  fact.struck = striking.together(reach);
  fact.parts = std::move(reach);
  fact.parts_seen = 1;
}

void note_parts(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  const Practice& named = study.ruleset.practices[practice.practice];
  const std::vector<Form> asked = asked_by(study.meaning, practice.practice, study.all_readings);
  note_parts_in(study, named.name, named.sentences, practice.space, asked, [&](Space& space) {
    if (&space == &practice.space) return note_parts_here(study, practice, facts);
    PracticeStudy wide{practice.practice, space, {}};
    for (Reading reading : study.all_readings) wide.voices.emplace(reading.school, voices(space, practice.practice, reading));
    note_parts_here(study, wide, facts);
  });
}

void note_parts_of_flags(Study& study, Space& space, const std::vector<Form>& asked, SentenceFacts& facts) {
  const std::vector<Index>& flags = study.ruleset.red_flags;
  note_parts_in(study, "red flags", flags, space, asked, [&](Space& reached) {
    for (Index s : flags) look_at_parts(study, reached, s, [&](Reading) { return reached.applies(); }, always_matters, facts);
  });
}

std::vector<IdleParts> idle_parts(const Ruleset& ruleset, const AllFacts& facts) { return Sentences(ruleset, facts).idle(); }

// ---------------------------------------------------------------- checks

namespace {

// A part that keeps persons out who would be told the same says whom the sentence is meant for, and so does one that
// makes a difference for those who are referred; both may stay. What else may be struck says nothing, or what is said anyway.
bool may_stay(const Part& part, Reach reach) {
  return reach == Reach::same_people || (reach == Reach::same_told && part.widens);
}

}  // namespace

void check_parts(Study& study, const IdleParts& idle) {
  const Sentence& sentence = study.ruleset.sentences[idle.sentence];
  const Dissection dissection(study.ruleset, idle.sentence);
  const bool all_may_stay = std::all_of(idle.parts.begin(), idle.parts.end(), [&](const IdleParts::Part& part) {
    return may_stay(dissection.parts()[part.number], part.reach);
  });
  Problem p = study.problem("idle", "part", all_may_stay ? Severity::note : Severity::question);
  if (sentence.practices.size() == 1) p.practice = study.ruleset.practices[sentence.practices[0]].name;
  if (sentence.choice != no_index) p.choice = study.ruleset.choices[sentence.choice].name;
  Teller(study, dissection, idle).tell(std::move(p), study.concerned(idle.sentence, false), study.line_of(idle.sentence));
}

void check_parts_of_term(Study& study, Index index) {
  const Term& term = study.ruleset.terms[index];
  const Dissection dissection(study.ruleset, term.condition, std::get<tree::TermLine>(study.ruleset.tree.sentences[term.sentence].form).condition);
  if (dissection.parts().empty()) return;
  Space space(study.meaning, study.people, asked_by_parts(study, dissection, study.all_readings), study.limit());
  space.graph().spend(dissection.cost());
  const PeopleOf all = [](Reading) { return Graph::yes; };
  Striking striking(space, dissection, study.all_readings, all, always_matters);
  std::vector<Reach> reach = striking.reaches();
  const bool plain = study.common.facts_are_plain;  // else who is possible may hang on this term, and then says nothing about it
  for (Reach& r : reach)
    if (r != Reach::same_words && (r != Reach::same_possible || !plain)) r = Reach::matters;
  IdleParts idle{no_index, outermost(dissection, reach), {}};
  if (idle.parts.empty()) return;
  idle.struck = striking.together(reach);
  if (!plain && idle.struck.size() > 1) idle.struck = {idle.struck.back()};
  Concerned here = study.declared(term.sentence, term.place);
  here.marks.clear();
  const std::string line = study.line_of(here.place);
  Teller(study, dissection, idle).tell(study.problem("idle", "part", Severity::question), std::move(here), line);
}

}  // namespace betony
