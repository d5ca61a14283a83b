// SMT-LIB text for Z3. A number in steps is a whole number of steps and is told by its own arithmetic, low + step * k; one
// without steps is a real. Bounds, sums and measures stand as they are written, multiplied out until no fraction is left.
#include <z3.h>

#include <algorithm>
#include <sstream>

#include "tests/oracle/oracle.h"

namespace betony::oracle {

namespace {

using Kind = Node::Kind;

class Text {
 public:
  explicit Text(const Statement& statement) : s_(statement) {
    for (std::size_t v = 0; v < s_.variables.size(); ++v) declare(v);
  }

  std::string ask(const std::vector<Formula>& formulas) {
    for (Formula f : formulas) define(f);
    for (std::size_t i = 0; i < formulas.size(); ++i) {
      const std::string asked = 'q' + std::to_string(i), f = name(formulas[i]);
      // What is not linear is asked afresh each time: Z3 chooses its way by all that stands there.
      if (measured_) out_ += "(push)\n(assert " + f + ")\n(check-sat)\n(pop)\n";
      else out_ += "(declare-const " + asked + " Bool)\n(assert (=> " + asked + ' ' + f + "))\n(check-sat-assuming (" + asked + "))\n";
    }
    return out_;
  }

 private:
  // A fraction of two polynomials; what is below is above 0.
  struct Ratio { std::string up, down; };

  static std::string name(Formula f) { return 'f' + std::to_string(f); }
  static std::string x(int variable) { return 'x' + std::to_string(variable); }
  static std::string whole(const mpz_class& n) { return n < 0 ? "(- " + mpz_class(-n).get_str() + ')' : n.get_str(); }
  static std::string call(const std::string& op, const std::string& a, const std::string& b) { return '(' + op + ' ' + a + ' ' + b + ')'; }
  static std::string times(const std::string& a, const std::string& b) { return a == "1" ? b : b == "1" ? a : call("*", a, b); }

  void put(const std::string& line) { out_ += line + '\n'; }

  void declare(std::size_t v) {
    const Variable& variable = s_.variables[v];
    const std::string of = x(static_cast<int>(v));
    if (!variable.is_number && variable.words == 2) return put("(declare-const " + of + " Bool)");
    const bool real = variable.is_number && variable.step == 0;
    put("(declare-const " + of + (real ? " Real)" : " Int)"));
    if (variable.or_never) put("(declare-const never" + of + " Bool)");
    if (!real) {
      const long last = variable.is_number ? Statement::steps(variable) : variable.words - 1;
      return put("(assert (and (<= 0 " + of + ") (<= " + of + ' ' + std::to_string(last) + ")))");
    }
    const auto end = [&](const Fraction& at) { return call("/", whole(at.get_num()), whole(at.get_den())); };
    put("(assert (and (<= " + end(variable.low) + ' ' + of + ") (<= " + of + ' ' + end(variable.high) + ")))");
  }

  Ratio number(int v) const {
    const Variable& variable = s_.variables[static_cast<std::size_t>(v)];
    if (variable.step == 0) return {x(v), "1"};
    mpz_class d;
    mpz_lcm(d.get_mpz_t(), variable.low.get_den().get_mpz_t(), variable.step.get_den().get_mpz_t());
    const Fraction low = variable.low * d, step = variable.step * d;
    std::string up = times(whole(step.get_num()), x(v));
    if (low != 0) up = call("+", whole(low.get_num()), up);
    return {up, d.get_str()};
  }

  static std::string under(const Ratio& r, const Node& n) {
    const std::string left = times(whole(n.bound.get_den()), r.up), right = times(whole(n.bound.get_num()), r.down);
    return call(n.inclusive ? "<=" : "<", left, right);
  }

  // ---- measures

  // What is divided by is nowhere 0, so that one profile tells its sign.
  bool below_nothing(const Arithmetic& a) const {
    std::vector<Fraction> lows;
    for (const Variable& v : s_.variables) lows.push_back(v.low);
    return value(a, lows) < 0;
  }

