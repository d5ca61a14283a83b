// Order loop: practices that can be advised to one person on one day, whose order, times and lengths cannot
// be kept together.
//
// Every advised practice has a beginning and an end on the day, points of a simple temporal network; its
// sentences are bounds between them, each with the condition on which it holds. First the network of all
// bounds is looked at, as if everything held for one person: where that can be kept, so can anybody's day,
// and no graph is built. Otherwise a circle of bounds that cannot be kept splits the persons: those for whom
// all of it holds are told of; those without its first bound, with the first but without the second, and so
// on, are looked at again without that bound. So every person ends in exactly one part.
//
// `Apart from` and `Time not` leave two ways open, before or after. Who cannot go the one way is tried the other.
#include <algorithm>

#include "compiler/check/checks.h"
#include "compiler/dose.h"
#include "compiler/network.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Kind = Sentence::Kind;
using Anchor = tree::Moment::Anchor;
using tree::Verdict;

constexpr long hour = 3600, day = 24 * hour;

// Points of the day; behind them the beginning and the end of each practice.
enum Point : Index { midnight, dawn, sunrise, sunset, dusk, waking, sleep, first_practice };

struct Bound {
  Network::Bound bound;
  Form condition = Conditions::always;
  Index sentence = no_index;  // nothing: true of every day
  bool order = false;         // one practice comes before another
};

// One of two ways has to be gone.
struct Fork {
  Form condition;
  Index sentence;
  std::vector<Bound> before, after;
};

using Bounds = std::vector<Bound>;

// ---------------------------------------------------------------- the bounds of a day

class Day {
 public:
  Day(Study& study, Reading reading) : ruleset_(study.ruleset), meaning_(study.meaning), reading_(reading) {
    every_day();
    for (Index practice : study.scope.practices) {
      lengths(practice);
      windows(practice);
    }
    for (Index s = 0; s < ruleset_.sentences.size(); ++s)
      if (in_reading(ruleset_, ruleset_.sentences[s], reading_)) order(s);
    for (const auto& [practice, at] : start_) of_practice(practice);
  }

  std::size_t points() const { return first_practice + 2 * start_.size(); }
  const Bounds& bounds() const { return bounds_; }
  const std::vector<Fork>& forks() const { return forks_; }

  // The practices that begin or end at these points, in order of declaration.
  std::vector<Index> practices_at(const std::set<Index>& points) const {
    std::vector<Index> result;
    for (const auto& [practice, at] : start_)
      if (points.count(at) || points.count(at + 1)) result.push_back(practice);
    return result;
  }

  std::vector<Form> conditions() const {
    std::vector<Form> all;
    for (const Bound& bound : bounds_) all.push_back(bound.condition);
    for (const Fork& fork : forks_) all.push_back(fork.condition);
    return all;
  }

 private:
  // ---- points

  Index begin(Index practice) {
    return start_.try_emplace(practice, static_cast<Index>(first_practice + 2 * start_.size())).first->second;
  }
  Index end(Index practice) { return begin(practice) + 1; }

  // A moment as a point and seconds after it. A practice: its beginning, or its end where the moment lies after it.
  struct At {
    Index point;
    Rational by;
  };
  At at(const Timing::Moment& moment) {
    switch (moment.anchor) {
      case Anchor::clock: case Anchor::midnight: return {midnight, moment.by};
      case Anchor::noon: return {midnight, moment.by + 12 * hour};
      case Anchor::sunrise: return {sunrise, moment.by};
      case Anchor::sunset: return {sunset, moment.by};
      case Anchor::dawn: return {dawn, moment.by};
      case Anchor::dusk: return {dusk, moment.by};
      case Anchor::waking: return {waking, moment.by};
      case Anchor::sleep: return {sleep, moment.by};
      case Anchor::practice: break;
    }
    return {moment.moved && moment.by >= 0 ? end(moment.practice) : begin(moment.practice), moment.by};
  }

  // Between which hours a moment is meant, to tell whether a time runs over midnight.
  static std::optional<std::pair<Rational, Rational>> hours_of(const At& at) {
    switch (at.point) {
      case midnight: return {{at.by, at.by}};
      case dawn: case sunrise: case waking: return {{at.by, at.by + 12 * hour}};
      case sunset: case dusk: return {{at.by + 12 * hour, at.by + 24 * hour}};
      case sleep: return {{at.by + 12 * hour, at.by + 36 * hour}};
      default: return std::nullopt;
    }
  }

