// tests/oracle/source.h: reads source text into the tests' own model, sharing no code with grammar/ or compiler/.
//
// Enough of the language for the example teachings: declarations, conditions, sentences about practices and choices, red
// flags, claims. Of doses, company, time and order only the condition is kept. Questions, notes and sample persons are passed
// over. A source must be sound: what cannot be read ends in `trouble`, with no care for its wording.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "tests/property/model.h"

namespace betony::oracle {

struct Book {
  referee::Model model;
  std::vector<std::string> files;                                // names, the root first
  std::vector<std::vector<referee::Printed::Where>> places;      // by file: where each sentence begins
  std::size_t sentences = 0;                                     // of every kind
  std::string trouble;                                           // empty: all of it was read
};

Book read_book(const std::string& root, const std::function<std::string(const std::string& name)>& text_of);

}  // namespace betony::oracle
