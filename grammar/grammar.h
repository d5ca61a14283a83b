// grammar/grammar.h: from source text to a syntax tree, and back to source text.
//
//   a table -> its sentences -> declared names -> ...                              (read, where SourceFile::is_table)
//   text -> sentences -> declared names -> one PEGTL parse a sentence -> tree      (read)
//   tree -> text in its one standard form                                          (tidy)
//
// The front header of this room. May include: the standard library, GMP, PEGTL, ICU. Never
// compiler/, runtime/ or viz/. Other rooms need this header, tree.h and message.h only.
//
//   auto out = betony::read_source({"bath.bty", text}, no_other_files);
//   if (!out) for (const auto& m : out.messages) std::cout << m.message << '\n';
//
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>

#include "grammar/message.h"
#include "grammar/tree.h"

namespace betony {

// Ceilings; each is reached by a test. Past one, a clear message.
struct Limits {
  std::size_t file_bytes = 16u << 20;   // a file; 16 MiB of sentences is many books
  std::size_t files = 1000;             // named by `Use`, together
  std::size_t total_bytes = 64u << 20;  // all files of one ruleset
  unsigned nesting = 200;               // bracket levels, and files named by files; protects the stack of every later walk
  std::size_t sentences = 100000;
  std::size_t sentence_bytes = 256u << 10;  // one sentence; far more than can be read aloud
  std::size_t parts = 6'000'000;        // names, numbers, joining words of all sentences; bounds the tree's memory
  std::size_t practices = 10000;
  std::size_t name_words = 40;          // words in one name
  std::size_t number_digits = 40;       // digits in one number; keeps exact arithmetic small
  std::size_t messages = 200;           // told one by one; past it one message counts the rest
};

// Fetches a file that a `Use` sentence names. `path` is what was written, resolved against the using
// file's folder and already known not to leave the ruleset's folder. Returns nothing if there is none.
using FileReader = std::function<std::optional<std::string>(const std::string& path)>;

// Whether a file's name says that it holds a decision table (LANGUAGE.md, "Tables"): it ends in ".csv".
bool is_table_name(std::string_view name);

// Reads a whole ruleset. A file that is a table is read as the sentences that its rows say, which then are its text. All messages of all files are gathered; a tree is given only when there are none.
// Errors    messages, never an exception (but std::bad_alloc).
// Cost      O(n log n) in the bytes read; brackets cost linear time.
Outcome<Tree> read_source(SourceFile file, const FileReader& others, const Limits& limits = {});

// The file in its one standard form (LANGUAGE.md, "Standard form"): spaces, line breaks, capitals,
// quotes and the order of a sentence's endings; comments keep their places. Only files[file]. The
// result reads to the same tree (apart from places), and tidy of it changes nothing.
std::string tidy(const Tree& tree, std::uint32_t file = 0);

// A condition in its standard form, on one line.
std::string written_words(const tree::Condition& condition);

// Every sentence and its parts, a line each, for tests and for people who want to see how a source
// was understood. Without places, so that two sources that say the same print the same.
std::string print(const Tree& tree);

}  // namespace betony