  // "From 22:00 to 05:00": the end is that of the next day.
  static bool past_midnight(const At& from, const At& to) {
    const auto first = hours_of(from), last = hours_of(to);
    return first && last && last->second <= first->first;
  }

  // ---- bounds

  // `late` is at least `by` after `early`.
  static Bound after(At early, At late, Form condition, Index sentence, const Rational& by = 0, int strict = 0) {
    const Rational most = late.by - early.by - by;
    return {{late.point, early.point, {most, strict}}, condition, sentence};
  }
  void add(Bound bound) {
    if (bound.condition != Conditions::never) bounds_.push_back(std::move(bound));
  }
  void add(Fork fork) {
    if (fork.condition != Conditions::never) forks_.push_back(std::move(fork));
  }

  void every_day() {
    const auto plain = [&](At early, At late, int strict = 0) { add(after(early, late, Conditions::always, no_index, 0, strict)); };
    plain({midnight, 0}, {dawn, 0});
    plain({dawn, 0}, {sunrise, 0});
    plain({sunrise, 0}, {midnight, 12 * hour});
    plain({midnight, 12 * hour}, {sunset, 0});
    plain({sunset, 0}, {dusk, 0});
    plain({dusk, 0}, {midnight, day});
    plain({midnight, 0}, {waking, 0});
    plain({waking, 0}, {sleep, 0}, 1);
    plain({sleep, 0}, {midnight, day + 12 * hour});
  }

  // On the day, and taking some time at all.
  void of_practice(Index practice) {
    const At from{begin(practice), 0}, to{end(practice), 0};
    const auto past = past_midnight_.find(practice);
    add(after({midnight, 0}, from, Conditions::always, no_index));
    add(after(to, {midnight, past == past_midnight_.end() ? day : 2 * day}, Conditions::always, no_index));
    if (past != past_midnight_.end()) add(after(to, {midnight, day}, none_of(past->second), no_index));
    add(after(from, to, Conditions::always, no_index, 0, 1));
  }

  Form none_of(std::vector<Form> forms) {
    for (Form& form : forms) form = meaning_.conditions().negation(form);
    return meaning_.conditions().all(std::move(forms));
  }

  Form advised(Index practice) { return meaning_.verdict(practice, Verdict::advised, reading_); }

  Form together(Index sentence, Index practice, Index other = no_index) {
    std::vector<Form> all{meaning_.fires(sentence, reading_), advised(practice)};
    if (other != no_index && other != practice) all.push_back(advised(other));
    return meaning_.conditions().all(std::move(all));
  }

  // The sentences of a kind with a condition, and those without one of the nearest rank, which hold where none of
  // the others fires; `tell` gets each with the condition on which it holds.
  template <class Tell>
  void nearest(Index practice, Kind kind, const Tell& tell) {
    std::vector<Form> silent;
    std::vector<Index> plain;
    for (Index s : meaning_.sentences(practice, kind, reading_)) {
      const Sentence& sentence = ruleset_.sentences[s];
      if (sentence.timing == no_index || ruleset_.timings[sentence.timing].forbidden) continue;
      if (is_conditional(sentence)) {
        silent.push_back(meaning_.conditions().negation(meaning_.fires(s, reading_)));
        tell(s, together(s, practice));
      } else {
        if (!plain.empty() && rank(sentence) < rank(ruleset_.sentences[plain[0]])) plain.clear();
        if (plain.empty() || rank(sentence) == rank(ruleset_.sentences[plain[0]])) plain.push_back(s);
      }
    }
    silent.push_back(advised(practice));
    for (Index s : plain) tell(s, meaning_.conditions().all(silent));
  }

  void lengths(Index practice) {
    nearest(practice, Kind::takes, [&](Index s, Form condition) {
      const Interval& length = ruleset_.timings[ruleset_.sentences[s].timing].length;
      const At from{begin(practice), 0}, to{end(practice), 0};
      if (length.low) add(after(from, to, condition, s, *length.low));
      if (length.high) add(after(to, from, condition, s, -*length.high));
    });
  }

  void windows(Index practice) {
    nearest(practice, Kind::time, [&](Index s, Form condition) { window(practice, s, condition); });
    for (Index s : meaning_.sentences(practice, Kind::time, reading_))
      if (ruleset_.timings[ruleset_.sentences[s].timing].forbidden) forbidden_window(practice, s);
  }

