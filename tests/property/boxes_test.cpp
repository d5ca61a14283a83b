// Tables of boxes as rapidcheck makes and shrinks them, against a look at every point that shares no code with the compiler.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <iostream>
#include <rapidcheck.h>
#include <set>
#include <sstream>

#include "compiler/cover.h"

using namespace betony;

namespace {

struct Range {
  int low, high;
};
struct PlainRow {
  int colour;
  std::vector<std::vector<Range>> boxes;
};
struct PlainTable {
  std::vector<int> widths;
  std::vector<PlainRow> rows;
};

// Ranges are made for five cells and cut to their column. Numbers keep their whole range however small the table is to be.
rc::Gen<int> up_to(int end) { return rc::gen::resize(rc::kNominalSize, rc::gen::inRange(0, end)); }

rc::Gen<PlainTable> tables() {
  const auto range = rc::gen::map(rc::gen::pair(up_to(5), up_to(5)),
                                  [](const std::pair<int, int>& p) { return Range{std::min(p.first, p.second), std::max(p.first, p.second)}; });
  const auto box = rc::gen::container<std::vector<Range>>(3, range);
  const auto row = rc::gen::construct<PlainRow>(up_to(3), rc::gen::resize(3, rc::gen::container<std::vector<std::vector<Range>>>(box)));
  const auto rows = rc::gen::resize(12, rc::gen::container<std::vector<PlainRow>>(row));
  const auto width = rc::gen::map(up_to(5), [](int i) { return 5 - i; });
  return rc::gen::construct<PlainTable>(rc::gen::container<std::vector<int>>(3, width), rows);
}

struct Looked {
  std::set<std::pair<Index, Index>> overlaps;  // of unlike colours
  std::set<std::vector<Coordinate>> open;
  std::vector<bool> covered;
};

bool holds(const std::vector<Range>& box, const int (&at)[3], const std::vector<int>& widths) {
  for (int c = 0; c < 3; ++c)
    if (at[c] < std::min(box[c].low, widths[c] - 1) || at[c] > std::min(box[c].high, widths[c] - 1)) return false;
  return true;
}

Looked look(const PlainTable& table) {
  Looked looked;
  looked.covered.assign(table.rows.size(), true);
  int at[3];
  for (at[0] = 0; at[0] < table.widths[0]; ++at[0])
    for (at[1] = 0; at[1] < table.widths[1]; ++at[1])
      for (at[2] = 0; at[2] < table.widths[2]; ++at[2]) {
        std::vector<Index> here;
        for (Index r = 0; r < table.rows.size(); ++r)
          for (const auto& box : table.rows[r].boxes)
            if (holds(box, at, table.widths)) {
              here.push_back(r);
              break;
            }
        if (here.empty()) looked.open.insert({static_cast<Coordinate>(at[0]), static_cast<Coordinate>(at[1]), static_cast<Coordinate>(at[2])});
        for (const Index a : here) {
          int alike = 0;
          for (const Index b : here) {
            alike += table.rows[a].colour == table.rows[b].colour;
            if (a < b && table.rows[a].colour != table.rows[b].colour) looked.overlaps.insert({a, b});
          }
          if (alike == 1) looked.covered[a] = false;
        }
      }
  return looked;
}

Boxes as_boxes(const PlainTable& table) {
  Boxes boxes(
      {static_cast<std::uint32_t>(table.widths[0]), static_cast<std::uint32_t>(table.widths[1]), static_cast<std::uint32_t>(table.widths[2])});
  for (const PlainRow& row : table.rows) {
    boxes.begin_row(static_cast<Index>(row.colour));
    for (const auto& box : row.boxes) {
      Coordinate low[3], high[3];
      for (int c = 0; c < 3; ++c) {
        low[c] = static_cast<Coordinate>(std::min(box[c].low, table.widths[c] - 1));
        high[c] = static_cast<Coordinate>(std::min(box[c].high, table.widths[c] - 1));
      }
      boxes.add(low, high);
    }
  }
  return boxes;
}

// What the compiler says otherwise; empty if nothing.
std::string difference(const PlainTable& table) {
  const Looked looked = look(table);
  const Boxes boxes = as_boxes(table);
  Cover cover(boxes);
  const Overlaps overlaps = cover.overlaps(Between::unlike_colours, 1'000);
  if (std::set<std::pair<Index, Index>>(overlaps.rows.begin(), overlaps.rows.end()) != looked.overlaps) return "overlaps";
  if (overlaps.rows.size() != looked.overlaps.size() || overlaps.count != looked.overlaps.size()) return "the count of overlaps";
  if (cover.covered_rows() != looked.covered) return "rows that others cover";
  const Weights weights = Weights::counting(boxes.widths());
  Rational share(static_cast<unsigned long>(looked.open.size()), weights.all());
  share.canonicalize();
  for (const Cover::Method method : {Cover::Method::splitting, Cover::Method::graph}) {
    Cover fresh(boxes);
    const Share found = fresh.uncovered_share(weights, method);
    if (!found.exact || found.low != share || found.high != share) return "the uncovered share";
    std::set<std::vector<Coordinate>> open;
    const Uncovered uncovered = fresh.uncovered_boxes(method);
    for (std::size_t b = 0; b < uncovered.boxes.size(); ++b)
      for (Coordinate x = uncovered.boxes.low(b)[0]; x <= uncovered.boxes.high(b)[0]; ++x)
        for (Coordinate y = uncovered.boxes.low(b)[1]; y <= uncovered.boxes.high(b)[1]; ++y)
          for (Coordinate z = uncovered.boxes.low(b)[2]; z <= uncovered.boxes.high(b)[2]; ++z) open.insert({x, y, z});
    if (open != looked.open) return "uncovered boxes";
    if (uncovered.boxes.size() > looked.open.size()) return "more uncovered boxes than points";
    const auto point = fresh.uncovered_point(method);
    if (point.witness.has_value() == looked.open.empty() || (point.witness && !looked.open.count(*point.witness))) return "an uncovered point";
  }
  return "";
}

std::string print(const PlainTable& table) {
  std::ostringstream out;
  out << "columns of " << table.widths[0] << ", " << table.widths[1] << ", " << table.widths[2] << " cells\n";
  for (const PlainRow& row : table.rows) {
    out << "row of colour " << row.colour << ":";
    for (const auto& box : row.boxes) {
      out << "  [";
      for (const Range& range : box) out << " " << range.low << "-" << range.high;
      out << " ]";
    }
    out << "\n";
  }
  return out.str();
}

}  // namespace

TEST_CASE("of random tables of boxes every method says what looking at every point says") {
  const char* seed = std::getenv("BETONY_PROPERTY_SEED");
  rc::detail::TestParams params;
  params.seed = seed ? std::strtoull(seed, nullptr, 10) : 20260402;
  params.maxSuccess = 3000;
  params.disableShrinking = std::getenv("BETONY_PROPERTY_PLAIN") != nullptr;
  std::size_t rows = 0, overlapping = 0, open = 0;
  const auto result = rc::detail::checkTestable(
      [&] {
        const PlainTable table = *tables();
        const Looked looked = look(table);
        rows += table.rows.size();
        overlapping += !looked.overlaps.empty();
        open += !looked.open.empty();
        if (const std::string what = difference(table); !what.empty()) RC_FAIL(what + " of\n" + print(table));
      },
      rc::detail::TestMetadata{"boxes", "every method agrees with enumeration"}, params);
  std::cout << "random tables of boxes: seed " << params.seed << ", " << rows << " rows; " << overlapping << " tables overlap, " << open
            << " have gaps\n";
  std::ostringstream text;
  rc::detail::printResultMessage(result, text);
  INFO(text.str());
  CHECK(result.is<rc::detail::SuccessResult>());
  CHECK(overlapping > 1'000);
  CHECK(open > 500);
}
