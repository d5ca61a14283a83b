#include "grammar/checks.h"
#include "grammar/refusals.h"

// Trends and populations: of what there is more or less, and what can be a part of a finding.

namespace betony::build {

// ---------------------------------------------------------------- trends

namespace {

// A trend of a finding that has none of the kind.
struct Changed {
  const View& root;
  const tree::Trend& trend;
  const Entry& entry;

  [[noreturn]] void refuse_with(std::string message, const std::string& change) const {
    const View word = *root.child(Part::trend_change), name = *root.child(Part::name);
    refuse_at(name, "neither more nor less", in_quotes(entry.text) + std::move(message),
              corrected(root.reading(), word.node().begin, name.node().end, change));
  }
  std::string changing(Word word) const { return std::string(spelled(word)) + " " + trend.finding.text; }
};

[[noreturn]] void refuse_without_order(const Changed& c) {
  const View name = *c.root.child(Part::name);
  std::string grades;
  for (const std::string& value : c.entry.values) grades += (grades.empty() ? "" : ", ") + value;
  refuse_at(name, "neither more nor less",
            "The values of " + in_quotes(c.entry.text) + " have no order: " + listed(c.entry.values, "or") + ".",
            "Finding " + c.entry.text + " is a grade of " + grades + ". Or: Claim \"…\": never … is advised in " +
                asked_simply(c.entry, c.entry.text) + ".");
}

}  // namespace

void check_trend(const View& root, const tree::Trend& trend) {
  const Entry* entry = root.reading().names.find(finding_name | item_name, trend.finding.key);
  if (!entry) return;
  const Changed c{root, trend, *entry};
  const bool added = trend.change == tree::Trend::Change::adding;
  switch (entry->shape) {
    case Shape::yes_no:
      if (!added) c.refuse_with(" is yes or no: it is there or not, and there is no more or less of it.", c.changing(Word::adding));
      return;
    case Shape::number:
      if (added) c.refuse_with(" is a number: there is more or less of it, and it is not added.", c.changing(Word::more));
      return;
    case Shape::grade:
      if (added) c.refuse_with(" is a grade: there is more or less of it, and it is not added.", c.changing(Word::more));
      return;
    case Shape::any_of:
      c.refuse_with(" is several things that may hold, each by itself; one of them can be added.",
                    std::string(spelled(Word::adding)) + " " + (entry->values.empty() ? "…" : entry->values[0]));
    case Shape::date: c.refuse_with(" goes round with the year: no day is more than another.", std::string(spelled(Word::more)) + " …");
    case Shape::time_of_day:
      c.refuse_with(" goes round with the day: no time is more than another.", std::string(spelled(Word::more)) + " …");
    case Shape::one_of: refuse_without_order(c);
    default: return;
  }
}

// ---------------------------------------------------------------- populations

namespace {

std::string parts_example(const Entry& entry) {
  switch (entry.shape) {
    case Shape::yes_no: return "no as 9, yes as 1";
    case Shape::number: return "from … to … as 3, over … as 1";
    case Shape::date: return "from 1 November to 30 April as 1";
    case Shape::time_of_day: return "from 06:00 to 09:30 as 1";
    default: break;
  }
  const auto value = [&](std::size_t i) { return i < entry.values.size() ? entry.values[i] : std::string("…"); };
  return value(0) + " as 3, " + value(1) + " as 1";
}

using Quantity = tree::Quantity::Kind;

bool told_as(const tree::Quantity& value, const Entry& entry, bool alone) {
  switch (entry.shape) {
    case Shape::yes_no: return value.kind == Quantity::yes || value.kind == Quantity::no;
    case Shape::number: return value.kind == Quantity::number || (alone && value.kind == Quantity::never);
    case Shape::date: return value.kind == Quantity::date;
    case Shape::time_of_day: return value.kind == Quantity::clock;
    default: return value.kind == Quantity::word;
  }
}

std::string how_told(const Entry& entry) {
  const std::string name = in_quotes(entry.text);
  switch (entry.shape) {
    case Shape::yes_no: return name + " is yes or no.";
    case Shape::number: return name + " is told as a number.";
    case Shape::date: return name + " is told as a day of the year.";
    case Shape::time_of_day: return name + " is told as a time of day.";
    default: return name + " is told in words: " + listed(entry.values, "or") + ".";
  }
}

}  // namespace

void check_population_finding(const View& finding) {
  const View name = *finding.child(Part::name);
  const Reading& r = finding.reading();
  const Entry* entry = r.names.find(condition_names, name.text());
  if (!entry || entry->shape == Shape::unknown) return;
  if (entry->kind != finding_name && entry->kind != item_name)
    refuse_at(name, "worked out, not told", in_quotes(entry->text) + " is worked out from the findings; a population tells of findings only.",
              "Population \"…\": … as 3, … as 1.");
  if (entry->shape == Shape::any_of)
    refuse_at(name, "each by itself", "The items of " + in_quotes(entry->text) + " are yes or no each, and stand in a population one by one.",
              corrected(r, finding.node().begin, finding.node().end, (entry->values.empty() ? "…" : entry->values[0]) + " no as 3, yes as 1"));
}

void check_population_part(const View& part, const tree::Name& finding, const tree::Atom& asked, bool is_only) {
  const Reading& r = part.reading();
  const Entry* entry = r.names.find(finding_name | item_name, finding.key);
  if (!entry || entry->shape == Shape::unknown) return;
  const bool alone = asked.kind == tree::Atom::Kind::is, ordered = entry->shape != Shape::yes_no && entry->shape != Shape::one_of;
  bool fits = alone || ordered;
  for (const tree::Quantity& value : asked.values) fits = fits && told_as(value, *entry, alone);
  if (fits) return;
  const std::string instead = is_only ? parts_example(*entry) : "… as " + std::string(part.child(Part::weight)->text());
  const bool no_order = !alone && !ordered && entry->shape == Shape::one_of;
  refuse_at(part, "not a part of this finding",
            no_order ? "The values of " + in_quotes(entry->text) + " have no order: " + listed(entry->values, "or") + "." : how_told(*entry),
            corrected(r, part.node().begin, part.node().end, instead));
}

}  // namespace betony::build
