#include "grammar/refusals.h"

#include <algorithm>

#include "grammar/readings.h"
#include "grammar/text.h"

namespace betony {

void refuse(const Reading& r, std::size_t begin, std::size_t end, std::string matter, std::string message,
            std::string remedy) {
  throw Refusal{{std::move(matter), r.passage.place(begin, end), std::move(message), std::move(remedy)}};
}

std::string listed(const std::vector<std::string>& words, std::string_view last_joint) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0 && words.size() > 2) out += ',';
    if (i > 0) out += i + 1 == words.size() ? " " + std::string(last_joint) + " " : std::string(" ");
    out += words[i];
  }
  return out;
}

std::string corrected(const Reading& r, std::size_t begin, std::size_t end, std::string_view replacement) {
  if (r.text().size() > readable) {
    while (replacement.starts_with(' ')) replacement.remove_prefix(1);
    while (replacement.ends_with(' ')) replacement.remove_suffix(1);
    return std::string(replacement);
  }
  return r.passage.with(begin, end, replacement) + ".";
}

std::string without(const Reading& r, std::size_t begin, std::size_t end) {
  const auto text = r.text();
  if (begin > 1 && text[begin - 2] == ':' && end == text.size()) return corrected(r, begin, end, "…");  // all there is
  if (begin > 0 && text[begin - 1] == ' ') --begin;
  if (begin > 0 && text[begin - 1] == ',') {
    --begin;
    if (begin > 0 && text[begin - 1] == ' ') --begin;
  } else if (text.substr(end, 2) == ", ") {
    ++end;
  }
  // "walk [A 1]slow" without its source is two words still.
  const bool parts_words = begin > 0 && text[begin - 1] != ' ' && letters::word_end(text, end) != end;
  const std::string between = parts_words ? " " : "";
  const std::string whole = corrected(r, begin, end, between);
  if (!whole.empty()) return whole;
  const std::size_t word = begin == 0 ? 0 : text.rfind(' ', begin - 1) + 1;  // npos + 1 is 0
  const std::size_t next = std::min(text.find(' ', std::min(end + 1, text.size())), text.size());
  return "… " + r.passage.neat(word, begin) + between + r.passage.neat(end, next) + (next < text.size() ? " …" : ".");
}

std::string below(const Reading& r, std::string above) {
  const std::string sentence = corrected(r, 0, 0, "");
  return sentence.empty() ? above : above + " " + sentence;
}

std::string either_of(const std::vector<std::string>& remedies) {
  std::string out;
  for (const auto& remedy : remedies) out += (out.empty() ? "" : " Or: ") + remedy;
  return out;
}

std::string asked_simply(const Entry& entry, const std::string& name) {
  const std::string some = entry.values.empty() ? "…" : entry.values.size() > 1 ? entry.values[1] : entry.values[0];
  switch (entry.shape) {
    case Shape::grade:
      return name + " at least " + some;
    case Shape::one_of:
      return name + " is " + some;
    case Shape::any_of:
      return entry.kind == choice_name ? name + " is " + some : "any of " + listed(entry.values, "or");
    case Shape::verdict:
      return name + " is advised";
    case Shape::date:
      return name + " from 1 November to 30 April";
    case Shape::time_of_day:
      return name + " from 06:00 to 09:30";
    case Shape::number:
      return name + " at least …";
    default:
      return name;
  }
}

// ---------------------------------------------------------------- tokens

void refuse_depth(const Reading& r, std::size_t at) {
  const bool space = at < r.text().size() && r.text()[at] == ' ';
  refuse(r, at + space, at + space + 1, "brackets too deep",
         "Brackets stand more than " + std::to_string(r.limits.nesting) +
             " deep in one another here; a term can hold the inner ones.",
         "Term … means ….");
}

void refuse_value_or_name(const Reading& r, std::size_t begin, std::size_t end) {
  const std::string word = r.passage.neat(begin, end), subject = r.subject->text;
  refuse(r, begin, end, "a word with two meanings",
         in_quotes(word) + " is a value of " + in_quotes(subject) + ", and a name of its own too; which is meant here?",
         "For the value: " + corrected(r, begin, end, subject + " is " + word) +
             " For the other: " + corrected(r, begin, end, "(" + word + ")"));
}

void refuse_comma_in_number(const Reading& r, std::size_t begin, std::size_t end) {
  const std::string written = r.passage.neat(begin, end);
  const auto comma = written.find(',');
  std::string point = written, joined = written;
  point[comma] = '.';
  joined.erase(comma, 1);
  const bool thousands = written.size() - comma == 4;
  refuse(r, begin, end, "a comma in a number",
         "Numbers are written without commas: a decimal has a point, and thousands stand together.",
         thousands ? joined + "; or, for a decimal, " + point
                   : point + "; or, for two numbers, " + written.substr(0, comma) + ", " + written.substr(comma + 1));
}

void refuse_long_number(const Reading& r, std::size_t begin, std::size_t end) {
  refuse(r, begin, end, "a number too long",
         "This number has more than " + std::to_string(r.limits.number_digits) + " digits, the most that it may have.",
         corrected(r, begin, end, "…"));
}

// ---------------------------------------------------------------- lists

