#include "grammar/tokens.h"

#include <algorithm>

#include "grammar/refusals.h"

namespace betony::rules {

void enter_level(Reading& r, std::size_t at) {
  if (++r.depth > r.limits.nesting) refuse_depth(r, at);
}

namespace reach {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

char byte(const Reading& r, std::size_t at) { return at < r.text().size() ? r.text()[at] : '\0'; }

std::size_t digits(const Reading& r, std::size_t at) {
  while (is_digit(byte(r, at))) ++at;
  return at;
}

// The words from `at` to where an unknown name would end.
std::size_t loose_words(const Reading& r, std::size_t at) {
  std::size_t end = letters::word_end(r.text(), at);
  if (end == at || is_digit(byte(r, at))) return 0;
  while (byte(r, end) == ' ' && !ends_an_unknown_name(r.text(), end + 1)) {
    const std::size_t next = letters::word_end(r.text(), end + 1);
    if (next == end + 1) break;
    end = next;
  }
  return end;
}

unsigned names_here(const Reading& r) { return condition_names | (r.claim ? practice_name : 0u); }

bool compares(const Reading& r, std::size_t at) {
  if (byte(r, at) != ' ') return false;
  const auto words = {Word::is, Word::under, Word::over, Word::at_least, Word::at_most, Word::from};
  return std::any_of(words.begin(), words.end(), [&](Word w) { return word(r, at + 1, w) != 0; });
}

}  // namespace

std::size_t word(const Reading& r, std::size_t at, Word word) {
  const std::size_t bytes = word_at(r.text(), at, word);
  return bytes == 0 ? 0 : at + bytes;
}

std::size_t any_word(Reading& r, std::size_t at) {
  const std::size_t end = letters::word_end(r.text(), at);
  return end == at ? 0 : end;
}

std::size_t known(const Reading& r, std::size_t at, unsigned kinds) {
  return r.names.longest(kinds, r.text(), at, r.except).end;
}

std::size_t subject(Reading& r, std::size_t at) {
  const auto match = r.names.longest(names_here(r), r.text(), at, r.except);
  if (!match.entry) return 0;
  r.subject = match.entry;
  r.subject_end = match.end;
  return match.end;
}

std::size_t profile_subject(Reading& r, std::size_t at) {
  const auto match = r.names.longest(condition_names, r.text(), at);
  if (!match.entry) return 0;
  r.subject = match.entry;
  r.subject_end = match.end;
  return match.end;
}

std::size_t chosen(Reading& r, std::size_t at) {
  r.subject = r.above.choice;
  return r.subject ? at : 0;
}

std::size_t declared(Reading& r, std::size_t at) {
  const auto name = std::find_if(r.nodes.begin(), r.nodes.end(), [](const Node& n) { return n.part == Part::name; });
  if (name == r.nodes.end()) return 0;
  r.subject = r.names.find(finding_name, r.text().substr(name->begin, name->end - name->begin));
  return r.subject ? at : 0;
}

std::size_t expected(Reading& r, std::size_t at) {
  const auto match = r.names.longest(practice_name | choice_name, r.text(), at);
  if (!match.entry) return 0;
  r.subject = match.entry->kind == choice_name ? match.entry : nullptr;
  r.subject_end = match.end;
  return match.end;
}

std::size_t value(Reading& r, std::size_t at) {
  if (!r.subject) return 0;
  if (r.subject->shape == Shape::unknown) return loose_words(r, at);
  if (r.subject->shape != Shape::verdict) return r.subject->value_words.longest(r.text(), at).end;
  for (auto w = static_cast<unsigned>(Word::outside); w <= static_cast<unsigned>(Word::unanswered); ++w) {
    if (const std::size_t end = word(r, at, static_cast<Word>(w))) return end;
  }
  return 0;
}

std::size_t another_value(Reading& r, std::size_t at) {
  const std::size_t end = value(r, at);
  const auto name = r.names.longest(names_here(r), r.text(), at, r.except);
  if (end == 0 || name.end < end) return end;
  if (name.end > end || compares(r, end)) return 0;
  const bool own_item = name.entry->of == r.subject;  // refused later, with a better reason
  if (name.entry->shape == Shape::yes_no && !own_item) refuse_value_or_name(r, at, end);
  return end;
}

std::size_t quotation(Reading& r, std::size_t at) {
  if (byte(r, at) != '"') return 0;
  return digits(r, at + 1) + 1;
}

std::size_t number(Reading& r, std::size_t at) {
  const std::size_t sign = byte(r, at) == '-' || byte(r, at) == '+';
  if (sign != 0 && at > 0 && is_digit(r.text()[at - 1])) return 0;  // `2-3`: a dash
  std::size_t end = digits(r, at + sign);
  if (end == at + sign) return 0;
  if (byte(r, end) == '.' && is_digit(byte(r, end + 1))) end = digits(r, end + 1);
  if (byte(r, end) == ':' && is_digit(byte(r, end + 1))) return 0;
  if (byte(r, end) == ',' && is_digit(byte(r, end + 1))) refuse_comma_in_number(r, at, digits(r, end + 1));
  if (end - at > r.limits.number_digits) refuse_long_number(r, at, end);
  return end;
}

std::size_t whole_number(Reading& r, std::size_t at) {
  if (!is_digit(byte(r, at))) return 0;
  const std::size_t end = number(r, at);
  return end == digits(r, at) ? end : 0;
}

namespace {

bool is_unit_sign(char32_t code) {
  switch (code) {
    case '%': case '/': case '*': case '^': case '\'': case '{': case '}':
    case 0xB0: case 0xB5: case 0xB2: case 0xB3: case 0xB9: case 0x2126: case 0x212B:  // degree, micro, powers
      return true;
    default:
      return letters::is_in_word(code);
  }
}

// One unit code from `at`: "kg", "/min", "mm[Hg]", "10*3/uL", "kg.m-2".
std::size_t unit_code(const Reading& r, std::size_t at) {
  std::size_t end = at;
  for (;;) {
    const auto letter = letters::letter_at(r.text(), end);
    if (letter.bytes != 0 && is_unit_sign(letter.code)) {
      end += letter.bytes;
    } else if (letter.code == '[') {
      const std::size_t close = r.text().find_first_of(" ]", end);
      if (close == std::string_view::npos || r.text()[close] == ' ') return end;
      end = close + 1;
    } else if (letter.code == '.' && is_unit_sign(letters::letter_at(r.text(), end + 1).code)) {
      ++end;
    } else if (letter.code == '-' && end > at && is_digit(byte(r, end + 1))) {
      ++end;
    } else {
      return end;
    }
  }
}

bool begins_a_unit(const Reading& r, std::size_t at) {
  const char c = byte(r, at);
  if (is_digit(c)) {
    const std::size_t end = digits(r, at);
    return byte(r, end) == '*' || byte(r, end) == '^';
  }
  if (c == '[') return at > 0 && r.text()[at - 1] != ' ';
  if (c == '*' || c == '^' || c == '\'' || c == '}') return false;
  if (c == '/') return byte(r, at + 1) != ' ' && !r.names.longest(number_names, r.text(), at + 1).entry;
  return true;
}

}  // namespace

std::size_t unit(Reading& r, std::size_t at) {
  const std::size_t declared = r.names.longest(unit_name, r.text(), at).end;
  const std::size_t end = begins_a_unit(r, at) ? unit_code(r, at) : at;
  if (declared >= end) return declared;
  if (may_follow_a_number(r.text().substr(at, end - at))) return 0;
  return end == at ? 0 : end;
}

std::size_t clock(Reading& r, std::size_t at) {
  const std::size_t hours = digits(r, at);
  if (hours == at || hours - at > 2 || byte(r, hours) != ':') return 0;
  const std::size_t end = digits(r, hours + 1);
  return end == hours + 3 ? end : 0;
}

std::size_t day(Reading& r, std::size_t at) {
  const std::size_t end = digits(r, at);
  if (end == at || end - at > 2 || byte(r, end) != ' ') return 0;
  for (auto w = static_cast<unsigned>(Word::january); w <= static_cast<unsigned>(Word::december); ++w) {
    if (const std::size_t month = word(r, end + 1, static_cast<Word>(w))) return month;
  }
  return 0;
}

std::size_t spaced_minus(Reading& r, std::size_t at) {
  return byte(r, at) == '-' && at > 0 && r.text()[at - 1] == ' ' && byte(r, at + 1) == ' ' ? at + 1 : 0;
}

std::size_t locus(Reading& r, std::size_t at) {
  std::size_t end = std::min(r.text().find_first_of(";]", at), r.text().size());
  while (end > at && r.text()[end - 1] == ' ') --end;
  return end == at ? 0 : end;
}

std::size_t anchor(Reading& r, std::size_t at) {
  std::size_t end = 0;
  for (auto w = static_cast<unsigned>(Word::sunrise); w <= static_cast<unsigned>(Word::sleep); ++w) {
    end = std::max(end, word(r, at, static_cast<Word>(w)));
  }
  return known(r, at, practice_name) > end ? 0 : end;
}

std::size_t in_claim(Reading& r, std::size_t at) {
  r.claim = true;
  return at;
}

std::size_t under_choice(Reading& r, std::size_t at) { return r.above.choice_is_last ? at : 0; }

}  // namespace reach
}  // namespace betony::rules
