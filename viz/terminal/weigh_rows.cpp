#include "viz/terminal/weigh_rows.h"

#include <charconv>
#include <nlohmann/json.hpp>

#include "viz/terminal/letters.h"
#include "viz/terminal/weigh_page.h"

namespace betony::terminal {

using namespace runtime;
using runtime::no_index, runtime::Practice, runtime::Sentence;    // not the compiler's

namespace {

constexpr unsigned code_of_care = 8;
constexpr const char* impossible = "nobody is as is told here: a fact of the ruleset stands against it";

Verdict verdict_of(unsigned code) { return static_cast<Verdict>(code % code_of_care); }

const char* care_word(Verdict verdict, bool with_care) { return !may_be_done(verdict) ? "" : with_care ? "yes" : "no"; }

}  // namespace

// ---------------------------------------------------------------- text

void RowText::put_number(std::uint64_t number) {
  char digits[20];
  const auto end = std::to_chars(digits, digits + sizeof digits, number).ptr;
  put({digits, static_cast<std::size_t>(end - digits)});
}

void RowText::put_cell(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == text.npos) return put(text);
  put("\"");
  for (std::size_t at; (at = text.find('"')) != text.npos; text.remove_prefix(at + 1)) put(text.substr(0, at + 1)), put("\"");
  put(text);
  put("\"");
}

// ---------------------------------------------------------------- the plan

RowPlan::RowPlan(const Pack& of, RowSettings with) : pack(of), settings(std::move(with)), cells{}, verdicts(of, settings.reading) {
  for (unsigned code = 0; code < cells.size(); ++code) {
    if (code % code_of_care >= verdict_count) continue;
    const Verdict verdict = verdict_of(code);
    const std::string text = std::string(",") + verdict_word(verdict) + "," + care_word(verdict, code >= code_of_care) + ",";
    cells[code].size = static_cast<std::uint8_t>(text.copy(cells[code].text, sizeof cells[code].text));
  }
  plan_asked();
}

// A reading is made up in which every sentence that is asked for is a practice, withheld where it fires.
void RowPlan::plan_asked() {
  const Reading& reading = pack.readings[settings.reading];
  Pack made_up;
  Reading& asking = made_up.readings.emplace_back();
  const auto ask = [&](Index operand) {
    asking.practices.push_back({operand});
    asking.practices.back().otherwise = Verdict::outside;
    return static_cast<Index>(asking.practices.size() - 1);
  };
  ask(pack.background ^ 1u);
  asked_of.assign(pack.sentences.size(), no_index);
  for (const Practice& practice : pack.practices) {
    std::vector<Index>& heard = doses.emplace_back();
    for (const Index s : practice.sentences) {
      if (pack.sentences[s].kind != Sentence::Kind::dose || reading.fires[s] == 0) continue;
      heard.push_back(s);
      if (asked_of[s] == no_index) asked_of[s] = ask(reading.fires[s]);
    }
  }
  if (asking.practices.size() == 1 && pack.background == 1) return;
  made_up.program = pack.program;
  asked.emplace(made_up);
}

std::string RowPlan::header() const {
  if (settings.json) return {};
  RowText out;
  if (settings.kept.empty()) out.put("row");
  for (std::size_t k = 0; k < settings.kept.size(); ++k) out.put(k == 0 ? "" : ","), out.put_cell(shown(settings.kept[k]));
  for (const Practice& practice : pack.practices)
    for (const char* what : {"", " with care", " dose"}) out.put(","), out.put_cell(shown(practice.name + what));
  out.put("\n");
  return std::string(out.text());
}

std::string RowPlan::shown(std::string_view text) const { return settings.for_terminal ? harmless(text) : std::string(text); }

// ---------------------------------------------------------------- rows

bool RowWeigher::weigh(Batch& batch) {
  if (batch.block) {
    const Block& bits = batch.block->bits;
    codes_.resize(plan_.verdicts.practices() * block_persons);
    plan_.verdicts.weigh(bits, scratch_, codes_.data());
    if (plan_.asked) {
      planes_.resize(plan_.asked->practices() * 4 * block_words);
      plan_.asked->weigh_planes(bits, scratch_, planes_.data());
    }
  }
  return for_each_row(
      batch, [&](unsigned person) { return whole(*batch.block, person); }, [&](OpenPerson& person) { return open(person); },
      [&](BadRow& row) { return bad(std::move(row)); });
}

bool RowWeigher::bad(BadRow row) {
  out_.bad.push_back(std::move(row));
  return !plan_.settings.stops_at_bad || pass_();
}

