// viz/terminal/weigh_rows.h: the rows of a weighed table as text, CSV or JSON lines.
//
// A RowPlan holds what is the same for all rows: the weighers of blocks, and of CSV the cells that verdicts come to. It is made once and
// shared by threads; each has a RowWeigher of its own. Of a whole person nothing is worked out but codes, and doses where its practices
// have any: the sentences that fire are the bits of a second BlockWeigher, and what they come to is remembered.
//
// CSV       the kept columns, or `row` where there are none; then of each practice P, "P with care", "P dose". RFC 4180, lines end with LF.
// JSON      an object a line: {"betony":1,"row":12,"kept":{name:text}, and what weigh_json gives of that person alone}.
// Cost      CSV of a whole person: some ns a practice, more where it has doses. An open one, and all of JSON: as weigh.h, some 10 µs.
// Tested by tests/unit/terminal_weigh_table_test.cpp
#pragma once

#include <array>
#include <cstring>
#include <functional>
#include <string>
#include <unordered_map>

#include "runtime/blocks.h"
#include "runtime/weigh.h"
#include "viz/terminal/person_batches.h"
#include "viz/terminal/weigh_page.h"

namespace betony::terminal {

// Text that grows at its end, fast.
class RowText {
 public:
  void put(std::string_view text) {
    if (text.empty()) return;
    room(text.size());
    std::memcpy(bytes_.data() + size_, text.data(), text.size());
    size_ += text.size();
  }
  // Of 16 bytes those that count.
  void put16(const char* bytes, std::size_t count) {
    room(16);
    std::memcpy(bytes_.data() + size_, bytes, 16);
    size_ += count;
  }
  void put_number(std::uint64_t number);
  void put_cell(std::string_view text);    // in quotes where it needs them
  std::string_view text() const { return {bytes_.data(), size_}; }
  std::size_t size() const { return size_; }
  void clear() { size_ = 0; }

 private:
  void room(std::size_t more) {
    if (bytes_.size() - size_ < more) bytes_.resize(2 * bytes_.size() + more);
  }
  std::string bytes_;
  std::size_t size_ = 0;
};

struct RowSettings {
  runtime::Index reading = 0;
  std::vector<std::string> kept;
  bool json = false;
  bool stops_at_bad = false;       // passes a bad row on at once
  bool for_terminal = false;       // nothing in it may steer one
  SealTold seal;                   // of the pack, for JSON
};

class RowPlan {
 public:
  // Borrows the pack.
  RowPlan(const runtime::Pack& pack, RowSettings settings);

  // The first line of CSV; of JSON nothing.
  std::string header() const;
  // As it is written: made harmless for a terminal.
  std::string shown(std::string_view text) const;

  struct VerdictCell {
    char text[16];                 // ",advised,yes,": the dose may follow
    std::uint8_t size;
  };
  const runtime::Pack& pack;
  const RowSettings settings;
  std::array<VerdictCell, 16> cells;                  // by code (blocks.h)
  runtime::BlockWeigher verdicts;
  // What else is asked of whole persons: bit 1 of the codes of `asked` is yes where it is so. First whether nobody can be so.
  std::optional<runtime::BlockWeigher> asked;
  std::vector<runtime::Index> asked_of;               // by sentence: its place, or no_index
  std::vector<std::vector<runtime::Index>> doses;     // by practice: its dose sentences that are heard

 private:
  void plan_asked();
};

class RowWeigher {
 public:
  // What came of rows and was not passed on yet.
  struct Out {
    RowText text;
    std::uint64_t weighed = 0;           // rows in the text
    std::vector<runtime::BadRow> bad;
  };

  // `pass` takes what is in out() and clears it; false ends the weighing.
  RowWeigher(const RowPlan& plan, std::function<bool()> pass) : plan_(plan), pass_(std::move(pass)), dose_memory_(plan.doses.size()) {}

  // False where `pass` was.
  bool weigh(Batch& batch);
  Out& out() { return out_; }

 private:
  static constexpr std::size_t most_text = std::size_t{1} << 18, most_remembered = std::size_t{1} << 20;

  bool whole(const runtime::PersonBlock& block, unsigned person);
  bool open(runtime::OpenPerson& person);
  bool bad(runtime::BadRow row);
  bool end_row();

  void begin_csv(std::uint64_t row, const runtime::KeptTexts& kept, std::size_t person);
  void put_dose(runtime::Index practice, unsigned person);
  std::string dose_text(runtime::Index practice, unsigned person) const;
  bool is_asked(runtime::Index place, unsigned person) const;
  void put_told(const runtime::PracticeTold& told);
  void put_json(const runtime::OpenPerson& person, const Weighed& weighed);

  using DoseMemory = std::unordered_map<std::uint64_t, std::string>;    // by the sentences that fire, a bit each

  const RowPlan& plan_;
  const std::function<bool()> pass_;
  runtime::BlockWeigher::Scratch scratch_;
  std::vector<std::uint8_t> codes_;
  std::vector<std::uint64_t> planes_;
  std::vector<DoseMemory> dose_memory_;
  std::size_t remembered_ = 0;
  Out out_;
};

}  // namespace betony::terminal
