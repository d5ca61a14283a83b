#include "tests/soak/look.h"

#include <fmt/format.h>

#include <vector>

namespace betony::soak {
namespace {

std::string sentence(Caller& call, const betony_pack* pack, std::size_t s) {
  std::string out = fmt::format("{}: {}, called \"{}\", {}:{}", s, call(betony_sentence, pack, s), call(betony_sentence_label, pack, s),
                                call(betony_sentence_file, pack, s), call(betony_sentence_line, pack, s));
  for (std::size_t i = 0, count = call(betony_citations, pack, s); i < count; ++i)
    out += fmt::format(" [{} {}]", call(betony_citation, pack, s, i), call(betony_citation_locus, pack, s, i));
  return out + '\n';
}

// ---------------------------------------------------------------- a pack

std::string about(Caller& call, const betony_pack* pack) {
  return fmt::format("{}\n{}\n{}\n{}\n", call(betony_title, pack), call(betony_edition, pack), call(betony_caution, pack),
                     call(betony_even_so, pack));
}

std::string finding(Caller& call, const betony_pack* pack, std::size_t f) {
  std::string out = fmt::format("{}: {}? in \"{}\"\n", call(betony_finding, pack, f), call(betony_question, pack, f), call(betony_unit, pack, f));
  for (std::size_t v = 0, count = call(betony_values, pack, f); v < count; ++v) out += fmt::format("  {}\n", call(betony_value, pack, f, v));
  return out;
}

// ---------------------------------------------------------------- a person

std::string red_flags(Caller& call, const betony_told* told) {
  std::string out;
  for (std::size_t i = 0, count = call(betony_refers, told); i < count; ++i) out += fmt::format("{}\n", call(betony_refer, told, i));
  return out;
}

std::string practice(Caller& call, const betony_pack* pack, const betony_told* told, std::size_t p) {
  std::string out = fmt::format("{}, care {}; \"{}\"\n", call(betony_verdict_word, call(betony_verdict_of, told, p)), call(betony_with_care, told, p),
                                call(betony_dose, told, p));
  for (std::size_t i = 0, count = call(betony_possible, told, p); i < count; ++i) {
    int care = 7;
    const betony_verdict verdict = call(betony_possible_verdict, told, p, i, i % 2 ? nullptr : &care);
    out += fmt::format("possible {}, care {}\n", call(betony_verdict_word, verdict), care);
  }
  for (std::size_t i = 0, count = call(betony_because, told, p); i < count; ++i)
    out += "because " + sentence(call, pack, call(betony_because_sentence, told, p, i));
  for (std::size_t i = 0, count = call(betony_defeated, told, p); i < count; ++i)
    out += "though " + sentence(call, pack, call(betony_defeated_sentence, told, p, i));
  for (std::size_t i = 0, count = call(betony_cautions, told, p); i < count; ++i)
    out += fmt::format("caution: {}\n", call(betony_caution_text, told, p, i));
  return out;
}

std::string choice(Caller& call, const betony_told* told, std::size_t c) {
  std::string out;
  for (std::size_t i = 0, count = call(betony_fits, told, c); i < count; ++i) out += fmt::format("fits {}\n", call(betony_fit, told, c, i));
  return out;
}

std::string next(Caller& call, betony_told* told) {
  const std::size_t finding = call(betony_next, told);
  const int purpose = call(betony_next_for, told);
  return finding == BETONY_NONE ? fmt::format("nothing, for {}\n", purpose) : fmt::format("finding {}, for {}\n", finding, purpose);
}

std::string change(Caller& call, betony_told* told, std::size_t p) {
  std::string out;
  for (std::size_t i = 0, count = call(betony_change, told, p); i < count; ++i)
    out += fmt::format("finding {} told as {}\n", call(betony_change_finding, told, p, i), call(betony_change_value, told, p, i));
  return out + fmt::format("makes {}\n", call(betony_verdict_word, call(betony_change_verdict, told, p)));
}

}  // namespace

std::size_t parts_of_pack(Caller& call, const betony_pack* pack) {
  return 1 + call(betony_findings, pack) + call(betony_practices, pack) + call(betony_choices, pack);
}

std::string part_of_pack(Caller& call, const betony_pack* pack, std::size_t part) {
  if (part == 0) return about(call, pack);
  --part;
  const std::size_t findings = call(betony_findings, pack), practices = call(betony_practices, pack);
  if (part < findings) return finding(call, pack, part);
  part -= findings;
  return part < practices ? call(betony_practice, pack, part) : call(betony_choice, pack, part - practices);
}

std::size_t plain_parts_of_told(Caller& call, const betony_pack* pack) { return 1 + call(betony_practices, pack) + call(betony_choices, pack); }
std::size_t parts_of_told(Caller& call, const betony_pack* pack) { return plain_parts_of_told(call, pack) + 1 + call(betony_practices, pack); }

std::string part_of_told(Caller& call, const betony_pack* pack, betony_told* told, std::size_t part) {
  const std::size_t practices = call(betony_practices, pack), choices = call(betony_choices, pack);
  if (part == 0) return red_flags(call, told);
  --part;
  if (part < practices) return fmt::format("{}: ", call(betony_practice, pack, part)) + practice(call, pack, told, part);
  part -= practices;
  if (part < choices) return fmt::format("{}: ", call(betony_choice, pack, part)) + choice(call, told, part);
  part -= choices;
  if (part == 0) return "next: " + next(call, told);
  return fmt::format("change of {}: ", call(betony_practice, pack, part - 1)) + change(call, told, part - 1);
}

std::string told_alone(Caller& call, const betony_pack* pack, const betony_weigher* weigher, betony_person* person) {
  std::vector<std::uint32_t> sets(call(betony_practices, pack));
  if (call(betony_verdicts, weigher, person, sets.data()) != BETONY_OK) return "nothing is told alone";
  std::string out;
  for (const std::uint32_t set : sets) out += fmt::format("{:x} ", set);
  return out;
}

}  // namespace betony::soak
