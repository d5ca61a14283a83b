// grammar/sentences.h: one file's text, parted into sentences and comments.
//
// A sentence ends with a stop before white space, the end of the file or `--`, outside strings and
// square brackets; after a string that itself ends in . ! or ? the stop may be left out. Line breaks
// and indentation mean nothing; but an unclosed string or bracket ends at the next empty line.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "grammar/message.h"
#include "grammar/tree.h"

namespace betony {

struct RawSentence {
  std::uint32_t file = 0;
  Span whole;                         // from its first letter to the end of its stop
  Span body;                          // without its stop
  bool stopped = true;                // false: the file ended before the sentence did
  bool broken = false;                // a string or bracket in it is not closed; that has been told
  std::vector<std::uint32_t> starts;  // lines within it that begin like a sentence of their own
};

struct SplitText {
  std::vector<RawSentence> sentences;
  std::vector<tree::Comment> comments;
  std::vector<Message> messages;
};

// `text` must be valid UTF-8. At most `most` sentences are kept. Cost O(size).
SplitText split_sentences(std::string_view text, std::uint32_t file, std::size_t most);

}  // namespace betony
