#include "compiler/ship/gates.h"

#include <algorithm>

namespace betony::ship {

// ---------------------------------------------------------------- gates

Operand Gates::gate(Kind kind, std::vector<Operand> operands) {
  const auto [at, is_new] = known_.try_emplace({kind, operands}, 0);
  if (is_new) {
    at->second = program_.slots() * 2;
    program_.gates.push_back({kind, std::move(operands)});
  }
  return at->second;
}

// `neutral` changes nothing in a list, its opposite settles it.
Operand Gates::list(Kind kind, std::vector<Operand> parts, Operand neutral) {
  std::sort(parts.begin(), parts.end());
  parts.erase(std::unique(parts.begin(), parts.end()), parts.end());
  std::erase(parts, neutral);
  if (parts.empty()) return neutral;
  if (parts.front() == opposite(neutral)) return opposite(neutral);
  for (std::size_t i = 1; i < parts.size(); ++i)  // an opposite stands right behind
    if (parts[i] == opposite(parts[i - 1])) return opposite(neutral);
  return parts.size() == 1 ? parts[0] : gate(kind, std::move(parts));
}

Operand Gates::parity(Operand a, Operand b, Operand c) {
  std::vector<Operand> operands;
  Operand turned = 0;
  for (Operand o : {a, b, c}) {  // opposites and constants only turn the result
    turned ^= o & 1u;
    o &= ~1u;
    if (o == no_operand) continue;
    if (const auto twin = std::find(operands.begin(), operands.end(), o); twin != operands.end()) operands.erase(twin);
    else operands.push_back(o);
  }
  if (operands.empty()) return turned;
  std::sort(operands.begin(), operands.end());
  return (operands.size() == 1 ? operands[0] : gate(Kind::parity, std::move(operands))) ^ turned;
}

Operand Gates::most(Operand a, Operand b, Operand c) {
  std::vector<Operand> o{a, b, c};
  std::sort(o.begin(), o.end());
  if (o[0] == no_operand) return all({o[1], o[2]});
  if (o[0] == yes_operand) return any({o[1], o[2]});
  if (o[0] == o[1] || o[1] == o[2]) return o[1];
  if (o[1] == opposite(o[0])) return o[2];
  if (o[2] == opposite(o[1])) return o[0];
  return gate(Kind::most, std::move(o));
}

// ---------------------------------------------------------------- literals

Operand Gates::literal_of_words(const runtime::Variable& variable, const std::vector<bool>& cells) {
  if (variable.inputs == 1) return cells[1] ? input(variable, 0) : opposite(input(variable, 0));  // neither empty nor full
  std::vector<Operand> in, out;
  for (Index c = 0; c < cells.size(); ++c) (cells[c] ? in : out).push_back(input(variable, c));
  return in.size() <= out.size() ? any(std::move(in)) : opposite(any(std::move(out)));
}

Operand Gates::literal_of_numbers(const runtime::Variable& variable, const std::vector<bool>& cells) {
  const Index ends = static_cast<Index>(variable.ends.size());
  const bool may_be_never = variable.inputs > ends;
  std::vector<Operand> runs;
  for (Index c = 0; c <= ends; ++c) {
    if (!cells[c]) continue;
    const Index first = c;
    while (c < ends && cells[c + 1]) ++c;
    std::vector<Operand> run;
    if (first > 0) run.push_back(input(variable, first - 1));
    else if (may_be_never) run.push_back(opposite(input(variable, ends)));
    if (c < ends) run.push_back(opposite(input(variable, c)));
    runs.push_back(all(std::move(run)));
  }
  if (may_be_never && cells[ends + 1]) runs.push_back(input(variable, ends));
  return any(std::move(runs));
}

Operand Gates::literal(const Conditions::Node& node) {
  const runtime::Variable& variable = variables_[node.variable];
  const Dimension& dimension = universe_.variables[node.variable].dimensions[0];
  return dimension.extents[0].kind == Extent::Kind::word ? literal_of_words(variable, node.cells) : literal_of_numbers(variable, node.cells);
}

// ---------------------------------------------------------------- sums

// Three bits of one column become one there and one in the next, until none has more than one.
Gates::Bits Gates::sum(const std::vector<std::pair<Operand, mpz_class>>& items) {
  std::vector<std::vector<Operand>> columns;
  for (const auto& [operand, weight] : items)
    for (std::size_t bit = 0; bit < mpz_sizeinbase(weight.get_mpz_t(), 2); ++bit)
      if (mpz_tstbit(weight.get_mpz_t(), bit)) {
        if (columns.size() <= bit) columns.resize(bit + 1);
        columns[bit].push_back(operand);
      }
  Bits bits;
  for (std::size_t bit = 0; bit < columns.size(); ++bit) {
    for (std::size_t next = 0; columns[bit].size() - next > 1;) {
      auto& column = columns[bit];
      const bool three = column.size() - next > 2;
      const Operand a = column[next], b = column[next + 1], c = three ? column[next + 2] : no_operand;
      next += three ? 3 : 2;
      const Operand here = parity(a, b, c), carried = most(a, b, c);
      if (next == column.size()) {
        column = {here};
        next = 0;
      } else {
        column.push_back(here);
      }
      if (carried == no_operand) continue;
      if (columns.size() == bit + 1) columns.emplace_back();
      columns[bit + 1].push_back(carried);
    }
    bits.push_back(columns[bit].empty() ? no_operand : columns[bit].back());
  }
  return bits;
}

Operand Gates::at_least(const Bits& bits, const mpz_class& number) {
  if (number <= 0) return yes_operand;
  if (mpz_sizeinbase(number.get_mpz_t(), 2) > bits.size()) return no_operand;
  Operand result = yes_operand;  // of the bits below
  for (std::size_t bit = 0; bit < bits.size(); ++bit)
    result = mpz_tstbit(number.get_mpz_t(), bit) ? all({bits[bit], result}) : any({bits[bit], result});
  return result;
}

Operand Gates::counted(const std::vector<Form>& parts, unsigned least) {
  std::vector<std::pair<Operand, mpz_class>> items;
  for (Form part : parts) items.emplace_back(of(part), 1);
  return at_least(sum(items), least);
}

// Points become whole by a common factor; what takes points away counts where it does not hold.
Operand Gates::score(const Conditions::Node& node) {
  mpz_class factor = 1;
  for (const Rational& points : node.points) factor = lcm(factor, points.get_den());
  mpz_class base = 0;
  std::vector<std::pair<Operand, mpz_class>> items;
  for (std::size_t i = 0; i < node.parts.size(); ++i) {
    const mpz_class weight = Rational(node.points[i] * factor).get_num();
    const Operand part = of(node.parts[i]);
    if (weight < 0) base += weight;
    items.emplace_back(weight < 0 ? opposite(part) : part, abs(weight));
  }
  const Bits bits = sum(items);
  const auto floor_of = [](const Rational& x) {
    mpz_class result;
    mpz_fdiv_q(result.get_mpz_t(), x.get_num_mpz_t(), x.get_den_mpz_t());
    return result;
  };
  std::vector<Operand> accepted;
  for (const Interval& interval : node.sums) {
    std::vector<Operand> ends;
    if (interval.low) {
      const Rational low = *interval.low * factor - base;
      const mpz_class whole = floor_of(low);
      ends.push_back(at_least(bits, low == whole && interval.low_in ? whole : mpz_class(whole + 1)));
    }
    if (interval.high) {
      const Rational high = *interval.high * factor - base;
      const mpz_class whole = floor_of(high);
      ends.push_back(opposite(at_least(bits, high == whole && !interval.high_in ? whole : mpz_class(whole + 1))));
    }
    accepted.push_back(all(std::move(ends)));
  }
  return any(std::move(accepted));
}

// ---------------------------------------------------------------- conditions

Operand Gates::of(Form form) {
  if (form == Conditions::never) return no_operand;
  if (form == Conditions::always) return yes_operand;
  if (const auto known = made_.find(form); known != made_.end()) return known->second;
  const Operand made = make(conditions_[form]);
  made_.emplace(form, made);
  return made;
}

Operand Gates::make(const Conditions::Node& node) {
  const auto parts = [&] {
    std::vector<Operand> operands;
    for (Form part : node.parts) operands.push_back(of(part));
    return operands;
  };
  switch (node.kind) {
    case Conditions::Kind::never: return no_operand;
    case Conditions::Kind::always: return yes_operand;
    case Conditions::Kind::literal: return literal(node);
    case Conditions::Kind::negation: return opposite(of(node.parts[0]));
    case Conditions::Kind::all: return all(parts());
    case Conditions::Kind::any: return any(parts());
    case Conditions::Kind::at_least: return counted(node.parts, node.count);
    case Conditions::Kind::score: return score(node);
  }
  return no_operand;
}

}  // namespace betony::ship
