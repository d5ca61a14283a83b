#include "compiler/view/overview.h"

#include <algorithm>
#include <atomic>
#include <set>
#include <thread>

namespace betony::view {
namespace {

using Row = Overview::Row;
using Relation = Overview::Relation;

std::vector<Row::Part> parts_of(const Ruleset& ruleset, Index practice, const Budget& budget) {
  std::vector<Row::Part> out;
  try {
    double all = 0;
    for (const GraphView::Leaf& leaf : graph_view(ruleset, practice, {}, budget).leaves) {
      if (leaf.verdict == tree::Verdict::outside || leaf.verdict == tree::Verdict::referred) continue;
      const double share = Rational((leaf.share.low + leaf.share.high) / 2).get_d();
      out.push_back({leaf.verdict, leaf.with_care, share});
      all += share;
    }
    for (Row::Part& part : out) part.share = all > 0 ? part.share / all : 0;
    if (all <= 0) out.clear();
  } catch (const BudgetMet&) {
    out.clear();
  }
  return out;
}

Row row_of(const Ruleset& ruleset, const Report& report, Index practice) {
  Row row;
  row.name = ruleset.practices[practice].name;
  row.practice = practice;
  row.place = ruleset.practices[practice].place;
  for (const Problem& problem : report.problems)
    if (problem.practice == row.name)
      ++(problem.severity == Severity::error ? row.errors : problem.severity == Severity::question ? row.questions : row.notes);
  return row;
}

std::string time_words(const Rational& seconds) {
  const std::pair<long, const char*> units[] = {{86400, " d"}, {3600, " h"}, {60, " min"}, {1, " s"}};
  for (const auto& [size, name] : units)
    if (const Rational whole = seconds / size; whole >= 1 && (whole.get_den() == 1 || size == 1)) return number_words(whole) + name;
  return number_words(seconds) + " s";
}

std::vector<Relation> relations_of(const Ruleset& ruleset) {
  std::vector<Relation> out;
  std::set<std::tuple<Relation::Kind, Index, Index>> seen;
  for (const Sentence& sentence : ruleset.sentences) {
    Relation::Kind kind;
    switch (sentence.kind) {
      case Sentence::Kind::follows:
      case Sentence::Kind::precedes: kind = Relation::Kind::before; break;
      case Sentence::Kind::leads_to: kind = Relation::Kind::leads_to; break;
      case Sentence::Kind::needs: kind = Relation::Kind::needs; break;
      case Sentence::Kind::never_with: kind = Relation::Kind::never_with; break;
      case Sentence::Kind::apart: kind = Relation::Kind::apart; break;
      default: continue;
    }
    for (const Index practice : sentence.practices)
      for (const Index other : sentence.others) {
        if (practice == other) continue;
        Relation relation{kind, practice, other, "", is_conditional(sentence)};
        if (sentence.kind == Sentence::Kind::follows) std::swap(relation.from, relation.to);
        const bool has_no_order = kind == Relation::Kind::never_with || kind == Relation::Kind::apart;
        if (has_no_order && relation.to < relation.from) std::swap(relation.from, relation.to);
        if (kind == Relation::Kind::apart && sentence.timing != no_index && ruleset.timings[sentence.timing].length.low)
          relation.time = time_words(*ruleset.timings[sentence.timing].length.low);
        if (seen.insert({kind, relation.from, relation.to}).second) out.push_back(std::move(relation));
      }
  }
  return out;
}

}  // namespace

Overview overview(const Ruleset& ruleset, const Report& report, const Budget& budget, unsigned threads) {
  Overview out;
  out.practices = ruleset.practices.size(), out.sentences = ruleset.sentences.size();
  std::vector<std::vector<Row::Part>> parts(ruleset.practices.size());
  std::atomic<Index> next = 0;
  const auto work = [&] {
    for (Index p = next++; p < parts.size(); p = next++) parts[p] = parts_of(ruleset, p, budget);
  };
  std::vector<std::thread> others;
  for (unsigned t = 1; t < threads; ++t) others.emplace_back(work);
  work();
  for (std::thread& other : others) other.join();

  std::vector<bool> placed(ruleset.practices.size());
  const auto add = [&](const std::string& name, const std::vector<Index>& practices) {
    Overview::Group group{name, {}};
    for (const Index p : practices) {
      if (placed[p]) continue;
      placed[p] = true;
      group.rows.push_back(row_of(ruleset, report, p));
      group.rows.back().parts = std::move(parts[p]);
    }
    if (!group.rows.empty()) out.groups.push_back(std::move(group));
  };
  // Smaller groups first, so that a group of groups takes only what stands in none of these.
  std::vector<const Group*> by_size;
  for (const Group& group : ruleset.groups) by_size.push_back(&group);
  std::stable_sort(by_size.begin(), by_size.end(), [](const Group* a, const Group* b) { return a->practices.size() < b->practices.size(); });
  for (const Group* group : by_size) add(group->name, group->practices);
  std::vector<Index> rest(ruleset.practices.size());
  for (Index p = 0; p < rest.size(); ++p) rest[p] = p;
  add("", rest);
  // As the teaching has them: by their first practice.
  std::stable_sort(out.groups.begin(), out.groups.end(),
                   [](const Overview::Group& a, const Overview::Group& b) { return a.rows.front().practice < b.rows.front().practice; });
  out.relations = relations_of(ruleset);
  return out;
}

}  // namespace betony::view
