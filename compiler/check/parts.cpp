#include "compiler/check/parts.h"

#include <algorithm>

#include "compiler/walk.h"
#include "grammar/grammar.h"
#include "grammar/text.h"

namespace betony {

using Node = Graph::Node;
using Written = tree::Condition;

// ---------------------------------------------------------------- taking apart

namespace {

const tree::Ending* ending_of(const tree::Form& form) {
  return std::visit([](const auto& line) -> const tree::Ending* {
    if constexpr (requires { line.ending; }) return &line.ending;
    else return nullptr;
  }, form);
}

// All conditions that a tree sentence holds as wholes.
std::vector<const Written*> written_conditions(const tree::Form& form) {
  std::vector<const Written*> all;
  const auto add = [&](const tree::Ending& ending) {
    if (ending.when) all.push_back(&*ending.when);
    if (ending.unless) all.push_back(&*ending.unless);
  };
  if (const tree::Ending* ending = ending_of(form)) add(*ending);
  if (const auto* line = std::get_if<tree::InLine>(&form)) {
    all.push_back(&line->condition);
    for (const tree::InItem& item : line->items) add(item.ending);
  }
  return all;
}

const Written* written_as(const tree::Form& form, const Cond& typed) {
  for (const Written* written : written_conditions(form))
    if (written->span == typed.place.span) return written;
  return nullptr;
}

// The words of a test's subject, least first; empty where it is told in numbers.
const std::vector<std::string>& words_of(const Ruleset& ruleset, const Test& test) {
  static const std::vector<std::string> none;
  switch (test.subject) {
    case Test::Subject::finding: return ruleset.findings[test.index].values;
    case Test::Subject::leading: return ruleset.leadings[test.index].values;
    case Test::Subject::choice: return ruleset.choices[test.index].values;
    default: return none;
  }
}

bool is_range_of_days(const Ruleset& ruleset, const Test& test) {
  if (test.subject != Test::Subject::finding) return false;
  const auto kind = ruleset.findings[test.index].kind;
  return kind == Finding::Kind::date || kind == Finding::Kind::time_of_day;
}

// Whether an end lies at or beyond what the finding can be: then it writes out the range, and cuts nothing.
std::pair<bool, bool> ends_beyond(const Ruleset& ruleset, const Test& test) {
  if (!test.words.empty()) return {test.words.front() == 0, test.words.back() + 1 == words_of(ruleset, test).size()};
  if (test.intervals.size() != 1 || !test.intervals[0].low || !test.intervals[0].high) return {true, true};
  if (test.subject != Test::Subject::finding) return {false, false};  // how far a measure or a tally goes nobody has written
  const Finding& finding = ruleset.findings[test.index];
  return {*test.intervals[0].low <= finding.low, *test.intervals[0].high >= finding.high};
}

// "age from 0 to 110" of an age that goes from 0 to 110: any age, in so many words.
bool says_any(const Ruleset& ruleset, const Written& written, const Cond& typed) {
  if (written.kind != Written::Kind::atom || written.atom.kind != tree::Atom::Kind::from_to || typed.kind != Cond::Kind::test) return false;
  const Test& test = typed.test;
  if (test.subject != Test::Subject::finding || ruleset.findings[test.index].or_never || is_range_of_days(ruleset, test)) return false;
  return ends_beyond(ruleset, test) == std::pair(true, true);
}

}  // namespace

Dissection::Dissection(const Ruleset& ruleset, Index sentence) : ruleset_(ruleset) {
  const Sentence& s = ruleset.sentences[sentence];
  const tree::Form& form = ruleset.tree.sentences[s.sentence].form;
  file_ = s.place.file;
  if (const Written* when = s.when.kind == Cond::Kind::always ? nullptr : written_as(form, s.when)) {
    const bool needed = s.kind == Sentence::Kind::refer || s.kind == Sentence::Kind::dose || std::holds_alternative<tree::InLine>(form);
    if (!needed && !says_any(ruleset, *when, s.when)) whole_in_ = add({Part::Kind::whole_in, s.when.place, true, false, no_index});
    when_ = shape(*when, s.when, true, false, whole_in_);
  }
  if (const Written* unless = s.unless ? written_as(form, *s.unless) : nullptr) {
    const bool needed = s.kind == Sentence::Kind::dose && !when_;
    if (!needed) whole_unless_ = add({Part::Kind::whole_unless, s.unless->place, true, true, no_index});
    unless_ = shape(*unless, *s.unless, false, true, whole_unless_);
  }
}

Dissection::Dissection(const Ruleset& ruleset, const Cond& typed, const Written& written)
    : ruleset_(ruleset), file_(typed.place.file), stands_alone_(true) {
  when_ = shape(written, typed, true, false, no_index);
}

Index Dissection::add(Part part) {
  parts_.push_back(part);
  cost_ += 10;
  return static_cast<Index>(parts_.size() - 1);
}

Shape Dissection::shape(const Written& written, const Cond& typed, bool widens, bool in_unless, Index inside) {
  Shape made{Shape::Kind::atom, &written, &typed, {}, {}, {}};
  switch (written.kind) {
    case Written::Kind::atom: {
      const tree::Atom& atom = written.atom;
      if (atom.values.size() < 2) return made;
      if (atom.negated && typed.kind == Cond::Kind::negation) {  // "is not V or W"
        made.kind = Shape::Kind::negation;
        made.below.push_back({Shape::Kind::atom, &written, &typed.parts[0], {}, {}, {}});
        values(made.below[0], !widens, in_unless, inside);
      } else {
        values(made, widens, in_unless, inside);
      }
      return made;
    }
    case Written::Kind::negation:
      made.kind = Shape::Kind::negation;
      made.below.push_back(shape(written.parts[0], typed.parts[0], !widens, in_unless, inside));
      return made;
    case Written::Kind::none:  // not any of them
      made.kind = Shape::Kind::negation;
      made.below.push_back({Shape::Kind::any, &written, &typed.parts[0], {}, {}, {}});
      lists(made.below[0], !widens, in_unless, inside);
      return made;
    case Written::Kind::all: made.kind = Shape::Kind::all; break;
    case Written::Kind::any: made.kind = Shape::Kind::any; break;
    case Written::Kind::at_least: made.kind = Shape::Kind::at_least; break;
  }
  lists(made, widens, in_unless, inside);
  return made;
}

// `widens`: of a part that is joined by `and` where the whole would hold for more.
void Dissection::lists(Shape& list, bool widens, bool in_unless, Index inside) {
  const auto& items = list.written->parts;
  const std::size_t least = list.kind == Shape::Kind::at_least ? std::max(1u, list.written->count) : 1;
  for (std::size_t i = 0; i < items.size(); ++i) {
    const bool more = list.kind == Shape::Kind::all ? widens : !widens;
    const bool part_at_all = items.size() > least && !says_any(ruleset_, items[i], list.typed->parts[i]);
    const Index part = part_at_all ? add({Part::Kind::item, place(items[i].span), more, in_unless, inside, &items[i]}) : no_index;
    list.parts.push_back(part);
    list.below.push_back(shape(items[i], list.typed->parts[i], widens, in_unless, part == no_index ? inside : part));
  }
}

void Dissection::values(Shape& atom, bool widens, bool in_unless, Index inside) {
  const tree::Atom& written = atom.written->atom;
  const Cond& first = atom.typed->kind == Cond::Kind::any ? atom.typed->parts[0] : *atom.typed;
  if (first.kind != Cond::Kind::test || first.test.subject == Test::Subject::verdict) return;
  if (written.kind == tree::Atom::Kind::from_to) {
    if (is_range_of_days(ruleset_, first.test)) return;
    const auto [low_beyond, high_beyond] = ends_beyond(ruleset_, first.test);
    atom.parts = {no_index, no_index};
    if (!low_beyond) atom.parts[0] = add({Part::Kind::low_end, place(written.values[0].span), widens, in_unless, inside});
    if (!high_beyond) atom.parts[1] = add({Part::Kind::high_end, place(written.values[1].span), widens, in_unless, inside});
    return;
  }
  if (written.kind != tree::Atom::Kind::is) return;
  for (const tree::Quantity& value : written.values)
    if (value.kind == tree::Quantity::Kind::yes || value.kind == tree::Quantity::Kind::no) return;  // "is yes or no" asks nothing
  std::map<std::string_view, std::vector<Index>> names;  // folded -> written values
  for (const tree::Quantity& value : written.values) {
    if (value.kind == tree::Quantity::Kind::word) names[value.word->key].push_back(static_cast<Index>(atom.parts.size()));
    atom.parts.push_back(add({Part::Kind::value, place(value.span), !widens, in_unless, inside}));
  }
  for_each_test(*atom.typed, [&](const Test& test) {
    for (Index word : test.words) atom.named_by.push_back(names[letters::fold(words_of(ruleset_, test)[word])]);
  });
  cost_ += written.values.size() * written.values.size() / 4;
}

// ---------------------------------------------------------------- what it means without some

namespace {

bool is_struck(const Shape& shape, std::size_t i, const Struck& struck) {
  return i < shape.parts.size() && shape.parts[i] != no_index && struck.contains(shape.parts[i]);
}

bool strikes(const Shape& shape, const Struck& struck) {
  for (std::size_t i = 0; i < shape.parts.size(); ++i)
    if (is_struck(shape, i, struck)) return true;
  return false;
}

// The typed form of an atom without some of its values, or without an end.
Cond without_values(const Ruleset& ruleset, const Shape& atom, const Struck& struck) {
  const tree::Atom& written = atom.written->atom;
  Cond cond = *atom.typed;
  if (written.kind == tree::Atom::Kind::from_to) {
    const bool low = is_struck(atom, 0, struck);
    std::vector<Index>& words = cond.test.words;
    if (words.empty()) {
      (low ? cond.test.intervals[0].low : cond.test.intervals[0].high).reset();
    } else {
      const Index first = low ? 0 : words.front(), end = low ? words.back() + 1 : static_cast<Index>(words_of(ruleset, cond.test).size());
      words.clear();
      for (Index word = first; word < end; ++word) words.push_back(word);
    }
    return cond;
  }
  std::vector<bool> numbers;  // of the numbers in their order
  bool never = false;
  for (std::size_t i = 0; i < written.values.size(); ++i) {
    const auto kind = written.values[i].kind;
    if (kind == tree::Quantity::Kind::never) never = !is_struck(atom, i, struck);
    else if (kind != tree::Quantity::Kind::word) numbers.push_back(!is_struck(atom, i, struck));
  }
  std::size_t word = 0;
  const auto keep = [&](Test& test) {
    std::erase_if(test.words, [&](Index) {
      const std::vector<Index>& names = atom.named_by[word++];
      return std::all_of(names.begin(), names.end(), [&](Index i) { return is_struck(atom, i, struck); });
    });
    std::vector<Interval> intervals;
    for (std::size_t i = 0; i < test.intervals.size() && i < numbers.size(); ++i)
      if (numbers[i]) intervals.push_back(test.intervals[i]);
    test.intervals = std::move(intervals);
  };
  if (cond.kind == Cond::Kind::test) {
    keep(cond.test);
    return cond;
  }
  for (Cond& part : cond.parts)
    if (!part.test.never) keep(part.test);
  std::erase_if(cond.parts, [&](const Cond& part) { return part.test.never ? !never : part.test.words.empty() && part.test.intervals.empty(); });
  return cond;
}

Form form_without(Meaning& meaning, const Shape& shape, Reading reading, const Struck& struck) {
  if (shape.kind == Shape::Kind::atom)
    return meaning.condition(strikes(shape, struck) ? without_values(meaning.ruleset(), shape, struck) : *shape.typed, reading);
  std::vector<Form> forms;
  for (std::size_t i = 0; i < shape.below.size(); ++i)
    if (!is_struck(shape, i, struck)) forms.push_back(form_without(meaning, shape.below[i], reading, struck));
  Conditions& conditions = meaning.conditions();
  switch (shape.kind) {
    case Shape::Kind::negation: return conditions.negation(forms[0]);
    case Shape::Kind::all: return conditions.all(std::move(forms));
    case Shape::Kind::any: return conditions.any(std::move(forms));
    default: return conditions.at_least(shape.written->count, std::move(forms));
  }
}

void add_asked(Meaning& meaning, const Shape& shape, Reading reading, std::vector<Form>& asked) {
  for (const Shape& below : shape.below) add_asked(meaning, below, reading, asked);
  if (shape.kind != Shape::Kind::atom) return;
  asked.push_back(meaning.condition(*shape.typed, reading));
  std::size_t left = 2;  // all ask about one thing; at most one of them may be so for everybody, or for nobody, and ask nothing
  for (Index part : shape.parts)
    if (part != no_index && left > 0) asked.push_back(meaning.condition(without_values(meaning.ruleset(), shape, {part}), reading)), --left;
}

bool leaves_some(const Shape& shape, const Struck& struck) {
  std::size_t left = 0;
  for (std::size_t i = 0; i < shape.parts.size(); ++i) left += !is_struck(shape, i, struck);
  const bool range = shape.kind == Shape::Kind::atom && shape.written->atom.kind == tree::Atom::Kind::from_to;
  const std::size_t least = shape.kind == Shape::Kind::at_least ? shape.written->count : 1;
  if (range ? left + 1 < shape.parts.size() : !shape.parts.empty() && left < least) return false;
  return std::all_of(shape.below.begin(), shape.below.end(), [&](const Shape& below) { return leaves_some(below, struck); });
}

}  // namespace

Form Dissection::without(Meaning& meaning, Reading reading, const Struck& struck) const {
  std::vector<Form> both;
  if (when_ && !struck.contains(whole_in_)) both.push_back(form_without(meaning, *when_, reading, struck));
  if (unless_ && !struck.contains(whole_unless_))
    both.push_back(meaning.conditions().negation(form_without(meaning, *unless_, reading, struck)));
  return meaning.conditions().all(std::move(both));
}

std::vector<Form> Dissection::asked(Meaning& meaning, Reading reading) const {
  std::vector<Form> asked;
  for (const auto* shape : {&when_, &unless_})
    if (*shape) add_asked(meaning, **shape, reading, asked);
  return asked;
}

bool Dissection::is_cell(Index part) const {
  return when_ && when_->kind == Shape::Kind::all && std::find(when_->parts.begin(), when_->parts.end(), part) != when_->parts.end();
}

bool Dissection::leaves_something(const Struck& struck) const {
  return (!when_ || leaves_some(*when_, struck)) && (!unless_ || leaves_some(*unless_, struck));
}

// Every place in a condition is reached with two graphs: what the whole comes to if the place holds, and if it does not.
class Dissection::Walk {
 public:
  Walk(Space& space, Reading reading, std::vector<Node>& result) : space_(space), graph_(space.graph()), reading_(reading), result_(result) {}

