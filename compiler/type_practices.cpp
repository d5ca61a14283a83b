// Sentences about practices and choices: whom they speak of, when they fire, what they say.
#include <algorithm>

#include "grammar/nearness.h"
#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Ending;
using tree::Name;
using Kind = Sentence::Kind;

// ---------------------------------------------------------------- whom a sentence speaks of

struct Speaker {
  std::vector<Index> practices;
  bool of_group = false;
  Index group = no_index;
};

std::vector<Index> sorted(std::vector<Index> indices) {
  std::sort(indices.begin(), indices.end());
  indices.erase(std::unique(indices.begin(), indices.end()), indices.end());
  return indices;
}

Speaker every_speaker(Typing& typing, const tree::EveryLine& line) {
  Speaker speaker;
  speaker.of_group = true;
  if (!line.group) {
    for (Index i = 0; i < typing.ruleset.practices.size(); ++i) speaker.practices.push_back(i);
    return speaker;
  }
  if (const Known* group = find_name(typing, *line.group, {Known::Kind::group}, "a group")) {
    speaker.group = group->index;
    speaker.practices = typing.ruleset.groups[group->index].practices;
  }
  return speaker;
}

Speaker practice_speaker(Typing& typing, const tree::PracticeLine& line) {
  Speaker speaker;
  for (const auto& practice : line.practices) {
    const auto known = typing.names.find(practice.name.key);
    if (known != typing.names.end() && known->second.kind == Known::Kind::practice) speaker.practices.push_back(known->second.index);
  }
  speaker.practices = sorted(std::move(speaker.practices));
  return speaker;
}

// Practices named in a sentence; a group stands for all that it holds.
std::vector<Index> practices_named(Typing& typing, const std::vector<Name>& names) {
  std::vector<Index> out;
  for (const Name& name : names) {
    const Known* known = find_name(typing, name, {Known::Kind::practice, Known::Kind::group}, "a practice");
    if (!known) continue;
    if (known->kind == Known::Kind::practice) {
      out.push_back(known->index);
      continue;
    }
    const auto& held = typing.ruleset.groups[known->index].practices;
    if (typing.spend(held.size(), name.span)) out.insert(out.end(), held.begin(), held.end());
  }
  return sorted(std::move(out));
}

std::size_t size_of(const Cond& condition) {
  std::size_t size = 1;
  for (const Cond& part : condition.parts) size += size_of(part);
  return size;
}

// ---------------------------------------------------------------- one tree sentence after another

class SentenceTyper {
 public:
  explicit SentenceTyper(Typing& typing) : typing_(typing) {}

  void run() {
    typing_.ruleset.sentences.reserve(typing_.sentences().size());
    for (Index i = 0; i < typing_.sentences().size(); ++i) {
      sentence_ = i;
      typing_.open(i);
      std::visit(*this, typing_.sentences()[i].form);
    }
  }

  void operator()(const tree::EveryLine& line) { speakers_[sentence_] = every_speaker(typing_, line); }
  void operator()(const tree::PracticeLine& line) { speakers_[sentence_] = practice_speaker(typing_, line); }

  void operator()(const tree::VerdictLine& line) {
    static constexpr Kind kinds[] = {Kind::indicated, Kind::allowed, Kind::discouraged, Kind::contraindicated, Kind::caution};
    const Kind kind = kinds[static_cast<int>(line.kind)];
    if (kind == Kind::caution && !line.ending.text)
      tell_here("a caution without words", "A caution says what to take care of.", "Caution in …: \"…\".");
    if (auto sentence = about_practices(kind, line.ending)) add(std::move(*sentence), line.ending);
  }

  void operator()(const tree::DoseLine& line) {
    auto sentence = about_practices(Kind::dose, line.ending);
    if (!sentence) return;
    check_dose(typing_, line);
    sentence->dose = static_cast<Index>(typing_.ruleset.doses.size());
    typing_.ruleset.doses.push_back(type_dose(typing_, line));
    add(std::move(*sentence), line.ending);
  }

  void operator()(const tree::TakesLine& line) {
    if (auto sentence = about_practices(Kind::takes, line.ending)) check_takes(typing_, line), timed(std::move(*sentence), line);
  }

  void operator()(const tree::TimeLine& line) {
    if (auto sentence = about_practices(Kind::time, line.ending)) check_time(typing_, line), timed(std::move(*sentence), line);
  }

