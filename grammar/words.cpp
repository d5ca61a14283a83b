#include "grammar/words.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <string>

#include "grammar/text.h"

namespace betony {
namespace {

struct Row {
  Word word;
  std::array<std::string_view, 3> english;  // empty past the last spelling
};

// One row a word, in the order of the enumeration (`table_is_in_order` below).
constexpr std::array table{
    Row{Word::ruleset, {"ruleset"}},
    Row{Word::use, {"use"}},
    Row{Word::source, {"source"}},
    Row{Word::school, {"school"}},
    Row{Word::applies_to, {"applies to"}},
    Row{Word::finding, {"finding"}},
    Row{Word::ask, {"ask"}},
    Row{Word::note, {"note"}},
    Row{Word::measure, {"measure"}},
    Row{Word::tally, {"tally"}},
    Row{Word::leading, {"leading"}},
    Row{Word::choice, {"choice"}},
    Row{Word::term, {"term"}},
    Row{Word::impossible, {"it cannot be that"}},
    Row{Word::refer, {"refer"}},
    Row{Word::group, {"group"}},
    Row{Word::prevail, {"contraindications prevail"}},
    Row{Word::unit, {"unit"}},
    Row{Word::profile, {"profile"}},
    Row{Word::expect, {"expect"}},
    Row{Word::population, {"population"}},
    Row{Word::claim, {"claim"}},
    Row{Word::practice, {"practice"}},
    Row{Word::practices, {"practices"}},
    Row{Word::every_practice, {"every practice"}},
    Row{Word::in_condition, {"in", "when"}},
    Row{Word::indicated, {"indicated"}},
    Row{Word::allowed_in, {"allowed"}},
    Row{Word::discouraged_in, {"discouraged"}},
    Row{Word::contraindicated, {"contraindicated"}},
    Row{Word::caution, {"caution"}},
    Row{Word::dose, {"dose"}},
    Row{Word::follows, {"follows"}},
    Row{Word::precedes, {"precedes"}},
    Row{Word::needs, {"needs"}},
    Row{Word::leads_to, {"leads to"}},
    Row{Word::never_with, {"never with"}},
    Row{Word::apart_from, {"apart from"}},
    Row{Word::time, {"time"}},
    Row{Word::takes, {"takes"}},
    Row{Word::uses, {"uses"}},
    Row{Word::take, {"take"}},
    Row{Word::refuse, {"refuse"}},
    Row{Word::otherwise, {"otherwise"}},

    Row{Word::edition, {"edition"}},
    Row{Word::is, {"is", "are"}},
    Row{Word::ranked, {"ranked"}},
    Row{Word::holds, {"holds", "hold"}},
    Row{Word::also, {"also"}},
    Row{Word::usually, {"usually"}},
    Row{Word::yes_or_no, {"yes or no"}},
    Row{Word::one_of, {"one of"}},
    Row{Word::a_grade_of, {"a grade of"}},
    Row{Word::any_of, {"any of"}},
    Row{Word::a_whole_number, {"a whole number"}},
    Row{Word::a_number, {"a number"}},
    Row{Word::of, {"of"}},
    Row{Word::ago, {"ago"}},
    Row{Word::from, {"from"}},
    Row{Word::to, {"to"}},
    Row{Word::in_steps_of, {"in steps of"}},
    Row{Word::or_never, {"or never"}},
    Row{Word::least_of, {"least of", "the least of"}},
    Row{Word::most_of, {"most of", "the most of"}},
    Row{Word::counts, {"counts"}},
    Row{Word::each_of, {"each of"}},
    Row{Word::as, {"as"}},
    Row{Word::the_most_of, {"the most of"}},
    Row{Word::by_at_least, {"by at least"}},
    Row{Word::else_word, {"else"}},
    Row{Word::highest_prevails, {"the highest prevails"}},
    Row{Word::lowest_prevails, {"the lowest prevails"}},
    Row{Word::means, {"means"}},
    Row{Word::the_rest_as_usual, {"the rest as usual"}},

    Row{Word::and_word, {"and"}},
    Row{Word::or_word, {"or"}},
    Row{Word::not_word, {"not"}},
    Row{Word::under, {"under"}},
    Row{Word::over, {"over"}},
    Row{Word::at_least, {"at least"}},
    Row{Word::at_most, {"at most"}},
    Row{Word::all_of, {"all of"}},
    Row{Word::none_of, {"none of"}},
    Row{Word::never, {"never"}},
    Row{Word::always, {"always"}},
    Row{Word::with_care, {"with care"}},

    Row{Word::in, {"in", "when"}},
    Row{Word::unless, {"unless"}},
    Row{Word::for_word, {"for"}},
    Row{Word::called, {"called"}},
    Row{Word::despite, {"despite"}},

    Row{Word::half, {"half"}},
    Row{Word::third, {"a third"}},
    Row{Word::quarter, {"a quarter"}},
    Row{Word::twice_as_much, {"double"}},
    Row{Word::once, {"once"}},
    Row{Word::twice, {"twice"}},
    Row{Word::times, {"times"}},
    Row{Word::a, {"a", "an"}},
    Row{Word::every, {"every"}},
    Row{Word::by, {"by"}},
    Row{Word::before, {"before"}},
    Row{Word::after, {"after"}},
    Row{Word::sunrise, {"sunrise"}},
    Row{Word::sunset, {"sunset"}},
    Row{Word::dawn, {"dawn"}},
    Row{Word::dusk, {"dusk"}},
    Row{Word::noon, {"noon"}},
    Row{Word::midnight, {"midnight"}},
    Row{Word::waking, {"waking"}},
    Row{Word::sleep, {"sleep"}},

    Row{Word::outside, {"outside"}},
    Row{Word::referred, {"referred"}},
    Row{Word::withheld, {"withheld"}},
    Row{Word::discouraged, {"discouraged"}},
    Row{Word::advised, {"advised"}},
    Row{Word::allowed, {"allowed"}},
    Row{Word::silent, {"silent"}},
    Row{Word::unanswered, {"unanswered"}},

    Row{Word::yes, {"yes"}},
    Row{Word::no, {"no"}},

    Row{Word::more, {"more"}},
    Row{Word::less, {"less"}},
    Row{Word::adding, {"adding"}},
    Row{Word::raises, {"raises"}},
    Row{Word::lowers, {"lowers"}},
    Row{Word::lengthens, {"lengthens"}},
    Row{Word::shortens, {"shortens"}},
    Row{Word::the_dose_of, {"the dose of"}},
    Row{Word::any_practice, {"any practice"}},

    Row{Word::january, {"january"}},
    Row{Word::february, {"february"}},
    Row{Word::march, {"march"}},
    Row{Word::april, {"april"}},
    Row{Word::may, {"may"}},
    Row{Word::june, {"june"}},
    Row{Word::july, {"july"}},
    Row{Word::august, {"august"}},
    Row{Word::september, {"september"}},
    Row{Word::october, {"october"}},
    Row{Word::november, {"november"}},
    Row{Word::december, {"december"}},

    Row{Word::date, {"date"}},
    Row{Word::time_of_day, {"time of day"}},
};

constexpr bool table_is_in_order() {
  if (table.size() != static_cast<std::size_t>(Word::count)) return false;
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (table[i].word != static_cast<Word>(i)) return false;
  }
  return true;
}
static_assert(table_is_in_order());

constexpr std::size_t spelling_count(std::size_t row) {
  std::size_t count = 0;
  while (count < table[row].english.size() && !table[row].english[count].empty()) ++count;
  return count;
}
constexpr std::array<unsigned char, table.size()> count_spellings() {
  std::array<unsigned char, table.size()> counts{};
  for (std::size_t row = 0; row < table.size(); ++row) counts[row] = static_cast<unsigned char>(spelling_count(row));
  return counts;
}
constexpr auto spelling_counts = count_spellings();

// For each letter the opening words that begin with it, a bit each.
constexpr auto first = static_cast<std::size_t>(first_opening), last = static_cast<std::size_t>(last_opening);
static_assert(last - first < 64);
constexpr std::array<std::uint64_t, 128> openings_by_letter() {
  std::array<std::uint64_t, 128> openings{};
  for (std::size_t row = first; row <= last; ++row)
    for (std::size_t i = 0; i < spelling_count(row); ++i)
      openings[static_cast<unsigned char>(table[row].english[i][0])] |= std::uint64_t{1} << (row - first);
  return openings;
}
constexpr auto openings_of_letter = openings_by_letter();

// Words with which a name may not begin.
constexpr std::array cannot_begin{
    Word::not_word, Word::no,       Word::every, Word::for_word, Word::despite, Word::called, Word::unless,
    Word::in,       Word::is,       Word::and_word, Word::or_word, Word::under, Word::over,   Word::from,
};
constexpr std::array<std::string_view, 8> cannot_begin_besides{"none", "any",    "all",    "at",
                                                               "one",  "either", "both",   "exactly"};

constexpr std::array follow_a_number{
    Word::and_word, Word::or_word, Word::in,      Word::unless,    Word::for_word, Word::called, Word::despite,
    Word::ago,      Word::to,      Word::as,      Word::by,        Word::before,   Word::after,  Word::times,
    Word::a,        Word::once,    Word::twice,   Word::else_word, Word::never,    Word::from,   Word::is,
    Word::under,    Word::over,    Word::usually, Word::of,        Word::not_word, Word::every,
};
constexpr std::array<std::string_view, 3> follow_a_number_besides{"at", "with", "the"};

constexpr std::array end_a_name{
    Word::and_word, Word::or_word, Word::is,      Word::under,  Word::over,    Word::at_least, Word::at_most,
    Word::from,     Word::in,      Word::unless,  Word::called, Word::despite, Word::as,       Word::usually,
    Word::by,       Word::else_word, Word::counts, Word::means, Word::holds,
};

constexpr std::array go_on{Word::in,       Word::unless,  Word::for_word, Word::called,
                           Word::despite,  Word::and_word, Word::or_word, Word::with_care};

struct Otherwise {
  std::string_view said;
  Word meant;
};
constexpr std::array comparisons_said_otherwise{
    Otherwise{"above", Word::over},
    Otherwise{"more than", Word::over},
    Otherwise{"greater than", Word::over},
    Otherwise{"higher than", Word::over},
    Otherwise{"larger than", Word::over},
    Otherwise{"longer than", Word::over},
    Otherwise{"older than", Word::over},
    Otherwise{"below", Word::under},
    Otherwise{"less than", Word::under},
    Otherwise{"fewer than", Word::under},
    Otherwise{"lower than", Word::under},
    Otherwise{"smaller than", Word::under},
    Otherwise{"shorter than", Word::under},
    Otherwise{"younger than", Word::under},
    Otherwise{"no more than", Word::at_most},
    Otherwise{"not more than", Word::at_most},
    Otherwise{"up to", Word::at_most},
    Otherwise{"no less than", Word::at_least},
    Otherwise{"not less than", Word::at_least},
    Otherwise{"equal to", Word::is},
    Otherwise{"equals", Word::is},
    Otherwise{"exactly", Word::is},
    Otherwise{"between", Word::from},
};

constexpr std::array<std::string_view, 9> for_in{"if",       "with", "during", "while", "where",
                                                 "whenever", "at",   "by",     "on"};
constexpr std::array joints_said_otherwise{Otherwise{"but", Word::and_word}, Otherwise{"plus", Word::and_word},
                                           Otherwise{"nor", Word::or_word}};
constexpr std::array ors_said_otherwise{
    Otherwise{"more", Word::at_least},   Otherwise{"over", Word::at_least},   Otherwise{"above", Word::at_least},
    Otherwise{"older", Word::at_least},  Otherwise{"higher", Word::at_least}, Otherwise{"greater", Word::at_least},
    Otherwise{"less", Word::at_most},    Otherwise{"under", Word::at_most},   Otherwise{"below", Word::at_most},
    Otherwise{"younger", Word::at_most}, Otherwise{"lower", Word::at_most},   Otherwise{"fewer", Word::at_most},
};
struct Period {
  std::string_view said, unit;
};
constexpr std::array periods{Period{"hourly", "h"}, Period{"daily", "day"}, Period{"weekly", "wk"},
                             Period{"monthly", "mo"}};
constexpr std::array<std::string_view, 21> small_numbers{
    "none",     "one",     "two",     "three",     "four",     "five",     "six",
    "seven",    "eight",   "nine",    "ten",       "eleven",   "twelve",   "thirteen",
    "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"};
constexpr std::array<std::string_view, 8> tens{"twenty", "thirty",  "forty",  "fifty",
                                               "sixty",  "seventy", "eighty", "ninety"};

// Codes that UCUM writes in square brackets, and the everyday name of each.
struct Bracketed {
  std::string_view code, everyday;
};
constexpr std::array bracketed_units{
    Bracketed{"[degf]", "degF"},  Bracketed{"[lb_av]", "lb"},
    Bracketed{"[oz_av]", "oz"},   Bracketed{"[stone_av]", "stone"},
    Bracketed{"[gr]", "grains"},  Bracketed{"[in_i]", "inch"},
    Bracketed{"[ft_i]", "ft"},    Bracketed{"[yd_i]", "yards"},
    Bracketed{"[mi_i]", "miles"}, Bracketed{"[kn_i]", "knots"},
    Bracketed{"[cup_m]", "cup"},  Bracketed{"[tsp_m]", "tsp"},
    Bracketed{"[tbs_m]", "tbsp"}, Bracketed{"[drp]", "drops"},
    Bracketed{"[psi]", "psi"},    Bracketed{"[met]", "METs"},
    Bracketed{"[cal]", ""},       Bracketed{"[iu]", ""},
    Bracketed{"[ph]", ""},        Bracketed{"[ppm]", ""},
    Bracketed{"[cup_us]", ""},    Bracketed{"[tsp_us]", ""},
    Bracketed{"[tbs_us]", ""},    Bracketed{"[foz_us]", ""},
    Bracketed{"[pt_us]", ""},     Bracketed{"[pt_br]", ""},
    Bracketed{"[degr]", ""},
};

template <std::size_t N>
bool is_one_of(std::string_view text, const std::array<Word, N>& words) {
  return std::any_of(words.begin(), words.end(), [&](Word word) {
    const auto all = spellings(word);
    return std::find(all.begin(), all.end(), text) != all.end();
  });
}

template <std::size_t N>
bool is_one_of(std::string_view text, const std::array<std::string_view, N>& words) {
  return std::find(words.begin(), words.end(), text) != words.end();
}

}  // namespace

