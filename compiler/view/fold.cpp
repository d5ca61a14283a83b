// Which questions of a graph one page shows.
//
// The parts before the practice's own questions become one place each. Then places are opened, the most visited first, as long as all that
// are shown have room; what stays closed is folded, and of that the least visited together in one place where even these are too many.
#include <algorithm>
#include <map>
#include <set>

#include "compiler/view/graph_view.h"

namespace betony::view {
namespace {

using Place = FoldedView::Place;

class Folding {
 public:
  Folding(const GraphView& view, std::size_t most, const std::vector<Index>& kept) : view_(view), most_(most), kept_(kept.begin(), kept.end()) {
    for (const GraphView::Part part : {GraphView::Part::applies, GraphView::Part::flags}) {
      std::vector<Index> questions;
      for (Index q = 0; q < view.questions.size(); ++q)
        if (view.questions[q].part == part) questions.push_back(q);
      if (questions.size() > 1 && view.questions.size() > most) parts_.push_back(std::move(questions));
    }
  }

  static constexpr std::size_t most_kept = 40;  // a longer way is folded as well

  FoldedView take() {
    FoldedView out;
    if (view_.first >= GraphView::leaf) {
      out.first = view_.first;
      return out;
    }
    open_places();
    put_places(out);
    return out;
  }