  // Where a practice is the anchor, it too has to be advised.
  Form with_anchor(Form condition, const Timing::Moment& moment) {
    return moment.practice == no_index ? condition : meaning_.conditions().all({condition, advised(moment.practice)});
  }

  void window(Index practice, Index sentence, Form condition) {
    const Timing& timing = ruleset_.timings[ruleset_.sentences[sentence].timing];
    const At from = at(timing.from);
    add(after(from, {begin(practice), 0}, with_anchor(condition, timing.from), sentence));
    if (!timing.to) return;
    At to = at(*timing.to);
    const bool past = past_midnight(from, to);
    if (past || (timing.to->anchor == Anchor::midnight && to.by == 0)) to.by += day;
    condition = with_anchor(condition, *timing.to);
    if (past || to.point == sleep) past_midnight_[practice].push_back(condition);
    add(after({end(practice), 0}, to, condition, sentence));
  }

  void forbidden_window(Index practice, Index sentence) {
    const Timing& timing = ruleset_.timings[ruleset_.sentences[sentence].timing];
    const At from = at(timing.from), begins{begin(practice), 0}, ends{end(practice), 0};
    Form condition = with_anchor(together(sentence, practice), timing.from);
    const Bound before = after(ends, from, condition, sentence);
    if (!timing.to) return add(before);
    At to = at(*timing.to);
    condition = with_anchor(condition, *timing.to);
    if (past_midnight(from, to)) {
      add(after(to, begins, condition, sentence));
      to.by += day;
    }
    add(Fork{condition, sentence, {after(ends, from, condition, sentence)}, {after(to, begins, condition, sentence)}});
    if (from.point != midnight || to.point != midnight || !past_midnight_.count(practice)) return;
    const At next_from{midnight, from.by + day}, next_to{midnight, to.by + day};  // it may meet that of the next day
    add(Fork{condition, sentence, {after(ends, next_from, condition, sentence)}, {after(next_to, begins, condition, sentence)}});
  }

  void order(Index sentence) {
    const Sentence& s = ruleset_.sentences[sentence];
    if (s.kind != Kind::follows && s.kind != Kind::precedes && s.kind != Kind::leads_to && s.kind != Kind::apart) return;
    for (Index practice : s.practices)
      for (Index other : s.others) {
        if (practice == other) continue;
        if (++pairs_ > most_pairs) throw BudgetMet("order of the day");
        const Form condition = together(sentence, practice, other);
        if (s.kind == Kind::follows) ordered(other, practice, condition, sentence);
        else if (s.kind != Kind::apart) ordered(practice, other, condition, sentence);
        else fork_apart(sentence, practice, other, condition);
      }
  }

  void ordered(Index first, Index second, Form condition, Index sentence) {
    Bound bound = after({end(first), 0}, {begin(second), 0}, condition, sentence);
    bound.order = true;
    add(bound);
  }

  void fork_apart(Index sentence, Index practice, Index other, Form condition) {
    const Index timing = ruleset_.sentences[sentence].timing;
    const Rational by = timing == no_index ? Rational(0) : ruleset_.timings[timing].length.low.value_or(0);
    add(Fork{condition, sentence, {after({end(practice), 0}, {begin(other), 0}, condition, sentence, by)},
             {after({end(other), 0}, {begin(practice), 0}, condition, sentence, by)}});
  }

  const Ruleset& ruleset_;
  Meaning& meaning_;
  Reading reading_;
  std::map<Index, Index> start_;  // of a practice: the point where it begins
  std::map<Index, std::vector<Form>> past_midnight_;  // of a practice: where a time of its own runs over midnight
  Bounds bounds_;
  std::vector<Fork> forks_;
  static constexpr std::size_t most_pairs = 100'000;  // of practices that sentences order
  std::size_t pairs_ = 0;
};

// ---------------------------------------------------------------- who cannot keep it

// Sentences that some persons cannot keep together; of the seconds that they lack, the most.
struct Loop {
  std::set<Index> sentences;
  std::set<Index> points;        // they run through
  Rational lacking;

  void gather(const Loop& part) {
    sentences.insert(part.sentences.begin(), part.sentences.end());
    points.insert(part.points.begin(), part.points.end());
    if (lacking < part.lacking) lacking = part.lacking;
  }
};

Bounds joined(Bounds bounds, const Bounds& more) {
  bounds.insert(bounds.end(), more.begin(), more.end());
  return bounds;
}