std::span<const std::string_view> spellings(Word word) {
  const auto at = static_cast<std::size_t>(word);
  return {table[at].english.data(), spelling_counts[at]};
}

std::string_view spelled(Word word) { return table[static_cast<std::size_t>(word)].english[0]; }

std::string capitalized(Word word) {
  std::string out(spelled(word));
  if (out[0] >= 'a' && out[0] <= 'z') out[0] = static_cast<char>(out[0] - ('a' - 'A'));
  return out;
}

std::size_t word_at(std::string_view text, std::size_t at, Word word) {
  if (at >= text.size()) return 0;
  std::size_t longest = 0;
  for (const auto spelling : spellings(word)) {
    if (spelling[0] != text[at] || spelling.size() <= longest || text.substr(at, spelling.size()) != spelling) continue;
    const std::size_t last_begin = at + spelling.rfind(' ') + 1;  // npos + 1 is 0
    if (letters::word_end(text, last_begin) == at + spelling.size()) longest = spelling.size();
  }
  return longest;
}

std::optional<Word> opening_of(std::string_view sentence) {
  std::optional<Word> found;
  std::size_t longest = 0;
  const auto letter = sentence.empty() ? 0u : static_cast<unsigned char>(sentence[0]);
  for (std::uint64_t left = letter < openings_of_letter.size() ? openings_of_letter[letter] : 0; left != 0; left &= left - 1) {
    const auto word = static_cast<Word>(first + static_cast<std::size_t>(std::countr_zero(left)));
    const std::size_t bytes = word_at(sentence, 0, word);
    if (bytes > longest) {
      longest = bytes;
      found = word;
    }
  }
  return found;
}