 private:
  // The question that stands for the whole part, for those that were put together.
  Index stands_for(Index question) const {
    for (const auto& part : parts_)
      if (std::binary_search(part.begin(), part.end(), question)) return part.front();
    return question;
  }
  bool is_part(Index question) const {
    return std::any_of(parts_.begin(), parts_.end(), [&](const auto& part) { return part.front() == question; });
  }
  std::vector<Index> next(Index question) const {
    std::vector<Index> out;
    const auto add = [&](Index q) {
      for (const GraphView::Answer& answer : view_.questions[q].answers)
        if (answer.to < GraphView::leaf && stands_for(answer.to) != question) out.push_back(stands_for(answer.to));
    };
    if (is_part(question)) {
      for (const auto& part : parts_)
        if (part.front() == question) std::for_each(part.begin(), part.end(), add);
    } else {
      add(question);
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
  }

  // Those that are kept first, then the most visited; of those visited alike the one that comes first.
  void open_places() {
    const auto less = [this](Index a, Index b) {
      if (kept_.count(a) != kept_.count(b)) return kept_.count(a) > 0;
      const double x = view_.questions[a].share, y = view_.questions[b].share;
      return x != y ? x > y : a < b;
    };
    std::set<Index, decltype(less)> waiting(less);
    const Index first = stands_for(view_.first);
    if (is_part(first)) opened_.insert(first);
    for (const Index q : is_part(first) ? next(first) : std::vector<Index>{first}) waiting.insert(q);
    while (!waiting.empty()) {
      // Parts before the practice's own are never opened further than to their one place.
      const auto at = waiting.begin();
      const Index question = *at;
      std::vector<Index> fresh;
      for (const Index q : next(question))
        if (!opened_.count(q) && !waiting.count(q)) fresh.push_back(q);
      const bool is_kept = kept_.count(question) > 0 && opened_.size() < most_kept;
      if (opened_.size() + waiting.size() + fresh.size() > most_ && opened_.size() > 0 && !is_part(question) && !is_kept) break;
      waiting.erase(at);
      opened_.insert(question);
      waiting.insert(fresh.begin(), fresh.end());
    }
    // One whose answers are all verdicts takes no more room open.
    for (const Index q : waiting) {
      if (next(q).empty())
        opened_.insert(q);
      else
        closed_.push_back(q);
    }
    const std::size_t room = most_ > opened_.size() ? most_ - opened_.size() : 1;
    if (closed_.size() <= room) return;
    together_.assign(closed_.begin() + static_cast<std::ptrdiff_t>(room) - 1, closed_.end());
    closed_.resize(room - 1);
  }

  std::vector<Index> below(const std::vector<Index>& from) const {
    std::set<Index> out;
    std::vector<Index> rest = from;
    while (!rest.empty()) {
      const Index q = rest.back();
      rest.pop_back();
      if (!out.insert(q).second) continue;
      for (const GraphView::Answer& answer : view_.questions[q].answers)
        if (answer.to < GraphView::leaf) rest.push_back(answer.to);
    }
    return {out.begin(), out.end()};
  }
  std::vector<Index> outcomes(const std::vector<Index>& questions) const {
    std::set<Index> out;
    for (const Index q : questions)
      for (const GraphView::Answer& answer : view_.questions[q].answers)
        if (answer.to >= GraphView::leaf) out.insert(answer.to - GraphView::leaf);
    return {out.begin(), out.end()};
  }

  void put_places(FoldedView& out) {
    // In the order of their questions, so that each stands before those it leads to; those put together at the end.
    std::map<Index, Place> by_question;
    for (const Index q : opened_) by_question[q] = is_part(q) ? part_place(q) : open_place(q);
    for (const Index q : closed_) by_question[q] = closed_place({q});
    for (auto& [question, place] : by_question) {
      number_[question] = static_cast<Index>(out.places.size());
      out.places.push_back(std::move(place));
    }
    for (const Index q : together_) number_[q] = static_cast<Index>(out.places.size());
    if (!together_.empty()) out.places.push_back(closed_place(together_));
    for (Place& place : out.places)
      for (Place::Way& way : place.ways)
        if (way.to < GraphView::leaf) way.to = number_.at(stands_for(way.to));
    for (Place& place : out.places) join_ways(place);
    out.first = number_.at(stands_for(view_.first));
    std::set<Index> under;
    for (const Place& place : out.places) under.insert(place.under.begin(), place.under.end());
    for (const Place& place : out.places)
      if (!place.is_folded) under.erase(place.question);
    out.folded_questions = under.size();
  }
  Place open_place(Index question) const {
    Place out;
    out.question = question;
    out.asked = view_.questions[question].asked;
    out.share = view_.questions[question].share;
    for (const GraphView::Answer& answer : view_.questions[question].answers) out.ways.push_back({answer.words, answer.to, answer.full});
    return out;
  }
  Place closed_place(const std::vector<Index>& from) const {
    Place out;
    out.is_folded = true;
    out.question = from.front();
    out.asked = from.size() > 1 ? std::to_string(from.size()) + " further questions" : view_.questions[from.front()].asked;
    for (const Index q : from) out.share += view_.questions[q].share;
    out.under = below(from);
    out.outcomes = outcomes(out.under);
    return out;
  }
  Place part_place(Index question) const {
    Place out;
    out.is_folded = true;
    out.question = question;
    out.share = view_.questions[question].share;
    for (const auto& part : parts_)
      if (part.front() == question) out.under = part;
    const bool flags = view_.questions[question].part == GraphView::Part::flags;
    out.asked = flags ? "Is there a red flag?" : "Is the teaching meant for this person?";
    Index aside = GraphView::leaf, on = GraphView::leaf;
    for (const Index q : out.under)
      for (const GraphView::Answer& answer : view_.questions[q].answers) {
        const bool is_aside = answer.to >= GraphView::leaf &&
                              view_.leaves[answer.to - GraphView::leaf].verdict == (flags ? tree::Verdict::referred : tree::Verdict::outside);
        if (is_aside)
          aside = answer.to;
        else if (!std::binary_search(out.under.begin(), out.under.end(), answer.to))
          on = answer.to;
      }
    if (flags)
      out.ways = {{{"any"}, aside, ""}, {{"none"}, on, ""}};
    else
      out.ways = {{{"no"}, aside, ""}, {{"yes"}, on, ""}};
    return out;
  }
  // Ways that come to lead to one place.
  static void join_ways(Place& place) {
    std::vector<Place::Way> out;
    for (Place::Way& way : place.ways) {
      const auto same = std::find_if(out.begin(), out.end(), [&](const Place::Way& w) { return w.to == way.to; });
      if (same == out.end())
        out.push_back(std::move(way));
      else {
        same->words.insert(same->words.end(), way.words.begin(), way.words.end());
        same->full += " or " + way.full;
      }
    }
    place.ways = std::move(out);
  }

  const GraphView& view_;
  const std::size_t most_;
  const std::set<Index> kept_;
  std::vector<std::vector<Index>> parts_;  // put together: their questions, ascending
  std::set<Index> opened_;
  std::vector<Index> closed_, together_;
  std::map<Index, Index> number_;  // of a question: its place
};

}  // namespace

FoldedView folded(const GraphView& view, std::size_t most, const std::vector<Index>& kept) { return Folding(view, most, kept).take(); }

GraphView from_question(const GraphView& view, Index question) {
  GraphView out = view;
  std::vector<Index> place(view.questions.size(), no_index), rest{question};
  std::set<Index> kept;
  while (!rest.empty()) {
    const Index q = rest.back();
    rest.pop_back();
    if (!kept.insert(q).second) continue;
    for (const GraphView::Answer& answer : view.questions[q].answers)
      if (answer.to < GraphView::leaf) rest.push_back(answer.to);
  }
  out.questions.clear();
  for (const Index q : kept) {
    place[q] = static_cast<Index>(out.questions.size());
    out.questions.push_back(view.questions[q]);
  }
  for (GraphView::Question& q : out.questions)
    for (GraphView::Answer& answer : q.answers)
      if (answer.to < GraphView::leaf) answer.to = place[answer.to];
  out.first = 0;
  return out;
}

}  // namespace betony::view