  Ratio ratio(const Arithmetic& a) const {
    using Op = Arithmetic::Op;
    if (a.op == Op::number) return {whole(a.number.get_num()), whole(a.number.get_den())};
    if (a.op == Op::finding) return number(a.index);
    Ratio result = ratio(a.parts[0]);
    for (std::size_t i = 1; i < a.parts.size(); ++i) {
      Ratio next = ratio(a.parts[i]);
      switch (a.op) {
        case Op::plus: result = added("+", result, next); break;
        case Op::minus: result = added("-", result, next); break;
        case Op::times: result = {times(result.up, next.up), times(result.down, next.down)}; break;
        case Op::divided:
          if (below_nothing(a.parts[i])) next = {"(- " + next.up + ')', next.down}, result.up = "(- " + result.up + ')';
          result = {times(result.up, next.down), times(result.down, next.up)};
          break;
        default: {  // least, most
          const std::string first = call(a.op == Op::least ? "<=" : ">=", times(result.up, next.down), times(next.up, result.down));
          const std::string down = result.down == next.down ? result.down : "(ite " + first + ' ' + result.down + ' ' + next.down + ')';
          result = {"(ite " + first + ' ' + result.up + ' ' + next.up + ')', down};
          break;
        }
      }
    }
    return result;
  }

  static Ratio added(const std::string& op, const Ratio& a, const Ratio& b) {
    if (a.down == b.down) return {call(op, a.up, b.up), a.down};
    return {call(op, times(a.up, b.down), times(b.up, a.down)), times(a.down, b.down)};
  }

  // ---- nodes

  void define(Formula f) {
    if (!defined_.insert(f).second) return;
    const Node& n = s_.node(f);
    for (Formula part : n.parts) define(part);
    put("(define-fun " + name(f) + " () Bool " + meaning(n) + ')');
  }

  std::string meaning(const Node& n) {
    const std::string of = x(n.variable);
    const auto list = [&](const std::string& op) {
      std::string text = '(' + op;
      for (Formula part : n.parts) text += ' ' + name(part);
      return text + ')';
    };
    switch (n.kind) {
      case Kind::no: return "false";
      case Kind::yes: return "true";
      case Kind::never: return "never" + of;
      case Kind::negation: return list("not");
      case Kind::all: return list("and");
      case Kind::any: return list("or");
      case Kind::word: {
        if (s_.variables[static_cast<std::size_t>(n.variable)].words == 2)
          return (n.words & 3u) == 3 ? "true" : (n.words & 3u) == 0 ? "false" : n.words & 2u ? of : "(not " + of + ')';
        std::string text = "(or false";
        for (int w = 0; w < s_.variables[static_cast<std::size_t>(n.variable)].words; ++w)
          if (n.words >> w & 1u) text += " (= " + of + ' ' + std::to_string(w) + ')';
        return text + ')';
      }
      case Kind::number: {
        const std::string text = under(number(n.variable), n);
        return s_.variables[static_cast<std::size_t>(n.variable)].or_never ? "(and (not never" + of + ") " + text + ')' : text;
      }
      case Kind::sum: {
        mpz_class d = n.bound.get_den();
        for (const Fraction& p : n.points) mpz_lcm(d.get_mpz_t(), d.get_mpz_t(), p.get_den().get_mpz_t());
        std::string text = "(+ 0";
        for (std::size_t i = 0; i < n.parts.size(); ++i)
          text += " (ite " + name(n.parts[i]) + ' ' + whole(mpz_class(n.points[i] * d)) + " 0)";
        return call(n.inclusive ? "<=" : "<", text + ')', whole(mpz_class(n.bound * d)));
      }
      case Kind::measure: {
        measured_ = true;
        return under(ratio(s_.measures[static_cast<std::size_t>(n.measure)]), n);
      }
    }
    return "false";
  }

  const Statement& s_;
  std::string out_;
  std::set<Formula> defined_;
  bool measured_ = false;
};

}  // namespace

Z3Answers ask_z3(const Statement& statement, const std::vector<Formula>& formulas) {
  const std::string text = Text(statement).ask(formulas);
  Z3_config config = Z3_mk_config();
  Z3_context context = Z3_mk_context(config);
  Z3_del_config(config);
  Z3_set_error_handler(context, [](Z3_context, Z3_error_code) {});
  Z3Answers answers;
  std::istringstream lines(Z3_eval_smtlib2_string(context, text.c_str()));
  for (std::string line; std::getline(lines, line);) {
    if (line == "sat") answers.fits.emplace_back(true);
    else if (line == "unsat") answers.fits.emplace_back(false);
    else if (line == "unknown") answers.fits.emplace_back(std::nullopt);
    else if (!line.empty()) answers.trouble += line + '\n';
  }
  if (answers.fits.size() != formulas.size()) answers.trouble += "not as many answers as questions\n";
  answers.fits.resize(formulas.size());
  Z3_del_context(context);
  return answers;
}

}  // namespace betony::oracle
