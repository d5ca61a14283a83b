// Decision diagrams. The values of a variable fall into cells: words, or what lies between the bounds in use of a
// number, `never` last. A cell's number is written in binary over a block of diagram variables; what is beyond the last cell
// means the last. Counting walks the diagram itself, block by block, with exact fractions.
#include "tests/oracle/oracle.h"

#include <bdd.h>

#include <algorithm>

#include "tests/oracle/finite.h"

namespace betony::oracle {

namespace {

using Kind = Node::Kind;

constexpr int most_bits = 2000;

void start() {
  static const bool started = [] {
    bdd_init(400000, 40000);
    bdd_setvarnum(most_bits);
    bdd_gbc_hook(nullptr);
    bdd_resize_hook(nullptr);
    return true;
  }();
  (void)started;
}

}  // namespace

struct Buddy::Inner {
  struct Block {
    int first = 0, bits = 0;
    std::vector<Fraction> weights;  // of its cells
    std::map<std::pair<Fraction, bool>, int> under;  // unstepped bounds: the last cell under it
    int never = -1;                 // cell
  };

  const Statement& s;
  std::vector<Block> blocks;
  std::vector<int> block_of;        // by diagram variable
  std::map<Formula, bdd> known;
  std::vector<bdd> formulas;
  std::map<int, std::map<long, int>> step_cells;  // by variable: the last step under a bound, and the last cell under it

  explicit Inner(const Statement& statement) : s(statement) {
    int next = 0;
    for (std::size_t v = 0; v < s.variables.size(); ++v) {
      Block b;
      const Variable& x = s.variables[v];
      if (!x.is_number) b.weights.assign(static_cast<std::size_t>(x.words), Fraction(1) / x.words);
      else if (x.step != 0) stepped(static_cast<int>(v), b);
      else unstepped(static_cast<int>(v), b);
      if (x.is_number && x.or_never) {
        for (Fraction& w : b.weights) w /= 2;
        b.never = static_cast<int>(b.weights.size());
        b.weights.emplace_back(1, 2);
      }
      b.first = next;
      while (1u << b.bits < b.weights.size()) ++b.bits;
      next += b.bits;
      for (int bit = 0; bit < b.bits; ++bit) block_of.push_back(static_cast<int>(v));
      blocks.push_back(std::move(b));
    }
  }

  void stepped(int variable, Block& b) {
    const Variable& x = s.variables[static_cast<std::size_t>(variable)];
    const long all = Statement::steps(x);
    std::map<long, int>& ends = step_cells[variable];
    for (const Node& n : s.nodes())
      if (n.kind == Kind::number && n.variable == variable) ends[last_step(x, n.inclusive, n.bound)] = 0;
    ends[all] = 0;
    long before = -1;
    for (auto& [end, cell] : ends) {
      cell = static_cast<int>(b.weights.size()) - (end < 0 ? 1 : 0);
      if (end < 0) continue;
      b.weights.push_back(Fraction(end - before) / (all + 1));
      before = end;
    }
  }

  void unstepped(int variable, Block& b) {
    const Variable& x = s.variables[static_cast<std::size_t>(variable)];
    for (const Node& n : s.nodes())
      if (n.kind == Kind::number && n.variable == variable) b.under[{n.bound, n.inclusive}] = 0;
    b.under[{x.high, true}] = 0;
    Fraction before = x.low;
    for (auto& [bound, cell] : b.under) {  // "under" comes before "at most"
      const auto& [at, inclusive] = bound;
      const bool none = at < x.low || (at == x.low && !inclusive), beyond = at > x.high;
      cell = static_cast<int>(b.weights.size()) - (none || beyond ? 1 : 0);
      if (none || beyond) continue;
      b.weights.push_back((at - before) / (x.high - x.low));
      before = at;
    }
  }

