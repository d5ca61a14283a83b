#include "compiler/check/study.h"

#include <algorithm>
#include <cctype>
#include <charconv>

namespace betony {

// ---------------------------------------------------------------- common

namespace {

std::vector<Reading> readings_of(const Ruleset& ruleset) {
  std::vector<Reading> readings{{}};
  for (Index school = 0; school < ruleset.schools.size(); ++school) readings.push_back({school});
  return readings;
}

UsualAnswers usual_answers(const Facts& facts, const BoundFindings& bound, const std::vector<Reading>& readings, const Budget& budget) {
  Account account = budget.account();
  return UsualAnswers(facts, bound, readings, {budget.nodes, budget.steps, &account});
}

bool asks_findings_only(const Cond& condition) {
  const auto subject = condition.test.subject;
  if (condition.kind == Cond::Kind::term) return false;
  if (condition.kind == Cond::Kind::test && subject != Test::Subject::finding && subject != Test::Subject::measure) return false;
  return std::all_of(condition.parts.begin(), condition.parts.end(), asks_findings_only);
}

bool facts_ask_findings_only(const Ruleset& ruleset) {
  const auto asks_only = [](const Background& fact) { return asks_findings_only(fact.condition); };
  return (!ruleset.applies || asks_findings_only(*ruleset.applies)) &&
         std::all_of(ruleset.backgrounds.begin(), ruleset.backgrounds.end(), asks_only);
}

constexpr char mark = '\xff';  // in no text that is UTF-8

}  // namespace

Common::Common(const Ruleset& rules, const Budget& limits)
    : ruleset(rules), budget(limits), bound(rules), facts(rules, bound), all_readings(readings_of(rules)),
      readings(rules.schools.empty() ? all_readings : std::vector<Reading>(all_readings.begin() + 1, all_readings.end())),
      usual(usual_answers(facts, bound, all_readings, limits)), facts_are_plain(facts_ask_findings_only(rules)), users_of(rules.choices.size()) {
  for (const Sentence& s : rules.sentences)
    if (s.kind == Sentence::Kind::uses)
      for (Index choice : s.others) users_of[choice].insert(users_of[choice].end(), s.practices.begin(), s.practices.end());
  for (auto& users : users_of) {
    std::sort(users.begin(), users.end());
    users.erase(std::unique(users.begin(), users.end()), users.end());
  }
  for (const SourceFile& file : rules.tree.files) lines_.emplace_back(file);
}

std::string Common::line_mark(const Place& place) {
  return mark + std::to_string(place.file) + ":" + std::to_string(place.span.begin) + mark;
}

void Common::for_each_mark(std::string& text, const std::function<void(Place&)>& visit) {
  std::size_t at = 0;
  while ((at = text.find(mark, at)) != std::string::npos) {
    const std::size_t end = text.find(mark, at + 1);
    Place place;
    const char* next = std::from_chars(&text[at + 1], &text[end], place.file).ptr;
    std::from_chars(next + 1, &text[end], place.span.begin);
    visit(place);
    const std::string now = line_mark(place);
    text.replace(at, end + 1 - at, now);
    at += now.size();
  }
}

void Common::put_lines(std::string& text, bool begins_a_sentence) const {
  std::size_t at = text.find(mark);
  if (at == std::string::npos) return;
  std::string out;
  std::size_t done = 0;
  for (; at != std::string::npos; at = text.find(mark, done)) {
    const std::size_t end = text.find(mark, at + 1);
    Place place;
    const char* next = std::from_chars(&text[at + 1], &text[end], place.file).ptr;
    std::from_chars(next + 1, &text[end], place.span.begin);
    out.append(text, done, at - done);
    const bool first = out.empty();
    out += lines_[place.file].words(place.span.begin);
    if (first && begins_a_sentence) out[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(out[0])));
    const std::string& name = ruleset.tree.files[place.file].name;
    if (place.file != 0) out += " of " + name.substr(name.find_last_of('/') + 1);
    done = end + 1;
  }
  text = out.append(text, done);
}