  Node whole(const Shape& shape) {
    const auto [at, is_new] = whole_.try_emplace(&shape, Graph::no);
    if (!is_new) return at->second;
    std::vector<Node> parts;
    for (const Shape& below : shape.below) parts.push_back(whole(below));
    Node node = Graph::no;
    switch (shape.kind) {
      case Shape::Kind::atom: node = space_.of(space_.meaning().condition(*shape.typed, reading_)); break;
      case Shape::Kind::negation: node = graph_.negation(parts[0]); break;
      case Shape::Kind::all: node = graph_.all(std::move(parts)); break;
      case Shape::Kind::any: node = graph_.any(std::move(parts)); break;
      case Shape::Kind::at_least: node = at_least(graph_.sum(std::move(parts)), shape.written->count); break;
    }
    return whole_[&shape] = node;
  }

  void strike(const Shape& shape, Node if_so, Node if_not) {
    switch (shape.kind) {
      case Shape::Kind::negation: return strike(shape.below[0], if_not, if_so);
      case Shape::Kind::atom:
        for (Index part : shape.parts)
          if (part != no_index) result_[part] = graph_.choose(without(shape, part), if_so, if_not);
        return;
      default: list(shape, if_so, if_not);
    }
  }

 private:
  Node without(const Shape& atom, Index part) {
    Meaning& meaning = space_.meaning();
    return space_.of(meaning.condition(without_values(meaning.ruleset(), atom, {part}), reading_));
  }

