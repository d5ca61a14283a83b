#include "tests/property/verdicts.h"

#include <algorithm>

namespace betony::referee {

using Kind = Sentence::Kind;

Judge::Judge(const Model& model, const Universe& universe) : model_(model), universe_(universe) {
  of_practice_.resize(model.practices.size());
  practices_of_.resize(model.sentences.size());
  text_of_.assign(model.sentences.size(), -1);
  for (int s = 0; s < static_cast<int>(model.sentences.size()); ++s) {
    const Sentence& sentence = model.sentences[s];
    if (sentence.gone) continue;
    practices_of_[s] = speaks_of(model, sentence);
    for (int p : practices_of_[s]) of_practice_[p].push_back(s);
    if (sentence.kind != Kind::caution || sentence.text.empty()) continue;
    const auto at = std::find(texts_.begin(), texts_.end(), sentence.text);
    text_of_[s] = static_cast<int>(at - texts_.begin());
    if (at == texts_.end()) texts_.push_back(sentence.text);
  }
  const Table none;
  background_.assign(universe.size(), 1);
  applies_.assign(universe.size(), 1);
  for (std::size_t p = 0; p < universe.size(); ++p) {
    for (const Fact& fact : model.backgrounds)
      if (!fact.gone && holds(fact.cond, p, none)) background_[p] = 0;
    applies_[p] = background_[p];
    for (const Fact& fact : model.applies)
      if (!fact.gone && !holds(fact.cond, p, none)) applies_[p] = 0;
  }
}

// ---------------------------------------------------------------- conditions

std::optional<Fraction> Judge::number(const Cond& c, std::size_t profile, const Table& table) const {
  if (c.of == Cond::Of::tally) return points(c.index, profile, table);
  if (c.of == Cond::Of::measure) return measured(c.index, profile);
  const Cell& cell = universe_.cell(profile, universe_.variable(c.index));
  if (cell.never) return std::nullopt;
  return model_.findings[c.index].kind == Finding::Kind::grade ? Fraction(cell.word) : cell.number;
}

bool Judge::number_test(const Cond& c, std::size_t profile, const Table& table) const {
  const auto value = number(c, profile, table);
  if (c.kind == Cond::Kind::numbers)
    return (value && std::count(c.numerals.begin(), c.numerals.end(), *value) > 0) != c.negated;
  if (!value) return false;
  const Fraction& first = c.numerals[0];
  switch (c.how) {
    case Cond::How::under: return *value < first;
    case Cond::How::over: return *value > first;
    case Cond::How::at_least: return *value >= first;
    case Cond::How::at_most: return *value <= first;
    case Cond::How::from_to: break;
  }
  const Fraction& last = c.numerals[1];
  if (first <= last) return *value >= first && *value <= last;
  const bool round = c.of == Cond::Of::finding && (model_.findings[c.index].kind == Finding::Kind::date ||
                                                   model_.findings[c.index].kind == Finding::Kind::time_of_day);
  return round && (*value >= first || *value <= last);
}

// A measure is made from numbers that cannot be never.
Fraction Judge::measured(int measure, std::size_t profile) const {
  std::vector<Fraction> numbers(model_.findings.size());
  for (int finding : inputs(model_.measures[measure].is)) numbers[finding] = universe_.cell(profile, universe_.variable(finding)).number;
  return value(model_.measures[measure].is, numbers);
}

Fraction Judge::points(int tally, std::size_t profile, const Table& table) const {
  Fraction sum = 0;
  for (const TallyItem& item : model_.tallies[tally].items)
    for (const Cond& c : item.counted)
      if (holds(c, profile, table)) sum += item.points;
  return sum;
}

std::string Judge::leader(int leading, std::size_t profile, const Table& table) const {
  const Leading& l = model_.leadings[leading];
  std::vector<Fraction> all;
  for (int tally : l.tallies) all.push_back(points(tally, profile, table));
  if (std::all_of(all.begin(), all.end(), [](const Fraction& n) { return n == 0; })) return l.otherwise;
  for (std::size_t i = 0; i < all.size(); ++i) {
    bool leads = true;
    for (std::size_t j = 0; j < all.size(); ++j)
      if (j != i) leads = leads && all[i] > all[j] && (!l.lead || all[i] - all[j] >= *l.lead);
    if (leads) return model_.tallies[l.tallies[i]].name;
  }
  return l.otherwise;
}

bool Judge::holds(const Cond& c, std::size_t profile, const Table& table) const {
  using CondKind = Cond::Kind;
  const auto one = [&](const Cond& part) { return holds(part, profile, table); };
  switch (c.kind) {
    case CondKind::always: return true;
    case CondKind::holds:
      if (c.of == Cond::Of::term) return one(model_.terms[c.index].means);
      return universe_.cell(profile, universe_.variable(c.index, c.item)).word == 1;
    case CondKind::numbers:
    case CondKind::compare: return number_test(c, profile, table);
    case CondKind::never: return universe_.cell(profile, universe_.variable(c.index)).never != c.negated;
    case CondKind::with_care: return table.outcomes[c.index][profile].care;
    case CondKind::negation: return !one(c.parts[0]);
    case CondKind::all: return std::all_of(c.parts.begin(), c.parts.end(), one);
    case CondKind::any: return std::any_of(c.parts.begin(), c.parts.end(), one);
    case CondKind::none: return std::none_of(c.parts.begin(), c.parts.end(), one);
    case CondKind::at_least: return std::count_if(c.parts.begin(), c.parts.end(), one) >= c.count;
    case CondKind::among: break;
  }
  const auto is = [&](int word) {
    switch (c.of) {
      case Cond::Of::finding: return universe_.cell(profile, universe_.variable(c.index)).word == word;
      case Cond::Of::leading:
        return leading_values(model_, model_.leadings[c.index])[word] == leader(c.index, profile, table);
      case Cond::Of::choice: return (table.fits[c.index][profile] >> word & 1u) != 0;
      default: return static_cast<int>(table.outcomes[c.index][profile].verdict) == word;
    }
  };
  return std::any_of(c.words.begin(), c.words.end(), is) != c.negated;
}

// ---------------------------------------------------------------- choices

std::uint32_t Judge::taken(int choice, std::size_t profile, const Table& table) const {
  std::uint32_t bits = 0;
  for (std::size_t s = 0; s < model_.sentences.size(); ++s)
    if (model_.sentences[s].kind == Kind::take && model_.sentences[s].choice == choice && table.fires[s][profile])
      for (int v : model_.sentences[s].values) bits |= 1u << v;
  return bits;
}

std::uint32_t Judge::refused(int choice, std::size_t profile, const Table& table) const {
  std::uint32_t bits = 0;
  for (std::size_t s = 0; s < model_.sentences.size(); ++s)
    if (model_.sentences[s].kind == Kind::refuse && model_.sentences[s].choice == choice && table.fires[s][profile])
      for (int v : model_.sentences[s].values) bits |= 1u << v;
  return bits;
}

bool Judge::speaks_otherwise(int sentence, std::size_t profile, const Table& table) const {
  const int choice = model_.sentences[sentence].choice;
  return table.fires[sentence][profile] && (taken(choice, profile, table) & ~refused(choice, profile, table)) == 0;
}

void Judge::choose(int choice, Table& table) const {
  for (std::size_t p = 0; p < universe_.size(); ++p) {
    const std::uint32_t refusals = refused(choice, p, table);
    std::uint32_t bits = taken(choice, p, table) & ~refusals;
    if (bits == 0)
      for (std::size_t s = 0; s < model_.sentences.size(); ++s)
        if (model_.sentences[s].kind == Kind::choice_otherwise && model_.sentences[s].choice == choice && table.fires[s][p])
          for (int v : model_.sentences[s].values) bits |= 1u << v;
    bits &= ~refusals;
    const Choice::Kind kind = model_.choices[choice].kind;
    if (kind == Choice::Kind::lowest) bits &= ~bits + 1;
    while (kind == Choice::Kind::highest && (bits & (bits - 1)) != 0) bits &= bits - 1;
    table.fits[choice][p] = bits;
  }
}

// ---------------------------------------------------------------- verdicts

bool Judge::referred(std::size_t profile, const Table& table, int without) const {
  for (int s = 0; s < static_cast<int>(model_.sentences.size()); ++s)
    if (s != without && model_.sentences[s].kind == Kind::refer && table.fires[s][profile]) return true;
  return false;
}

bool Judge::live(int ban, int practice, std::size_t profile, const Table& table, int without) const {
  if (ban == without || !table.fires[ban][profile]) return false;
  for (int s : of_practice_[practice]) {
    const Sentence& sentence = model_.sentences[s];
    if (s == without || (sentence.kind != Kind::indicated && sentence.kind != Kind::allowed)) continue;
    if (table.fires[s][profile] && std::count(sentence.despite.begin(), sentence.despite.end(), ban)) return false;
  }
  return true;
}

// The practice's own Otherwise, else that of a named group, else that of every practice; none: null.
const Sentence* Judge::otherwise(int practice, const Table& table, int without) const {
  for (Sentence::Head head : {Sentence::Head::practices, Sentence::Head::group, Sentence::Head::every})
    for (int s : of_practice_[practice]) {
      const Sentence& sentence = model_.sentences[s];
      if (s != without && s != table.without && sentence.kind == Kind::otherwise && sentence.head == head && in_reading(s, table.school))
        return &sentence;
    }
  return nullptr;
}

Outcome Judge::outcome(int practice, std::size_t profile, const Table& table, int without) const {
  Outcome result;
  if (!applies_[profile]) {
    result.verdict = Verdict::outside;
    return result;
  }
  if (referred(profile, table, without)) {
    result.verdict = Verdict::referred;
    return result;
  }
  bool forbidden = false, discouraged = false, advised = false, allowed = false;
  for (int s : of_practice_[practice]) {
    if (s == without || !table.fires[s][profile]) continue;
    const Sentence& sentence = model_.sentences[s];
    switch (sentence.kind) {
      case Kind::contraindicated: forbidden = forbidden || live(s, practice, profile, table, without); break;
      case Kind::discouraged: discouraged = discouraged || live(s, practice, profile, table, without); break;
      case Kind::indicated: advised = true; break;
      case Kind::allowed: allowed = true; break;
      default: break;
    }
    if (sentence.kind == Kind::caution || (sentence.kind != Kind::otherwise && sentence.with_care)) result.care = true;
    if (text_of_[s] >= 0) result.texts |= std::uint64_t{1} << text_of_[s];
  }
  result.verdict = forbidden ? Verdict::withheld : discouraged ? Verdict::discouraged : advised ? Verdict::advised
                   : allowed ? Verdict::allowed : Verdict::silent;
  if (result.verdict == Verdict::silent) {
    if (const Sentence* last = otherwise(practice, table, without)) {
      result.verdict = last->verdict;
      result.care = result.care || last->with_care;
    }
  }
  if (result.verdict != Verdict::advised && result.verdict != Verdict::allowed) result.care = false, result.texts = 0;
  return result;
}

// Choices first, the earlier before the later, for conditions may ask for what fits them.
Table Judge::table(int school, int without) const {
  Table t;
  t.school = school;
  t.without = without;
  const int sentences = static_cast<int>(model_.sentences.size());
  t.fires.assign(sentences, Region(universe_.size(), 0));
  t.fits.assign(model_.choices.size(), std::vector<std::uint32_t>(universe_.size(), 0));
  const auto fire = [&](int s) {
    if (s == without || !in_reading(s, school)) return;
    const Sentence& sentence = model_.sentences[s];
    for (std::size_t p = 0; p < universe_.size(); ++p)
      t.fires[s][p] = holds(sentence.when, p, t) && !(sentence.unless && holds(*sentence.unless, p, t));
  };
  for (int c = 0; c < static_cast<int>(model_.choices.size()); ++c) {
    if (model_.choices[c].gone) continue;
    for (int s = 0; s < sentences; ++s)
      if (model_.sentences[s].head == Sentence::Head::choice && model_.sentences[s].choice == c) fire(s);
    choose(c, t);
  }
  for (int s = 0; s < sentences; ++s)
    if (model_.sentences[s].head != Sentence::Head::choice) fire(s);
  t.outcomes.assign(model_.practices.size(), std::vector<Outcome>(universe_.size()));
  for (std::size_t p = 0; p < model_.practices.size(); ++p)
    for (std::size_t at = 0; at < universe_.size() && !model_.practices[p].gone; ++at)
      t.outcomes[p][at] = outcome(static_cast<int>(p), at, t);
  return t;
}

std::vector<std::string> Judge::texts(std::uint64_t bits) const {
  std::vector<std::string> list;
  for (std::size_t i = 0; i < texts_.size(); ++i)
    if (bits >> i & 1) list.push_back(texts_[i]);
  return list;
}

// ---------------------------------------------------------------- samples

Region completions(const Model& model, const Universe& universe, const Judge& judge, const Sample& sample) {
  Region region = judge.background();
  for (int v = 0; v < static_cast<int>(universe.variables().size()); ++v) {
    const Variable& variable = universe.variables()[v];
    const Finding& f = model.findings[variable.subject.finding];
    std::optional<Answer> given;
    for (const Answer& a : sample.answers)
      if (a.subject == variable.subject) given = a;
    if (!given && sample.rest_as_usual) {
      const bool yes_no = f.kind == Finding::Kind::yes_no || variable.subject.item >= 0;
      if (yes_no || f.usual_word || f.usual_number || f.usual_never)
        given = Answer{variable.subject, f.usual_word.value_or(0), f.usual_number, f.usual_never};
    }
    if (!given) continue;
    const int cell = cell_of(variable, *given);
    for (std::size_t p = 0; p < universe.size(); ++p) region[p] = region[p] && universe.cell_index(p, v) == cell;
  }
  return region;
}

bool possible(const Model& model, const Universe& universe, const Judge& judge, const Sample& sample) {
  const Region region = completions(model, universe, judge, sample);
  return std::find(region.begin(), region.end(), 1) != region.end();
}

}  // namespace betony::referee
