#include "compiler/measure_solver.h"

#include <dlfcn.h>
#include <z3.h>

#include <algorithm>

namespace betony::cutting {
namespace {

// ---------------------------------------------------------------- the library, opened late

#define BETONY_Z3_CALLS(CALL)                                                                                          \
  CALL(global_param_set) CALL(mk_config) CALL(del_config) CALL(mk_context) CALL(del_context) CALL(set_error_handler)    \
  CALL(get_error_code) CALL(mk_string_symbol) CALL(mk_real_sort) CALL(mk_int_sort) CALL(mk_const) CALL(mk_numeral)      \
  CALL(mk_int2real) CALL(mk_add) CALL(mk_sub) CALL(mk_mul) CALL(mk_eq) CALL(mk_le) CALL(mk_lt) CALL(mk_or)              \
  CALL(mk_tactic) CALL(tactic_inc_ref) CALL(tactic_dec_ref) CALL(mk_solver_from_tactic) CALL(mk_simple_solver)           \
  CALL(solver_inc_ref) CALL(solver_dec_ref) CALL(mk_params) CALL(params_inc_ref) CALL(params_dec_ref)                    \
  CALL(params_set_uint) CALL(solver_set_params) CALL(solver_assert) CALL(solver_check) CALL(solver_get_model)            \
  CALL(model_inc_ref) CALL(model_dec_ref) CALL(model_eval) CALL(is_numeral_ast) CALL(is_algebraic_number)                \
  CALL(get_numeral_string) CALL(get_algebraic_number_lower)

struct Library {
#define CALL(name) decltype(&Z3_##name) name = nullptr;
  BETONY_Z3_CALLS(CALL)
#undef CALL
  bool is_there = false;

  Library() {
    void* opened = ::dlopen(BETONY_Z3_LIBRARY, RTLD_NOW | RTLD_LOCAL);
    if (!opened) return;
    is_there = true;
#define CALL(call)                                                                  \
  call = reinterpret_cast<decltype(&Z3_##call)>(::dlsym(opened, "Z3_" #call));      \
  is_there = is_there && call != nullptr;
    BETONY_Z3_CALLS(CALL)
#undef CALL
    if (is_there) global_param_set("memory_max_size", "600");  // MB; past it a question is given up
  }
};

const Library& z3() {
  static const Library library;
  return library;
}

// ---------------------------------------------------------------- powers

struct Powers {
  unsigned over = 0, under = 0;  // of the dividend, of the divisor
};

Powers powers_of(const Formula& f) {
  const auto kept = [](unsigned power) { return std::min(power, 1'000'000u); };
  Powers result;
  if (f.kind == Formula::Kind::finding) result.over = 1;
  for (std::size_t i = 0; i < f.parts.size(); ++i) {
    const Powers part = powers_of(f.parts[i]);
    if (i == 0) result = part;
    else if (f.kind == Formula::Kind::multiply) result = {kept(result.over + part.over), kept(result.under + part.under)};
    else if (f.kind == Formula::Kind::divide) result = {kept(result.over + part.under), kept(result.under + part.over)};
    else result = {kept(std::max(result.over + part.under, part.over + result.under)), kept(result.under + part.under)};
  }
  return result;
}

// ---------------------------------------------------------------- one question

struct Quotient {
  Z3_ast over = nullptr, under = nullptr;  // no divisor: 1
  bool under_is_below = false;             // below 0 wherever the inputs may be
};

class Question {
 public:
  Question(Z3_context context, const Sides& sides, bool whole) : context_(context) {
    real_ = z3().mk_real_sort(context_);
    if (whole) {
      solver_ = z3().mk_simple_solver(context_);
      z3().solver_inc_ref(context_, solver_);
    } else {
      Z3_tactic tactic = z3().mk_tactic(context_, "qfnra-nlsat");
      z3().tactic_inc_ref(context_, tactic);
      solver_ = z3().mk_solver_from_tactic(context_, tactic);
      z3().solver_inc_ref(context_, solver_);
      z3().tactic_dec_ref(context_, tactic);
    }
    Z3_params params = z3().mk_params(context_);
    z3().params_inc_ref(context_, params);
    z3().params_set_uint(context_, params, z3().mk_string_symbol(context_, "rlimit"),
                         whole ? MeasureSolver::most_effort_in_steps : MeasureSolver::most_effort);
    z3().solver_set_params(context_, solver_, params);
    z3().params_dec_ref(context_, params);
    for (const Side& side : sides) {
      ranges_.push_back({side.low, side.high});
      inputs_.push_back(input(side));
    }
  }
  ~Question() {
    if (model_) z3().model_dec_ref(context_, model_);
    z3().solver_dec_ref(context_, solver_);
  }
  Question(const Question&) = delete;
  Question& operator=(const Question&) = delete;

  void want(const Wanted& wanted) {
    const Quotient value = quotient(*wanted.formula);
    if (wanted.interval.low) compare(constant(*wanted.interval.low), value, wanted.interval.low_in);
    if (wanted.interval.high) compare(value, constant(*wanted.interval.high), wanted.interval.high_in);
  }

