// Sample people and what the teaching should say of them.
#include <algorithm>
#include <unordered_set>

#include "compiler/partial.h"
#include "compiler/typing.h"

namespace betony {
namespace {

using Kind = Known::Kind;

// One profile sentence.
struct Sampler {
  Typing& typing;
  SampleProfile& sample;
  std::unordered_set<Index> answered = {};

  void give(Index finding, const Value& value, Span where, Span item) {
    if (answered.insert(finding).second)
      sample.answers.push_back({finding, value});
    else
      typing.tell(where, "answered twice", in_quotes(typing.ruleset.findings[finding].name) + " is answered twice in this profile.", typing.without(item));
  }

  void item(const tree::ProfileItem& item) {
    if (auto index = built_in(typing, item.finding.key)) return answer(*index, item);
    const Known* known = find_name(typing, item.finding, {Kind::finding, Kind::any_of}, "a finding");
    if (!known) return;
    if (known->kind == Kind::any_of) whole(typing.wholes[known->index], item);
    else answer(known->index, item);
  }

  void answer(Index index, const tree::ProfileItem& item) {
    const Finding& finding = typing.ruleset.findings[index];
    if (item.value) {
      if (auto value = finding_value(typing, index, *item.value, true)) give(index, *value, item.value->span, {item.finding.span.begin, item.value->span.end});
    } else if (finding.kind == Finding::Kind::yes_no) {
      give(index, Value{Value::Kind::word, item.negated ? 0u : 1u, {}}, item.finding.span, item.finding.span);
    } else {
      typing.tell(item.finding.span, "no value", in_quotes(finding.name) + " is named without a value.", finding.name + " " + example(finding));
    }
  }

  static std::string example(const Finding& finding) {
    if (finding.kind == Finding::Kind::date) return "1 November";
    if (finding.kind == Finding::Kind::time_of_day) return "06:30";
    return finding.values.empty() ? number_words(finding.low) : finding.values.front();
  }

  // "complaints cold hands": that item holds.
  void whole(const Whole& whole, const tree::ProfileItem& item) {
    if (!item.value || item.value->kind != tree::Quantity::Kind::word) {
      typing.tell(item.finding.span, "which of them?", in_quotes(whole.name) + " is a list; a profile names its items one by one.",
                  whole.items.empty() ? "" : typing.ruleset.findings[whole.items.front()].name);
      return;
    }
    const Known* known = find_name(typing, *item.value->word, {Kind::finding}, "an item of this list");
    if (!known) return;
    if (std::find(whole.items.begin(), whole.items.end(), known->index) == whole.items.end())
      typing.tell(item.value->span, "not one of its items", in_quotes(item.value->word->text) + " is not an item of " + in_quotes(whole.name) + ".", "");
    else give(known->index, Value{Value::Kind::word, item.negated ? 0u : 1u, {}}, item.value->span, {item.finding.span.begin, item.value->span.end});
  }
};

void type_profile(Typing& typing, Index sentence, const tree::ProfileLine& line, std::unordered_map<Index, Index>& samples) {
  typing.open(sentence);
  SampleProfile sample;
  sample.title = line.title.text;
  sample.place = typing.sentences()[sentence].place;
  sample.sentence = sentence;
  Sampler sampler{typing, sample};
  for (const auto& item : line.items) sampler.item(item);
  sample.rest_as_usual = line.rest_as_usual;
  std::sort(sample.answers.begin(), sample.answers.end(), [](const auto& a, const auto& b) { return a.finding < b.finding; });
  samples[sentence] = static_cast<Index>(typing.ruleset.profiles.size());
  typing.ruleset.profiles.push_back(std::move(sample));
}

// ---------------------------------------------------------------- expectations

void expect_practice(Typing& typing, const tree::ExpectLine& line, Expectation& expectation) {
  if (!line.verdict)
    typing.tell(line.of.span, "which verdict?", in_quotes(line.of.text) + " is a practice; expect a verdict of it.", "Expect " + line.of.text + " advised.");
  const bool may_care = !line.verdict || may_be_done(*line.verdict);
  if (line.with_care && !may_care)
    typing.tell(line.of.span, "care with what is not done", "\"With care\" goes with advised or allowed.", "Expect " + line.of.text + " allowed with care.");
  expectation.verdict = line.verdict;
  expectation.with_care = line.with_care;
}

void expect_choice(Typing& typing, const tree::ExpectLine& line, Expectation& expectation) {
  const Choice& choice = typing.ruleset.choices[expectation.choice];
  if (line.verdict)
    typing.tell(line.of.span, "which value?", in_quotes(line.of.text) + " is a choice; expect a value of it.", choice.values.empty() ? "" : "Expect " + line.of.text + " " + choice.values.front() + ".");
  for (const auto& value : line.values)
    if (auto word = word_of(typing, value, typing.choice_words[expectation.choice], choice.name, choice.values)) expectation.values.push_back(*word);
  std::sort(expectation.values.begin(), expectation.values.end());
  expectation.values.erase(std::unique(expectation.values.begin(), expectation.values.end()), expectation.values.end());
}

void type_expectation(Typing& typing, Index sentence, const tree::ExpectLine& line, const std::unordered_map<Index, Index>& samples) {
  typing.open(sentence);
  const Index profile = typing.headings[sentence].profile;
  if (profile == no_index) {
    typing.tell(typing.sentences()[sentence].place.span, "no profile above", "An Expect sentence stands under the profile it speaks of.", "Profile \"…\": ….");
    return;
  }
  Expectation expectation;
  expectation.place = typing.sentences()[sentence].place;
  expectation.sentence = sentence;
  const Known* known = find_name(typing, line.of, {Kind::practice, Kind::choice}, "a practice or choice");
  if (!known) return;
  (known->kind == Kind::practice ? expectation.practice : expectation.choice) = known->index;
  if (known->kind == Kind::practice) expect_practice(typing, line, expectation);
  else expect_choice(typing, line, expectation);
  if (const auto sample = samples.find(profile); sample != samples.end())
    typing.ruleset.profiles[sample->second].expectations.push_back(std::move(expectation));
}

// ---------------------------------------------------------------- the background

void check_background(Typing& typing, const SampleProfile& sample) {
  typing.open(sample.sentence);
  const Span title = std::get<tree::ProfileLine>(typing.sentences()[sample.sentence].form).title.span;
  if (!typing.spend(typing.ruleset.findings.size() + typing.ruleset.backgrounds.size(), title)) return;
  const Profile profile = profile_of(typing.ruleset, sample);
  Partial partial(typing.ruleset, profile);
  for (const Background& fact : typing.ruleset.backgrounds) {
    if (partial.holds(fact.condition) != std::optional(true)) continue;
    typing.tell(title, "nobody is like this", "This profile breaks a background fact (" + typing.line(fact.place) + "): " + typing.written(fact.place),
                "Profile " + in_quotes(sample.title) + ": ….");
    return;
  }
}

}  // namespace

void type_profiles(Typing& typing) {
  std::unordered_map<Index, Index> samples;  // by tree sentence
  for (Index i = 0; i < typing.sentences().size(); ++i)
    if (auto* line = std::get_if<tree::ProfileLine>(&typing.sentences()[i].form)) type_profile(typing, i, *line, samples);
  for (Index i = 0; i < typing.sentences().size(); ++i)
    if (auto* line = std::get_if<tree::ExpectLine>(&typing.sentences()[i].form)) type_expectation(typing, i, *line, samples);
  if (typing.messages.empty() && !typing.ruleset.backgrounds.empty())
    for (const SampleProfile& sample : typing.ruleset.profiles) check_background(typing, sample);
}

}  // namespace betony
