// tests/drawing/persons.h: persons drawn by chance, always the same ones.
#pragma once

#include <random>

#include "compiler/evaluate.h"

namespace betony::drawing {

class Persons {
 public:
  explicit Persons(const Ruleset& ruleset) : r_(ruleset), dice_(20261126) {}
  // Somebody who is possible.
  Profile next() {
    for (;;) {
      Profile out(r_.findings.size());
      for (std::size_t f = 0; f < out.size(); ++f) out[f] = value(r_.findings[f]);
      if (!broken_background(r_, out)) return out;
    }
  }

 private:
  Value value(const Finding& f) {
    if (f.kind == Finding::Kind::yes_no || f.kind == Finding::Kind::one_of || f.kind == Finding::Kind::grade)
      return {Value::Kind::word, static_cast<Index>(dice_() % f.values.size()), 0};
    if (f.or_never && dice_() % 6 == 0) return {Value::Kind::never, 0, 0};
    const Rational steps = f.step > 0 ? Rational((f.high - f.low) / f.step) : Rational(1000);
    const unsigned long count = mpz_class(steps.get_num() / steps.get_den()).get_ui();
    const Rational step = f.step > 0 ? f.step : Rational((f.high - f.low) / 1000);
    return {Value::Kind::number, 0, f.low + step * Rational(static_cast<unsigned long>(dice_() % (count + 1)))};
  }
  const Ruleset& r_;
  std::mt19937_64 dice_;
};

}  // namespace betony::drawing
