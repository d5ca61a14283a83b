// Populations: how often which answers occur. No two parts of a finding may hold the same value.
#include <algorithm>
#include <unordered_map>

#include "compiler/typing.h"

namespace betony {
namespace {

using Kind = Known::Kind;
using Written = tree::PopulationFinding::Part;
using Part = Population::Part;

mpz_class floor_of(const Rational& number) {
  mpz_class out;
  mpz_fdiv_q(out.get_mpz_t(), number.get_num_mpz_t(), number.get_den_mpz_t());
  return out;
}

// What of the interval the finding can be; of a finding in steps both ends are values of it. Nothing: it can be none of it.
std::optional<Interval> within(const Finding& finding, Interval i) {
  if (!i.low || *i.low < finding.low) i.low = finding.low, i.low_in = true;
  if (!i.high || *i.high > finding.high) i.high = finding.high, i.high_in = true;
  if (finding.step > 0) {
    const Rational first = (*i.low - finding.low) / finding.step, last = (*i.high - finding.low) / finding.step;
    mpz_class from = floor_of(first), to = floor_of(last);
    if (from != first || !i.low_in) ++from;
    if (to == last && !i.high_in) --to;
    i.low = finding.low + from * finding.step, i.high = finding.low + to * finding.step;
    i.low_in = i.high_in = true;
  }
  const bool some = *i.low < *i.high || (*i.low == *i.high && i.low_in && i.high_in);
  return some ? std::optional(i) : std::nullopt;
}

// The parts of one finding of one population.
struct Sharing {
  Typing& typing;
  const tree::PopulationFinding& line;
  Index index;
  Population::Shares& shares;

  const Finding& finding() const { return typing.ruleset.findings[index]; }
  std::string words(const Written& part) const { return typing.written(typing.place(test_span(part))); }
  static Span test_span(const Written& part) {
    return {part.span.begin, part.asked.values.empty() ? part.span.end : part.asked.values.back().span.end};
  }

  // The sentence without this part.
  std::string without(const Written& part) const {
    const std::size_t at = static_cast<std::size_t>(&part - line.parts.data());
    if (line.parts.size() == 1) return typing.corrected(test_span(part), "…");
    if (at > 0) return typing.without(part.span);
    return typing.corrected({part.span.begin, line.parts[1].span.end}, typing.written(typing.place(line.parts[1].span)));
  }

  // The numbers that a part names lie within what the finding can be. Thresholds may lie between its steps.
  bool in_range(const Written& part) const {
    const auto& values = part.asked.values;
    const Scale& scale = typing.finding_scales[index];
    const tree::Unit* shared = part.asked.kind == tree::Atom::Kind::from_to ? &values.back().unit : nullptr;
    for (const tree::Quantity& value : values) {
      if (value.kind == tree::Quantity::Kind::never || value.kind == tree::Quantity::Kind::word) continue;
      const auto number = number_on(typing, value, scale, shared);
      if (!number) return false;
      if (*number >= finding().low && *number <= finding().high) continue;
      const auto shown = [&](const Rational& n) { return value_words(finding(), Value{Value::Kind::number, 0, n}); };
      typing.tell(value.span, "out of range",
                  in_quotes(finding().name) + " runs from " + shown(finding().low) + " to " + shown(finding().high) + "; " + shown(*number) +
                      " lies outside.",
                  typing.corrected(value.span, shown(*number < finding().low ? finding().low : finding().high)));
      return false;
    }
    return true;
  }

  // What the part asks for, as one list of values.
  void gather(const Cond& cond, Part& part) const {
    if (cond.kind == Cond::Kind::test) {
      const Test& test = cond.test;
      part.words.insert(part.words.end(), test.words.begin(), test.words.end());
      part.never = part.never || test.never;
      for (const Interval& interval : test.intervals)
        if (auto possible = within(finding(), interval)) part.intervals.push_back(std::move(*possible));
    }
    for (const Cond& below : cond.parts) gather(below, part);
  }

  void part(const Written& written) {
    const bool number = finding().values.empty();
    if (number && (!typing.finding_sound[index] || !in_range(written))) return;
    tree::Condition condition;
    condition.atom = written.asked;
    condition.span = test_span(written);
    if (!yes_no_is_told(written)) return;
    const std::size_t told = typing.messages.size();
    const Cond asked = type_of(condition);
    if (typing.messages.size() > told) return;
    Part part;
    gather(asked, part);
    part.weight = written.weight.value();
    if (part.words.empty() && part.intervals.empty() && !part.never) {
      typing.tell(test_span(written), "a part of nobody", in_quotes(finding().name) + " is never " + words(written) + ".", without(written));
      return;
    }
    if (part.weight < 0) {
      typing.tell(written.weight.span, "a share below nothing", "So few persons there cannot be; a share is 0 or more.",
                  typing.corrected(written.weight.span, number_words(-part.weight)));
      return;
    }
    shares.parts.push_back(std::move(part));
    places.push_back(&written);
  }

