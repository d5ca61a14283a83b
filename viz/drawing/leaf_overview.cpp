#include "viz/drawing/leaf_overview.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "compiler/check/study.h"

namespace betony::drawing {
namespace {

using view::Overview;
using Relation = Overview::Relation;

constexpr Face name_face{15, false, 600}, group_face{15, true, 400}, head_face{13.5, true, 400}, line_face{14}, small_face{13, true, 400};
constexpr double group_room = 84, brace = margin + group_room + 8, names = brace + 22, line_end = 312, problems = 328, bars = 396, bar_width = 172,
                 arcs = 582;

std::string counted(std::size_t count, const std::string& one) { return std::to_string(count) + " " + one + (count == 1 ? "" : "s"); }

struct Entry {  // one row of the page
  std::string name, file, number;
  std::vector<Index> practices;
  std::size_t errors = 0, questions = 0, notes = 0;
  std::vector<Overview::Row::Part> parts;
};
struct Band {  // rows within one brace
  std::string name;
  std::vector<Entry> lines;
};

std::vector<Band> bands_of(const OverviewLeaf& what) {
  std::vector<Band> out;
  const bool folded = what.overview->practices > most_rows;
  for (const auto& group : what.overview->groups) {
    Band band{folded ? "" : group.name, {}};
    for (const auto& row : group.rows) {
      Entry line{row.name, what.files[row.practice], what.lines[row.practice], {row.practice}, row.errors, row.questions, row.notes, row.parts};
      if (folded && !band.lines.empty()) {
        Entry& all = band.lines.front();
        all.practices.push_back(row.practice);
        if (all.file != line.file) all.file.clear(), all.number.clear();  // they stand in several
        all.errors += row.errors, all.questions += row.questions, all.notes += row.notes;
      } else {
        band.lines.push_back(std::move(line));
      }
    }
    if (folded) {
      Entry& all = band.lines.front();
      all.name = (group.name.empty() ? "of no group" : group.name) + ", " + counted(group.rows.size(), "practice");
      all.parts.clear();
    }
    out.push_back(std::move(band));
  }
  return out;
}

class Page {
 public:
  Page(Leaf& leaf, const OverviewLeaf& what) : leaf_(leaf), what_(what) {}

  void draw() {
    head();
    for (const Band& band : bands_of(what_)) {
      const double top = y_;
      for (const Entry& line : band.lines) row(line);
      braced(band.name, top, y_ - 12);
      y_ += 16;
    }
    relations();
    leaf_.go_to(std::max(y_, lowest_arc_) + 8);
  }
  std::size_t not_drawn() const { return not_drawn_; }

 private:
  void head() {
    y_ = leaf_.y();
    leaf_.put(names, y_, what_.overview->practices > most_rows ? "group" : "practice", head_face, Ink::soft);
    const bool several = std::any_of(what_.files.begin(), what_.files.end(), [](const auto& file) { return !file.empty(); });
    leaf_.put(line_end, y_, several ? "file and line" : "line", head_face, Ink::soft, Words::Anchor::end);
    leaf_.put(problems, y_, "problems", head_face, Ink::soft);
    leaf_.put(bars, y_, "verdicts, of those not referred", head_face, Ink::soft);
    if (!what_.overview->relations.empty()) leaf_.put(leaf_.width() - margin, y_, "order and company", head_face, Ink::soft, Words::Anchor::end);
    y_ += 32;
  }

  void row(const Entry& line) {
    const std::string file = line.file.empty() ? "" : leaf_.letters().lines(one_line(line.file), head_face, 84, 1).front();
    const double room = line_end - names - 40 - (file.empty() ? 0 : leaf_.width_of(file, head_face) + 5);
    const auto lines = leaf_.letters().lines(one_line(line.name), name_face, room, 3);
    double y = y_;
    for (const std::string& part : lines) {
      leaf_.put(names, y, part, name_face);
      y += 19;
    }
    const double end = y - 19, width = leaf_.width_of(lines.empty() ? "" : lines.back(), name_face);
    double number = leaf_.put(line_end, end, line.number, line_face, Ink::soft, Words::Anchor::end);
    if (!file.empty()) number += 5 + leaf_.put(line_end - number - 5, end, file, head_face, Ink::soft, Words::Anchor::end);
    for (double x = std::ceil((names + width + 10) / 7) * 7; x < line_end - number - 8; x += 7)
      leaf_.scene().add(Box{x, end - 2, 1.4, 1.4, Fill::referred, false});
    double x = problems;
    const std::tuple<std::size_t, Severity> counts[] = {
        {line.errors, Severity::error}, {line.questions, Severity::question}, {line.notes, Severity::note}};
    for (const auto& [count, severity] : counts) {
      if (count == 0) continue;
      leaf_.mark(mark_of(severity), Ink::betony, x, y_ - 13, 14);
      x += 16;
      if (count > 1) x += leaf_.put(x, y_ - 1, std::to_string(count), {12}, Ink::betony) + 2;
    }
    bar(line, y_ - 13);
    const double middle = y_ - 5;
    for (const Index p : line.practices) row_of_[p] = rows_.size();
    rows_.push_back(middle);
    y_ = end + 34;
  }

