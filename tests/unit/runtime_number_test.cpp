// runtime/number.h against GMP.
#include "runtime/number.h"

#include <gmpxx.h>

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cfenv>
#include <charconv>
#include <cmath>
#include <limits>
#include <random>
#include <set>
#include <string>
#include <vector>

using namespace betony::runtime;

namespace {

constexpr std::uint64_t seed = 20240607;
constexpr double infinity = std::numeric_limits<double>::infinity();

// A Number made of a GMP integer, 32 bits at a time.
Number number_of(const mpz_class& whole) {
  Number number;
  const mpz_class size = abs(whole);
  for (std::size_t limb = (mpz_sizeinbase(size.get_mpz_t(), 2) + 31) / 32; limb-- > 0;) {
    const mpz_class shifted = size >> (32 * limb), low = shifted & 0xffffffff;
    number = number * Number(std::uint64_t{1} << 32) + Number(low.get_ui());
  }
  return whole < 0 ? -number : number;
}

Number number_of(const mpq_class& fraction) { return divided(number_of(fraction.get_num()), number_of(fraction.get_den())).value(); }

// The value of a plain decimal, a fraction or a whole number.
mpq_class exact(std::string text) {
  const std::size_t point = text.find('.');
  if (point != std::string::npos) {
    text.erase(point, 1);
    text += "/1" + std::string(text.size() - point, '0');
  }
  mpq_class value(text, 10);
  value.canonicalize();
  return value;
}

mpq_class exact(const Number& number) { return exact(number.words()); }

mpz_class floor_of(const mpq_class& fraction) {
  mpz_class out;
  mpz_fdiv_q(out.get_mpz_t(), fraction.get_num_mpz_t(), fraction.get_den_mpz_t());
  return out;
}

std::size_t bits_of(const mpq_class& fraction) {
  return std::max(mpz_sizeinbase(fraction.get_num_mpz_t(), 2), mpz_sizeinbase(fraction.get_den_mpz_t(), 2));
}

std::strong_ordering order_of(int comparison) { return comparison <=> 0; }

// Random fractions of three kinds.
class Source {
 public:
  mpq_class small() { return fraction(mpz_class(below(41)) - 20, mpz_class(below(20)) + 1); }

  // Parts within 2 of a power of two about which something changes: a limb, 64 bits, 128 bits.
  mpq_class edge() { return fraction(edge_whole() * (below(2) == 0 ? 1 : -1), edge_whole() + 1); }

  // Parts of up to 1,500 bits: even ones, long runs of equal bits, products with a factor in common.
  mpq_class big() {
    const mpz_class common = big_whole(below(3) * 200 + 1) + 1;
    return fraction(big_whole(below(1500) + 1) * common * (below(2) == 0 ? 1 : -1), big_whole(below(1500) + 1) * common + common);
  }

  mpq_class any() {
    const unsigned long kind = below(3);
    return kind == 0 ? small() : kind == 1 ? edge() : big();
  }

  unsigned long below(unsigned long end) { return gmp_urandomm_ui(state_, end); }
  std::uint64_t word() { return below(1ul << 32) << 32 | below(1ul << 32); }

  Source() {
    gmp_randinit_mt(state_);
    gmp_randseed_ui(state_, seed);
  }
  ~Source() { gmp_randclear(state_); }
  Source(const Source&) = delete;
  Source& operator=(const Source&) = delete;

 private:
  static mpq_class fraction(const mpz_class& top, const mpz_class& bottom) {
    mpq_class out(top, bottom);
    out.canonicalize();
    return out;
  }
  mpz_class edge_whole() {
    const std::array<unsigned, 9> places = {1, 16, 31, 32, 33, 63, 64, 96, 128};
    mpz_class whole = (mpz_class(1) << places[below(places.size())]) + mpz_class(below(5)) - 2;
    return abs(whole);
  }
  mpz_class big_whole(unsigned long bits) {
    mpz_class out;
    if (below(2) == 0) mpz_urandomb(out.get_mpz_t(), state_, bits);
    else mpz_rrandomb(out.get_mpz_t(), state_, bits);
    return out;
  }

