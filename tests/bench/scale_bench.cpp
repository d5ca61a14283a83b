// tests/bench/scale_bench.cpp: tables of boxes at the sizes of published check 3.4 and far beyond, beside four peers.
//
//   scale_bench          prints tables in Markdown, and at the end which goals hold; `sh tests/bench/run.sh` puts them into RESULTS.md
//   scale_bench --big    with 20,000 and 100,000 rows, and 500 independent boxes
//
// Every figure is the median of five; peers run in the same minute, so that a ratio holds on a busy machine too. Times are those of
// the processor, with those on the wall in brackets; ratios are of the processor's. All answers are compared on the way.
//
// Whole processes are boxes_once (ours) and z3_once, which make the table from its seed first.
#include <cstdlib>
#include <cstring>
#include <memory>

#include "compiler/cover.h"
#include "tests/bench/clock.h"
#include "tests/bench/once.h"
#include "tests/bench/peers.h"

namespace {

using namespace betony;
using namespace betony::bench;

constexpr std::uint64_t plenty = 400'000'000'000;

std::string shown(const Time& time) {
  char text[64];
  const double ms = time.processor * 1e3;
  std::snprintf(text, sizeof text, ms < 10 ? "%.2f (%.2f)" : ms < 100 ? "%.1f (%.1f)" : "%.0f (%.0f)", ms, time.wall * 1e3);
  return text;
}

std::string number(double value, const char* form = "%.2f") {
  char text[64];
  std::snprintf(text, sizeof text, form, value);
  return text;
}

double times(const Time& a, const Time& b) { return a.processor / b.processor; }

void must(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "scale_bench: answers differ: %s\n", what);
  std::exit(1);
}

struct Goal {
  std::string what, wanted, figure;
  bool holds;
};
std::vector<Goal> goals;

void at_most(const std::string& what, double figure, double wanted, const char* unit = "") {
  goals.push_back({what, "at most " + number(wanted, "%g") + unit, number(figure, figure < 10 ? "%.3g" : "%.0f") + unit, figure <= wanted});
}
void at_least(const std::string& what, double figure, double wanted) {
  goals.push_back({what, "at least " + number(wanted, "%g") + " times", number(figure, "%.1f") + " times", figure >= wanted});
}

std::string described(const Spec& spec) {
  if (spec.kind == "independent") return std::to_string(spec.rows) + " independent";
  return std::to_string(spec.columns) + " × " + std::to_string(spec.rows) + ", " + std::to_string(spec.rows / 10) + " " + spec.kind;
}

// ---------------------------------------------------------------- rows of a partition

struct Ours {
  Time pairs, share, boxes, together;  // together: overlaps and the share in one run
  std::uint64_t overlaps = 0;
  Share uncovered;
  Uncovered open{Boxes{{}}};
  std::vector<Meeting> meetings;
};

