// runtime/cutter.h: where the rows and cells of CSV end. Inside runtime/persons_csv.cpp only.
//
// Three tools, from careful to quick. RowFinder finds the end of a row in bytes that come in pieces. cut_row cuts a whole row into
// cells and undoes quotes. A Sieve takes a row in strides of 64 bytes, finds its cells, and tells of each whether it says "yes" or
// "no"; what it does not like it leaves to the others, so they alone say what is right. It likes quotes that stand around whole cells
// and hold no separator, quote or line break, as programs write them that quote every cell.
//
// Cost      RowFinder, cut_row: some ns a byte with quotes, less without. Sieve: about 0.2 ns a byte, with quotes as much again
//           (processors with AVX2 and a quick PEXT); else about 2, and no quotes.
// Tested by tests/unit/persons_table_test.cpp, persons_chance_test.cpp
#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace betony::runtime {

// ---------------------------------------------------------------- rows

class RowFinder {
 public:
  // A row ends at a line break outside quotes; quotes open only where a cell begins, behind one of the separators.
  RowFinder(std::string_view separators, std::size_t most_bytes) : most_bytes_(most_bytes) {
    for (const char c : separators) separates_[static_cast<unsigned char>(c)] = true;
  }

  struct Found {
    std::size_t used = 0;     // bytes that belong to the row at hand, with its line break
    bool ended = false;       // and it ends there; the next call begins a new one
  };
  Found find(std::string_view bytes);
  // Of the row at hand, or of the one that ended just now. One that is too long ends at the next line break, wherever it stands.
  bool too_long() const { return too_long_; }
  bool begun() const { return !ended_ && length_ > 0; }
  bool in_quotes() const { return state_ == State::quoted; }

 private:
  enum class State : std::uint8_t { start, plain, quoted, closed, skipping };
  Found find_plain(std::string_view bytes);
  Found end(std::size_t used);
  bool separates(char c) const { return separates_[static_cast<unsigned char>(c)]; }
  State after(char c) const;

  std::array<bool, 256> separates_{};
  std::size_t most_bytes_;
  State state_ = State::start;
  std::size_t length_ = 0;    // of the row at hand
  bool ended_ = false, too_long_ = false;
};

// ---------------------------------------------------------------- cells

struct Cut {
  std::vector<std::string_view> cells;   // pieces of the row or of `undone`
  std::deque<std::string> undone;        // quotes that stood for one
  std::size_t fault_cell = 0;
  std::string fault;                     // in words, of that cell; empty where there is none
};

// Cuts a row, its line break left out (LF or CR LF), into at most so many cells and one more. `cut` is used again and again.
void cut_row(std::string_view row, char separator, std::size_t most_cells, Cut& cut);

// ---------------------------------------------------------------- the sieve

class Sieve {
 public:
  static constexpr std::size_t most_bytes = 1 << 15;   // of a row
  static constexpr std::size_t margin = 72;            // bytes behind a row's line break that are looked at, and make no difference

  // Where it may not be wide, it goes cell by cell, as it does on processors that cannot go by strides.
  Sieve(char separator, std::size_t most_cells, bool may_be_wide = true);

  // Whether a row was taken from `text`, of which so many bytes can be read. The text is borrowed until the next.
  bool take(const char* text, std::size_t readable);

  std::string_view row() const { return row_; }            // as it was given, without its line feed
  std::size_t used() const { return row_.size() + 1; }     // bytes of it with its line feed
  std::size_t cells() const { return cells_; }
  // By cell, 64 to a word: it is "yes", in any capitals; it is "yes" or "no". Cells with anything else, white space even, are not told.
  const std::vector<std::uint64_t>& yes() const { return yes_; }
  const std::vector<std::uint64_t>& told() const { return told_; }
  // Cells are asked for in ascending order.
  std::string_view cell(std::size_t index);

 private:
  // Of what text_ points at.
  enum class Taken { no, yes, has_quotes };
  Taken take_plain(std::size_t readable);
  Taken take_wide(std::size_t readable);
  // Makes `bare_` the row without its quotes; gives the bytes of the row with its line feed, 0 where it does not like them.
  std::size_t take_quotes_off(const char* text, std::size_t readable);
  void end_row(std::size_t size);

  const char separator_;
  const std::size_t most_cells_;
  const bool wide_;
  std::string_view row_;
  const char* text_ = nullptr;                  // where the cells lie: in the row, or in bare_
  std::size_t size_ = 0, cells_ = 0, at_ = 0;   // at_: the stride in which the last cell was found
  std::vector<std::uint64_t> yes_, told_;
  std::vector<std::uint64_t> starts_;           // by byte of the row, 64 to a word: a cell begins here
  std::vector<std::uint32_t> before_;           // by stride: cells that begin before it
  std::vector<char> bare_;                      // once there were quotes
};

}  // namespace betony::runtime
