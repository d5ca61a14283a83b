// Terms, tallies and leadings; groups unfolded; sources and schools; questions and notes.
#include <algorithm>

#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Name;
using Kind = Known::Kind;

std::vector<std::string> texts(const std::vector<Name>& names) {
  std::vector<std::string> out;
  for (const Name& name : names) out.push_back(name.text);
  return out;
}

// The sentence a definition stands in, opened, and its form.
template <class Line>
const Line& opened(Typing& typing, int slot, Index index, Index& sentence) {
  sentence = typing.definition_sentences[slot][index];
  typing.open(sentence);
  return std::get<Line>(typing.sentences()[sentence].form);
}

template <class Defined, class Line>
Defined begun(Typing& typing, const Line& line, Index sentence) {
  Defined defined;
  defined.name = line.name.name.text;
  defined.also = texts(line.name.also);
  defined.place = typing.place(line.name.name.span);
  defined.sentence = sentence;
  return defined;
}

// ---------------------------------------------------------------- terms, tallies, leadings

void type_term(Typing& typing, Index index) {
  Index sentence = 0;
  const auto& line = opened<tree::TermLine>(typing, 1, index, sentence);
  Term term = begun<Term>(typing, line, sentence);
  term.condition = type_condition(typing, line.condition);
  typing.ruleset.terms.push_back(std::move(term));
}

void type_tally(Typing& typing, Index index) {
  Index sentence = 0;
  const auto& line = opened<tree::TallyLine>(typing, 2, index, sentence);
  Tally tally = begun<Tally>(typing, line, sentence);
  for (const tree::TallyItem& item : line.items)
    for (const tree::Condition& counted : item.counted) tally.items.push_back({type_condition(typing, counted), item.points.value()});
  typing.ruleset.tallies.push_back(std::move(tally));
}

void add_leading_tally(Typing& typing, Leading& leading, Words& words, const Name& name) {
  const Known* known = find_name(typing, name, {Kind::tally}, "a tally");
  if (!known) return;
  if (!words.try_emplace(name.key, static_cast<Index>(leading.values.size())).second) {
    typing.tell(name.span, "a tally named twice", in_quotes(name.text) + " is named twice here.", typing.without(name.span));
    return;
  }
  leading.tallies.push_back(known->index);
  leading.values.push_back(name.text);
}

void type_leading(Typing& typing, Index index) {
  Index sentence = 0;
  const auto& line = opened<tree::LeadingLine>(typing, 3, index, sentence);
  Leading leading = begun<Leading>(typing, line, sentence);
  Words words;
  for (const Name& tally : line.tallies) add_leading_tally(typing, leading, words, tally);
  if (line.lead) leading.lead = line.lead->value();
  if (line.lead && line.lead->value() <= 0)
    typing.tell(line.lead->span, "a lead of nothing", "A lead must be more than 0; any lead is meant where none is written.", typing.corrected(line.lead->span, "1"));
  words.try_emplace(line.otherwise.key, static_cast<Index>(leading.values.size()));
  const auto same = words.at(line.otherwise.key);
  leading.values.push_back(same < leading.values.size() ? leading.values[same] : line.otherwise.text);
  typing.leading_words.push_back(std::move(words));
  typing.ruleset.leadings.push_back(std::move(leading));
}

// ---------------------------------------------------------------- groups

// Members first, with a stack of its own; a group's members are unfolded when all of its groups are.
class Unfolder {
 public:
  explicit Unfolder(Typing& typing) : typing_(typing), state_(typing.ruleset.groups.size(), State::fresh) {}

  void run() {
    for (Index i = 0; i < state_.size(); ++i) read_members(i);
    for (Index i = 0; i < state_.size(); ++i) visit(i);
  }

 private:
  enum class State : char { fresh, open, done };

  const tree::GroupLine& line(Index group) {
    const Index sentence = typing_.ruleset.groups[group].sentence;
    typing_.open(sentence);
    return std::get<tree::GroupLine>(typing_.sentences()[sentence].form);
  }

  void read_members(Index group) {
    groups_.emplace_back();
    auto& practices = typing_.ruleset.groups[group].practices;
    for (const Name& member : line(group).members) {
      const Known* known = find_name(typing_, member, {Kind::practice, Kind::group}, "a practice");
      if (!known) continue;
      if (known->kind == Kind::group) groups_.back().push_back(known->index);
      else practices.push_back(known->index);
    }
  }

  void visit(Index first) {
    std::vector<std::pair<Index, std::size_t>> path;
    if (state_[first] == State::fresh) path.push_back({first, 0}), state_[first] = State::open;
    while (!path.empty()) {
      auto& [group, next] = path.back();
      if (next == groups_[group].size()) {
        unfold(group);
        path.pop_back();
        continue;
      }
      const Index member = groups_[group][next++];
      if (state_[member] == State::open) tell_circle(path, member);
      if (state_[member] == State::fresh) path.push_back({member, 0}), state_[member] = State::open;
    }
  }

