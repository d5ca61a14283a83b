#include "viz/drawing/leaf_doses.h"

#include <algorithm>

#include "compiler/check/study.h"
#include "compiler/region.h"

namespace betony::drawing {
namespace {

using view::DoseView;

constexpr Face panel_face{15, false, 600}, tick_face{13}, bar_face{13.5};
constexpr double panel_height = 150, panel_gap = 34, least_bar = 18;

// A panel's numbers as they stand on its scale, from nothing up.
class Heights {
 public:
  Heights(const DoseView::Panel& panel, double top, double bottom) : panel_(panel), top_(top), bottom_(bottom) {
    std::vector<Rational> ends;
    for (const auto& part : panel.outcomes)
      for (const auto& outcome : part)
        for (const auto* end : {&outcome.interval.low, &outcome.interval.high})
          if (*end) ends.push_back(**end);
    if (panel.what == Dose::Part::often) {
      const bool daily = std::any_of(ends.begin(), ends.end(), [](const Rational& e) { return e * 86400 >= 1; });
      scale_ = daily ? 86400 : 7 * 86400;
      unit_ = daily ? "times a day" : "times a wk";
    } else if (panel.what == Dose::Part::length) {
      scale_ = Rational(1, 86400);
      unit_ = "d";
    }
    for (const Rational& end : ends) {
      const Rational number = told(end);
      if (std::find(numbers_.begin(), numbers_.end(), number) == numbers_.end()) numbers_.push_back(number);
      low_ = std::min(low_, number.get_d()), high_ = std::max(high_, number.get_d());
    }
    std::sort(numbers_.begin(), numbers_.end());
    if (high_ <= low_) high_ = low_ + 1;
    high_ += (high_ - low_) * 0.12;
  }
  Rational told(const Rational& base) const {
    return panel_.what == Dose::Part::amount ? Rational(base / panel_.unit.factor - panel_.unit.offset) : Rational(base * scale_);
  }
  double at(const Rational& number) const { return bottom_ - (number.get_d() - low_) / (high_ - low_) * (bottom_ - top_); }
  const std::vector<Rational>& numbers() const { return numbers_; }
  std::string title() const { return panel_.title() + (unit_.empty() ? "" : ", in " + unit_); }

 private:
  const DoseView::Panel& panel_;
  const double top_, bottom_;
  Rational scale_ = 1;
  std::string unit_;
  std::vector<Rational> numbers_;                   // that some outcome ends at, ascending
  double low_ = 0, high_ = 0;
};

class Figure {
 public:
  Figure(Leaf& leaf, const DosesLeaf& what, const Stretched& across, double left, double right)
      : leaf_(leaf), what_(what), doses_(*what.view), across_(across), left_(left), right_(right) {}

  void panel(const DoseView::Panel& panel, double top) {
    const double bottom = top + panel_height;
    const Heights heights(panel, top, bottom);
    leaf_.put(left_, top - 8, as_heading(heights.title()), panel_face);
    for (std::size_t first = 0; first < panel.outcomes.size(); ++first) {
      // What this panel does not tell apart is one column of it.
      std::size_t last = first;
      const auto& axis = doses_.across;
      while (last + 1 < panel.outcomes.size() && (axis.is_numbers(last + 1) || panel.outcomes[last + 1].empty()) && axis.is_numbers(last) &&
             view::alike(panel.outcomes[first], panel.outcomes[last + 1], 0.005))
        ++last;
      if (first > 0) line(Line::hair, {across_.of(first).begin, top}, {across_.of(first).begin, bottom});
      column(panel, heights, {first, last}, top, bottom);
      first = last;
    }
    line(Line::line, {left_, bottom}, {right_, bottom});
    double taken = bottom + 20;
    for (const Rational& number : heights.numbers()) {
      const double y = heights.at(number);
      line(Line::line, {left_ - 6, y}, {left_, y});
      if (y > taken - 15) continue;
      taken = y;
      leaf_.put(left_ - 10, y + 4.5, near_words(number), tick_face, Ink::soft, Words::Anchor::end);
    }
  }
  const std::vector<std::string>& numbered() const { return numbered_; }
  const std::vector<std::string>& narrow() const { return narrow_; }  // bars without room for a number
  bool has_clash() const { return has_clash_; }
  bool has_gap() const { return has_gap_; }
  std::string all_in_words() const {
    std::string out;
    for (const auto& panel : doses_.panels) {
      out += as_heading(panel.title()) + ": ";
      for (std::size_t p = 0; p < panel.outcomes.size(); ++p)
        for (const auto& outcome : panel.outcomes[p]) out += described(panel, {p, p}, outcome) + " ";
    }
    return out;
  }

