// What leaves look like: contrast, colours for the colour-blind, the same bytes again, and no memory kept.
#include <sys/resource.h>

#include <cmath>
#include <fstream>
#include <iostream>
#include <set>

#include "tests/rulesets/worlds.h"
#include "tests/support.h"
#include "viz/drawing/leaf_graph.h"
#include "viz/drawing/leaf_overview.h"
#include "viz/drawing/look.h"

namespace betony::drawing {
namespace {

using Rgb = std::array<double, 3>;

// Linear light of "#261d29": IEC 61966-2-1 (sRGB).
Rgb linear(std::string_view colour) {
  Rgb out{};
  for (std::size_t i = 0; i < 3; ++i) {
    const double c = std::stoi(std::string(colour.substr(1 + 2 * i, 2)), nullptr, 16) / 255.0;
    out[i] = c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  }
  return out;
}

// Web Content Accessibility Guidelines 2.1, relative luminance and contrast ratio.
double contrast(std::string_view a, std::string_view b) {
  const auto luminance = [](const Rgb& c) { return 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2]; };
  const double x = luminance(linear(a)), y = luminance(linear(b));
  return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

// CIE 15: L*a*b* under D65 (ISO/CIE 11664-4).
Rgb lab(const Rgb& c) {
  const double x = (0.4124 * c[0] + 0.3576 * c[1] + 0.1805 * c[2]) / 0.95047, y = 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2],
               z = (0.0193 * c[0] + 0.1192 * c[1] + 0.9505 * c[2]) / 1.08883;
  const auto f = [](double t) { return t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116; };
  return {116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))};
}

