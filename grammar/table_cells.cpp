// What a cell of a table says, as a piece of a sentence.
#include <algorithm>

#include "grammar/refusals.h"
#include "grammar/sentences.h"
#include "grammar/table_columns.h"
#include "grammar/text.h"
#include "grammar/words.h"

namespace betony::tables {

void Reading::tell(Span where, std::string matter, std::string message, std::string remedy) {
  spoke = true;
  if (told.full()) return told.count_one();
  told.add_given({std::move(matter), {file, where}, std::move(message), std::move(remedy)});
}

// ---------------------------------------------------------------- words

std::string_view trimmed(std::string_view words) {
  constexpr std::string_view white = " \t\r\n";
  const std::size_t begin = words.find_first_not_of(white);
  if (begin == std::string_view::npos) return words.substr(words.size());  // nothing, but at its place
  return words.substr(begin, words.find_last_not_of(white) + 1 - begin);
}

std::string_view opening(std::string_view words) {
  constexpr std::size_t enough = 24;
  std::size_t end = std::min(words.size(), enough);
  while (end < words.size() && end > 0 && (static_cast<unsigned char>(words[end]) & 0xC0) == 0x80) --end;
  return words.substr(0, end);
}

bool is_blank(std::string_view words) {
  return words.empty() || words == "-" || words == "\u2013" || words == "\u2014";
}

bool stands_in_a_sentence(std::string_view text) {
  const auto is_harmless = [](char c) {
    return (static_cast<unsigned char>(c) & 0x80) == 0 && c != '.' && c != '"' && c != '[' && c != ']' && c != '-' && c != '\0';
  };
  if (std::all_of(text.begin(), text.end(), is_harmless)) return true;
  const std::string probe = std::string(text) + " in x";
  const SplitText parts = split_sentences(probe, 0, 2);
  return parts.messages.empty() && parts.comments.empty() && parts.sentences.size() == 1 && !parts.sentences[0].stopped &&
         parts.sentences[0].body.end == probe.size();
}

void Fragment::add(std::string_view lead, std::size_t name, std::string_view words, Span in_cell) {
  const auto begin = static_cast<std::uint32_t>(text.size());
  text += lead;
  text += words;
  pieces.push_back({{begin, static_cast<std::uint32_t>(text.size())}, in_cell, static_cast<std::uint32_t>(lead.size()), static_cast<std::uint32_t>(name)});
}

void Fragment::tell_whole_cell() {
  for (DecisionTable::Piece& piece : pieces) piece.skip = piece.sentence.end - piece.sentence.begin;
}

namespace {

// The bytes of the word at the beginning, where one of these stands there; 0 if none does.
std::size_t begins_with(std::string_view words, std::initializer_list<Word> wanted) {
  const std::string folded = letters::fold(opening(words));
  std::size_t most = 0;
  for (const Word word : wanted) most = std::max(most, word_at(folded, 0, word));
  return most;
}

bool is_word(std::string_view words, Word word) { return words.size() < 16 && letters::fold(words) == spelled(word); }

bool has_letter_first(std::string_view words) {
  return !words.empty() && letters::is_letter(letters::letter_at(words, 0).code);
}

struct Sign {
  std::string_view sign;
  Word word;
};
constexpr Sign signs[] = {{"<=", Word::at_most}, {">=", Word::at_least}, {"\u2264", Word::at_most}, {"\u2265", Word::at_least},
                          {"<", Word::under},    {">", Word::over},      {"=", Word::is}};

const Sign* sign_of(std::string_view part) {
  const auto at = std::find_if(std::begin(signs), std::end(signs), [&](const Sign& s) { return part.starts_with(s.sign); });
  return at == std::end(signs) ? nullptr : at;
}

// Where the two dots of a range stand, and how many bytes they have.
std::pair<std::size_t, std::size_t> dots_of(std::string_view part) {
  const std::size_t at = part.find("..");
  if (at == std::string_view::npos) return {at, 0};
  std::size_t end = at + 2;
  while (end < part.size() && part[end] == '.') ++end;
  return {at, end - at};
}

// "18-35", "18 – 35": where the dash stands.
std::optional<std::pair<std::string_view, std::string_view>> ends_beside_a_dash(std::string_view part) {
  constexpr std::string_view dashes[] = {"-", "\u2013", "\u2014", "\u2012"};
  const auto begins_and_ends_in_digits = [](std::string_view words) {
    return !words.empty() && std::all_of(words.begin(), words.end(), [](char c) { return (c >= '0' && c <= '9') || c == '.'; });
  };
  for (const std::string_view dash : dashes) {
    const std::size_t at = part.find(dash);
    if (at == std::string_view::npos) continue;
    const auto low = trimmed(part.substr(0, at)), high = trimmed(part.substr(at + dash.size()));
    if (begins_and_ends_in_digits(low) && !high.empty() && high[0] >= '0' && high[0] <= '9') return std::pair(low, high);
  }
  return std::nullopt;
}

}  // namespace

PartKind kind_of_part(std::string_view part) {
  if (is_word(part, Word::yes)) return PartKind::yes;
  if (is_word(part, Word::no)) return PartKind::no;
  if (sign_of(part) || dots_of(part).second > 0 || part.find('&') != std::string_view::npos) return PartKind::comparison;
  const bool compares = has_letter_first(part) && begins_with(part, {Word::under, Word::over, Word::at_least, Word::at_most, Word::from, Word::is});
  return compares ? PartKind::comparison : PartKind::value;
}

Parts parts_of(std::string_view words) {
  Parts out;
  const std::size_t denied = has_letter_first(words) ? begins_with(words, {Word::not_word}) : 0;
  if (denied > 0) {
    out.denied = denied;
    words = trimmed(words.substr(denied));
  }
  out.parts = parted(words, '|');
  return out;
}

std::vector<std::string_view> parted(std::string_view words, char mark) {
  std::vector<std::string_view> out;
  for (std::size_t at = 0; at <= words.size();) {
    const std::size_t end = std::min(words.find(mark, at), words.size());
    out.push_back(trimmed(words.substr(at, end - at)));
    at = end + 1;
  }
  return out;
}

// ---------------------------------------------------------------- conditions

namespace {

class ConditionCell {
 public:
  ConditionCell(Reading& reading, const Column& column, const csv::Cell& cell)
      : reading_(reading), column_(column), cell_(cell), content_(reading.content(cell)), words_(trimmed(content_)) {}