// Networks that are looked at, as if all their bounds held for one person.
class Networks {
 public:
  explicit Networks(std::size_t points) : points_(points) {}

  std::vector<Index> contradiction(const Bounds& bounds) {
    Network network(points_);
    for (const Bound& b : bounds) network.bound(b.bound.from, b.bound.to, b.bound.most);
    return network.contradiction(&left_);
  }

  // Whether one way through all forks from `next` on keeps every bound.
  bool can_be_kept(const Bounds& bounds, const std::vector<Fork>& forks, std::size_t next = 0) {
    if (!contradiction(bounds).empty()) return false;
    return next == forks.size() || can_be_kept(joined(bounds, forks[next].before), forks, next + 1) ||
           can_be_kept(joined(bounds, forks[next].after), forks, next + 1);
  }

 private:
  std::size_t points_;
  std::uint64_t left_ = 5'000'000;  // bounds that may still be looked at
};

// For whom bounds cannot be kept. Each person is looked at with the bounds that hold for them.
class Keeping {
 public:
  Keeping(Space& space, Networks& networks) : space_(space), graph_(space.graph()), networks_(networks) {}

  // Persons of `people` who cannot keep the bounds; `found` gets each loop with those who meet it.
  template <class Found>
  Node lost(const Bounds& bounds, Node people, const Found& found) {
    if (people == Graph::no) return Graph::no;
    const std::vector<Index> circle = circle_of(bounds);
    if (circle.empty()) return Graph::no;
    Node all = people, elsewhere = Graph::no;
    for (Index at : circle) {
      const Form condition = bounds[at].condition;
      if (condition == Conditions::always) continue;
      const Node holds = space_.of(condition), others = graph_.without(all, holds);
      if (others == Graph::no) continue;
      const Bounds rest = left(bounds, [&](const Bound& bound) { return bound.condition != condition; });
      elsewhere = graph_.either(elsewhere, lost(rest, others, found));
      all = graph_.both(all, holds);
      if (all == Graph::no) return elsewhere;
    }
    const Loop loop = loop_of(bounds, circle);
    found(loop, all);
    // They may meet another loop, of other sentences.
    lost(left(bounds, [&](const Bound& bound) { return !loop.sentences.count(bound.sentence); }), all, found);
    return graph_.either(elsewhere, all);
  }

  // Persons of `people` for whom no way through the forks from `next` on keeps the bounds; what they meet on all
  // ways is gathered in `loop`.
  Node lost_at_forks(const Bounds& bounds, const std::vector<Fork>& forks, std::size_t next, Node people, Loop& loop) {
    if (people == Graph::no || networks_.can_be_kept(bounds, forks, next)) return Graph::no;
    if (next == forks.size()) return lost(bounds, people, [&](const Loop& part, Node) { loop.gather(part); });
    const Fork& fork = forks[next];
    const Node forked = graph_.both(people, space_.of(fork.condition));
    const Node others = lost_at_forks(bounds, forks, next + 1, graph_.without(people, forked), loop);
    Loop ways;
    const Node not_before = lost_at_forks(joined(bounds, fork.before), forks, next + 1, forked, ways);
    const Node neither = lost_at_forks(joined(bounds, fork.after), forks, next + 1, not_before, ways);
    if (neither != Graph::no) loop.gather(ways);
    return graph_.either(others, neither);
  }

  // The least that some of these people cannot keep, none of whom can keep all; told of everybody for whom it holds;
  // then the same of those who are left. So whatever a loop names holds for all whom it is told of.
  template <class Found>
  void tell_apart(const Bounds& bounds, const std::vector<Fork>& forks, Node people, const Found& found) {
    while (people != Graph::no) {
      Node some = people;
      Bounds held = holding(bounds, some);
      std::vector<Fork> ways = holding(forks, some);
      shed(held, [&](const Bounds& fewer) { return networks_.can_be_kept(fewer, ways); });
      shed(ways, [&](const std::vector<Fork>& fewer) { return networks_.can_be_kept(held, fewer); });
      Node all = people;
      for (const Bound& bound : held) all = graph_.both(all, space_.of(bound.condition));
      for (const Fork& fork : ways) all = graph_.both(all, space_.of(fork.condition));
      Loop loop;
      lost_at_forks(held, ways, 0, some, loop);
      found(loop, all);
      people = graph_.without(people, all);
    }
  }

