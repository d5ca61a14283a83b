// Rules for gringo, solved by clasp. One program holds many rulesets: exactly one question of one ruleset is asked,
// and clasp lists all questions that somebody answers with yes. Numbers are chosen step by step and compared by gringo's own
// arithmetic; of a number without steps, its ends, the bounds in use and what lies midway between them are chosen from.
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <sstream>

#include "tests/oracle/finite.h"
#include "tests/oracle/oracle.h"

namespace betony::oracle {

namespace {

using Kind = Node::Kind;

class Program {
 public:
  void add(int ruleset, const Statement& statement, const std::vector<Formula>& formulas) {
    r_ = std::to_string(ruleset);
    s_ = &statement;
    defined_.clear();
    put("on(" + r_ + ") :- ask(" + r_ + ",_).");
    for (std::size_t v = 0; v < s_->variables.size(); ++v) variable(static_cast<int>(v));
    for (std::size_t q = 0; q < formulas.size(); ++q) {
      define(formulas[q]);
      put("q(" + r_ + ',' + std::to_string(q) + "). :- ask(" + r_ + ',' + std::to_string(q) + "), not " + node(formulas[q]) + '.');
    }
  }

  std::string text() const { return "{ ask(R,Q) : q(R,Q) } = 1.\n#show ask/2.\n" + out_; }

 private:
  void put(const std::string& line) { out_ += line + '\n'; }
  std::string node(Formula f) const { return "f(" + r_ + ',' + std::to_string(f) + ')'; }
  std::string x(int v, const std::string& value) const { return "x(" + r_ + ',' + std::to_string(v) + ',' + value + ')'; }
  std::string never(int v) const { return "never(" + r_ + ',' + std::to_string(v) + ')'; }

  // Whole numbers that all of these become when multiplied by what is returned.
  static mpz_class common(const std::vector<Fraction>& numbers) {
    mpz_class d = 1;
    for (const Fraction& n : numbers) mpz_lcm(d.get_mpz_t(), d.get_mpz_t(), n.get_den().get_mpz_t());
    return d;
  }

  std::vector<Fraction> samples(int v) const {
    const Variable& of = s_->variables[static_cast<std::size_t>(v)];
    std::set<Fraction> points = {of.low, of.high};
    for (const Node& n : s_->nodes())
      if (n.kind == Kind::number && n.variable == v && n.bound > of.low && n.bound < of.high) points.insert(n.bound);
    std::vector<Fraction> all;
    for (const Fraction& p : points) {
      if (!all.empty()) all.push_back((all.back() + p) / 2);
      all.push_back(p);
    }
    return all;
  }

  void variable(int v) {
    const Variable& of = s_->variables[static_cast<std::size_t>(v)];
    std::string values = of.is_number ? "0.." + (of.step == 0 ? std::string("0") : std::to_string(Statement::steps(of)))
                                      : "0.." + std::to_string(of.words - 1);
    if (of.is_number && of.step == 0) values = "0.." + std::to_string(samples(v).size() - 1);
    put("{ " + x(v, values) + (of.or_never ? "; " + never(v) : "") + " } = 1 :- on(" + r_ + ").");
  }

  void define(Formula f) {
    if (!defined_.insert(f).second) return;
    const Node& n = s_->node(f);
    for (Formula part : n.parts) define(part);
    const std::string head = node(f) + " :- ";
    switch (n.kind) {
      case Kind::yes: return put(head + "on(" + r_ + ").");
      case Kind::never: return put(head + never(n.variable) + '.');
      case Kind::negation: return put(head + "on(" + r_ + "), not " + node(n.parts[0]) + '.');
      case Kind::any:
        for (Formula part : n.parts) put(head + node(part) + '.');
        return;
      case Kind::all: {
        std::string body;
        for (Formula part : n.parts) body += (body.empty() ? "" : ", ") + node(part);
        return put(head + body + '.');
      }
      case Kind::word:
        for (int w = 0; w < s_->variables[static_cast<std::size_t>(n.variable)].words; ++w)
          if (n.words >> w & 1u) put(head + x(n.variable, std::to_string(w)) + '.');
        return;
      case Kind::number: return number(n, head);
      case Kind::sum: {
        std::vector<Fraction> all = n.points;
        all.push_back(n.bound);
        const mpz_class d = common(all);
        std::string elements;
        for (std::size_t i = 0; i < n.parts.size(); ++i)
          elements += (i ? "; " : "") + mpz_class(n.points[i] * d).get_str() + ',' + std::to_string(i) + " : " + node(n.parts[i]);
        return put(head + "on(" + r_ + "), #sum { " + elements + (n.inclusive ? " } <= " : " } < ") + mpz_class(n.bound * d).get_str() + '.');
      }
      default: return;  // no; measures were told otherwise
    }
  }

  void number(const Node& n, const std::string& head) {
    const Variable& of = s_->variables[static_cast<std::size_t>(n.variable)];
    const std::string compare = n.inclusive ? " <= " : " < ";
    if (of.step != 0) {
      const mpz_class d = common({of.low, of.step, n.bound});
      put(head + x(n.variable, "K") + ", " + mpz_class(of.low * d).get_str() + '+' + mpz_class(of.step * d).get_str() + "*K" + compare +
          mpz_class(n.bound * d).get_str() + '.');
      return;
    }
    const std::vector<Fraction> all = samples(n.variable);
    for (std::size_t i = 0; i < all.size(); ++i)
      if (all[i] < n.bound || (n.inclusive && all[i] == n.bound)) put(head + x(n.variable, std::to_string(i)) + '.');
  }

  std::string r_, out_;
  const Statement* s_ = nullptr;
  std::set<Formula> defined_;
};

// A name for a passing file; empty: none could be made.
std::string passing_file(const std::string& text) {
  const char* folder = std::getenv("TMPDIR");
  std::string name = std::string(folder && *folder ? folder : "/tmp") + "/betony-oracle-XXXXXX";
  const int file = mkstemp(name.data());
  if (file < 0) return "";
  close(file);
  std::ofstream(name) << text;
  return name;
}

}  // namespace

std::vector<std::vector<bool>> ask_clasp(const std::vector<Asked>& asked) {
  Program program;
  std::vector<std::vector<bool>> answers;
  for (std::size_t r = 0; r < asked.size(); ++r) {
    const std::vector<Formula> plain = finite(*asked[r].statement, asked[r].formulas, {.sums = true});
    program.add(static_cast<int>(r), *asked[r].statement, plain);
    answers.emplace_back(plain.size(), false);
  }
  const std::string file = passing_file(program.text());
  if (file.empty()) return {};
  FILE* out = popen(("gringo -Wnone " + file + " | clasp --project=show --quiet=0 -n 0").c_str(), "r");
  if (!out) return {};
  bool done = false;
  std::string line;
  char buffer[4096];
  while (std::fgets(buffer, sizeof buffer, out)) {
    line += buffer;
    if (line.back() != '\n') continue;
    unsigned ruleset = 0, question = 0;
    if (std::sscanf(line.c_str(), "ask(%u,%u)", &ruleset, &question) == 2 && ruleset < answers.size() && question < answers[ruleset].size())
      answers[ruleset][question] = true;
    done = done || line.rfind("SATISFIABLE", 0) == 0 || line.rfind("UNSATISFIABLE", 0) == 0;
    line.clear();
  }
  pclose(out);
  std::remove(file.c_str());
  return done ? answers : std::vector<std::vector<bool>>();
}

}  // namespace betony::oracle
