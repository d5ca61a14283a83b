// Choices: two values fit where one is allowed (choice clash); nothing fits where it is needed (choice
// empty); and which of their Take, Refuse and Otherwise sentences matter.
#include <algorithm>

#include "compiler/check/all_but_one.h"
#include "compiler/check/choice.h"
#include "compiler/check/idle_parts.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Kind = Sentence::Kind;

class ChoiceStudy {
 public:
  ChoiceStudy(Study& study, Index choice, Space& space) : study_(study), index_(choice), choice_(study.ruleset.choices[choice]),
        users_(study.common.users_of[choice]), space_(space), graph_(space.graph()) {}

  // Told per reading unless all readings show the same.
  void tell() {
    std::map<Found, std::vector<Reading>> found;
    for (Reading reading : study_.readings) {
      if (const Node region = clash(reading); region != Graph::no)
        found[{region, true, space_.looked_at(reading), clashing(region, reading)}].push_back(reading);
      if (const Node region = empty(reading); region != Graph::no) found[{region, false, space_.looked_at(reading), {}}].push_back(reading);
    }
    ChoiceTelling telling(study_, index_);
    for (const auto& [key, readings] : found) {
      const auto& [region, is_clash, looked_at, clashing] = key;
      study_.once_or_each(readings, [&, &region = region, &is_clash = is_clash, &clashing = clashing](Reading reading, const std::string& school) {
        const auto show = [&](Problem& p) { study_.show(p, space_, region, space_.looked_at(reading), reading); };
        if (!is_clash) return telling.empty(reading, school, show);
        const auto& [pairs, all] = clashing;
        const ClashingPairs first(pairs.begin(), pairs.begin() + static_cast<std::ptrdiff_t>(std::min(pairs.size(), ChoiceTelling::most_pairs)));
        telling.clash(first, pairs.size(), all, reading, school, show);
      });
    }
  }

  void note_what_matters(SentenceFacts& facts) {
    for (Reading reading : study_.all_readings)
      for (Index s : choice_.sentences) {
        if (!in_reading(study_.ruleset, study_.ruleset.sentences[s], reading)) continue;
        const Node fires = space_.of(study_.meaning.fires(s, reading));
        if (reading.school == no_index) facts[s].alike = 2 + graph_.both(fires, space_.looked_at(reading));
        if (!facts[s].matters) facts[s].matters = bearing(s, fires, reading) != Graph::no;
      }
  }

  // Those of `within` for whom something else fits if the sentence fires for them than if it does not.
  Node bearing(Index sentence, Node within, Reading reading) {
    within = graph_.both(within, space_.applies());
    if (within == Graph::no) return Graph::no;
    graph_.spend(20 * choice_.values.size());  // what is known already costs no step of its own
    const std::vector<Node> with = fitting(sentence, true, within, reading), without = fitting(sentence, false, within, reading);
    Node result = Graph::no;
    for (std::size_t v = 0; v < with.size(); ++v) result = graph_.either(result, graph_.differing(with[v], without[v]));
    return result;
  }

  void note_parts(SentenceFacts& facts) {
    for (Index s : choice_.sentences) {
      const auto matters = [&](Reading reading, Node more, Node fewer) {
        return !is_given(s, more, reading) || bearing(s, graph_.either(more, fewer), reading) != Graph::no;
      };
      look_at_parts(study_, space_, s, [&](Reading) { return space_.applies(); }, matters, facts);
    }
  }

 private:
  // Whether what a Take or Refuse gives is so already for all of `within`.
  bool is_given(Index sentence, Node within, Reading reading) {
    const Sentence& s = study_.ruleset.sentences[sentence];
    const auto fits_all = [&](Index value) { return graph_.inside(within, fits(value, reading)); };
    return s.kind != Kind::take || std::all_of(s.values.begin(), s.values.end(), fits_all);
  }

  using Clashing = std::pair<ClashingPairs, bool>;        // and whether these are all
  using Found = std::tuple<Node, bool, Node, Clashing>;  // {region, is a clash, those looked at, sentences that clash}

  // The sentences of one kind that give one value.
  struct Givers {
    std::vector<Index> sentences;
    AllButOne fire;
  };

  Givers& givers(Kind kind, Index value, Reading reading) {
    const auto [at, is_new] = givers_.try_emplace({kind, value, reading.school});
    Givers& made = at->second;
    if (!is_new) return made;
    graph_.spend(choice_.sentences.size());
    std::vector<Node> nodes;
    for (Index s : choice_.sentences) {
      const Sentence& sentence = study_.ruleset.sentences[s];
      const bool gives_it = std::count(sentence.values.begin(), sentence.values.end(), value) > 0;
      if (sentence.kind != kind || !gives_it || !in_reading(study_.ruleset, sentence, reading)) continue;
      made.sentences.push_back(s);
      nodes.push_back(kind == Kind::choice_otherwise ? Graph::yes : space_.of(study_.meaning.fires(s, reading)));
    }
    made.fire = AllButOne(graph_, nodes);
    return made;
  }

