#include "tests/oracle/finite.h"

#include <algorithm>
#include <map>

namespace betony::oracle {

namespace {

using Kind = Node::Kind;

class Maker {
 public:
  Maker(Statement& statement, Keep keep) : s_(statement), keep_(keep) {}

  Formula of(Formula f) {
    const auto known = done_.find(f);
    if (known != done_.end()) return known->second;
    const Node n = s_.node(f);  // a copy: the list of nodes grows
    std::vector<Formula> parts;
    for (Formula part : n.parts) parts.push_back(of(part));
    Formula result = f;
    switch (n.kind) {
      case Kind::negation: result = s_.no(parts[0]); break;
      case Kind::all: result = s_.all(std::move(parts)); break;
      case Kind::any: result = s_.any(std::move(parts)); break;
      case Kind::sum: result = keep_.sums ? s_.sum(std::move(parts), n.points, n.inclusive, n.bound) : sum(n, parts); break;
      case Kind::measure: result = measure(n); break;
      default: break;
    }
    done_[f] = result;
    return result;
  }

 private:
  // ---- sums

  Formula sum(const Node& n, const std::vector<Formula>& parts) {
    std::map<std::pair<std::size_t, Fraction>, Formula> known;
    std::vector<Fraction> least(n.points.size() + 1, 0), most(n.points.size() + 1, 0);  // that the parts from here on may add
    for (std::size_t i = n.points.size(); i-- > 0;) {
      least[i] = least[i + 1] + std::min(Fraction(0), n.points[i]);
      most[i] = most[i + 1] + std::max(Fraction(0), n.points[i]);
    }
    const auto fits = [&](const Fraction& total) { return total < n.bound || (n.inclusive && total == n.bound); };
    const auto from = [&](const auto& again, std::size_t i, const Fraction& so_far) -> Formula {
      if (fits(Fraction(so_far + most[i]))) return s_.constant(true);
      if (!fits(Fraction(so_far + least[i]))) return s_.constant(false);
      const auto at = known.find({i, so_far});
      if (at != known.end()) return at->second;
      const Formula with = again(again, i + 1, Fraction(so_far + n.points[i])), without = again(again, i + 1, so_far);
      const Formula result = s_.any({s_.all({parts[i], with}), s_.all({s_.no(parts[i]), without})});
      known[{i, so_far}] = result;
      return result;
    };
    return from(from, 0, Fraction(0));
  }

  // ---- measures

  Formula measure(const Node& n) {
    const Arithmetic arithmetic = s_.measures[static_cast<std::size_t>(n.measure)];
    const std::vector<int> from = inputs(arithmetic);
    std::vector<Fraction> values(s_.variables.size());
    const auto fits = [&] {
      const Fraction v = value(arithmetic, values);
      return v < n.bound || (n.inclusive && v == n.bound);
    };
    const auto over = [&](const auto& again, std::size_t i) -> Formula {
      if (i == from.size()) return s_.constant(fits());
      const auto v = static_cast<std::size_t>(from[i]);
      const Variable x = s_.variables[v];
      std::vector<Formula> ranges{};
      Formula run = -1;
      Fraction begin;
      const auto close = [&](const Fraction& end) {  // from `begin` to `end`, both in
        if (run < 0) return;
        ranges.push_back(s_.all({run, s_.no(s_.number(from[i], false, begin)), s_.number(from[i], true, end)}));
      };
      Fraction last;
      for (long k = 0; k <= Statement::steps(x); ++k) {
        values[v] = x.low + x.step * k;
        const Formula leads_to = again(again, i + 1);
        if (leads_to != run) {
          close(last);
          run = leads_to;
          begin = values[v];
        }
        last = values[v];
      }
      close(last);
      return s_.any(std::move(ranges));
    };
    return over(over, 0);
  }

  Statement& s_;
  Keep keep_;
  std::map<Formula, Formula> done_;
};

}  // namespace

bool can_be_finite(const Statement& statement, double most) {
  for (const Arithmetic& a : statement.measures) {
    double combinations = 1;
    for (int v : inputs(a)) {
      const Variable& x = statement.variables[static_cast<std::size_t>(v)];
      if (x.step == 0) return false;
      combinations *= static_cast<double>(Statement::steps(x) + 1);
    }
    if (combinations > most) return false;
  }
  return true;
}

std::vector<Formula> finite(Statement& statement, const std::vector<Formula>& formulas, Keep keep) {
  Maker maker(statement, keep);
  std::vector<Formula> result;
  for (Formula f : formulas) result.push_back(maker.of(f));
  return result;
}

}  // namespace betony::oracle
