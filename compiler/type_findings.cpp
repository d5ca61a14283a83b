// Findings and the values of choices: kinds, ranges, steps, value words, usual values.
#include <algorithm>

#include "grammar/nearness.h"
#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Name;
using tree::Quantity;
using tree::Type;

// ---------------------------------------------------------------- value words

Words collect_words(Typing& typing, const std::string& name, const Type& type, std::vector<std::string>& values) {
  Words words;
  for (const Name& value : type.values) {
    if (words.try_emplace(value.key, static_cast<Index>(values.size())).second) values.push_back(value.text);
    else typing.tell(value.span, "a value named twice", in_quotes(name) + " names the value " + in_quotes(value.text) + " twice.", typing.without(value.span));
  }
  if (values.size() == 1 && type.kind != Type::Kind::any_of)
    typing.tell(type.span, "only one value", in_quotes(name) + " has only one value, so there is nothing to tell apart.",
                typing.corrected({type.values.front().span.end, type.values.front().span.end}, ", …") + " Or: " + typing.corrected(type.span, "yes or no"));
  return words;
}

// "never", "yes" and "no" are also values where a finding names them so.
std::string word_key(const Quantity& written) {
  switch (written.kind) {
    case Quantity::Kind::word: return written.word->key;
    case Quantity::Kind::yes: return "yes";
    case Quantity::Kind::no: return "no";
    case Quantity::Kind::never: return "never";
    default: return {};
  }
}

void tell_no_value(Typing& typing, const Quantity& written, const std::string& name, const std::vector<std::string>& values) {
  const std::string shown = written.kind == Quantity::Kind::word ? written.word->text : word_key(written);
  const auto meant = typing.messages.size() < 100 ? nearest(shown, values) : std::nullopt;
  std::string message = shown.empty() ? in_quotes(name) + " has no numbers for values" : in_quotes(name) + " has no value " + in_quotes(shown);
  message += meant && !shown.empty() ? "; did you mean " + in_quotes(*meant) + "?" : ".";
  std::vector<std::string> some(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(values.size(), 12)));
  if (some.size() < values.size()) some.push_back("…");
  typing.tell(written.span, "not one of its values", message, meant && !shown.empty() ? typing.corrected(written.span, *meant) : listed(some));
}

// ---------------------------------------------------------------- ranges

std::string span_words(const Finding& finding) {
  return "from " + number_words(finding.low) + " to " + number_words(finding.high);
}

bool whole(const Rational& number) { return number.get_den() == 1; }

Rational whole_below(const Rational& number) {
  mpz_class out;
  mpz_fdiv_q(out.get_mpz_t(), number.get_num_mpz_t(), number.get_den_mpz_t());
  return Rational(out);
}

// The finding's sentence without the word that allows no fractions.
std::string not_whole(Typing& typing, const Finding& finding) {
  std::string sentence = typing.written(typing.sentences()[finding.sentence].place);
  const std::size_t at = sentence.find(" whole number");
  return at == std::string::npos ? sentence : sentence.erase(at, 6);
}

bool range_rises(Typing& typing, const Finding& finding, const Type& type) {
  if (finding.low < finding.high) return true;
  typing.tell({type.low.span.begin, type.high.span.end}, "a range that does not rise",
              in_quotes(finding.name) + " runs " + span_words(finding) + ", which holds no two numbers.",
              finding.high < finding.low ? typing.corrected({type.low.span.begin, type.high.span.end}, type.high.text + " to " + type.low.text)
                                         : typing.corrected(type.high.span, "…"));
  return false;
}

bool range_is_whole(Typing& typing, const Finding& finding, const Type& type) {
  if (!type.whole) return true;
  for (const tree::Number* end : {&type.low, &type.high}) {
    if (whole(end->value())) continue;
    typing.tell(end->span, "not a whole number", in_quotes(finding.name) + " is a whole number, and " + end->text + " is none.",
                typing.corrected(end->span, number_words(whole_below(end->value()))) + " Or: " + not_whole(typing, finding));
    return false;
  }
  return true;
}

bool step_fits(Typing& typing, const Finding& finding, const Type& type) {
  if (!type.step) return true;
  const Rational step = type.step->value();
  if (step <= 0 || (type.whole && !whole(step))) {
    const bool none = step <= 0;
    typing.tell(type.step->span, "a step that leads nowhere",
                none ? "A step must be more than 0." : in_quotes(finding.name) + " is a whole number, and steps of " + type.step->text + " leave the whole numbers.",
                none ? typing.corrected(type.step->span, "1") : not_whole(typing, finding));
    return false;
  }
  const Rational steps = (finding.high - finding.low) / step;
  if (whole(steps)) return true;
  const mpz_class full = steps.get_num() / steps.get_den();
  const Rational last = finding.low + Rational(full) * step;
  typing.tell(type.step->span, "a step that misses the end",
              "Steps of " + type.step->text + " from " + type.low.text + " never reach " + type.high.text + ".",
              typing.corrected(type.high.span, number_words(full > 0 ? last : Rational(finding.low + step))));
  return false;
}

