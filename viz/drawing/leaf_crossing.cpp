#include "viz/drawing/leaf_crossing.h"

#include <algorithm>
#include <cmath>
#include <sstream>

#include "compiler/check/study.h"
#include "viz/drawing/scales.h"

namespace betony::drawing {
namespace {

using Scale = view::CrossingView::Scale;

constexpr double name_room = 150, scale_left = margin + name_room + 20, scale_right = 570, words_left = 586;
constexpr double bar = 12, bar_gap = 3;
constexpr Face name_face{15, false, 600}, soft_face{13.5}, tick_face{13}, small_tick_face{12};

std::string letter(std::size_t i) { return i < 26 ? std::string(1, static_cast<char>('A' + i)) : std::to_string(i + 1); }

struct Run {
  double begin, end;
};

// Where the extents of a scale lie on it.
class Places {
 public:
  explicit Places(const Scale& scale) : scale_(scale) {
    const auto& extents = scale.dimension.extents;
    numbers_ = std::count_if(extents.begin(), extents.end(), [](const Extent& e) { return e.kind == Extent::Kind::numbers; });
    const bool has_never = numbers_ > 0 && numbers_ < static_cast<std::ptrdiff_t>(extents.size());
    right_ = has_never ? scale_right - 84 : scale_right;
    if (numbers_ > 0) {
      low_ = extents.front().numbers.low->get_d();
      high_ = extents[static_cast<std::size_t>(numbers_) - 1].numbers.high->get_d();
    }
  }
  bool has_numbers() const { return numbers_ > 0; }
  double at(double number) const {
    return high_ > low_ ? scale_left + (number - low_) / (high_ - low_) * (right_ - scale_left) : (scale_left + right_) / 2;
  }
  Run of(std::size_t extent) const {
    const Extent& e = scale_.dimension.extents[extent];
    if (e.kind == Extent::Kind::numbers) {
      // Whole steps reach halfway to their neighbours, so that nothing gapes.
      const double low = extent == 0 ? low_ : (scale_.dimension.extents[extent - 1].numbers.high->get_d() + e.numbers.low->get_d()) / 2;
      const bool last = extent + 1 == static_cast<std::size_t>(numbers_);
      const double high = last ? high_ : (e.numbers.high->get_d() + scale_.dimension.extents[extent + 1].numbers.low->get_d()) / 2;
      return {at(low), std::max(at(high), at(low) + 2)};
    }
    if (has_numbers()) return {right_ + 40, scale_right};  // never
    const double width = (scale_right - scale_left) / static_cast<double>(scale_.dimension.extents.size());
    return {scale_left + width * static_cast<double>(extent) + 3, scale_left + width * static_cast<double>(extent + 1) - 3};
  }
  double right() const { return right_; }

 private:
  const Scale& scale_;
  std::ptrdiff_t numbers_ = 0;
  double low_ = 0, high_ = 1, right_ = scale_right;
};

class Page {
 public:
  Page(Leaf& leaf, const CrossingLeaf& what) : leaf_(leaf), what_(what) {
    for (std::size_t i = 0; i < what.view->sentences.size(); ++i) (what.view->second[i] ? below_ : above_).push_back(i);
  }

  void sentences() {
    double numbers = 44;
    for (const std::string& line : what_.lines) numbers = std::max(numbers, leaf_.width_of(line, {15}));
    for (std::size_t i = 0; i < what_.view->sentences.size(); ++i) {
      const Sentence& sentence = what_.ruleset->sentences[what_.view->sentences[i]];
      leaf_.put(margin + 14, leaf_.y(), letter(i), name_face);
      leaf_.put(leaf_.width() - margin, leaf_.y(), what_.lines[i], {15}, Ink::soft, Words::Anchor::end);
      const auto lines = leaf_.put_lines(margin + 42, leaf_.y(), words_of(*what_.ruleset, sentence), {15}, Ink::ink,
                                         leaf_.width() - 2 * margin - 42 - 16 - numbers, 21);
      leaf_.go_to(leaf_.y() + 21.0 * static_cast<double>(lines) + 8);
    }
    leaf_.go_to(leaf_.y() + 10);
    const auto side = [](const std::vector<std::size_t>& all) {
      if (all.size() > 3) return letter(all.front()) + " to " + letter(all.back());  // they stand in order
      std::vector<std::string> letters;
      for (const std::size_t i : all) letters.push_back(letter(i));
      return listed(letters);
    };
    const bool two = what_.view->sentences.size() == 2;
    const std::string how = above_.empty() ? "hatched where two of them speak"
                                           : side(above_) + " above the rule, " + side(below_) + " below it; hatched where " +
                                                 (two ? "both speak" : "one of each speaks");
    leaf_.put(scale_left, leaf_.y(), how, {13.5, true, 400}, Ink::soft);
    leaf_.put(leaf_.width() - margin, leaf_.y(), two ? "where both speak" : "where they meet", {13.5, true, 400}, Ink::soft, Words::Anchor::end);
    leaf_.go_to(leaf_.y() + 20);
  }

