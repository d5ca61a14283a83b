#include "grammar/build.h"
#include "grammar/checks.h"
#include "grammar/refusals.h"

namespace betony::build {
namespace {

using tree::Form;

Form practices_line(const View& root, bool plural) {
  tree::PracticeLine out;
  out.plural = plural;
  for (const View v : root.children(Part::named)) out.practices.push_back(named(v));
  return out;
}

Form every_line(const View& root) {
  tree::EveryLine out;
  if (const auto group = root.child(Part::name)) out.group = name(*group);
  return out;
}

tree::InItem in_item(const View& view) {
  tree::InItem out;
  out.practices = names(view);
  out.verdict = verdict(*view.child(Part::verdict)).value_or(tree::Verdict::allowed);
  out.with_care = view.has(Part::with_care);
  out.ending = ending(view);
  check_in_item(view, out);
  return out;
}

Form in_line(const View& root) {
  tree::InLine out{condition(*root.child(Part::level)), {}};
  for (const View v : root.children(Part::in_item)) out.items.push_back(in_item(v));
  return out;
}

Form verdict_line(const View& root, tree::VerdictLine::Kind kind) {
  tree::VerdictLine out{kind, ending(root)};
  check_verdict_line(root, out);
  return out;
}

Form refer_line(const View& root) {
  tree::ReferLine out{ending(root)};
  check_refer_line(root, out);
  return out;
}

// ---------------------------------------------------------------- doses

std::vector<tree::Quantity> quantities(const View& parent) {
  std::vector<tree::Quantity> out;
  for (const View v : parent) {
    if (v.part() >= Part::q_number && v.part() <= Part::q_no) out.push_back(quantity(v));
  }
  return out;
}

tree::Number made_number(const char* digits, const View& at) { return {digits, at.span()}; }

tree::Rate rate(const View& view) {
  tree::Rate out;
  out.span = view.span();
  out.low = out.high = out.period = made_number("1", view);
  std::vector<tree::Number> counts;
  for (const View v : view) {
    if (v.part() == Part::number) counts.push_back(number(v));
    if (v.part() == Part::twice) counts.push_back(made_number("2", v));
    if (v.part() == Part::rate_at_most) out.at_most = true;
    if (v.part() == Part::unit) out.unit = unit(v);
    if (v.part() != Part::rate_every) continue;
    out.every = true;
    if (const auto period = v.child(Part::number)) out.period = number(*period);
    out.unit = unit(*v.child(Part::unit));
  }
  if (!counts.empty()) {
    out.low = counts.front();
    out.high = counts.back();
  }
  return out;
}

tree::DoseLine::Factor factor(Word word) {
  switch (word) {
    case Word::half: return tree::DoseLine::Factor::half;
    case Word::third: return tree::DoseLine::Factor::third;
    case Word::quarter: return tree::DoseLine::Factor::quarter;
    default: return tree::DoseLine::Factor::twice;
  }
}

Form dose_line(const View& root) {
  tree::DoseLine out;
  for (const View v : root) {
    check_dose_part(v, out);
    switch (v.part()) {
      case Part::rate: out.often = rate(v); break;
      case Part::factor: out.factor = factor(v.node().word); break;
      case Part::text: out.words = text(v); break;
      case Part::dose_at_most: out.high = quantity(v.only()); break;
      case Part::dose_at_least: out.low = quantity(v.only()); break;
      case Part::range: {
        const auto ends = quantities(v);
        out.low = ends.front();
        out.high = ends.back();
        break;
      }
      case Part::length: {
        const auto ends = quantities(v.only());
        out.long_low = ends.front();
        out.long_high = ends.back();
        break;
      }
      default: break;
    }
  }
  out.ending = ending(root);
  return out;
}

// ---------------------------------------------------------------- order, times, materials

Form order_line(const View& root, tree::OrderLine::Kind kind) {
  tree::OrderLine out{kind, names(root), {}, ending(root)};
  if (const auto by = root.child(Part::by)) out.by = quantity(by->only());
  return out;
}

tree::Moment::Anchor anchor_of(std::string_view text) {
  using Anchor = tree::Moment::Anchor;
  constexpr std::pair<Word, Anchor> anchors[] = {
      {Word::sunrise, Anchor::sunrise}, {Word::sunset, Anchor::sunset},     {Word::dawn, Anchor::dawn},
      {Word::dusk, Anchor::dusk},       {Word::noon, Anchor::noon},         {Word::midnight, Anchor::midnight},
      {Word::waking, Anchor::waking},   {Word::sleep, Anchor::sleep},
  };
  for (const auto& [word, anchor] : anchors) {
    if (word_at(text, 0, word) == text.size()) return anchor;
  }
  return Anchor::noon;
}

tree::Moment moment(const View& view) {
  tree::Moment out;
  out.span = view.span();
  for (const View v : view) {
    switch (v.part()) {
      case Part::q_number: out.by = quantity(v); break;
      case Part::before: out.before = true; break;
      case Part::q_clock: out.clock = quantity(v).clock; break;
      case Part::anchor: out.anchor = anchor_of(v.text()); break;
      case Part::name:
        out.anchor = tree::Moment::Anchor::practice;
        out.practice = name(v);
        break;
      default: break;
    }
  }
  return out;
}

Form time_line(const View& root) {
  tree::TimeLine out;
  const auto moments = root.children(Part::moment);
  out.forbidden = root.has(Part::forbidden);
  out.from = moment(moments.front());
  out.until = moments.size() > 1;
  if (out.until) out.to = moment(moments.back());
  out.ending = ending(root);
  return out;
}

Form takes_line(const View& root) {
  const auto ends = quantities(*root.child(Part::range));
  return tree::TakesLine{ends.front(), ends.back(), ending(root)};
}

Form take_line(const View& root, bool refused) { return tree::TakeLine{refused, quantities(root), ending(root)}; }

Form otherwise_line(const View& root) {
  tree::OtherwiseLine out;
  if (const auto said = root.child(Part::verdict)) out.verdict = verdict(*said);
  out.with_care = root.has(Part::with_care);
  out.values = quantities(root);
  out.ending = ending(root);
  check_otherwise(root, out);
  return out;
}

}  // namespace

tree::Form practice_sentence(Word opening, const View& root) {
  using Verdict = tree::VerdictLine::Kind;
  using Order = tree::OrderLine::Kind;
  switch (opening) {
    case Word::refer: return refer_line(root);
    case Word::practice: return practices_line(root, false);
    case Word::practices: return practices_line(root, true);
    case Word::every_practice: return every_line(root);
    case Word::in_condition: return in_line(root);
    case Word::indicated: return verdict_line(root, Verdict::indicated);
    case Word::allowed_in: return verdict_line(root, Verdict::allowed);
    case Word::discouraged_in: return verdict_line(root, Verdict::discouraged);
    case Word::contraindicated: return verdict_line(root, Verdict::contraindicated);
    case Word::caution: return verdict_line(root, Verdict::caution);
    case Word::dose: return dose_line(root);
    case Word::follows: return order_line(root, Order::follows);
    case Word::precedes: return order_line(root, Order::precedes);
    case Word::needs: return order_line(root, Order::needs);
    case Word::leads_to: return order_line(root, Order::leads_to);
    case Word::never_with: return order_line(root, Order::never_with);
    case Word::apart_from: return order_line(root, Order::apart);
    case Word::time: return time_line(root);
    case Word::takes: return takes_line(root);
    case Word::uses: return tree::UsesLine{names(root), ending(root)};
    case Word::take: return take_line(root, false);
    case Word::refuse: return take_line(root, true);
    default: return otherwise_line(root);
  }
}

}  // namespace betony::build