bool type_range(Typing& typing, Finding& finding, const Type& type, Scale& scale) {
  finding.low = type.low.value();
  finding.high = type.high.value();
  finding.step = type.step ? type.step->value() : type.whole ? Rational(1) : Rational(0);
  finding.unit = type.unit.text;
  finding.ago = type.ago;
  finding.or_never = type.or_never;
  scale.unit_text = finding.unit;
  scale.ago = finding.ago;
  const Unit* unit = typing.unit(type.unit);
  if (unit) scale.unit = *unit;
  return range_rises(typing, finding, type) && range_is_whole(typing, finding, type) && step_fits(typing, finding, type) && unit;
}

// ---------------------------------------------------------------- one finding

Finding::Kind finding_kind(Type::Kind kind) {
  switch (kind) {
    case Type::Kind::one_of: return Finding::Kind::one_of;
    case Type::Kind::grade: return Finding::Kind::grade;
    case Type::Kind::number: return Finding::Kind::number;
    default: return Finding::Kind::yes_no;
  }
}

void type_finding(Typing& typing, Index index, const tree::FindingLine& line) {
  Finding& finding = typing.ruleset.findings[index];
  finding.kind = finding_kind(line.type.kind);
  typing.finding_scales[index].name = finding.name;
  if (finding.kind == Finding::Kind::yes_no) {
    finding.values = {"no", "yes"};
    finding.usual = Value{Value::Kind::word, 0, {}};
    typing.finding_words[index] = {{"no", 0}, {"yes", 1}};
  } else if (finding.kind == Finding::Kind::number) {
    typing.finding_sound[index] = type_range(typing, finding, line.type, typing.finding_scales[index]);
  } else {
    typing.finding_words[index] = collect_words(typing, finding.name, line.type, finding.values);
  }
  if (line.type.prevails != Type::Prevails::none)
    typing.tell(line.type.span, "a finding in which one prevails", "Only in a choice can the highest or the lowest prevail; a finding has the value it has.",
                "Choice " + finding.name + " is a grade of …, ….");
}

void type_usual(Typing& typing, Index index, const tree::FindingLine& line) {
  if (!line.usually || !typing.finding_sound[index]) return;
  typing.ruleset.findings[index].usual = finding_value(typing, index, *line.usually, true);
}

// `usually cold hands` of an any-of finding: that item is usually there.
void type_usual_item(Typing& typing, const Whole& whole, const Quantity& usually) {
  const auto known = typing.names.find(word_key(usually));
  if (known != typing.names.end() && known->second.kind == Known::Kind::finding &&
      std::find(whole.items.begin(), whole.items.end(), known->second.index) != whole.items.end()) {
    typing.ruleset.findings[known->second.index].usual = Value{Value::Kind::word, 1, {}};
    return;
  }
  std::vector<std::string> items;
  for (Index item : whole.items) items.push_back(typing.ruleset.findings[item].name);
  tell_no_value(typing, usually, whole.name, items);
}

// ---------------------------------------------------------------- values

// A number of the finding, with its unit and "ago" where the written one had them.
std::string as_written(const Finding& finding, const Rational& number, const Quantity& written) {
  return number_words(number) + (written.unit.text.empty() ? "" : " " + finding.unit) + (written.ago ? " ago" : "");
}

std::optional<Value> in_range(Typing& typing, const Finding& finding, const Rational& number, const Quantity& written) {
  const auto shown = [&](const Rational& value) { return value_words(finding, Value{Value::Kind::number, 0, value}); };
  if (number < finding.low || number > finding.high) {
    typing.tell(written.span, "out of range", in_quotes(finding.name) + " runs from " + shown(finding.low) + " to " + shown(finding.high) + "; " + shown(number) + " lies outside.",
                typing.corrected(written.span, as_written(finding, number < finding.low ? finding.low : finding.high, written)));
    return std::nullopt;
  }
  if (finding.step != 0 && !whole((number - finding.low) / finding.step)) {
    const bool ones = finding.step == 1 && whole(finding.low);
    typing.tell(written.span, "between the steps",
                in_quotes(finding.name) + (ones ? " is a whole number" : " goes in steps of " + number_words(finding.step) + " from " + number_words(finding.low)) +
                    "; " + shown(number) + (ones ? " is none." : " is not among them."),
                typing.corrected(written.span, as_written(finding, Rational(finding.low + whole_below((number - finding.low) / finding.step) * finding.step), written)));
    return std::nullopt;
  }
  return Value{Value::Kind::number, 0, number};
}

}  // namespace

