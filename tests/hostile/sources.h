// tests/hostile/sources.h: sources that no practitioner would write, made to order.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace betony::hostile {

#if defined(__SANITIZE_ADDRESS__)
constexpr bool sanitized = true;
#else
constexpr bool sanitized = false;
#endif
// Sanitizers cost ten times the time and three times the memory: huge sources are made smaller for them.
constexpr std::size_t smaller = sanitized ? 16 : 1;

constexpr std::size_t file_bound = std::size_t{16} << 20;  // Limits::file_bytes
constexpr std::size_t huge = file_bound / smaller;

std::string repeat(std::string_view piece, std::size_t times);
// `begin`, then as many whole pieces as fit, then `end`: at most `bytes` long.
std::string filled(std::string_view begin, std::string_view piece, std::string_view end, std::size_t bytes = huge);
// What `piece` makes of 0, 1, ..., joined.
std::string counted(std::size_t count, const std::function<std::string(std::size_t)>& piece, std::string_view joint = "");

// A title, and findings of every kind: fever, chill, cough, humour, complaints (stiff knees, cold feet),
// age, last meal.
std::string opening();

// Forty sentences, of forty forms, that read without a message.
std::string forty_sentences();

struct Shape {
  std::string name;
  std::function<std::string()> make;
};

std::vector<Shape> huge_of_one_letter();   // nothing but one mark or letter
std::vector<Shape> huge_of_one_piece();    // one string, one name, one list, …
std::vector<Shape> huge_of_sentences();    // sentences without end
std::vector<Shape> unending_marks();       // marks over letters, joined and out of order
std::vector<Shape> many_sentences();       // up to the bounds of sentences and practices
std::vector<Shape> many_rows();            // the same for tables
std::vector<Shape> many_of_a_kind();       // findings, values, names, labels, profiles
std::vector<Shape> deep_chains();          // what leans on what leans on what …
std::vector<Shape> great_numbers();        // digits, powers, points, steps
std::vector<Shape> hard_to_settle();       // small sources that ask much of the checks
std::vector<Shape> hard_measures();        // measures of high powers, long numbers, many over the same findings

}  // namespace betony::hostile