// Machado, Oliveira, Fernandes, IEEE Trans. Visualization and Computer Graphics 15(6), 2009: full protan, deutan, tritan. Values from memory.
constexpr double seen_by[3][3][3] = {{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
                                     {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
                                     {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}};

double apart(std::string_view a, std::string_view b, const double (&eye)[3][3]) {
  const auto seen = [&](const Rgb& c) {
    Rgb out{};
    for (std::size_t i = 0; i < 3; ++i) out[i] = std::clamp(eye[i][0] * c[0] + eye[i][1] * c[1] + eye[i][2] * c[2], 0.0, 1.0);
    return lab(out);
  };
  const Rgb x = seen(linear(a)), y = seen(linear(b));
  return std::sqrt(std::pow(x[0] - y[0], 2) + std::pow(x[1] - y[1], 2) + std::pow(x[2] - y[2], 2));
}

const Colour& colour(std::string_view role) {
  for (const Colour& c : colours())
    if (c.role == role) return c;
  FAIL("no colour is called " << role);
  return colours()[0];
}

TEST_CASE("every ink is read on the page by day, by night and in print") {
  for (const auto of : {&Colour::day, &Colour::night, &Colour::paper}) {
    for (const char* ink : {"ink", "soft", "betony", "water", "ochre", "slate"}) {
      INFO(ink);
      CHECK(contrast(colour(ink).*of, colour("paper").*of) >= 4.5);
    }
    CHECK(contrast(colour("on-withheld").*of, colour("withheld").*of) >= 7);
    // Words stand on patches of paper; what is drawn in a field only has to be seen.
    CHECK(contrast(colour("water").*of, colour("advised").*of) >= 3);
    CHECK(contrast(colour("ochre").*of, colour("care").*of) >= 3);
  }
}

TEST_CASE("the colours of verdicts stay apart for the colour-blind") {
  const char* verdicts[] = {"betony", "water", "ochre", "slate"};
  for (const auto& [of, least] : {std::pair(&Colour::day, 19.0), {&Colour::night, 20.95}}) {
    double nearest = 1000;
    for (const auto& eye : seen_by)
      for (std::size_t a = 0; a < 4; ++a)
        for (std::size_t b = 0; b < a; ++b) nearest = std::min(nearest, apart(colour(verdicts[a]).*of, colour(verdicts[b]).*of, eye));
    std::cout << "verdicts stay " << nearest << " apart\n";
    CHECK(nearest >= least);
  }
}

TEST_CASE("in print every fill has a pattern of its own, or is solid, or bare") {
  std::set<std::string> seen;
  for (const Fill fill : {Fill::advised, Fill::care, Fill::allowed, Fill::silent, Fill::discouraged, Fill::outside, Fill::both, Fill::withheld})
    seen.insert(fill_class(fill));
  CHECK(seen.size() == 8);
}

TEST_CASE("the same teaching is drawn in the same bytes, as SVG, PNG and PDF") {
  const Ruleset& ruleset = worlds::checked(worlds::newest()[1]).ruleset;
  const auto draw = [&] {
    Letters letters;
    const view::GraphView view = view::graph_view(ruleset, 3, {});
    GraphLeaf what;
    what.view = &view;
    return svg_of(graph_leaf(letters, what, {"A teaching", "1", "abc", "With care."}));
  };
  const std::string svg = draw();
  CHECK(svg == draw());
  CHECK(png_of(svg) == png_of(draw()));
  CHECK(pdf_of(svg) == pdf_of(draw()));
  CHECK(png_of(svg).substr(1, 3) == "PNG");
  CHECK(pdf_of(svg).substr(0, 5) == "%PDF-");
  for (const char* wanted : {"<title ", "<desc ", "With care.", "A teaching, edition 1, source abc"}) CHECK(svg.find(wanted) != std::string::npos);
}

TEST_CASE("letters of any script, marks of SVG and what turns directions stay letters") {
  Scene scene;
  Letters letters;
  scene.title = "<b>&\"";
  for (const char* text : {"a < b & \"c\"",
                           "\xe2\x80\xae"
                           "backwards",
                           "حمام", "温浴", "\xff\xfe"}) {
    Words words;
    words.text = one_line(text);
    words.width = letters.width(words.text, words.face);
    scene.add(words);
  }
  scene.height = 100;
  const std::string svg = svg_of(scene);
  CHECK(svg.find("<b>") == std::string::npos);
  CHECK(svg.find("a &lt; b &amp; &quot;c&quot;") != std::string::npos);
  CHECK(svg.find("\xe2\x80\xae") == std::string::npos);
  CHECK(svg.find("\xe2\x81\xa7"
                 "حمام"
                 "\xe2\x81\xa9") != std::string::npos);
  CHECK(svg.find("\xff") == std::string::npos);
  CHECK_FALSE(png_of(svg).empty());
}

TEST_CASE("names as long as may be are parted, and none is wider than its place") {
  Letters letters;
  std::string name;
  for (int i = 0; i < 60; ++i) name += "abcde";
  const auto lines = letters.lines(name, {15}, 200);
  CHECK(lines.size() > 5);
  std::string all;
  for (const std::string& line : lines) {
    CHECK(letters.width(line, {15}) <= 200);
    all += line;
  }
  CHECK(all == name);
  const auto few = letters.lines(name, {15}, 200, 2);
  REQUIRE(few.size() == 2);
  CHECK(few[1].ends_with("…"));
  CHECK(letters.width(few[1], {15}) <= 200);
}

#if !defined(__SANITIZE_ADDRESS__)
TEST_CASE("a thousand drawings keep no memory") {
  const Ruleset& ruleset = worlds::checked(worlds::newest()[0]).ruleset;
  const view::GraphView view = view::graph_view(ruleset, 5, {});
  const auto draw = [&] {
    Letters letters;
    GraphLeaf what;
    what.view = &view;
    return svg_of(graph_leaf(letters, what, {})).size();
  };
  const auto peak = [] {
    rusage used{};
    ::getrusage(RUSAGE_SELF, &used);
    return used.ru_maxrss;
  };
  for (int i = 0; i < 100; ++i) draw();
  const long before = peak();
  for (int i = 0; i < 900; ++i) draw();
  std::cout << "900 drawings more: " << peak() - before << " KiB more at the peak\n";
  CHECK(peak() - before < 4096);
}
#endif

}  // namespace
}  // namespace betony::drawing