  gmp_randstate_t state_;
};

// Everything about two numbers and what comes of them.
bool agree(const mpq_class& a, const mpq_class& b) {
  const Number x = number_of(a), y = number_of(b);
  const auto ratio = divided(x, y);
  Number sum = x, difference = x, product = x;
  sum += y, difference -= y, product *= y;
  return exact(x) == a && exact(x + y) == a + b && exact(x - y) == a - b && exact(x * y) == a * b && sum == x + y &&
         difference == x - y && product == x * y && ratio.has_value() == (b != 0) && (!ratio || exact(*ratio) == a / b) &&
         (x <=> y) == order_of(cmp(a, b)) && (x == y) == (a == b) && (x < y) == (a < b);
}

bool agree(const mpq_class& a) {
  const Number x = number_of(a);
  return exact(-x) == -a && exact(x.floor()) == floor_of(a) && x.floor().is_integer() && x.is_integer() == (a.get_den() == 1) &&
         x.sign() == sgn(a) && x.bits() == bits_of(a);
}

template <class Draw>
void check_pairs(std::size_t count, const Draw& draw) {
  CAPTURE(seed);
  Source source;
  for (std::size_t i = 0; i < count; ++i) {
    const mpq_class a = draw(source), b = draw(source);
    if (!agree(a) || !agree(a, b)) FAIL(a << " and " << b);
    if (!agree(a, a) || !agree(a, -a)) FAIL(a << " and itself");
  }
}

// The shortest decimal writing of a double, as a fraction: what from() is to say, by way of GMP.
mpq_class shortest(double value) {
  std::array<char, 64> room{};
  std::to_chars(room.data(), room.data() + room.size(), value);
  const std::string text = room.data();
  const std::size_t mark = text.find('e');
  const mpq_class mantissa = exact(text.substr(0, mark));
  if (mark == std::string::npos) return mantissa;
  const int exponent = std::stoi(text.substr(mark + 1));
  mpz_class power;
  mpz_ui_pow_ui(power.get_mpz_t(), 10, static_cast<unsigned long>(std::abs(exponent)));
  return exponent < 0 ? mpq_class(mantissa / power) : mpq_class(mantissa * power);
}

// Whether no double is nearer to the number, and none is as near that is even where this one is odd.
bool is_nearest(double value, const mpq_class& number) {
  const auto odd = [](double d) { return std::bit_cast<std::uint64_t>(d) % 2 == 1; };
  const mpq_class distance = abs(mpq_class(value) - number);
  for (const double beside : {std::nextafter(value, infinity), std::nextafter(value, -infinity)}) {
    const mpq_class other = abs((std::isinf(beside) ? mpq_class(mpz_class(1) << 1024) * sgn(number) : mpq_class(beside)) - number);
    if (other < distance || (other == distance && odd(value))) return false;
  }
  return true;
}

std::string read_back(std::string_view text) {
  const auto number = Number::read(text);
  return number ? number->words() : "nothing";
}

std::string words_of(double value) { return Number::from(value).value().words(); }

}  // namespace

TEST_CASE("the example at the top of the header holds") {
  const auto weight = Number::from(36.6);
  const auto limit = Number::read("110/3");
  REQUIRE((weight && limit));
  CHECK(*weight <= *limit);
  CHECK((*limit - *weight).words() == "1/15");
}

TEST_CASE("arithmetic of all pairs of fractions with parts up to 12 agrees with GMP") {
  std::set<mpq_class> fractions;
  for (int top = -12; top <= 12; ++top)
    for (int bottom = 1; bottom <= 12; ++bottom) {
      mpq_class fraction(top, bottom);
      fraction.canonicalize();
      fractions.insert(fraction);
    }
  CHECK(fractions.size() == 183);
  for (const mpq_class& a : fractions) {
    if (!agree(a)) FAIL(a);
    for (const mpq_class& b : fractions)
      if (!agree(a, b)) FAIL(a << " and " << b);
  }
}

