#include "runtime/single_ways.h"

#include <algorithm>
#include <set>

namespace betony::runtime {
namespace {

// Ways of several parts together, before one is kept as a side; what is asked not to be so becomes one sooner.
constexpr std::size_t most_woven = 24, most_woven_not = 3;
constexpr unsigned most_work = 8192;        // for one condition; about 0.1 microseconds each

class Teller {
 public:
  Teller(const Program& program, std::uint64_t& work_left) : program_(program), work_left_(work_left) {}
  ~Teller() { work_left_ -= std::min<std::uint64_t>(work_, work_left_); }

  std::optional<Ways> ways_of(Index operand) {
    Ways out;
    depth_ = 0;
    if (!tell(operand, out) || !asks_little(out)) return std::nullopt;
    return out;
  }

  // False where there are too many.
  bool tell(Index operand, Ways& out) {
    const Index slot = operand / 2, turned = operand & 1u;
    if (slot == 0 || slot <= program_.inputs) {
      if (slot > 0) out = {{operand}};
      if (slot == 0) out = turned ? Ways{{}} : Ways{};
      return true;
    }
    if (!may_work(1) || ++depth_ > most_depth) return false;
    const Gate& gate = program_.gates[slot - 1 - program_.inputs];
    bool told = false;
    switch (gate.kind) {
      case Gate::Kind::all: told = turned ? any_of(gate, 1, out) : all_of(gate, 0, out); break;
      case Gate::Kind::any: told = turned ? all_of(gate, 1, out) : any_of(gate, 0, out); break;
      case Gate::Kind::parity: told = parity_of(gate, turned, out); break;
      case Gate::Kind::most: told = turned ? at_most_one_of(gate, out) : two_of(gate, out); break;
    }
    --depth_;
    return told && plain(out);
  }

  // Ways of both together.
  bool both(const Ways& a, const Ways& b, Ways& out) {
    Ways woven;
    for (const Way& one : a)
      for (const Way& other : b) {
        if (!may_work(1)) return false;
        Way way;
        std::set_union(one.begin(), one.end(), other.begin(), other.end(), std::back_inserter(way));
        const auto is_other = [](Index x, Index y) { return x / 2 == y / 2; };
        if (std::adjacent_find(way.begin(), way.end(), is_other) == way.end()) woven.push_back(std::move(way));  // never so and not so
      }
    out = std::move(woven);
    return plain(out);
  }

  static bool asks_little(const Ways& ways) {
    std::set<Index> asked;
    for (const Way& way : ways) asked.insert(way.begin(), way.end());
    return asked.size() <= most_asked;
  }

 private:
  bool may_work(std::size_t much) { return (work_ += much) <= std::min<std::uint64_t>(most_work, work_left_); }
  bool any_of(const Gate& gate, Index turned, Ways& out) {
    out.clear();
    for (const Index o : gate.operands) {
      Ways one;
      if (!tell(o ^ turned, one)) return false;
      add(out, one);
      if (!plain(out)) return false;
    }
    return true;
  }
  bool all_of(const Gate& gate, Index turned, Ways& out) {
    out = {{}};
    for (const Index o : gate.operands) {
      Ways one;
      if (!tell(o ^ turned, one) || !both(out, one, out)) return false;
    }
    return true;
  }
  bool parity_of(const Gate& gate, Index turned, Ways& out) {
    Ways odd, even{{}};
    for (const Index o : gate.operands) {
      Ways yes, no, stays, turns, still, turned_back;
      if (!tell(o, yes) || !tell(o ^ 1u, no)) return false;
      if (!both(odd, no, stays) || !both(even, yes, turns) || !both(even, no, still) || !both(odd, yes, turned_back)) return false;
      odd = std::move(stays), add(odd, turns);
      even = std::move(still), add(even, turned_back);
      if (!plain(odd) || !plain(even)) return false;
    }
    out = turned ? even : odd;
    return true;
  }
  bool two_of(const Gate& gate, Ways& out) {
    Ways one_is;
    out.clear();
    for (const Index o : gate.operands) {
      Ways yes, second;
      if (!tell(o, yes) || !both(one_is, yes, second)) return false;
      add(out, second), add(one_is, yes);
      if (!plain(out) || !plain(one_is)) return false;
    }
    return true;
  }
  bool at_most_one_of(const Gate& gate, Ways& out) {
    Ways none{{}};
    out = {{}};
    for (const Index o : gate.operands) {
      Ways no, without, still;
      if (!tell(o ^ 1u, no) || !both(none, no, without) || !both(out, no, still)) return false;
      out = std::move(still), add(out, none), none = std::move(without);
      if (!plain(out)) return false;
    }
    return true;
  }

  static void add(Ways& to, const Ways& more) { to.insert(to.end(), more.begin(), more.end()); }

  // Those with the fewest operands first; what contains another is left out.
  bool plain(Ways& ways) {
    if (!may_work(ways.size() * std::min(ways.size(), most_ways) / 16)) return false;
    std::sort(ways.begin(), ways.end(), [](const Way& a, const Way& b) { return a.size() != b.size() ? a.size() < b.size() : a < b; });
    std::size_t kept = 0;
    for (std::size_t i = 0; i < ways.size() && kept <= most_ways; ++i) {
      const auto within = [&](const Way& one) { return std::includes(ways[i].begin(), ways[i].end(), one.begin(), one.end()); };
      if (std::any_of(ways.begin(), ways.begin() + static_cast<std::ptrdiff_t>(kept), within)) continue;
      if (kept != i) ways[kept] = std::move(ways[i]);
      ++kept;
    }
    ways.resize(kept);
    return kept <= most_ways;
  }

  static constexpr unsigned most_depth = 100;
  const Program& program_;
  std::uint64_t& work_left_;
  std::size_t work_ = 0;
  unsigned depth_ = 0;
};
}  // namespace

std::optional<Ways> ways_of(const Program& program, Index operand, std::uint64_t& work_left) { return Teller(program, work_left).ways_of(operand); }

std::optional<ToldInWays> told_in_ways(const Program& program, const std::vector<Index>& parts, std::uint64_t& work_left) {
  struct Part {
    Index operand = 0;
    std::optional<Ways> ways;
    std::size_t count() const { return ways ? ways->size() : ~std::size_t{0}; }
  };
  Teller teller(program, work_left);
  std::vector<Part> all;
  for (const Index o : parts) all.push_back({o, teller.ways_of(o)});
  std::stable_sort(all.begin(), all.end(), [](const Part& a, const Part& b) { return a.count() < b.count(); });
  ToldInWays out{{{}}, {}};
  for (const Part& part : all) {
    const std::size_t most = part.operand & 1u ? most_woven_not : out.ways.size() == 1 ? most_ways : most_woven;
    const bool few = part.ways && (part.ways->size() <= 1 || out.ways.size() * part.ways->size() <= most);
    if (few && teller.both(out.ways, *part.ways, out.ways)) continue;
    if (teller.ways_of(part.operand ^ 1u))
      out.sides.push_back(part.operand ^ 1u);
    else if (!part.ways || !teller.both(out.ways, *part.ways, out.ways))
      return std::nullopt;
  }
  if (!Teller::asks_little(out.ways)) return std::nullopt;
  return out;
}

}  // namespace betony::runtime
