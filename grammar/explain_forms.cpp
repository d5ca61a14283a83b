#include <algorithm>

#include "grammar/explain.h"
#include "grammar/text.h"

// The form that a sentence was meant to have, with what its author wrote already filled in: the name,
// and of a number its unit, its ends and its steps. What is not there is left as a gap.

namespace betony::explaining {
namespace {

constexpr std::string_view gap = "…";

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::size_t past_space(std::string_view text, std::size_t at) {
  return at < text.size() && text[at] == ' ' ? at + 1 : at;
}

// The end of a number at `at`, or `at` itself.
std::size_t number_end(std::string_view text, std::size_t at) {
  std::size_t end = at;
  if (end < text.size() && (text[end] == '-' || text[end] == '+')) ++end;
  const std::size_t digits = end;
  while (end < text.size() && is_digit(text[end])) ++end;
  if (end == digits) return at;
  if (end + 1 < text.size() && text[end] == '.' && is_digit(text[end + 1])) {
    for (++end; end < text.size() && is_digit(text[end]);) ++end;
  }
  return end;
}

// Past a dash between two numbers: `0-120`, `0 – 120`.
std::size_t past_dash(std::string_view text, std::size_t at) {
  const std::size_t mark = past_space(text, at);
  const auto letter = letters::letter_at(text, mark);
  const bool dash = letter.code == '-' || letter.code == 0x2013 || letter.code == 0x2014;
  const std::size_t next = past_space(text, mark + letter.bytes);
  return dash && next < text.size() && is_digit(text[next]) ? next : at;
}

// ---------------------------------------------------------------- where the type stands

struct Told {
  std::size_t name_end = 0;  // of the declared name
  std::size_t type = 0;      // where stands what is told of it
  Word kind = Word::count;   // how it is told; count where that is not clear
  std::size_t list = 0;      // where its values begin
};

constexpr Word type_words[] = {Word::yes_or_no, Word::one_of,         Word::a_grade_of,
                               Word::any_of,    Word::a_whole_number, Word::a_number};

std::optional<Told> told_by_its_words(const Scene& s, std::size_t name) {
  for (std::size_t space = s.text().find(' ', name); space != std::string_view::npos;
       space = s.text().find(' ', space + 1)) {
    for (const Word word : type_words) {
      if (!s.word(space + 1, word)) continue;
      const std::size_t is = s.word_before(space);
      return Told{is > name && s.word(is, Word::is) ? is - 1 : space, space + 1, word,
                  space + 1 + spelled(word).size()};
    }
  }
  return std::nullopt;
}

bool holds(std::string_view text, std::string_view piece) { return text.find(piece) != std::string_view::npos; }

std::size_t numbers_in(std::string_view text) {
  std::size_t count = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = number_end(text, at);
    count += end != at;
    at = std::max(end, at + 1);
  }
  return count;
}

// `number 0 to 5`, `grade none, some`, `yes/no`: the words of a type, nearly.
Word nearly(std::string_view type) {
  if (holds(type, "number") || numbers_in(type) > 1)
    return holds(type, "whole") ? Word::a_whole_number : Word::a_number;
  if (holds(type, "yes") && holds(type, "no")) return Word::yes_or_no;
  return Word::count;
}

// `a grade none, some`, `a list of nut oil, tallow`: a list, nearly.
void nearly_a_list(const Scene& s, Told& told) {
  constexpr std::pair<std::string_view, Word> words[] = {
      {"grade", Word::a_grade_of}, {"scale", Word::a_grade_of}, {"list", Word::one_of}, {"choice", Word::one_of}};
  for (const auto& [word, kind] : words) {
    const std::size_t at = s.text().find(word, told.type);
    if (at == std::string_view::npos || told.kind != Word::count) continue;
    told.kind = kind;
    told.list = letters::word_end(s.text(), at);
    for (const Word between : {Word::of, Word::from}) {
      if (told.list >= s.text().size()) break;
      const std::size_t bytes = word_at(s.text(), told.list + 1, between);
      if (bytes != 0) told.list += 1 + bytes;
    }
    if (told.list < s.text().size() && s.text()[told.list] == ':') ++told.list;
  }
}

std::optional<Told> told_of(const Scene& s) {
  const std::size_t name = word_at(s.text(), 0, s.opening) + 1;
  if (name >= s.text().size()) return std::nullopt;
  if (auto told = told_by_its_words(s, name)) return told;
  for (std::size_t space = s.text().find(' ', name); space != std::string_view::npos;
       space = s.text().find(' ', space + 1)) {
    const std::size_t is = word_at(s.text(), space + 1, Word::is);
    if (is == 0) continue;
    const std::size_t type = std::min(space + 2 + is, s.text().size());
    Told told{space, type, nearly(s.text().substr(type))};
    nearly_a_list(s, told);
    return told;
  }
  return std::nullopt;
}

// ---------------------------------------------------------------- a number

struct Numbers {
  std::vector<std::string> ends;
  std::string unit, step, usual;
  bool ago = false, never = false;
};

std::size_t unit_end(std::string_view text, std::size_t at) {
  while (at < text.size() && text[at] != ' ' && text[at] != ',') ++at;
  return at;
}

std::string unit_words(const Scene& s, std::size_t at, std::size_t end) {
  const std::string written = s.r.passage.neat(at, end);
  if (written == "a") return "years";
  if (written == "in") return "inch";
  if (written.front() != '[') return written;
  const auto everyday = unit_without_brackets(written);
  return everyday && !everyday->empty() ? std::string(*everyday) : written;
}

// One piece of a number's type at `at`; where the next one begins.
std::size_t take_piece(const Scene& s, std::size_t at, Numbers& out) {
  const auto text = s.text();
  const std::size_t number = number_end(text, at);
  if (number != at) {
    out.ends.push_back(s.r.passage.neat(at, number));
    return past_dash(text, number);
  }
  if (const std::size_t steps = word_at(text, at, Word::in_steps_of)) {
    const std::size_t step = std::min(at + steps + 1, text.size()), end = number_end(text, step);
    out.step = end == step ? std::string(gap) : s.r.passage.neat(step, end);
    return end;
  }
  if (const std::size_t never = word_at(text, at, Word::or_never)) return out.never = true, at + never;
  if (const std::size_t ago = word_at(text, at, Word::ago)) return out.ago = true, at + ago;
  if (s.word(at, Word::usually)) return out.usual = ", " + s.r.passage.neat(at, text.size()), text.size();
  const std::size_t of = word_at(text, at, Word::of), begin = of != 0 ? at + of + 1 : at;
  if (begin >= text.size()) return text.size();
  const bool passed_over = text[begin] == ',' || s.word(begin, Word::from) || s.word(begin, Word::to);
  const bool unit = (of != 0 || !out.ends.empty()) && !passed_over;
  const std::size_t end = std::max(unit_end(text, begin), begin + 1);
  if (unit && out.unit.empty()) out.unit = unit_words(s, begin, end);
  return of != 0 && passed_over ? begin : end;
}

std::string number_form(const Scene& s, const Told& told) {
  Numbers n;
  for (std::size_t at = told.type; at < s.text().size();) at = past_space(s.text(), take_piece(s, at, n));
  const auto end = [&](std::size_t i) { return i < n.ends.size() ? n.ends[i] : std::string(gap); };
  std::string out(spelled(told.kind));
  if (!n.unit.empty()) out += " of " + n.unit;
  if (n.ago) out += " ago";
  out += " from " + end(0) + " to " + end(1);
  if (!n.step.empty()) out += " in steps of " + n.step;
  return out + (n.never ? ", or never" : "") + n.usual;
}

// ---------------------------------------------------------------- a list

std::string list_form(const Scene& s, const Told& told) {
  const std::string word(spelled(told.kind));
  std::string items = s.r.passage.neat(past_space(s.text(), told.list), s.text().size());
  while (!items.empty() && (items.back() == ',' || items.back() == ' ')) items.pop_back();
  if (items.empty()) items = "…, …";
  const bool one_prevails = told.kind == Word::a_grade_of && s.opening == Word::choice && !holds(items, "prevails");
  return word + " " + items + (one_prevails ? ", the highest prevails" : "");
}

std::string all_types(const Scene& s) {
  if (s.opening == Word::choice)
    return "one of …, …. Or, in place of that: any of …, …; or a grade of …, …, the highest prevails";
  return "yes or no. Or, in place of that: one of …, …; a grade of …, …; any of …, …; or a number of … from … to …";
}

std::string typed(const Scene& s) {
  const auto told = told_of(s);
  if (!told) return s.r.passage.whole() + " is " + all_types(s);
  const std::string head = s.r.passage.neat(0, told->name_end) + " is ";
  switch (told->kind) {
    case Word::yes_or_no:
      return head + std::string(spelled(Word::yes_or_no)) + ".";
    case Word::a_number:
    case Word::a_whole_number:
      return head + number_form(s, *told) + ".";
    case Word::count:
      return head + all_types(s);
    default:
      return head + list_form(s, *told) + ".";
  }
}

// ---------------------------------------------------------------- other sentences

// The name that a sentence declares, as far as it can be told from what follows it.
std::string declared_name(const Scene& s) {
  const std::size_t begin = word_at(s.text(), 0, s.opening) + 1;
  for (std::size_t space = s.text().find(' ', begin); space != std::string_view::npos;
       space = s.text().find(' ', space + 1)) {
    for (const Word word : {Word::is, Word::counts, Word::means, Word::holds}) {
      if (s.word(space + 1, word)) return s.r.passage.neat(begin, space);
    }
  }
  return {};
}

}  // namespace