  void unfold(Index group) {
    auto& practices = typing_.ruleset.groups[group].practices;
    for (Index member : groups_[group]) {
      const auto& inner = typing_.ruleset.groups[member].practices;
      if (!typing_.spend(inner.size(), line(group).name.name.span)) break;
      if (member != group) practices.insert(practices.end(), inner.begin(), inner.end());
    }
    std::sort(practices.begin(), practices.end());
    practices.erase(std::unique(practices.begin(), practices.end()), practices.end());
    state_[group] = State::done;
  }

  void tell_circle(const std::vector<std::pair<Index, std::size_t>>& path, Index again) {
    std::size_t begin = path.size();
    while (path[begin - 1].first != again) --begin;
    std::string circle;
    for (std::size_t i = begin - 1; i < path.size() && i < begin + 19; ++i) circle += typing_.ruleset.groups[path[i].first].name + " holds ... ";
    const auto& name = line(again).name.name;
    const std::string remedy = without_member(path.back().first, again);
    line(again);  // opened
    typing_.tell(name.span, "a group within itself", circle + name.text + ": a group cannot hold itself.", remedy);
  }

  // The sentence of a group without one of the groups that it names; a gap where it names no other.
  std::string without_member(Index group, Index member) {
    const auto& members = line(group).members;
    for (const Name& name : members) {
      const auto known = typing_.names.find(name.key);
      if (known == typing_.names.end() || known->second.kind != Kind::group || known->second.index != member) continue;
      return &name == &members.front() ? typing_.corrected(name.span, "…") : typing_.without(name.span);
    }
    return {};
  }

  Typing& typing_;
  std::vector<State> state_;
  std::vector<std::vector<Index>> groups_;  // groups named in each
};

// ---------------------------------------------------------------- sources and schools

// A year, a rank: whole and of a size that a book can have.
std::optional<long> small_whole(Typing& typing, const tree::Number& number, const char* what) {
  const Rational value = number.value();
  if (value.get_den() == 1 && abs(value) <= 1000000) return value.get_num().get_si();
  typing.tell(number.span, "not a whole number", std::string(what) + " is a whole number; " + number.text + " is none.", typing.corrected(number.span, "…"));
  return std::nullopt;
}

void type_source(Typing& typing, const tree::SourceLine& line, Index sentence) {
  Source source;
  source.word = line.word.text;
  source.title = line.title.text;
  source.place = typing.place(line.word.span);
  source.sentence = sentence;
  if (auto year = small_whole(typing, line.year, "A year")) source.year = *year;
  if (line.rank) source.rank = small_whole(typing, *line.rank, "A rank");
  const auto [at, fresh] = typing.sources.try_emplace(line.word.key, static_cast<Index>(typing.ruleset.sources.size()));
  if (fresh) return typing.ruleset.sources.push_back(std::move(source));
  typing.tell(line.word.span, "a source declared twice",
              in_quotes(line.word.text) + " already names a source (" + typing.line(typing.ruleset.sources[at->second].place) + ").", "Choose another word for this one.");
}

constexpr std::size_t most_schools = 100;  // each is checked as a reading of its own

void type_school(Typing& typing, const tree::SchoolLine& line) {
  School school;
  school.name = line.name.name.text;
  school.place = typing.place(line.name.name.span);
  for (const Name& word : line.sources) {
    const auto source = typing.sources.find(word.key);
    if (source != typing.sources.end()) school.sources.push_back(source->second);
    else typing.tell(word.span, "a source that is not declared", "No source is called " + in_quotes(word.text) + ".", "Source " + word.text + " is \"…\", ….");
  }
  std::sort(school.sources.begin(), school.sources.end());
  school.sources.erase(std::unique(school.sources.begin(), school.sources.end()), school.sources.end());
  const auto [at, fresh] = typing.schools.try_emplace(line.name.name.key, static_cast<Index>(typing.ruleset.schools.size()));
  if (fresh && typing.ruleset.schools.size() == most_schools) {
    typing.tell(line.name.name.span, "too many schools", "A ruleset holds at most " + std::to_string(most_schools) + " schools, since each is read by itself.",
                "Keep further schools in rulesets of their own.");
    return;
  }
  if (fresh) return typing.ruleset.schools.push_back(std::move(school));
  typing.tell(line.name.name.span, "a school declared twice",
              in_quotes(school.name) + " is declared already (" + typing.line(typing.ruleset.schools[at->second].place) + ").", "Name all its sources in one sentence.");
}

