// Questions, changes and what is possible in packs that nobody's compiler made: true all the same, and not dear.
#include <catch2/catch.hpp>

#include <chrono>

#include "runtime/change.h"
#include "runtime/pack_verify.h"
#include "runtime/question.h"
#include "runtime/weigh.h"

using namespace betony::runtime;

namespace {

constexpr Index withheld = DecisionGraph::leaf + static_cast<Index>(Verdict::withheld), advised = DecisionGraph::leaf + static_cast<Index>(Verdict::advised);

Value number(Number n) { return {Value::Kind::number, 0, std::move(n)}; }

// A pack that is put together by hand.
class Maker {
 public:
  Maker() { pack_.readings.emplace_back(); }

  Finding& finding(Number low, Number high, Number step) {
    Finding& out = pack_.findings.emplace_back();
    out.name = "f" + std::to_string(pack_.findings.size()), out.kind = Finding::Kind::number;
    out.low = std::move(low), out.high = std::move(high), out.step = std::move(step);
    return out;
  }
  // Of the last finding, or the last measure; gives its first input as an operand.
  Index variable(const std::vector<Number>& ends, bool is_measure = false) {
    Variable v;
    v.is_measure = is_measure, v.index = static_cast<Index>((is_measure ? pack_.measures.size() : pack_.findings.size()) - 1);
    for (const Number& end : ends) v.ends.push_back({end, true});
    v.first_input = pack_.program.inputs;
    v.inputs = static_cast<Index>(ends.size()) + (!is_measure && pack_.findings.back().or_never);
    v.cells = v.inputs + 1;
    pack_.program.inputs += v.inputs;
    pack_.variables.push_back(v);
    return (1 + v.first_input) * 2;
  }
  Index gate(Gate::Kind kind, std::vector<Index> operands) {
    pack_.program.gates.push_back({kind, std::move(operands)});
    return (pack_.program.slots() - 1) * 2;
  }
  void background(Index operand) { pack_.background = operand; }
  // A practice that is withheld where the operand holds, and else advised.
  void practice(Index bans) {
    pack_.practices.emplace_back().name = "p" + std::to_string(pack_.practices.size());
    Reading::Ways& ways = pack_.readings[0].practices.emplace_back();
    ways.withheld = bans, ways.advised = 1;
  }
  // With a graph of its own; then all of them have one.
  void practice(Index bans, DecisionGraph graph) {
    practice(bans);
    pack_.readings[0].graphs.push_back(static_cast<Index>(pack_.graphs.size()));
    pack_.graphs.push_back(std::move(graph));
  }
  const Pack& pack() const {
    REQUIRE(what_is_wrong(pack_) == "");
    return pack_;
  }
  Pack& change() { return pack_; }

