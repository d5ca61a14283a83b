#include "tests/published/table.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "compiler/dose.h"

namespace betony::published {
namespace {

std::optional<std::string> file_text(const std::string& file) {
  std::ifstream in(std::string(BETONY_SOURCE_DIR) + "/tests/published/" + file, std::ios::binary);
  if (!in) return std::nullopt;
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

std::string required_text(const std::string& file) {
  const std::optional<std::string> text = file_text(file);
  INFO("tests/published/" << file);
  REQUIRE(text.has_value());
  return *text;
}

std::string told_line(const std::string& text, const Message& message) {
  const LineIndex lines(text);
  return "line " + std::to_string(lines.at(message.where.span.begin).line) + ": " + message.matter + ": " + message.message;
}

template <class Named>
Index index_of(const std::vector<Named>& all, const std::string& name) {
  const auto at = std::find_if(all.begin(), all.end(), [&](const Named& one) { return one.name == name; });
  INFO("no " << name << " in the ruleset");
  REQUIRE(at != all.end());
  return static_cast<Index>(at - all.begin());
}

template <class Named>
bool knows(const std::vector<Named>& all, const std::string& name) {
  return std::any_of(all.begin(), all.end(), [&](const Named& one) { return one.name == name; });
}

Value value_of(const Finding& finding, const std::string& written) {
  Value value;
  const auto word = std::find(finding.values.begin(), finding.values.end(), written);
  if (word != finding.values.end()) {
    value.word = static_cast<Index>(word - finding.values.begin());
  } else {
    value.kind = Value::Kind::number;
    value.number = exactly(written);
  }
  return value;
}

const char* word_of(tree::Verdict verdict) {
  static const char* const words[] = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent", "unanswered"};
  return words[static_cast<int>(verdict)];
}

std::string share_of(const Problem& problem, const Rational& all) {
  if (!problem.has_share) return "";
  if (!problem.share.exact) return ": about so many";
  const Rational count = problem.share.low * all;
  return ": " + count.get_str() + " of " + all.get_str();
}

}  // namespace

Rational exactly(const std::string& decimal) {
  const std::size_t point = decimal.find('.');
  if (point == std::string::npos) return Rational(decimal, 10);
  Rational number(decimal.substr(0, point) + decimal.substr(point + 1) + "/1" + std::string(decimal.size() - point - 1, '0'), 10);
  number.canonicalize();
  return number;
}

std::string rounded(const Rational& number, unsigned places) {
  mpz_class scale;
  mpz_ui_pow_ui(scale.get_mpz_t(), 10, places);
  const Rational scaled = number * scale + Rational(1, 2);
  mpz_class whole;
  mpz_fdiv_q(whole.get_mpz_t(), scaled.get_num_mpz_t(), scaled.get_den_mpz_t());
  std::string digits = mpz_class(abs(whole)).get_str();
  if (digits.size() <= places) digits.insert(0, places + 1 - digits.size(), '0');
  if (places > 0) digits.insert(digits.size() - places, ".");
  return (whole < 0 ? "-" : "") + digits;
}

Table::Table(const std::string& file) : Table(file, required_text(file)) {}

Table::Table(std::string name, std::string text) : name_(std::move(name)), text_(std::move(text)) {
  Outcome<Ruleset> read = read_ruleset({name_, text_, is_table_name(name_)}, file_text);
  for (const Message& message : read.messages) UNSCOPED_INFO(told_line(text_, message));
  REQUIRE(read.value.has_value());
  kept_ = std::make_shared<Kept>(Kept{std::move(*read.value), nullptr});
}

Table Table::with(const std::string& sentences) const { return Table(name_, text_ + "\n" + sentences + "\n"); }

Table Table::changed(const std::string& words, const std::string& into) const {
  const std::size_t at = text_.find(words);
  INFO("to be changed: " << words);
  REQUIRE(at != std::string::npos);
  REQUIRE(text_.find(words, at + 1) == std::string::npos);
  std::string text = text_;
  return Table(name_, text.replace(at, words.size(), into));
}

const Report& Table::report() const {
  if (!kept_->report) kept_->report = std::make_unique<Report>(check(kept_->ruleset));
  REQUIRE(kept_->report->not_settled == std::vector<std::string>{});
  return *kept_->report;
}

std::vector<std::string> Table::told(const Rational& all) const {
  static const char* const severities[] = {"error", "question", "note"};
  std::vector<std::string> lines;
  for (const Problem& p : report().problems) {
    std::string line = std::string(severities[static_cast<int>(p.severity)]) + " " + p.kind + (p.form.empty() ? "" : "/" + p.form);
    for (const std::string& of : {p.practice, p.choice, p.finding})
      if (!of.empty()) line += " of " + of;
    lines.push_back(line + (p.school.empty() ? "" : " in " + p.school) + share_of(p, all));
  }
  return lines;
}

Problem Table::only(const std::string& kind, const std::string& of, const std::string& school) const {
  std::vector<Problem> found;
  for (const Problem& p : report().problems) {
    const bool right = p.kind + (p.form.empty() ? "" : "/" + p.form) == kind && (school.empty() || p.school == school);
    if (right && (of.empty() || p.practice == of || p.choice == of || p.finding == of)) found.push_back(p);
  }
  INFO(kind << " " << of << " " << school);
  REQUIRE(found.size() == 1);
  return found[0];
}

Rational Table::count(const std::string& condition, const Rational& all) const {
  const Table asked = with("Claim \"counted\": never " + condition + ".");
  Rational count = 0;
  for (const Problem& p : asked.report().problems) {
    if (p.kind != "claim-refuted" || p.sentences[0].text.find("\"counted\"") == std::string::npos) continue;
    REQUIRE(p.share.exact);
    count = p.share.low * all;
  }
  return count;
}

// ---------------------------------------------------------------- one person

Index Table::finding(const std::string& name) const { return index_of(ruleset().findings, name); }

Reading Table::reading(const std::string& school) const {
  return school.empty() ? Reading{} : Reading{index_of(ruleset().schools, school)};
}

Profile Table::profile(const Person& person) const {
  Profile profile;
  for (const Finding& f : ruleset().findings) profile.push_back(f.usual);
  for (const auto& [name, written] : person) profile[finding(name)] = value_of(ruleset().findings[finding(name)], written);
  for (std::size_t f = 0; f < profile.size(); ++f) {
    INFO("not answered: " << ruleset().findings[f].name);
    REQUIRE(profile[f].has_value());
  }
  return profile;
}

std::string Table::verdict(const std::string& practice, const Person& person, const std::string& school) const {
  const Weighing weighing = evaluate(ruleset(), profile(person), reading(school));
  const PracticeVerdict& given = weighing.practices[index_of(ruleset().practices, practice)];
  return word_of(given.verdict) + std::string(given.with_care ? " with care" : "");
}

std::string Table::fits(const std::string& choice, const Person& person, const std::string& school) const {
  const Index index = index_of(ruleset().choices, choice);
  std::string words;
  for (Index value : choice_result(ruleset(), index, profile(person), reading(school)).fits)
    words += (words.empty() ? "" : ", ") + ruleset().choices[index].values[value];
  return words.empty() ? "nothing" : words;
}

Rational Table::measure(const std::string& name, const Person& person) const {
  return measure_value(ruleset(), index_of(ruleset().measures, name), profile(person));
}

Rational Table::tally(const std::string& name, const Person& person) const {
  return tally_value(ruleset(), index_of(ruleset().tallies, name), profile(person));
}

std::string Table::dose(const std::string& practice, const Person& person) const {
  const SettledDose settled = settle_dose(ruleset(), index_of(ruleset().practices, practice), profile(person));
  std::string words;
  for (const SettledDose::Part& part : settled.amounts) {
    REQUIRE_FALSE(part.clash);
    words += (words.empty() ? "" : " and ") + amount_words(part.interval, part.unit, part.unit_text);
  }
  if (settled.often) {
    REQUIRE(settled.often->from.size() == 1);
    words += (words.empty() ? "" : ", ") + said_words(ruleset(), settled.often->from[0], Dose::Part::often);
  }
  return words.empty() ? "nothing" : words;
}

std::size_t Table::firing(const std::string& of, const Person& person, const std::string& school) const {
  const bool practice = knows(ruleset().practices, of);
  const std::vector<Index>& sentences = practice ? ruleset().practices[index_of(ruleset().practices, of)].sentences
                                                 : ruleset().choices[index_of(ruleset().choices, of)].sentences;
  const Profile answers = profile(person);
  return static_cast<std::size_t>(std::count_if(sentences.begin(), sentences.end(), [&](Index s) {
    const Sentence& sentence = ruleset().sentences[s];
    return in_reading(ruleset(), sentence, reading(school)) && fires(ruleset(), sentence, answers, reading(school));
  }));
}

std::string Table::answer(const Problem& problem, const std::string& name) const {
  REQUIRE(problem.witness);
  return value_words(ruleset().findings[finding(name)], *(*problem.witness)[finding(name)]);
}

Rational Table::number(const Problem& problem, const std::string& name) const {
  REQUIRE(problem.witness);
  return (*problem.witness)[finding(name)]->number;
}

// ---------------------------------------------------------------- what cannot be read

std::vector<std::string> unreadable_text(const std::string& text) {
  const Outcome<Ruleset> read = read_ruleset({"table.bty", text}, file_text);
  std::vector<std::string> lines;
  for (const Message& message : read.messages) lines.push_back(told_line(text, message));
  return lines;
}

std::vector<std::string> unreadable(const std::string& file) { return unreadable_text(required_text(file)); }

}  // namespace betony::published
