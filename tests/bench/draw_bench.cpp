// tests/bench/draw_bench.cpp: what drawings cost: the larger example teaching at a glance, and a decision graph of more than 5,000
// questions, folded to a page. Beside each, as a peer in the same run, what reading and checking the same source costs. Prints Markdown; exit
// status 1 where the overview takes a second or more, or the large graph three.
#include <cstdio>

#include "compiler/view/overview.h"
#include "tests/bench/clock.h"
#include "tests/bench/files.h"
#include "viz/drawing/leaf_graph.h"
#include "viz/drawing/leaf_overview.h"

namespace {

using namespace betony;
using bench::text_of;

// So many signs of which three counts are asked: a graph of every count after every sign.
std::string counted(int signs) {
  std::string out = "Ruleset \"Many signs\", edition \"1\".\n", all;
  for (int i = 1; i <= signs; ++i) {
    const std::string name = "sign " + std::to_string(i);
    out += "Finding " + name + " is yes or no.\n";
    all += (i > 1 ? ", " : "") + name;
  }
  const auto at_least = [&](int count) { return "at least " + std::to_string(count) + " of " + all + ".\n"; };
  return out + "Practice tide walk.\n  Contraindicated in " + at_least(signs * 3 / 4) + "  Discouraged in " + at_least(signs / 2) + "  Indicated in " +
         at_least(signs / 4) + "  Otherwise allowed.\n";
}

Ruleset read(const SourceFile& file, const FileReader& others) {
  auto out = read_ruleset(file, others);
  if (!out.value) std::fprintf(stderr, "%s cannot be read\n", file.name.c_str()), std::exit(1);
  return std::move(*out.value);
}

void row(const char* what, std::size_t size, const bench::Time& drawing, const bench::Time& peer, const char* wanted, bool holds) {
  std::printf("| %s | %zu | **%.3f** | %.3f | %.3f | %.2f | %s | %s |\n", what, size, drawing.wall, drawing.processor, peer.processor,
              drawing.processor / peer.processor, wanted, holds ? "holds" : "missed");
}

}  // namespace

int main() {
  bool holds = true;
  std::printf("## Drawings\n\nSeconds, the median of five; as a peer, reading and checking the same source on one thread.\n\n"
              "| drawing | questions or practices | seconds | of the processor | peer | as long as the peer | wanted | |\n|---|---|---|---|---|---|---|---|\n");
  {
    const std::string source = counted(124);
    const Ruleset ruleset = read({"signs.bty", source}, [](const std::string&) { return std::nullopt; });
    std::size_t questions = 0, bytes = 0;
    const auto drawn = bench::median_of([&] {
      drawing::Letters letters;
      const view::GraphView view = view::graph_view(ruleset, 0, {});
      questions = view.questions.size();
      drawing::GraphLeaf what;
      what.view = &view;
      bytes = drawing::svg_of(drawing::graph_leaf(letters, what, {})).size();
    });
    const auto peer = bench::median_of([&] { check(read({"signs.bty", source}, [](const std::string&) { return std::nullopt; })); });
    const bool is_so = drawn.wall < 3 && questions >= 5000 && bytes > 0;
    holds = holds && is_so;
    row("a large decision graph, folded to a page", questions, drawn, peer, "under 3", is_so);
  }
  const std::string folder = BETONY_SOURCE_DIR "/rulesets/lantern-lakes/", name = "lantern-lakes.bty";
  const auto others = [&](const std::string& other) { return text_of(folder + other); };
  {
    std::size_t practices = 0;
    const auto all = [&] {
      const Ruleset ruleset = read({name, text_of(folder + name).value_or("")}, others);
      const Report report = check(ruleset);
      return std::pair(view::overview(ruleset, report), ruleset.practices.size());
    };
    const auto drawn = bench::median_of([&] {
      const auto [overview, count] = all();
      practices = count;
      drawing::OverviewLeaf what;
      what.overview = &overview;
      what.lines.assign(count, "1");
      what.files.assign(count, "");
      drawing::Letters letters;
      drawing::svg_of(drawing::overview_leaf(letters, what, {}));
    });
    const auto peer = bench::median_of([&] { check(read({name, text_of(folder + name).value_or("")}, others)); });
    const bool is_so = drawn.wall < 1;
    holds = holds && is_so;
    row("the larger example at a glance, on one thread", practices, drawn, peer, "under 1", is_so);
  }
  {
    const std::string out = "/tmp/betony-draw-bench-" + std::to_string(::getpid()) + ".svg";
    const auto drawn = bench::median_process(BETONY_PROGRAM, {"draw", folder + name, "overview", "-o", out});
    const auto peer = bench::median_process(BETONY_PROGRAM, {"read", folder + name});
    std::remove(out.c_str());
    const bool is_so = drawn.time.wall < 1 && drawn.status == 0;
    holds = holds && is_so;
    row("the same as a whole process, `betony draw … overview -o …`", 22, drawn.time, peer.time, "under 1", is_so);
  }
  return holds ? 0 : 1;
}
