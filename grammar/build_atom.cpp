#include "grammar/build.h"
#include "grammar/refusals.h"

// What may be asked of which name: a grade how much, a number how many, a yes or no nothing more.

namespace betony::build {
namespace {

using tree::Atom;
using Quantity = tree::Quantity::Kind;

struct Asked {
  const View& view;
  const Atom& atom;
  const Entry& entry;

  [[noreturn]] void refuse_with(std::string matter, std::string message, const std::string& replacement) const {
    const Node& node = view.node();
    refuse(view.reading(), node.begin, node.end, std::move(matter), std::move(message),
           corrected(view.reading(), node.begin, node.end, replacement));
  }
  [[noreturn]] void refuse_plainly(std::string matter, std::string message, std::string remedy) const {
    refuse_at(view, std::move(matter), std::move(message), std::move(remedy));
  }
};

std::string example(const Entry& entry) {
  if (entry.values.empty()) return "…";
  return entry.values.size() > 1 ? entry.values[1] : entry.values[0];
}

[[noreturn]] void refuse_bare(const Asked& a) {
  const std::string name = in_quotes(a.entry.text), remedy = asked_simply(a.entry, a.atom.name.text);
  switch (a.entry.shape) {
    case Shape::grade:
      a.refuse_with("how much?", name + " is a grade; how much of it is meant?", remedy);
    case Shape::one_of:
      a.refuse_with("which value?", name + " may be " + listed(a.entry.values, "or") + "; which is meant?", remedy);
    case Shape::any_of:
      if (a.entry.kind == choice_name) {
        a.refuse_with("which value?", name + " is chosen from " + listed(a.entry.values, "and") + "; which is meant?",
                      remedy);
      }
      a.refuse_with("which of them?", name + " is several things that may hold, each by itself; which is meant?",
                    remedy);
    case Shape::verdict:
      a.refuse_with("what of it?", name + " is a practice; what is said of it?", remedy);
    case Shape::date:
      a.refuse_with("which days?", "The date alone says neither yes nor no.", remedy);
    case Shape::time_of_day:
      a.refuse_with("which hours?", "The time of day alone says neither yes nor no.", remedy);
    default:
      a.refuse_with("how much?", name + " is a number; alone it says neither yes nor no.", remedy);
  }
}

[[noreturn]] void refuse_yes_no(const Asked& a) {
  const auto kind = a.atom.values.empty() ? Quantity::word : a.atom.values[0].kind;
  if (a.atom.kind == Atom::Kind::is && (kind == Quantity::yes || kind == Quantity::no)) {
    const bool holds = (kind == Quantity::yes) != a.atom.negated;
    a.refuse_with("yes or no", in_quotes(a.entry.text) + " is yes or no: it is named alone, or after `not`.",
                  (holds ? "" : "not ") + a.atom.name.text);
  }
  a.refuse_with("yes or no", in_quotes(a.entry.text) + " is yes or no: there is no more or less of it, and no value.",
                a.atom.name.text);
}

[[noreturn]] void refuse_order(const Asked& a) {
  a.refuse_with("no more and no less",
                "The values of " + in_quotes(a.entry.text) + " have no order: " + listed(a.entry.values, "or") + ".",
                a.atom.name.text + " is " + example(a.entry));
}

// The first value that is not told as this name's values are.
const tree::Quantity* unlike(const Atom& atom, Quantity kind) {
  for (const auto& value : atom.values) {
    const bool never = value.kind == Quantity::never && atom.kind == Atom::Kind::is && kind != Quantity::word;
    if (value.kind != kind && !never) return &value;
  }
  return nullptr;
}

void check_told_as(const Asked& a, Quantity kind, const std::string& how) {
  if (!unlike(a.atom, kind)) return;
  a.refuse_with("unlike things are compared", in_quotes(a.entry.text) + " is told " + how + ".",
                asked_simply(a.entry, a.atom.name.text));
}

void check_words(const Asked& a) {
  if (!unlike(a.atom, Quantity::word)) return;
  a.refuse_with("unlike things are compared",
                in_quotes(a.entry.text) + " is told in words: " + listed(a.entry.values, "or") + ".",
                a.atom.name.text + " is " + example(a.entry));
}

void check_verdict(const Asked& a) {
  if (a.atom.kind == Atom::Kind::with_care) return;
  if (a.atom.kind != Atom::Kind::is || unlike(a.atom, Quantity::word)) {
    a.refuse_with("what of it?", in_quotes(a.entry.text) + " is a practice; only a verdict can be said of it.",
                  a.atom.name.text + " is advised");
  }
  for (const auto& value : a.atom.values) {
    if (value.kind != Quantity::word || value.word->key != spelled(Word::unanswered)) continue;
    a.refuse_plainly("always answered",
                     "A claim looks at persons of whom everything is known; there no verdict is unanswered.",
                     "Expect " + a.atom.name.text + " unanswered.");
  }
}

void check_any_of(const Asked& a) {
  if (a.entry.kind == choice_name) {
    if (a.atom.kind != Atom::Kind::is) refuse_order(a);
    return check_words(a);
  }
  std::vector<std::string> items;
  for (const auto& value : a.atom.values) {
    if (value.kind == Quantity::word) items.push_back(value.word->text);
  }
  const std::string instead = items.empty()       ? "any of " + listed(a.entry.values, "or")
                              : items.size() == 1 ? items[0]
                                                  : "(" + listed(items, "or") + ")";
  a.refuse_with("each by itself", "The items of " + in_quotes(a.entry.text) + " are named alone, as a yes or no each.",
                (a.atom.negated ? "not " : "") + instead);
}

}  // namespace

void check_atom(const View& view, const Atom& atom) {
  const Reading& r = view.reading();
  const Entry* entry = r.names.find(condition_names | practice_name, atom.name.key);
  if (!entry || entry->shape == Shape::unknown) return;
  const Asked a{view, atom, *entry};
  const Shape shape = entry->shape;
  if (atom.kind == Atom::Kind::with_care && shape != Shape::verdict) {
    a.refuse_plainly("`with care`", "Only a practice can be with care, and only in a claim.",
                     "Claim \"…\": never … is with care.");
  }
  if (atom.kind == Atom::Kind::holds) {
    if (shape != Shape::yes_no) refuse_bare(a);
    return;
  }
  switch (shape) {
    case Shape::yes_no: refuse_yes_no(a);
    case Shape::number:
      return check_told_as(a, Quantity::number, "as a number");
    case Shape::date:
      return check_told_as(a, Quantity::date, "as a day of the year");
    case Shape::time_of_day:
      return check_told_as(a, Quantity::clock, "as a time of day");
    case Shape::verdict: return check_verdict(a);
    case Shape::any_of: return check_any_of(a);
    case Shape::one_of:
      if (atom.kind != Atom::Kind::is) refuse_order(a);
      return check_words(a);
    default: return check_words(a);
  }
}

}  // namespace betony::build
