#include "viz/drawing/scales.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace betony::drawing {
namespace {

constexpr Face tick_face{13}, limit_face{13.5};
constexpr double tick_step = 16, row_step = 20;

bool tells_ago(const Ruleset& ruleset, const Dimension& dimension) { return !dimension.is_measure && ruleset.findings[dimension.index].ago; }

// "age, in years"
std::string title_of(const Ruleset& ruleset, const view::Axis& axis) {
  const std::string unit = unit_words(ruleset, axis.dimension, axis.unit);
  return axis.name + (unit.empty() ? "" : ", " + unit);
}

// The length of a part in the scale's own unit.
double length_of(const view::Axis& axis, std::size_t part) {
  const Interval& first = axis.dimension.extents[axis.parts[part].first].numbers;
  const Interval& last = axis.dimension.extents[axis.parts[part].last].numbers;
  return last.high->get_d() - first.low->get_d();
}

std::string word_of(const Ruleset& ruleset, const view::Axis& axis, std::size_t part) {
  const Extent& extent = axis.dimension.extents[axis.parts[part].first];
  return extent.kind == Extent::Kind::never ? "never" : ruleset.findings[axis.dimension.index].values[extent.word];
}

// The numbers along a scale: its two ends first, then the limits.
struct Tick {
  double place;
  std::string words;
};
std::vector<Tick> ticks_of(const Ruleset& ruleset, const view::Axis& axis, const Stretched& places) {
  std::vector<Tick> out;
  const std::size_t numbers = axis.numbers();
  if (numbers == 0) return out;
  const auto extent = [&](Index e) -> const Interval& { return axis.dimension.extents[e].numbers; };
  out.push_back({places.of(0).begin, scale_words(ruleset, axis.dimension, axis.unit, *extent(axis.parts[0].first).low)});
  out.push_back({places.of(numbers - 1).end, scale_words(ruleset, axis.dimension, axis.unit, *extent(axis.parts[numbers - 1].last).high)});
  for (std::size_t p = 1; p < numbers; ++p)
    out.push_back({places.of(p).begin, scale_words(ruleset, axis.dimension, axis.unit, *extent(axis.parts[p].first).low)});
  return out;
}

}  // namespace

std::string scale_words(const Ruleset& ruleset, const Dimension& dimension, const std::string& unit, const Rational& number) {
  std::string words =
      dimension.is_measure ? number_words(number) : value_words(ruleset.findings[dimension.index], {Value::Kind::number, 0, number});
  const std::string end = " " + unit + (tells_ago(ruleset, dimension) ? " ago" : "");
  if (!unit.empty() && words.ends_with(end)) words.resize(words.size() - end.size());
  return words.find('/') == std::string::npos ? words : near_words(number);
}

std::string near_words(const Rational& number) {
  const std::string words = number_words(number);
  if (words.find('/') == std::string::npos) return words;
  char near[32];
  std::snprintf(near, sizeof near, "near %.4g", number.get_d());
  return near;
}

std::string unit_words(const Ruleset& ruleset, const Dimension& dimension, const std::string& unit) {
  return unit.empty() ? "" : "in " + unit + (tells_ago(ruleset, dimension) ? ", how long ago" : "");
}

// ---------------------------------------------------------------- places

Stretched::Stretched(const view::Axis& axis, double from, double to) : axis_(axis) {
  const std::size_t numbers = axis.numbers(), count = axis.parts.size();
  double all = 0;
  for (std::size_t p = 0; p < numbers; ++p) all += length_of(axis, p);
  const double room = std::abs(to - from), equal = room / static_cast<double>(count), sign = to < from ? -1 : 1;
  // Six tenths are shared out alike, the rest by length; a single number has a room of its own all the same.
  std::vector<double> sizes;
  double total = 0;
  for (std::size_t p = 0; p < count; ++p) {
    const double own = p < numbers && all > 0 ? 0.6 * equal + 0.4 * length_of(axis, p) / all * equal * static_cast<double>(numbers) : equal;
    sizes.push_back(std::max(own, std::min(equal, least_part)));
    total += sizes.back();
  }
  // Those that were widened take it from those that have more than the least.
  const double least = std::min(equal, least_part), over = total - least * static_cast<double>(count);
  double at = from;
  for (double& size : sizes) {
    if (total > room && over > 0) size = least + (size - least) * (room - least * static_cast<double>(count)) / over;
    runs_.push_back({at, at + sign * size});
    at = runs_.back().end;
  }
  if (!runs_.empty()) runs_.back().end = to;
}