 private:
  // What holds for some of the people, who become fewer until it holds for each of them, and nothing else does.
  template <class Condition>
  std::vector<Condition> holding(const std::vector<Condition>& list, Node& people) {
    std::vector<Condition> held;
    for (const Condition& one : list) {
      const Node with = graph_.both(people, space_.of(one.condition));
      if (with == Graph::no) continue;
      people = with;
      held.push_back(one);
    }
    return held;
  }

  // Takes out one after the other what is not needed for the rest not to be kept.
  template <class Condition, class Kept>
  static void shed(std::vector<Condition>& list, const Kept& kept) {
    for (std::size_t at = list.size(); at-- > 0;) {
      std::vector<Condition> fewer = list;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(at));
      if (!kept(fewer)) list = std::move(fewer);
    }
  }

  // Of order alone where that goes round: when and how long is nothing to the matter then.
  std::vector<Index> circle_of(const Bounds& bounds) {
    std::vector<Index> kept;
    Bounds order;
    for (Index at = 0; at < bounds.size(); ++at)
      if (bounds[at].order || bounds[at].sentence == no_index) kept.push_back(at), order.push_back(bounds[at]);
    std::vector<Index> circle = networks_.contradiction(order);
    if (circle.empty()) return networks_.contradiction(bounds);
    for (Index& at : circle) at = kept[at];
    return circle;
  }

  static Loop loop_of(const Bounds& bounds, const std::vector<Index>& circle) {
    Loop loop;
    Distance length;
    for (Index at : circle) {
      length = length + bounds[at].bound.most;
      loop.points.insert(bounds[at].bound.from);
      if (bounds[at].sentence != no_index) loop.sentences.insert(bounds[at].sentence);
    }
    loop.lacking = -length.seconds;
    return loop;
  }

  template <class Wanted>
  static Bounds left(const Bounds& bounds, const Wanted& wanted) {
    Bounds result;
    std::copy_if(bounds.begin(), bounds.end(), std::back_inserter(result), wanted);
    return result;
  }

  Space& space_;
  Graph& graph_;
  Networks& networks_;
};

// ---------------------------------------------------------------- telling

struct Told {
  Loop loop;
  Node region = Graph::no;
};

// Loops by their sentences, and by their practices, for one sentence may speak of several pairs; each with all who meet it.
using Loops = std::map<std::pair<std::set<Index>, std::vector<Index>>, Told>;

// What a loop is made of, beside what is true of every day.
template <class Condition>
std::vector<Condition> concerned(const std::vector<Condition>& list, const Loop& loop) {
  std::vector<Condition> result;
  std::copy_if(list.begin(), list.end(), std::back_inserter(result), [&](const Condition& one) {
    return one.sentence == no_index || loop.sentences.count(one.sentence) > 0;
  });
  return result;
}

Loops loops_of(const Day& day, Space& space, Networks& networks, Node looked_at) {
  Loops found;
  const auto enter = [&](const Loop& loop, Node region) {
    Told& told = found[{loop.sentences, day.practices_at(loop.points)}];
    told.loop.gather(loop);
    told.region = space.graph().either(told.region, region);
  };
  Keeping keeping(space, networks);
  const Node lost = keeping.lost(day.bounds(), looked_at, enter);
  Loop forked;
  const Node at_forks = keeping.lost_at_forks(day.bounds(), day.forks(), 0, space.graph().without(looked_at, lost), forked);
  keeping.tell_apart(concerned(day.bounds(), forked), concerned(day.forks(), forked), at_forks, enter);
  return found;
}

// "a, b, and c"; of very many only the first.
std::string several(const std::vector<std::string>& names) {
  constexpr std::size_t most = 8;
  if (names.size() <= most) return listed(names);
  std::vector<std::string> few(names.begin(), names.begin() + most - 1);
  few.push_back(std::to_string(names.size() - few.size()) + " further practices");
  return listed(few);
}

std::string span_words(const Rational& seconds) {
  Unit minute;
  minute.factor = 60;
  return amount_words({seconds, seconds}, minute, "min");
}

class Wording {
 public:
  Wording(Study& study, Space& space, const Day& day, Reading reading) : study_(study), space_(space), day_(day), reading_(reading) {}

