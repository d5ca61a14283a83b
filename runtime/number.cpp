#include "runtime/number.h"

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <numeric>
#include <span>

namespace betony::runtime {

namespace {

__extension__ typedef unsigned __int128 Wide;
using Limb = Natural::Limb;
using Limbs = std::vector<Limb>;
using Row = std::span<const Limb>;

constexpr unsigned limb_bits = 32;
constexpr std::uint64_t base = std::uint64_t{1} << limb_bits;

int width(std::uint64_t number) { return 64 - std::countl_zero(number); }

Limb low_half(std::uint64_t pair) { return static_cast<Limb>(pair & (base - 1)); }

// The limbs of a Natural as a row, without a copy of those that it owns.
class View {
 public:
  explicit View(const Natural& number) : own_{low_half(number.small()), low_half(number.small() >> limb_bits)}, row_(number.limbs()) {
    if (number.is_small()) row_ = Row(own_).first(own_[1] != 0 ? 2 : own_[0] != 0 ? 1 : 0);
  }
  View(const View&) = delete;
  View& operator=(const View&) = delete;
  Row row() const { return row_; }

 private:
  std::array<Limb, 2> own_;
  Row row_;
};

Natural natural(Wide wide) {
  const auto low = static_cast<std::uint64_t>(wide), high = static_cast<std::uint64_t>(wide >> 64);
  if (high == 0) return low;
  return Natural(Limbs{low_half(low), low_half(low >> limb_bits), low_half(high), low_half(high >> limb_bits)});
}

Wide wide_product(std::uint64_t a, std::uint64_t b) { return Wide{a} * b; }

bool both_small(const Natural& a, const Natural& b) { return a.is_small() && b.is_small(); }

Natural add_rows(Row longer, Row shorter) {
  if (longer.size() < shorter.size()) std::swap(longer, shorter);
  Limbs out;
  out.reserve(longer.size() + 1);
  std::uint64_t carry = 0;
  for (std::size_t i = 0; i < longer.size(); ++i) {
    carry += std::uint64_t{longer[i]} + (i < shorter.size() ? shorter[i] : 0);
    out.push_back(low_half(carry));
    carry >>= limb_bits;
  }
  out.push_back(low_half(carry));
  return Natural(std::move(out));
}

Natural add(const Natural& a, const Natural& b) {
  if (both_small(a, b)) return natural(Wide{a.small()} + b.small());
  return add_rows(View(a).row(), View(b).row());
}

Natural subtract_rows(Row a, Row b) {
  Limbs out(a.size());
  std::uint64_t borrow = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    const std::uint64_t difference = std::uint64_t{a[i]} - (i < b.size() ? b[i] : 0) - borrow;
    out[i] = low_half(difference);
    borrow = difference >> 63;
  }
  return Natural(std::move(out));
}

// a >= b.
Natural subtract(const Natural& a, const Natural& b) {
  if (both_small(a, b)) return a.small() - b.small();
  return subtract_rows(View(a).row(), View(b).row());
}

Natural multiply_rows(Row a, Row b) {
  Limbs out(a.size() + b.size());
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::uint64_t carry = 0;
    for (std::size_t j = 0; j < b.size(); ++j) {
      carry += std::uint64_t{a[i]} * b[j] + out[i + j];    // at most 2^64 - 1
      out[i + j] = low_half(carry);
      carry >>= limb_bits;
    }
    out[i + b.size()] = low_half(carry);
  }
  return Natural(std::move(out));
}

Natural multiply(const Natural& a, const Natural& b) {
  if (both_small(a, b)) return natural(wide_product(a.small(), b.small()));
  if (a.is(1)) return b;
  if (b.is(1)) return a;
  return multiply_rows(View(a).row(), View(b).row());
}

