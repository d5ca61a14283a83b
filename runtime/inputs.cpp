#include "runtime/inputs.h"

#include <algorithm>

namespace betony::runtime {
namespace {

using Known = std::vector<std::optional<Number>>;

class Worker {
 public:
  Worker(const Pack& pack, const Answers& answers)
      : pack_(pack), answers_(answers), measures_(pack.measures.size()), tallies_(pack.tallies.size()), reckoned_(pack.measures.size()) {
    work();
  }

  const Known& measures() const { return measures_; }
  std::vector<Truth> inputs() const {
    std::vector<Truth> out;
    out.reserve(pack_.program.inputs);
    for (const Variable& v : pack_.variables) put(v, out);
    return out;
  }

 private:
  void work() {
    for (std::size_t known = 0;;) {
      for (Index m = 0; m < measures_.size(); ++m) {
        if (reckoned_[m] || !is_known(pack_.measures[m])) continue;
        measures_[m] = reckon(pack_.measures[m]);
        reckoned_[m] = true;
      }
      const auto now = static_cast<std::size_t>(std::count_if(measures_.begin(), measures_.end(), [](const auto& m) { return m.has_value(); }));
      if (!asks_for_tallies() || (known != 0 && now + 1 == known)) return;
      known = now + 1;
      count_tallies();
    }
  }

  bool asks_for_tallies() const {
    return std::any_of(pack_.measures.begin(), pack_.measures.end(), [](const Measure& m) {
      return std::any_of(m.formula.begin(), m.formula.end(), [](const Step& step) { return step.kind == Step::Kind::tally; });
    });
  }

  void count_tallies() {
    const Slots slots(pack_.program, inputs());
    for (Index t = 0; t < tallies_.size(); ++t) {
      const auto& items = pack_.tallies[t].items;
      if (std::any_of(items.begin(), items.end(), [&](const Tally::Item& item) { return slots[item.condition] == Truth::open; })) continue;
      Number points;
      for (const Tally::Item& item : items)
        if (slots[item.condition] == Truth::yes) points += item.points;
      tallies_[t] = points;
    }
  }

  // Whether all is there that it asks for. Only then is it reckoned, and once: with long numbers that is dear.
  bool is_known(const Measure& measure) const {
    return std::all_of(measure.formula.begin(), measure.formula.end(), [&](const Step& step) {
      switch (step.kind) {
        case Step::Kind::finding: return answers_[step.index].has_value();
        case Step::Kind::measure: return measures_[step.index].has_value();
        case Step::Kind::tally: return tallies_[step.index].has_value();
        default: return true;
      }
    });
  }

  // Nothing where it divides by 0.
  std::optional<Number> reckon(const Measure& measure) const {
    std::vector<Number> stack;
    for (const Step& step : measure.formula)
      if (!take(step, stack)) return std::nullopt;
    return stack.back();
  }

  // One step; false where it has no answer.
  bool take(const Step& step, std::vector<Number>& stack) const {
    const auto push = [&](const std::optional<Number>& number) {
      if (number) stack.push_back(*number);
      return number.has_value();
    };
    const auto pop = [&] {
      Number top = std::move(stack.back());
      stack.pop_back();
      return top;
    };
    switch (step.kind) {
      case Step::Kind::number: return push(step.number);
      case Step::Kind::finding: return push(answers_[step.index] ? std::optional(answers_[step.index]->number) : std::nullopt);
      case Step::Kind::measure: return push(measures_[step.index]);
      case Step::Kind::tally: return push(tallies_[step.index]);
      case Step::Kind::negate: return push(-pop());
      case Step::Kind::least:
      case Step::Kind::most: {
        Number out = pop();
        for (Index i = 1; i < step.index; ++i) {
          Number other = pop();
          if (step.kind == Step::Kind::least ? other < out : other > out) out = std::move(other);
        }
        return push(std::move(out));
      }
      default: break;
    }
    const Number b = pop(), a = pop();
    switch (step.kind) {
      case Step::Kind::add: return push(a + b);
      case Step::Kind::subtract: return push(a - b);
      case Step::Kind::multiply: return push(a * b);
      default: return push(divided(a, b));
    }
  }

  void put(const Variable& v, std::vector<Truth>& out) const {
    const auto open = [&] { out.insert(out.end(), v.inputs, Truth::open); };
    if (v.is_measure) {
      if (!measures_[v.index]) return open();
      return put_number(v, *measures_[v.index], out);
    }
    const auto& answer = answers_[v.index];
    if (!answer) return open();
    const Finding& finding = pack_.findings[v.index];
    if (answer->kind == Value::Kind::number) return put_number(v, answer->number, out);
    const std::size_t begin = out.size();
    out.insert(out.end(), v.inputs, Truth::no);
    if (answer->kind == Value::Kind::never) out.back() = Truth::yes;
    else if (finding.kind != Finding::Kind::yes_no) out[begin + answer->word] = Truth::yes;
    else if (answer->word == 1) out[begin] = Truth::yes;
  }

  static void put_number(const Variable& v, const Number& number, std::vector<Truth>& out) {
    const auto lies_past = [&](const Variable::End& end) { return number > end.at || (number == end.at && !end.belongs); };
    const auto passed = std::partition_point(v.ends.begin(), v.ends.end(), lies_past) - v.ends.begin();
    for (Index e = 0; e < v.ends.size(); ++e) out.push_back(e < static_cast<Index>(passed) ? Truth::yes : Truth::no);
    if (v.inputs > v.ends.size()) out.push_back(Truth::no);
  }

  const Pack& pack_;
  const Answers& answers_;
  Known measures_, tallies_;
  std::vector<bool> reckoned_;    // of each measure, also of one that has no answer
};

}  // namespace

std::vector<Truth> inputs_of(const Pack& pack, const Answers& answers) { return Worker(pack, answers).inputs(); }
std::vector<std::optional<Number>> measures_of(const Pack& pack, const Answers& answers) { return Worker(pack, answers).measures(); }

}  // namespace betony::runtime
