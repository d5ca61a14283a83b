#include "viz/drawing/leaf_map.h"

#include <algorithm>
#include <map>
#include <set>

#include "compiler/check/study.h"

namespace betony::drawing {
namespace {

using view::MapView;

constexpr Face small_face{13.5, true, 400};

bool is_dark(const MapView::Part& part) {
  const Fill fill = fill_of(part.verdict, part.with_care);
  return fill == Fill::withheld || fill == Fill::referred;
}

class Figure {
 public:
  Figure(Leaf& leaf, const MapLeaf& what, const MapPlaces& places)
      : leaf_(leaf), what_(what), map_(*what.view), across_(map_.across, places.left, places.right), up_(map_.up, places.bottom, places.top),
        places_(places) {}

  void draw() {
    for (const MapView::Region& region : map_.regions)
      for (const MapView::Box& box : region.boxes) fill(region, box);
    borders();
    for (std::size_t r = 0; r < map_.regions.size(); ++r) name(r);
  }
  const Stretched& up() const { return up_; }
  // Regions that have a number, in its order.
  const std::vector<std::size_t>& numbered() const { return numbered_; }

 private:
  struct Rect {
    double x, y, width, height;
  };
  Rect rect_of(const MapView::Box& box) const {
    const auto h = across_.of(box.left, box.right), v = up_.of(box.low, box.high);
    return {h.low(), v.low(), h.size(), v.size()};
  }

  void fill(const MapView::Region& region, const MapView::Box& box) {
    const Rect r = rect_of(box);
    double x = r.x;
    for (std::size_t p = 0; p < region.parts.size(); ++p) {
      const MapView::Part& part = region.parts[p];
      const double end = p + 1 == region.parts.size() ? r.x + r.width : std::min(r.x + r.width, x + std::max(2.0, part.share * r.width));
      leaf_.scene().add(Box{x, r.y, end - x, r.height, fill_of(part.verdict, part.with_care), false});
      x = end;
    }
  }

  // Lines between regions, whole runs at once; and around all.
  void borders() {
    const std::size_t columns = map_.across.parts.size(), rows = map_.up.parts.size();
    const auto line = [&](Point a, Point b) {
      Stroke stroke{Line::line, a, {}, false};
      stroke.straight(b);
      leaf_.scene().add(stroke);
    };
    for (std::size_t r = 1; r < rows; ++r)
      for (std::size_t c = 0; c < columns; ++c) {
        const auto parted = [&](std::size_t at) { return map_.at(at, r).region != map_.at(at, r - 1).region; };
        if (!parted(c)) continue;
        const std::size_t first = c;
        while (c + 1 < columns && parted(c + 1)) ++c;
        line({across_.of(first).begin, up_.of(r).begin}, {across_.of(c).end, up_.of(r).begin});
      }
    for (std::size_t c = 1; c < columns; ++c)
      for (std::size_t r = 0; r < rows; ++r) {
        const auto parted = [&](std::size_t at) { return map_.at(c, at).region != map_.at(c - 1, at).region; };
        if (!parted(r)) continue;
        const std::size_t first = r;
        while (r + 1 < rows && parted(r + 1)) ++r;
        line({across_.of(c).begin, up_.of(first).begin}, {across_.of(c).begin, up_.of(r).end});
      }
    leaf_.scene().add(Box{places_.left, places_.top, places_.right - places_.left, places_.bottom - places_.top, Fill::none, true});
  }

  // The words of a region in its largest box as it is drawn, or its number.
  void name(std::size_t index) {
    const MapView::Region& region = map_.regions[index];
    Rect r{0, 0, 0, 0};
    for (const MapView::Box& box : region.boxes)
      if (const Rect one = rect_of(box); std::min(one.width, 120.0) * std::min(one.height, 60.0) > std::min(r.width, 120.0) * std::min(r.height, 60.0)) r = one;
    if (region.parts.size() == 1 && words(region.parts[0], r)) return;
    numbered_.push_back(index);
    const std::string number = std::to_string(numbered_.size());
    const bool has_mark = region.parts.size() == 1 && r.width >= 48 && r.height >= 24;
    const double width = leaf_.width_of(number, {13}), total = width + (has_mark ? 20 : 0);
    const double x = r.x + (r.width - total) / 2, y = r.y + r.height / 2;
    const bool is_dark_here = region.parts.size() == 1 && is_dark(region.parts[0]);
    if (!is_dark_here) leaf_.scene().add(Box{x - 3, y - 9, total + 6, 18, Fill::paper, false});
    if (has_mark) {
      const MapView::Part& part = region.parts[0];
      leaf_.mark(mark_of(part.verdict, part.with_care), is_dark_here ? Ink::paper : ink_of(part.verdict, part.with_care), x, y - 8, 16);
    }
    leaf_.put(x + total - width, y + 4.5, number, {13}, is_dark_here ? Ink::paper : Ink::ink);
  }