  void scales() {
    for (const Scale& scale : what_.view->scales) one(scale);
    thread();
    leaf_.go_to(leaf_.y() + 8);
    if (!what_.view->others.empty()) leaf_.soft_note("Any " + listed(what_.view->others) + ": none of these sentences asks for it.");
    if (!what_.view->no_room.empty()) leaf_.soft_note("Not drawn, though asked for: " + listed(what_.view->no_room) + ".");
  }

 private:
  void one(const Scale& scale) {
    const Places places(scale);
    const double top = leaf_.y() + 6, up = static_cast<double>(above_.size()) * (bar + bar_gap) + 4,
                 down = static_cast<double>(below_.size()) * (bar + bar_gap) + 4;
    const double rule = top + up;
    const std::size_t names = leaf_.put_lines(margin, rule + 5, scale.name, name_face, Ink::ink, name_room, 19, 3);
    const bool has_unit = !scale.unit.empty() && scale.unit != "1";
    if (has_unit)
      leaf_.put(margin, rule + 5 + 19.0 * static_cast<double>(names), unit_words(*what_.ruleset, scale.dimension, scale.unit), soft_face, Ink::soft);
    // Behind everything, where both speak.
    for_runs(scale.both, scale, places, [&](double x, double width) { leaf_.scene().add(Box{x, rule - up, width, up + down, Fill::both, false}); });
    const auto bars = [&](const std::vector<std::size_t>& side, bool is_above) {
      double y = is_above ? rule - 4 - bar : rule + 4;
      for (const std::size_t i : side) {
        for_runs(scale.spoken[i], scale, places, [&](double x, double width) {
          if (!is_above) leaf_.scene().add(Box{x, y, width, bar, Fill::paper, false});
          leaf_.scene().add(Box{x, y, width, bar, is_above ? Fill::full : Fill::open, !is_above});
        });
        if (what_.view->sentences.size() > 2) leaf_.put(scale_left - 8, y + bar - 1.5, letter(i), {12}, Ink::soft, Words::Anchor::end);
        y += is_above ? -(bar + bar_gap) : bar + bar_gap;
      }
    };
    bars(above_, true), bars(below_, false);
    if (places.has_numbers()) {
      Stroke line{Line::line, {scale_left, rule}, {}, false};
      line.straight({places.right(), rule});
      leaf_.scene().add(line);
    }
    const double ticks = rule + down + 15;
    const double low = labels(scale, places, rule, ticks);
    const std::size_t words = leaf_.put_lines(words_left, rule + 5, scale.both_words, {14}, Ink::ink, leaf_.width() - margin - words_left, 18, 4);
    if (scale.witness) {
      if (const auto x = place_of(*scale.witness, scale, places)) threads_.push_back({*x, rule});
    }
    leaf_.go_to(std::max({low + 12, rule + 5 + 19.0 * static_cast<double>(names + has_unit) + 6, rule + 5 + 18.0 * static_cast<double>(words) + 6}));
  }

  template <class Use>
  void for_runs(const std::vector<bool>& extents, const Scale& scale, const Places& places, const Use& use) {
    for (std::size_t e = 0; e < extents.size(); ++e) {
      if (!extents[e]) continue;
      const Run first = places.of(e);
      double end = first.end;
      const auto is_number = [&](std::size_t i) { return scale.dimension.extents[i].kind == Extent::Kind::numbers; };
      while (e + 1 < extents.size() && extents[e + 1] && is_number(e) && is_number(e + 1)) end = places.of(++e).end;
      use(first.begin, end - first.begin);
    }
  }

