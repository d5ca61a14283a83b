// Drawings of decision graphs, read back as a person would read them.
//
// Random persons walk the edges of the DOT text and the numbered words of every practice of the example teachings. What an edge says is read
// as a condition of the language: it is written into the ruleset as a Term, and the evaluator says whether it holds of the person. Of every
// question exactly one answer has to hold, and where the walk ends has to be the verdict that the evaluator gives.
// Verdicts of the evaluator and of packs are held together in tests/property.
#include <iostream>
#include <map>
#include <regex>
#include <set>

#include "tests/drawing/persons.h"
#include "tests/rulesets/worlds.h"
#include "tests/support.h"
#include "viz/drawing/leaf_graph.h"
#include "viz/terminal/draw_page.h"

namespace betony::drawing {
namespace {

using view::GraphView;

// What DOT says: of each question its edges, of each verdict its word.
struct Dot {
  struct Edge {
    unsigned answer;
    std::string condition, to;
  };
  std::map<std::string, std::vector<Edge>> edges;
  std::map<std::string, std::string> verdicts;
  std::string first;
};

std::string unquoted(std::string text) {
  if (text.size() > 1 && text.front() == '"') text = text.substr(1, text.size() - 2);
  return std::regex_replace(text, std::regex(R"(\\\n|\\(["\\]))"), "$1");
}

Dot read_dot(const std::string& text) {
  Dot out;
  const std::regex edge(R"dot((q\d+):a(\d+) -> ([qv]\d+)\s*\[tooltip=("(?:[^"\\]|\\[\s\S])*"|[^\];]+)\];)dot"),
      verdict(R"dot((v\d+)\s*\[class=verdict,\s*label=<<B>([^<]*)</B>>\];)dot");
  std::set<std::string> led_to;
  for (auto at = std::sregex_iterator(text.begin(), text.end(), edge); at != std::sregex_iterator(); ++at) {
    out.edges[(*at)[1]].push_back({static_cast<unsigned>(std::stoul((*at)[2])), unquoted((*at)[4]), (*at)[3]});
    led_to.insert((*at)[3]);
  }
  for (auto at = std::sregex_iterator(text.begin(), text.end(), verdict); at != std::sregex_iterator(); ++at) out.verdicts[(*at)[1]] = (*at)[2];
  for (auto& [question, edges] : out.edges) std::sort(edges.begin(), edges.end(), [](const auto& a, const auto& b) { return a.answer < b.answer; });
  for (const auto& [question, edges] : out.edges)
    if (!led_to.count(question)) out.first = out.first.empty() ? question : "two beginnings";
  return out;
}

// What the page of words says: of each question where its answers lead, in their order.
std::map<std::string, std::vector<std::string>> read_words(const std::string& text) {
  std::map<std::string, std::vector<std::string>> out;
  std::string question, joined;
  std::vector<std::string> lines;
  std::istringstream in(text.substr(0, text.find("\n___")));
  // A line that goes on is set further in than what it goes on from.
  const std::regex head(R"(^ *(\d+)  \S.*)"), answer(R"(^ +.*?\.\. *(go on to (\d+)|.{3,4} ([A-Za-z]+(?:, with care)?))\s*$)");
  for (std::string line; std::getline(in, line);) {
    std::smatch found;
    if (std::regex_match(line, found, head))
      question = "q" + std::string(found[1]), joined.clear();
    else if (!question.empty()) {
      joined += " " + line;
      if (std::regex_match(joined, found, answer)) {
        std::string to = found[2].matched ? "q" + std::string(found[2]) : std::string(found[3]);
        for (char& c : to) c = static_cast<char>(std::tolower(c));
        out[question].push_back(to);
        joined.clear();
      }
    }
  }
  return out;
}