  void operator()(const tree::OrderLine& line) {
    static constexpr Kind kinds[] = {Kind::follows, Kind::precedes, Kind::needs, Kind::leads_to, Kind::never_with, Kind::apart};
    auto sentence = about_practices(kinds[static_cast<int>(line.kind)], line.ending);
    if (!sentence) return;
    sentence->others = practices_named(typing_, line.practices);
    if (sentence->kind == Kind::apart) check_apart(typing_, line);
    leave_out_itself(*sentence, line);
    if (sentence->kind == Kind::apart && line.by) timed(std::move(*sentence), line);
    else add(std::move(*sentence), line.ending);
  }

  void operator()(const tree::UsesLine& line) {
    auto sentence = about_practices(Kind::uses, line.ending);
    if (!sentence) return;
    for (const Name& name : line.choices)
      if (const Known* known = find_name(typing_, name, {Known::Kind::choice}, "a choice")) sentence->others.push_back(known->index);
    sentence->others = sorted(std::move(sentence->others));
    add(std::move(*sentence), line.ending);
  }

  void operator()(const tree::TakeLine& line) {
    auto sentence = about_choice(line.refuse ? Kind::refuse : Kind::take, line.ending);
    if (!sentence) return;
    sentence->values = values_of(sentence->choice, line.values);
    add(std::move(*sentence), line.ending);
  }

  void operator()(const tree::OtherwiseLine& line) {
    refuse_ends(line.ending);
    if (heading().choice_is_last) choice_otherwise(line);
    else practice_otherwise(line);
  }

  void operator()(const tree::ReferLine& line) {
    if (!line.ending.when) tell_here("a red flag for everyone", "A Refer sentence needs a condition; else it would send everyone away.", "Refer in …: \"…\".");
    if (!line.ending.text) tell_here("a red flag without words", "A Refer sentence says what to do.", "Refer in …: \"…\".");
    add(begun(Kind::refer, line.ending), line.ending);
  }

  void operator()(const tree::InLine& line) {
    const Cond condition = type_condition(typing_, line.condition);
    const std::size_t size = size_of(condition);
    for (std::size_t i = 0; i < line.items.size(); ++i)
      if (i == 0 || typing_.spend(size, line.items[i].practices.front().span)) in_item(line, i, condition);
  }

  template <class Other>
  void operator()(const Other&) {}

 private:
  // ------------------------------------------------ what all have in common

  const Heading& heading() const { return typing_.headings[sentence_]; }
  Span here() const { return typing_.sentences()[sentence_].place.span; }

  void tell_here(std::string matter, std::string message, std::string remedy) {
    typing_.tell(here(), std::move(matter), std::move(message), std::move(remedy));
  }

  std::optional<Sentence> about_practices(Kind kind, const Ending& ending) {
    if (heading().practice == no_index) {
      tell_here("no practice above", "This sentence speaks of a practice, but stands under none.", "Practice ….");
      return std::nullopt;
    }
    const Speaker& speaker = speakers_[heading().practice];
    if (!typing_.spend(speaker.practices.size(), here())) return std::nullopt;
    Sentence sentence = begun(kind, ending);
    sentence.practices = speaker.practices;
    sentence.of_group = speaker.of_group;
    sentence.group = speaker.group;
    return sentence;
  }

  std::optional<Sentence> about_choice(Kind kind, const Ending& ending) {
    const Index choice = heading().choice != no_index ? choice_above() : no_index;
    if (choice == no_index) {
      if (heading().choice == no_index)
        tell_here("no choice above", "This sentence speaks of a choice, but stands under none.", "Choice … is one of …, ….");
      return std::nullopt;
    }
    Sentence sentence = begun(kind, ending);
    sentence.choice = choice;
    return sentence;
  }

  Index choice_above() {
    const auto& line = std::get<tree::ChoiceLine>(typing_.sentences()[heading().choice].form);
    const auto known = typing_.names.find(line.name.name.key);
    return known != typing_.names.end() && known->second.kind == Known::Kind::choice ? known->second.index : no_index;
  }

  Sentence begun(Kind kind, const Ending& ending) {
    Sentence sentence;
    sentence.kind = kind;
    sentence.sentence = sentence_;
    sentence.place = typing_.sentences()[sentence_].place;
    fill(sentence, ending);
    return sentence;
  }