  std::optional<Fragment> read() {
    const Parts parts = parts_of(words_);
    for (const auto part : parts.parts)
      for (const auto limit : parted(part, '&'))
        if (!is_sound(limit)) return std::nullopt;
    if (!stands_in_a_sentence(words_)) return more_than_a_piece();
    const bool values = column_.shape != Shape::any_of && std::all_of(parts.parts.begin(), parts.parts.end(), [&](auto part) { return is_value(part); });
    if (values) {
      add_values(parts);
    } else {
      if (parts.denied > 0) out_.text += std::string(spelled(Word::not_word)) + " ";
      if (parts.parts.size() > 1) out_.text += "(";
      for (std::size_t i = 0; i < parts.parts.size(); ++i) {
        if (i > 0) out_.text += " " + std::string(spelled(Word::or_word)) + " ";
        add_limits(parts.parts[i], parts.denied > 0 || parts.parts.size() > 1);
      }
      if (parts.parts.size() > 1) out_.text += ")";
    }
    return std::move(out_);
  }

 private:
  bool is_value(std::string_view part) const {
    const PartKind kind = kind_of_part(part);
    return kind == PartKind::value || (kind != PartKind::comparison && column_.shape != Shape::yes_no && column_.shape != Shape::unknown);
  }

  Span in_cell(std::string_view words) const {
    if (!cell_.plain) return {0, cell_.span.end - cell_.span.begin};
    const auto begin = static_cast<std::uint32_t>(words.data() - content_.data()) + (cell_.quoted ? 1 : 0);
    return {begin, begin + static_cast<std::uint32_t>(words.size())};
  }

  std::optional<Fragment> more_than_a_piece() {
    (void)words_of(reading_, cell_, "");  // tells it
    return std::nullopt;
  }

  bool is_sound(std::string_view part) {
    const auto say = [&](std::string matter, std::string message, std::string remedy) {
      reading_.tell(cell_.span, std::move(matter), std::move(message), std::move(remedy));
      return false;
    };
    if (part.empty())
      return say("a value is missing in a cell", "In the column " + in_quotes(column_.name) + " nothing stands on one side of \"|\" or \"&\".", "dry|wet");
    if (const auto dash = ends_beside_a_dash(part))
      return say("a dash in a range", "In the column " + in_quotes(column_.name) + " a dash stands where a range has two dots.",
                 std::string(dash->first) + ".." + std::string(dash->second));
    const auto [at, dots] = dots_of(part);
    if (dots == 0) return true;
    const auto low = trimmed(part.substr(0, at)), high = trimmed(part.substr(at + dots));
    if (!low.empty() && !high.empty() && dots_of(high).second == 0) return true;
    const std::string remedy = low.empty() && !high.empty() ? "<=" + std::string(high) : high.empty() && !low.empty() ? ">=" + std::string(low) : "3..7";
    return say("a range with one end", "A range has two dots and a number on each side of them; a sign says what has one end.", remedy);
  }