  Problem problem(const Told& told) {
    const bool only_order = std::all_of(told.loop.sentences.begin(), told.loop.sentences.end(), [&](Index s) {
      const Kind kind = study_.ruleset.sentences[s].kind;
      return kind == Kind::follows || kind == Kind::precedes || kind == Kind::leads_to;
    });
    Problem p = study_.problem("order-loop", only_order ? "order" : "times", Severity::error);
    const std::vector<Index> practices = day_.practices_at(told.loop.points);
    p.practice = study_.ruleset.practices[practices.at(0)].name;
    for (Index s : told.loop.sentences) p.sentences.push_back(study_.concerned(s, false));
    const std::vector<std::string> lines = study_.lines_of({told.loop.sentences.begin(), told.loop.sentences.end()});
    std::vector<std::string> names;
    study_.show(p, space_, told.region, space_.looked_at(reading_), reading_);
    study_.replay(p, practices[0], reading_);
    for (Index practice : practices) names.push_back(study_.ruleset.practices[practice].name);
    if (p.witness && names.size() > 1) p.replay = several(names) + " are advised";
    words(p, only_order, names, told.loop.lacking);
    const std::string one = lines.size() > 3 ? "one of these sentences" : listed(lines, "or");
    p.write = {"unless …, at the end of " + one + ", for the persons whom it is not meant for", "take " + one + " out"};
    return p;
  }

 private:
  void words(Problem& p, bool only_order, const std::vector<std::string>& names, const Rational& lacking) const {
    const std::string where = where_words(p);
    if (only_order) {
      p.matter = "each has to come before the other";
      p.sense = several(names) + " are advised together " + where + "; these sentences lead in a circle, and no order keeps them all.";
      return;
    }
    p.matter = "these times cannot be kept";
    p.sense = (names.size() > 1 ? several(names) + " are advised together " : names[0] + " is advised ") + where +
              "; no day keeps what these sentences ask" + (lacking > 0 ? ": " + span_words(lacking) + " are lacking." : ".");
  }

  Study& study_;
  Space& space_;
  const Day& day_;
  Reading reading_;
};

std::vector<Problem> problems_of(Study& study, Reading reading) {
  std::vector<Problem> problems;
  const Day day(study, reading);
  Networks networks(day.points());
  if (networks.can_be_kept(day.bounds(), day.forks())) return problems;
  Space space(study.meaning, study.people, day.conditions(), study.limit());
  if (space.has_undecided_measure()) study.not_settled("order of the day");
  for (const auto& [of, told] : loops_of(day, space, networks, space.looked_at(reading)))
    problems.push_back(Wording(study, space, day, reading).problem(told));
  return problems;
}

// Alike in two readings: the same sentences, for the same persons.
using Likeness = std::tuple<std::vector<std::uint32_t>, std::string, Rational, Rational, std::vector<std::string>>;

Likeness likeness(const Problem& p) {
  std::vector<std::uint32_t> sentences;
  for (const Concerned& c : p.sentences) sentences.push_back(c.tree_sentence);
  return {sentences, p.practice, p.share.low, p.share.high, p.region};
}

bool is_dated(Kind kind) {
  return kind == Kind::follows || kind == Kind::precedes || kind == Kind::leads_to || kind == Kind::apart || kind == Kind::time || kind == Kind::takes;
}

}  // namespace

std::set<Index> dated_practices(const Ruleset& ruleset) {
  std::set<Index> result;
  for (const Sentence& s : ruleset.sentences) {
    if (!is_dated(s.kind)) continue;
    result.insert(s.practices.begin(), s.practices.end());
    result.insert(s.others.begin(), s.others.end());
    if (s.timing == no_index) continue;
    const Timing& timing = ruleset.timings[s.timing];
    if (timing.from.practice != no_index) result.insert(timing.from.practice);
    if (timing.to && timing.to->practice != no_index) result.insert(timing.to->practice);
  }
  return result;
}

void check_order(Study& study) {
  std::map<Likeness, std::vector<std::pair<Reading, Problem>>> found;
  for (Reading reading : study.readings) {
    try {
      for (Problem& p : problems_of(study, reading)) found[likeness(p)].emplace_back(reading, std::move(p));
    } catch (const BudgetMet&) {
      study.not_settled("order of the day");
    }
  }
  for (auto& [like, alike] : found) {
    const bool everywhere = alike.size() == study.readings.size();
    for (auto& [reading, problem] : alike) {
      if (!everywhere) {
        problem.school = study.school_name(reading);
        problem.sense += school_sentence(problem.school);
      }
      study.tell(std::move(problem));
      if (everywhere) break;
    }
  }
}

}  // namespace betony