  void fill(Sentence& sentence, const Ending& ending) {
    if (ending.when) sentence.when = type_condition(typing_, *ending.when);
    if (ending.unless) sentence.unless = type_condition(typing_, *ending.unless);
    if (ending.text) sentence.text = ending.text->text;
    if (ending.label) sentence.label = ending.label->text;
    for (const auto& aim : ending.aims) sentence.aims.push_back(aim.text);
    for (const auto& citation : ending.citations) cite(sentence, citation);
  }

  void cite(Sentence& sentence, const tree::Citation& citation) {
    const auto source = typing_.sources.find(citation.source.key);
    if (source != typing_.sources.end()) return sentence.citations.push_back({source->second, citation.locus});
    std::vector<std::string> words;
    for (const Source& known : typing_.ruleset.sources) words.push_back(known.word);
    const auto meant = typing_.messages.size() < 100 ? nearest(citation.source.text, words) : std::nullopt;
    typing_.tell(citation.source.span, "a source that is not declared",
                 "No source is called " + in_quotes(citation.source.text) + (meant ? "; did you mean " + in_quotes(*meant) + "?" : "."),
                 "Source " + citation.source.text + " is \"…\", ….");
  }

  template <class Line>
  void timed(Sentence sentence, const Line& line) {
    sentence.timing = static_cast<Index>(typing_.ruleset.timings.size());
    typing_.ruleset.timings.push_back(type_timing(typing_, line));
    add(std::move(sentence), line.ending);
  }

  void add(Sentence sentence, const Ending& ending) {
    const Index index = static_cast<Index>(typing_.ruleset.sentences.size());
    for (Index practice : sentence.practices) typing_.ruleset.practices[practice].sentences.push_back(index);
    if (sentence.choice != no_index) typing_.ruleset.choices[sentence.choice].sentences.push_back(index);
    if (sentence.kind == Sentence::Kind::refer) typing_.ruleset.red_flags.push_back(index);
    if (ending.label) enter_label(*ending.label, index);
    if (sentence.kind == Kind::indicated || sentence.kind == Kind::allowed) {
      if (!ending.despite.empty()) typing_.despites.emplace_back(index, &ending.despite);
    } else if (!ending.despite.empty()) {
      typing_.tell(ending.despite.front().span, "despite where nothing is allowed", "Only an Indicated or Allowed sentence can stand despite a ban.", "Leave out \"despite " + ending.despite.front().text + "\".");
    }
    typing_.ruleset.sentences.push_back(std::move(sentence));
  }

  void enter_label(const Name& label, Index index) {
    const auto [at, fresh] = typing_.labels.try_emplace(label.key, index);
    if (fresh) return;
    typing_.tell(label.span, "a label used twice",
                 in_quotes(label.text) + " already labels another sentence (" + typing_.line(typing_.ruleset.sentences[at->second].place) + ").", "Choose another label here.");
  }

  // ------------------------------------------------ kinds with checks of their own

  void leave_out_itself(Sentence& sentence, const tree::OrderLine& line) {
    if (sentence.of_group || sentence.practices.size() != 1) return;
    const Index self = sentence.practices.front();
    for (const Name& name : line.practices) {
      const auto known = typing_.names.find(name.key);
      if (known == typing_.names.end() || known->second.kind != Known::Kind::practice || known->second.index != self) continue;
      typing_.tell(name.span, "a practice set against itself", in_quotes(name.text) + " is named in a sentence about itself.", typing_.corrected(name.span, "…"));
    }
    std::erase(sentence.others, self);
  }

  std::vector<Index> values_of(Index choice, const std::vector<tree::Quantity>& written) {
    std::vector<Index> values;
    const Choice& known = typing_.ruleset.choices[choice];
    for (const auto& value : written)
      if (auto word = word_of(typing_, value, typing_.choice_words[choice], known.name, known.values)) values.push_back(*word);
    return sorted(std::move(values));
  }

  void refuse_ends(const Ending& ending) {
    std::optional<Span> where;
    if (ending.when) where = ending.when->span;
    if (ending.unless) where = ending.unless->span;
    if (ending.label) where = ending.label->span;
    if (!ending.despite.empty()) where = ending.despite.front().span;
    if (where)
      typing_.tell(*where, "Otherwise with a condition", "Otherwise says what holds where nothing else speaks; it takes no condition, no label and no \"despite\".",
                   "Allowed in ….");
  }

