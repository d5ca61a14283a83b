#include "compiler/measure_simplex.h"

#include <algorithm>
#include <numeric>

namespace betony::cutting {

Index CutMeasure::extent_of(const Rational& value) const {
  const auto above = std::partition_point(cuts.begin(), cuts.end(), [&](const Cut& cut) {
    return cut.at < value || (cut.at == value && !cut.after);
  });
  return static_cast<Index>(above - cuts.begin());
}

namespace {

using Numbers = std::vector<Rational>;  // of a function at each corner

// The quotient of two functions that are flat on the simplex, by their values at its corners. The divisor is
// nowhere 0, so it is above or below 0 throughout.
struct Flat {
  Numbers over, under;
};

struct Simplex {
  std::vector<std::vector<Rational>> corners;
  Rational share;
};

bool is_level(const Numbers& values) {
  return std::all_of(values.begin(), values.end(), [&](const Rational& value) { return value == values[0]; });
}

Numbers each(const Numbers& a, const Numbers& b, const std::function<Rational(const Rational&, const Rational&)>& of) {
  Numbers result;
  for (std::size_t i = 0; i < a.size(); ++i) result.push_back(of(a[i], b[i]));
  return result;
}
Numbers plus(const Numbers& a, const Numbers& b) { return each(a, b, [](const Rational& x, const Rational& y) { return Rational(x + y); }); }
Numbers times(const Numbers& a, const Numbers& b) { return each(a, b, [](const Rational& x, const Rational& y) { return Rational(x * y); }); }
Numbers minus(Numbers a) {
  for (Rational& x : a) x = -x;
  return a;
}

bool lies_on_two_sides(const Numbers& values) {
  return std::any_of(values.begin(), values.end(), [](const Rational& x) { return x > 0; }) &&
         std::any_of(values.begin(), values.end(), [](const Rational& x) { return x < 0; });
}

// Works out formulas on one simplex. `where` is set if it has to be cut first, along the function's zeros.
class Flattened {
 public:
  explicit Flattened(const Simplex& simplex) : simplex_(simplex) {}
  std::optional<Numbers> where;

  std::optional<Flat> work_out(const Formula& f) {
    std::vector<Flat> parts;
    for (const Formula& part : f.parts) {
      auto flat = work_out(part);
      if (!flat) return std::nullopt;
      parts.push_back(std::move(*flat));
    }
    switch (f.kind) {
      case Formula::Kind::finding: return input(f.index);
      case Formula::Kind::negate: return Flat{minus(std::move(parts[0].over)), std::move(parts[0].under)};
      case Formula::Kind::add: return sum(std::move(parts[0]), std::move(parts[1]));
      case Formula::Kind::subtract: return sum(std::move(parts[0]), {minus(std::move(parts[1].over)), std::move(parts[1].under)});
      case Formula::Kind::multiply: return product(std::move(parts[0]), std::move(parts[1]));
      case Formula::Kind::divide: return product(std::move(parts[0]), {std::move(parts[1].under), std::move(parts[1].over)});
      case Formula::Kind::least: case Formula::Kind::most: return extreme(std::move(parts), f.kind == Formula::Kind::least);
      case Formula::Kind::number: case Formula::Kind::measure: case Formula::Kind::tally: break;
    }
    return Flat{same(f.number), same(1)};
  }

  // By how much the quotient is above a number, but for a factor that is above 0.
  static Numbers above(const Flat& flat, const Rational& number) {
    Numbers result = each(flat.over, flat.under, [&](const Rational& over, const Rational& under) { return Rational(over - number * under); });
    return flat.under[0] < 0 ? minus(std::move(result)) : result;
  }

 private:
  Numbers same(const Rational& number) const { return Numbers(simplex_.corners.size(), number); }

  Flat input(Index index) const {
    Flat flat{{}, same(1)};
    for (const auto& corner : simplex_.corners) flat.over.push_back(corner[index]);
    return flat;
  }

  std::optional<Flat> sum(Flat a, Flat b) const {
    if (a.under == b.under) return Flat{plus(a.over, b.over), std::move(a.under)};
    if (is_level(a.under) && is_level(b.under)) return Flat{plus(times(a.over, b.under), times(b.over, a.under)), times(a.under, b.under)};
    if (is_level(a.over) && is_level(a.under)) std::swap(a, b);
    if (!is_level(b.over) || !is_level(b.under)) return std::nullopt;
    return Flat{plus(times(a.over, b.under), times(b.over, a.under)), times(a.under, b.under)};
  }

  std::optional<Flat> product(Flat a, Flat b) const {
    if (a.under == b.over) return Flat{std::move(a.over), std::move(b.under)};
    if (b.under == a.over) return Flat{std::move(b.over), std::move(a.under)};
    const bool over = is_level(a.over) || is_level(b.over), under = is_level(a.under) || is_level(b.under);
    if (!over || !under) return std::nullopt;
    return Flat{times(a.over, b.over), times(a.under, b.under)};
  }

