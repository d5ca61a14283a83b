// grammar/tidy_words.h: a sentence of the tree as the words of its standard form.
//
//   tidy_parts.cpp      names, numbers, conditions, arithmetic, types, endings
//   tidy_sentences.cpp  the sentence forms
//   tidy_layout.cpp     words -> lines, with the comments among them
//   tidy.cpp            a whole file
//
// Inside the grammar room only; others call `tidy` (grammar.h).
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/tree.h"
#include "grammar/words.h"

namespace betony::tidying {

// A word as it stands on a line, with the marks that touch it. `kept`: on the line of the word before,
// as a unit is with its number. `spoken`: inside a string.
struct Piece {
  std::string text;
  bool kept = false;
  bool spoken = false;
};

// The words of one sentence, in order. A line may be broken between any two of them, but before one
// that is kept; within a line one space stands between two. Commas, stops and closing brackets belong to the word before them,
// opening brackets to the word after.
class Words {
 public:
  void say(std::string_view text);              // one or more words, parted by single spaces
  void say(Word word) { say(spelled(word)); }
  void begin(Word word) { say(capitalized(word)); }  // a sentence
  void glue(std::string_view text);             // to the end of the last word
  void attach(char mark) { pending_ += mark; }  // to the beginning of the next word
  void open() { attach('('); }
  void close() { glue(")"); }
  void number(std::string_view digits);         // one word; nothing in it is broken
  void keep(std::string_view text);             // likewise, on the line of the word before
  void quoted(const std::string& content);      // a string; broken only at single spaces
  const std::vector<Piece>& all() const { return words_; }

 private:
  void word(std::string_view text);
  std::string pending_;
  std::vector<Piece> words_;
};

// In which order a sentence's endings are written: the standard one; or, where a comment stands
// among them, the one they were written in, so that the comment keeps its neighbours.
enum class EndingOrder { standard, as_written };

// The whole sentence, from its capital to its stop.
std::vector<Piece> words_of(const tree::Sentence& sentence, EndingOrder order);

// How far a sentence stands in, and whether it heads those that follow.
unsigned indentation(const tree::Form& form);
bool is_heading(const tree::Form& form);

// ---------------------------------------------------------------- parts (tidy_parts.cpp)

void names(Words& to, const std::vector<tree::Name>& list);                           // a, b, c
void names(Words& to, const std::vector<tree::Name>& list, Word joined);              // a, b, and c
void named(Words& to, const tree::Named& name);                                       // fever (also pyrexia)
void quantity(Words& to, const tree::Quantity& value);
void quantities(Words& to, const std::vector<tree::Quantity>& list, Word joined);
void amount(Words& to, const tree::Quantity& low, const tree::Quantity& high);  // 5 min; 5 to 15 min
void condition(Words& to, const tree::Condition& condition);
void comparison(Words& to, const tree::Atom& atom);  // without its name, and without `is`: over 60; ember or brook
void arithmetic(Words& to, const tree::Arithmetic& formula);
void type(Words& to, const tree::Type& type);
void rate(Words& to, const tree::Rate& rate);
void moment(Words& to, const tree::Moment& moment);
void ending(Words& to, const tree::Ending& ending, EndingOrder order);
void are(Words& to);                                                            // "is", of several
bool same_number(const tree::Quantity& a, const tree::Quantity& b);

// ---------------------------------------------------------------- lines (tidy_layout.cpp)

constexpr unsigned line_width = 88;
constexpr unsigned further_in = 4;  // continuation lines

// A comment inside a sentence, and how many of the sentence's written words stand before it.
struct InnerComment {
  std::string text;
  bool own_line = false;
  std::size_t words_before = 0;
};

// A comment's text without white space at its end.
std::string trimmed(std::string_view comment);

// The comments that stand within one sentence's source text, each with the number of standard words
// (of `standard`) that belong before it. The last ones are left out if they stand after the last word.
std::vector<InnerComment> place_comments(std::string_view written, std::uint32_t offset,
                                         const std::vector<const tree::Comment*>& comments,
                                         const std::vector<Piece>& standard);

// The sentence as one or more lines, without the last line break.
std::string lines_of(const std::vector<Piece>& words, unsigned indent,
                     const std::vector<InnerComment>& comments);

// Columns that a text takes on a terminal: wide letters two, joining marks none.
unsigned columns(std::string_view utf8);

}  // namespace betony::tidying
