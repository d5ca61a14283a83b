// grammar/text.h: letters, words and their folding; nothing here knows the language.
//
// All texts are UTF-8. Functions that take a position expect valid UTF-8 (`first_invalid` says whether
// it is) and never read past the end.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace betony::letters {

// Byte offset of the first byte that is no part of well-formed UTF-8.
std::optional<std::size_t> first_invalid(std::string_view text);

struct Letter {
  char32_t code = 0;
  std::size_t bytes = 0;  // 0 at the end of the text
};
Letter letter_at(std::string_view text, std::size_t at);
std::u32string letters_of(std::string_view text);

bool is_white(char32_t code);         // spaces of every kind and line breaks
bool is_bidi_control(char32_t code);  // marks that reorder what is seen
bool is_letter(char32_t code);
bool is_in_word(char32_t code);       // letters, their marks, digits, joiners
bool links_words(char32_t code);      // hyphen, apostrophe and their kin, between letters of one word
bool is_comma(char32_t code);         // , and its forms in other scripts
bool is_stop(char32_t code);          // stops that end a sentence wherever they stand

// The end of the word that begins at `at`; `at` itself if none does. A word may end in an apostrophe
// ("the dyers' bench").
std::size_t word_end(std::string_view text, std::size_t at);

// What `code` is read as where the language has a mark of its own for it: curly apostrophe, hyphens,
// commas, brackets, times and division signs. Other characters are themselves.
char32_t plain(char32_t code);

std::string nfc(std::string_view text);
// NFC, then case folding, then NFC, with marks made plain: two names are the same if their folds are.
std::string fold(std::string_view text);
// One space for every run of white space, none at the ends; NFC; marks made plain; capitals kept.
std::string neat(std::string_view text);

// Appends the fold of the shortest piece from `at` that can be folded by itself, and returns its bytes.
std::size_t append_folded(std::string& out, std::string_view text, std::size_t at, bool fold_case = true);

// How many letters must be added, dropped, changed or swapped to make one of the other; more than
// `limit` is told as `limit + 1`. Cost O(length * limit).
unsigned distance(std::u32string_view a, std::u32string_view b, unsigned limit);

}  // namespace betony::letters
