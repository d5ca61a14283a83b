#include "tests/property/universe.h"

#include <set>

namespace betony::referee {

namespace {

// ---------------------------------------------------------------- thresholds

class Thresholds {
 public:
  Thresholds(const Model& model, int finding) : finding_(finding) {
    for (const Term& t : model.terms)
      if (!t.gone) look(t.means);
    for (const Tally& t : model.tallies)
      if (!t.gone)
        for (const TallyItem& item : t.items) look(item.counted);
    for (const Fact& f : model.backgrounds)
      if (!f.gone) look(f.cond);
    for (const Fact& f : model.applies)
      if (!f.gone) look(f.cond);
    for (const Claim& c : model.claims)
      if (!c.gone) look(c.what), look(c.when);
    for (const Sentence& s : model.sentences) {
      if (s.gone) continue;
      look(s.when);
      if (s.unless) look(*s.unless);
    }
    for (const Sample& s : model.samples)
      if (!s.gone)
        for (const Answer& a : s.answers)
          if (a.subject.finding == finding && a.number) found.insert(*a.number);
    if (model.findings[finding].usual_number) found.insert(*model.findings[finding].usual_number);
  }
  std::set<Fraction> found;

 private:
  void look(const std::vector<Cond>& list) {
    for (const Cond& c : list) look(c);
  }
  void look(const Cond& c) {
    if (c.of == Cond::Of::finding && c.index == finding_) found.insert(c.numerals.begin(), c.numerals.end());
    look(c.parts);
  }
  int finding_;
};

// ---------------------------------------------------------------- cells

Cell point(const Fraction& number, const Fraction& weight) {
  Cell cell;
  cell.low = cell.high = cell.number = number;
  cell.weight = weight;
  return cell;
}

std::vector<Cell> stepped(const Finding& f) {
  std::vector<Cell> cells;
  const Fraction steps = (f.high - f.low) / f.step;
  for (Fraction n = f.low; n <= f.high; n += f.step) cells.push_back(point(n, 1 / (steps + 1)));
  return cells;
}

std::vector<Cell> unstepped(const Finding& f, const std::set<Fraction>& thresholds) {
  std::set<Fraction> cuts = {f.low, f.high};
  for (const Fraction& t : thresholds)
    if (t > f.low && t < f.high) cuts.insert(t);
  std::vector<Cell> cells;
  for (const Fraction& cut : cuts) {
    if (!cells.empty()) {
      Cell gap;
      gap.gap = true;
      gap.low = cells.back().low;
      gap.high = cut;
      gap.number = (gap.low + gap.high) / 2;
      gap.weight = (gap.high - gap.low) / (f.high - f.low);
      cells.push_back(gap);
    }
    cells.push_back(point(cut, 0));
  }
  return cells;
}

std::vector<Cell> runs(int count, const std::set<Fraction>& thresholds) {
  std::set<int> starts = {0};
  for (const Fraction& t : thresholds) {
    const int n = static_cast<int>(t.get_num().get_si());
    starts.insert(n);
    if (n + 1 < count) starts.insert(n + 1);
  }
  std::vector<Cell> cells;
  for (auto at = starts.begin(); at != starts.end(); ++at) {
    const int next = std::next(at) == starts.end() ? count : *std::next(at);
    Cell cell = point(*at, Fraction(next - *at) / count);
    cell.high = next - 1;
    cells.push_back(cell);
  }
  return cells;
}

std::vector<Cell> words(std::size_t count) {
  std::vector<Cell> cells(count);
  for (std::size_t w = 0; w < count; ++w) {
    cells[w].word = static_cast<int>(w);
    cells[w].weight = Fraction(1) / static_cast<unsigned long>(count);
  }
  return cells;
}

std::vector<Cell> number_cells(const Model& model, int index) {
  const Finding& f = model.findings[index];
  std::vector<Cell> cells = f.step != 0 ? stepped(f) : unstepped(f, Thresholds(model, index).found);
  if (!f.or_never) return cells;
  for (Cell& cell : cells) cell.weight /= 2;
  cells.emplace_back();
  cells.back().never = true;
  cells.back().weight = Fraction(1) / 2;
  return cells;
}

std::vector<Variable> variables_of(const Model& model) {
  std::vector<Variable> list;
  for (int i = 0; i < static_cast<int>(model.findings.size()); ++i) {
    const Finding& f = model.findings[i];
    if (f.gone) continue;
    switch (f.kind) {
      case Finding::Kind::yes_no: list.push_back({{i, -1}, false, words(2)}); break;
      case Finding::Kind::any_of:
        for (int item = 0; item < static_cast<int>(f.words.size()); ++item) list.push_back({{i, item}, false, words(2)});
        break;
      case Finding::Kind::one_of:
      case Finding::Kind::grade: list.push_back({{i, -1}, false, words(f.words.size())}); break;
      case Finding::Kind::number: list.push_back({{i, -1}, true, number_cells(model, i)}); break;
      case Finding::Kind::date: list.push_back({{i, -1}, true, runs(366, Thresholds(model, i).found)}); break;
      case Finding::Kind::time_of_day: list.push_back({{i, -1}, true, runs(1440, Thresholds(model, i).found)}); break;
    }
  }
  return list;
}

}  // namespace

double universe_size(const Model& model) {
  double size = 1;
  for (const Variable& v : variables_of(model)) size *= static_cast<double>(v.cells.size());
  return size;
}

int cell_of(const Variable& variable, const Answer& answer) {
  for (std::size_t c = 0; c < variable.cells.size(); ++c) {
    const Cell& cell = variable.cells[c];
    bool same = false;
    if (!variable.is_number) same = cell.word == answer.word && !answer.number && !answer.never;
    else if (answer.never || cell.never) same = answer.never && cell.never;
    else if (cell.gap) same = *answer.number > cell.low && *answer.number < cell.high;
    else same = *answer.number >= cell.low && *answer.number <= cell.high;
    if (same) return static_cast<int>(c);
  }
  return -1;
}

Universe::Universe(const Model& model) : variables_(variables_of(model)) {
  for (const Variable& v : variables_) {
    strides_.push_back(size_);
    size_ *= v.cells.size();
  }
  weights_.assign(size_, Fraction(1));
  for (std::size_t p = 0; p < size_; ++p)
    for (std::size_t v = 0; v < variables_.size(); ++v) weights_[p] *= cell(p, static_cast<int>(v)).weight;
}

int Universe::variable(int finding, int item) const {
  for (std::size_t v = 0; v < variables_.size(); ++v)
    if (variables_[v].subject == Subject{finding, item}) return static_cast<int>(v);
  return -1;
}

std::size_t Universe::profile(const std::vector<int>& cells) const {
  std::size_t profile = 0;
  for (std::size_t v = 0; v < cells.size(); ++v) profile += cells[v] * strides_[v];
  return profile;
}

Fraction Universe::weight(const Region& region) const {
  Fraction sum = 0;
  for (std::size_t p = 0; p < size_; ++p)
    if (region[p]) sum += weights_[p];
  return sum;
}

std::vector<int> Universe::depends(const Region& function) const {
  std::vector<int> found;
  for (int v = 0; v < static_cast<int>(variables_.size()); ++v)
    for (std::size_t p = 0; p < size_; ++p)
      if (function[p] != function[with(p, v, 0)]) {
        found.push_back(v);
        break;
      }
  return found;
}

std::string Universe::words(const Model& model, std::size_t profile) const {
  std::string text;
  for (std::size_t v = 0; v < variables_.size(); ++v) {
    const Cell& c = cell(profile, static_cast<int>(v));
    const Subject& s = variables_[v].subject;
    const Finding& f = model.findings[s.finding];
    text += (text.empty() ? "" : ", ") + (s.item >= 0 ? f.words[s.item] : f.name) + ' ';
    if (c.never) text += "never";
    else if (variables_[v].is_number) text += c.number.get_str();
    else if (f.kind == Finding::Kind::yes_no || s.item >= 0) text += c.word ? "yes" : "no";
    else text += f.words[c.word];
  }
  return text;
}

}  // namespace betony::referee