  bool words(const MapView::Part& part, const Rect& r) {
    const double verdict = leaf_.verdict_width(part.verdict, part.with_care);
    if (verdict + 20 > r.width || r.height < 26) return false;
    const std::string sentences = view::named(part.sentences, what_.name_of);
    std::vector<std::string> lines;
    if (!sentences.empty()) {
      const auto room = static_cast<std::size_t>(std::max(0.0, (r.height - 30) / 18));
      lines = leaf_.letters().lines(one_line(sentences), small_face, r.width - 20);
      if (lines.size() > std::min<std::size_t>(room, 4)) return false;
      if (std::any_of(lines.begin(), lines.end(), [&](const std::string& l) { return leaf_.width_of(l, small_face) > r.width - 12; })) return false;
    }
    double widest = verdict;
    for (const std::string& line : lines) widest = std::max(widest, leaf_.width_of(line, small_face));
    const double height = 20 + 18.0 * static_cast<double>(lines.size()), middle = r.x + r.width / 2;
    double y = r.y + (r.height - height) / 2;
    const bool dark = is_dark(part), is_bare = fill_of(part.verdict, part.with_care) == Fill::allowed;
    if (!dark && !is_bare) leaf_.scene().add(Box{middle - widest / 2 - 6, y - 3, widest + 12, height + 6, Fill::paper, false});
    Ink ink = dark ? Ink::paper : ink_of(part.verdict, part.with_care);
    leaf_.verdict(middle - verdict / 2, y + 14, part.verdict, part.with_care, 15, false, &ink);
    y += 32;
    for (const std::string& line : lines) {
      leaf_.put(middle, y, line, small_face, dark ? Ink::paper : Ink::soft, Words::Anchor::middle);
      y += 18;
    }
    return true;
  }