  // Limits under their places, those that would touch a neighbour left out; words under their parts. Where they end.
  double labels(const Scale& scale, const Places& places, double rule, double y) {
    const auto& extents = scale.dimension.extents;
    if (!places.has_numbers()) {
      double low = y;
      const Face face = face_of_words(scale, places);
      for (std::size_t e = 0; e < extents.size(); ++e) {
        const Run span = places.of(e);
        Stroke line{Line::line, {span.begin, rule}, {}, false};
        line.straight({span.end, rule});
        leaf_.scene().add(line);
        const auto& finding = what_.ruleset->findings[scale.dimension.index];
        double at = y;
        for (const std::string& part : leaf_.letters().lines(one_line(finding.values[extents[e].word]), face,
                                                             span.end - span.begin + (face.size < tick_face.size ? 5 : 0), 3)) {
          label((span.begin + span.end) / 2, at, part, face);
          at += 16;
        }
        low = std::max(low, at - 16);
      }
      return low;
    }
    struct Tick {
      double x;
      std::string words;
      bool is_end;
    };
    std::vector<Tick> ticks;
    const auto add = [&](const Rational& number, double x, bool is_end) {
      ticks.push_back({x, scale_words(*what_.ruleset, scale.dimension, scale.unit, number), is_end});
    };
    const auto count =
        static_cast<std::size_t>(std::count_if(extents.begin(), extents.end(), [](const Extent& e) { return e.kind == Extent::Kind::numbers; }));
    add(*extents[0].numbers.low, places.at(extents[0].numbers.low->get_d()), true);
    add(*extents[count - 1].numbers.high, places.right(), true);
    for (std::size_t e = 1; e < count; ++e) {
      // Where any of them begins or ends.
      const auto changes = [&](const std::vector<bool>& s) { return s[e] != s[e - 1]; };
      if (!std::any_of(scale.spoken.begin(), scale.spoken.end(), changes)) continue;
      const bool begins = std::any_of(scale.spoken.begin(), scale.spoken.end(), [&](const auto& s) { return s[e] && !s[e - 1]; });
      add(begins ? *extents[e].numbers.low : *extents[e - 1].numbers.high, places.of(e).begin, false);
    }
    std::stable_sort(ticks.begin(), ticks.end(), [](const Tick& a, const Tick& b) { return a.is_end > b.is_end; });
    std::vector<Run> taken;
    for (const Tick& tick : ticks) {
      Stroke line{Line::line, {tick.x, rule - 4}, {}, false};
      line.straight({tick.x, rule + 4});
      leaf_.scene().add(line);
      const double half = leaf_.width_of(tick.words, tick_face) / 2;
      if (std::any_of(taken.begin(), taken.end(), [&](const Run& t) { return tick.x - half < t.end + 4 && tick.x + half > t.begin - 4; })) continue;
      taken.push_back({tick.x - half, tick.x + half});
      label(tick.x, y, tick.words);
    }
    if (extents.size() > count) {
      const Run never = places.of(count);
      label((never.begin + never.end) / 2, y, "never");
      Stroke line{Line::line, {never.begin, rule}, {}, false};
      line.straight({never.end, rule});
      leaf_.scene().add(line);
    }
    return y;
  }

  std::optional<double> place_of(const Value& value, const Scale& scale, const Places& places) const {
    for (std::size_t e = 0; e < scale.dimension.extents.size(); ++e) {
      const Extent& extent = scale.dimension.extents[e];
      const Run span = places.of(e);
      if (value.kind == Value::Kind::number && extent.kind == Extent::Kind::numbers && extent.numbers.contains(value.number))
        return std::clamp(places.at(value.number.get_d()), span.begin, span.end);
      if (value.kind == Value::Kind::word ? extent.kind == Extent::Kind::word && extent.word == value.word
                                          : value.kind == Value::Kind::never && extent.kind == Extent::Kind::never)
        return (span.begin + span.end) / 2;
    }
    return std::nullopt;
  }

