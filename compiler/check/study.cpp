#include "compiler/check/study.h"

#include <algorithm>

namespace betony {

Study::Study(const Ruleset& rules, const Budget& budget)
    : ruleset(rules), universe(cut(rules)), meaning(rules, universe), people(meaning), budget_(budget), steps_left_(budget.total_steps),
      witnesses_(meaning, people, {budget.nodes, budget.steps}) {
  all_readings.push_back({});
  for (Index school = 0; school < ruleset.schools.size(); ++school) all_readings.push_back({school});
  readings = ruleset.schools.empty() ? all_readings : std::vector<Reading>(all_readings.begin() + 1, all_readings.end());
  for (const SourceFile& file : ruleset.tree.files) lines_.emplace_back(file.text);
}

Graph::Limit Study::limit() { return {budget_.nodes, budget_.steps, &steps_left_}; }

void Study::spend(std::uint64_t steps) {
  if (steps_left_ < steps) throw BudgetMet("steps in all");
  steps_left_ -= steps;
}

void Study::not_settled(const std::string& name) {
  if (not_settled_.insert(name).second) report.not_settled.push_back(name);
}

// ---------------------------------------------------------------- problems

Problem Study::problem(std::string kind, std::string form, Severity severity) const {
  Problem problem;
  problem.kind = std::move(kind);
  problem.form = std::move(form);
  problem.severity = severity;
  return problem;
}

void Study::show(Problem& problem, Space& space, Graph::Node region, Graph::Node whole, Reading reading) {
  problem.share = space.share(region, whole);
  problem.has_share = true;
  RegionWords words = region_words(space, region, whole);
  problem.region = std::move(words.boxes);
  if (!words.complete) problem.region.push_back("further persons besides");
  problem.witness = witnesses_.find(space, region, reading, &problem.no_fraction);
  problem.witness_findings = space.findings(region);
}

void Study::replay(Problem& problem, Index practice, Reading reading) {
  if (!problem.witness) return;
  spend(100 * (ruleset.practices[practice].sentences.size() + ruleset.red_flags.size() + ruleset.findings.size()));
  const PracticeVerdict verdict = evaluate_practice(ruleset, practice, *problem.witness, reading);
  problem.replay = ruleset.practices[practice].name + " is " + verdict_word(verdict.verdict) + (verdict.with_care ? ", with care" : "");
  problem.replay_verdict = verdict.verdict;
  problem.has_replay_verdict = true;
}

void Study::tell(Problem problem) {
  if (!problem.has_share || problem.witness || problem.no_fraction) {
    report.problems.push_back(std::move(problem));
    return;
  }
  const Concerned* first = problem.sentences.empty() ? nullptr : &problem.sentences[0];
  not_settled(!problem.practice.empty() ? problem.practice : !problem.choice.empty() ? problem.choice : first ? line_of(first->place) : problem.kind);
}

Concerned Study::concerned(Index sentence, bool mark_condition) const {
  const Sentence& s = ruleset.sentences[sentence];
  Concerned c{s.sentence, s.place, s.label, s.words, {}};
  if (mark_condition && s.when.kind != Cond::Kind::always) c.marks.push_back({s.when.place});
  if (mark_condition && s.unless) c.marks.push_back({s.unless->place});
  return c;
}

Concerned Study::declared(Index tree_sentence, Place name) const {
  const Place place = ruleset.tree.sentences[tree_sentence].place;
  return {tree_sentence, place, "", source_words(place), {{name}}};
}

// ---------------------------------------------------------------- words

std::string Study::line_of(const Place& place) const {
  const std::string line = "line " + std::to_string(lines_[place.file].at(place.span.begin).line);
  const std::string& name = ruleset.tree.files[place.file].name;
  return place.file == 0 ? line : line + " of " + name.substr(name.find_last_of('/') + 1);
}

std::string Study::source_words(const Place& place) const {
  const std::string& text = ruleset.tree.files[place.file].text;
  std::string out;
  bool space = false;
  for (std::uint32_t i = place.span.begin; i < place.span.end && i < text.size(); ++i) {
    const char c = text[i];
    if (c == ' ' || c == '\n' || c == '\r' || c == '\t') {
      space = !out.empty();
      continue;
    }
    if (std::exchange(space, false)) out += ' ';
    out += c;
  }
  return out;
}

std::string Study::named(Index sentence) const {
  const Sentence& s = ruleset.sentences[sentence];
  return s.label.empty() ? line_of(sentence) : s.label + ", " + line_of(sentence);
}

std::string Study::school_name(Reading reading) const {
  return reading.school == no_index ? "" : ruleset.schools[reading.school].name;
}

std::string Study::school_words(Reading reading) const {
  return reading.school == no_index ? "" : "in the reading of " + school_name(reading);
}

std::string listed(const std::vector<std::string>& parts, const std::string& last) {
  std::string out;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) out += parts.size() == 2 ? " " + last + " " : i + 1 == parts.size() ? ", " + last + " " : ", ";
    out += parts[i];
  }
  return out;
}

namespace {

// One leading digit out of a power of ten, for shares whose exact form is long: "2 in 100".
mpz_class hundreds(const Rational& share) {
  mpz_class hundred = 100;
  for (int i = 0; i < 12 && share * hundred < 1; ++i) hundred *= 10;
  return hundred;
}

std::string near_words(const Rational& share) {
  const mpz_class hundred = hundreds(share);
  mpz_class near;
  const Rational scaled = share * hundred + Rational(1, 2);
  mpz_fdiv_q(near.get_mpz_t(), scaled.get_num_mpz_t(), scaled.get_den_mpz_t());
  return near.get_str() + " in " + hundred.get_str();
}

// "between 619 and 622 in 1000": ends rounded outward, with a digit more than one share would have.
std::string between_words(const Share& share) {
  const mpz_class hundred = hundreds(share.low == 0 ? share.high : share.low) * 10;
  const Rational low = share.low * hundred, high = share.high * hundred;
  mpz_class below, above;
  mpz_fdiv_q(below.get_mpz_t(), low.get_num_mpz_t(), low.get_den_mpz_t());
  mpz_cdiv_q(above.get_mpz_t(), high.get_num_mpz_t(), high.get_den_mpz_t());
  return (below == 0 ? "at most " : "between " + below.get_str() + " and ") + above.get_str() + " in " + hundred.get_str();
}

}  // namespace

std::string share_words(const Share& share) {
  const std::string whole = " of all possible persons";
  if (!share.exact) {
    if (share.low == 0 && share.high == 1) return "a share of all possible persons that is not known";
    return between_words(share) + whole;
  }
  if (share.low == 0) return "single points only, too thin to count, though possible";
  if (share.low == 1) return "all possible persons";
  const std::string exact = share.low.get_num().get_str() + " in " + share.low.get_den().get_str() + whole;
  if (share.low.get_den() <= 100) return exact;
  if (share.low.get_den() > 1000000) return "near " + near_words(share.low) + whole;
  return exact + " (near " + near_words(share.low) + ")";
}

std::string where_words(const Problem& problem) {
  if (problem.region.empty()) return share_words(problem.share);
  if (problem.region[0] == "every person") return "for every person";
  std::string out = "where ";
  for (std::size_t i = 0; i < problem.region.size(); ++i) {
    const bool last = i + 1 == problem.region.size();
    if (i > 0) out += last ? "; or " : "; ";
    out += problem.region[i];
  }
  return out + ": " + share_words(problem.share);
}

}  // namespace betony