bool begins_like_a_sentence(std::string_view text) {
  if (text.empty() || text[0] < 'A' || text[0] > 'Z') return false;
  std::string folded;
  for (const char c : text.substr(0, 64)) folded.push_back(c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c);
  return opening_of(folded).has_value();
}

bool cannot_begin_a_name(std::string_view folded_word) {
  return is_one_of(folded_word, cannot_begin) || is_one_of(folded_word, cannot_begin_besides);
}

bool may_follow_a_number(std::string_view folded_word) {
  return is_one_of(folded_word, follow_a_number) || is_one_of(folded_word, follow_a_number_besides);
}

bool ends_an_unknown_name(std::string_view text, std::size_t at) {
  if (const std::size_t bytes = word_at(text, at, Word::for_word)) return text.substr(at + bytes, 2) == " \"";
  return std::any_of(end_a_name.begin(), end_a_name.end(), [&](Word word) { return word_at(text, at, word) != 0; });
}

bool goes_on_after_speech(std::string_view text) {
  return std::any_of(go_on.begin(), go_on.end(), [&](Word word) { return word_at(text, 0, word) != 0; });
}

std::optional<SaidOtherwise> comparison_meant(std::string_view text, std::size_t at) {
  for (const auto& [said, meant] : comparisons_said_otherwise) {
    if (text.substr(at, said.size()) != said || letters::word_end(text, at + said.rfind(' ') + 1) != at + said.size())
      continue;
    return SaidOtherwise{meant, said.size()};
  }
  return std::nullopt;
}

