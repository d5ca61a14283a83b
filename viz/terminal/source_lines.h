// viz/terminal/source_lines.h: which lines of a ruleset's files are shown, and what is marked in them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grammar/message.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

// The files of a ruleset, ready for looking up lines. The files are borrowed. Lines are counted when a
// file is first asked for. What is told of a table's sentences is told of the table as given (message.h).
class Sources {
 public:
  explicit Sources(const std::vector<SourceFile>& files);

  std::size_t count() const { return files_.size(); }
  const std::string& name(std::uint32_t file) const;        // as it was given
  const std::string& short_name(std::uint32_t file) const;  // without its folders, where that is clear
  LineColumn at(std::uint32_t file, std::uint32_t offset) const;
  LineColumn begin(const Place& place) const { return at(place.file, place.span.begin); }
  unsigned letters(const Place& place) const;  // length in characters
  std::string words(const Place& place) const; // "saltmarsh.bty, line 41"; of a table "baths.csv, row 41, column C"
  std::string line_words(const Place& place) const;  // "line 41"; "row 41, column C"
  unsigned number(const Place& place) const { return lines(place.file).number(place.span.begin); }  // of its line or row
  std::string_view noun(std::uint32_t file) const { return lines(file).noun(); }  // "line", "row"
  // Whether another sentence stands on the first or the last line of this one.
  bool shares_its_lines(const Place& place) const;
  const LineIndex& lines(std::uint32_t file) const;

 private:
  bool is_in_a_cell(const Place& place) const;

  const std::vector<SourceFile>& files_;
  std::vector<std::string> short_names_;
  mutable std::vector<std::optional<LineIndex>> lines_;
};

// Words to show: whole lines are shown from the first to the last that `place` touches.
struct Shown {
  Place place;
  std::vector<Place> marks;  // what to underline in them
};

// Lines of one file. Each stands once, in order, with the marks of all who show it.
struct Excerpt {
  std::uint32_t file = 0;
  std::vector<SourceLine> lines;
  unsigned left_out = 0;  // lines of very long sentences that are not shown
};

// One excerpt a file, in the order in which the files are first shown. A line of more than some 600
// letters is cut to the neighbourhood of its first mark, with "..." where it was cut; of a sentence of
// more than a dozen lines the first three and those with marks are shown.
std::vector<Excerpt> excerpts(const Sources& sources, const std::vector<Shown>& shown);

}  // namespace betony::terminal