namespace build {
namespace {

struct Pieces {
  std::vector<std::string> items;
  std::vector<int> joints;  // between them: 0 comma, 1 and, 2 or
};

Pieces pieces_of(const View& list) {
  Pieces out;
  for (const View v : list) {
    if (v.part() == Part::joint) {
      out.joints.push_back(v.has(Part::or_mark) ? 2 : v.has(Part::and_mark) ? 1 : 0);
    } else if (v.part() != Part::number) {
      out.items.push_back(v.reading().passage.neat(v.node().begin, v.node().end));
    }
  }
  for (std::size_t i = out.joints.size(); i-- > 0;) {  // a comma is as the next joint, or the one before
    if (out.joints[i] == 0 && i + 1 < out.joints.size()) out.joints[i] = out.joints[i + 1];
  }
  for (std::size_t i = 1; i < out.joints.size(); ++i) {
    if (out.joints[i] == 0) out.joints[i] = out.joints[i - 1];
  }
  return out;
}

// The items with brackets around each run that `inner` joins: "(a and b) or c".
std::string bracketed(const Pieces& pieces, int inner) {
  const std::string inner_word = inner == 1 ? " and " : " or ", outer_word = inner == 1 ? " or " : " and ";
  std::string out;
  for (std::size_t i = 0; i < pieces.items.size(); ++i) {
    const bool joined_before = i > 0 && pieces.joints[i - 1] == inner;
    const bool joined_after = i < pieces.joints.size() && pieces.joints[i] == inner;
    if (i > 0) out += joined_before ? inner_word : outer_word;
    if (!joined_before && joined_after) out += '(';
    out += pieces.items[i];
    if (joined_before && !joined_after) out += ')';
  }
  return out;
}

}  // namespace

// A list that is too long to be told back: only its beginning is marked.
[[noreturn]] void refuse_long_list(const View& list) {
  refuse(list.reading(), list.node().begin, list.node().begin + 60, "how does this list go together?",
         "One list has one joining word: all `and`, or all `or`; this one has both, or none before its last. Brackets "
         "show what belongs together, and a term can hold a part.",
         "(… and …) or …; or Term … means ….");
}

bool is_long(const View& list) { return list.node().end - list.node().begin > 400; }

void refuse_mixed(const View& list) {
  if (is_long(list)) refuse_long_list(list);
  const Pieces pieces = pieces_of(list);
  const bool both = std::count(pieces.joints.begin(), pieces.joints.end(), 1) != 0 &&
                    std::count(pieces.joints.begin(), pieces.joints.end(), 2) != 0;
  if (!both) {
    const bool any = std::count(pieces.joints.begin(), pieces.joints.end(), 2) != 0;
    refuse_at(list, "a list without its last word",
              "A comma follows after `and` or `or` here, so the list does not end where it seems to.",
              listed(pieces.items, any ? "or" : "and"));
  }
  refuse_at(list, "`and` and `or` are mixed", "`and` and `or` stand side by side here; which belong together?",
            bracketed(pieces, 1) + "; or " + bracketed(pieces, 2));
}

void refuse_undecided(const View& list) {
  if (is_long(list)) refuse_long_list(list);
  const Pieces pieces = pieces_of(list);
  refuse_at(list, "a list without its last word", "These are listed with commas only; must all of them hold, or one?",
            listed(pieces.items, "and") + "; or " + listed(pieces.items, "or"));
}

void refuse_count(const View& list, const View& count, std::size_t items) {
  const Reading& r = list.reading();
  const Node& number = count.node();
  const std::string told = "`at least " + std::string(count.text()) + " of` ";
  const bool none = count.text().find_first_not_of('0') == std::string_view::npos;
  refuse_at(count, "a count that cannot be reached",
            told + (none ? "holds for everyone." : "is followed by a list of " + std::to_string(items) + "."),
            items == 1 ? corrected(r, list.node().begin, number.end + 1 + spelled(Word::of).size() + 1, "")
                       : corrected(r, number.begin, number.end, none ? "1" : std::to_string(items)));
}

void refuse_long_formula(const View& formula) {
  const Node& node = formula.node();
  refuse(formula.reading(), node.begin, std::min<std::size_t>(node.end, node.begin + 60), "a formula too long",
         "This formula has more than " + std::to_string(formula.reading().limits.nesting) +
             " steps in a row; a measure of its own can hold a part of it.",
         "Measure … is ….");
}

void check_number_name(const View& leaf) {
  const View name = leaf.only().part() == Part::name ? leaf.only() : leaf;
  const Reading& r = leaf.reading();
  const Entry* entry = r.names.find(number_names, name.text());
  if (!entry || entry->shape == Shape::number || entry->shape == Shape::unknown) return;
  refuse_at(name, "no number to reckon with",
            in_quotes(entry->text) + " is not told as a number, so nothing can be reckoned from it.",
            "Tally … counts " + asked_simply(*entry, entry->text) + " as 1.");
}

void check_locus(const View& locus) {
  const Reading& r = locus.reading();
  const auto text = r.text();
  for (std::size_t at = locus.node().begin; at + 1 < locus.node().end; ++at) {
    if (text[at] == '[') {
      refuse(r, at, at + 1, "a bracket in a bracket",
             "A bracket opens inside the brackets of a citation; sources are parted by semicolons.",
             corrected(r, at - (text[at - 1] == ' '), at + 1, "; "));
    }
    if (text[at] != ',') continue;
    const std::size_t word = at + 1 + (text[at + 1] == ' ');
    const auto source = r.names.longest(source_name, text, word);
    if (!source.entry || source.end > locus.node().end) continue;
    refuse(r, at, at + 1, "two sources and a comma", "A comma stands between two sources; a semicolon parts them.",
           corrected(r, at, at + 1, ";"));
  }
}

}  // namespace build
}  // namespace betony