void Common::put_lines(Problem& problem) const {
  put_lines(problem.sense, true);
  for (std::string* text : {&problem.matter, &problem.replay}) put_lines(*text);
  for (std::string& text : problem.write) put_lines(text);
}

// ---------------------------------------------------------------- study

Study::Study(const Common& shared, Scope looked_at, Account& account, const std::vector<Threshold>& further)
    : common(shared), ruleset(shared.ruleset), readings(shared.readings), all_readings(shared.all_readings), scope(std::move(looked_at)),
      universe(cut(ruleset, scope, shared.bound, further)), meaning(ruleset, universe), people(meaning, scope), account_(account),
      witnesses_(meaning, shared.usual) {
  for (Reading reading : all_readings)
    if (shared.usual.nobody_left(reading)) people.nobody_in(reading);
}

void Study::not_settled(const std::string& name) {
  if (std::find(found.not_settled.begin(), found.not_settled.end(), name) == found.not_settled.end()) found.not_settled.push_back(name);
}

// ---------------------------------------------------------------- problems

Problem Study::problem(std::string kind, std::string form, Severity severity) const {
  Problem problem;
  problem.kind = std::move(kind);
  problem.form = std::move(form);
  problem.severity = severity;
  return problem;
}

std::shared_ptr<const Profile> Study::witness(Space& space, Graph::Node region, Reading reading, bool* no_fraction) {
  auto found = witnesses_.find(space, region, reading, no_fraction);
  return found ? std::make_shared<const Profile>(std::move(*found)) : nullptr;
}

void Study::show(Problem& problem, Space& space, Graph::Node region, Graph::Node whole, Reading reading) {
  problem.share = space.share(region, whole);
  problem.has_share = true;
  RegionWords words = region_words(space, region, whole);
  problem.region = std::move(words.boxes);
  if (!words.complete) problem.region.push_back("further persons besides");
  problem.witness = witness(space, region, reading, &problem.no_fraction);
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
    found.problems.push_back(std::move(problem));
    return;
  }
  const Concerned* first = problem.sentences.empty() ? nullptr : &problem.sentences[0];
  not_settled(!problem.practice.empty() ? problem.practice : !problem.choice.empty() ? problem.choice : first ? line_of(first->place) : problem.kind);
}

Concerned Study::concerned(Index sentence, bool mark_condition) const {
  const Sentence& s = ruleset.sentences[sentence];
  Concerned c{s.sentence, s.place, s.label, words_of(ruleset, s), {}};
  if (mark_condition && s.when.kind != Cond::Kind::always) c.marks.push_back({s.when.place});
  if (mark_condition && s.unless) c.marks.push_back({s.unless->place});
  return c;
}

Concerned Study::declared(Index tree_sentence, Place name) const {
  const Place place = ruleset.tree.sentences[tree_sentence].place;
  return {tree_sentence, place, "", written(ruleset.tree, place), {{name}}};
}

// ---------------------------------------------------------------- words

std::vector<std::string> Study::lines_of(const std::vector<Index>& sentences) const {
  std::vector<std::string> lines;
  const Place* last = nullptr;
  for (Index s : sentences) {
    const Place& place = ruleset.sentences[s].place;
    if (last && last->file == place.file && common.line(*last) == common.line(place)) continue;
    lines.push_back(line_of(place));
    last = &place;
  }
  return lines;
}

std::string Study::named(Index sentence) const {
  const Sentence& s = ruleset.sentences[sentence];
  return s.label.empty() ? line_of(sentence) : s.label + ", " + line_of(sentence);
}

std::string Study::school_name(Reading reading) const {
  return reading.school == no_index ? "" : ruleset.schools[reading.school].name;
}

std::vector<Index> Bringing::sentences() const {
  std::vector<Index> result;
  for (const auto& [sentence, at] : number_) result.push_back(sentence);
  return result;
}

std::string school_sentence(const std::string& school) { return school.empty() ? "" : " In the reading of " + school + "."; }

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
