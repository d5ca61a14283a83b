// grammar/collect.h: the first pass: which names does the ruleset declare?
//
// Looks at every sentence that declares names, as far as its names and type can be read, and says
// what is wrong with the names themselves. A declaration that cannot be read to its end still
// declares its name, so that one mistake is not told in every sentence that uses the name.
#pragma once

#include <vector>

#include "grammar/book.h"
#include "grammar/grammar.h"
#include "grammar/names.h"
#include "grammar/sentences.h"
#include "grammar/told.h"

namespace betony {

// The sentences that one raw sentence may be in truth, where a stop was forgotten before a line.
std::vector<Span> pieces_of(const RawSentence& sentence, std::string_view text);

// False, with a message, where the names are more than can be kept.
bool collect_names(const std::vector<RawSentence>& sentences, const Book& book, const Limits& limits, Names& names,
                   Told& told);

// What is told where the ruleset holds more than Limits::parts.
Message too_large(Place where);

}  // namespace betony
