#include <cmath>
#include <set>

#include "viz/drawing/drawing.h"
#include "viz/drawing/letters.h"
#include "viz/drawing/look.h"

namespace betony::drawing {
namespace {

// To a hundredth of a px, without noughts at the end, the same in every country.
std::string number(double x) {
  auto hundredths = static_cast<long long>(std::llround(x * 100));
  std::string out = hundredths < 0 ? "-" : "";
  hundredths = std::abs(hundredths);
  out += std::to_string(hundredths / 100);
  if (hundredths % 100 != 0) {
    out += '.' + std::string(hundredths % 100 < 10 ? "0" : "") + std::to_string(hundredths % 100);
    if (out.back() == '0') out.pop_back();
  }
  return out == "-0" ? "0" : out;
}

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) switch (c) {
      case '&': out += "&amp;"; break;
      case '<': out += "&lt;"; break;
      case '>': out += "&gt;"; break;
      case '"': out += "&quot;"; break;
      default: out += c;
    }
  return out;
}

std::string attribute(const char* name, double value) { return std::string(" ") + name + "=\"" + number(value) + "\""; }

class Writer {
 public:
  explicit Writer(const Scene& scene) : scene_(scene) {
    for (const Shape& shape : scene.shapes) std::visit([this](const auto& s) { put(s); }, shape);
  }
  std::string take() const {
    const Scene& s = scene_;
    std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " + number(s.width) + " " + number(s.height) + "\" width=\"" +
                      number(s.width) + "\" height=\"" + number(s.height) + "\" role=\"img\" aria-labelledby=\"leaf-title leaf-desc\" lang=\"en\">\n";
    out += "<title id=\"leaf-title\">" + escaped(one_line(s.title)) + "</title>\n<desc id=\"leaf-desc\">" + escaped(one_line(s.description)) +
           "</desc>\n";
    out += "<style>\n" + style_sheet() + "\n</style>\n<defs>\n";
    for (const Mark::Kind kind : marks_)
      out += "<symbol id=\"" + std::string(symbol_name(kind)) + "\" viewBox=\"0 0 20 20\">" + std::string(symbol_of(kind)) + "</symbol>\n";
    if (has_patterns_) out += patterns();
    if (has_arrows_)
      out +=
          "<marker id=\"arrow\" viewBox=\"0 0 10 10\" refX=\"9\" refY=\"5\" markerWidth=\"9\" markerHeight=\"9\" markerUnits=\"userSpaceOnUse\" "
          "orient=\"auto\"><path d=\"M0 1.4L10 5L0 8.6Z\" class=\"p-ink\"/></marker>\n";
    return out + "</defs>\n<rect class=\"sheet\" width=\"" + number(s.width) + "\" height=\"" + number(s.height) + "\"/>\n" + body_ + "</svg>\n";
  }

 private:
  void put(const Words& words) {
    const double left = words.x - (words.anchor == Words::Anchor::begin ? 0 : words.anchor == Words::Anchor::middle ? words.width / 2 : words.width);
    if (words.on_patch)
      body_ += "<rect class=\"f-paper\"" + attribute("x", left - 5) + attribute("y", words.y - words.face.size) +
               attribute("width", words.width + 10) + attribute("height", words.face.size * 1.4) + "/>\n";
    body_ += "<text class=\"t-" + std::string(class_of(words.ink)) + "\"" + attribute("x", words.x) + attribute("y", words.y) +
             attribute("font-size", words.face.size);
    if (words.face.weight != 400) body_ += " font-weight=\"" + std::to_string(words.face.weight) + "\"";
    if (words.face.italic) body_ += " font-style=\"italic\"";
    if (words.anchor != Words::Anchor::begin) body_ += words.anchor == Words::Anchor::middle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
    // Where other fonts are used than it was measured with, it keeps its place all the same.
    body_ += attribute("textLength", words.width) + " lengthAdjust=\"spacingAndGlyphs\"";
    if (words.turned != 0) body_ += " transform=\"rotate(" + number(words.turned) + " " + number(words.x) + " " + number(words.y) + ")\"";
    body_ += ">" + escaped(words.text) + "</text>\n";
  }
  void put(const Stroke& stroke) {
    std::string path = "M" + number(stroke.from.x) + " " + number(stroke.from.y);
    Point at = stroke.from;
    for (const Stroke::Piece& p : stroke.pieces) {
      const bool straight = p.first.x == at.x && p.first.y == at.y && p.second.x == p.to.x && p.second.y == p.to.y;
      if (straight)
        path += "L" + number(p.to.x) + " " + number(p.to.y);
      else
        path += "C" + number(p.first.x) + " " + number(p.first.y) + " " + number(p.second.x) + " " + number(p.second.y) + " " + number(p.to.x) + " " +
                number(p.to.y);
      at = p.to;
    }
    has_arrows_ = has_arrows_ || stroke.has_arrow;
    const bool twofold = stroke.line == Line::twofold;
    const std::string arrow = stroke.has_arrow ? " marker-end=\"url(#arrow)\"" : "";  // on what is drawn last
    body_ += "<path class=\"" + std::string(class_of(stroke.line)) + "\" d=\"" + path + "\"" + (twofold ? "" : arrow) + "/>\n";
    if (twofold) body_ += "<path class=\"within\" d=\"" + path + "\"" + arrow + "/>\n";
  }
  void put(const Box& box) {
    has_patterns_ = has_patterns_ || fill_class(box.fill).rfind("fill=\"url", 0) == 0;
    const std::string place = attribute("x", box.x) + attribute("y", box.y) + attribute("width", box.width) + attribute("height", box.height);
    if (box.fill != Fill::none) body_ += "<rect " + fill_class(box.fill) + place + "/>\n";
    if (box.outlined) body_ += "<rect class=\"" + std::string(box.fill == Fill::open ? "b-outline" : "outline") + "\" fill=\"none\"" + place + "/>\n";
  }
  void put(const Mark& mark) {
    marks_.insert(mark.kind);
    body_ += "<use href=\"#" + std::string(symbol_name(mark.kind)) + "\" class=\"m-" + std::string(class_of(mark.ink)) + "\"" +
             attribute("x", mark.x) + attribute("y", mark.y) + attribute("width", mark.size) + attribute("height", mark.size) + "/>\n";
  }

  const Scene& scene_;
  std::string body_;
  std::set<Mark::Kind> marks_;
  bool has_patterns_ = false, has_arrows_ = false;
};

}  // namespace

std::string svg_of(const Scene& scene) { return Writer(scene).take(); }

}  // namespace betony::drawing
