#include "viz/drawing/leaf_graph.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "compiler/check/study.h"
#include "viz/drawing/placing.h"

namespace betony::drawing {
namespace {

using view::FoldedView;
using view::GraphView;
using Place = FoldedView::Place;

constexpr Face question_face{14.5}, answer_face{13.6, true}, verdict_face{14, false, 600};
constexpr double question_room = 205, answer_room = 150, question_step = 19, answer_step = 18, answer_gap = 20, rule_room = 8;

// The words of a way, run by run.
std::string words_of(const std::vector<std::string>& words) { return listed(words, "or"); }

class Figure {
 public:
  Figure(Leaf& leaf, const GraphView& view, const FoldedView& shown, const std::set<std::pair<Index, Index>>& way)
      : leaf_(leaf), view_(view), shown_(shown), way_(way) {
    for (Index p = 0; p < shown.places.size(); ++p) put_place(p);
    for (Index p = 0; p < shown.places.size(); ++p) put_edges(p);
    placed_ = placing_.place();
  }
  double width() const { return placed_.width; }
  double height() const { return placed_.height; }

  void draw(double x, double y) {
    for (std::size_t e = 0; e < placed_.edges.size(); ++e) {
      Stroke stroke = placed_.edges[e];
      if (way_.count(edge_of_[e])) stroke.line = Line::thick;
      stroke.from.x += x, stroke.from.y += y;
      for (auto& piece : stroke.pieces)
        for (Point* point : {&piece.first, &piece.second, &piece.to}) point->x += x, point->y += y;
      leaf_.scene().add(stroke);
    }
    for (std::size_t b = 0; b < boxes_.size(); ++b) {
      const Point at = placed_.boxes[b];
      if (boxes_[b].place != no_index)
        draw_place(boxes_[b], x + at.x, y + at.y);
      else
        draw_verdict(boxes_[b].verdict, x + at.x, y + at.y);
    }
  }

 private:
  struct Drawn {
    Index place = no_index, verdict = 0;  // one of them
    double width = 0;
    std::vector<std::string> question;  // lines
    std::vector<std::vector<std::string>> answers;
    std::vector<double> widths;  // of the answers' places
    bool is_last = false;
  };

  bool leads_to_verdict(const Place::Way& way) const { return way.to >= GraphView::leaf; }
  bool is_last(const Place& place) const {
    return !place.is_folded && std::all_of(place.ways.begin(), place.ways.end(), [&](const auto& w) { return leads_to_verdict(w); });
  }
  double widest(const std::vector<std::string>& lines, const Face& face) {
    double out = 0;
    for (const std::string& line : lines) out = std::max(out, leaf_.width_of(line, face));
    return out;
  }
  std::vector<std::string> parted(const std::string& text, const Face& face, double room, std::size_t most) {
    return leaf_.letters().lines(one_line(text), face, room, most);
  }
  // Answers of the way that is shown are bold.
  Face face_of(Index place, std::size_t answer) const {
    Face out = answer_face;
    if (way_.count({place, static_cast<Index>(answer)})) out.weight = 600;
    return out;
  }
  const GraphView::Leaf& verdict(Index to) const { return view_.leaves[to - GraphView::leaf]; }
  double verdict_width(Index to) { return leaf_.verdict_width(verdict(to).verdict, verdict(to).with_care, 14); }

