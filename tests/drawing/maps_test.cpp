// Maps and doses over findings, read back: whoever stands at a point of a drawing gets what the evaluator gives.
#include <iostream>
#include <map>
#include <set>

#include "compiler/dose.h"
#include "compiler/view/dose_view.h"
#include "compiler/view/graph_view.h"
#include "tests/drawing/persons.h"
#include "tests/rulesets/worlds.h"
#include "tests/support.h"
#include "viz/drawing/leaf_map.h"

namespace betony::drawing {
namespace {

using view::AxisName;
using view::DoseView;
using view::MapView;

// Findings that a practice asks for, as axes.
std::vector<AxisName> axes_of(const Ruleset& ruleset, Index practice) {
  const view::PracticeSpace here(ruleset, practice, {});
  std::vector<AxisName> out;
  for (Index f = 0; f < ruleset.findings.size(); ++f)
    if (const auto axis = axis_of(here, {false, f}); axis && axis->parts.size() > 1 && here.universe->variables[here.universe->of_finding[f]].dimensions.size() == 1)
      out.push_back({false, f});
  return out;
}

struct Pair {
  Index practice;
  AxisName across, up;
};

// Of every practice some pairs of findings that it asks for.
std::vector<Pair> pairs_of(const Ruleset& ruleset, std::size_t of_each) {
  std::mt19937 dice(7);
  std::vector<Pair> out;
  for (Index p = 0; p < ruleset.practices.size(); ++p) {
    const auto axes = axes_of(ruleset, p);
    if (axes.size() < 2) continue;
    for (std::size_t i = 0; i < of_each; ++i) {
      const std::size_t a = dice() % axes.size(), b = (a + 1 + dice() % (axes.size() - 1)) % axes.size();
      out.push_back({p, axes[a], axes[b]});
    }
  }
  return out;
}

bool is_told(const MapView::Part& part, const PracticeVerdict& verdict) { return part.verdict == verdict.verdict && part.with_care == verdict.with_care; }

// The fill that lies uppermost at a point, patches under words aside.
std::optional<Fill> fill_at(const Scene& scene, double x, double y) {
  std::optional<Fill> out;
  for (const Shape& shape : scene.shapes)
    if (const Box* box = std::get_if<Box>(&shape))
      if (box->fill != Fill::paper && box->fill != Fill::none && x >= box->x && x <= box->x + box->width && y >= box->y && y <= box->y + box->height)
        out = box->fill;
  return out;
}

TEST_CASE("a point of a map that holds a person's other answers has the verdict of that person, as data and as it is drawn") {
  for (const auto& edition : worlds::newest()) {
    const Ruleset& ruleset = worlds::checked(edition).ruleset;
    Persons persons(ruleset);
    Letters letters;
    std::size_t points = 0, impossible = 0;
    const auto pairs = pairs_of(ruleset, 3);
    for (std::size_t i = 0; points < 1000; ++i) {
      const Pair& pair = pairs[i % pairs.size()];
      const Profile held = persons.next();
      const MapView map = view::map_view(ruleset, pair.practice, {}, pair.across, pair.up, &held);
      CHECK(map.open.empty());
      const MapLeaf leaf{&ruleset, &map, [](Index) { return "line"; }, "somebody"};
      const MapPlaces places = map_places(letters, leaf);
      const Scene scene = map_leaf(letters, leaf, {});
      const Stretched across(map.across, places.left, places.right), up(map.up, places.bottom, places.top);
      for (int k = 0; k < 25; ++k) {
        const Profile other = persons.next();
        Profile there = held;
        const Value x = *other[pair.across.index], y = *other[pair.up.index];
        there[pair.across.index] = x, there[pair.up.index] = y;
        const auto column = map.across.part_of(x), row = map.up.part_of(y);
        REQUIRE((column && row));
        const MapView::Field& field = map.at(*column, *row);
        if (broken_background(ruleset, there)) {
          ++impossible;
          continue;
        }
        ++points;
        const PracticeVerdict verdict = evaluate_practice(ruleset, pair.practice, there, {});
        INFO(ruleset.practices[pair.practice].name << " by " << map.across.name << " and " << map.up.name);
        REQUIRE(field.parts.size() == 1);
        CHECK(is_told(field.parts[0], verdict));
        const auto h = across.of(*column), v = up.of(*row);
        const double px = std::clamp(across.at(*column, x), h.low() + 0.5, h.low() + h.size() - 0.5);
        const double py = std::clamp(up.at(*row, y), v.low() + 0.5, v.low() + v.size() - 0.5);
        CHECK(fill_at(scene, px, py) == fill_of(verdict.verdict, verdict.with_care));
      }
    }
    std::cout << edition.name << ": " << points << " points, " << impossible << " of nobody\n";
  }
}

TEST_CASE("a field of a map for everybody holds the verdict of whoever stands in it, and the shares are those of the decision graph") {
  for (const auto& edition : worlds::newest()) {
    const Ruleset& ruleset = worlds::checked(edition).ruleset;
    Persons persons(ruleset);
    std::size_t inside = 0, left_out = 0;
    for (const Pair& pair : pairs_of(ruleset, 2)) {
      const MapView map = view::map_view(ruleset, pair.practice, {}, pair.across, pair.up);
      INFO(ruleset.practices[pair.practice].name << " by " << map.across.name << " and " << map.up.name);
      std::map<std::pair<tree::Verdict, bool>, double> shares;
      double all = 0;
      for (const auto& field : map.fields) {
        all += field.share;
        double parts = 0;
        for (const auto& part : field.parts) shares[{part.verdict, part.with_care}] += field.share * part.share, parts += part.share;
        if (!field.parts.empty()) CHECK(parts == Approx(1));
      }
      if (map.shares_known) {
        CHECK(all == Approx(1));
        const view::GraphView graph = view::graph_view(ruleset, pair.practice, {});
        // Those left out are all outside or referred: of the others the shares stand to each other as in the graph.
        double spared = 0, of_all = 0;
        const auto is_spared = [](tree::Verdict v) { return v != tree::Verdict::outside && v != tree::Verdict::referred; };
        for (const auto& [verdict, share] : shares) spared += is_spared(verdict.first) ? share : 0;
        for (const auto& leaf : graph.leaves) of_all += is_spared(leaf.verdict) ? leaf.share.low.get_d() : 0;
        for (const auto& leaf : graph.leaves)
          if (is_spared(leaf.verdict)) CHECK(shares[{leaf.verdict, leaf.with_care}] / spared == Approx(leaf.share.low.get_d() / of_all));
      }
      for (int k = 0; k < 40; ++k) {
        const Profile person = persons.next();
        const auto column = map.across.part_of(*person[pair.across.index]), row = map.up.part_of(*person[pair.up.index]);
        REQUIRE((column && row));
        const PracticeVerdict verdict = evaluate_practice(ruleset, pair.practice, person, {});
        const auto& parts = map.at(*column, *row).parts;
        const auto at = std::find_if(parts.begin(), parts.end(), [&](const auto& part) { return is_told(part, verdict); });
        if (at == parts.end()) {
          CHECK((map.leaves_out && (verdict.verdict == tree::Verdict::outside || verdict.verdict == tree::Verdict::referred)));
          ++left_out;
          continue;
        }
        ++inside;
        // Who made it is named, where somebody of the practice did.
        for (const Index s : at->sentences) CHECK(s < ruleset.sentences.size());
        if (parts.size() > 1 && !verdict.with_care && verdict.verdict == tree::Verdict::withheld)
          for (const Index s : verdict.because) CHECK(std::find(at->sentences.begin(), at->sentences.end(), s) != at->sentences.end());
      }
    }
    CHECK(inside > 200);
    std::cout << edition.name << ": " << inside << " persons in their fields, " << left_out << " left out\n";
  }
}

TEST_CASE("the words of a map are conditions of the language, and everybody has exactly one region") {
  for (const auto& edition : worlds::newest()) {
    const Ruleset& plain = worlds::checked(edition).ruleset;
    struct Told {
      MapView map;
      Pair pair;
      std::vector<std::vector<std::string>> terms;  // of each region
    };
    std::vector<Told> all;
    std::string terms;
    std::size_t count = 0;
    for (const Pair& pair : pairs_of(plain, 2)) {
      Told one{view::map_view(plain, pair.practice, {}, pair.across, pair.up), pair, {}};
      for (const auto& region : one.map.regions) {
        one.terms.emplace_back();
        for (const std::string& condition : region.conditions) {
          if (condition == "everybody") continue;
          one.terms.back().push_back("mapped place " + std::to_string(++count));
          terms += "Term " + one.terms.back().back() + " means " + condition + ".\n";
        }
      }
      all.push_back(std::move(one));
    }
    SourceFile root = worlds::root_of(edition);
    root.text += "\n" + terms;
    const auto read = read_ruleset(root, worlds::reader_of(edition));
    INFO(worlds::told(read.messages));
    REQUIRE(read.value.has_value());
    std::map<std::string, const Cond*> condition;
    for (const Term& term : read.value->terms) condition[term.name] = &term.condition;
    Persons persons(plain);
    for (std::size_t i = 0; i < 1000; ++i) {
      const Told& told = all[i % all.size()];
      const Profile person = persons.next();
      std::vector<std::size_t> held;
      for (std::size_t r = 0; r < told.terms.size(); ++r) {
        const auto& of = told.terms[r];
        if (of.empty() || std::any_of(of.begin(), of.end(), [&](const auto& t) { return holds(*read.value, *condition.at(t), person); })) held.push_back(r);
      }
      const auto column = told.map.across.part_of(*person[told.pair.across.index]), row = told.map.up.part_of(*person[told.pair.up.index]);
      INFO(plain.practices[told.pair.practice].name << " by " << told.map.across.name << " and " << told.map.up.name);
      REQUIRE(held.size() == 1);
      CHECK(held[0] == told.map.at(*column, *row).region);
    }
  }
}

TEST_CASE("what a person's dose comes to is among the outcomes of their column, and is the only one where all else is held") {
  std::size_t looked = 0, clashes = 0, unsaid = 0, alone = 0;
  for (const auto& edition : worlds::every_edition()) {
    const Ruleset& ruleset = worlds::checked(edition).ruleset;
    Persons persons(ruleset);
    for (const Pair& pair : pairs_of(ruleset, 2)) {
      std::optional<DoseView> everybody;
      try {
        everybody = view::dose_view(ruleset, pair.practice, {}, pair.across);
      } catch (const view::NothingToDraw& why) {
        CHECK((std::string(why.what()).find("no sentence says how much") == 0 || std::string(why.what()).find("for nobody here") != std::string::npos));
        continue;
      }
      for (int k = 0; k < 200; ++k) {
        const Profile person = persons.next();
        const PracticeVerdict verdict = evaluate_practice(ruleset, pair.practice, person, {});
        if (verdict.verdict != tree::Verdict::advised && verdict.verdict != tree::Verdict::allowed) continue;
        const SettledDose dose = settle_dose(ruleset, pair.practice, person);
        const auto check = [&](const DoseView& view, bool is_held) {
          const auto column = view.across.part_of(*person[pair.across.index]);
          REQUIRE(column);
          for (const DoseView::Panel& panel : view.panels) {
            const SettledDose::Part* part = nullptr;
            if (panel.what == Dose::Part::often) part = dose.often ? &*dose.often : nullptr;
            else if (panel.what == Dose::Part::length) part = dose.length ? &*dose.length : nullptr;
            else
              for (const auto& amount : dose.amounts)
                if (alike(amount.unit, panel.unit)) part = &amount;
            const auto& outcomes = panel.outcomes[*column];
            INFO(ruleset.practices[pair.practice].name << " by " << view.across.name << ", " << panel.title());
            if (is_held) REQUIRE(outcomes.size() == 1);
            const auto at = std::find_if(outcomes.begin(), outcomes.end(), [&](const auto& outcome) {
              if (!part) return !outcome.is_said;
              return outcome.is_said && outcome.clash == part->clash && (part->clash || same(outcome.interval, part->interval));
            });
            REQUIRE(at != outcomes.end());
            if (part)
              for (const Index s : part->from) CHECK(std::find(at->from.begin(), at->from.end(), s) != at->from.end());
            ++looked, clashes += at->clash, unsaid += !at->is_said;
          }
        };
        check(*everybody, false);
        if (k % 20 == 0) check(view::dose_view(ruleset, pair.practice, {}, pair.across, &person), true), ++alone;
      }
    }
  }
  std::cout << looked << " doses looked up, " << clashes << " clashes, " << unsaid << " unsaid, " << alone << " views of one person\n";
  CHECK(looked > 1000);
  CHECK(clashes > 0);
  CHECK(unsaid > 0);
  CHECK(alone > 30);
}

}  // namespace
}  // namespace betony::drawing