  // Where some sentence of the kind gives the value, as if `sentence` gave it to all of `within`, or to nobody.
  Node given(Kind kind, Index value, Index sentence, bool fires, Node within, Reading reading) {
    Givers& all = givers(kind, value, reading);
    const auto found = std::lower_bound(all.sentences.begin(), all.sentences.end(), sentence);
    if (found == all.sentences.end() || *found != sentence) return graph_.both(within, all.fire.all());
    return fires ? within : graph_.both(within, all.fire.but(static_cast<std::size_t>(found - all.sentences.begin())));
  }

  // What fits those of `within`, by value, as if the sentence fired for all of them, or for nobody.
  std::vector<Node> fitting(Index sentence, bool fires, Node within, Reading reading) {
    std::vector<Node> fits, refused;
    for (Index v = 0; v < choice_.values.size(); ++v) {
      refused.push_back(given(Kind::refuse, v, sentence, fires, within, reading));
      fits.push_back(graph_.without(given(Kind::take, v, sentence, fires, within, reading), refused[v]));
    }
    const Node nothing = graph_.without(within, graph_.any(fits));
    for (Index v = 0; v < choice_.values.size(); ++v) {
      const Node otherwise = graph_.both(nothing, given(Kind::choice_otherwise, v, sentence, fires, within, reading));
      fits[v] = graph_.either(fits[v], graph_.without(otherwise, refused[v]));
    }
    if (choice_.kind == Choice::Kind::grade_highest || choice_.kind == Choice::Kind::grade_lowest) prevail(fits);
    return fits;
  }

  void prevail(std::vector<Node>& fits) {
    Node better = Graph::no;
    for (std::size_t i = 0; i < fits.size(); ++i) {
      Node& fit = fits[choice_.kind == Choice::Kind::grade_highest ? fits.size() - 1 - i : i];
      const Node all = graph_.either(better, fit);
      fit = graph_.without(fit, better);
      better = all;
    }
  }

  Node fits(Index value, Reading reading) { return space_.of(study_.meaning.takes(index_, value, reading)); }

  Node clash(Reading reading) {
    if (choice_.kind != Choice::Kind::one_of) return Graph::no;
    Node one = Graph::no, two = Graph::no;  // where at least so many fit
    for (Index value = 0; value < choice_.values.size(); ++value) {
      const Node fit = fits(value, reading);
      two = graph_.either(two, graph_.both(one, fit));
      one = graph_.either(one, fit);
    }
    return graph_.both(two, space_.looked_at(reading));
  }

  Node empty(Reading reading) {
    Node needed = Graph::yes;
    if (!users_.empty()) {
      std::vector<Node> done;
      for (Index practice : users_)
        for (tree::Verdict verdict : {tree::Verdict::advised, tree::Verdict::allowed})
          done.push_back(space_.of(study_.meaning.verdict(practice, verdict, reading)));
      needed = graph_.any(std::move(done));
    }
    return graph_.all({space_.of(study_.meaning.nothing_fits(index_, reading)), needed, space_.looked_at(reading)});
  }

  // Where a sentence of the choice gives one of its values: taken and not refused; an Otherwise where nothing is taken.
  Node gives(Index sentence, Index value, Reading reading) {
    const Sentence& s = study_.ruleset.sentences[sentence];
    const Node fit = fits(value, reading);
    if (s.kind == Kind::take) return graph_.both(space_.of(study_.meaning.fires(sentence, reading)), fit);
    return graph_.without(fit, givers(Kind::take, value, reading).fire.all());
  }

  // Every two sentences that give different values to one person of the region; of very many only the first.
  Clashing clashing(Node region, Reading reading) {
    constexpr std::size_t most_compared = 200'000;
    std::vector<Index> givers;
    for (Index s : choice_.sentences)
      if (study_.ruleset.sentences[s].kind != Kind::refuse && in_reading(study_.ruleset, study_.ruleset.sentences[s], reading)) givers.push_back(s);
    ClashingPairs pairs;
    std::size_t compared = 0;
    for (std::size_t i = 0; i < givers.size(); ++i)
      for (std::size_t j = i; j < givers.size(); ++j) {
        if (++compared > most_compared && pairs.size() > ChoiceTelling::most_pairs) return {std::move(pairs), false};
        if (differ_together(givers[i], givers[j], region, reading)) pairs.emplace_back(givers[i], givers[j]);
      }
    return {std::move(pairs), true};
  }

  // Whether two sentences give different values to one person.
  bool differ_together(Index a, Index b, Node region, Reading reading) {
    graph_.spend(100);
    for (Index first : study_.ruleset.sentences[a].values)
      for (Index second : study_.ruleset.sentences[b].values)
        if (first != second && graph_.meet(graph_.both(gives(a, first, reading), gives(b, second, reading)), region)) return true;
    return false;
  }

  Study& study_;
  Index index_;
  const Choice& choice_;
  const std::vector<Index>& users_;
  Space& space_;
  Graph& graph_;
  std::map<std::tuple<Kind, Index, Index>, Givers> givers_;  // {kind, value, school}
};