double Stretched::at(std::size_t part, const Value& value) const {
  const Run run = runs_[part];
  const double length = value.kind == Value::Kind::number ? length_of(axis_, part) : 0;
  if (length <= 0) return run.middle();
  const double from = axis_.dimension.extents[axis_.parts[part].first].numbers.low->get_d();
  return run.begin + (value.number.get_d() - from) / length * (run.end - run.begin);
}

// ---------------------------------------------------------------- along the scale

double room_below(Leaf& leaf, const Ruleset& ruleset, const view::Axis& axis, const Stretched& places) {
  std::size_t most = 1;
  for (std::size_t p = 0; p < axis.parts.size(); ++p)
    if (!axis.is_numbers(p))
      most = std::max(most, leaf.letters().lines(one_line(word_of(ruleset, axis, p)), tick_face, places.of(p).size() - 6, 4).size());
  return 18 + tick_step * static_cast<double>(most) + 14;
}

double room_at_left(Letters& letters, const Ruleset& ruleset, const view::Axis& axis) {
  double widest = 20;
  for (std::size_t p = 0; p < axis.parts.size(); ++p)
    if (!axis.is_numbers(p)) widest = std::max(widest, std::min(110.0, letters.width(one_line(word_of(ruleset, axis, p)), tick_face)));
  const Stretched anywhere(axis, 0, 100);
  for (const Tick& tick : ticks_of(ruleset, axis, anywhere)) widest = std::max(widest, letters.width(one_line(tick.words), tick_face));
  return margin + 30 + widest + 12;
}

void put_below(Leaf& leaf, const Ruleset& ruleset, const view::Axis& axis, const Stretched& places, double y) {
  std::vector<Stretched::Run> taken;
  for (const Tick& tick : ticks_of(ruleset, axis, places)) {
    Stroke line{Line::line, {tick.place, y}, {}, false};
    line.straight({tick.place, y + 7});
    leaf.scene().add(line);
    const double half = leaf.width_of(tick.words, tick_face) / 2 + 4;
    const double x = std::clamp(tick.place, margin + half, leaf.width() - margin - half);  // the last may reach over the figure
    if (std::any_of(taken.begin(), taken.end(), [&](const auto& t) { return x - half < t.end && x + half > t.begin; })) continue;
    taken.push_back({x - half, x + half});
    leaf.put(x, y + 22, tick.words, tick_face, Ink::soft, Words::Anchor::middle);
  }
  for (std::size_t p = 0; p < axis.parts.size(); ++p) {
    if (axis.is_numbers(p)) continue;
    double at = y + 20;
    for (const std::string& part : leaf.letters().lines(one_line(word_of(ruleset, axis, p)), tick_face, places.of(p).size() - 6, 4)) {
      leaf.put(places.of(p).middle(), at, part, tick_face, Ink::soft, Words::Anchor::middle);
      at += tick_step;
    }
  }
  const Stretched::Run all = places.of(0, axis.parts.size() - 1);
  const auto fitting = leaf.letters().lines(one_line(title_of(ruleset, axis)), {15, true}, all.size(), 1);
  leaf.put(all.middle(), y + room_below(leaf, ruleset, axis, places) - 4, fitting.front(), {15, true}, Ink::ink, Words::Anchor::middle);
}