  std::optional<Flat> extreme(std::vector<Flat> parts, bool least) {
    std::size_t best = 0;
    for (std::size_t i = 1; i < parts.size(); ++i) {
      const auto difference = sum(parts[best], {minus(parts[i].over), parts[i].under});
      if (!difference) return std::nullopt;
      const Numbers more = above(*difference, 0);
      if (lies_on_two_sides(more)) {
        where = more;
        return std::nullopt;
      }
      const bool is_more = std::any_of(more.begin(), more.end(), [](const Rational& x) { return x > 0; });
      const bool is_less = std::any_of(more.begin(), more.end(), [](const Rational& x) { return x < 0; });
      if (least ? is_more : is_less) best = i;
    }
    return std::move(parts[best]);
  }

  const Simplex& simplex_;
};

class Parts {
 public:
  Parts(const Sides& box, const std::vector<const CutMeasure*>& measures, std::size_t& steps_left, const FlatPart& tell)
      : box_(box), measures_(measures), steps_left_(steps_left), tell_(tell) {
    for (std::size_t i = 0; i < box.size(); ++i)
      if (box[i].low != box[i].high) open_.push_back(i);
  }

  bool run() {
    if (open_.size() > most_flat_inputs) return false;
    std::vector<std::size_t> order = open_;
    Rational share = 1;
    for (std::size_t i = 2; i <= open_.size(); ++i) share /= i;
    do {  // from the lowest corner to the highest, an input at a time
      Simplex simplex{{{}}, share};
      for (const Side& side : box_) simplex.corners[0].push_back(side.low);
      for (std::size_t input : order) {
        simplex.corners.push_back(simplex.corners.back());
        simplex.corners.back()[input] = box_[input].high;
      }
      left_.push_back(std::move(simplex));
    } while (std::next_permutation(order.begin(), order.end()));
    while (!left_.empty()) {
      const Simplex simplex = std::move(left_.back());
      left_.pop_back();
      if (!look_at(simplex)) return false;
    }
    return true;
  }

 private:
  bool look_at(const Simplex& simplex) {
    const std::size_t cost = measures_.size() * simplex.corners.size();
    if (steps_left_ < cost) return false;
    steps_left_ -= cost;
    Flattened flattened(simplex);
    std::vector<Flat> values;
    for (const CutMeasure* measure : measures_) {
      auto value = flattened.work_out(measure->formula);
      if (!value && flattened.where) return divide(simplex, *flattened.where);
      if (!value) return false;
      for (const Cut& cut : measure->cuts)
        if (const Numbers above = Flattened::above(*value, cut.at); lies_on_two_sides(above)) return divide(simplex, above);
      values.push_back(std::move(*value));
    }
    tell_faces(simplex, values);
    return true;
  }

  // Cuts where the function is 0 on an edge from above to below.
  bool divide(const Simplex& simplex, const Numbers& values) {
    const auto top = std::max_element(values.begin(), values.end()) - values.begin();
    const auto bottom = std::min_element(values.begin(), values.end()) - values.begin();
    const Rational way = values[top] / (values[top] - values[bottom]);
    std::vector<Rational> point = simplex.corners[top];
    for (std::size_t i : open_) {
      point[i] += way * (simplex.corners[bottom][i] - point[i]);
      if (mpz_sizeinbase(point[i].get_den_mpz_t(), 2) > most_flat_bits) return false;
    }
    Simplex below = simplex, above = simplex;
    below.corners[top] = point, below.share *= 1 - way;
    above.corners[bottom] = point, above.share *= way;
    left_.push_back(std::move(below));
    left_.push_back(std::move(above));
    return true;
  }

  void tell_faces(const Simplex& simplex, const std::vector<Flat>& values) {
    const std::size_t corners = simplex.corners.size(), whole = (std::size_t{1} << corners) - 1;
    for (std::size_t face = whole; face > 0; --face) {
      const auto total = [&](const auto& value) {  // over the face's corners
        Rational sum = 0;
        for (std::size_t c = 0; c < corners; ++c)
          if (face >> c & 1) sum += value(c);
        return sum;
      };
      const unsigned count = static_cast<unsigned>(__builtin_popcountll(face));
      std::vector<Rational> point = simplex.corners[0];
      bool inside = true;
      for (std::size_t i = 0; i < box_.size(); ++i) {
        if (box_[i].low != box_[i].high) point[i] = total([&](std::size_t c) -> const Rational& { return simplex.corners[c][i]; }) / count;
        inside = inside && box_[i].contains(point[i]);
      }
      if (!inside) continue;
      std::vector<Index> extents;
      for (std::size_t m = 0; m < measures_.size(); ++m) {
        const Rational over = total([&](std::size_t c) -> const Rational& { return values[m].over[c]; });
        const Rational under = total([&](std::size_t c) -> const Rational& { return values[m].under[c]; });
        extents.push_back(measures_[m]->extent_of(over / under));
      }
      tell_(extents, face == whole ? simplex.share : Rational(0), point);
    }
  }

  const Sides& box_;
  const std::vector<const CutMeasure*>& measures_;
  std::size_t& steps_left_;
  const FlatPart& tell_;
  std::vector<std::size_t> open_;  // inputs that are not one number
  std::vector<Simplex> left_;
};

}  // namespace

bool flat_parts(const Sides& box, const std::vector<const CutMeasure*>& measures, std::size_t& steps_left, const FlatPart& tell) {
  return Parts(box, measures, steps_left, tell).run();
}

}  // namespace betony::cutting
