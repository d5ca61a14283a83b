#include "grammar/checks.h"

#include <algorithm>
#include <set>

#include "grammar/refusals.h"

namespace betony::build {

// ---------------------------------------------------------------- values of a type

namespace {

// Where ` or ` or ` and ` stands in the last value of a list; npos if nowhere.
std::size_t joint_in(std::string_view value, Word word) {
  for (std::size_t at = value.find(' '); at != std::string_view::npos; at = value.find(' ', at + 1)) {
    const std::size_t bytes = word_at(value, at + 1, word);
    if (bytes != 0 && at + 1 + bytes < value.size()) return at;
  }
  return std::string_view::npos;
}

void refuse_joint(const View& list, const View& last, std::size_t at, std::size_t bytes) {
  const Reading& r = last.reading();
  const std::size_t begin = last.node().begin + at, first = list.children(Part::name).front().node().begin;
  const std::string whole = r.passage.neat(last.node().begin, last.node().end);
  const std::string earlier = first == last.node().begin ? "" : ", " + r.passage.neat(first, last.node().begin - 2);
  refuse_at(last, "one value or two?", in_quotes(whole) + " ends this list; is it one value, or are they two?",
            "For two: " + corrected(r, begin, begin + 1 + bytes, ",") +
                " For one: " + corrected(r, first, last.node().end, whole + (earlier.empty() ? ", …" : earlier)));
}

void refuse_twice(const View& type, const tree::Name& value) {
  const Reading& r = type.reading();
  const auto listed_names = type.children(Part::name);
  const auto again = std::find_if(listed_names.rbegin(), listed_names.rend(),
                                  [&](const View& v) { return v.span().begin == value.span.begin; });
  const bool found = again != listed_names.rend();
  throw Refusal{{"one value, listed twice",
                 {r.passage.place(0, 0).file, value.span},
                 in_quotes(value.text) + " stands twice in this list.",
                 found ? without(r, again->node().begin, again->node().end) : ""}};
}

}  // namespace

std::vector<tree::Name> listed_values(const View& type) {
  std::vector<tree::Name> out = names(type);
  if (out.empty()) return out;
  const View last = type.children(Part::name).back();
  const Reading& r = type.reading();
  std::size_t begin = last.node().begin;
  std::string_view rest = last.text();
  if (type.part() == Part::type_one_of || type.part() == Part::type_grade) {
    out.pop_back();
    for (std::size_t at; (at = joint_in(rest, Word::or_word)) != std::string_view::npos;) {
      const std::size_t bytes = word_at(rest, at + 1, Word::or_word);
      out.push_back(name(r, begin, begin + at));
      if (const std::size_t next = at + 1 + bytes + 1; word_at(rest, next, Word::or_word) + word_at(rest, next, Word::and_word) != 0)
        refuse_joint(type, last, begin - last.node().begin + at, bytes);
      begin += at + 1 + bytes + 1;
      rest.remove_prefix(at + 1 + bytes + 1);
    }
    out.push_back(name(r, begin, last.node().end));
  }
  for (const Word word : {Word::and_word, Word::or_word}) {
    const auto joint = joint_in(rest, word);
    if (joint != std::string_view::npos) refuse_joint(type, last, begin - last.node().begin + joint, word_at(rest, joint + 1, word));
  }
  std::set<std::string> seen;
  for (const auto& value : out) {
    if (!seen.insert(value.key).second) refuse_twice(type, value);
  }
  return out;
}

void check_choice_type(const View& view, const tree::Type& type) {
  using Kind = tree::Type::Kind;
  if (type.kind == Kind::yes_no || type.kind == Kind::number) {
    const std::string list = corrected(view.reading(), view.node().begin, view.node().end, "one of …, …");
    refuse_at(view, "nothing to choose from", "A choice is made among things that are listed.",
              list + " Or, in place of that: any of …, …; or a grade of …, …, the highest prevails");
  }
  if (type.kind == Kind::grade && type.prevails == tree::Type::Prevails::none) {
    refuse_at(view, "which of two grades?", "Where two grades fit, one must prevail.",
              corrected(view.reading(), view.node().end, view.node().end, ", the highest prevails"));
  }
}

void refuse_prevails(const View& type) {
  const Reading& r = type.reading();
  const auto highest = type.child(Part::highest), lowest = type.child(Part::lowest);
  const Node& what = highest ? highest->node() : lowest ? lowest->node() : type.node();
  refuse_at(
      type, "only a choice has what prevails",
      "A finding is told by the person; `prevails` is for a choice, where two sentences may ask for different grades.",
      either_of({without(r, what.begin, what.end),
                 corrected(r, 0, word_at(r.text(), 0, Word::finding), capitalized(Word::choice))}));
}

void check_usual(const View& value, const View& type, const tree::Quantity& usual) {
  using Quantity = tree::Quantity::Kind;
  const Reading& r = value.reading();
  const std::size_t begin = value.node().begin, end = value.node().end;
  const auto refuse_with = [&](std::string message, std::string_view instead) {
    refuse_at(value, "not a value of this finding", std::move(message),
              instead.empty() ? without(r, r.passage.text().rfind(spelled(Word::usually), begin), end)
                              : corrected(r, begin, end, instead));
  };
  switch (type.part()) {
    case Part::type_yes_no:
      if (usual.kind != Quantity::yes && usual.kind != Quantity::no)
        refuse_with("A yes or no is usually yes, or usually no.", "no");
      break;
    case Part::type_any_of:
      refuse_with("Each item is a yes or no of its own, and usually no.", "");
      break;
    case Part::type_number:
      if (usual.kind == Quantity::never && !type.has(Part::or_never)) {
        const std::size_t usually = r.passage.text().rfind(spelled(Word::usually), begin);
        const std::size_t comma = usually - 1 - (r.text()[usually - 2] == ',');
        refuse_at(value, "not a value of this finding", "This finding cannot be never.",
                  either_of({corrected(r, comma, comma, ", " + std::string(spelled(Word::or_never))),
                             corrected(r, begin, end, "…")}));
      }
      if (usual.kind != Quantity::number && usual.kind != Quantity::never)
        refuse_with("This finding is told as a number.", "…");
      break;
    default:
      if (usual.kind == Quantity::word) break;
      refuse_with("The values of this finding are words.",
                  r.subject && !r.subject->values.empty() ? r.subject->values[0] : "…");
  }
}

// ---------------------------------------------------------------- samples

void check_profile_item(const View& view, const tree::ProfileItem& item) {
  using Quantity = tree::Quantity::Kind;
  const Reading& r = view.reading();
  const Entry* entry = r.names.find(condition_names, item.finding.key);
  if (!entry || entry->shape == Shape::unknown) return;
  const std::string name = in_quotes(entry->text);
  if (entry->kind != finding_name && entry->kind != item_name) {
    refuse_at(view, "worked out, not told", name + " is worked out from the findings; a profile tells findings only.",
              without(r, view.node().begin, view.node().end));
  }
  if (entry->shape == Shape::any_of) {
    refuse_at(view, "each by itself", "The items of " + name + " are told one by one.", listed(entry->values, "and"));
  }
  if (entry->shape == Shape::yes_no) {
    const bool told = !item.value || item.value->kind == Quantity::yes || item.value->kind == Quantity::no;
    if (!told || (item.negated && item.value)) {
      refuse_at(view, "yes or no", name + " is yes or no: it is named alone, or after `not`.",
                corrected(r, view.node().begin, view.node().end, (item.negated ? "not " : "") + item.finding.text));
    }
    return;
  }
  if (!item.value) {
    refuse_at(view, "a value is missing",
              name + " is named without its value" +
                  (entry->values.empty() ? "." : ", which is " + listed(entry->values, "or") + "."),
              corrected(r, view.node().end, view.node().end, " …"));
  }
  if (item.negated)
    refuse_at(view, "a value, not its opposite", "A profile tells what is so.",
              corrected(r, view.node().begin, view.node().end, item.finding.text + " …"));
  tree::Quantity::Kind wanted = Quantity::word;
  if (entry->shape == Shape::number) wanted = Quantity::number;
  if (entry->shape == Shape::date) wanted = Quantity::date;
  if (entry->shape == Shape::time_of_day) wanted = Quantity::clock;
  const bool never = item.value->kind == Quantity::never && wanted == Quantity::number;
  if (item.value->kind == wanted || never) return;
  refuse_at(view, "not a value of this finding",
            entry->values.empty() ? name + (wanted == Quantity::number ? " is told as a number."
                                            : wanted == Quantity::date ? " is told as a day, such as 1 November."
                                                                       : " is told as a time, such as 06:30.")
                                  : name + " is told in words: " + listed(entry->values, "or") + ".",
            corrected(r, view.node().begin, view.node().end,
                      item.finding.text + " " + (entry->values.empty() ? "…" : entry->values[0])));
}

void check_rest_is_last(const View& root) {
  std::optional<View> rest;
  for (const View v : root) {
    if (rest && (v.part() == Part::item || v.part() == Part::rest)) {
      const std::string moved = without(v.reading(), rest->node().begin, rest->node().end);
      const std::string words = ", " + std::string(spelled(Word::the_rest_as_usual)) + ".";
      refuse_at(v, "after the rest", "`the rest as usual` stands last.",
                v.part() == Part::rest ? without(v.reading(), v.node().begin, v.node().end)
                                       : moved.substr(0, moved.size() - 1) + words);
    }
    if (v.part() == Part::rest) rest = v;
  }
}

namespace {

void check_care(const View& parent, bool with_care, std::optional<tree::Verdict> verdict) {
  if (!with_care || (verdict && may_be_done(*verdict))) return;
  const View care = *parent.child(Part::with_care);
  refuse_at(care, "`with care`", "Only what is advised or allowed can be with care.",
            without(parent.reading(), care.node().begin, care.node().end));
}

}  // namespace

void check_expectation(const View& root, const tree::ExpectLine& line) {
  check_care(root, line.with_care, line.verdict);
}

// ---------------------------------------------------------------- practices

void check_in_item(const View& view, const tree::InItem& item) { check_care(view, item.with_care, item.verdict); }

namespace {

void refuse_despite(const View& root, const tree::Ending& ending) {
  if (ending.despite.empty()) return;
  const Node& despite = root.child(Part::end_despite)->node();
  refuse_at(*root.child(Part::end_despite), "`despite` has no place here",
            "Only what is indicated or allowed can stand despite a ban.",
            without(root.reading(), despite.begin, despite.end));
}

}  // namespace

void check_verdict_line(const View& root, const tree::VerdictLine& line) {
  using Kind = tree::VerdictLine::Kind;
  if (line.kind != Kind::indicated && line.kind != Kind::allowed) refuse_despite(root, line.ending);
  if (line.kind == Kind::caution && !line.ending.text) {
    refuse_at(root, "a caution says something", "This caution has no words.",
              corrected(root.reading(), root.node().end, root.node().end, ": \"…\""));
  }
}

void check_refer_line(const View& root, const tree::ReferLine& line) {
  refuse_despite(root, line.ending);
  if (!line.ending.when) {
    const std::size_t refer = word_at(root.reading().text(), 0, Word::refer);
    refuse_at(root, "a red flag without a condition", "This sentence does not say in what it refers.",
              corrected(root.reading(), refer, refer, " in …"));
  }
  if (!line.ending.text) {
    refuse_at(root, "a red flag without words", "This sentence does not say what the person is told.",
              corrected(root.reading(), root.node().end, root.node().end, ": \"…\""));
  }
}

void check_dose_part(const View& part, const tree::DoseLine& so_far) {
  bool twice = false;
  switch (part.part()) {
    case Part::rate:
      twice = so_far.often.has_value();
      break;
    case Part::length:
      twice = so_far.long_low.has_value();
      break;
    case Part::text:
      twice = so_far.words.has_value();
      break;
    case Part::factor:
    case Part::dose_at_most:
    case Part::dose_at_least:
    case Part::range:
      twice = so_far.low || so_far.high || so_far.factor != tree::DoseLine::Factor::none;
      break;
    default:
      break;
  }
  if (twice)
    refuse_at(part, "said twice", "This dose says the same thing in two ways.",
              without(part.reading(), part.node().begin, part.node().end));
}

namespace {

// The word that opens the sentence of a verdict: Contraindicated of withheld.
std::optional<Word> sentence_of_verdict(tree::Verdict verdict) {
  switch (verdict) {
    case tree::Verdict::advised:
      return Word::indicated;
    case tree::Verdict::allowed:
      return Word::allowed_in;
    case tree::Verdict::discouraged:
      return Word::discouraged_in;
    case tree::Verdict::withheld:
      return Word::contraindicated;
    default:
      return std::nullopt;
  }
}

}  // namespace

void check_otherwise(const View& root, const tree::OtherwiseLine& line) {
  const Reading& r = root.reading();
  const auto refuse_ending = [&](Part part, Word word) {
    const auto v = root.child(part);
    if (!v) return;
    std::vector<std::string> remedies{without(r, v->node().begin, v->node().end)};
    const std::optional<Word> as_sentence = line.verdict ? sentence_of_verdict(*line.verdict) : std::nullopt;
    if (as_sentence && part != Part::end_despite)
      remedies.push_back(corrected(r, 0, root.child(Part::verdict)->node().end, capitalized(*as_sentence)));
    refuse_at(*v, "`" + std::string(spelled(word)) + "` has no place here",
              "Otherwise speaks for everybody of whom nothing else is said.", either_of(remedies));
  };
  refuse_ending(Part::end_in, Word::in);
  refuse_ending(Part::end_unless, Word::unless);
  refuse_ending(Part::end_called, Word::called);
  refuse_ending(Part::end_despite, Word::despite);
  check_care(root, line.with_care, line.verdict);
}

}  // namespace betony::build
