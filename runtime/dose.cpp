#include "runtime/dose.h"

#include <algorithm>
#include <numeric>

namespace betony::runtime {
namespace {

enum class What { amount, often, length, words };

bool names(const Dose& dose, What what) {
  switch (what) {
    case What::amount: return dose.amount.has_value();
    case What::often: return dose.often.has_value();
    case What::length: return dose.length.has_value();
    case What::words: break;
  }
  return !dose.words.empty();
}

const Range& range_of(const Dose& dose, What what) { return what == What::amount ? *dose.amount : what == What::often ? *dose.often : *dose.length; }

Range common(Range a, const Range& b) {
  if (b.low && (!a.low || *a.low < *b.low)) a.low = b.low;
  if (b.high && (!a.high || *b.high < *a.high)) a.high = b.high;
  return a;
}

class Settling {
 public:
  Settling(const Pack& pack, const Practice& practice, const std::function<Truth(Index)>& fires) : pack_(pack), fires_(fires) {
    for (Index s : practice.sentences)
      if (pack.sentences[s].kind == Sentence::Kind::dose && fires(s) != Truth::no) said_.push_back(s);
  }

  SettledDose settle() {
    for (Index dimension : dimensions())
      if (auto part = settled(What::amount, dimension)) dose_.amounts.push_back(std::move(*part));
    dose_.often = settled(What::often, 0);
    dose_.length = settled(What::length, 0);
    for (Index s : heard(What::words, 0))
      if (std::find(dose_.words.begin(), dose_.words.end(), dose(s).words) == dose_.words.end()) dose_.words.push_back(dose(s).words);
    multiply();
    if (open_) dose_ = {}, dose_.open = true;
    return std::move(dose_);
  }

 private:
  const Dose& dose(Index s) const { return pack_.doses[pack_.sentences[s].dose]; }

  std::vector<Index> dimensions() const {
    std::vector<Index> all;
    for (Index s : said_)
      if (dose(s).amount && std::find(all.begin(), all.end(), dose(s).dimension) == all.end()) all.push_back(dose(s).dimension);
    return all;
  }

  // Those that settle a part: with a condition, or the nearest of those without.
  std::vector<Index> heard(What what, Index dimension) {
    std::vector<Index> conditional, plain;
    for (Index s : said_) {
      if (!names(dose(s), what) || (what == What::amount && dose(s).dimension != dimension)) continue;
      if (fires_(s) == Truth::open) open_ = true;
      const Sentence& sentence = pack_.sentences[s];
      if (sentence.conditional) {
        conditional.push_back(s);
        continue;
      }
      if (!plain.empty() && pack_.sentences[plain[0]].rank < sentence.rank) continue;
      if (!plain.empty() && pack_.sentences[plain[0]].rank > sentence.rank) plain.clear();
      plain.push_back(s);
    }
    return conditional.empty() ? plain : conditional;
  }

  std::optional<SettledDose::Part> settled(What what, Index dimension) {
    SettledDose::Part part;
    part.from = heard(what, dimension);
    if (part.from.empty()) return std::nullopt;
    for (Index s : part.from) part.range = common(part.range, range_of(dose(s), what));
    part.clash = part.range.low && part.range.high && *part.range.high < *part.range.low;
    if (what == What::amount) {
      const Dose& first = dose(first_of(dimension));
      part.dimension = dimension;
      part.unit = first.unit, part.scale = first.scale, part.zero = first.zero;
    }
    return part;
  }

  Index first_of(Index dimension) const {
    return *std::find_if(said_.begin(), said_.end(), [&](Index s) { return dose(s).amount && dose(s).dimension == dimension; });
  }

  void multiply() {
    std::optional<Number> least;
    for (Index s : said_) {
      if (!dose(s).factor) continue;
      if (fires_(s) == Truth::open) open_ = true;
      if (!least || *dose(s).factor < *least) least = dose(s).factor;
    }
    if (!least) return;
    for (SettledDose::Part& part : dose_.amounts)
      for (auto* end : {&part.range.low, &part.range.high})
        if (*end) **end *= *least;
  }