void type_title(Typing& typing, const tree::RulesetLine& line, std::optional<Index>& first, Index sentence) {
  if (first) {
    typing.tell(typing.sentences()[sentence].place.span, "a second title", "The ruleset has its title already (" + typing.line(typing.sentences()[*first].place) + ").", "Leave one of the two sentences out.");
    return;
  }
  first = sentence;
  typing.ruleset.title = line.title.text;
  typing.ruleset.edition = line.edition.text;
}

// ---------------------------------------------------------------- questions and notes

void add_text(std::string& text, const std::string& more) { text += (text.empty() ? "" : " ") + more; }

// The findings declared by a sentence: one, or the items of an any-of finding.
template <class Use>
void each_finding(Typing& typing, Index sentence, Use use) {
  const auto& named = std::get<tree::FindingLine>(typing.sentences()[sentence].form);
  const auto known = typing.names.find(named.name.name.key);
  if (known == typing.names.end()) return;
  if (known->second.kind == Kind::finding) use(typing.ruleset.findings[known->second.index]);
  if (known->second.kind == Kind::any_of)
    for (Index item : typing.wholes[known->second.index].items) use(typing.ruleset.findings[item]);
}

void type_ask(Typing& typing, Index sentence, const tree::AskLine& line) {
  const Index above = typing.headings[sentence].above;
  if (above == no_index || !std::holds_alternative<tree::FindingLine>(typing.sentences()[above].form)) {
    typing.tell(line.text.span, "a question for nothing", "A question stands under the finding it asks for; no finding stands above this one.",
                "Move it under its Finding sentence.");
    return;
  }
  bool again = false;
  each_finding(typing, above, [&](Finding& finding) {
    again = again || !finding.question.empty();
    finding.question = line.text.text;
  });
  if (again) typing.tell(line.text.span, "a second question", "The finding above has its question already; a note can say more.", "Note " + in_quotes(line.text.text) + ".");
}

template <class Item>
void note_all(Typing& typing, const Name& name, std::vector<Item>& items, Kind kind, const std::string& text) {
  const auto known = typing.names.find(name.key);
  if (known != typing.names.end() && known->second.kind == kind && known->second.index < items.size()) add_text(items[known->second.index].note, text);
}

void type_note(Typing& typing, Index sentence, const tree::NoteLine& line) {
  const Index above = typing.headings[sentence].above;
  const std::string& text = line.text.text;
  if (above == no_index) {
    typing.tell(line.text.span, "a note on nothing", "A note stands under what it speaks of; nothing is declared above this one.", "Move it under a Finding, Practice, Group or Choice.");
    return;
  }
  const auto& form = typing.sentences()[above].form;
  if (std::holds_alternative<tree::FindingLine>(form)) each_finding(typing, above, [&](Finding& finding) { add_text(finding.note, text); });
  else if (auto* practices = std::get_if<tree::PracticeLine>(&form))
    for (const auto& practice : practices->practices) note_all(typing, practice.name, typing.ruleset.practices, Kind::practice, text);
  else if (auto* group = std::get_if<tree::GroupLine>(&form)) note_all(typing, group->name.name, typing.ruleset.groups, Kind::group, text);
  else if (auto* choice = std::get_if<tree::ChoiceLine>(&form)) note_all(typing, choice->name.name, typing.ruleset.choices, Kind::choice, text);
  else if (auto* every = std::get_if<tree::EveryLine>(&form); every && every->group) note_all(typing, *every->group, typing.ruleset.groups, Kind::group, text);
}

}  // namespace

void type_definitions(Typing& typing) {
  for (const auto& [kind, index] : typing.definition_order) {
    if (kind == Kind::measure) type_measure(typing, index);
    if (kind == Kind::term) type_term(typing, index);
    if (kind == Kind::tally) type_tally(typing, index);
    if (kind == Kind::leading) type_leading(typing, index);
  }
}

void type_groups(Typing& typing) { Unfolder(typing).run(); }

void type_sources(Typing& typing) {
  std::optional<Index> title;
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    typing.open(i);
    const auto& form = typing.sentences()[i].form;
    if (auto* source = std::get_if<tree::SourceLine>(&form)) type_source(typing, *source, i);
    if (auto* line = std::get_if<tree::RulesetLine>(&form)) type_title(typing, *line, title, i);
    if (std::holds_alternative<tree::PrevailLine>(form)) typing.ruleset.contraindications_prevail = true;
  }
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    const auto* school = std::get_if<tree::SchoolLine>(&typing.sentences()[i].form);
    if (!school) continue;
    typing.open(i);
    type_school(typing, *school);
  }
}

void type_notes(Typing& typing) {
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    typing.open(i);
    const auto& form = typing.sentences()[i].form;
    if (auto* ask = std::get_if<tree::AskLine>(&form)) type_ask(typing, i, *ask);
    if (auto* note = std::get_if<tree::NoteLine>(&form)) type_note(typing, i, *note);
  }
}

}  // namespace betony