  void bar(const Entry& line, double y) {
    if (line.parts.empty()) {
      if (line.practices.size() == 1) leaf_.put(bars, y + 12, "not settled", head_face, Ink::soft);
      return;
    }
    double x = bars;
    for (const auto& part : line.parts) {
      leaf_.scene().add(Box{x, y, bar_width * part.share, 14, fill_of(part.verdict, part.with_care), false});
      x += bar_width * part.share;
      if (x < bars + 1.5 || x > bars + bar_width - 1.5) continue;
      Stroke between{Line::line, {x, y}, {}, false};
      between.straight({x, y + 14});
      leaf_.scene().add(between);
    }
    leaf_.scene().add(Box{bars, y, bar_width, 14, Fill::none, true});
  }

  void braced(const std::string& name, double top, double bottom) {
    if (name.empty()) return;
    const double from = top - 16, to = bottom - 8, middle = (from + to) / 2;
    Stroke stroke{Line::line, {brace + 8, from}, {}, false};
    stroke.curve({brace + 2, from}, {brace + 4, middle}, {brace - 4, middle});
    leaf_.scene().add(stroke);
    Stroke lower{Line::line, {brace + 8, to}, {}, false};
    lower.curve({brace + 2, to}, {brace + 4, middle}, {brace - 4, middle});
    leaf_.scene().add(lower);
    const auto lines =
        leaf_.letters().lines(one_line(name), group_face, group_room - 4, std::max<std::size_t>(1, static_cast<std::size_t>((to - from + 8) / 18)));
    double y = middle + 5 - 9.0 * static_cast<double>(lines.size() - 1);
    for (const std::string& line : lines) {
      leaf_.put(margin, y, line, group_face);
      y += 18;
    }
  }

  struct Arc {
    const Relation* relation = nullptr;
    std::size_t from = 0, to = 0, count = 0, lane = 0;
    double begin = 0, end = 0;
    std::size_t high() const { return std::min(from, to); }
    std::size_t low() const { return std::max(from, to); }
    std::size_t rows() const { return low() - high(); }
  };

  // Arcs from row to row. Each has a lane of its own among those that it lies beside, the shorter ones further in.
  void relations() {
    std::vector<Arc> all = joined();
    if (all.size() > most_arcs) not_drawn_ = all.size() - most_arcs, all.resize(most_arcs);
    put_lanes(all);
    put_ends(all);
    std::size_t lanes = 0;
    for (const Arc& a : all) lanes = std::max(lanes, a.lane + 1);
    const double widest = leaf_.width() - margin - 34 - arcs, least = 26;
    const double step = lanes > 1 ? std::min(22.0, (widest - least) / static_cast<double>(lanes - 1)) : 0;
    for (const Arc& a : all) {
      // What reaches far has to lie further out than what is near, also where nothing lies between.
      const double far = std::min(widest, least + 8 * std::sqrt(static_cast<double>(a.rows() - 1)));
      arc(a.relation->kind, a.begin, a.end, std::max(far, least + step * static_cast<double>(a.lane)) * 4 / 3, a.relation->time, a.count,
          a.lane == 0);
    }
    for (Shape& shape : above_) leaf_.scene().shapes.push_back(std::move(shape));
  }

  // Relations of one kind between two rows are one arc.
  std::vector<Arc> joined() const {
    std::vector<Arc> out;
    std::map<std::tuple<Relation::Kind, std::size_t, std::size_t>, std::size_t> known;
    for (const Relation& r : what_.overview->relations) {
      const std::size_t from = row_of_.at(r.from), to = row_of_.at(r.to);
      if (from == to) continue;
      const auto [at, is_new] = known.try_emplace({r.kind, from, to}, out.size());
      if (is_new) out.push_back({&r, from, to});
      ++out[at->second].count;
    }
    return out;
  }