// The row times 2^places, one limb longer than it need be at most.
Limbs shifted(Row row, std::size_t places) {
  const std::size_t whole = places / limb_bits;
  const auto part = static_cast<unsigned>(places % limb_bits);
  Limbs out(whole);
  out.reserve(whole + row.size() + 1);
  std::uint64_t carry = 0;
  for (const Limb limb : row) {
    carry |= std::uint64_t{limb} << part;
    out.push_back(low_half(carry));
    carry >>= limb_bits;
  }
  out.push_back(low_half(carry));
  return out;
}

Natural shift(const Natural& number, std::size_t places) { return Natural(shifted(View(number).row(), places)); }

// The row divided by 2^places, under 2^32, in place.
void shift_back(std::span<Limb> row, unsigned places) {
  std::uint64_t higher = 0;
  for (std::size_t i = row.size(); i-- > 0;) {
    higher = higher << limb_bits | row[i];
    row[i] = low_half(higher >> places);
  }
}

struct Parts {
  Natural quotient, rest;
};

// Divides the row in place; returns the rest.
Limb divide_by_limb(std::span<Limb> row, Limb divisor) {
  std::uint64_t rest = 0;
  for (std::size_t i = row.size(); i-- > 0;) {
    rest = rest << limb_bits | row[i];
    row[i] = static_cast<Limb>(rest / divisor);
    rest %= divisor;
  }
  return static_cast<Limb>(rest);
}

// Step D3: the next limb of the quotient from the three highest of `top` (one longer than `bottom`); right, or one too much.
std::uint64_t guess(Row top, Row bottom) {
  const std::size_t n = bottom.size();
  const std::uint64_t leading = std::uint64_t{top[n]} << limb_bits | top[n - 1];
  std::uint64_t quotient = leading / bottom[n - 1], rest = leading % bottom[n - 1];
  while (quotient >= base || quotient * bottom[n - 2] > (rest << limb_bits | top[n - 2])) {
    --quotient;
    rest += bottom[n - 1];
    if (rest >= base) break;
  }
  return quotient;
}

// Step D4: top -= times * bottom; whether that went below 0, and 2 to the bits of `top` was added.
bool subtract_multiple(std::span<Limb> top, Row bottom, std::uint64_t times) {
  std::uint64_t carry = 0;    // of the product, and what was borrowed: under 2^32
  for (std::size_t i = 0; i < bottom.size(); ++i) {
    carry += times * bottom[i];
    const Limb taken = low_half(carry);
    carry = (carry >> limb_bits) + (top[i] < taken);
    top[i] -= taken;
  }
  const bool below = top[bottom.size()] < carry;
  top[bottom.size()] -= low_half(carry);
  return below;
}

// Step D6: top += bottom; what is carried past the end is what D4 had added.
void add_back(std::span<Limb> top, Row bottom) {
  std::uint64_t carry = 0;
  for (std::size_t i = 0; i < bottom.size(); ++i) {
    carry += std::uint64_t{top[i]} + bottom[i];
    top[i] = low_half(carry);
    carry >>= limb_bits;
  }
  top[bottom.size()] += low_half(carry);
}

// Algorithm D. `bottom` has at least two limbs, `top` no fewer.
Parts divide_rows(Row top, Row bottom) {
  const auto places = static_cast<unsigned>(std::countl_zero(bottom.back()));
  Limbs rest = shifted(top, places), divisor = shifted(bottom, places);
  divisor.pop_back();    // a 0
  const std::size_t n = divisor.size();
  Limbs quotient(rest.size() - n);
  for (std::size_t j = quotient.size(); j-- > 0;) {
    const std::span<Limb> part = std::span(rest).subspan(j, n + 1);
    std::uint64_t times = guess(part, divisor);
    if (subtract_multiple(part, divisor, times)) {
      --times;
      add_back(part, divisor);
    }
    quotient[j] = low_half(times);
  }
  rest.resize(n);
  shift_back(rest, places);
  return {Natural(std::move(quotient)), Natural(std::move(rest))};
}