  Node at_least(Node sum, unsigned count) {
    return graph_.where(sum, [&](std::int64_t n) { return n >= static_cast<std::int64_t>(count); });
  }

  Node join(const Shape& shape, Node a, Node b) {
    return shape.kind == Shape::Kind::all ? graph_.both(a, b) : shape.kind == Shape::Kind::any ? graph_.either(a, b) : graph_.plus(a, b);
  }

  void list(const Shape& shape, Node if_so, Node if_not) {
    const std::size_t count = shape.below.size();
    const Node none = shape.kind == Shape::Kind::all ? Graph::yes : Graph::no;
    std::vector<Node> after(count + 1, none);
    for (std::size_t i = count; i-- > 0;) after[i] = join(shape, whole(shape.below[i]), after[i + 1]);
    Node before = none;
    for (std::size_t i = 0; i < count; ++i) {
      const Node others = join(shape, before, after[i + 1]);
      item(shape, i, others, if_so, if_not);
      before = join(shape, before, whole(shape.below[i]));
    }
  }

  void item(const Shape& shape, std::size_t i, Node others, Node if_so, Node if_not) {
    Node with = if_so, without = if_not;  // what the whole comes to if the item holds, and if it does not
    const unsigned least = shape.written->count;
    if (shape.kind == Shape::Kind::all) with = graph_.choose(others, if_so, if_not);
    if (shape.kind == Shape::Kind::any) without = graph_.choose(others, if_so, if_not);
    if (shape.kind == Shape::Kind::at_least) {
      with = graph_.choose(at_least(others, least - 1), if_so, if_not);
      without = graph_.choose(at_least(others, least), if_so, if_not);
    }
    if (shape.parts[i] != no_index) result_[shape.parts[i]] = shape.kind == Shape::Kind::all ? with : without;
    strike(shape.below[i], with, without);
  }