  // The cell's number is at most `last`.
  bdd up_to(const Block& b, int last) const {
    if (last < 0) return bddfalse;
    if (last + 1 >= static_cast<int>(b.weights.size())) return bddtrue;
    bdd result = bddtrue;
    for (int bit = 0; bit < b.bits; ++bit) {  // the highest bit first in the diagram, so the lowest first here
      const bdd here = bdd_ithvar(b.first + b.bits - 1 - bit);
      result = (last >> bit & 1) ? bdd_ite(here, result, bddtrue) : bdd_ite(here, bddfalse, result);
    }
    return result;
  }

  bdd cell(const Block& b, int which) const { return up_to(b, which) - up_to(b, which - 1); }

  bdd number(const Node& n) const {
    const Variable& x = s.variables[static_cast<std::size_t>(n.variable)];
    const Block& b = blocks[static_cast<std::size_t>(n.variable)];
    const int last = x.step != 0 ? step_cells.at(n.variable).at(last_step(x, n.inclusive, n.bound)) : b.under.at({n.bound, n.inclusive});
    return up_to(b, b.never >= 0 ? std::min(last, b.never - 1) : last);
  }

  bdd make(Formula f) {
    const auto at = known.find(f);
    if (at != known.end()) return at->second;
    const Node& n = s.node(f);
    bdd result = bddfalse;
    switch (n.kind) {
      case Kind::yes: result = bddtrue; break;
      case Kind::number: result = number(n); break;
      case Kind::never: {
        const Block& b = blocks[static_cast<std::size_t>(n.variable)];
        result = !up_to(b, b.never - 1);
        break;
      }
      case Kind::word: {
        const Block& b = blocks[static_cast<std::size_t>(n.variable)];
        for (int w = 0; w < static_cast<int>(b.weights.size()); ++w)
          if (n.words >> w & 1u) result |= cell(b, w);
        break;
      }
      case Kind::negation: result = !make(n.parts[0]); break;
      case Kind::all:
        result = bddtrue;
        for (Formula part : n.parts) result &= make(part);
        break;
      case Kind::any:
        for (Formula part : n.parts) result |= make(part);
        break;
      default: break;
    }
    known[f] = result;
    return result;
  }

  Fraction count(const bdd& f, std::map<int, Fraction>& memo) const {
    if (f == bddtrue) return 1;
    if (f == bddfalse) return 0;
    const auto at = memo.find(f.id());
    if (at != memo.end()) return at->second;
    const Block& b = blocks[static_cast<std::size_t>(block_of[static_cast<std::size_t>(bdd_var(f))])];
    std::map<int, Fraction> leads_to;  // cells that lead to the same are counted together
    std::map<int, bdd> kept;
    for (std::size_t c = 0; c < b.weights.size(); ++c) {
      bdd to = f;
      while (to != bddtrue && to != bddfalse && bdd_var(to) < b.first + b.bits)
        to = (c >> (b.first + b.bits - 1 - bdd_var(to)) & 1u) ? bdd_high(to) : bdd_low(to);
      leads_to[to.id()] += b.weights[c];
      kept[to.id()] = to;
    }
    Fraction sum = 0;
    for (const auto& [id, weight] : leads_to) sum += weight * count(kept[id], memo);
    memo[f.id()] = sum;
    return sum;
  }
};

Buddy::Buddy(Statement& statement, const std::vector<Formula>& formulas) {
  start();
  const std::vector<Formula> plain = finite(statement, formulas);
  inner_ = std::make_unique<Inner>(statement);
  for (Formula f : plain) inner_->formulas.push_back(inner_->make(f));
}

Buddy::~Buddy() = default;

bool Buddy::satisfiable(std::size_t formula) const { return inner_->formulas[formula] != bddfalse; }

Fraction Buddy::weight(std::size_t formula) const {
  std::map<int, Fraction> memo;
  return inner_->count(inner_->formulas[formula], memo);
}

std::set<int> Buddy::depends(std::size_t formula) const {
  std::set<int> found;
  for (bdd on = bdd_support(inner_->formulas[formula]); on != bddtrue && on != bddfalse; on = bdd_high(on))
    found.insert(inner_->block_of[static_cast<std::size_t>(bdd_var(on))]);
  return found;
}

}  // namespace betony::oracle