  Z3_lbool ask() {
    const Z3_lbool result = z3().solver_check(context_, solver_);
    if (result != Z3_L_TRUE) return z3().get_error_code(context_) == Z3_OK ? result : Z3_L_UNDEF;
    model_ = z3().solver_get_model(context_, solver_);
    if (!model_) return Z3_L_UNDEF;
    z3().model_inc_ref(context_, model_);
    return result;
  }

  // The model's number for an input; if it is no fraction, one just below it, and `exact` is false.
  std::optional<Rational> number(std::size_t at, bool& exact) {
    Z3_ast value = nullptr;
    if (!z3().model_eval(context_, model_, inputs_[at], true, &value) || !value) return std::nullopt;
    exact = z3().is_numeral_ast(context_, value);
    if (!exact) {
      if (!z3().is_algebraic_number(context_, value)) return std::nullopt;
      value = z3().get_algebraic_number_lower(context_, value, 12);
    }
    Rational number;
    if (number.set_str(z3().get_numeral_string(context_, value), 10) != 0) return std::nullopt;
    number.canonicalize();
    return number;
  }

 private:
  void hold(Z3_ast fact) { z3().solver_assert(context_, solver_, fact); }
  Z3_ast numeral(const Rational& x) { return z3().mk_numeral(context_, x.get_str().c_str(), real_); }
  Quotient constant(const Rational& x) { return {numeral(x), nullptr, false}; }
  Z3_ast product(Z3_ast a, Z3_ast b) {
    if (!a || !b) return a ? a : b;
    const Z3_ast parts[] = {a, b};
    return z3().mk_mul(context_, 2, parts);
  }
  Z3_ast variable(Z3_sort sort) {
    const std::string name = "n" + std::to_string(names_++);
    return z3().mk_const(context_, z3().mk_string_symbol(context_, name.c_str()), sort);
  }

  Z3_ast input(const Side& side) {
    if (side.low == side.high) return numeral(side.low);
    if (side.step == 0) {
      const Z3_ast x = variable(real_), low = numeral(side.low), high = numeral(side.high);
      hold(side.low_in ? z3().mk_le(context_, low, x) : z3().mk_lt(context_, low, x));
      hold(side.high_in ? z3().mk_le(context_, x, high) : z3().mk_lt(context_, x, high));
      return x;
    }
    const Z3_sort whole = z3().mk_int_sort(context_);
    const Z3_ast steps = variable(whole);
    const Rational count = (side.high - side.low) / side.step;
    hold(z3().mk_le(context_, z3().mk_numeral(context_, "0", whole), steps));
    hold(z3().mk_le(context_, steps, z3().mk_numeral(context_, count.get_str().c_str(), whole)));
    const Z3_ast parts[] = {numeral(side.low), product(numeral(side.step), z3().mk_int2real(context_, steps))};
    return z3().mk_add(context_, 2, parts);
  }

  // a <= b, or a < b.
  Z3_ast at_most(const Quotient& a, const Quotient& b, bool or_equal) {
    Z3_ast left = product(a.over, b.under), right = product(b.over, a.under);
    if (a.under_is_below != b.under_is_below) std::swap(left, right);
    return or_equal ? z3().mk_le(context_, left, right) : z3().mk_lt(context_, left, right);
  }
  void compare(const Quotient& a, const Quotient& b, bool or_equal) { hold(at_most(a, b, or_equal)); }

  Quotient quotient(const Formula& f) {
    std::vector<Quotient> parts;
    for (const Formula& part : f.parts) parts.push_back(quotient(part));
    switch (f.kind) {
      case Formula::Kind::finding: return {inputs_[f.index], nullptr, false};
      case Formula::Kind::negate: return {product(numeral(-1), parts[0].over), parts[0].under, parts[0].under_is_below};
      case Formula::Kind::add: case Formula::Kind::subtract: return sum(parts[0], parts[1], f.kind == Formula::Kind::subtract);
      case Formula::Kind::multiply:
        return {product(parts[0].over, parts[1].over), product(parts[0].under, parts[1].under), parts[0].under_is_below != parts[1].under_is_below};
      case Formula::Kind::divide: {
        const Z3_ast over = product(parts[0].over, parts[1].under), under = product(parts[0].under, parts[1].over);
        const bool divisor_is_below = range_of(f.parts[1], ranges_).high < 0;
        return {over, under, (parts[0].under_is_below != parts[1].under_is_below) != divisor_is_below};
      }
      case Formula::Kind::least: case Formula::Kind::most: return extreme(parts, f.kind == Formula::Kind::least);
      case Formula::Kind::number: case Formula::Kind::measure: case Formula::Kind::tally: break;
    }
    return constant(f.number);
  }

  Quotient sum(const Quotient& a, const Quotient& b, bool minus) {
    const Z3_ast parts[] = {product(a.over, b.under), product(b.over, a.under)};
    const Z3_ast over = minus ? z3().mk_sub(context_, 2, parts) : z3().mk_add(context_, 2, parts);
    return {over, product(a.under, b.under), a.under_is_below != b.under_is_below};
  }

