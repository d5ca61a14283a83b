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

void refuse_joint(const View& last, std::size_t at, std::size_t bytes) {
  const Reading& r = last.reading();
  const std::size_t begin = last.node().begin + at;
  refuse_at(last, "one value or two?",
            in_quotes(r.passage.neat(last.node().begin, last.node().end)) +
                " ends this list; is it one value, or are they two?",
            "For two: " + r.passage.neat(last.node().begin, begin) + ", " +
                r.passage.neat(begin + 1 + bytes, last.node().end).substr(1) +
                ". For one: let it stand earlier in the list.");
}

void refuse_twice(const View& type, const tree::Name& value) {
  const Reading& r = type.reading();
  const Message message{"one value, listed twice",
                        {r.passage.place(0, 0).file, value.span},
                        in_quotes(value.text) + " stands twice in this list.",
                        "List it once."};
  throw Refusal{message};
}

}  // namespace

std::vector<tree::Name> listed_values(const View& type) {
  std::vector<tree::Name> out = names(type);
  if (out.empty()) return out;
  const View last = type.children(Part::name).back();
  const bool words = type.part() == Part::type_one_of || type.part() == Part::type_grade;
  if (const auto at = joint_in(last.text(), Word::or_word); at != std::string_view::npos && words) {
    const std::size_t begin = last.node().begin,
                      second = begin + at + 1 + word_at(last.text(), at + 1, Word::or_word) + 1;
    out.back() = name(type.reading(), begin, begin + at);
    out.push_back(name(type.reading(), second, last.node().end));
  } else {
    for (const Word word : {Word::and_word, Word::or_word}) {
      const auto joint = joint_in(last.text(), word);
      if (joint != std::string_view::npos) refuse_joint(last, joint, word_at(last.text(), joint + 1, word));
    }
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
    refuse_at(view, "nothing to choose from", "A choice is made among things that are listed.",
              "one of …, …; any of …, …; or a grade of …, …, the highest prevails");
  }
  if (type.kind == Kind::grade && type.prevails == tree::Type::Prevails::none) {
    refuse_at(view, "which of two grades?", "Where two grades fit, one must prevail.",
              view.reading().passage.neat(view.node().begin, view.node().end) + ", the highest prevails");
  }
}

void refuse_prevails(const View& type) {
  refuse_at(
      type, "only a choice has what prevails",
      "A finding is told by the person; `prevails` is for a choice, where two sentences may ask for different grades.",
      "Take it out, or write Choice in place of Finding.");
}

void check_usual(const View& value, const View& type, const tree::Quantity& usual) {
  using Quantity = tree::Quantity::Kind;
  const Reading& r = value.reading();
  const auto refuse_with = [&](std::string message, std::string remedy) {
    refuse_at(value, "not a value of this finding", std::move(message), std::move(remedy));
  };
  switch (type.part()) {
    case Part::type_yes_no:
      if (usual.kind != Quantity::yes && usual.kind != Quantity::no)
        refuse_with("A yes or no is usually yes, or usually no.", "usually no");
      break;
    case Part::type_any_of:
      refuse_with("Each item is a yes or no of its own, and usually no.", "Take `usually` out.");
      break;
    case Part::type_number:
      if (usual.kind == Quantity::never && !type.has(Part::or_never)) {
        refuse_with("This finding cannot be never.", "Write `or never` before `usually`, or a number after it.");
      }
      if (usual.kind != Quantity::number && usual.kind != Quantity::never)
        refuse_with("This finding is told as a number.", "usually, and a number");
      break;
    default:
      if (usual.kind == Quantity::word) break;
      refuse_with("The values of this finding are words.",
                  "usually " + (r.subject && !r.subject->values.empty() ? r.subject->values[0] : std::string("…")));
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
              "Take it out.");
  }
  if (entry->shape == Shape::any_of) {
    refuse_at(view, "each by itself", "The items of " + name + " are told one by one.", listed(entry->values, "and"));
  }
  if (entry->shape == Shape::yes_no) {
    const bool told = !item.value || item.value->kind == Quantity::yes || item.value->kind == Quantity::no;
    if (!told || (item.negated && item.value)) {
      refuse_at(view, "yes or no", name + " is yes or no: it is named alone, or after `not`.",
                (item.negated ? "not " : "") + item.finding.text);
    }
    return;
  }
  if (!item.value) {
    refuse_at(view, "a value is missing", name + " is named without its value.",
              entry->values.empty() ? item.finding.text + ", and a number"
                                    : item.finding.text + " " + listed(entry->values, "or"));
  }
  if (item.negated)
    refuse_at(view, "a value, not its opposite", "A profile tells what is so.", "Take `not` out, and name the value.");
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
            "");
}