namespace {

template <std::size_t N>
std::optional<Word> meant_by(std::string_view word, const std::array<Otherwise, N>& table) {
  const auto found = std::find_if(table.begin(), table.end(), [&](const Otherwise& row) { return row.said == word; });
  return found == table.end() ? std::nullopt : std::optional(found->meant);
}

}  // namespace

bool said_for_in(std::string_view word) { return is_one_of(word, for_in); }
std::optional<Word> joint_meant(std::string_view word) { return meant_by(word, joints_said_otherwise); }
std::optional<Word> or_more_meant(std::string_view word) { return meant_by(word, ors_said_otherwise); }

std::optional<std::string_view> period_meant(std::string_view word) {
  for (const auto& [said, unit] : periods) {
    if (said == word) return unit;
  }
  return std::nullopt;
}

std::optional<std::string> number_said(std::string_view word) {
  for (std::size_t i = 1; i < small_numbers.size(); ++i) {
    if (small_numbers[i] == word) return std::to_string(i);
  }
  for (std::size_t i = 0; i < tens.size(); ++i) {
    if (tens[i] == word) return std::to_string(10 * (i + 2));
  }
  return std::nullopt;
}

std::optional<std::string_view> unit_without_brackets(std::string_view code) {
  const std::string folded = letters::fold(code);
  for (const auto& unit : bracketed_units) {
    if (unit.code == folded) return unit.everyday;
  }
  return std::nullopt;
}

std::optional<tree::Verdict> verdict_of(Word word) {
  if (word < Word::outside || word > Word::unanswered) return std::nullopt;
  return static_cast<tree::Verdict>(static_cast<unsigned>(word) - static_cast<unsigned>(Word::outside));
}

Word word_of(tree::Verdict verdict) {
  return static_cast<Word>(static_cast<unsigned>(Word::outside) + static_cast<unsigned>(verdict));
}

}  // namespace betony