  static void put_lanes(std::vector<Arc>& all) {
    std::vector<std::size_t> order(all.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return all[a].rows() < all[b].rows(); });
    for (std::size_t i = 0; i < order.size(); ++i) {
      Arc& one = all[order[i]];
      for (std::size_t j = 0; j < i; ++j) {
        const Arc& other = all[order[j]];
        if (other.high() < one.low() && one.high() < other.low()) one.lane = std::max(one.lane, other.lane + 1);
      }
    }
  }

  // At each row those that go up end above those that go down, the outer of both in the middle, so that they do not cross there.
  void put_ends(std::vector<Arc>& all) const {
    for (std::size_t row = 0; row < rows_.size(); ++row) {
      std::vector<std::pair<Arc*, bool>> here;
      for (Arc& a : all) {
        if (a.from == row) here.emplace_back(&a, true);
        if (a.to == row) here.emplace_back(&a, false);
      }
      const auto key = [&](const Arc& a) {
        const bool up = a.low() == row;
        const auto lane = static_cast<double>(a.lane);
        return std::pair(!up, up ? lane : -lane);
      };
      std::stable_sort(here.begin(), here.end(), [&](const auto& a, const auto& b) { return key(*a.first) < key(*b.first); });
      const double step = here.size() > 1 ? std::min(6.5, 24 / static_cast<double>(here.size() - 1)) : 0;
      double y = rows_[row] - step * static_cast<double>(here.size() - 1) / 2;
      for (const auto& [a, is_begin] : here) {
        (is_begin ? a->begin : a->end) = y;
        y += step;
      }
    }
  }

  void arc(Relation::Kind kind, double y0, double y1, double bulge, const std::string& time, std::size_t count, bool is_innermost) {
    Stroke stroke;
    stroke.from = {arcs, y0};
    stroke.curve({arcs + bulge, y0}, {arcs + bulge, y1}, {arcs, y1});
    stroke.has_arrow = kind == Relation::Kind::before || kind == Relation::Kind::leads_to || kind == Relation::Kind::needs;
    stroke.line = kind == Relation::Kind::leads_to     ? Line::twofold
                  : kind == Relation::Kind::needs      ? Line::dotted
                  : kind == Relation::Kind::never_with ? Line::ban
                  : kind == Relation::Kind::apart      ? Line::dashed
                                                       : Line::line;
    leaf_.scene().add(stroke);
    lowest_arc_ = std::max({lowest_arc_, y0, y1});
    double x = arcs + bulge * 0.75;
    double y = (y0 + y1) / 2;
    if (kind == Relation::Kind::never_with) {
      above_.emplace_back(Box{x - 8, y - 8, 16, 16, Fill::paper, false});
      above_.emplace_back(Mark{Mark::Kind::withheld, x - 7, y - 7, 14, Ink::betony});
      return;
    }
    const std::string words = !time.empty() ? time : count > 1 ? std::to_string(count) : "";
    if (words.empty()) return;
    const double width = leaf_.width_of(words, small_face);
    const bool fits_within = is_innermost && width + 8 < bulge * 0.75;
    if (fits_within) x -= width / 2 + 5;
    const auto overlaps = [&](double at) {
      return std::any_of(labels_.begin(), labels_.end(),
                         [&](const auto& l) { return std::fabs(l.first.x - x) < (l.second + width) / 2 + 10 && std::fabs(l.first.y - at) < 20; });
    };
    for (int i = 0; i < 40 && overlaps(y); ++i) y += 6;
    labels_.push_back({{x, y}, width});
    above_.emplace_back(Words{x, y + 4, one_line(words), small_face, Ink::ink, Words::Anchor::middle, width, !fits_within, 0});
  }