// b is not 0.
Parts divide(const Natural& a, const Natural& b) {
  if (both_small(a, b)) return {a.small() / b.small(), a.small() % b.small()};
  if (a < b) return {0, a};
  const View top(a), bottom(b);
  if (bottom.row().size() > 1) return divide_rows(top.row(), bottom.row());
  Limbs quotient(top.row().begin(), top.row().end());
  const Limb rest = divide_by_limb(quotient, bottom.row()[0]);
  return {Natural(std::move(quotient)), rest};
}

Natural quotient(const Natural& a, const Natural& b) { return b.is(1) ? a : divide(a, b).quotient; }

// Some steps of Euclid's algorithm at once: of numbers a >= b it makes a_by_a * a + a_by_b * b and b_by_a * a + b_by_b * b.
struct Steps {
  std::int64_t a_by_a = 1, a_by_b = 0, b_by_a = 0, b_by_b = 1;    // under 2^31 without their signs; one of each two is not over 0
};

constexpr unsigned window = 62;    // bits, so that with a factor added they are no more than 63

// The bits of the row from `from` on, of which there are at most `window`.
std::int64_t bits_from(Row row, std::size_t from) {
  Wide bits = 0;
  for (std::size_t i = std::min(row.size(), from / limb_bits + 3); i-- > from / limb_bits;) bits = bits << limb_bits | row[i];
  return static_cast<std::int64_t>(bits >> from % limb_bits);
}

// Lehmer's: as many steps as are the same for all numbers that begin with a and b, 2^62 > a >= b, and are cut at the same place.
// No factor gets to 2^31: the two conditions keep a new one under the b before it, and times that b it is at most the a of the start.
Steps steps_of(std::int64_t a, std::int64_t b) {
  Steps s;
  while (b + s.b_by_a > 0 && b + s.b_by_b > 0) {
    const std::int64_t times = (a + s.a_by_a) / (b + s.b_by_a);
    if (times != (a + s.a_by_b) / (b + s.b_by_b)) break;
    s = {s.b_by_a, s.b_by_b, s.a_by_a - times * s.b_by_a, s.a_by_b - times * s.b_by_b};
    a = std::exchange(b, a - times * b);
  }
  return s;
}

// by_a * a + by_b * b, factors as in Steps, where that is from 0 to a; `a` has no fewer limbs than `b`.
Natural combined(Row a, Row b, std::int64_t by_a, std::int64_t by_b) {
  Limbs out(a.size());
  std::int64_t carry = 0;    // at most 2^31, of either sign
  for (std::size_t i = 0; i < a.size(); ++i) {
    carry += by_a * a[i] + (i < b.size() ? by_b * b[i] : 0);
    out[i] = low_half(static_cast<std::uint64_t>(carry));
    carry >>= limb_bits;
  }
  return Natural(std::move(out));
}

// Takes the pair some steps further, or not at all where the next one is in doubt. a >= b, and a is not small.
bool shorten(Natural& a, Natural& b) {
  const std::size_t from = a.bits() - window;
  Natural next_a, next_b;
  {
    const View top(a), bottom(b);
    const Steps s = steps_of(bits_from(top.row(), from), bits_from(bottom.row(), from));
    if (s.a_by_b == 0) return false;
    next_a = combined(top.row(), bottom.row(), s.a_by_a, s.a_by_b);
    next_b = combined(top.row(), bottom.row(), s.b_by_a, s.b_by_b);
  }
  a = std::move(next_a);
  b = std::move(next_b);
  return true;
}

// Euclid's algorithm, about 30 bits at a time (Knuth 4.5.2, algorithm L), until both numbers fit in 64.
Natural common_divisor(const Natural& a, const Natural& b) {
  if (a.is(1) || b.is(1)) return 1;
  if (both_small(a, b)) return std::gcd(a.small(), b.small());
  Natural greater = std::max(a, b), lesser = std::min(a, b);
  while (!greater.is_small()) {
    if (lesser.is(0)) return greater;
    if (shorten(greater, lesser)) continue;
    Natural rest = divide(greater, lesser).rest;
    greater = std::move(lesser);
    lesser = std::move(rest);
  }
  return std::gcd(greater.small(), lesser.small());
}