  Leaf& leaf_;
  const MapLeaf& what_;
  const MapView& map_;
  const Stretched across_, up_;
  const MapPlaces places_;
  std::vector<std::size_t> numbered_;
};

// "withheld (frailty ban, line 30): age at least 75 years, or ..."; of several verdicts their shares, and no sentences.
std::string region_words(const MapLeaf& what, const MapView::Region& region) {
  std::string out = region.parts.empty() ? "nobody is so" : parts_words(region.parts, region.parts.size() > 1 && what.view->shares_known);
  if (region.parts.size() == 1)
    if (const std::string sentences = view::named(region.parts[0].sentences, what.name_of); !sentences.empty()) out += " (" + sentences + ")";
  out += ": ";
  for (std::size_t i = 0; i < region.conditions.size(); ++i) out += (i ? "; or " : "") + region.conditions[i];
  return out + ".";
}

// "withheld: fever ban, line 76; line 78. advised: line 131.", of the fields of several verdicts.
std::string makers_words(const MapLeaf& what) {
  std::map<std::pair<tree::Verdict, bool>, std::set<Index>> makers;
  for (const MapView::Region& region : what.view->regions)
    if (region.parts.size() > 1)
      for (const MapView::Part& part : region.parts) makers[{part.verdict, part.with_care}].insert(part.sentences.begin(), part.sentences.end());
  std::string out;
  for (const auto& [verdict, sentences] : makers)
    if (!sentences.empty())
      out += (out.empty() ? "" : " ") + as_heading(verdict_words(verdict.first, verdict.second)) + ": " +
             view::named({sentences.begin(), sentences.end()}, what.name_of) + ".";
  return out;
}

void notes(Leaf& leaf, const MapLeaf& what, const Figure& figure, const Limits& limits) {
  const MapView& map = *what.view;
  std::vector<Leaf::Key> keys;
  std::set<std::pair<tree::Verdict, bool>> shown;
  bool is_mixed = false;
  for (const MapView::Region& region : map.regions) {
    is_mixed = is_mixed || region.parts.size() > 1;
    for (const MapView::Part& part : region.parts) shown.insert({part.verdict, part.with_care});
  }
  for (const auto& [verdict, with_care] : shown)
    keys.push_back({std::nullopt, fill_of(verdict, with_care), std::nullopt, false, Ink::ink, verdict_words(verdict, with_care)});
  leaf.key("Fields", keys);
  for (std::size_t i = 0; i < figure.numbered().size(); ++i)
    leaf.note(i == 0 ? "Numbers" : "", std::to_string(i + 1) + ": " + region_words(what, map.regions[figure.numbered()[i]]));
  if (const std::string makers = makers_words(what); !makers.empty()) leaf.note("Made by", makers);
  for (std::size_t i = 0; i < limits.rest().size(); ++i) leaf.note(i == 0 ? "Limits" : "", limits.rest()[i] + ".");
  if (!map.held.empty()) leaf.note("Held", listed(map.held) + ".");
  if (!map.open.empty()) leaf.note("Of every kind", listed(map.open) + ".");
  leaf.note("Read it so",
            std::string(map.open.empty() ? "Every point is one person." : "Every point stands for all persons who are so.") +
                " A line belongs to the sentence named at its end. The scales are stretched between the limits that sentences name." +
                (is_mixed ? map.shares_known ? " Where several verdicts occur, each has the part of the field's width that its persons are of all in it."
                                             : " Where several verdicts occur, each has an equal part of the field: how many get which is not known."
                          : ""));
  // One limit that takes its number in, and one that does not.
  std::string on_limits;
  for (const bool takes_in : {false, true})
    for (const view::Axis* axis : {&map.up, &map.across}) {
      std::string found;
      for (std::size_t p = 0; p < axis->limits.size() && found.empty(); ++p)
        for (const auto& side : axis->limits[p].sides) {
          const std::string words = view::limit_words(*what.ruleset, *axis, p, side);
          const bool is_in = words.rfind("from ", 0) == 0 || words.rfind("up to ", 0) == 0;
          if (is_in == takes_in && words.rfind("at ", 0) != 0) found = words;
        }
      if (found.empty()) continue;
      on_limits += (on_limits.empty() ? "" : " ") + std::string("“") + found + "” " + (takes_in ? "takes the number itself in." : "leaves the number itself out.");
      break;
    }
  if (!on_limits.empty()) leaf.note("On the limits", on_limits);
}

// A leaf with its head, and where its figure will lie.
struct Sheet {
  Leaf leaf;
  MapPlaces places;
};

Sheet begun(Letters& letters, const MapLeaf& what) {
  const MapView& map = *what.view;
  const double columns = static_cast<double>(map.across.parts.size()), rows = static_cast<double>(map.up.parts.size());
  const double left = room_at_left(letters, *what.ruleset, map.up), beside = margin + (map.up.limits.empty() ? 8 : Limits::right_room);
  const double width = std::max(720.0, left + Stretched::least_part * columns + beside);
  const double height = std::max(std::clamp(58.0 * rows, 220.0, 460.0), Stretched::least_part * 1.2 * rows);
  std::string sub = what.person.empty() ? map.leaves_out ? "for all persons whom no red flag refers, whatever else they answer" : "for all persons, whatever else they answer" : "for " + what.person + ", if these two were otherwise";
  if (!map.school.empty()) sub += "; as the school " + map.school + " reads it";
  Sheet out{Leaf(letters, width, as_heading(map.practice) + ", by " + map.across.name + " and " + map.up.name, sub), {left, width - beside, 0, 0}};
  const Stretched across(map.across, left, out.places.right);
  out.places.top = out.leaf.y() + Limits(out.leaf, *what.ruleset, what.name_of).room_above(map.across, across, left, out.places.right);
  out.places.bottom = out.places.top + height;
  return out;
}

}  // namespace

std::string parts_words(const std::vector<MapView::Part>& parts, bool shares_known) {
  std::string out;
  for (const MapView::Part& part : parts) {
    out += (out.empty() ? "" : "; ") + verdict_words(part.verdict, part.with_care);
    if (shares_known) out += " " + in_100(part.share);
  }
  return out;
}

MapPlaces map_places(Letters& letters, const MapLeaf& what) { return begun(letters, what).places; }

Scene map_leaf(Letters& letters, const MapLeaf& what, const About& about) {
  const MapView& map = *what.view;
  Sheet sheet = begun(letters, what);
  Leaf& leaf = sheet.leaf;
  const auto [left, right, top, bottom] = sheet.places;
  const Stretched across(map.across, left, right);
  Limits limits(leaf, *what.ruleset, what.name_of);
  limits.put_above(map.across, across, left, right, top);
  Figure figure(leaf, what, sheet.places);
  figure.draw();
  put_below(leaf, *what.ruleset, map.across, across, bottom);
  put_at_left(leaf, *what.ruleset, map.up, figure.up(), left);
  limits.put_at_right(map.up, figure.up(), right, top, bottom);
  leaf.go_to(bottom + room_below(leaf, *what.ruleset, map.across, across) + 16);
  leaf.ground();
  notes(leaf, what, figure, limits);
  std::string description;
  for (const MapView::Region& region : map.regions) description += as_heading(region_words(what, region)) + " ";
  return leaf.finish(about, description);
}

}  // namespace betony::drawing