std::string form(const Scene& s) {
  if (s.text().size() > readable) return pattern(s.opening);
  if (s.opening == Word::finding || s.opening == Word::choice) return typed(s);
  std::string out = pattern(s.opening);
  const bool declares = s.opening == Word::school || s.opening == Word::group || s.opening == Word::source ||
                        (s.opening >= Word::measure && s.opening <= Word::term);
  if (!declares) return out;
  const std::string name = declared_name(s), opening = capitalized(s.opening) + " ";
  const std::size_t pattern_name_end = out.find(' ', opening.size());
  if (!name.empty() && out.starts_with(opening)) out.replace(opening.size(), pattern_name_end - opening.size(), name);
  return out;
}

std::string with_word(const Scene& s, const std::string& word) {
  if (s.at_end()) return with_gap(s, word);
  const bool space_before = s.at == 0 || s.text()[s.at - 1] == ' ';
  const bool space_after = letters::word_end(s.text(), s.at) != s.at || space_before;
  return corrected(s.r, s.at, s.at, (space_before ? "" : " ") + word + (space_after ? " " : ""));
}

std::optional<std::size_t> type_begin(const Scene& s) {
  const auto told = told_of(s);
  return told && told->kind != Word::count ? std::optional(told->type) : std::nullopt;
}

std::string with_gap(const Scene& s, std::string_view piece) {
  const std::size_t end = s.text().size();
  return corrected(s.r, end, end, " " + std::string(piece));
}

std::size_t marked_end(const Scene& s) {
  std::size_t end = phrase_end(s.text(), s.at);
  while (end < s.text().size() && std::string_view(" ,;:()\"").find(s.text()[end]) == std::string_view::npos) ++end;
  return end;
}

}  // namespace betony::explaining