  Leaf& leaf_;
  const OverviewLeaf& what_;
  double y_ = 0, lowest_arc_ = 0;
  std::map<Index, std::size_t> row_of_;
  std::vector<double> rows_;
  std::vector<std::pair<Point, double>> labels_;
  std::vector<Shape> above_;  // what lies on the arcs
  std::size_t not_drawn_ = 0;
};

void tell_keys(Leaf& leaf, const OverviewLeaf& what) {
  std::vector<Leaf::Key> verdicts, order, problems;
  const auto add = [&](tree::Verdict verdict, bool care, const std::string& words) {
    for (const auto& group : what.overview->groups)
      for (const auto& row : group.rows)
        for (const auto& part : row.parts)
          if (part.verdict == verdict ? part.with_care == care : care && part.with_care) {
            Leaf::Key key;
            key.fill = fill_of(verdict, care);
            key.words = words;
            verdicts.push_back(key);
            return;
          }
  };
  add(tree::Verdict::withheld, false, "withheld"), add(tree::Verdict::discouraged, false, "discouraged"),
      add(tree::Verdict::advised, false, "advised");
  add(tree::Verdict::advised, true, "with care"), add(tree::Verdict::allowed, false, "allowed"), add(tree::Verdict::silent, false, "silent");
  leaf.key("Verdicts", verdicts);
  const auto relation = [&](Relation::Kind kind, Line line, bool arrow, const std::string& words) {
    const auto& all = what.overview->relations;
    if (std::none_of(all.begin(), all.end(), [&](const Relation& r) { return r.kind == kind; })) return;
    Leaf::Key key;
    if (kind == Relation::Kind::never_with)
      key.mark = Mark::Kind::withheld, key.ink = Ink::betony;
    else
      key.line = line, key.has_arrow = arrow;
    key.words = words;
    order.push_back(key);
  };
  relation(Relation::Kind::before, Line::line, true, "comes before"), relation(Relation::Kind::leads_to, Line::twofold, true, "leads to");
  relation(Relation::Kind::needs, Line::dotted, true, "needs"), relation(Relation::Kind::never_with, Line::ban, false, "never with");
  relation(Relation::Kind::apart, Line::dashed, false, "apart by the time told");
  leaf.key("Order", order);
  const std::tuple<std::size_t, Severity, const char*> counts[] = {
      {what.errors, Severity::error, "error"}, {what.questions, Severity::question, "question"}, {what.notes, Severity::note, "note"}};
  for (const auto& [count, severity, word] : counts) {
    if (count == 0) continue;
    Leaf::Key key;
    key.mark = mark_of(severity);
    key.ink = Ink::betony;
    key.words = counted(count, word);
    problems.push_back(key);
  }
  leaf.key("Problems", problems);
}

std::string described(const OverviewLeaf& what) {
  std::string out;
  for (const auto& group : what.overview->groups) {
    out += group.name.empty() ? "Of no group: " : group.name + ": ";
    std::vector<std::string> names;
    for (const auto& row : group.rows) {
      std::vector<std::string> problems;
      if (row.errors) problems.push_back(counted(row.errors, "error"));
      if (row.questions) problems.push_back(counted(row.questions, "question"));
      if (row.notes) problems.push_back(counted(row.notes, "note"));
      std::string parts;
      for (const auto& part : row.parts) {
        char share[32];
        std::snprintf(share, sizeof share, " %.1f", part.share * 100);
        parts += (parts.empty() ? "" : ", ") + verdict_words(part.verdict, part.with_care) + share;
      }
      names.push_back(row.name + (problems.empty() ? "" : ", " + listed(problems)) + (parts.empty() ? "" : " (in 100: " + parts + ")"));
    }
    for (std::size_t i = 0; i < names.size(); ++i) out += (i ? "; " : "") + names[i];
    out += ". ";
  }
  return out;
}

}  // namespace

Scene overview_leaf(Letters& letters, const OverviewLeaf& what, const About& about) {
  const Overview& o = *what.overview;
  std::vector<std::string> problems;
  if (what.errors) problems.push_back(counted(what.errors, "error"));
  if (what.questions) problems.push_back(counted(what.questions, "question"));
  if (what.notes) problems.push_back(counted(what.notes, "note"));
  const std::vector<Leaf::Aside> asides{
      {problems.empty() ? "no problems" : listed(problems), problems.empty() ? Ink::soft : Ink::betony, std::nullopt},
      {what.not_settled.empty() ? "every check finished" : std::to_string(what.not_settled.size()) + " not settled", Ink::soft, std::nullopt}};
  const std::string sub = (about.edition.empty() ? "" : "edition " + about.edition + ", ") +
                          "the whole teaching: " + counted(o.practices, "practice") +
                          (o.groups.size() > 1 ? " in " + counted(o.groups.size(), "group") : "") + ", " + counted(o.sentences, "sentence");
  Leaf leaf(letters, 720, as_heading(about.title), sub, asides);
  Page page(leaf, what);
  page.draw();
  leaf.ground();
  tell_keys(leaf, what);
  if (page.not_drawn() > 0) leaf.note("Not drawn", counted(page.not_drawn(), "relation") + " of order and company; these would hide one another.");
  if (!what.not_settled.empty()) leaf.note("Not settled", listed(what.not_settled));
  return leaf.finish(about, described(what));
}

}  // namespace betony::drawing