constexpr std::uint64_t small_power_of_ten(std::size_t exponent) {    // at most 19
  std::uint64_t power = 1;
  while (exponent-- > 0) power *= 10;
  return power;
}

Natural power_of_ten(std::size_t exponent) {
  Natural power = 1;
  for (; exponent > 19; exponent -= 19) power = multiply(power, small_power_of_ten(19));
  return multiply(power, small_power_of_ten(exponent));
}

bool are_digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// Of digits alone.
Natural read_digits(std::string_view digits) {
  Natural value;
  while (!digits.empty()) {
    const std::string_view piece = digits.substr(0, 19);
    std::uint64_t number = 0;
    for (const char c : piece) number = number * 10 + static_cast<std::uint64_t>(c - '0');
    value = add(multiply(value, small_power_of_ten(piece.size())), number);
    digits.remove_prefix(piece.size());
  }
  return value;
}

std::string digits_of(const Natural& number) {
  if (number.is_small()) return std::to_string(number.small());
  std::string backwards;
  Limbs left = number.limbs();
  while (!left.empty()) {
    Limb nine = divide_by_limb(left, 1'000'000'000);
    for (int i = 0; i < 9; ++i, nine /= 10) backwards += static_cast<char>('0' + nine % 10);
    while (!left.empty() && left.back() == 0) left.pop_back();
  }
  backwards.erase(backwards.find_last_not_of('0') + 1);
  return {backwards.rbegin(), backwards.rend()};
}

// How many places a fraction over it, in lowest terms, has after the point; nothing where they do not end, or are more than `most`.
std::optional<std::size_t> decimal_places(const Natural& bottom, std::size_t most) {
  if (bottom.bits() > most * 4) return {};    // over 10^most, and it would have to divide that
  if (!divide(power_of_ten(most), bottom).rest.is(0)) return {};
  std::size_t places = 0;
  for (Natural power = 1; !divide(power, bottom).rest.is(0); power = multiply(power, 10)) ++places;
  return places;
}

constexpr int mantissa_bits = std::numeric_limits<double>::digits;                                   // 53
constexpr int least_exponent = std::numeric_limits<double>::min_exponent - mantissa_bits;            // -1074
constexpr int greatest_exponent = std::numeric_limits<double>::max_exponent;                         // 1024

// The double nearest to (mantissa + something from 0 up to 1) * 2^exponent, where the something is over 0 only if `more`.
// 2^62 <= mantissa.
double round(std::uint64_t mantissa, bool more, int exponent) {
  const int drop = std::max(width(mantissa) - mantissa_bits, least_exponent - exponent);
  if (drop > 64) return 0;
  const Wide all = mantissa, half = Wide{1} << (drop - 1), lost = all & (2 * half - 1);
  auto kept = static_cast<std::uint64_t>(all >> drop);
  if (lost > half || (lost == half && (more || kept % 2 == 1))) ++kept;    // at most 2^53: exact from here on
  if (width(kept) + exponent + drop > greatest_exponent) return std::numeric_limits<double>::infinity();
  return std::ldexp(static_cast<double>(kept), exponent + drop);
}

// top / bottom, neither of them 0.
double nearest(const Natural& top, const Natural& bottom) {
  const auto top_bits = static_cast<std::int64_t>(top.bits()), bottom_bits = static_cast<std::int64_t>(bottom.bits());
  const std::int64_t magnitude = top_bits - bottom_bits;    // it lies between 2^(magnitude - 1) and 2^(magnitude + 1)
  if (magnitude > greatest_exponent + 1) return std::numeric_limits<double>::infinity();
  if (magnitude < least_exponent - 2) return 0;
  const int exponent = static_cast<int>(magnitude) - 63;
  const auto places = static_cast<std::size_t>(std::abs(exponent));
  const Parts parts = exponent < 0 ? divide(shift(top, places), bottom) : divide(top, shift(bottom, places));
  return round(parts.quotient.small(), !parts.rest.is(0), exponent);    // from 2^62 up to 2^64
}

}  // namespace

