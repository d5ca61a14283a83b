// grammar/files.h: fetches the files of a ruleset and parts them into sentences, in reading order.
#pragma once

#include <vector>

#include "grammar/book.h"
#include "grammar/grammar.h"
#include "grammar/sentences.h"
#include "grammar/told.h"

namespace betony {

struct Gathered {
  std::vector<RawSentence> sentences;  // a used file's sentences stand after the Use sentence
  std::vector<tree::Comment> comments;
};

Gathered gather(SourceFile first, const FileReader& others, const Limits& limits, Book& book, Told& told);

// Where `used` leads from a file in `folder` ("" or "a/b/"), both seen from the ruleset's folder; nothing
// if it leaves that folder.
std::optional<std::string> path_within(const std::string& folder, const std::string& used);

}  // namespace betony
