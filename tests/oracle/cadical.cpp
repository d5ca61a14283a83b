// Clauses. Each node is a literal that is equivalent to its parts (Tseitin); a variable of more than two words has
// one literal a word, of which exactly one holds; a number has one literal for each bound in use, and whoever is under the
// lower is under the higher.
#include <cadical.hpp>

#include <algorithm>

#include "tests/oracle/finite.h"
#include "tests/oracle/oracle.h"

namespace betony::oracle {

namespace {

using Kind = Node::Kind;

class Cnf {
 public:
  explicit Cnf(const Statement& statement) : s_(statement), literals_(statement.nodes().size(), 0), of_variable_(statement.variables.size()) {
    yes_ = fresh();
    clause({yes_});
    for (std::size_t v = 0; v < s_.variables.size(); ++v) {
      if (s_.variables[v].is_number) number(static_cast<int>(v));
      else words(v);
    }
  }

  bool satisfiable(Formula f) {
    solver_.assume(literal(f));
    return solver_.solve() == 10;
  }

 private:
  // Where a bound lies among the others of its number: stepped numbers count steps, others keep "under" before "at most".
  struct Bound {
    Fraction at;
    bool inclusive = true;
    friend bool operator<(const Bound& a, const Bound& b) { return a.at < b.at || (a.at == b.at && !a.inclusive && b.inclusive); }
  };

  int fresh() { return ++last_; }

  void clause(const std::vector<int>& literals) {
    for (int l : literals) solver_.add(l);
    solver_.add(0);
  }

  void words(std::size_t v) {
    const int count = s_.variables[v].words;
    std::vector<int>& of = of_variable_[v];
    if (count == 2) {
      const int yes = fresh();
      of = {-yes, yes};
      return;
    }
    for (int w = 0; w < count; ++w) of.push_back(fresh());
    clause(of);
    for (std::size_t a = 0; a < of.size(); ++a)
      for (std::size_t b = a + 1; b < of.size(); ++b) clause({-of[a], -of[b]});
  }

  Bound bound(const Node& n) const {
    const Variable& v = s_.variables[static_cast<std::size_t>(n.variable)];
    if (v.step == 0) return {n.bound, n.inclusive};
    return {Fraction(last_step(v, n.inclusive, n.bound)), true};
  }

  void number(int variable) {
    const Variable& v = s_.variables[static_cast<std::size_t>(variable)];
    if (v.or_never) of_variable_[static_cast<std::size_t>(variable)] = {fresh()};
    std::map<Bound, int>& bounds = bounds_[variable];
    for (const Node& n : s_.nodes())
      if (n.kind == Kind::number && n.variable == variable) bounds[bound(n)] = 0;
    int before = 0;
    for (auto& [at, literal] : bounds) {
      const Fraction low = v.step == 0 ? v.low : Fraction(0), high = v.step == 0 ? v.high : Fraction(Statement::steps(v));
      const bool none = at.at < low || (at.at == low && !at.inclusive), all = at.at > high || (at.at == high && at.inclusive);
      literal = none ? -yes_ : all ? yes_ : fresh();
      if (before) clause({-before, literal});
      before = literal;
    }
  }

  int literal(Formula f) {
    int& known = literals_[static_cast<std::size_t>(f)];
    if (known == 0) known = make(s_.node(f));
    return known;
  }

  int make(const Node& n) {
    const auto variable = static_cast<std::size_t>(n.variable);
    switch (n.kind) {
      case Kind::yes: return yes_;
      case Kind::never: return of_variable_[variable][0];
      case Kind::negation: return -literal(n.parts[0]);
      case Kind::number: {
        const int under = bounds_[n.variable].at(bound(n));
        return s_.variables[variable].or_never ? both({under, -of_variable_[variable][0]}) : under;
      }
      case Kind::word: {
        std::vector<int> out;
        for (std::size_t w = 0; w < of_variable_[variable].size(); ++w)
          if (n.words >> w & 1u) out.push_back(-of_variable_[variable][w]);
        return -both(out);
      }
      case Kind::all:
      case Kind::any: {
        std::vector<int> parts;
        for (Formula part : n.parts) parts.push_back(n.kind == Kind::all ? literal(part) : -literal(part));
        return n.kind == Kind::all ? both(parts) : -both(parts);
      }
      default: return -yes_;  // no; sums and measures were told otherwise
    }
  }

  int both(const std::vector<int>& parts) {
    const int whole = fresh();
    std::vector<int> back = {whole};
    for (int part : parts) {
      clause({-whole, part});
      back.push_back(-part);
    }
    clause(back);
    return whole;
  }

  const Statement& s_;
  CaDiCaL::Solver solver_;
  std::vector<int> literals_;
  std::vector<std::vector<int>> of_variable_;
  std::map<int, std::map<Bound, int>> bounds_;
  int yes_ = 0, last_ = 0;
};

}  // namespace

long last_step(const Variable& v, bool inclusive, const Fraction& bound) {
  const Fraction at = (bound - v.low) / v.step;
  mpz_class floor;
  mpz_fdiv_q(floor.get_mpz_t(), at.get_num().get_mpz_t(), at.get_den().get_mpz_t());
  long step = floor.get_si();
  if (!inclusive && at == step) --step;
  return std::clamp(step, -1L, Statement::steps(v));
}

std::vector<bool> ask_cadical(Statement& statement, const std::vector<Formula>& formulas) {
  const std::vector<Formula> plain = finite(statement, formulas);
  Cnf cnf(statement);
  std::vector<bool> answers;
  for (Formula f : plain) answers.push_back(cnf.satisfiable(f));
  return answers;
}

}  // namespace betony::oracle