  // Smaller where a single word would be parted.
  Face face_of_words(const Scale& scale, const Places& places) {
    const auto& extents = scale.dimension.extents;
    const double room = (places.of(0).end - places.of(0).begin) * 0.995;
    for (std::size_t e = 0; e < extents.size(); ++e) {
      std::istringstream words(one_line(what_.ruleset->findings[scale.dimension.index].values[extents[e].word]));
      for (std::string word; words >> word;)
        if (leaf_.width_of(word, tick_face) > room) return small_tick_face;
    }
    return tick_face;
  }

  // Words that lie above the thread.
  void label(double x, double y, const std::string& words, const Face& face = tick_face) {
    labels_.push_back({x, y, one_line(words), face, Ink::soft, Words::Anchor::middle, leaf_.width_of(words, face), true, 0});
  }

  void thread() {
    Stroke stroke{Line::dotted, threads_.empty() ? Point{} : threads_.front(), {}, false};
    for (std::size_t i = 1; i < threads_.size(); ++i) {
      const Point a = threads_[i - 1], b = threads_[i];
      const double middle = (a.y + b.y) / 2;
      stroke.curve({a.x, middle}, {b.x, middle}, b);
    }
    if (threads_.size() > 1) leaf_.scene().add(stroke);
    for (const Words& words : labels_) leaf_.scene().add(words);
    for (const Point& p : threads_) leaf_.mark(Mark::Kind::witness, Ink::ink, p.x - 8, p.y - 8, 16);
  }

  Leaf& leaf_;
  const CrossingLeaf& what_;
  std::vector<std::size_t> above_, below_;
  std::vector<Point> threads_;
  std::vector<Words> labels_;
};

std::string with_capital(std::string text) { return as_heading(text); }

}  // namespace

Scene crossing_leaf(Letters& letters, const CrossingLeaf& what, const About& about) {
  const Problem& problem = *what.problem;
  const char* kind = problem.severity == Severity::error ? "Error" : problem.severity == Severity::question ? "Question" : "Note";
  std::vector<std::string> lines;
  for (const std::string& line : what.lines)
    if (std::find(lines.begin(), lines.end(), line) == lines.end()) lines.push_back(line);
  std::string sub = problem.practice + ", ";
  if (what.files.size() > 1)
    sub += "in " + listed(what.files);
  else
    sub += (lines.size() == 1 ? "line " : "lines ") + listed(lines) + (what.files.empty() ? "" : " of " + what.files[0]);
  if (!problem.school.empty()) sub += ", in the reading of " + problem.school;
  Leaf leaf(letters, 720, with_capital(problem.matter), sub,
            {{kind, Ink::betony, mark_of(problem.severity)}, {what.number, Ink::soft, std::nullopt}});
  Page page(leaf, what);
  page.sentences();
  page.scales();
  leaf.go_to(leaf.y() + 6);
  leaf.ground();
  if (problem.witness) {
    std::vector<std::string> answers;
    for (const Index f : problem.witness_findings)
      if ((*problem.witness)[f]) answers.push_back(answer_words(what.ruleset->findings[f], *(*problem.witness)[f]));
    leaf.note("The witness", with_capital(listed(answers)) + (problem.replay.empty() ? "." : ": " + problem.replay + "."));
  }
  if (!problem.sense.empty()) leaf.note("What is so", problem.sense);
  if (what.view->pairs_left_out > 0)
    leaf.note("Not drawn", std::to_string(what.view->pairs_left_out) + (what.view->pairs_left_out == 1 ? " further pair" : " further pairs") +
                               " of sentences that meet likewise. The words of this problem name them.");
  bool first = true;
  for (const std::string& write : problem.write) {
    leaf.note(first ? "What to write" : "", (first ? "" : "or ") + write + (write.ends_with(".") ? "" : "."));
    first = false;
  }
  std::string description = problem.matter + ". ";
  for (std::size_t i = 0; i < what.view->sentences.size(); ++i)
    description += letter(i) + ", line " + what.lines[i] + ": " + words_of(*what.ruleset, what.ruleset->sentences[what.view->sentences[i]]) + " ";
  for (const Scale& scale : what.view->scales) description += scale.name + ", where both speak: " + scale.both_words + ". ";
  return leaf.finish(about, description + problem.sense);
}

}  // namespace betony::drawing