  void put_place(Index p) {
    const Place& place = shown_.places[p];
    Drawn box;
    box.place = p;
    box.question = parted(place.asked, question_face, question_room, 4);
    box.is_last = is_last(place) || (place.is_folded && place.ways.empty());
    box.width = widest(box.question, question_face) + 8;
    const double head = question_step * static_cast<double>(box.question.size()) + rule_room;
    Placing::Form form{{0, head}, {}};
    if (box.is_last) {  // a list: answer, mark, verdict
      double answers = 0, verdicts = 0, lines = 0;
      if (place.is_folded) {
        for (const Index o : place.outcomes) verdicts = std::max(verdicts, verdict_width(GraphView::leaf + o)), lines += 1;
      }
      for (const Place::Way& way : place.ways) {
        box.answers.push_back(parted(words_of(way.words), face_of(p, box.answers.size()), answer_room, 3));
        answers = std::max(answers, widest(box.answers.back(), face_of(p, box.answers.size() - 1)));
        verdicts = std::max(verdicts, verdict_width(way.to));
        lines += static_cast<double>(box.answers.back().size());
      }
      box.widths = {answers, verdicts};
      box.width = std::max(box.width, answers + (answers > 0 ? 14 : 0) + verdicts + 8);
      form.head = {box.width, head + lines * (answer_step + 2) + 6};
    } else {
      double sum = 0;
      std::size_t lines = 1;
      for (const Place::Way& way : place.ways) {
        box.answers.push_back(parted(words_of(way.words), face_of(p, box.answers.size()), answer_room, 3));
        box.widths.push_back(widest(box.answers.back(), face_of(p, box.answers.size() - 1)) + answer_gap);
        sum += box.widths.back();
        lines = std::max(lines, box.answers.back().size());
      }
      const double more = std::max(0.0, box.width - sum) / static_cast<double>(std::max<std::size_t>(box.widths.size(), 1));
      for (double& w : box.widths) w = std::ceil(w + more);
      box.width = std::max(std::ceil(box.width), sum);
      box.width = 0;
      for (const double w : box.widths) box.width += w;
      form.head.width = box.width;
      for (const double w : box.widths) form.answers.push_back({w, answer_step * static_cast<double>(lines) + 2});
    }
    boxes_.push_back(box);
    number_.push_back(placing_.box(form, box.is_last));
  }

  // Edges to a verdict are gathered as long as they are few.
  void put_edges(Index p) {
    const Place& place = shown_.places[p];
    if (boxes_[p].is_last) return;
    for (Index w = 0; w < place.ways.size(); ++w) {
      const Place::Way& way = place.ways[w];
      std::size_t to = 0;
      if (!leads_to_verdict(way)) {
        to = number_[way.to];
      } else {
        auto& [foot, uses] = verdict_boxes_[way.to];
        if (uses == 0 || uses >= most_gathered) {
          Drawn box;
          box.verdict = way.to;
          box.width = verdict_width(way.to) + 8;
          foot = placing_.box({{box.width, question_step + rule_room}, {}}, true);
          uses = 0;
          boxes_.push_back(box);
        }
        ++uses;
        to = foot;
      }
      placing_.edge(number_[p], w, to);
      edge_of_.emplace_back(p, w);
    }
  }

  void draw_verdict(Index to, double x, double y) { leaf_.verdict(x + 4, y + question_step - 4, verdict(to).verdict, verdict(to).with_care, 14); }

  void draw_rule(bool is_folded, double x, double y, double width) {
    Stroke rule{Line::line, {x, y}, {}, false};
    if (!is_folded) {
      rule.straight({x + width, y});
    } else {  // a pleat
      const auto teeth = static_cast<int>(std::max(4.0, std::round(width / 8)));
      for (int i = 1; i <= 2 * teeth; ++i) rule.straight({x + width * i / (2 * teeth), i % 2 ? y + 4 : y});
    }
    leaf_.scene().add(rule);
  }

  void draw_place(const Drawn& box, double x, double y) {
    const Place& place = shown_.places[box.place];
    double at = y;
    for (const std::string& line : box.question) {
      leaf_.put(x + box.width / 2, at + question_step - 5, line, question_face, Ink::ink, Words::Anchor::middle);
      at += question_step;
    }
    at += 2;
    draw_rule(place.is_folded, x, at, box.width);
    at += rule_room - 2;
    if (!box.is_last) {
      double left = x;
      for (std::size_t w = 0; w < box.answers.size(); ++w) {
        double line_at = at;
        for (const std::string& line : box.answers[w]) {
          leaf_.put(left + box.widths[w] / 2, line_at + answer_step - 5, line, face_of(box.place, w), Ink::ink, Words::Anchor::middle);
          line_at += answer_step;
        }
        left += box.widths[w];
      }
      return;
    }
    const double verdicts = x + 4 + box.widths[0] + (box.widths[0] > 0 ? 14 : 0);
    if (place.is_folded) {
      for (const Index o : place.outcomes) {
        leaf_.verdict(verdicts, at + answer_step - 4, view_.leaves[o].verdict, view_.leaves[o].with_care, 14);
        at += answer_step + 2;
      }
    }
    for (std::size_t w = 0; w < place.ways.size(); ++w) {
      leaf_.verdict(verdicts, at + answer_step - 4, verdict(place.ways[w].to).verdict, verdict(place.ways[w].to).with_care, 14);
      for (const std::string& line : box.answers[w]) {
        leaf_.put(x + 4, at + answer_step - 4, line, face_of(box.place, w));
        at += answer_step + 2;
      }
    }
  }