  void choice_otherwise(const tree::OtherwiseLine& line) {
    auto sentence = about_choice(Kind::choice_otherwise, line.ending);
    if (!sentence) return;
    if (line.verdict) {  // a value may be called as a verdict is
      tree::Quantity value;
      value.kind = tree::Quantity::Kind::word;
      value.word = tree::Name{verdict_word(*line.verdict), verdict_word(*line.verdict), {}};
      value.span = here();
      sentence->values = values_of(sentence->choice, {value});
    } else {
      sentence->values = values_of(sentence->choice, line.values);
    }
    if (typing_.ruleset.choices[sentence->choice].kind != Choice::Kind::any_of && sentence->values.size() > 1)
      tell_here("several values where one fits", "Of " + in_quotes(typing_.ruleset.choices[sentence->choice].name) + " only one value can fit.", "Otherwise " + typing_.ruleset.choices[sentence->choice].values[sentence->values.front()] + ".");
    add(std::move(*sentence), Ending{});
  }

  void practice_otherwise(const tree::OtherwiseLine& line) {
    auto sentence = about_practices(Kind::otherwise, line.ending);
    if (!sentence) return;
    if (!line.verdict || !kind_of(*line.verdict)) {
      tell_here("otherwise what?", "Otherwise is followed by one of four words: advised, allowed, discouraged, withheld.", "Otherwise allowed.");
      return;
    }
    sentence->verdict = *line.verdict;
    sentence->with_care = line.with_care;
    sentence->when = always();
    sentence->unless.reset();
    check_care(*line.verdict, line.with_care, here());
    add(std::move(*sentence), Ending{});
  }

  void check_care(tree::Verdict verdict, bool with_care, Span where) {
    if (!with_care || may_be_done(verdict)) return;
    typing_.tell(where, "care with what is not done", "\"With care\" goes with advised or allowed; what is " + verdict_word(verdict) + " is not done at all.",
                 "Leave out \"with care\".");
  }

  // ------------------------------------------------ In COND: P is allowed; Q is withheld.

  static std::optional<Kind> kind_of(tree::Verdict verdict) {
    switch (verdict) {
      case tree::Verdict::advised: return Kind::indicated;
      case tree::Verdict::allowed: return Kind::allowed;
      case tree::Verdict::discouraged: return Kind::discouraged;
      case tree::Verdict::withheld: return Kind::contraindicated;
      default: return std::nullopt;
    }
  }

  void in_item(const tree::InLine& line, std::size_t at, const Cond& condition) {
    const tree::InItem& item = line.items[at];
    const Place place = item_place(line, at);
    const auto kind = kind_of(item.verdict);
    if (!kind) {
      typing_.tell(place.span, "not a verdict that can be given", "After \"is\" or \"are\" stands one of four words: advised, allowed, discouraged, withheld.", item.practices.front().text + " is allowed");
      return;
    }
    check_care(item.verdict, item.with_care, place.span);
    Sentence sentence;
    sentence.kind = *kind;
    sentence.sentence = sentence_;
    sentence.place = place;
    sentence.words = item_words(line, at, place);
    fill(sentence, item.ending);
    sentence.practices = practices_named(typing_, item.practices);
    sentence.when = item.ending.when ? list_cond(Cond::Kind::all, {condition, sentence.when}, condition.place) : condition;
    Sentence care = sentence;
    if (item.with_care) sentence.text.clear();
    add(std::move(sentence), item.ending);
    if (item.with_care) add_care(std::move(care));
  }

  void add_care(Sentence care) {
    care.kind = Kind::caution;
    care.with_care = true;
    care.label.clear();
    care.aims.clear();
    add(std::move(care), Ending{});
  }

  // The words of one item: the whole sentence where there is only one.
  Place item_place(const tree::InLine& line, std::size_t at) {
    if (line.items.size() == 1) return typing_.sentences()[sentence_].place;
    const std::string& text = typing_.ruleset.tree.files[typing_.sentences()[sentence_].place.file].text;
    const Span begin = line.items[at].practices.front().span;
    std::uint32_t end = at + 1 < line.items.size() ? line.items[at + 1].practices.front().span.begin : here().end;
    end = std::min<std::uint32_t>(end, static_cast<std::uint32_t>(text.size()));
    if (at + 1 < line.items.size()) {
      const std::size_t parting = std::string_view(text).substr(0, end).rfind(';');
      if (parting != std::string::npos && parting >= begin.end) end = static_cast<std::uint32_t>(parting);
    }
    while (end > begin.end && std::string_view(" \t\r\n;").find(text[end - 1]) != std::string_view::npos) --end;
    return typing_.place({begin.begin, end});
  }