  Space& space_;
  Graph& graph_;
  Reading reading_;
  std::vector<Node>& result_;
  std::map<const Shape*, Node> whole_;
};

std::vector<Node> Dissection::each_struck(Space& space, Reading reading) const {
  std::vector<Node> result(parts_.size(), Graph::no);
  Walk walk(space, reading, result);
  Graph& graph = space.graph();
  const Node when = when_ ? walk.whole(*when_) : Graph::yes, unless = unless_ ? walk.whole(*unless_) : Graph::no;
  if (whole_in_ != no_index) result[whole_in_] = graph.negation(unless);
  if (whole_unless_ != no_index) result[whole_unless_] = when;
  if (when_) walk.strike(*when_, graph.negation(unless), Graph::no);
  if (unless_) walk.strike(*unless_, Graph::no, when);
  return result;
}

// ---------------------------------------------------------------- how it reads without some

namespace {

Written rewritten(const Shape& shape, const Struck& struck) {
  Written out = *shape.written;
  if (shape.kind == Shape::Kind::atom) {
    auto& values = out.atom.values;
    if (out.atom.kind == tree::Atom::Kind::from_to && strikes(shape, struck)) {
      const bool low = is_struck(shape, 0, struck);
      if (!low && values[0].unit.text.empty()) values[0].unit = values[1].unit, values[0].ago = values[1].ago;
      out.atom.kind = low ? tree::Atom::Kind::at_most : tree::Atom::Kind::at_least;
      values = {low ? values[1] : values[0]};
      return out;
    }
    std::vector<tree::Quantity> left;
    for (std::size_t i = 0; i < values.size(); ++i)
      if (!is_struck(shape, i, struck)) left.push_back(values[i]);
    values = std::move(left);
    out.atom.one_of = out.atom.one_of && values.size() > 1;
    return out;
  }
  if (shape.kind == Shape::Kind::negation && shape.below[0].written == shape.written) return rewritten(shape.below[0], struck);
  out.parts.clear();
  for (std::size_t i = 0; i < shape.below.size(); ++i)
    if (!is_struck(shape, i, struck)) out.parts.push_back(rewritten(shape.below[i], struck));
  const bool joined = (out.kind == Written::Kind::all || out.kind == Written::Kind::any);
  if (joined && out.parts.size() == 1 && shape.below.size() > 1) {
    Written only = out.parts[0];  // "a and b" without b is a
    return only;
  }
  return out;
}

}  // namespace

std::string Dissection::remedy(const Struck& struck, const std::string& line) const {
  std::string out;
  const auto say = [&](const std::string& words) { out += (out.empty() ? "" : ", and ") + words; };
  const auto touched = [&](bool in_unless, Index whole) {
    return std::any_of(struck.begin(), struck.end(), [&](Index part) { return parts_[part].in_unless == in_unless && part != whole; });
  };
  const auto words = [&](const Shape& shape) { return written_words(rewritten(shape, struck)); };
  if (struck.contains(whole_in_)) say("take \"in " + written_words(*when_->written) + "\" out of " + line);
  else if (when_ && touched(false, whole_in_)) say((stands_alone_ ? "means " : "in ") + words(*when_) + ", in " + line);
  if (struck.contains(whole_unless_)) say("take \"unless " + written_words(*unless_->written) + "\" out of " + line);
  else if (unless_ && touched(true, whole_unless_)) say("unless " + words(*unless_) + ", in " + line);
  return out;
}

}  // namespace betony
