// runtime/single_way_making.h: the ways of a SingleWeigher, as rows of bits, made from operands. Inside runtime/single*.cpp only.
//
// Tested by  tests/property/single_test.cpp
#pragma once

#include <map>
#include <vector>

#include "runtime/single.h"
#include "runtime/single_ways.h"

namespace betony::runtime {

class SingleWeigher::WayMaker {
 public:
  // What is asked for: all of the parts, which together are the operand; or any of some inputs, if there are such.
  struct Asked {
    Index operand = 0;
    std::vector<Index> parts, any_of;
  };

  explicit WayMaker(SingleWeigher& made);

  Span put_conditions(const std::vector<Asked>& conditions);
  // What makes each verdict of a practice, gravest first, and then what tells to take care.
  WayTable put_table(const std::vector<Asked> (&rungs)[5]);
  // Behind all others the conditions of the sides, which until then are told as operands.
  void put_sides();

 private:
  struct Told {
    Way way;
    Span sides;
    bool is_gap = false;                    // no way at all: the next rung begins with a byte
  };
  using Rungs = std::map<Index, unsigned>;  // of items, by operand

  bool tell(const Asked& asked, const Rungs& rungs, std::vector<Told>& told);
  bool take_room(std::size_t rows);
  bool has_row(const Way& way, Literals* row) const;
  Span put_rows(const Ways& ways);
  void put_inputs(const std::vector<Told>& told, const WayTable& table);
  void put_bits(const std::vector<Told>& told, WayTable& table);
  void put_places(const Literals* way, const WayTable& table);
  void put_more(const std::vector<Told>& told, WayTable& table);
  void put_bytes(WayTable& table);

  static constexpr std::size_t most_literals = std::size_t{1} << 21;  // 128 MiB
  static constexpr std::size_t most_row_words = std::size_t{1} << 24;  // 128 MiB
  SingleWeigher& made_;
  std::size_t taken_ = 0;                   // of most_literals, for rows that are there or will be
  std::uint64_t work_left_ = std::uint64_t{1} << 20;  // and more for a larger program
};

}  // namespace betony::runtime
