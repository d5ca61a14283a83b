// grammar/passage.h: one sentence in the form in which the rules read it.
//
// Folded, every run of white space and comments one space, marks of other scripts made plain, and
// each string replaced by a quote, its number and a quote. Every byte knows where in the file it
// came from, so that what is said about a passage can point at the words as written.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/tree.h"

namespace betony {

class Passage {
 public:
  // `source` is the whole text of file number `file` and must outlive the passage. Cost O(size of body).
  Passage(std::string_view source, std::uint32_t file, Span body);

  const std::string& text() const { return text_; }
  const tree::Text& string(std::size_t number) const { return strings_[number]; }

  // Where a piece of the passage stands in the file; an empty piece is the place before its byte.
  Span span(std::size_t begin, std::size_t end) const;
  Place place(std::size_t begin, std::size_t end) const { return {file_, span(begin, end)}; }
  std::string_view written(std::size_t begin, std::size_t end) const;  // as in the file
  std::string neat(std::size_t begin, std::size_t end) const;          // capitals kept; no comments

  // The sentence with the piece replaced, its white space folded; for showing.
  std::string with(std::size_t begin, std::size_t end, std::string_view replacement) const;
  // The same for a piece of the file within the sentence.
  std::string with(Span piece, std::string_view replacement) const;
  std::string whole() const { return neat(0, text_.size()); }

 private:
  friend struct PassageActions;
  void gap(std::size_t begin, std::size_t end);
  void letters(std::size_t begin, std::size_t end);
  void quotation(std::size_t begin, std::size_t end);
  void one_for_one(std::size_t begin, std::size_t end);
  void stands_for(std::size_t bytes, std::size_t begin, std::size_t end);

  // A run of bytes of text_, up to where the next begins: each stands for one byte of the file, the first for
  // `begin`; or all together for one piece of it.
  struct Run {
    std::uint32_t at, begin, end;  // end: of the piece; 0 where each byte stands for one
    std::uint32_t from(std::size_t byte) const { return end == 0 ? begin + static_cast<std::uint32_t>(byte - at) : begin; }
    std::uint32_t to(std::size_t byte) const { return end == 0 ? from(byte) + 1 : end; }
  };
  std::vector<Run>::const_iterator run_of(std::size_t byte) const;
  std::size_t end_of(std::vector<Run>::const_iterator run) const { return std::next(run) == runs_.end() ? text_.size() : std::next(run)->at; }
  std::size_t first_from(std::uint32_t place) const;  // the first byte of text_ that stands for this place or one behind it

  std::string_view source_;
  std::uint32_t file_;
  Span body_;
  std::string text_;
  std::vector<Run> runs_;
  std::vector<tree::Text> strings_;
};

}  // namespace betony