TEST_CASE("whoever walks the edges of a drawn graph, or its words, comes to the verdict that is given") {
  for (const auto& edition : worlds::newest()) {
    const Ruleset& plain = worlds::checked(edition).ruleset;
    std::vector<GraphView> views;
    std::vector<Dot> dots;
    std::string terms;
    std::map<std::string, std::string> term_of;
    std::size_t walked = 0, others = 0;
    for (Index p = 0; p < plain.practices.size(); ++p) {
      views.push_back(view::graph_view(plain, p, {}));
      dots.push_back(read_dot(graph_dot(views.back(), view::unfolded(views.back()))));
      for (const auto& [question, edges] : dots.back().edges)
        for (const Dot::Edge& edge : edges) {
          if (edge.condition.find("others like these") != std::string::npos) continue;
          const auto [at, is_new] = term_of.try_emplace(edge.condition, "walked way " + std::to_string(term_of.size() + 1));
          if (is_new) terms += "Term " + at->second + " means " + edge.condition + ".\n";
        }
    }
    SourceFile root = worlds::root_of(edition);
    root.text += "\n" + terms;
    const auto read = read_ruleset(root, worlds::reader_of(edition));
    INFO(worlds::told(read.messages));
    REQUIRE(read.value.has_value());
    const Ruleset& ruleset = *read.value;
    std::map<std::string, const Cond*> condition;
    for (const Term& term : ruleset.terms) condition[term.name] = &term.condition;

    Persons persons(plain);
    for (int i = 0; i < 1000; ++i) {
      const Profile person = persons.next();
      std::map<std::string, bool> known;  // of each condition
      const Index p = static_cast<Index>(i) % static_cast<Index>(views.size());
      const PracticeVerdict wanted = evaluate_practice(plain, p, person, {});
      const auto words = read_words(terminal::graph_page(views[p], {100, false}));
      std::string at = dots[p].first;
      INFO(plain.practices[p].name << ", person " << i);
      while (dots[p].edges.count(at)) {
        const auto& edges = dots[p].edges.at(at);
        std::vector<std::size_t> held;
        std::optional<std::size_t> rest;
        for (std::size_t e = 0; e < edges.size(); ++e) {
          const auto term = term_of.find(edges[e].condition);
          if (term == term_of.end())
            rest = e;
          else if (holds(ruleset, *condition.at(term->second), person))
            held.push_back(e);
        }
        if (held.empty() && rest) held.push_back(*rest), ++others;
        INFO(at);
        REQUIRE(held.size() == 1);
        const std::string to = edges[held[0]].to;
        REQUIRE(words.at(at).size() == edges.size());
        const std::string by_words = words.at(at)[held[0]];
        CHECK(by_words == (to[0] == 'q' ? to : dots[p].verdicts.at(to)));
        at = to;
      }
      CHECK(dots[p].verdicts.at(at) == verdict_words(wanted.verdict, wanted.with_care));
      // And by the view itself.
      const auto way = views[p].way_of(person);
      REQUIRE(!way.empty());
      const GraphView::Leaf& leaf = views[p].leaves.at(views[p].questions[way.back().first].answers[way.back().second].to - GraphView::leaf);
      CHECK((leaf.verdict == wanted.verdict && leaf.with_care == wanted.with_care));
      ++walked;
    }
    std::cout << edition.name << ": " << walked << " walks, " << others << " answers taken as what was left\n";
    CHECK(others * 10 <= walked);
  }
}

TEST_CASE("shares of verdicts add up to everybody, and the first question is everybody's") {
  for (const auto& edition : worlds::newest()) {
    const Ruleset& ruleset = worlds::checked(edition).ruleset;
    for (Index p = 0; p < ruleset.practices.size(); ++p) {
      const GraphView view = view::graph_view(ruleset, p, {});
      INFO(ruleset.practices[p].name);
      Rational low = 0, high = 0;
      for (const auto& leaf : view.leaves) low += leaf.share.low, high += leaf.share.high;
      CHECK((low <= 1 && high >= 1));
      if (view.shares_known && view.first < GraphView::leaf) CHECK(view.questions[view.first].share == Approx(1));
      for (const auto& question : view.questions) CHECK((question.share >= 0 && question.share <= 1.0000001));
    }
  }
}

TEST_CASE("the way of a person is not folded, and its end is an answer of a place that is shown") {
  std::size_t longest = 0;
  for (const auto& edition : worlds::newest()) {
    const Ruleset& ruleset = worlds::checked(edition).ruleset;
    Persons persons(ruleset);
    for (Index p = 0; p < ruleset.practices.size(); ++p) {
      const GraphView view = view::graph_view(ruleset, p, {});
      for (int i = 0; i < 20; ++i) {
        std::vector<Index> kept;
        for (const auto& [question, answer] : view.way_of(persons.next())) kept.push_back(question);
        const auto page = view::folded(view, 12, kept);
        INFO(ruleset.practices[p].name);
        longest = std::max(longest, kept.size());
        for (const Index q : kept) {
          if (view.questions[q].part != GraphView::Part::practice) continue;
          CHECK(std::any_of(page.places.begin(), page.places.end(), [&](const auto& place) { return !place.is_folded && place.question == q; }));
        }
      }
    }
  }
  CHECK(longest > 12);
}

TEST_CASE("a page holds no more than it has room for, and nothing is lost in its folds") {
  for (const auto& edition : worlds::every_edition()) {
    const Ruleset& ruleset = worlds::checked(edition).ruleset;
    for (Index p = 0; p < ruleset.practices.size(); ++p) {
      const GraphView view = view::graph_view(ruleset, p, {});
      for (const std::size_t most : {3u, 6u, 12u}) {
        const auto page = view::folded(view, most);
        INFO(ruleset.practices[p].name << ", " << most);
        CHECK(page.places.size() <= std::max<std::size_t>(most, 4));
        std::set<Index> seen;
        for (std::size_t at = 0; at < page.places.size(); ++at) {
          const auto& place = page.places[at];
          if (place.is_folded)
            seen.insert(place.under.begin(), place.under.end());
          else
            seen.insert(place.question);
          for (const auto& way : place.ways)
            if (way.to < GraphView::leaf) CHECK((way.to < page.places.size() && way.to > at));
        }
        CHECK(seen.size() == view.questions.size());
      }
      CHECK(view::unfolded(view).folded_questions == 0);
    }
  }
}

}  // namespace
}  // namespace betony::drawing