 private:
  Pack pack_;
};

// Two cells of one variable, up to cell `last` and past it.
DecisionGraph::Question halves(Index variable, Index last, Index cells) { return {{variable}, {0, last + 1}, {last, cells - 1}, {1u << 31, 1u << 31}}; }

DecisionGraph one_node(DecisionGraph::Question question, Index first, Index second) {
  DecisionGraph out;
  out.questions.push_back(std::move(question));
  out.nodes = {{0, {{0, first}, {1, second}}}};
  out.root = 0;
  return out;
}

template <class Do>
double seconds(const Do& act) {
  const auto begin = std::chrono::steady_clock::now();
  act();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

}  // namespace

TEST_CASE("a change tells no number that the finding cannot have") {
  // Past 20, of a finding up to 10; and between two steps.
  for (const Number& end : {Number(20), *Number::read("9.5")}) {
    Maker make;
    make.finding(0, 10, 1);
    make.variable({end});
    make.practice(2, one_node(halves(0, 0, 2), advised, withheld));
    const Answers answers{number(3)};
    Changes changes(make.pack(), answers);
    CHECK_FALSE(changes.of(0));
  }
  Maker make;
  make.finding(0, 10, 1);
  make.variable({9});
  make.practice(2, one_node(halves(0, 0, 2), advised, withheld));
  const Answers answers{number(3)};
  Changes changes(make.pack(), answers);
  const auto change = changes.of(0);
  REQUIRE(change);
  CHECK(change->findings[0].second == number(10));
}

TEST_CASE("a change tells a finding once, however many questions ask for it") {
  Maker make;
  make.finding(0, 10, 1);
  make.variable({5, 7});
  DecisionGraph graph;
  graph.questions = {halves(0, 0, 3), halves(0, 1, 3)};
  graph.nodes = {{0, {{0, advised}, {1, 1}}}, {1, {{0, advised}, {1, withheld}}}};
  graph.root = 0;
  make.practice(4, graph);
  const Answers answers{number(3)};
  Changes changes(make.pack(), answers);
  const auto change = changes.of(0);
  REQUIRE(change);
  REQUIRE(change->findings.size() == 1);
  CHECK(change->findings[0].second == number(8));
  CHECK(change->verdict == Verdict::withheld);
}

TEST_CASE("a finding that may be never stays so where a measure binds it to what is told") {
  for (const int step : {1, 0}) {
    Maker make;
    make.finding(0, 9, step).or_never = true;
    const Index never = make.variable({});
    make.finding(0, 9, 1);
    make.variable({});
    make.change().measures = {{"sum", "", {{Step::Kind::finding, 0, {}}, {Step::Kind::finding, 1, {}}, {Step::Kind::add, 0, {}}}}};
    make.variable({}, true);
    make.practice(never, one_node({{0, 1, 2}, {0, 0, 0, 1, 0, 0}, {0, 0, 0, 1, 0, 0}, {1, 1}}, advised, withheld));
    const Answers answers{std::nullopt, number(4)};
    CHECK(weigh(make.pack(), answers).practices[0].possible == std::vector<Told>{{Verdict::withheld, false}, {Verdict::advised, false}});
  }
}

TEST_CASE("nobody is as was told where that follows from one background fact after another, and without a graph too") {
  // Input i is no or yes.
  Maker make;
  for (int i = 0; i < 3; ++i) make.finding(0, 1, 1), make.variable({0});
  const Index p = 2, q = 4, v = 6;
  const auto no = [](Index operand) { return operand ^ 1u; };
  make.practice(q);
  const auto either = [&](Index a, Index b) { return make.gate(Gate::Kind::any, {a, b}); };
  const Index p_or_q = either(p, q), p_or_not_q = either(p, no(q)), v_or_not_p = either(v, no(p));
  make.background(make.gate(Gate::Kind::all, {p_or_q, p_or_not_q, v_or_not_p}));
  CHECK(weigh(make.pack(), {std::nullopt, std::nullopt, std::nullopt}).possible);
  CHECK(weigh(make.pack(), {std::nullopt, std::nullopt, number(1)}).possible);
  CHECK_FALSE(weigh(make.pack(), {std::nullopt, std::nullopt, number(0)}).possible);
}

TEST_CASE("what follows from background facts goes on following where more is told") {
  Maker make;
  for (int i = 0; i < 5; ++i) make.finding(0, 1, 1), make.variable({0});
  const Index x = 2, y = 4, z = 6, v = 8, w = 10;
  // Not x without v, nor v without x; so y, whatever z is.
  const Index odd = make.gate(Gate::Kind::parity, {x, v}), y_or_odd = make.gate(Gate::Kind::any, {odd, y});
  const Index first = make.gate(Gate::Kind::all, {y_or_odd, w}), last = make.gate(Gate::Kind::any, {y_or_odd, z});
  make.practice(y);
  make.background(make.gate(Gate::Kind::all, {first, odd ^ 1u, last}));
  for (const std::optional<Value>& told : {std::optional<Value>(), std::optional(number(0)), std::optional(number(1))}) {
    const Answers answers{std::nullopt, std::nullopt, told, std::nullopt, std::nullopt};
    CHECK(weigh(make.pack(), answers).practices[0].possible == std::vector<Told>{{Verdict::withheld, false}});
  }
}

TEST_CASE("a finding goes from and to no number that is longer than one that may be told") {
  const Number a_long = *Number::read("1/1" + std::string(620, '0'), 4096);
  for (const bool is_low : {true, false}) {
    Maker make;
    make.finding(is_low ? a_long : Number(0), 1, is_low ? Number(0) : a_long);
    CHECK(what_is_wrong(make.change()) == "the pack's findings are not sound");
  }
}

TEST_CASE("what is worked out for a change is little where its numbers are long, or a program is gone through again and again") {
  SECTION("long numbers") {
    Maker make;
    const Number step = *Number::read("1/1" + std::string(600, '7'), 4096);
    make.finding(step, step * 4001, step);
    Measure& power = make.change().measures.emplace_back();
    power.formula = {{Step::Kind::finding, 0, {}}};
    for (int i = 0; i < 30; ++i) power.formula.push_back({Step::Kind::finding, 0, {}}), power.formula.push_back({Step::Kind::multiply, 0, {}});
    make.variable({5}, true);
    make.practice(2, one_node(halves(0, 0, 2), advised, withheld));
    const Answers answers{number(step)};
    Changes changes(make.pack(), answers);
    std::optional<Change> change;
    CHECK(seconds([&] { change = changes.of(0); }) < 2);  // a hundredth of one; it was over eight
    CHECK_FALSE(change);
  }
  SECTION("tallies") {
    Maker make;
    for (int i = 0; i < 6; ++i) make.finding(0, 4000, 1);
    Pack& pack = make.change();
    pack.tallies = {{"points", {{2, 1}}}};
    Measure& sum = pack.measures.emplace_back();
    sum.formula = {{Step::Kind::tally, 0, {}}};
    for (Index i = 0; i < 6; ++i) sum.formula.push_back({Step::Kind::finding, i, {}}), sum.formula.push_back({Step::Kind::add, 0, {}});
    std::vector<Number> ends;    // no sum is so great
    for (int i = 0; i < 12; ++i) ends.push_back(30'000 + i);
    make.variable(ends, true);
    for (Index i = 0; i < 1600; ++i) pack.program.gates.push_back({Gate::Kind::all, {1, (12 + i) * 2}});
    DecisionGraph graph;
    for (Index q = 0; q < 12; ++q) {
      graph.questions.push_back(halves(0, q, 13));
      graph.nodes.push_back({q, {{0, q == 11 ? advised : q + 1}, {1, withheld}}});
    }
    graph.root = 0;
    make.practice(4, graph);
    const Answers answers(6, number(3));
    Changes changes(make.pack(), answers);
    std::optional<Change> change;
    CHECK(seconds([&] { change = changes.of(0); }) < 2);  // it was over four
    CHECK_FALSE(change);
  }
}

TEST_CASE("the sentences that are open to a finding are found in one pass over the program") {
  Maker make;
  make.finding(0, 10, 1);
  make.variable({5});
  Pack& pack = make.change();
  for (Index i = 0; i < 100'000; ++i) pack.program.gates.push_back({Gate::Kind::any, {(1 + i) * 2, 0}});
  pack.sentences.resize(10'000);
  pack.readings[0].fires.assign(10'000, (pack.program.slots() - 1) * 2);
  pack.readings[0].fires[7] = 1;
  std::vector<Index> open;
  CHECK(seconds([&] { open = sentences_open_to(make.pack(), {std::nullopt}, 0, 0); }) < 2);  // a tenth of one; it was over four
  CHECK(open.size() == 9'999);
  CHECK(std::find(open.begin(), open.end(), 7) == open.end());
}

TEST_CASE("not every order of asking is gone through where very many practices are open") {
  for (const Index practices : {20u, 500u}) {
    Maker make;
    for (Index f = 0; f < 2; ++f) {
      make.finding(0, 300, 1);
      std::vector<Number> ends;
      for (int end = 0; end < 250; ++end) ends.push_back(end);
      make.variable(ends);
    }
    for (Index p = 0; p < practices; ++p) {
      const Index variable = p % 2, last = p / 2;
      make.practice((1 + variable * 250 + last) * 2, one_node(halves(variable, last, 251), advised, withheld));
    }
    std::optional<NextQuestion> next;
    CHECK(seconds([&] { next = next_question(make.pack(), {std::nullopt, std::nullopt}); }) < 5);
    REQUIRE(next);
    CHECK(next->further.has_value() == (practices == 20));
  }
}