TEST_CASE("arithmetic agrees with GMP on random small fractions") { check_pairs(2'000, [](Source& s) { return s.small(); }); }

TEST_CASE("arithmetic agrees with GMP on random fractions at the edges of 32, 64, 96 and 128 bits") {
  check_pairs(3'000, [](Source& s) { return s.edge(); });
}

TEST_CASE("arithmetic of all fractions with parts among 1, 2, 3 and the last three and the first three on either side of 2^64 agrees with GMP") {
  std::vector<mpz_class> parts = {1, 2, 3};
  for (int i = -3; i < 3; ++i) parts.push_back((mpz_class(1) << 64) + i);
  std::vector<mpq_class> fractions;
  for (const mpz_class& top : parts)
    for (const mpz_class& bottom : parts) {
      fractions.emplace_back(top, bottom);
      fractions.back().canonicalize();
    }
  CHECK(fractions.size() == 81);
  for (const mpq_class& a : fractions)
    for (const mpq_class& b : fractions)
      if (!agree(a, b) || !agree(-a, b)) FAIL(a << " and " << b);
}

TEST_CASE("arithmetic agrees with GMP on random fractions of up to 2,000 bits") { check_pairs(300, [](Source& s) { return s.big(); }); }

TEST_CASE("arithmetic agrees with GMP on random pairs of different kinds") { check_pairs(1'000, [](Source& s) { return s.any(); }); }

TEST_CASE("whole parts agree with GMP for all quotients of four limbs by three that are each 0, 1, 2^31 or 2^32 - 1") {
  const std::array<unsigned long, 4> limbs = {0, 1, 0x80000000, 0xffffffff};
  const auto whole = [&](std::size_t code, int count) {
    mpz_class out;
    for (; count > 0; --count, code /= limbs.size()) out = (out << 32) + mpz_class(limbs[code % limbs.size()]);
    return out;
  };
  std::size_t quotients = 0;
  for (std::size_t b = 1; b < 64; ++b)    // all 0 is left out
    for (std::size_t a = 0; a < 256; ++a, ++quotients) {
      mpq_class fraction(whole(a, 4), whole(b, 3));
      const Number number = divided(number_of(fraction.get_num()), number_of(fraction.get_den())).value();
      fraction.canonicalize();
      if (number != number_of(fraction) || exact(number) != fraction || exact(number.floor()) != floor_of(fraction)) FAIL(fraction);
    }
  CHECK(quotients == 63 * 256);
}

TEST_CASE("division agrees with GMP where the quotient is guessed from zeros and the rest is next to nothing") {
  CAPTURE(seed);
  Source source;
  for (int i = 0; i < 5'000; ++i) {    // a divisor of a high limb, zeros and a low one; a multiple of it less a little
    const mpz_class bottom = (mpz_class(1) << (64 + source.below(64))) + mpz_class(source.below(3) + 1);
    mpq_class fraction(bottom * mpz_class(source.word()) - mpz_class(source.below(4)), bottom);
    fraction.canonicalize();
    if (!agree(fraction)) FAIL(fraction);
  }
}

TEST_CASE("fractions are reduced as by GMP whatever the quotients on the way to the common divisor are") {
  CAPTURE(seed);
  Source source;
  for (int i = 0; i < 1'000; ++i) {
    mpz_class a = mpz_class(source.word()) * mpz_class(source.word() >> source.below(64)) + 1, b = 0;
    const unsigned long most = source.below(70);    // bits of a quotient: 1 throughout, as between Fibonacci's numbers, up to two limbs
    for (unsigned long steps = source.below(100); steps > 0; --steps) {
      const mpz_class quotient = most == 0 ? mpz_class(1) : (mpz_class(source.word()) >> source.below(64)) % (mpz_class(1) << most) + 1;
      b = a * quotient + b;
      swap(a, b);
    }
    if (b == 0) b = a;
    const Number number = divided(number_of(a), number_of(b)).value(), upside_down = divided(number_of(b), number_of(a)).value();
    mpq_class fraction(a, b);
    fraction.canonicalize();
    if (exact(number) != fraction || exact(upside_down) != 1 / fraction || number.bits() != bits_of(fraction)) FAIL(a << "/" << b);
  }
}

TEST_CASE("whole numbers of every built-in type become themselves") {
  CHECK(Number().words() == "0");
  CHECK(Number(-7).words() == "-7");
  CHECK(Number(static_cast<signed char>(-128)).words() == "-128");
  CHECK(Number(std::numeric_limits<std::int32_t>::min()).words() == "-2147483648");
  CHECK(Number(std::numeric_limits<std::int64_t>::min()).words() == "-9223372036854775808");
  CHECK(Number(std::numeric_limits<std::int64_t>::max()).words() == "9223372036854775807");
  CHECK(Number(std::numeric_limits<std::uint64_t>::max()).words() == "18446744073709551615");
  CHECK((Number(std::numeric_limits<std::uint64_t>::max()) + 1).words() == "18446744073709551616");
  CHECK((Number(std::numeric_limits<std::int64_t>::min()) * -2 - 1) == std::numeric_limits<std::uint64_t>::max());
  CHECK(3 + Number(4) > 6);
}

TEST_CASE("there is one zero, and division by it gives nothing") {
  CHECK((-Number()) == 0);
  CHECK((Number(-3) * 0).sign() == 0);
  CHECK((Number(-3) + 3) == Number(0));
  CHECK((Number(-3) * 0).words() == "0");
  CHECK(Number::read("-0") == Number());
  CHECK(Number::read("-0/7") == Number());
  CHECK(Number::from(-0.0) == Number());
  CHECK(!std::signbit(Number::read("-0.0")->near()));
  CHECK(!divided(1, 0));
  CHECK(!divided(0, 0));
  CHECK(divided(0, -5) == Number());
  CHECK(divided(6, -4)->words() == "-1.5");
}

TEST_CASE("what has been moved away is still a number, and can be assigned to and destroyed") {
  for (const char* text : {"12", "-12/7", "123456789012345678901234567890", "-1/123456789012345678901234567890",
                           "-1234567890123456789012/12345678901234567890121"}) {
    INFO(text);
    Number from = Number::read(text).value();
    const Number to = std::move(from);
    CHECK(to.words() == text);
    CHECK((from.floor() <= from && from < from.floor() + 1));    // NOLINT: that it is moved away is the point
    CHECK(divided(from, from) == Number(1));
    from = to;
    CHECK(from.words() == text);
    from = from - from;
    CHECK(from == 0);
  }
}

TEST_CASE("a number is read from a decimal, a whole number or a fraction, with or without a sign") {
  CHECK(read_back("0") == "0");
  CHECK(read_back("42") == "42");
  CHECK(read_back("+42") == "42");
  CHECK(read_back("-42") == "-42");
  CHECK(read_back("007") == "7");
  CHECK(read_back("36.6") == "36.6");
  CHECK(read_back("+0.50") == "0.5");
  CHECK(read_back("-2.25") == "-2.25");
  CHECK(read_back("5.000") == "5");
  CHECK(read_back("0.0") == "0");
  CHECK(read_back("3/4") == "0.75");
  CHECK(read_back("-6/4") == "-1.5");
  CHECK(read_back("+1/3") == "1/3");
  CHECK(read_back("0010/0030") == "1/3");
  CHECK(read_back("0/9") == "0");
  CHECK(read_back(std::string(60, '9')) == std::string(60, '9'));
  CHECK(read_back("0." + std::string(57, '0') + "1") == "1/1" + std::string(58, '0'));
  CHECK(read_back("18446744073709551616/18446744073709551617") == "18446744073709551616/18446744073709551617");
}

TEST_CASE("a text that is no number, or not one alone, or is too long, is not read") {
  for (const char* text : {"", "+", "-", ".", "/", "+.", "-/", ".5", "5.", "-.5", "+5.", "/5", "5/", "1/0", "1/-2", "1/+2", "-1/-2", "--1", "+-1",
                           "1-", "1+1", "1.2.3", "1/2/3", "1.5/2", "1/2.5", "1./2", "1/.2", " 1", "1 ", "1 /2", "1/ 2", "- 1", "1\n", "\t1",
                           "1e5", "1E5", "1e", "0x10", "1,5", "1'000", "1_000", "inf", "nan", "-inf", "NaN", "x", "1x", "\xc2\xbd", "\xef\xbc\x91",
                           "\xff", "1\x80", "\xe2\x88\x92""1"}) {
    INFO(text);
    CHECK(read_back(text) == "nothing");
  }
  CHECK(read_back(std::string(61, '1')) == "nothing");
  CHECK(read_back("+" + std::string(60, '1')) == "nothing");
  CHECK(!Number::read("123", 2));
  CHECK(!Number::read("", 0));
  CHECK(read_back(std::string_view("1\0", 2)) == "nothing");
  CHECK(read_back(std::string_view("\0", 1)) == "nothing");
  CHECK(read_back(std::string_view("1\0002", 3)) == "nothing");
}

TEST_CASE("a longer text is read where the caller lets it be longer") {
  const std::string top(2'000, '1'), bottom(1'999, '1');    // nothing in common but 1
  CHECK(Number::read("-" + top + "/" + bottom, 4'001)->words() == "-" + top + "/" + bottom);
  CHECK(!Number::read("-" + top + "/" + bottom, 4'000));
  CHECK(Number::read(top + "/" + top, 4'001) == Number(1));
  CHECK(Number::read(top + "." + std::string(1'000, '0'), 4'001)->words() == top);
}

TEST_CASE("every text of up to seven characters of 0 1 7 . / - + and a space is read as its form says") {
  const std::string letters = "017./-+ ";
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  // Plain reading, a character at a time: nothing, or what GMP makes of it.
  const auto plainly = [&](const std::string& text) -> std::optional<mpq_class> {
    const std::size_t start = text[0] == '-' || text[0] == '+';
    std::size_t digits = 0, marks = 0;
    for (std::size_t i = start; i < text.size(); ++i) {
      const bool mark = text[i] == '.' || text[i] == '/';
      if (!mark && !is_digit(text[i])) return {};
      if (mark && (digits == 0 || ++marks > 1)) return {};
      digits = mark ? 0 : digits + 1;
    }
    if (digits == 0) return {};
    const std::string number = text[0] == '+' ? text.substr(1) : text;
    const std::size_t stroke = number.find('/');
    if (stroke != std::string::npos && number.find_first_not_of('0', stroke + 1) == std::string::npos) return {};
    return exact(number);
  };
  std::size_t texts = 0, numbers = 0;
  for (std::size_t length = 1; length <= 7; ++length)
    for (std::size_t code = 0; code < std::size_t{1} << (3 * length); ++code, ++texts) {
      std::string text(length, ' ');
      for (std::size_t i = 0; i < length; ++i) text[i] = letters[code >> (3 * i) & 7];
      const auto expected = plainly(text);
      const auto read = Number::read(text);
      numbers += read.has_value();
      if (read.has_value() != expected.has_value() || (read && exact(*read) != *expected)) FAIL("\"" << text << "\"");
    }
  CHECK(texts == 2'396'744);
  CHECK(numbers == 19'536);
}

TEST_CASE("random bytes are read or refused, and what is read can be written") {
  CAPTURE(seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 100'000; ++i) {
    std::string text(random() % 70, '\0');
    const bool likely = i % 2 == 0;
    for (char& c : text) c = likely ? "0123456789./-+"[random() % 100 < 96 ? random() % 10 : random() % 14] : static_cast<char>(random());
    const auto number = Number::read(text);
    if (number && (text.size() > 60 || Number::read(number->words(), 2 * text.size()) != number)) FAIL(text);
  }
}

TEST_CASE("a double is the number that its shortest writing says") {
  CHECK(Number::from(36.6) == divided(366, 10));
  CHECK(words_of(0.1) == "0.1");
  CHECK(words_of(-2.25) == "-2.25");
  CHECK(words_of(1e-5) == "0.00001");
  CHECK(words_of(1e15) == "1000000000000000");
  CHECK(words_of(0x1p60) == "1152921504606846976");    // written without an exponent, and so exactly
  CHECK(words_of(1e300) == "1" + std::string(300, '0'));
  CHECK(words_of(1.7976931348623157e308) == "17976931348623157" + std::string(292, '0'));
  CHECK(words_of(5e-324) == "1/2" + std::string(323, '0'));
  CHECK(words_of(-2.2250738585072014e-308) == "-11125369292536007/5" + std::string(323, '0'));
  for (const double none : {infinity, -infinity, std::numeric_limits<double>::quiet_NaN(), -std::numeric_limits<double>::quiet_NaN()})
    CHECK(!Number::from(none));
}

TEST_CASE("random doubles of all sizes are what their shortest writing says, and are nearest to it") {
  CAPTURE(seed);
  Source source;
  std::size_t finite = 0, subnormal = 0;
  for (int i = 0; i < 10'000; ++i) {
    std::uint64_t bits = source.word();
    if (i % 8 == 0) bits &= 0x801fffffffffffff;             // the least of the normal ones, and those under them
    const double value = i % 3 == 0 ? static_cast<double>(source.word() >> source.below(64)) / 1000 : std::bit_cast<double>(bits);
    const auto number = Number::from(value);
    REQUIRE(number.has_value() == std::isfinite(value));
    if (!number) continue;
    ++finite, subnormal += std::fpclassify(value) == FP_SUBNORMAL;
    if (exact(*number) != shortest(value) || number->near() != value) FAIL(value);
  }
  CHECK(finite > 9'900);
  CHECK(subnormal > 300);
}

TEST_CASE("the double near a number is the nearest, ties going to the even one") {
  CAPTURE(seed);
  Source source;
  for (int i = 0; i < 10'000; ++i) {
    const mpq_class number = source.any();
    const double near = number_of(number).near();
    if (std::isinf(near) || !is_nearest(near, number)) {
      const mpq_class limit = (mpz_class(1) << 1024) - (mpz_class(1) << 970);
      if (!std::isinf(near) || abs(number) < limit || (near < 0) != (number < 0)) FAIL(number << " near " << near);
    }
  }
}

TEST_CASE("the double near a number is the nearest beside the middle between two doubles too, the least and the greatest included") {
  CAPTURE(seed);
  Source source;
  std::size_t checked = 0;
  for (int i = 0; i < 3'000; ++i) {
    std::uint64_t bits = source.word() & 0x7fffffffffffffff;
    if (i % 3 == 0) bits &= 0x001fffffffffffff >> source.below(52);    // down to 0
    if (i % 3 == 1) bits = bits >> 2 | 0x3fe0000000000000;
    const double low = std::bit_cast<double>(bits), high = std::nextafter(low, infinity);
    if (!std::isfinite(low) || !std::isfinite(high)) continue;
    const mpq_class middle = (mpq_class(low) + mpq_class(high)) / 2, little = middle / mpq_class(mpz_class(1) << source.below(300));
    const double even = std::bit_cast<std::uint64_t>(low) % 2 == 0 ? low : high;
    const Number at = number_of(middle), by = number_of(little);
    if (at.near() != even || (-at).near() != -even) FAIL(middle);
    if (little < (mpq_class(high) - mpq_class(low)) / 2 && ((at + by).near() != high || (at - by).near() != low)) FAIL(middle << " and a little");
    ++checked;
  }
  CHECK(checked > 2'900);
  const mpz_class limit = (mpz_class(1) << 1024) - (mpz_class(1) << 970);
  CHECK(number_of(limit).near() == infinity);
  CHECK(number_of(mpz_class(-limit)).near() == -infinity);
  CHECK(number_of(mpz_class(limit - 1)).near() == std::numeric_limits<double>::max());
  CHECK(number_of(mpq_class(1, mpz_class(1) << 1075)).near() == 0);
  CHECK(!std::signbit(number_of(mpq_class(-1, mpz_class(1) << 1075)).near()));
  CHECK(number_of(mpq_class(3, mpz_class(1) << 1076)).near() == 5e-324);
  CHECK(number_of(mpz_class(mpz_class(1) << 5000)).near() == infinity);
  CHECK(number_of(mpq_class(-1, mpz_class(1) << 5000)).near() == 0);
}

TEST_CASE("the double near a number does not depend on the way in which the processor rounds") {
  const Number limit = number_of(mpz_class((mpz_class(1) << 1024) - (mpz_class(1) << 970))), tenth = *divided(1, 10);
  const Number least = number_of(mpq_class(3, mpz_class(1) << 1076));
  for (const int way : {FE_DOWNWARD, FE_UPWARD, FE_TOWARDZERO, FE_TONEAREST}) {
    std::fesetround(way);
    const std::array<double, 5> near = {limit.near(), (-limit).near(), (limit - 1).near(), tenth.near(), least.near()};
    std::fesetround(FE_TONEAREST);
    CHECK(near == std::array<double, 5>{infinity, -infinity, std::numeric_limits<double>::max(), 0.1, 5e-324});
  }
}

TEST_CASE("a number is written as a whole number, as a decimal of at most 40 digits, else as a fraction") {
  CHECK(divided(1, 2)->words() == "0.5");
  CHECK(divided(-9, 4)->words() == "-2.25");
  CHECK(divided(1, 3)->words() == "1/3");
  CHECK(divided(-22, 7)->words() == "-22/7");
  CHECK(divided(1, 6)->words() == "1/6");
  CHECK(divided(1, 1000)->words() == "0.001");
  CHECK(divided(123456, 1000)->words() == "123.456");
  const std::string whole(100, '7');
  CHECK(number_of(mpz_class(whole)).words() == whole);
  CHECK(number_of(mpz_class("-" + whole)).words() == "-" + whole);
  CHECK(number_of(mpz_class("1" + std::string(90, '0'))).words() == "1" + std::string(90, '0'));
  CHECK(read_back("0." + std::string(38, '0') + "1") == "0." + std::string(38, '0') + "1");      // 40 digits
  CHECK(read_back("0." + std::string(39, '0') + "1") == "1/1" + std::string(40, '0'));
  CHECK(read_back(std::string(39, '9') + ".5") == std::string(39, '9') + ".5");
  CHECK(read_back("1" + std::string(39, '0') + ".5") == "2" + std::string(38, '0') + "1/2");
  CHECK(divided(1, std::uint64_t{1} << 39)->words() == "0.000000000001818989403545856475830078125");      // 2^-39
  CHECK((*divided(1, std::uint64_t{1} << 39) * *divided(1, 2)).words() == "1/1099511627776");             // 2^-40 needs 41
}

TEST_CASE("what is written is read back as the same number") {
  CAPTURE(seed);
  Source source;
  std::size_t decimals = 0, fractions = 0;
  for (int i = 0; i < 10'000; ++i) {
    mpq_class value = source.any();
    if (i % 2 == 0) {
      mpz_class power;
      mpz_ui_pow_ui(power.get_mpz_t(), i % 4 == 0 ? 10 : i % 3 == 0 ? 5 : 2, source.below(45));
      value = mpq_class(value.get_num(), power);
      value.canonicalize();
    }
    const Number number = number_of(value);
    const std::string words = number.words();
    const std::size_t digits = static_cast<std::size_t>(std::count_if(words.begin(), words.end(), [](char c) { return c >= '0' && c <= '9'; }));
    const bool decimal = words.find('.') != std::string::npos;
    decimals += decimal, fractions += words.find('/') != std::string::npos;
    if (decimal && (digits > Number::most_digits || words.back() == '0')) FAIL(value << " is " << words);
    if (words.size() <= Number::longest_text && Number::read(words) != number) FAIL(value << " is " << words);
  }
  CHECK(decimals > 2'000);
  CHECK(fractions > 2'000);
}

TEST_CASE("a bound on bits stops growth before it costs much") {
  Number number = Number::read("3/2").value();
  int squarings = 0;
  for (; number.bits() <= 1'000; ++squarings) number *= number;
  CHECK(squarings == 10);
  CHECK(number.bits() == 1'624);    // 3^1024
  CHECK(Number().bits() == 1);
}