void put_at_left(Leaf& leaf, const Ruleset& ruleset, const view::Axis& axis, const Stretched& places, double x) {
  std::vector<Stretched::Run> taken;
  for (const Tick& tick : ticks_of(ruleset, axis, places)) {
    Stroke line{Line::line, {x - 7, tick.place}, {}, false};
    line.straight({x, tick.place});
    leaf.scene().add(line);
    if (std::any_of(taken.begin(), taken.end(), [&](const auto& t) { return tick.place - 9 < t.end && tick.place + 9 > t.begin; })) continue;
    taken.push_back({tick.place - 9, tick.place + 9});
    leaf.put(x - 12, tick.place + 4.5, tick.words, tick_face, Ink::soft, Words::Anchor::end);
  }
  for (std::size_t p = 0; p < axis.parts.size(); ++p) {
    if (axis.is_numbers(p)) continue;
    const auto most = static_cast<std::size_t>(std::max(1.0, places.of(p).size() / tick_step));
    const auto lines = leaf.letters().lines(one_line(word_of(ruleset, axis, p)), tick_face, 110, std::min<std::size_t>(most, 3));
    double at = places.of(p).middle() + 4.5 - tick_step / 2 * static_cast<double>(lines.size() - 1);
    for (const std::string& part : lines) {
      leaf.put(x - 12, at, part, tick_face, Ink::soft, Words::Anchor::end);
      at += tick_step;
    }
  }
  const Stretched::Run all = places.of(0, axis.parts.size() - 1);
  const std::string fitting = leaf.letters().lines(one_line(title_of(ruleset, axis)), {15, true}, all.size(), 1).front();
  leaf.scene().add(
      Words{margin + 12, all.middle(), fitting, {15, true}, Ink::ink, Words::Anchor::middle, leaf.width_of(fitting, {15, true}), false, -90});
}

// ---------------------------------------------------------------- limits

std::vector<std::string> Limits::words_of(const view::Axis& axis, std::size_t part) const {
  // Sides that say the same are told once, with all that say so.
  std::vector<std::pair<std::string, std::vector<Index>>> told;
  for (const auto& side : axis.limits[part].sides) {
    const std::string words = view::limit_words(ruleset_, axis, part, side);
    auto at = std::find_if(told.begin(), told.end(), [&](const auto& t) { return t.first == words; });
    if (at == told.end()) at = told.insert(at, {words, {}});
    at->second.push_back(side.sentence);
  }
  std::vector<std::string> out;
  for (const auto& [words, sentences] : told) out.push_back(words), out.push_back(view::named(sentences, namer_));
  return out;
}

std::string Limits::letter() {
  const std::size_t n = rest_.size();
  const std::string last(1, static_cast<char>('a' + n % 26));
  return n < 26 ? last : static_cast<char>('a' + (n / 26 - 1) % 26) + last;
}

std::vector<Limits::Above> Limits::above(const view::Axis& axis, const Stretched& places, double left, double right) {
  constexpr std::size_t most_rows = 4;
  std::vector<Above> out;
  std::vector<double> ends(most_rows, left);
  for (std::size_t p = 0; p < axis.limits.size(); ++p) {
    const auto words = words_of(axis, p);
    if (words.empty()) continue;
    Above one;
    one.x = places.of(p).end;
    one.words = words[0], one.of = words[1];
    const double width = leaf_.width_of(one.words + ", " + one.of, limit_face);
    one.middle = std::clamp(one.x, left + width / 2, std::max(left + width / 2, right - width / 2));
    const auto row_for = [&](double from) { return std::find_if(ends.begin(), ends.end(), [&](double end) { return from >= end; }); };
    auto row = row_for(one.middle - width / 2);
    const bool fits = row != ends.end() && words.size() == 2 && width <= right - left && std::abs(one.middle - one.x) <= width / 2;
    if (fits) {
      *row = one.middle + width / 2 + 12;
    } else {
      one.is_letter = true, one.middle = one.x;
      row = row_for(one.x - 6);
      if (row == ends.end()) row = ends.insert(ends.end(), left);
      *row = one.x + 18;
      one.of.clear();
      for (std::size_t i = 0; i < words.size(); i += 2) one.of += (i ? "; " : "") + words[i] + ", " + words[i + 1];
    }
    one.row = static_cast<std::size_t>(row - ends.begin());
    out.push_back(one);
  }
  return out;
}

