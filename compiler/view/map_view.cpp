#include "compiler/view/map_view.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "compiler/region.h"
#include "compiler/verdict_graph.h"

namespace betony::view {
namespace {

using Node = Graph::Node;
using Part = MapView::Part;
using Field = MapView::Field;
using Box = MapView::Box;
using tree::Verdict;

bool near_equal(double a, double b) { return std::abs(a - b) < 1e-9; }
bool alike(const std::vector<Part>& a, const std::vector<Part>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const Part& x, const Part& y) {
    return x.verdict == y.verdict && x.with_care == y.with_care && near_equal(x.share, y.share);
  });
}
bool same_sentences(const std::vector<Part>& a, const std::vector<Part>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const Part& x, const Part& y) { return x.sentences == y.sentences; });
}

// Who gets a verdict, and of these for whom each sentence makes it.
struct Verdicts {
  struct One {
    VerdictCode code;
    Node who;
    std::vector<std::pair<Index, Node>> makers;
  };
  std::vector<One> all;                   // gravest first
};

class Makers {
 public:
  explicit Makers(PracticeSpace& here) : here_(here), graph_(here.space.graph()), voices_(voices(here.space, here.practice, here.reading)) {}

  // `verdict`: the practice's whole graph (verdict_graph).
  Verdicts verdicts(Node verdict, Node among) {
    std::vector<std::int64_t> codes;
    for (const Node n : graph_.reachable(verdict))
      if (graph_.is_leaf(n)) codes.push_back(graph_.number(n));
    std::sort(codes.begin(), codes.end());
    Verdicts out;
    for (const std::int64_t code : codes) {
      const Node who = graph_.both(graph_.where(verdict, [&](std::int64_t n) { return n == code; }), among);
      if (who == Graph::no) continue;
      out.all.push_back({VerdictCode::of(code), who, {}});
      for (const auto& [sentence, speaks] : of(VerdictCode::of(code))) out.all.back().makers.emplace_back(sentence, graph_.both(speaks, who));
    }
    return out;
  }

 private:
  std::vector<std::pair<Index, Node>> of(VerdictCode code) {
    std::vector<std::pair<Index, Node>> out;
    const auto add = [&](const std::vector<Voices::Voice>& voices) {
      for (const Voices::Voice& voice : voices) out.emplace_back(voice.sentence, voice.fires);
    };
    if (code.with_care) {
      add(voices_.cautions);
    } else if (code.verdict == Verdict::referred) {
      for (const Index flag : here_.scope.red_flags) {
        if (!in_reading(here_.ruleset, here_.ruleset.sentences[flag], here_.reading)) continue;
        const Form form = here_.meaning.fires(flag, here_.reading);
        if (here_.space.reaches(form)) out.emplace_back(flag, here_.space.of(form));
      }
    } else if (code.verdict == Verdict::withheld) {
      add(voices_.contraindicated);
    } else if (code.verdict == Verdict::discouraged) {
      add(voices_.discouraged);
    } else if (code.verdict == Verdict::advised) {
      add(voices_.indicated);
    } else if (code.verdict == Verdict::allowed) {
      add(voices_.allowed);
    }
    if (voices_.otherwise && voices_.otherwise_code.number() == code.number()) {
      const Node spoken = graph_.any({voices_.any_contraindicated, voices_.any_discouraged, voices_.any_indicated, voices_.any_allowed});
      out.emplace_back(*voices_.otherwise, graph_.negation(spoken));
    }
    std::sort(out.begin(), out.end());
    return out;
  }

  PracticeSpace& here_;
  Graph& graph_;
  const Voices voices_;
};

// The same of those who are in one part of an axis.
Verdicts seen_at(PracticeSpace& here, const Axis& axis, std::size_t part, const Verdicts& verdicts) {
  Verdicts out;
  for (const Verdicts::One& one : verdicts.all) {
    const Node who = view::seen_at(here, axis, part, one.who);
    if (who == Graph::no) continue;
    out.all.push_back({one.code, who, {}});
    for (const auto& [sentence, speaks] : one.makers)
      if (const Node there = view::seen_at(here, axis, part, speaks); there != Graph::no) out.all.back().makers.emplace_back(sentence, there);
  }
  return out;
}

Field field_of(PracticeSpace& here, const Verdicts& verdicts) {
  Field out;
  double total = 0;
  for (const Verdicts::One& one : verdicts.all) {
    Part part{one.code.verdict, one.code.with_care, here.share(one.who), {}};
    total += part.share;
    // Where there is one verdict, who speaks for everybody there makes it, if somebody does.
    const auto for_all = [&](const auto& maker) { return verdicts.all.size() == 1 && maker.second == one.who; };
    const bool some_for_all = std::any_of(one.makers.begin(), one.makers.end(), for_all);
    for (const auto& maker : one.makers)
      if (!some_for_all || for_all(maker)) part.sentences.push_back(maker.first);
    out.parts.push_back(std::move(part));
  }
  for (Part& part : out.parts) part.share = total > 0 ? part.share / total : 1.0 / static_cast<double>(out.parts.size());
  return out;
}

