#include "viz/drawing/leaf.h"

#include <unicode/locid.h>
#include <unicode/unistr.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "compiler/verdict_graph.h"

namespace betony::drawing {
namespace {

constexpr Face title_face{31, false, 500}, sub_face{15.5, true, 400}, small{13.5, false, 400}, label_face{15, false, 600};
constexpr double text_step = 22;

}  // namespace

std::string as_heading(const std::string& name) {
  icu::UnicodeString text = icu::UnicodeString::fromUTF8(one_line(name));
  if (text.length() > 0) {
    const std::int32_t next = text.moveIndex32(0, 1);
    icu::UnicodeString first(text, 0, next);
    text.replace(0, next, first.toUpper(icu::Locale::getRoot()));
  }
  std::string out;
  text.toUTF8String(out);
  return out;
}

std::string verdict_words(tree::Verdict verdict, bool with_care) { return verdict_word(verdict) + (with_care ? ", with care" : ""); }

std::string in_100(double share) {
  char text[32];
  std::snprintf(text, sizeof text, share >= 0.01 || share == 0 ? "%.0f in 100" : "under 1 in 100", share * 100);
  return text;
}

Leaf::Leaf(Letters& letters, double width, const std::string& title, const std::string& sub, const std::vector<Aside>& asides) : letters_(letters) {
  scene_.width = width;
  scene_.title = title;
  double aside_width = 0;
  for (const Aside& aside : asides) aside_width = std::max(aside_width, width_of(aside.text, {15}) + (aside.mark ? 24 : 0));
  const double room = width - 2 * margin - (aside_width > 0 ? aside_width + 24 : 0);
  double aside_y = 42;
  for (const Aside& aside : asides) {
    const double w = put(width - margin, aside_y, aside.text, {15, false, aside.ink == Ink::soft ? 400u : 600u}, aside.ink, Words::Anchor::end);
    if (aside.mark) mark(*aside.mark, aside.ink, width - margin - w - 24, aside_y - 14);
    aside_y += 22;
  }
  Face face = title_face;
  while (face.size > 20 && letters.lines(one_line(title), face, room).size() > 1) face.size -= 2;
  y_ = 42;
  y_ += 32.0 * static_cast<double>(put_lines(margin, y_, title, face, Ink::ink, room, 32, 3) - 1);
  const auto last_lines = letters.lines(one_line(title), face, room, 3);
  y_ += std::max(25.0, std::ceil(last_lines.empty() ? 0 : letters.depth(last_lines.back(), face)) + 16);  // of some scripts letters reach far down
  y_ += 20.0 * static_cast<double>(put_lines(margin, y_, sub, sub_face, Ink::soft, room, 20, 4) - 1);
  y_ = std::max(y_, aside_y - 22) + 13;
  Stroke hair{Line::hair, {margin, y_}, {}, false};
  hair.straight({width - margin, y_});
  scene_.add(hair);
  y_ += 20;
}

double Leaf::put(double x, double y, const std::string& text, const Face& face, Ink ink, Words::Anchor anchor, bool on_patch) {
  const std::string line = one_line(text);
  if (line.empty()) return 0;
  const double width = letters_.width(line, face);
  scene_.add(Words{x, y, line, face, ink, anchor, width, on_patch, 0});
  return width;
}

std::size_t Leaf::put_lines(double x, double y, const std::string& text, const Face& face, Ink ink, double most_width, double step,
                            std::size_t most) {
  const auto lines = letters_.lines(one_line(text), face, most_width, most);
  for (const std::string& line : lines) {
    put(x, y, line, face, ink);
    y += step;
  }
  return std::max<std::size_t>(lines.size(), 1);
}

void Leaf::mark(Mark::Kind kind, Ink ink, double x, double y, double size) { scene_.add(Mark{kind, x, y, size, ink}); }

double Leaf::verdict_width(tree::Verdict verdict, bool with_care, double size) {
  return size * 1.5 + width_of(verdict_words(verdict, with_care), {size, false, 600});
}

double Leaf::verdict(double x, double y, tree::Verdict verdict, bool with_care, double size, bool on_patch, Ink* other) {
  const Ink ink = other ? *other : ink_of(verdict, with_care);
  const double width = verdict_width(verdict, with_care, size);
  if (on_patch) scene_.add(Box{x - 6, y - size - 3, width + 12, size * 1.6, Fill::paper, false});
  mark(mark_of(verdict, with_care), ink, x, y - size * 0.92, size * 1.15);
  put(x + size * 1.5, y, verdict_words(verdict, with_care), {size, false, 600}, ink);
  return width;
}

void Leaf::ground() {
  Stroke line{Line::ground, {margin, y_}, {}, false};
  line.straight({scene_.width - margin, y_});
  scene_.add(line);
  y_ += 28;
}

void Leaf::note(const std::string& label, const std::string& text, Ink ink) {
  const std::size_t labels = put_lines(margin, y_, label, label_face, Ink::ink, label_room - 8, text_step);
  const std::size_t lines = put_lines(margin + label_room, y_, text, {15}, ink, scene_.width - 2 * margin - label_room, text_step);
  y_ += text_step * static_cast<double>(std::max(labels, lines)) + 6;
}

void Leaf::soft_note(const std::string& text) {
  y_ += 20.0 * static_cast<double>(put_lines(margin, y_, text, small, Ink::soft, scene_.width - 2 * margin, 20)) + 4;
}

void Leaf::key(const std::string& label, const std::vector<Key>& keys) {
  if (keys.empty()) return;
  put_lines(margin, y_, label, label_face, Ink::ink, label_room - 8, text_step);
  double x = margin + label_room;
  for (const Key& k : keys) {
    const double drawn = k.mark ? 24 : 36, words = width_of(k.words, {15});
    if (x > margin + label_room && x + drawn + words > scene_.width - margin) x = margin + label_room, y_ += text_step + 2;
    if (k.mark) mark(*k.mark, k.ink, x, y_ - 14);
    if (k.fill) scene_.add(Box{x, y_ - 13, 28, 16, *k.fill, true});
    if (k.line) {
      Stroke stroke{*k.line, {x, y_ - 5}, {}, k.has_arrow};
      stroke.straight({x + 30, y_ - 5});
      scene_.add(stroke);
    }
    put(x + drawn, y_, k.words, {15}, k.mark ? k.ink : Ink::ink);
    x += drawn + words + 18;
  }
  y_ += text_step + 6;
}

Scene Leaf::finish(const About& about, const std::string& description) {
  Stroke hair{Line::hair, {margin, y_ - 12}, {}, false};
  hair.straight({scene_.width - margin, y_ - 12});
  scene_.add(hair);
  y_ += 6;
  if (!about.caution.empty())
    y_ += 19.0 * static_cast<double>(put_lines(margin, y_, about.caution, {13.5, true, 400}, Ink::ink, scene_.width - 2 * margin, 19)) + 3;
  std::string which = about.edition.empty() ? "" : "edition " + about.edition;
  if (!about.digest.empty()) which += (which.empty() ? "" : ", ") + ("source " + about.digest);
  const double room = scene_.width - 2 * margin;
  std::vector<std::string> foot{about.title + (which.empty() ? "" : ", " + which)};
  if (width_of(foot[0], small) > room) foot = {about.title, which};  // a title that is cut must not take the rest with it
  for (const std::string& line : foot) y_ += 19.0 * static_cast<double>(put_lines(margin, y_, line, small, Ink::soft, room, 19, 2));
  scene_.height = y_ - 19 + 16;
  scene_.description = description;
  return std::move(scene_);
}

}  // namespace betony::drawing