bool RowWeigher::end_row() {
  out_.text.put("\n");
  ++out_.weighed;
  return out_.text.size() < most_text || pass_();
}

void RowWeigher::begin_csv(std::uint64_t row, const KeptTexts& kept, std::size_t person) {
  if (kept.columns == 0) out_.text.put_number(row);
  for (std::size_t k = 0; k < kept.columns; ++k) {
    if (k > 0) out_.text.put(",");
    if (plan_.settings.for_terminal) out_.text.put_cell(harmless(kept.text(person, k)));
    else out_.text.put_cell(kept.text(person, k));
  }
}

// ---------------------------------------------------------------- whole persons

bool RowWeigher::whole(const PersonBlock& block, unsigned person) {
  if (plan_.asked && is_asked(0, person)) return bad({block.rows[person], {}, impossible});
  begin_csv(block.rows[person], block.kept, person);
  const std::uint8_t* code = codes_.data() + person;
  for (Index p = 0; p < plan_.doses.size(); ++p, code += block_persons) {
    const RowPlan::VerdictCell& cell = plan_.cells[*code];
    out_.text.put16(cell.text, cell.size);
    if (!plan_.doses[p].empty() && may_be_done(verdict_of(*code))) put_dose(p, person);
  }
  return end_row();
}

bool RowWeigher::is_asked(Index place, unsigned person) const {
  return planes_[(std::size_t{place} * 4 + 1) * block_words + person / 64] >> (person % 64) & 1u;
}

void RowWeigher::put_dose(Index practice, unsigned person) {
  const std::vector<Index>& sentences = plan_.doses[practice];
  if (sentences.size() > 64) return out_.text.put_cell(dose_text(practice, person));
  std::uint64_t fires = 0;
  for (std::size_t i = 0; i < sentences.size(); ++i) fires |= std::uint64_t{is_asked(plan_.asked_of[sentences[i]], person)} << i;
  DoseMemory& memory = dose_memory_[practice];
  auto known = memory.find(fires);
  if (known == memory.end()) {
    RowText cell;
    cell.put_cell(dose_text(practice, person));
    if ((remembered_ += cell.size() + sizeof *known) > most_remembered) {
      for (DoseMemory& other : dose_memory_) other.clear();
      remembered_ = 0;
    }
    known = memory.emplace(fires, cell.text()).first;
  }
  out_.text.put(known->second);
}

std::string RowWeigher::dose_text(Index practice, unsigned person) const {
  const auto fires = [&](Index s) { return plan_.asked_of[s] != no_index && is_asked(plan_.asked_of[s], person) ? Truth::yes : Truth::no; };
  return plan_.shown(dose_words(settle_dose(plan_.pack, plan_.pack.practices[practice], fires)));
}

// ---------------------------------------------------------------- one by one

bool RowWeigher::open(OpenPerson& person) {
  if (plan_.settings.json) {
    const Weighed weighed(plan_.pack, person.answers, plan_.settings.reading, plan_.settings.seal);
    if (!weighed.weighing.possible) return bad({person.row, {}, impossible});
    put_json(person, weighed);
    return end_row();
  }
  const Weighing weighing = runtime::weigh(plan_.pack, person.answers, plan_.settings.reading);
  if (!weighing.possible) return bad({person.row, {}, impossible});
  begin_csv(person.row, person.kept, 0);
  for (const PracticeTold& told : weighing.practices) put_told(told);
  return end_row();
}

void RowWeigher::put_told(const PracticeTold& told) {
  const Told& first = told.possible[0];
  out_.text.put(",");
  out_.text.put(told.verdict_settled() ? verdict_word(first.verdict) : "unanswered");
  out_.text.put(",");
  if (told.settled()) out_.text.put(care_word(first.verdict, first.with_care));
  out_.text.put(",");
  if (!told.dose.open && !told.dose.empty()) out_.text.put_cell(plan_.shown(dose_words(told.dose)));
}

void RowWeigher::put_json(const OpenPerson& person, const Weighed& weighed) {
  using Json = nlohmann::ordered_json;
  Json object = weigh_object(weighed);
  Json out = {{"betony", 1}, {"row", person.row}};
  for (std::size_t k = 0; k < person.kept.columns; ++k) out["kept"][plan_.settings.kept[k]] = std::string(person.kept.text(0, k));
  for (auto& [name, value] : object.items()) out[name] = std::move(value);
  out_.text.put(out.dump(-1, ' ', plan_.settings.for_terminal, Json::error_handler_t::replace));
}

}  // namespace betony::terminal