 private:
  void line(Line kind, Point from, Point to) {
    Stroke stroke{kind, from, {}, false};
    stroke.straight(to);
    leaf_.scene().add(stroke);
  }

  struct Parts {
    std::size_t first, last;
  };

  void column(const DoseView::Panel& panel, const Heights& heights, Parts parts, double top, double bottom) {
    const auto& outcomes = panel.outcomes[parts.first];
    const auto run = across_.of(parts.first, parts.last);
    if (outcomes.empty()) {
      if (leaf_.width_of("nobody takes it", bar_face) + 8 < run.size())
        leaf_.put(run.middle(), bottom - 10, "nobody takes it", {13.5, true}, Ink::soft, Words::Anchor::middle);
      return;
    }
    const double room = run.size() - 6, least = std::min(least_bar, room / static_cast<double>(outcomes.size()));
    std::vector<double> widths;
    double total = 0, over = 0;
    for (const auto& outcome : outcomes) {
      widths.push_back(std::max(least, outcome.share * room));
      total += widths.back(), over += widths.back() - least;
    }
    double x = run.low() + 3;
    for (std::size_t o = 0; o < outcomes.size(); ++o) {
      double width = widths[o];
      if (total > room && over > 0) width = least + (width - least) * (room - least * static_cast<double>(widths.size())) / over;
      bar(panel, heights, parts, outcomes[o], x, width, top, bottom);
      x += width;
    }
  }

  void bar(const DoseView::Panel& panel, const Heights& heights, Parts parts, const DoseView::Outcome& outcome, double x, double width, double top,
           double bottom) {
    const auto& [low, high] = std::pair(outcome.interval.low, outcome.interval.high);
    const double y = outcome.is_said && high ? heights.at(heights.told(*high)) : top, end = outcome.is_said && low ? heights.at(heights.told(*low)) : bottom;
    const double left = x + 2, right = x + width - 2;
    const Fill fill = !outcome.is_said ? Fill::silent : outcome.clash ? Fill::both : Fill::paper;
    leaf_.scene().add(Box{left, y, right - left, std::max(end - y, 1.0), fill, false});
    if (outcome.is_said) {
      line(Line::line, {left, y}, {left, end}), line(Line::line, {right, y}, {right, end});
      if (high) line(Line::ground, {left, y}, {right, y});
      if (low) line(Line::ground, {left, end}, {right, end});
    }
    has_clash_ = has_clash_ || outcome.clash, has_gap_ = has_gap_ || !outcome.is_said;
    const std::string words = !outcome.is_said ? "nothing said" : outcome.clash ? "" : panel.words(outcome.interval);
    const bool is_wide = !words.empty() && leaf_.width_of(words, bar_face) + 10 <= right - left;
    std::string told = words;
    if (!is_wide) {
      told = std::to_string(numbered_.size() + 1);
      const bool has_room = leaf_.width_of(told, bar_face) + 2 <= right - left;
      (has_room ? numbered_ : narrow_).push_back(described(panel, parts, outcome));
      if (!has_room) return;
    }
    // Within the bar where it is high enough, else above it, else below it.
    const double middle = (left + right) / 2;
    const double baseline = end - y >= 26 ? (y + end) / 2 + 5 : y - top >= 20 ? y - 6 : end + 16;
    if (outcome.clash && right - left >= 40) {
      leaf_.scene().add(Box{middle - 20, baseline - 15, 40, 20, Fill::paper, false});
      leaf_.mark(Mark::Kind::error, Ink::betony, middle - 18, baseline - 13, 16);
      leaf_.put(middle + 8, baseline, told, bar_face, Ink::ink, Words::Anchor::middle);
    } else {
      const double half = leaf_.width_of(told, bar_face) / 2 + (is_wide ? 5 : 1);
      if (fill != Fill::paper) leaf_.scene().add(Box{middle - half, baseline - 14, 2 * half, 19, Fill::paper, false});
      leaf_.put(middle, baseline, told, bar_face, Ink::ink, Words::Anchor::middle);
    }
  }