  const Pack& pack_;
  const std::function<Truth(Index)>& fires_;
  std::vector<Index> said_;          // dose sentences that fire, or may
  SettledDose dose_;
  bool open_ = false;
};

}  // namespace

SettledDose settle_dose(const Pack& pack, const Practice& practice, const std::function<Truth(Index)>& fires) {
  return Settling(pack, practice, fires).settle();
}

// ---------------------------------------------------------------- words

namespace {

std::string range_words(const std::optional<std::string>& low, const std::optional<std::string>& high, const std::string& after) {
  if (!low && !high) return {};
  if (low == high) return *low + after;
  if (!low) return "at most " + *high + after;
  if (!high) return "at least " + *low + after;
  return *low + " to " + *high + after;
}

std::string times_words(const Number& times) {
  if (times == Number(1)) return "once";
  if (times == Number(2)) return "twice";
  return times.words() + " times";
}

// So many times in a span.
std::string rate_words(const Range& times, const std::string& span) {
  if (times.low && times.high && *times.low != *times.high) return times.low->words() + " to " + times.high->words() + " times" + span;
  std::optional<std::string> low, high;
  if (times.low) low = times_words(*times.low);
  if (times.high) high = times_words(*times.high);
  return range_words(low, high, span);
}

Range multiplied(Range range, const Number& factor) {
  for (auto* end : {&range.low, &range.high})
    if (*end) **end *= factor;
  return range;
}

bool whole(const Range& range) { return (!range.low || range.low->is_integer()) && (!range.high || range.high->is_integer()); }

}  // namespace

std::string amount_words(const Range& range, const Number& scale, const Number& zero, const std::string& unit) {
  const auto end = [&](const std::optional<Number>& base) {
    const auto reading = base ? divided(*base, scale) : std::nullopt;
    return reading ? std::optional((*reading - zero).words()) : std::nullopt;
  };
  return range_words(end(range.low), end(range.high), unit.empty() ? "" : " " + unit);
}

std::string length_words(const Range& range) { return "for " + amount_words(range, 86400, 0, "d"); }

std::string dose_words(const SettledDose& dose) {
  std::string out;
  const auto add = [&](const std::string& words) { out += (out.empty() ? "" : ", ") + words; };
  for (const auto& part : dose.amounts)
    add(part.clash ? "the sentences do not agree on how much" : amount_words(part.range, part.scale, part.zero, part.unit));
  if (dose.often) add(dose.often->clash ? "the sentences do not agree on how often" : often_words(dose.often->range));
  if (dose.length) add(dose.length->clash ? "the sentences do not agree on how long" : length_words(dose.length->range));
  for (const std::string& words : dose.words) add("\"" + words + "\"");
  return out;
}

// Told of the shortest time in which it is a whole number of times: a day, a week, so many days; what comes every hour, of the hour.
std::string often_words(const Range& often) {
  constexpr long hour = 3600, day = 24 * hour, longest = 31;
  const bool sharp = often.low && often.high && *often.low == *often.high;
  if (sharp && whole(multiplied(often, hour))) return rate_words(multiplied(often, hour), " every 1 h");
  const Range daily = multiplied(often, day);
  if (whole(daily)) return rate_words(daily, " a day");
  if (whole(multiplied(daily, 7))) return rate_words(multiplied(daily, 7), " a wk");
  for (long days = 2; days <= longest; ++days)
    if (const Range times = multiplied(daily, days); whole(times)) return rate_words(times, " every " + std::to_string(days) + " d");
  if (const auto apart = sharp ? divided(1, *daily.low) : std::nullopt) return "once every " + apart->words() + " d";
  return rate_words(daily, " a day");
}

}  // namespace betony::runtime