Ours measure_ours(const Table& table, const Weights& weights) {
  Ours ours;
  ours.together = median_of([&] {
    Spending spending{plenty};
    ours.meetings = meetings(table.boxes, spending);
    ours.overlaps = overlaps(table.boxes, ours.meetings, Between::all_rows, 10'000, spending).count;
    ours.uncovered = uncovered_share(table.boxes, weights, ours.meetings, spending);
  });
  ours.pairs = median_of([&] {
    Spending spending{plenty};
    ours.overlaps = overlaps(table.boxes, Between::all_rows, 10'000, spending).count;
  });
  ours.boxes = median_of([&] {
    Spending spending{plenty};
    ours.open = uncovered_boxes(table.boxes, 10'000'000, spending);
  });
  must(ours.uncovered.exact && ours.uncovered.low == table.share(table.lost), "what was narrowed away");
  must(ours.open.complete, "all uncovered boxes");
  return ours;
}

void print_partitions() {
  std::printf(
      "## Rows grown from a tree, solve only\n\nMilliseconds. The scan only counts the pairs; \"by cutting\" is the plain way to the same share, or "
      "boxes.\n\n"
      "| columns × rows | overlaps | uncovered | boxes | overlaps and share | uncovered boxes | scan of all pairs | share by cutting | boxes by "
      "cutting |"
      " ratio of overlaps and share to the scan | of boxes |\n"
      "|---|---|---|---|---|---|---|---|---|---|---|\n");
  struct Size { std::size_t columns, rows; };
  for (const auto& [columns, rows] :
       {Size{3, 499}, Size{3, 998}, Size{3, 1492}, Size{5, 500}, Size{5, 1000}, Size{5, 1500}, Size{7, 500}, Size{7, 1000}, Size{7, 1500}})
    for (const char* kind : {"widened", "narrowed"}) {
      const Spec spec{kind, columns, rows, 1};
      const Table table = table_of(spec);
      const Weights weights(table.weights);
      const Ours ours = measure_ours(table, weights);
      std::vector<Meeting> pairs;
      Weights::Narrow left = 0;
      std::size_t pieces = 0;
      const Time scan = median_of([&] { pairs = peers::brute_pairs(table.boxes); });
      const Time share = median_of([&] { left = peers::brute_uncovered(table.boxes, weights, pairs); });
      const Time boxes = median_of([&] { pieces = peers::brute_uncovered_boxes(table.boxes).size(); });
      must(pairs.size() == ours.overlaps, "overlaps");
      must(weights.share(to_mpz(left)) == ours.uncovered.low, "share");
      must((pieces == 0) == (ours.open.boxes.size() == 0), "boxes");
      std::printf("| %s | %llu | %.4f | %zu (%zu by cutting) | **%s** | **%s** | %s | %s | %s | **%.2f** | **%.2f** |\n", described(spec).c_str(),
                  static_cast<unsigned long long>(ours.overlaps), ours.uncovered.low.get_d(), ours.open.boxes.size(), pieces,
                  shown(ours.together).c_str(), shown(ours.boxes).c_str(), shown(scan).c_str(), shown(share).c_str(), shown(boxes).c_str(),
                  times(ours.together, scan), times(ours.boxes, scan));
      if (columns < 7 || rows < 1500) continue;
      at_most(described(spec) + ": overlaps and exact share, of the scan's time", times(ours.together, scan), 0.4);
      at_most(described(spec) + ": uncovered boxes, of the scan's time", times(ours.boxes, scan), 0.45);
      if (spec.kind == "narrowed") at_most(described(spec) + ": how many uncovered boxes", static_cast<double>(ours.open.boxes.size()), 155);
    }
}

std::vector<std::uint32_t> quickest_order(peers::Buddy& buddy, const Boxes& boxes) {
  std::vector<std::uint32_t> best;
  double least = 0;
  for (const auto& order : orders_to_try(boxes)) {
    const double used = time_of([&] { buddy.cover(boxes, order); }).processor;
    if (best.empty() || used < least) best = order, least = used;
  }
  return best;
}

Time measure_buddy(const Boxes& boxes, double& share, int& nodes, std::size_t runs = 5) {
  auto buddy = std::make_unique<peers::Buddy>();
  const auto order = quickest_order(*buddy, boxes);
  const auto anew = [&] {  // with nothing remembered; making it ready is not counted
    buddy.reset();
    buddy = std::make_unique<peers::Buddy>();
  };
  const Time time = median_of([&] { buddy->cover(boxes, order); }, anew, runs);
  share = buddy->uncovered_share();
  nodes = buddy->nodes();
  return time;
}

void print_solvers() {
  std::printf(
      "\n## Solvers, 7 columns × 1,500 rows\n\nMilliseconds. BuDDy makes the union and its floating-point count of what is left, and no overlaps.\n\n"
      "| | ours | peer | peer takes so many times as long |\n|---|---|---|---|\n");
  const auto line = [](const char* what, const Time& ours, const Time& peer, double wanted) {
    std::printf("| %s | **%s** | %s | **%.1f** |\n", what, shown(ours).c_str(), shown(peer).c_str(), times(peer, ours));
    if (wanted > 0) at_least(what, times(peer, ours), wanted);
  };
  for (const char* kind : {"widened", "narrowed"}) {
    const Spec spec{kind, 7, 1500, 1};
    const Table table = table_of(spec);
    const Ours ours = measure_ours(table, Weights(table.weights));
    double share = 0;
    int nodes = 0;
    const Time buddy = measure_buddy(table.boxes, share, nodes);
    line((described(spec) + ": overlaps and share, against BuDDy, solve only").c_str(), ours.together, buddy, 15);
  }
  const Spec widened{"widened", 7, 1500, 1}, narrowed{"narrowed", 7, 1500, 1};
  const Process made = median_process(BOXES_ONCE, narrowed.words("generate")), found = median_process(BOXES_ONCE, narrowed.words("witness"));
  const Process integers = median_process(Z3_ONCE, narrowed.words("integers")), bits = median_process(Z3_ONCE, narrowed.words("bits"));
  must(found.status == 0 && integers.status == 0 && bits.status == 0, "a witness");
  line("one uncovered point, against Z3 (integers), whole process", found.time, integers.time, 0);
  line("one uncovered point, against Z3 (bits), whole process", found.time, bits.time, 0);
  at_least("one uncovered point, against Z3 at its quicker, whole process", std::min(times(integers.time, found.time), times(bits.time, found.time)),
           15);
  line("(of ours, making the table and nothing else)", found.time, made.time, 0);
  const Table gapless = table_of(widened), apart = table_of(narrowed);
  const Time no_gap = median_of([&] {
    Cover cover(gapless.boxes);
    must(cover.uncovered_boxes().boxes.size() == 0, "no uncovered point");
  });
  const Time proof = median_of([&] { must(peers::cadical_no_uncovered_point(gapless.boxes), "CaDiCaL: no uncovered point"); });
  line("no uncovered point, against CaDiCaL's proof, solve only", no_gap, proof, 4);
  const Time no_overlap = median_of([&] {
    Cover cover(apart.boxes);
    must(!cover.one_overlap(Between::all_rows).witness, "no overlap");
  });
  const Time overlap_proof = median_of([&] { must(peers::cadical_no_overlap(apart.boxes), "CaDiCaL: no overlap"); }, [] {}, 1);
  line("no overlap, against CaDiCaL's proof (one run), solve only", no_overlap, overlap_proof, 4);
}

// ---------------------------------------------------------------- the graph

void print_graphs() {
  std::printf("\n## The coverage graph of 7 columns\n\nMilliseconds; six orders tried included (BuDDy's best order is given to it).\n\n"
              "| rows | nodes | smallest of six orders | ours | BuDDy | its nodes | ratio |\n|---|---|---|---|---|---|---|\n");
  for (const std::size_t rows : {1500, 5000})
    for (const std::uint64_t seed : {1, 2, 3}) {
      const Spec spec{"narrowed", 7, rows, seed};
      const Table table = table_of(spec);
      const Weights weights(table.weights);
      std::size_t nodes = 0, least = ~std::size_t{0};
      const Time ours = median_of([&] {
        Spending spending{plenty};
        const CoverGraph graph(table.boxes, order_for(table.boxes, spending), spending);
        nodes = graph.size();
        must(weights.share(graph.uncovered(weights)) == table.share(table.lost), "the graph's count");
      });
      for (const auto& order : orders_to_try(table.boxes)) {
        Spending spending{plenty};
        least = std::min(least, CoverGraph(table.boxes, order, spending).size());
      }
      double share = 0;
      int buddy_nodes = 0;
      const Time buddy = measure_buddy(table.boxes, share, buddy_nodes);
      const std::string name = described(spec) + ", seed " + std::to_string(seed);
      std::printf("| %s | **%zu** | %zu | **%s** | %s | %d | **%.2f** |\n", name.c_str(), nodes, least, shown(ours).c_str(), shown(buddy).c_str(),
                  buddy_nodes, times(ours, buddy));
      if (rows == 1500) at_most(name + ": nodes of the graph", static_cast<double>(nodes), 2100);
      at_most(name + ": the graph, of BuDDy's time", times(ours, buddy), 0.5);
      at_most(name + ": nodes, of the smallest of six orders", static_cast<double>(nodes) / static_cast<double>(least), 2);
    }
}

// ---------------------------------------------------------------- beyond

void print_large(bool big) {
  std::printf(
      "\n## Large tables of 7 columns\n\nMilliseconds, solve only; memory is the peak of a whole process that makes the table and solves it.\n\n"
      "| rows | overlaps | boxes | overlaps and share | uncovered boxes | whole process, overlaps and share | its memory | whole process, boxes | "
      "its memory |\n"
      "|---|---|---|---|---|---|---|---|---|\n");
  for (const std::size_t rows : {5000, 20000, 100000}) {
    if (rows > 5000 && !big) continue;
    for (const char* kind : {"widened", "narrowed"}) {
      const Spec spec{kind, 7, rows, 1};
      const Table table = table_of(spec);
      const Ours ours = measure_ours(table, Weights(table.weights));
      const Process share = median_process(BOXES_ONCE, spec.words("overlaps-and-share")), boxes = median_process(BOXES_ONCE, spec.words("boxes"));
      must(share.status == 0 && boxes.status == 0, "the same in a process by itself");
      const double peak = static_cast<double>(std::max(share.peak_kib, boxes.peak_kib)) / 1024;
      std::printf("| %s | %llu | %zu | **%s** | **%s** | %s | %.0f MiB | %s | %.0f MiB |\n", described(spec).c_str(),
                  static_cast<unsigned long long>(ours.overlaps), ours.open.boxes.size(), shown(ours.together).c_str(), shown(ours.boxes).c_str(),
                  shown(share.time).c_str(), static_cast<double>(share.peak_kib) / 1024, shown(boxes.time).c_str(),
                  static_cast<double>(boxes.peak_kib) / 1024);
      if (rows < 100'000) continue;
      at_most(described(spec) + ": overlaps and share", ours.together.processor, 1.2, " s");
      at_most(described(spec) + ": uncovered boxes", ours.boxes.processor, 1, " s");
      at_most(described(spec) + ": memory", peak, 64, " MiB");
    }
  }
}

void print_independent(bool big) {
  std::printf(
      "\n## Independent boxes: 2 choices and 5 numbers\n\nMilliseconds: the exact uncovered share, by the method that the shape calls for, orders "
      "tried included; BuDDy's best order is given to it.\n\n"
      "| boxes | uncovered | nodes | ours | BuDDy | its nodes | ratio |\n|---|---|---|---|---|---|---|\n");
  for (const std::size_t rows : {50, 100, 200, 500}) {
    if (rows > 200 && !big) continue;
    const Spec spec{"independent", 7, rows, 1};
    const Table table = table_of(spec);
    const Weights weights(table.weights);
    Share share;
    const std::size_t runs = rows > 200 ? 1 : 5;
    const Time ours = median_of([&] {
      Cover cover(table.boxes, {.steps = plenty, .nodes = 200'000'000});
      share = cover.uncovered_share(weights);
    }, [] {}, runs);
    must(share.exact, "independent boxes settled");
    Spending spending{plenty};
    const std::size_t nodes = CoverGraph(table.boxes, order_for(table.boxes, spending), spending, 200'000'000).size();
    double buddy_share = 0;
    int buddy_nodes = 0;
    const Time buddy = rows > 200 ? Time{} : measure_buddy(table.boxes, buddy_share, buddy_nodes);
    std::printf("| %s | %.4f | %zu | **%s** | %s | %d | %s |\n", described(spec).c_str(), share.low.get_d(), nodes, shown(ours).c_str(),
                rows > 200 ? "not run" : shown(buddy).c_str(), buddy_nodes, rows > 200 ? "" : ("**" + number(times(ours, buddy)) + "**").c_str());
    if (rows == 100) at_most("100 independent boxes, of BuDDy's time", times(ours, buddy), 0.25);
    if (rows == 200)
      at_most("200 independent boxes, of BuDDy's time", times(ours, buddy), 1.0 / 3), at_most("200 independent boxes", ours.processor, 1.5, " s");
    if (rows == 500) at_most("500 independent boxes (an aim)", ours.processor, 60, " s");
  }
}

void print_goals() {
  std::printf("\n## The goals\n\n| | wanted | figure | |\n|---|---|---|---|\n");
  for (const Goal& goal : goals)
    std::printf("| %s | %s | %s | %s |\n", goal.what.c_str(), goal.wanted.c_str(), goal.figure.c_str(), goal.holds ? "holds" : "**missed**");
}

}  // namespace

int main(int count, char** words) {
  const bool big = count > 1 && std::strcmp(words[1], "--big") == 0;
  print_partitions();
  print_solvers();
  print_graphs();
  print_large(big);
  print_independent(big);
  print_goals();
}