  std::string item_words(const tree::InLine& line, std::size_t at, const Place& place) {
    if (line.items.size() == 1) return {};
    const Place condition = typing_.place(line.condition.span);
    const bool short_enough = line.condition.span.end - line.condition.span.begin <= 300;
    std::string words = "In " + (short_enough ? typing_.written(condition) : "...") + ": " + typing_.written(place);
    return at + 1 < line.items.size() ? words + "." : words;
  }

  Typing& typing_;
  Index sentence_ = 0;
  std::unordered_map<Index, Speaker> speakers_;  // by the heading's tree sentence
};

// ---------------------------------------------------------------- despite

struct DespiteChecker {
  Typing& typing;

  void check(Index index, const Name& label) {
    Sentence& sentence = typing.ruleset.sentences[index];
    const auto found = typing.labels.find(label.key);
    if (found == typing.labels.end()) return tell_unknown(label);
    const Sentence& ban = typing.ruleset.sentences[found->second];
    if (ban.kind != Kind::contraindicated && ban.kind != Kind::discouraged) {
      typing.tell(label.span, "not a ban", in_quotes(label.text) + " labels a sentence that forbids nothing (" + typing.line(ban.place) + ").", despite_a_ban(sentence, label));
    } else if (!meet(sentence.practices, ban.practices)) {
      typing.tell(label.span, "a ban on another practice", in_quotes(label.text) + " (" + typing.line(ban.place) + ") does not speak of this practice.", despite_a_ban(sentence, label));
    } else {
      sentence.despite.push_back(found->second);
    }
  }

  // The sentence with the labels of bans that speak of the same practice, where they are few; else a gap.
  std::string despite_a_ban(const Sentence& sentence, const Name& label) {
    std::vector<std::string> remedies;
    for (const auto& [key, index] : sorted_labels()) {
      const Sentence& ban = typing.ruleset.sentences[index];
      const bool forbids = ban.kind == Kind::contraindicated || ban.kind == Kind::discouraged;
      if (forbids && meet(sentence.practices, ban.practices)) remedies.push_back(typing.corrected(label.span, ban.label));
    }
    if (remedies.empty() || remedies.size() > 3) return typing.corrected(label.span, "…");
    return listed_sentences(remedies);
  }

  std::vector<std::pair<std::string, Index>> sorted_labels() const {
    if (typing.messages.size() >= 100) return {};
    std::vector<std::pair<std::string, Index>> out(typing.labels.begin(), typing.labels.end());
    std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
    return out;
  }

  static std::string listed_sentences(const std::vector<std::string>& remedies) {
    std::string out;
    for (const auto& remedy : remedies) out += (out.empty() ? "" : " Or: ") + remedy;
    return out;
  }

  void tell_unknown(const Name& label) {
    std::vector<std::string> labels;
    if (typing.messages.size() < 100)
      for (const Sentence& sentence : typing.ruleset.sentences)
        if (!sentence.label.empty()) labels.push_back(sentence.label);
    const auto meant = nearest(label.text, labels);
    typing.tell(label.span, "no such label", "No sentence is called " + in_quotes(label.text) + (meant ? "; did you mean " + in_quotes(*meant) + "?" : "."),
                "Contraindicated in …, called " + label.text + ".");
  }

  static bool meet(const std::vector<Index>& a, const std::vector<Index>& b) {
    for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
      if (a[i] == b[j]) return true;
      a[i] < b[j] ? ++i : ++j;
    }
    return false;
  }
};

}  // namespace

void type_sentences(Typing& typing) { SentenceTyper(typing).run(); }

void check_labels(Typing& typing) {
  DespiteChecker checker{typing};
  for (const auto& [index, labels] : typing.despites) {
    typing.open(typing.ruleset.sentences[index].sentence);
    for (const Name& label : *labels) checker.check(index, label);
    auto& despite = typing.ruleset.sentences[index].despite;
    despite = sorted(std::move(despite));
  }
}

}  // namespace betony