  // Yes and no are no values in a condition, and are values here.
  bool yes_no_is_told(const Written& written) const {
    if (finding().kind != Finding::Kind::yes_no || written.asked.kind == tree::Atom::Kind::is) return true;
    typing.tell(test_span(written), "not a part of this finding", in_quotes(finding().name) + " is yes or no.", finding().name + " no as 9, yes as 1");
    return false;
  }
  Cond type_of(const tree::Condition& condition) const { return type_atom(typing, condition, Asking::people); }

  void overlap(std::size_t a, std::size_t b) const {
    if (a > b) std::swap(a, b);
    const std::string first = words(*places[a]), second = words(*places[b]);
    typing.tell(test_span(*places[b]), "counted twice",
                first == second ? in_quotes(finding().name + " " + first) + " stands here twice."
                                : in_quotes(finding().name + " " + first) + " and " + in_quotes(second) + " hold some of the same values.",
                first == second ? without(*places[b]) : typing.corrected(test_span(*places[b]), "…"));
  }

  // The first pair of parts that hold a value in common, if any do.
  void check_overlap() const {
    std::unordered_map<Index, std::size_t> of_word;
    std::optional<std::size_t> of_never;
    std::vector<std::pair<const Interval*, std::size_t>> intervals;
    for (std::size_t p = 0; p < shares.parts.size(); ++p) {
      const Part& part = shares.parts[p];
      for (Index word : part.words)
        if (const auto [at, is_new] = of_word.try_emplace(word, p); !is_new && at->second != p) return overlap(at->second, p);
      if (part.never && of_never) return overlap(*of_never, p);
      if (part.never) of_never = p;
      for (const Interval& interval : part.intervals) intervals.emplace_back(&interval, p);
    }
    std::stable_sort(intervals.begin(), intervals.end(), [](const auto& a, const auto& b) {
      return *a.first->low != *b.first->low ? *a.first->low < *b.first->low : a.first->low_in && !b.first->low_in;
    });
    for (std::size_t i = 1, far = 0; i < intervals.size(); ++i) {  // `far` reaches furthest of those before
      const Interval &before = *intervals[far].first, &now = *intervals[i].first;
      const bool meet = *now.low < *before.high || (*now.low == *before.high && now.low_in && before.high_in);
      if (meet && intervals[far].second != intervals[i].second) return overlap(intervals[far].second, intervals[i].second);
      if (*before.high < *now.high || (*before.high == *now.high && now.high_in)) far = i;
    }
  }

  void all() {
    for (const Written& written : line.parts) part(written);
    if (shares.parts.size() != line.parts.size()) return;  // told
    check_overlap();
    if (std::all_of(shares.parts.begin(), shares.parts.end(), [](const Part& part) { return part.weight == 0; }))
      typing.tell(line.finding.span, "nobody at all", "All shares of " + in_quotes(finding().name) + " are 0; somebody must have a value of it.",
                  typing.corrected(line.parts.front().weight.span, "1"));
  }

  std::vector<const Written*> places = {};
};

struct Peopling {
  Typing& typing;
  Population& population;
  std::unordered_map<Index, const tree::PopulationFinding*> told = {};

  void finding(const tree::PopulationFinding& line) {
    const auto built = built_in(typing, line.finding.key);
    const Known* known = built ? nullptr : find_name(typing, line.finding, {Kind::finding}, "a finding");
    if (!built && !known) return;
    const Index index = built ? *built : known->index;
    const Span whole{line.finding.span.begin, line.parts.back().span.end};
    if (!told.try_emplace(index, &line).second) {
      typing.tell(line.finding.span, "shared out twice", in_quotes(typing.ruleset.findings[index].name) + " stands twice in this population.",
                  typing.corrected(whole, "…"));
      return;
    }
    Population::Shares shares;
    shares.finding = index;
    shares.place = typing.place(whole);
    Sharing{typing, line, index, shares}.all();
    population.shares.push_back(std::move(shares));
  }
};

}  // namespace

void type_populations(Typing& typing) {
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    const auto* line = std::get_if<tree::PopulationLine>(&typing.sentences()[i].form);
    if (!line) continue;
    typing.open(i);
    Population population;
    population.title = line->title.text;
    population.place = typing.sentences()[i].place;
    population.sentence = i;
    Peopling peopling{typing, population};
    for (const tree::PopulationFinding& finding : line->findings) peopling.finding(finding);
    std::sort(population.shares.begin(), population.shares.end(), [](const auto& a, const auto& b) { return a.finding < b.finding; });
    typing.ruleset.populations.push_back(std::move(population));
  }
}

}  // namespace betony