Natural::Natural(std::vector<Limb> limbs) : limbs_(std::move(limbs)) {
  while (!limbs_.empty() && limbs_.back() == 0) limbs_.pop_back();
  if (limbs_.size() > 2) {
    small_ = 1;
    return;
  }
  for (std::size_t i = limbs_.size(); i-- > 0;) small_ = small_ << limb_bits | limbs_[i];
  limbs_ = Limbs();    // owns no memory any more
}

std::size_t Natural::bits() const {
  if (is_small()) return static_cast<std::size_t>(width(small_));
  return (limbs_.size() - 1) * limb_bits + static_cast<std::size_t>(width(limbs_.back()));
}

std::strong_ordering Natural::operator<=>(const Natural& other) const {
  if (const auto order = limbs_.size() <=> other.limbs_.size(); order != 0 || is_small()) return order != 0 ? order : small_ <=> other.small_;
  const auto [mine, theirs] = std::mismatch(limbs_.rbegin(), limbs_.rend(), other.limbs_.rbegin());
  return mine == limbs_.rend() ? std::strong_ordering::equal : *mine <=> *theirs;
}

std::optional<Number> Number::read(std::string_view text, std::size_t longest) {
  if (text.size() > longest) return {};
  const bool negative = text.starts_with('-');
  if (negative || text.starts_with('+')) text.remove_prefix(1);
  const std::size_t mark = std::min(text.find_first_of("./"), text.size());
  const std::string_view before = text.substr(0, mark);
  if (!are_digits(before)) return {};
  if (mark == text.size()) return Number(negative, read_digits(before), 1);
  const std::string_view after = text.substr(mark + 1);
  if (!are_digits(after)) return {};
  if (text[mark] == '/') return divided(Number(negative, read_digits(before), 1), Number(false, read_digits(after), 1));
  const Natural scale = power_of_ten(after.size());
  return divided(Number(negative, add(multiply(read_digits(before), scale), read_digits(after)), 1), Number(false, scale, 1));
}

std::optional<Number> Number::from(double value) {
  if (!std::isfinite(value)) return {};
  std::array<char, 64> room;    // 24 are enough
  const auto written = std::to_chars(room.data(), room.data() + room.size(), value);
  const std::string_view text(room.data(), static_cast<std::size_t>(written.ptr - room.data()));
  const std::size_t mark = std::min(text.find('e'), text.size());
  const std::optional<Number> mantissa = read(text.substr(0, mark));
  if (!mantissa || mark == text.size()) return mantissa;
  int exponent = 0;
  const std::size_t digits = mark + (text[mark + 1] == '+' ? 2 : 1);
  std::from_chars(text.data() + digits, text.data() + text.size(), exponent);
  const Number power(false, power_of_ten(static_cast<std::size_t>(std::abs(exponent))), 1);
  return exponent < 0 ? divided(*mantissa, power) : *mantissa * power;
}

// A sum whose steps fit in 128 bits, else nothing; the same steps as in sum().
std::optional<Number> Number::small_sum(const Number& a, const Number& b, bool b_negative) {
  if (!both_small(a.top_, a.bottom_) || !both_small(b.top_, b.bottom_)) return {};
  const std::uint64_t shared = std::gcd(a.bottom_.small(), b.bottom_.small());
  const std::uint64_t a_part = a.bottom_.small() / shared, b_part = b.bottom_.small() / shared;
  const Wide x = wide_product(a.top_.small(), b_part), y = wide_product(b.top_.small(), a_part);
  const bool alike = a.negative_ == b_negative;
  const Wide top = alike ? x + y : x < y ? y - x : x - y;
  if (alike && top < x) return {};    // past 128 bits
  const std::uint64_t again = std::gcd(static_cast<std::uint64_t>(top % shared), shared);
  const bool negative = !alike && x < y ? b_negative : a.negative_;
  return Number(negative, natural(top / again), natural(wide_product(a_part, b.bottom_.small() / again)));
}