  // "cough is dry or wet"
  void add_values(const Parts& parts) {
    std::string lead = column_.name + " " + std::string(spelled(Word::is)) + " ";
    if (parts.denied > 0) lead += std::string(spelled(Word::not_word)) + " ";
    std::size_t name = column_.name.size();
    for (const auto part : parts.parts) {
      out_.add(lead, name, part, in_cell(part));
      lead = " " + std::string(spelled(Word::or_word)) + " ";
      name = 0;
    }
  }

  // ">=100 & <120": all of them hold.
  void add_limits(std::string_view part, bool bracketed) {
    const auto limits = parted(part, '&');
    bracketed = bracketed && limits.size() > 1;
    if (bracketed) out_.text += "(";
    for (std::size_t i = 0; i < limits.size(); ++i) {
      if (i > 0) out_.text += " " + std::string(spelled(Word::and_word)) + " ";
      add_atom(limits[i]);
    }
    if (bracketed) out_.text += ")";
  }

  void add_atom(std::string_view part) {
    const std::string& name = column_.name;
    const auto compare = [&](Word word, std::string_view with) {
      out_.add(name + " " + std::string(spelled(word)) + " ", name.size(), with, in_cell(with));
    };
    const PartKind kind = kind_of_part(part);
    if (kind == PartKind::yes || kind == PartKind::no) {
      const std::string denial = kind == PartKind::no ? std::string(spelled(Word::not_word)) + " " : "";
      return out_.add(denial + name, 0, "", in_cell(part));
    }
    if (kind == PartKind::value && column_.shape == Shape::any_of) return out_.add("", 0, part, in_cell(part));
    if (kind == PartKind::value) return compare(Word::is, part);
    if (const Sign* sign = sign_of(part)) return compare(sign->word, trimmed(part.substr(sign->sign.size())));
    if (const auto [at, dots] = dots_of(part); dots > 0) {
      const auto low = trimmed(part.substr(0, at)), high = trimmed(part.substr(at + dots));
      compare(Word::from, low);
      return out_.add(" " + std::string(spelled(Word::to)) + " ", 0, high, in_cell(high));
    }
    out_.add(name + " ", name.size(), part, in_cell(part));
  }

  Reading& reading_;
  const Column& column_;
  const csv::Cell& cell_;
  const std::string content_;
  const std::string_view words_;
  Fragment out_;
};

}  // namespace

std::optional<Fragment> condition_of(Reading& reading, const Column& column, const csv::Cell& cell) {
  auto out = ConditionCell(reading, column, cell).read();
  if (out && !cell.plain) out->tell_whole_cell();
  return out;
}

Fragment piece_of(const Reading& reading, const csv::Cell& cell, std::string_view lead, std::string_view words) {
  const std::size_t at = cell.plain ? reading.given(cell.span).find(words) : std::string_view::npos;
  Fragment out;
  if (at == std::string_view::npos) {
    out.add(lead, 0, words, {0, cell.span.end - cell.span.begin});
    out.tell_whole_cell();
  } else {
    out.add(lead, 0, words, {static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(at + words.size())});
  }
  return out;
}

std::optional<Fragment> words_of(Reading& reading, const csv::Cell& cell, std::string_view lead) {
  const std::string content = reading.content(cell);
  const std::string_view words = trimmed(content);
  if (stands_in_a_sentence(words)) return piece_of(reading, cell, lead, words);
  const std::size_t stop = words.find_last_not_of(". ") + 1;
  const bool only_stopped = stop < words.size() && stands_in_a_sentence(words.substr(0, stop));
  reading.tell(cell.span, only_stopped ? "a stop in a cell" : "more than a cell can hold",
               only_stopped ? "A cell is a piece of a sentence, and a stop would end it."
                            : "A cell holds one piece of a sentence; this would end it, or leave a quote or a bracket open.",
               only_stopped ? std::string(words.substr(0, stop)) : "");
  return std::nullopt;
}

}  // namespace betony::tables