  // A number that is no further than any of them, and is one of them.
  Quotient extreme(const std::vector<Quotient>& parts, bool least) {
    const Quotient result{variable(real_), nullptr, false};
    std::vector<Z3_ast> ones;
    for (const Quotient& part : parts) {
      hold(least ? at_most(result, part, true) : at_most(part, result, true));
      ones.push_back(least ? at_most(part, result, true) : at_most(result, part, true));
    }
    hold(z3().mk_or(context_, static_cast<unsigned>(ones.size()), ones.data()));
    return result;
  }

  Z3_context context_;
  Z3_solver solver_ = nullptr;
  Z3_model model_ = nullptr;
  Z3_sort real_ = nullptr;
  unsigned names_ = 0;
  std::vector<Range<Rational>> ranges_;
  std::vector<Z3_ast> inputs_;
};

bool is_whole(const Side& side) { return side.step != 0 && side.low != side.high; }

Interval open_inside(Interval interval) {
  if (interval.low && interval.high && *interval.low == *interval.high) return interval;
  interval.low_in = interval.high_in = false;
  return interval;
}

// The multiple of 1 / grain nearest to x.
Rational rounded(const Rational& x, const mpz_class& grain) {
  Rational result(floor_of(x * grain + Rational(1, 2)), grain);
  result.canonicalize();
  return result;
}

}  // namespace

// ---------------------------------------------------------------- asking

struct MeasureSolver::Met {
  Z3_lbool answer = Z3_L_UNDEF;
  std::vector<Rational> numbers;
  std::vector<bool> exact;
  bool is_fraction() const { return std::find(exact.begin(), exact.end(), false) == exact.end(); }
};

MeasureSolver::Met MeasureSolver::meet(const Sides& sides, const std::vector<Wanted>& wanted) {
  ++questions_;
  Met met;
  if (!context_) {
    Z3_config config = z3().mk_config();
    Z3_context made = z3().mk_context(config);
    z3().del_config(config);
    z3().set_error_handler(made, nullptr);
    context_ = std::shared_ptr<void>(made, [](void* context) { z3().del_context(static_cast<Z3_context>(context)); });
  }
  Question question(static_cast<Z3_context>(context_.get()), sides, std::any_of(sides.begin(), sides.end(), is_whole));
  for (const Wanted& each : wanted) question.want(each);
  met.answer = question.ask();
  if (met.answer != Z3_L_TRUE) return met;
  for (std::size_t i = 0; i < sides.size(); ++i) {
    bool exact = true;
    const auto number = question.number(i, exact);
    if (!number) return {};
    met.numbers.push_back(*number);
    met.exact.push_back(exact);
  }
  return met;
}

// Fixes the inputs that are no fractions one by one, at few digits.
bool MeasureSolver::fix(Sides& sides, const std::vector<Wanted>& wanted, Met met, std::vector<Rational>& numbers) {
  for (std::size_t i = 0; i < sides.size() && !met.is_fraction(); ++i) {
    if (met.exact[i]) continue;
    const Side side = sides[i];
    bool fixed = false;
    for (const char* grain : {"1", "10", "100", "10000", "10000000"}) {
      const Rational x = rounded(met.numbers[i], mpz_class(grain));
      if (!side.contains(x)) continue;
      sides[i] = {x, x, true, true, side.step};
      Met next = meet(sides, wanted);
      fixed = next.answer == Z3_L_TRUE;
      if (!fixed) continue;
      met = std::move(next);
      break;
    }
    if (!fixed) sides[i] = side;
  }
  numbers = met.numbers;
  return met.is_fraction();
}

MeasureSolver::Result MeasureSolver::ask(const Sides& sides, const std::vector<Wanted>& wanted) {
  if (!z3().is_there) return {};
  for (const Wanted& each : wanted)
    if (const Powers powers = powers_of(*each.formula); powers.over > most_power || powers.under > most_power) return {};
  Met met = meet(sides, wanted);
  if (met.answer == Z3_L_FALSE) return {Answer::nobody, {}};
  if (met.answer == Z3_L_UNDEF) return {};
  if (met.is_fraction()) return {Answer::found, met.numbers};
  Result result{Answer::found, {}};
  Sides trial = sides;
  if (fix(trial, wanted, met, result.numbers)) return result;
  // On open ground there are fractions beside every number.
  Sides inside = sides;
  for (Side& side : inside)
    if (side.low != side.high && side.step == 0) side.low_in = side.high_in = false;
  std::vector<Wanted> open;
  for (const Wanted& each : wanted) open.push_back({each.formula, open_inside(each.interval)});
  met = meet(inside, open);
  if (met.answer == Z3_L_TRUE && (met.is_fraction() || fix(inside, open, met, result.numbers))) {
    if (met.is_fraction()) result.numbers = met.numbers;
    return result;
  }
  return {Answer::no_fraction, {}};
}

}  // namespace betony::cutting
