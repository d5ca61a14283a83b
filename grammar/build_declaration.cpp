#include "grammar/build.h"
#include "grammar/checks.h"
#include "grammar/refusals.h"

namespace betony::build {
namespace {

using tree::Form;

tree::Text first_text(const View& root) { return text(*root.child(Part::text)); }
tree::Named first_named(const View& root) { return named(*root.child(Part::named)); }
tree::Condition first_condition(const View& root) { return condition(*root.child(Part::level)); }

Form ruleset_line(const View& root) {
  return tree::RulesetLine{first_text(root), text(root.child(Part::edition)->only())};
}

Form source_line(const View& root) {
  tree::SourceLine out{name(*root.child(Part::name)), first_text(root), number(*root.child(Part::number)), {}};
  if (const auto rank = root.child(Part::rank)) out.rank = number(rank->only());
  return out;
}

Form finding_line(const View& root) {
  tree::FindingLine out{first_named(root), type(*type_part(root)), {}};
  if (out.type.prevails != tree::Type::Prevails::none) refuse_prevails(*type_part(root));
  if (const auto usual = root.child(Part::usually)) {
    out.usually = quantity(usual->only());
    check_usual(usual->only(), *type_part(root), *out.usually);
  }
  return out;
}

Form choice_line(const View& root) {
  tree::ChoiceLine out{first_named(root), type(*type_part(root))};
  check_choice_type(*type_part(root), out.type);
  return out;
}

Form measure_line(const View& root) {
  tree::MeasureLine out{first_named(root), arithmetic(*root.child(Part::sum)), {}};
  if (const auto in = root.child(Part::unit)) out.unit = unit(*in);
  return out;
}

tree::TallyItem tally_item(const View& view) {
  tree::TallyItem out;
  for (const View v : view) {
    if (v.part() == Part::number) out.points = number(v);
    if (v.part() == Part::level) out.counted.push_back(condition(v));
    if (v.part() != Part::each) continue;
    out.each = true;
    for (const View part : v) {
      if (part.part() != Part::joint) out.counted.push_back(item(part));
    }
  }
  return out;
}

Form tally_line(const View& root) {
  tree::TallyLine out{first_named(root), {}};
  for (const View v : root.children(Part::tally_item)) out.items.push_back(tally_item(v));
  return out;
}

Form leading_line(const View& root) {
  tree::LeadingLine out{first_named(root), names(root), {}, {}};
  const View otherwise = *root.child(Part::otherwise_value);
  for (const View v : otherwise) {
    if (v.part() == Part::lead) out.lead = number(v.only());
    if (v.part() == Part::name) out.otherwise = name(v);
  }
  return out;
}

Form unit_line(const View& root) {
  tree::UnitLine out{names(root), {}};
  const auto amount = root.child(Part::number);
  if (!amount) return out;
  const View in = *root.child(Part::unit);
  tree::Quantity quantity;
  quantity.number = number(*amount);
  quantity.unit = unit(in);
  quantity.span = {quantity.number.span.begin, quantity.unit.span.end};
  out.amount = std::move(quantity);
  return out;
}

tree::ProfileItem profile_item(const View& view) {
  tree::ProfileItem out;
  for (const View v : view) {
    if (v.part() == Part::name) {
      out.finding = name(v);
    } else if (v.part() == Part::item_not) {
      out.negated = true;
    } else {
      out.value = quantity(v);
    }
  }
  check_profile_item(view, out);
  return out;
}

Form profile_line(const View& root) {
  tree::ProfileLine out{first_text(root), {}, root.has(Part::rest)};
  for (const View v : root.children(Part::item)) out.items.push_back(profile_item(v));
  check_rest_is_last(root);
  return out;
}

Form expect_line(const View& root) {
  tree::ExpectLine out;
  for (const View v : root) {
    if (v.part() == Part::name) out.of = name(v);
    if (v.part() == Part::verdict) out.verdict = verdict(v);
    if (v.part() == Part::with_care) out.with_care = true;
    if (v.part() == Part::q_word) out.values.push_back(quantity(v));
  }
  check_expectation(root, out);
  return out;
}

tree::Trend trend(const View& root) {
  using Change = tree::Trend::Change;
  using Verb = tree::Trend::Verb;
  tree::Trend out;
  const Word change = root.child(Part::trend_change)->node().word, verb = root.child(Part::trend_verb)->node().word;
  out.change = change == Word::more ? Change::more : change == Word::less ? Change::less : Change::adding;
  out.verb = verb == Word::raises    ? Verb::raises
             : verb == Word::lowers  ? Verb::lowers
             : verb == Word::lengthens ? Verb::lengthens
                                       : Verb::shortens;
  out.of_dose = root.has(Part::trend_dose);
  out.practices = names(root);
  out.finding = std::move(out.practices.front());
  out.practices.erase(out.practices.begin());
  check_trend(root, out);
  return out;
}

Form claim_line(const View& root) {
  tree::ClaimLine out{first_text(root), root.has(Part::never), {}, {}, {}};
  if (root.has(Part::trend_change)) out.trend = trend(root);
  else out.condition = first_condition(root);
  if (const auto where = root.child(Part::end_in)) out.when = condition(where->only());
  return out;
}

tree::PopulationFinding population_finding(const View& view) {
  tree::PopulationFinding out;
  const bool is_only = view.children(Part::population_part).size() == 1;
  for (const View v : view) {
    if (v.part() == Part::name) out.finding = name(v);
    if (v.part() != Part::population_part) continue;
    tree::PopulationFinding::Part part;
    part.asked = test_of(v.only(), out.finding);
    part.weight = number(v.child(Part::weight)->only());
    part.span = v.span();
    check_population_part(v, out.finding, part.asked, is_only);
    out.parts.push_back(std::move(part));
  }
  return out;
}

Form population_line(const View& root) {
  tree::PopulationLine out{first_text(root), {}};
  for (const View v : root.children(Part::population_finding)) {
    check_population_finding(v);
    out.findings.push_back(population_finding(v));
  }
  return out;
}

}  // namespace

std::optional<View> type_part(const View& parent) {
  for (const View v : parent) {
    if (v.part() >= Part::type_yes_no && v.part() <= Part::type_number) return v;
  }
  return std::nullopt;
}

namespace {

tree::Type::Kind type_kind(Part part) {
  switch (part) {
    case Part::type_one_of: return tree::Type::Kind::one_of;
    case Part::type_grade: return tree::Type::Kind::grade;
    case Part::type_any_of: return tree::Type::Kind::any_of;
    case Part::type_number: return tree::Type::Kind::number;
    default: return tree::Type::Kind::yes_no;
  }
}

void number_type(const View& view, tree::Type& out) {
  const auto ends = view.children(Part::number);
  out.low = number(ends[0]);
  out.high = number(ends[1]);
  out.whole = view.has(Part::whole);
  out.ago = view.has(Part::ago);
  out.or_never = view.has(Part::or_never);
  if (const auto in = view.child(Part::unit)) out.unit = unit(*in);
  if (const auto step = view.child(Part::step)) out.step = number(step->only());
}

}  // namespace

tree::Type type(const View& view) {
  tree::Type out;
  out.kind = type_kind(view.part());
  out.span = view.span();
  if (out.kind == tree::Type::Kind::number) number_type(view, out);
  out.values = listed_values(view);
  if (view.has(Part::highest)) out.prevails = tree::Type::Prevails::highest;
  if (view.has(Part::lowest)) out.prevails = tree::Type::Prevails::lowest;
  return out;
}

tree::Form declaration(Word opening, const View& root) {
  switch (opening) {
    case Word::ruleset: return ruleset_line(root);
    case Word::use: return tree::UseLine{first_text(root)};
    case Word::source: return source_line(root);
    case Word::school: return tree::SchoolLine{first_named(root), names(root)};
    case Word::applies_to: return tree::AppliesLine{first_condition(root)};
    case Word::finding: return finding_line(root);
    case Word::ask: return tree::AskLine{first_text(root)};
    case Word::note: return tree::NoteLine{first_text(root)};
    case Word::measure: return measure_line(root);
    case Word::tally: return tally_line(root);
    case Word::leading: return leading_line(root);
    case Word::choice: return choice_line(root);
    case Word::term: return tree::TermLine{first_named(root), first_condition(root)};
    case Word::impossible: return tree::BackgroundLine{first_condition(root)};
    case Word::group: return tree::GroupLine{first_named(root), names(root)};
    case Word::unit: return unit_line(root);
    case Word::profile: return profile_line(root);
    case Word::expect: return expect_line(root);
    case Word::population: return population_line(root);
    case Word::claim: return claim_line(root);
    default: return tree::PrevailLine{};
  }
}

bool is_declaration(Word opening) { return opening <= Word::claim && opening != Word::refer; }

}  // namespace betony::build
