#include "compiler/boxed.h"

#include <algorithm>

namespace betony {
namespace {

using Ranges = std::vector<std::pair<Coordinate, Coordinate>>;
constexpr std::size_t most_parts = 10'000;  // of one condition: terms within terms within terms

// Ascending, none touching the next.
Ranges tidy(Ranges ranges) {
  std::sort(ranges.begin(), ranges.end());
  Ranges out;
  for (const auto& [low, high] : ranges) {
    if (!out.empty() && low <= out.back().second + 1) out.back().second = std::max(out.back().second, high);
    else out.emplace_back(low, high);
  }
  return out;
}

Ranges opposite_of(const Ranges& ranges, Coordinate width) {
  Ranges out;
  Coordinate next = 0;
  for (const auto& [low, high] : ranges) {
    if (low > next) out.emplace_back(next, low - 1);
    next = high + 1;
  }
  if (next < width) out.emplace_back(next, width - 1);
  return out;
}

Ranges common(const Ranges& a, const Ranges& b) {
  Ranges out;
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
    const Coordinate low = std::max(a[i].first, b[j].first), high = std::min(a[i].second, b[j].second);
    if (low <= high) out.emplace_back(low, high);
    a[i].second < b[j].second ? ++i : ++j;
  }
  return out;
}

}  // namespace

std::vector<std::uint32_t> Boxing::widths() const {
  std::vector<std::uint32_t> widths;
  for (const Variable& variable : universe_.variables) widths.push_back(static_cast<std::uint32_t>(variable.cells.size()));
  return widths;
}

bool Boxing::test(const Test& test, bool opposite, Sum& out) {
  if (test.subject != Test::Subject::finding) return false;
  const Index column = universe_.of_finding[test.index];
  const Variable& variable = universe_.variables[column];
  if (variable.dimensions.size() != 1) return false;
  Ranges cells;
  for (const auto& [first, last] : extents_where(variable.dimensions[0], test)) cells.emplace_back(first, last);
  const auto width = static_cast<Coordinate>(variable.cells.size());
  cells = opposite ? opposite_of(tidy(std::move(cells)), width) : tidy(std::move(cells));
  if (cells.empty()) return true;
  const bool whole = cells.size() == 1 && cells[0].first == 0 && cells[0].second + 1 == width;
  out.push_back(whole ? Product{} : Product{{column, std::move(cells)}});
  return true;
}

// What any of the parts gives. Parts about one and the same finding stay one product.
bool Boxing::joined(const std::vector<Cond>& parts, bool opposite, Sum& out) {
  for (const Cond& part : parts) {
    Sum more;
    if (!sum(part, opposite, more)) return false;
    for (Product& product : more) {
      const auto alike = std::find_if(out.begin(), out.end(), [&](const Product& p) { return p.size() == 1 && product.size() == 1 && p[0].column == product[0].column; });
      if (alike == out.end()) {
        out.push_back(std::move(product));
      } else {
        (*alike)[0].cells.insert((*alike)[0].cells.end(), product[0].cells.begin(), product[0].cells.end());
        (*alike)[0].cells = tidy(std::move((*alike)[0].cells));
      }
    }
    if (out.size() > most_boxes) return false;
  }
  return true;
}

// What all of the parts give together.
bool Boxing::met(const std::vector<Cond>& parts, bool opposite, Sum& out) {
  Sum all{Product{}};
  for (const Cond& part : parts) {
    Sum more, both;
    if (!sum(part, opposite, more)) return false;
    if (all.size() * more.size() > most_boxes * 16) return false;
    for (const Product& a : all)
      for (const Product& b : more) {
        Product product;
        bool empty = false;
        for (std::size_t i = 0, j = 0; i < a.size() || j < b.size();) {
          if (j == b.size() || (i < a.size() && a[i].column < b[j].column)) product.push_back(a[i++]);
          else if (i == a.size() || b[j].column < a[i].column) product.push_back(b[j++]);
          else product.push_back({a[i].column, common(a[i].cells, b[j].cells)}), empty = empty || product.back().cells.empty(), ++i, ++j;
        }
        if (!empty) both.push_back(std::move(product));
      }
    if (both.size() > most_boxes) return false;
    all = std::move(both);
  }
  out.insert(out.end(), std::make_move_iterator(all.begin()), std::make_move_iterator(all.end()));
  return true;
}

bool Boxing::sum(const Cond& condition, bool opposite, Sum& out) {
  if (++visited_ > most_parts) return false;
  switch (condition.kind) {
    case Cond::Kind::always:
      if (!opposite) out.emplace_back();
      return true;
    case Cond::Kind::test: return test(condition.test, opposite, out);
    case Cond::Kind::negation: return sum(condition.parts[0], !opposite, out);
    case Cond::Kind::all: return opposite ? joined(condition.parts, true, out) : met(condition.parts, false, out);
    case Cond::Kind::any: return opposite ? met(condition.parts, true, out) : joined(condition.parts, false, out);
    case Cond::Kind::term: return sum(ruleset_.terms[condition.term].condition, opposite, out);
    case Cond::Kind::at_least: break;
  }
  return false;
}

// A product of ranges is as many boxes as there are ways to take a range of each column.
bool Boxing::put(Boxes& to, const Sum& sum) {
  std::size_t count = 0;
  for (const Product& product : sum) {
    std::size_t boxes = 1;
    for (const Part& part : product)
      if ((boxes *= part.cells.size()) > most_boxes) return false;
    if ((count += boxes) > most_boxes) return false;
  }
  std::vector<Coordinate> low(to.columns()), high(to.columns());
  for (const Product& product : sum) {
    for (std::size_t c = 0; c < to.columns(); ++c) low[c] = 0, high[c] = to.widths()[c] - 1;
    std::vector<std::size_t> at(product.size());
    for (bool more = true; more;) {
      for (std::size_t p = 0; p < product.size(); ++p) std::tie(low[product[p].column], high[product[p].column]) = product[p].cells[at[p]];
      to.add(low, high);
      more = false;
      for (std::size_t p = 0; p < product.size() && !more; ++p) {
        more = ++at[p] < product[p].cells.size();
        if (!more) at[p] = 0;
      }
    }
  }
  return true;
}

bool Boxing::add(Boxes& to, const Cond& when, const Cond* unless) {
  visited_ = 0;
  Sum out;
  if (!unless) return sum(when, false, out) && put(to, out);
  Cond both, not_unless;
  both.kind = Cond::Kind::all, not_unless.kind = Cond::Kind::negation;
  not_unless.parts = {*unless};
  both.parts = {when, std::move(not_unless)};
  return sum(both, false, out) && put(to, out);
}

bool Boxing::add_opposite(Boxes& to, const Cond& condition) {
  visited_ = 0;
  Sum out;
  return sum(condition, true, out) && put(to, out);
}

}  // namespace betony