double Limits::room_above(const view::Axis& axis, const Stretched& places, double left, double right) {
  std::size_t rows = 0;
  for (const Above& one : above(axis, places, left, right)) rows = std::max(rows, one.row + 1);
  return 12 + row_step * static_cast<double>(rows);
}

void Limits::put_above(const view::Axis& axis, const Stretched& places, double left, double right, double y) {
  // Lines go up behind all words, which stand on paper.
  for (const Above& one : above(axis, places, left, right)) {
    const double base = y - 12 - row_step * static_cast<double>(one.row);
    Stroke hair{Line::hair, {one.x, y}, {}, false};
    hair.straight({one.x, base + 3});
    leaf_.scene().shapes.insert(leaf_.scene().shapes.begin(), Shape(hair));
    if (one.is_letter) {
      const std::string name = letter();
      rest_.push_back(name + ": " + one.of);
      leaf_.put(one.x, base, name, {12.5, true}, Ink::ink, Words::Anchor::middle, true);
      continue;
    }
    const double width = leaf_.width_of(one.words + ", " + one.of, limit_face), from = one.middle - width / 2;
    leaf_.scene().add(Box{from - 4, base - 13, width + 8, 17, Fill::paper, false});
    leaf_.put(from, base, one.words + ",", limit_face);
    leaf_.put(from + width, base, one.of, limit_face, Ink::soft, Words::Anchor::end);
  }
}

void Limits::put_at_right(const view::Axis& axis, const Stretched& places, double x, double top, double bottom) {
  struct Beside {
    double y = 0, at = 0;
    std::vector<std::pair<std::string, Ink>> lines;
    std::string all;
  };
  std::vector<Beside> all;
  for (std::size_t p = 0; p < axis.limits.size(); ++p) {
    const auto words = words_of(axis, p);
    if (words.empty()) continue;
    Beside one;
    one.y = places.of(p).end;
    for (std::size_t i = 0; i < words.size(); i += 2) one.all += (i ? "; " : "") + words[i] + ", " + words[i + 1];
    for (std::size_t i = 0; i < words.size(); i += 2) {
      one.lines.emplace_back(words[i], Ink::ink);
      for (const std::string& part : leaf_.letters().lines(one_line(words[i + 1]), limit_face, right_room - 20, 3)) one.lines.emplace_back(part, Ink::soft);
    }
    all.push_back(one);
  }
  std::sort(all.begin(), all.end(), [](const Beside& a, const Beside& b) { return a.y < b.y; });
  // From above, each below the one before it; where that reaches too far down, all are letters.
  constexpr double step = 16;
  double low = top - step;
  for (Beside& one : all) {
    one.at = std::max(one.y - 1, low + step);
    low = one.at + step * static_cast<double>(one.lines.size() - 1) + 3;
  }
  if (low > bottom + 30) {
    low = top - step;
    for (Beside& one : all) {
      const std::string name = letter();
      rest_.push_back(name + ": " + one.all);
      one.lines = {{name, Ink::ink}};
      one.at = std::max(one.y + 4, low + step);
      low = one.at;
    }
  }
  for (const Beside& one : all) {
    Stroke hair{Line::hair, {x, one.y}, {}, false};
    hair.straight({x + 8, one.y});
    hair.straight({x + 16, one.at - 5});
    leaf_.scene().add(hair);
    double y = one.at;
    for (const auto& [words, ink] : one.lines) {
      leaf_.put(x + 20, y, words, limit_face, ink);
      y += step;
    }
  }
}

}  // namespace betony::drawing
