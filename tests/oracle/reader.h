// tests/oracle/reader.h: the reader of source text, for source.cpp alone (others ask read_book, source.h). It is written in
// several files:
//
//   source_words.cpp          text cut into sentences and their words
//   source.cpp                the passes over all sentences; what every sentence is taken apart with: words, lists, names
//   source_declarations.cpp   first what there is, by name; then what terms, tallies, leadings, measures and groups mean
//   source_conditions.cpp     conditions, and units
//   source_sentences.cpp      last what is said
//
// A sentence is read from its left to its right, one way only: `take` steps over words that stand next, `sees` looks without
// stepping, `need` ends the sentence as Trouble where they do not stand. Of all trouble the first is kept (Book::trouble).
#pragma once

#include <map>
#include <optional>
#include <set>
#include <utility>

#include "tests/oracle/source.h"

namespace betony::oracle {

using referee::Arithmetic;
using referee::Cond;
using referee::Fraction;
using referee::Model;
using referee::Sentence;
using referee::Spot;

struct Trouble { std::string what; };  // thrown: this sentence cannot be read

struct Token {
  enum class Kind { word, number, clock, string, citation, sign, end };
  Kind kind = Kind::end;
  std::string text;      // words folded to small letters; strings and citations without their marks
  Fraction number;       // number; clock: minutes of the day
  std::size_t begin = 0;
};
struct Said { std::vector<Token> tokens; std::size_t file = 0; };

std::vector<Said> sentences_of(const std::string& text, std::size_t file);
std::string folded(std::string text);  // to small letters
bool is_unit(const std::string& word);

// What a name stands for.
struct Named {
  enum class Of { finding, term, tally, leading, choice, practice, measure, group, school } of;
  int index = 0, item = -1;
};

class Reader {
 public:
  explicit Reader(Book& book) : book_(book), m_(book.model) {}

  void all(const std::vector<Said>& said);

 private:
  void guarded(const Said& s, const std::function<void()>& what);        // source.cpp
  void trouble(const Said& s, const std::string& what);

  const Token& peek(std::size_t ahead = 0) const;
  bool done() const { return at_ >= now_->tokens.size(); }
  static bool plain(const Token& t) { return t.kind == Token::Kind::word || t.kind == Token::Kind::sign; }
  bool sees(const std::vector<const char*>& words, std::size_t ahead = 0) const;
  bool take(const std::vector<const char*>& words);
  void need(const std::vector<const char*>& words);
  Token next();
  Fraction number();
  std::string words_until(const std::set<std::string>& stops);
  std::vector<std::string> list_until(const std::set<std::string>& stops);
  std::vector<std::string> also();

  void name(const std::string& text, Named what) { names_[text] = what; }
  const Named* named(std::size_t* length) const;
  Named take_name(Named::Of of);
  int word_of(const std::vector<std::string>& words);

  void declare();                                                        // source_declarations.cpp
  void alike(const std::string& called, Named what);
  int source(const std::string& word) const;
  void school();
  void finding();
  void choice();
  void define();
  void tally(referee::Tally& t);
  Arithmetic sum();
  Arithmetic product();
  Arithmetic factor();

  bool ends() const;                                                     // source_conditions.cpp
  Cond list_of(Cond::Kind kind, int count);
  std::optional<Cond> last();
  Cond level();
  Cond item();
  Cond atom();
  bool is() { return take({"is"}) || take({"are"}); }
  Cond words(Cond c, const std::vector<std::string>& all);
  Cond verdicts(Cond c);
  Fraction measured(const Cond& c, std::string* unit);
  Cond numbers(Cond c, const std::string& unit);

  void mark(Spot::What what, int index, std::size_t begin);              // source_sentences.cpp
  void put(Sentence s, std::size_t begin);
  void tell();
  void head_of_practices();
  void claim(std::size_t begin);
  void in_line(std::size_t begin);
  void sentence(std::size_t begin);
  void endings(Sentence& s);
  void cite(Sentence& s, const std::string& works);

  Book& book_;
  Model& m_;
  const Said* now_ = nullptr;                                 // the sentence that is read, and how far
  std::size_t at_ = 0;
  std::map<std::string, Named> names_;
  Sentence head_;                                             // whom the next sentences speak of
  std::vector<std::pair<std::size_t, std::string>> despite_;  // a sentence, and the label of what it defies
  int lines_ = 0;                                             // `In` lines so far
};

}  // namespace betony::oracle