// ---------------------------------------------------------------- regions

// Fields of one verdict are shared out among the sentences that make it, to those first that make most of them; one of several verdicts
// belongs to all that make them.
class Owners {
 public:
  explicit Owners(const std::vector<Field>& fields) : owner_(fields.size()) {
    std::map<std::pair<Verdict, bool>, std::vector<std::size_t>> plain;
    for (std::size_t f = 0; f < fields.size(); ++f) {
      if (fields[f].parts.size() == 1)
        plain[{fields[f].parts[0].verdict, fields[f].parts[0].with_care}].push_back(f);
      else
        for (const Part& part : fields[f].parts) owner_[f].insert(owner_[f].end(), part.sentences.begin(), part.sentences.end());
    }
    for (auto& [verdict, open] : plain) share_out(fields, open);
  }
  const std::vector<Index>& of(std::size_t field) const { return owner_[field]; }

 private:
  void share_out(const std::vector<Field>& fields, std::vector<std::size_t> open) {
    while (!open.empty()) {
      std::map<Index, std::size_t> made;
      for (const std::size_t f : open)
        for (const Index s : fields[f].parts[0].sentences) ++made[s];
      if (made.empty()) return;
      const Index most = std::max_element(made.begin(), made.end(), [](const auto& a, const auto& b) { return a.second < b.second; })->first;
      std::erase_if(open, [&](std::size_t f) {
        const auto& sentences = fields[f].parts[0].sentences;
        if (std::find(sentences.begin(), sentences.end(), most) == sentences.end()) return false;
        owner_[f] = {most};
        return true;
      });
    }
  }
  std::vector<std::vector<Index>> owner_;
};

class Regions {
 public:
  explicit Regions(MapView& map) : map_(map), columns_(map.across.parts.size()), rows_(map.up.parts.size()), owners_(map.fields) {}

  void find() {
    std::vector<bool> seen(map_.fields.size());
    for (std::size_t row = rows_; row-- > 0;)
      for (std::size_t column = 0; column < columns_; ++column)
        if (!seen[row * columns_ + column]) one(row * columns_ + column, seen);
  }

 private:
  void one(std::size_t first, std::vector<bool>& seen) {
    std::vector<std::size_t> held{first};
    seen[first] = true;
    for (std::size_t i = 0; i < held.size(); ++i) {
      const std::size_t row = held[i] / columns_, column = held[i] % columns_;
      const auto go = [&](bool is_there, std::size_t to) {
        if (!is_there || seen[to] || !alike(map_.fields[to].parts, map_.fields[first].parts) || owners_.of(to) != owners_.of(first)) return;
        seen[to] = true;
        held.push_back(to);
      };
      go(row > 0, held[i] - columns_), go(row + 1 < rows_, held[i] + columns_);
      go(column > 0, held[i] - 1), go(column + 1 < columns_, held[i] + 1);
    }
    MapView::Region region;
    region.parts = map_.fields[first].parts;
    for (const std::size_t f : held) {
      map_.fields[f].region = static_cast<Index>(map_.regions.size());
      region.share += map_.fields[f].share;
    }
    for (std::size_t p = 0; p < region.parts.size(); ++p) {
      std::set<Index> sentences;
      if (region.parts.size() == 1)
        sentences.insert(owners_.of(first).begin(), owners_.of(first).end());
      else
        for (const std::size_t f : held) sentences.insert(map_.fields[f].parts[p].sentences.begin(), map_.fields[f].parts[p].sentences.end());
      region.parts[p].sentences.assign(sentences.begin(), sentences.end());
    }
    take_apart(held, region);
    map_.regions.push_back(std::move(region));
  }

  // The largest box, and again of what is left.
  void take_apart(const std::vector<std::size_t>& held, MapView::Region& region) const {
    std::vector<bool> open(map_.fields.size());
    for (const std::size_t f : held) open[f] = true;
    for (std::size_t left = held.size(); left > 0;) {
      const Box box = largest(open);
      for (std::size_t row = box.low; row <= box.high; ++row)
        for (std::size_t column = box.left; column <= box.right; ++column) open[row * columns_ + column] = false;
      left -= box.fields();
      region.boxes.push_back(box);
    }
  }

  // The box of most fields: for every row as the foot, how high each column stands on it.
  Box largest(const std::vector<bool>& open) const {
    Box best;
    std::size_t most = 0;
    std::vector<std::size_t> height(columns_);
    for (std::size_t row = 0; row < rows_; ++row) {
      for (std::size_t c = 0; c < columns_; ++c) height[c] = open[row * columns_ + c] ? height[c] + 1 : 0;
      for (std::size_t left = 0; left < columns_; ++left) {
        std::size_t low = height[left];
        for (std::size_t right = left; right < columns_ && (low = std::min(low, height[right])) > 0; ++right)
          if (low * (right - left + 1) > most) most = low * (right - left + 1), best = {left, right, row + 1 - low, row};
      }
    }
    return best;
  }