  // "how much, age under 60 years: 5 to 10 min for 62 in 100 (line 41)"
  std::string described(const DoseView::Panel& panel, Parts parts, const DoseView::Outcome& outcome) const {
    const bool is_all = parts.first == 0 && parts.last + 1 == doses_.across.parts.size();
    std::string out = is_all ? std::string("everybody")
                             : extents_words(*what_.ruleset, doses_.across.dimension, doses_.across.extents(parts.first, parts.last));
    out += ": ";
    out += !outcome.is_said ? "nothing is said" : outcome.clash ? "what is said has nothing in common" : panel.words(outcome.interval);
    if (doses_.shares_known && outcome.share < 1) out += ", for " + in_100(outcome.share);
    const std::string names = view::named(outcome.from, what_.name_of);
    return out + (names.empty() ? "" : " (" + names + ")") + ".";
  }

  Leaf& leaf_;
  const DosesLeaf& what_;
  const DoseView& doses_;
  const Stretched& across_;
  const double left_, right_;
  std::vector<std::string> numbered_, narrow_;
  bool has_clash_ = false, has_gap_ = false;
};

}  // namespace

Scene doses_leaf(Letters& letters, const DosesLeaf& what, const About& about) {
  const DoseView& doses = *what.view;
  std::string sub = what.person.empty() ? "of those who take it, whatever else they answer" : "for " + what.person + ", if this one were otherwise";
  if (!doses.school.empty()) sub += "; as the school " + doses.school + " reads it";
  constexpr double left = margin + 66;
  const double width = std::max(720.0, left + Stretched::least_part * static_cast<double>(doses.across.parts.size()) + margin + 10), right = width - margin - 10;
  Leaf leaf(letters, width, "The dose of " + doses.practice + ", by " + doses.across.name, sub);
  const Stretched across(doses.across, left, right);
  Limits limits(leaf, *what.ruleset, what.name_of);
  const double above = limits.room_above(doses.across, across, left, right);
  double top = leaf.y() + above;
  limits.put_above(doses.across, across, left, right, top);
  Figure figure(leaf, what, across, left, right);
  top += 24;
  for (const auto& panel : doses.panels) {
    figure.panel(panel, top);
    top += panel_height + panel_gap;
  }
  const double bottom = top - panel_gap;
  put_below(leaf, *what.ruleset, doses.across, across, bottom);
  leaf.go_to(bottom + room_below(leaf, *what.ruleset, doses.across, across) + 16);
  leaf.ground();
  std::vector<Leaf::Key> keys;
  if (figure.has_clash()) keys.push_back({std::nullopt, Fill::both, std::nullopt, false, Ink::ink, "nothing in common, over all that is said"});
  if (figure.has_gap()) keys.push_back({std::nullopt, Fill::silent, std::nullopt, false, Ink::ink, "nothing said"});
  leaf.key("Fields", keys);
  for (std::size_t i = 0; i < figure.numbered().size(); ++i) leaf.note(i == 0 ? "Numbers" : "", std::to_string(i + 1) + ": " + figure.numbered()[i]);
  for (std::size_t i = 0; i < figure.narrow().size(); ++i) leaf.note(i == 0 ? "Narrow bars" : "", as_heading(figure.narrow()[i]));
  for (std::size_t i = 0; i < limits.rest().size(); ++i) leaf.note(i == 0 ? "Limits" : "", limits.rest()[i] + ".");
  if (!doses.held.empty()) leaf.note("Held", listed(doses.held) + ".");
  if (!doses.open.empty()) leaf.note("Of every kind", listed(doses.open) + ".");
  leaf.note("Read it so", std::string("A bar goes from the least to the most; one without a line at an end has no end there. ") +
                              (doses.shares_known ? "Bars side by side share the width as persons do, none under a least one. "
                                                  : "Bars side by side are as wide as each other: how many get which is not known. ") +
                              "The scale is stretched between the limits that sentences name.");
  return leaf.finish(about, figure.all_in_words());
}

}  // namespace betony::drawing