std::optional<Index> word_of(Typing& typing, const Quantity& written, const Words& words, const std::string& name,
                             const std::vector<std::string>& values) {
  const std::string key = word_key(written);
  if (const auto word = words.find(key); word != words.end() && !key.empty()) return word->second;
  tell_no_value(typing, written, name, values);
  return std::nullopt;
}

std::optional<Value> finding_value(Typing& typing, Index index, const Quantity& written, bool profile) {
  const Finding& finding = typing.ruleset.findings[index];
  if (finding.kind == Finding::Kind::yes_no || finding.kind == Finding::Kind::one_of || finding.kind == Finding::Kind::grade) {
    const auto word = word_of(typing, written, typing.finding_words[index], finding.name, finding.values);
    return word ? std::optional(Value{Value::Kind::word, *word, {}}) : std::nullopt;
  }
  if (written.kind == Quantity::Kind::never && finding.or_never) return Value{Value::Kind::never, 0, {}};
  if (written.kind == Quantity::Kind::never) {
    typing.tell(written.span, "never is not among its values", in_quotes(finding.name) + " was not declared with \"or never\".",
                typing.corrected(written.span, number_words(finding.low)));
    return std::nullopt;
  }
  const auto number = number_on(typing, written, typing.finding_scales[index]);
  if (!number) return std::nullopt;
  return profile ? in_range(typing, finding, *number, written) : std::optional(Value{Value::Kind::number, 0, *number});
}

void type_findings(Typing& typing) {
  const std::size_t count = typing.ruleset.findings.size();
  typing.finding_words.resize(count);
  typing.finding_scales.resize(count);
  typing.finding_sound.assign(count, true);
  for (Index i = 0; i < count; ++i) {
    const Index sentence = typing.ruleset.findings[i].sentence;
    typing.open(sentence);
    type_finding(typing, i, std::get<tree::FindingLine>(typing.sentences()[sentence].form));
  }
  for (Index i = 0; i < count; ++i) {
    const Index sentence = typing.ruleset.findings[i].sentence;
    const auto& line = std::get<tree::FindingLine>(typing.sentences()[sentence].form);
    if (line.type.kind == Type::Kind::any_of) continue;
    typing.open(sentence);
    type_usual(typing, i, line);
  }
  for (const Whole& whole : typing.wholes) {
    if (whole.items.empty()) continue;
    const Index sentence = typing.ruleset.findings[whole.items.front()].sentence;
    const auto& line = std::get<tree::FindingLine>(typing.sentences()[sentence].form);
    typing.open(sentence);
    if (line.usually) type_usual_item(typing, whole, *line.usually);
  }
}

// ---------------------------------------------------------------- choices

namespace {

Choice::Kind choice_kind(Typing& typing, const tree::ChoiceLine& line) {
  const Type& type = line.type;
  const auto& name = line.name.name;
  if (type.kind == Type::Kind::any_of) return Choice::Kind::any_of;
  if (type.kind == Type::Kind::one_of) return Choice::Kind::one_of;
  if (type.kind == Type::Kind::grade && type.prevails == Type::Prevails::highest) return Choice::Kind::grade_highest;
  if (type.kind == Type::Kind::grade && type.prevails == Type::Prevails::lowest) return Choice::Kind::grade_lowest;
  const bool grade = type.kind == Type::Kind::grade;
  typing.tell(type.span, "a choice of another kind",
              grade ? "Several grades of " + in_quotes(name.text) + " may be taken at once, and nothing says which prevails."
                    : in_quotes(name.text) + " is chosen among words; a number or yes or no cannot be chosen.",
              grade ? typing.corrected({type.span.end, type.span.end}, ", the highest prevails") : "Choice " + name.text + " is one of …, ….");
  return Choice::Kind::one_of;
}

}  // namespace

void type_choice_kinds(Typing& typing) {
  for (Index sentence : typing.definition_sentences[4]) {
    const auto& line = std::get<tree::ChoiceLine>(typing.sentences()[sentence].form);
    typing.open(sentence);
    Choice choice;
    choice.name = line.name.name.text;
    for (const Name& also : line.name.also) choice.also.push_back(also.text);
    choice.kind = choice_kind(typing, line);
    choice.place = typing.place(line.name.name.span);
    choice.sentence = sentence;
    typing.choice_words.push_back(collect_words(typing, choice.name, line.type, choice.values));
    typing.ruleset.choices.push_back(std::move(choice));
  }
}

}  // namespace betony
