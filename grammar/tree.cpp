#include "grammar/tree.h"

#include <charconv>

#include "grammar/words.h"

namespace betony::tree {

Rational Number::value() const {
  std::string digits = text;
  if (!digits.empty() && digits[0] == '+') digits.erase(0, 1);
  long small = 0;
  const char* const end = digits.data() + digits.size();
  if (const auto read = std::from_chars(digits.data(), end, small); read.ec == std::errc() && read.ptr == end) return Rational(small);
  mpz_class power = 1;
  if (const auto point = digits.find('.'); point != std::string::npos) {
    mpz_ui_pow_ui(power.get_mpz_t(), 10, digits.size() - point - 1);
    digits.erase(point, 1);
  }
  Rational value(digits.empty() ? mpz_class(0) : mpz_class(digits, 10), power);
  value.canonicalize();
  return value;
}

std::string verdict_word(Verdict verdict) { return std::string(spelled(word_of(verdict))); }

}  // namespace betony::tree