void check_rest_is_last(const View& root) {
  bool rest = false;
  for (const View v : root) {
    if (rest && (v.part() == Part::item || v.part() == Part::rest)) {
      refuse_at(v, "after the rest", "`the rest as usual` stands last.", "Move it to the end of the profile.");
    }
    rest |= v.part() == Part::rest;
  }
}

void check_expectation(const View& root, const tree::ExpectLine& line) {
  if (!line.with_care || line.verdict == tree::Verdict::advised || line.verdict == tree::Verdict::allowed) return;
  refuse_at(*root.child(Part::with_care), "`with care`", "Only what is advised or allowed can be with care.",
            "Take `with care` out.");
}

// ---------------------------------------------------------------- practices

void check_in_item(const View& view, const tree::InItem& item) {
  if (!item.with_care || item.verdict == tree::Verdict::advised || item.verdict == tree::Verdict::allowed) return;
  refuse_at(*view.child(Part::with_care), "`with care`", "Only what is advised or allowed can be with care.",
            "Take `with care` out.");
}

namespace {

void refuse_despite(const View& root, const tree::Ending& ending) {
  if (ending.despite.empty()) return;
  refuse_at(*root.child(Part::end_despite), "`despite` has no place here",
            "Only what is indicated or allowed can stand despite a ban.",
            "Take it out, or write it into an Indicated or Allowed sentence.");
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
    refuse_at(root, "a red flag without a condition", "This sentence does not say in what it refers.",
              "Refer in …: \"…\".");
  }
  if (!line.ending.text) {
    refuse_at(root, "a red flag without words", "This sentence does not say what the person is told.",
              corrected(root.reading(), root.node().end, root.node().end, ": \"…\""));
  }
}

void check_dose_part(const View& part, const tree::DoseLine& so_far) {
  bool twice = false;
  switch (part.part()) {
    case Part::rate: twice = so_far.often.has_value(); break;
    case Part::length: twice = so_far.long_low.has_value(); break;
    case Part::text: twice = so_far.words.has_value(); break;
    case Part::factor:
    case Part::dose_at_most:
    case Part::dose_at_least:
    case Part::range: twice = so_far.low || so_far.high || so_far.factor != tree::DoseLine::Factor::none; break;
    default: break;
  }
  if (twice)
    refuse_at(part, "said twice", "This dose says the same thing in two ways.",
              "Take one of them out, or write two sentences.");
}

void check_otherwise(const View& root, const tree::OtherwiseLine& line) {
  const auto refuse_ending = [&](Part part, Word word) {
    if (const auto v = root.child(part)) {
      refuse_at(
          *v, "`" + std::string(spelled(word)) + "` has no place here",
          "Otherwise speaks for everybody of whom nothing else is said.",
          "Take it out, or write a sentence that begins with Indicated, Allowed, Discouraged or Contraindicated.");
    }
  };
  refuse_ending(Part::end_in, Word::in);
  refuse_ending(Part::end_unless, Word::unless);
  refuse_ending(Part::end_called, Word::called);
  refuse_ending(Part::end_despite, Word::despite);
  const bool can_have_care = line.verdict == tree::Verdict::advised || line.verdict == tree::Verdict::allowed;
  if (line.with_care && !can_have_care) {
    refuse_at(*root.child(Part::with_care), "`with care`", "Only what is advised or allowed can be with care.",
              "Take `with care` out.");
  }
}

}  // namespace betony::build
