// grammar/reading.h: one sentence being read: its state, and the flat tree of parts that grows with it.
//
// PEGTL calls `control` at every rule; rules that are nodes (`node<Part::x, …>`, tokens.h) leave one
// Part each. Parts lie in one vector in the order of their begins, each knowing where its own end; a
// rule that fails takes its parts with it. So growing costs no allocation a part, and going back none.
//
// Inside the grammar room only.
#pragma once

#include <cstdint>
#include <string>
#include <tao/pegtl.hpp>
#include <vector>

#include "grammar/book.h"
#include "grammar/grammar.h"
#include "grammar/names.h"
#include "grammar/passage.h"
#include "grammar/words.h"

namespace betony {

namespace pegtl = tao::pegtl;

enum class Part : unsigned char {
  none,
  // pieces
  name, text, number, unit, ago, locus, joint, comma_mark, and_mark, or_mark,
  // conditions
  level, bracket, negation, atom, any_list, all_list, none_list, at_least_list,
  is_test, is_not, is_one_of, under, over, at_least, at_most, from_to, with_care,
  q_number, q_date, q_clock, q_word, q_never, q_yes, q_no,
  // arithmetic
  sum, product, plus, minus, times, divided, negative, sum_bracket, least, most, amount, number_of,
  // endings
  end_in, end_unless, end_for, end_called, end_text, end_cite, end_despite, citation,
  // declarations
  named, also, type_yes_no, type_one_of, type_grade, type_any_of, type_number, whole, step, or_never, highest, lowest,
  usually, tally_item, each, lead, otherwise_value, rank, edition, rest, item, item_not, always, never,
  trend_change, trend_verb, trend_dose, trend_any, population_finding, population_part, weight,
  // practices
  in_item, verdict, factor, rate, rate_at_most, rate_every, once, twice, length, range, dose_at_most, dose_at_least,
  moment, anchor, before, after, forbidden, by,
  // sentences, one for each opening word: `sentence_of(Word)`
  sentence,
};

struct Node {
  Part part = Part::none;
  Word word = Word::count;     // what was matched, for parts that one of several words makes
  std::uint32_t begin = 0, end = 0;  // in the passage, without a leading space
  std::uint32_t next = 0;            // the number of the node after this one and all below it
};

// What stood above the sentence.
struct Above {
  const Entry* choice = nullptr;  // the last Choice
  bool choice_is_last = false;    // no practice was headed since
};

struct Reading {
  const Passage& passage;
  const Names& names;
  const Book& book;
  const Limits& limits;
  Above above = {};

  bool claim = false;               // practices and their verdicts may stand in conditions
  const Entry* except = nullptr;    // a name that is not seen
  const Entry* subject = nullptr;   // the name that was read last in a condition: its values may follow
  std::size_t subject_end = 0;
  unsigned depth = 0;               // of brackets
  std::vector<Node> nodes = {};

  std::string_view text() const { return passage.text(); }
};

// What a rule that failed for good had waited for.
enum class Wanted : unsigned char {
  ending, word, mark, name, new_name, value, text, number, whole_number, unit, condition, type, answer, amount, dose,
  moment, citation, verdict, year, arithmetic, profile_item, label, trend
};
struct Failure {
  Wanted wanted = Wanted::ending;
  unsigned detail = 0;  // word: the Word; mark: the character; name: the kinds
  std::size_t at = 0;   // in the passage, past a leading space
};

// A message that a rule or the tree's building already has in full.
struct Refusal {
  Message message;
};

template <typename Rule>
inline constexpr Part part_of = Part::none;
template <typename Rule>
  requires(Rule::part != Part::none)
inline constexpr Part part_of<Rule> = Rule::part;

template <typename Rule>
inline constexpr bool is_lookahead = false;
template <typename... Rules>
inline constexpr bool is_lookahead<pegtl::at<Rules...>> = true;

// What a rule says it waited for; the table of the rest is at the end of rules_practice.h.
template <typename Rule>
inline constexpr Wanted wanted_by = Rule::wanted;
template <typename Rule>
inline constexpr unsigned wanted_detail = 0;
template <typename Rule>
  requires(Rule::detail != 0)
inline constexpr unsigned wanted_detail<Rule> = Rule::detail;

template <typename Rule>
struct control : pegtl::normal<Rule> {
  template <typename Input>
  static std::uint32_t offset(const Input& in, const Reading& r) {
    return static_cast<std::uint32_t>(in.current() - r.text().data());
  }

  template <pegtl::apply_mode A, pegtl::rewind_mode M, template <typename...> class Action, template <typename...> class Control, typename Input>
  static bool match(Input& in, Reading& r) {
    const std::size_t mark = r.nodes.size();
    if constexpr (part_of<Rule> != Part::none) {
      const std::uint32_t at = offset(in, r);
      const bool space = at < r.text().size() && r.text()[at] == ' ';
      r.nodes.push_back({part_of<Rule>, Word::count, at + space, 0, 0});
    }
    if (!pegtl::match<Rule, A, M, Action, Control>(in, r)) {
      r.nodes.resize(mark);
      return false;
    }
    if constexpr (is_lookahead<Rule>) r.nodes.resize(mark);
    if constexpr (part_of<Rule> != Part::none) {
      Node& node = r.nodes[mark];
      node.end = offset(in, r);
      node.next = static_cast<std::uint32_t>(r.nodes.size());
      if constexpr (requires { Rule::as_word; }) node.word = Rule::as_word;
    }
    return true;
  }

  template <typename Input>
  [[noreturn]] static void raise(const Input& in, Reading& r) {
    std::size_t at = offset(in, r);
    if (at < r.text().size() && r.text()[at] == ' ') ++at;
    throw Failure{wanted_by<Rule>, wanted_detail<Rule>, at};
  }
};

// Reads the whole passage, or its beginning, by `Rule`. False where the rule did not match.
// Throws Failure, Refusal.
template <typename Rule>
bool grow(Reading& r) {
  const auto text = r.text();
  pegtl::memory_input<pegtl::tracking_mode::lazy> in(text.data(), text.data() + text.size(), "");
  return pegtl::parse<Rule, pegtl::nothing, control>(in, r);
}

}  // namespace betony