  static constexpr std::size_t most_gathered = 3;
  Leaf& leaf_;
  const GraphView& view_;
  const FoldedView& shown_;
  const std::set<std::pair<Index, Index>>& way_;
  Placing placing_;
  std::vector<Drawn> boxes_;
  std::vector<std::size_t> number_;                                     // of each place, its box
  std::map<Index, std::pair<std::size_t, std::size_t>> verdict_boxes_;  // of each verdict: the box that was put last, and its edges
  std::vector<std::pair<Index, Index>> edge_of_;                        // of each edge: its place and way
  Placed placed_;
};

std::string in_hundred(const Share& share) {
  const auto words = [](const Rational& x) {
    const double percent = x.get_d() * 100;
    if (x == 0) return std::string("0");
    if (percent < 0.05) return std::string("under 0.1");
    char out[32];
    std::snprintf(out, sizeof out, "%.1f", percent);
    return std::string(out);
  };
  return share.exact ? words(share.low) : words(share.low) + " to " + words(share.high);
}

std::string near_hundred(double share) {
  if (share > 0.9999999) return "all possible persons";  // counted in binary fractions
  char out[48];
  std::snprintf(out, sizeof out, share < 0.0005 ? "under 0.1" : share > 0.9995 ? "over 99.9" : "%.1f", share * 100);
  return std::string(out) + " in 100 of all possible persons";
}

std::string names_of(const GraphView& view, const std::vector<Index>& questions) {
  std::vector<std::string> names;
  for (const Index q : questions)
    for (const std::string& name : view.questions[q].names)
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  constexpr std::size_t most = 8;
  if (names.size() > most) {
    const std::size_t more = names.size() - most;
    names.resize(most);
    names.push_back(std::to_string(more) + " more");
  }
  return listed(names);
}

void tell_folds(Leaf& leaf, const GraphView& view, const FoldedView& shown) {
  bool first = true;
  for (const Place& place : shown.places) {
    if (!place.is_folded) continue;
    const bool together = place.ways.empty() && place.asked != view.questions[place.question].asked;
    std::string text = (place.ways.empty() && !together ? std::to_string(place.question + 1) + " " : "") + "“" + place.asked + "” holds " +
                       (place.under.size() == 1 ? "1 question" : std::to_string(place.under.size()) + " questions") + ", about " +
                       names_of(view, place.under) + ".";
    if (view.shares_known) text += " It is reached by " + near_hundred(place.share) + ".";
    leaf.note(first ? "Folded" : "", text);
    first = false;
  }
}

// Where the way of a person ends.
void tell_end(Leaf& leaf, const GraphView& view, const Profile& person) {
  const auto way = view.way_of(person);
  const Index to = way.empty() ? view.first : view.questions[way.back().first].answers[way.back().second].to;
  if (to < GraphView::leaf) {
    leaf.note("The way", "ends at “" + view.questions[to].asked + "”, which nothing that is told answers.");
    return;
  }
  const GraphView::Leaf& end = view.leaves[to - GraphView::leaf];
  leaf.verdict(margin + label_room, leaf.y(), end.verdict, end.with_care);
  leaf.note("The way ends at", "");
}

void tell_shares(Leaf& leaf, const GraphView& view) {
  constexpr double column = 138, left = label_room + margin;
  double x = left, y = leaf.y();
  leaf.put(margin, y, "Of all possible", {15, false, 600});
  leaf.put(margin, y + 20, "persons, in 100", {15, false, 600});
  for (const GraphView::Leaf& one : view.leaves) {
    const double room = std::max(column, leaf.verdict_width(one.verdict, one.with_care) + 20);
    if (x > left && x + room > leaf.width() - margin) x = left, y += 48;
    leaf.verdict(x, y, one.verdict, one.with_care);
    leaf.put(x + 22.5, y + 20, in_hundred(one.share));
    x += room;
  }
  leaf.go_to(y + 52);
}

// In the words that stand on the leaf.
std::string described(const GraphView& view, const FoldedView& shown) {
  std::string out = std::to_string(view.questions.size()) + (view.questions.size() == 1 ? " question. " : " questions. ");
  for (std::size_t p = 0; p < shown.places.size(); ++p) {
    const Place& place = shown.places[p];
    out += std::to_string(p + 1) + ": " + place.asked + " ";
    std::vector<std::string> ways;
    for (const Place::Way& way : place.ways)
      ways.push_back(words_of(way.words) + (way.to >= GraphView::leaf ? ": " + verdict_words(view.leaves[way.to - GraphView::leaf].verdict,
                                                                                             view.leaves[way.to - GraphView::leaf].with_care)
                                                                      : ": go on to " + std::to_string(way.to + 1)));
    for (const Index o : place.outcomes)
      if (place.ways.empty()) ways.push_back(verdict_words(view.leaves[o].verdict, view.leaves[o].with_care));
    for (std::size_t i = 0; i < ways.size(); ++i) out += (i ? "; " : "") + ways[i];
    out += ". ";
  }
  return out;
}

bool asks_for_numbers(const GraphView& view) {
  return std::any_of(view.questions.begin(), view.questions.end(), [&](const auto& q) {
    const auto& d = view.universe->variables[q.variable].dimensions;
    return std::any_of(d.begin(), d.end(), [](const Dimension& one) { return one.extents[0].kind == Extent::Kind::numbers; });
  });
}

// The ways of a person among those that are shown, as place and way.
std::set<std::pair<Index, Index>> shown_way(const GraphView& view, const FoldedView& shown, const Profile& person) {
  std::set<std::pair<Index, Index>> out;
  std::map<Index, Index> place_of;
  for (Index p = 0; p < shown.places.size(); ++p) {
    if (!shown.places[p].is_folded)
      place_of[shown.places[p].question] = p;
    else if (!shown.places[p].ways.empty())
      for (const Index q : shown.places[p].under) place_of[q] = p;
  }
  for (const auto& [question, answer] : view.way_of(person)) {
    const auto place = place_of.find(question);
    if (place == place_of.end()) break;
    Index to = view.questions[question].answers[answer].to;
    if (to < GraphView::leaf) {
      Index into = no_index;
      for (Index p = 0; p < shown.places.size(); ++p)
        if (shown.places[p].question == to || std::binary_search(shown.places[p].under.begin(), shown.places[p].under.end(), to)) {
          into = p;
          break;
        }
      if (const auto open = place_of.find(to); open != place_of.end()) into = open->second;
      to = into;
    }
    const auto& ways = shown.places[place->second].ways;
    for (Index w = 0; w < ways.size(); ++w)
      if (ways[w].to == to) out.insert({place->second, w});
  }
  return out;
}

// ---------------------------------------------------------------- DOT

std::string in_html(const std::string& text) {
  std::string out;
  for (const char c : one_line(text)) out += c == '&' ? "&amp;" : c == '<' ? "&lt;" : c == '>' ? "&gt;" : c == '"' ? "&quot;" : std::string(1, c);
  return out;
}

}  // namespace

Scene graph_leaf(Letters& letters, const GraphLeaf& what, const About& about) {
  const GraphView& view = *what.view;
  std::vector<Index> kept;
  if (what.person)
    for (const auto& [question, answer] : view.way_of(*what.person)) kept.push_back(question);
  for (std::size_t most = most_places;; --most) {
    const FoldedView shown = view::folded(view, most, kept);
    const auto way = what.person ? shown_way(view, shown, *what.person) : std::set<std::pair<Index, Index>>();
    // Wide enough for the figure: it is placed before the head is written.
    Leaf measured(letters, 720, "", "");
    const double figure = Figure(measured, view, shown, way).width();
    if (figure > widest_leaf - 2 * margin && most > 3) continue;
    std::vector<Leaf::Aside> asides{{what.lines, Ink::soft, std::nullopt}};
    if (shown.folded_questions > 0)
      asides.push_back({std::to_string(shown.folded_questions) + (shown.folded_questions == 1 ? " question folded" : " questions folded"), Ink::soft,
                        std::nullopt});
    std::string sub = what.person ? "the way of " + what.person_words : "its questions, in the order in which they would be asked";
    if (!view.school.empty()) sub += "; as the school " + view.school + " reads it";
    Leaf leaf(letters, std::max(720.0, figure + 2 * margin), as_heading(view.practice), sub, asides);
    Figure placed(leaf, view, shown, way);
    placed.draw((leaf.width() - placed.width()) / 2, leaf.y());
    leaf.go_to(leaf.y() + placed.height() + 22);
    leaf.ground();
    if (what.person) tell_end(leaf, view, *what.person);
    tell_folds(leaf, view, shown);
    tell_shares(leaf, view);
    if (asks_for_numbers(view))
      leaf.soft_note("“Under 6” and “over 6” stop short of 6; “at least 6”, “at most 6” and “from 6 to 9” have their ends in them.");
    return leaf.finish(about, described(view, shown));
  }
}

std::string graph_dot(const GraphView& view, const FoldedView& shown) {
  DotWriter dot("leaf");
  for (std::size_t p = 0; p < shown.places.size(); ++p) {
    const Place& place = shown.places[p];
    std::string label = "<TABLE BORDER=\"0\" CELLBORDER=\"0\" CELLSPACING=\"0\" CELLPADDING=\"2\"><TR><TD COLSPAN=\"" +
                        std::to_string(std::max<std::size_t>(place.ways.size(), 1)) + "\" SIDES=\"B\" BORDER=\"1\">" + in_html(place.asked) +
                        "</TD></TR><TR>";
    for (std::size_t w = 0; w < place.ways.size(); ++w)
      label += "<TD PORT=\"a" + std::to_string(w) + "\"><I>" + in_html(words_of(place.ways[w].words)) + "</I></TD>";
    if (place.ways.empty()) {
      std::vector<std::string> outcomes;
      for (const Index o : place.outcomes) outcomes.push_back(verdict_words(view.leaves[o].verdict, view.leaves[o].with_care));
      label += "<TD>" + in_html(listed(outcomes, "or")) + "</TD>";
    }
    dot.node("q" + std::to_string(p + 1), place.is_folded ? "question folded" : "question", label + "</TR></TABLE>");
  }
  std::set<Index> verdicts;
  for (const Place& place : shown.places)
    for (const Place::Way& way : place.ways)
      if (way.to >= GraphView::leaf) verdicts.insert(way.to - GraphView::leaf);
  if (shown.first >= GraphView::leaf && !view.leaves.empty()) verdicts.insert(shown.first - GraphView::leaf);
  for (const Index v : verdicts)
    dot.node("v" + std::to_string(v + 1), "verdict", "<B>" + verdict_words(view.leaves[v].verdict, view.leaves[v].with_care) + "</B>");
  for (std::size_t p = 0; p < shown.places.size(); ++p)
    for (std::size_t w = 0; w < shown.places[p].ways.size(); ++w) {
      const Place::Way& way = shown.places[p].ways[w];
      const std::string to = way.to >= GraphView::leaf ? "v" + std::to_string(way.to - GraphView::leaf + 1) : "q" + std::to_string(way.to + 1);
      dot.edge("q" + std::to_string(p + 1), "a" + std::to_string(w), to, way.full.empty() ? words_of(way.words) : way.full);
    }
  return dot.take();
}

}  // namespace betony::drawing