std::vector<Form> asked_by_choice(Study& study, Index choice) {
  std::vector<Form> asked;
  for (Index s : study.ruleset.choices[choice].sentences)
    for (Reading reading : study.all_readings) asked.push_back(study.meaning.fires(s, reading));
  for (Index practice : study.common.users_of[choice])
    for (Form form : asked_by(study.meaning, practice, study.all_readings)) asked.push_back(form);
  return asked;
}

}  // namespace

Problem ChoiceTelling::begin(const char* kind, Severity severity, const std::string& school) const {
  Problem p = study_.problem(kind, "", severity);
  p.choice = choice_.name;
  p.school = school;
  return p;
}

void ChoiceTelling::replay(Problem& p, Reading reading) const {
  if (!p.witness) return;
  std::vector<std::string> fits;
  const ChoiceResult result = choice_result(study_.ruleset, index_, *p.witness, reading);
  for (Index value : result.fits) fits.push_back(choice_.values[value]);
  p.replay = "for " + choice_.name + " " + (fits.empty() ? "nothing fits" : listed(fits) + (fits.size() == 1 ? " fits" : " fit"));
}

void ChoiceTelling::clash(const ClashingPairs& pairs, std::uint64_t count, bool all, Reading reading, const std::string& school, const Show& show) {
  Problem p = begin("choice-clash", Severity::error, school);
  Bringing bring(study_, p);
  for (const auto& [a, b] : pairs) bring.pair(a, b);
  show(p);
  replay(p, reading);
  p.more_pairs = count - pairs.size();
  p.matter = "two fit where one is to be chosen";
  p.sense = "More than one value of " + choice_.name + " fits " + where_words(p) + "." + school_sentence(school);
  if (p.more_pairs > 0)
    p.sense += (all ? " Of " : " Of at least ") + std::to_string(count) + " pairs of sentences that meet there, only the first " + std::to_string(pairs.size()) + " are told.";
  p.write = {"Refuse … in … for the value that should give way", "Choice " + choice_.name + " is a grade of …, the highest prevails. if one should win"};
  study_.tell(std::move(p));
}

void ChoiceTelling::empty(Reading reading, const std::string& school, const Show& show) {
  Problem p = begin("choice-empty", Severity::question, school);
  p.sentences.push_back(study_.declared(choice_.sentence, choice_.place));
  show(p);
  replay(p, reading);
  std::vector<std::string> users;
  for (Index practice : study_.common.users_of[index_]) users.push_back(study_.ruleset.practices[practice].name);
  p.matter = "nothing fits";
  p.sense = "No value of " + choice_.name + " fits " + where_words(p) +
            (users.empty() ? "." : ", though " + listed(users, "or") + " may be done.") + school_sentence(school);
  p.write = {"Otherwise " + choice_.values[0] + ". or another value, under the choice", "Take … in … for them"};
  study_.tell(std::move(p));
}

namespace {

void check_choice_by_graphs(Study& study, Index choice, SentenceFacts& facts) {
  Space space(study.meaning, study.people, asked_by_choice(study, choice), study.limit());
  if (space.has_undecided_measure()) study.not_settled(study.ruleset.choices[choice].name);
  check_never_applies(study, space, study.ruleset.choices[choice].sentences, facts);
  ChoiceStudy checked(study, choice, space);
  checked.note_what_matters(facts);
  checked.tell();
}

// Of a choice that is looked at as a table they are not looked at: its graphs would grow too large.
constexpr std::size_t most_sentences_with_parts = 150;

void note_parts(Study& study, Index choice, SentenceFacts& facts) {
  const Choice& named = study.ruleset.choices[choice];
  if (named.sentences.size() >= most_sentences_with_parts) return;
  try {
    const std::vector<Form> asked = asked_by_choice(study, choice);
    Space space(study.meaning, study.people, asked, study.limit());
    note_parts_in(study, named.name, named.sentences, space, asked, [&](Space& wide) { ChoiceStudy(study, choice, wide).note_parts(facts); });
  } catch (const BudgetMet&) {
    study.not_settled(named.name);
  }
}

}  // namespace

// The likelier way first; where its budget is met, the other one.
void check_choice(Study& study, Index choice, SentenceFacts& facts) {
  const bool many = study.ruleset.choices[choice].sentences.size() >= study.common.budget.rows_of_a_table;
  bool is_table = true;
  try {
    if (many) is_table = check_choice_as_table(study, choice, facts);
    if (!many || !is_table) check_choice_by_graphs(study, choice, facts);
    return note_parts(study, choice, facts);
  } catch (const BudgetMet&) {
    if (!is_table) throw;
    study.spend(0);  // met for good, if nothing is left for anything
    study.found = {};
  }
  if (many) check_choice_by_graphs(study, choice, facts);
  else if (!check_choice_as_table(study, choice, facts)) throw BudgetMet("a choice that is no table");
}

}  // namespace betony
