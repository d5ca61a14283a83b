// runtime/number.h: exact rational numbers of any size.
//
//   const auto weight = Number::from(36.6);                      // 366/10, not the binary fraction near it
//   const auto limit = Number::read("110/3");
//   if (weight && limit && *weight <= *limit) show((*limit - *weight).words());     // "1/15"
//
// A Number is a value: copied, moved and compared like an int, and shared by threads that only read it. It is kept in
// lowest terms with a denominator over 0, so equal numbers have equal parts. While numerator and denominator are both
// under 2^64 it owns no memory, and arithmetic whose result is so too asks for none (but for a sum that passes 2^128
// before it is reduced).
//
// Errors    No exception is thrown and there is no call that must not be made: what has no answer (a division by 0, a text
//           that is no number, a double that is none) gives nothing. Only memory can run out, as it can for a std::vector.
// Bounds    Products and sums are as long as their operands together. Whoever computes with numbers of unknown origin asks
//           for bits() and refuses to go on past a bound of his own.
// Cost      With parts under 2^64: constant. Else, with parts of n bits: O(n) to compare those over equal denominators and
//           to copy; O(n^2) for everything else, words() included; no recursion.
// Source    Knuth, The Art of Computer Programming 2, 3rd edition: 4.3.1 (algorithms A, S, M, D), 4.5.1 (fractions), 4.5.2 (L).
// Tested by tests/unit/runtime_number_test.cpp, against GMP
#pragma once

#include <compare>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace betony::runtime {

// A whole number from 0 on. What a Number is made of; others do not need it.
//   1. limbs_ is empty, or has at least three limbs, lowest first, the highest of which is not 0.
//   2. small_ is the number where limbs_ is empty, else 1, so that what has been moved away is still a number over 0.
class Natural {
 public:
  using Limb = std::uint32_t;

  Natural(std::uint64_t small = 0) : small_(small) {}
  explicit Natural(std::vector<Limb> limbs);    // lowest first; any of the highest may be 0

  bool is_small() const { return limbs_.empty(); }
  bool is(std::uint64_t small) const { return is_small() && small_ == small; }
  std::uint64_t small() const { return small_; }                 // where is_small()
  const std::vector<Limb>& limbs() const { return limbs_; }      // where not
  std::size_t bits() const;                                      // 0 has none, 1 has one, 255 has eight

  bool operator==(const Natural&) const = default;
  std::strong_ordering operator<=>(const Natural& other) const;

 private:
  std::uint64_t small_ = 0;
  std::vector<Limb> limbs_;
};

class Number {
 public:
  static constexpr std::size_t longest_text = 60;    // characters that read() takes unless told; keeps what a text can cost small
  static constexpr std::size_t most_digits = 40;     // of a decimal in words(); a longer one is harder to read than a fraction

  Number() = default;    // 0
  template <std::integral Whole>
    requires(sizeof(Whole) <= sizeof(std::uint64_t) && !std::same_as<Whole, bool>)
  Number(Whole whole) : negative_(whole < 0), top_(magnitude(whole)) {}

  // The number that a text says, all of it: an optional sign, - or +, then digits, digits "." digits, or digits "/" digits.
  // Zeros in front are allowed, "-0" is 0. Nothing for any other text: one of more than `longest` characters, with white space,
  // with an exponent, with a second sign, with no digit on either side of its point or stroke, with 0 under its stroke.
  static std::optional<Number> read(std::string_view text, std::size_t longest = longest_text);

  // The number that the shortest decimal writing of the double says: what std::to_chars(first, last, value) writes, which is
  // what people see. 36.6 gives 366/10, 1e300 a whole number, -0.0 gives 0; nothing for infinities and what is no number.
  static std::optional<Number> from(double value);

  friend Number operator+(const Number& a, const Number& b) { return sum(a, b, b.negative_); }
  friend Number operator-(const Number& a, const Number& b) { return sum(a, b, !b.negative_); }
  friend Number operator*(const Number& a, const Number& b) { return product(a, b.negative_, b.top_, b.bottom_); }
  friend std::optional<Number> divided(const Number& a, const Number& b);    // nothing where b is 0
  Number operator-() const { return Number(!negative_, top_, bottom_); }
  Number& operator+=(const Number& other) { return *this = *this + other; }
  Number& operator-=(const Number& other) { return *this = *this - other; }
  Number& operator*=(const Number& other) { return *this = *this * other; }

  bool operator==(const Number&) const = default;
  std::strong_ordering operator<=>(const Number& other) const;

  int sign() const { return negative_ ? -1 : top_.is(0) ? 0 : 1; }
  bool is_integer() const { return bottom_.is(1); }
  Number floor() const;            // the greatest whole number that is not over it
  std::size_t bits() const;        // binary digits of the numerator or of the denominator, whichever has more; at least 1

  // A whole number plainly, whatever its length ("-12"); a fraction that ends as a decimal where that has at most most_digits
  // digits, before and after the point together ("0.5", "-2.25"); else numerator and denominator ("1/3", "-22/7").
  // What it writes, read() reads back as the same number, if it is let be as long.
  std::string words() const;

  // The double that is nearest; of two, the one with the even last digit. So it never falls where numbers rise, and
  // from(d)->near() == d. Infinite from 2^1024 - 2^970 on, 0 (never -0) up to 2^-1075. The rounding mode does not matter.
  double near() const;

 private:
  Number(bool negative, Natural top, Natural bottom)    // in lowest terms
      : negative_(negative && !top.is(0)), top_(std::move(top)), bottom_(std::move(bottom)) {}

  template <std::integral Whole>
  static std::uint64_t magnitude(Whole whole) {
    const auto bits = static_cast<std::uint64_t>(whole);
    return whole < 0 ? 0 - bits : bits;
  }
  static Number sum(const Number& a, const Number& b, bool b_negative);    // b with the sign given
  static std::optional<Number> small_sum(const Number& a, const Number& b, bool b_negative);
  static Number product(const Number& a, bool negative, const Natural& top, const Natural& bottom);
  std::optional<std::string> decimal() const;

  bool negative_ = false;    // never where top_ is 0
  Natural top_;
  Natural bottom_ = 1;
};

std::optional<Number> divided(const Number& a, const Number& b);

}  // namespace betony::runtime