// Over the least common denominator. What the new numerator can still have in common with that, it has in common with what the
// denominators shared, so both divisors are looked for among short numbers.
Number Number::sum(const Number& a, const Number& b, bool b_negative) {
  if (auto small = small_sum(a, b, b_negative)) return *std::move(small);
  const Natural shared = common_divisor(a.bottom_, b.bottom_);
  const Natural a_part = quotient(a.bottom_, shared);
  const Natural x = multiply(a.top_, quotient(b.bottom_, shared)), y = multiply(b.top_, a_part);
  const bool alike = a.negative_ == b_negative;
  const Natural top = alike ? add(x, y) : x < y ? subtract(y, x) : subtract(x, y);
  const Natural again = common_divisor(top, shared);
  const bool negative = !alike && x < y ? b_negative : a.negative_;
  return Number(negative, quotient(top, again), multiply(a_part, quotient(b.bottom_, again)));
}

// a times a fraction in lowest terms: only what stands across can have something in common.
Number Number::product(const Number& a, bool negative, const Natural& top, const Natural& bottom) {
  const Natural down = common_divisor(a.top_, bottom), up = common_divisor(top, a.bottom_);
  return Number(a.negative_ != negative, multiply(quotient(a.top_, down), quotient(top, up)),
                multiply(quotient(a.bottom_, up), quotient(bottom, down)));
}

std::optional<Number> divided(const Number& a, const Number& b) {
  if (b.top_.is(0)) return {};
  return Number::product(a, b.negative_, b.bottom_, b.top_);
}

std::strong_ordering Number::operator<=>(const Number& other) const {
  if (const auto order = sign() <=> other.sign(); order != 0) return order;
  const Number& less = negative_ ? other : *this;    // if it is less without its sign
  const Number& more = negative_ ? *this : other;
  if (less.bottom_ == more.bottom_) return less.top_ <=> more.top_;
  if (both_small(less.top_, less.bottom_) && both_small(more.top_, more.bottom_)) {
    const Wide x = wide_product(less.top_.small(), more.bottom_.small()), y = wide_product(more.top_.small(), less.bottom_.small());
    return x < y ? std::strong_ordering::less : std::strong_ordering::greater;    // not equal: they are in lowest terms
  }
  return multiply(less.top_, more.bottom_) <=> multiply(more.top_, less.bottom_);
}

Number Number::floor() const {
  if (is_integer()) return *this;
  const Natural whole = quotient(top_, bottom_);
  return Number(negative_, negative_ ? add(whole, 1) : whole, 1);
}

std::size_t Number::bits() const { return std::max(top_.bits(), bottom_.bits()); }

// Without its sign.
std::optional<std::string> Number::decimal() const {
  const auto places = decimal_places(bottom_, most_digits - 1);
  if (!places || top_.bits() > most_digits * 4) return {};    // the latter: over 10^most_digits, and the digits say no less
  std::string digits = digits_of(multiply(top_, quotient(power_of_ten(*places), bottom_)));
  if (digits.size() <= *places) digits.insert(0, *places + 1 - digits.size(), '0');
  if (digits.size() > most_digits) return {};
  return digits.insert(digits.size() - *places, 1, '.');
}

std::string Number::words() const {
  const std::string sign = negative_ ? "-" : "";
  if (is_integer()) return sign + digits_of(top_);
  if (const auto text = decimal()) return sign + *text;
  return sign + digits_of(top_) + "/" + digits_of(bottom_);
}

double Number::near() const {
  if (top_.is(0)) return 0;
  const double size = nearest(top_, bottom_);
  return negative_ && size != 0 ? -size : size;
}

}  // namespace betony::runtime