  MapView& map_;
  const std::size_t columns_, rows_;
  const Owners owners_;
};

std::string condition_of(const Ruleset& ruleset, const MapView& map, const Box& box) {
  std::string out;
  const auto add = [&](const Axis& axis, std::size_t first, std::size_t last) {
    if (first == 0 && last + 1 == axis.parts.size()) return;
    out += (out.empty() ? "" : " and ") + extents_words(ruleset, axis.dimension, axis.extents(first, last), true);
  };
  add(map.across, box.left, box.right);
  add(map.up, box.low, box.high);
  return out.empty() ? "everybody" : out;
}

class Maker {
 public:
  Maker(const Ruleset& ruleset, Index practice, Reading reading, const Budget& budget)
      : here_(ruleset, practice, reading, budget) {
    map_.practice = ruleset.practices[practice].name;
    if (reading.school != no_index) map_.school = ruleset.schools[reading.school].name;
    map_.shares_known = !here_.space.has_undecided_measure();
  }

  MapView take(AxisName across, AxisName up, const Profile* held) {
    if (across == up) throw NothingToDraw("a map is of two different findings");
    map_.across = drawn_axis(here_, across), map_.up = drawn_axis(here_, up);
    const Node verdict = verdict_graph(here_.space, here_.practice, here_.reading);
    LookedAt seen = looked_at(here_, held, {across, up}, {verdict});
    const Node among = seen.who;
    map_.held = std::move(seen.held), map_.open = std::move(seen.open), map_.leaves_out = seen.leaves_out;
    fields(verdict, among);
    join_alike();
    find_limits(here_, map_.across, among, false);
    find_limits(here_, map_.up, among, false);
    Regions(map_).find();
    for (MapView::Region& region : map_.regions)
      for (const Box& box : region.boxes) region.conditions.push_back(condition_of(here_.ruleset, map_, box));
    return std::move(map_);
  }

 private:
  void fields(Node verdict, Node among) {
    Graph& graph = here_.space.graph();
    const std::size_t columns = map_.across.parts.size(), rows = map_.up.parts.size();
    const Verdicts everywhere = Makers(here_).verdicts(verdict, among);
    const double all = here_.share(among);
    map_.fields.resize(columns * rows);
    for (std::size_t c = 0; c < columns; ++c) {
      const Verdicts in_column = seen_at(here_, map_.across, c, everywhere);
      const Node column = graph.both(among, in_part(here_, map_.across, c));
      for (std::size_t r = 0; r < rows; ++r) {
        Field& field = map_.fields[r * columns + c] = field_of(here_, seen_at(here_, map_.up, r, in_column));
        if (all > 0) field.share = here_.share(graph.both(column, in_part(here_, map_.up, r))) / all;
      }
    }
  }

  // Rows and columns that nothing tells from the one before.
  void join_alike() {
    const auto same = [](const Field& a, const Field& b) { return alike(a.parts, b.parts) && same_sentences(a.parts, b.parts); };
    std::vector<bool> columns, rows;
    for (std::size_t c = 1; c < map_.across.parts.size(); ++c) {
      columns.push_back(map_.across.is_numbers(c));
      for (std::size_t r = 0; r < map_.up.parts.size(); ++r) columns.back() = columns.back() && same(map_.at(c - 1, r), map_.at(c, r));
    }
    for (std::size_t r = 1; r < map_.up.parts.size(); ++r) {
      rows.push_back(map_.up.is_numbers(r));
      for (std::size_t c = 0; c < map_.across.parts.size(); ++c) rows.back() = rows.back() && same(map_.at(c, r - 1), map_.at(c, r));
    }
    const auto place = [](const std::vector<bool>& joined, std::size_t i) {
      return i - static_cast<std::size_t>(std::count(joined.begin(), joined.begin() + static_cast<std::ptrdiff_t>(i), true));
    };
    const std::size_t width = place(columns, columns.size()) + 1, height = place(rows, rows.size()) + 1;
    std::vector<Field> kept(width * height);
    for (std::size_t r = 0; r < map_.up.parts.size(); ++r)
      for (std::size_t c = 0; c < map_.across.parts.size(); ++c) {
        Field& to = kept[place(rows, r) * width + place(columns, c)];
        const double share = to.share + map_.at(c, r).share;
        if ((c == 0 || !columns[c - 1]) && (r == 0 || !rows[r - 1])) to = map_.at(c, r);
        to.share = share;
      }
    map_.across.join(columns);
    map_.up.join(rows);
    map_.fields = std::move(kept);
  }

  PracticeSpace here_;
  MapView map_;
};

}  // namespace

MapView map_view(const Ruleset& ruleset, Index practice, Reading reading, AxisName across, AxisName up, const Profile* held, const Budget& budget) {
  return Maker(ruleset, practice, reading, budget).take(across, up, held);
}

}  // namespace betony::view
