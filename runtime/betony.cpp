// The C interface over the rest of the runtime.
#include "runtime/betony.h"

#include <algorithm>
#include <cstring>
#include <memory>
#include <new>

#include "runtime/alone.h"
#include "runtime/change.h"
#include "runtime/question.h"
#include "runtime/weigh.h"

using namespace betony::runtime;

struct betony_pack {
  explicit betony_pack(Pack given) : pack(std::move(given)), names(pack) {}
  const Pack pack;
  const Names names;
};

struct betony_person {
  const betony_pack* of;
  Answers answers;
  std::string why;
  std::unique_ptr<Alone::Scratch> scratch = nullptr;  // once verdicts alone were asked for
};

struct betony_weigher {
  betony_weigher(const betony_pack* pack, Index reading) : alone(pack->pack, reading) {}
  const Alone alone;
};

struct betony_told {
  betony_told(const betony_pack* pack, const Answers& told, Index which)
      : of(pack), answers(told), reading(which), weighing(weigh(pack->pack, answers, reading)), changes(pack->pack, answers, reading), changed(weighing.practices.size()) {
    for (const PracticeTold& practice : weighing.practices) doses.push_back(dose_words(practice.dose));
  }
  betony_told(const betony_told&) = delete;
  betony_told& operator=(const betony_told&) = delete;

  struct Changed {
    std::optional<Change> change;
    std::vector<std::string> values;   // in words
  };
  const Changed& change_of(std::size_t practice) {
    auto& kept = changed[practice];
    if (kept) return *kept;
    kept.emplace().change = changes.of(static_cast<Index>(practice));
    if (kept->change)
      for (const auto& [f, value] : kept->change->findings) kept->values.push_back(value_words(of->pack.findings[f], value));
    return *kept;
  }
  const std::optional<NextQuestion>& next_one() {
    if (!next) next = next_question(of->pack, answers, reading);
    return *next;
  }

  const betony_pack* of;
  const Answers answers;
  const Index reading;
  const Weighing weighing;
  std::vector<std::string> doses;   // of each practice, in words
  Changes changes;
  std::vector<std::optional<Changed>> changed;          // of each practice that was asked about
  std::optional<std::optional<NextQuestion>> next;      // once it was asked for
};

namespace {

void put_words(const std::string& words, char* why, std::size_t room) {
  if (!why || room == 0) return;
  std::size_t count = std::min(words.size(), room - 1);
  while (count > 0 && count < words.size() && (static_cast<unsigned char>(words[count]) & 0xC0) == 0x80) --count;  // no half letter
  std::memcpy(why, words.data(), count);
  why[count] = '\0';
}

betony_status take(betony_person* person, Index finding, ValueReading reading) {
  person->why = std::move(reading.wrong);
  if (!reading.value) return BETONY_NO_SUCH_VALUE;
  person->answers[finding] = std::move(reading.value);
  return BETONY_OK;
}

betony_status refuse_name(betony_person* person, const char* name) {
  person->why = no_such_finding(person->of->pack, person->of->names, name);
  return BETONY_NO_SUCH_NAME;
}

int care_of(const Told& told) {
  return may_be_done(told.verdict) ? told.with_care : -1;
}

const PracticeTold& of(const betony_told* told, std::size_t practice) { return told->weighing.practices[practice]; }

}  // namespace

// ---------------------------------------------------------------- the pack

betony_status betony_load(const void* bytes, size_t size, betony_pack** pack, char* why, size_t room) {
  *pack = nullptr;
  PackReading read = read_pack({static_cast<const std::uint8_t*>(bytes), size});
  put_words(read.wrong, why, room);
  if (!read.pack) return BETONY_NO_PACK;
  *pack = new (std::nothrow) betony_pack(std::move(*read.pack));
  if (*pack) return BETONY_OK;
  put_words("there is not enough memory", why, room);
  return BETONY_NO_MEMORY;
}

void betony_pack_free(betony_pack* pack) { delete pack; }

const char* betony_title(const betony_pack* p) { return p->pack.about.title.c_str(); }
const char* betony_edition(const betony_pack* p) { return p->pack.about.edition.c_str(); }
const char* betony_caution(const betony_pack* p) { return p->pack.about.caution.c_str(); }
int betony_even_so(const betony_pack* p) { return p->pack.about.even_so; }

size_t betony_findings(const betony_pack* p) { return p->pack.findings.size(); }
const char* betony_finding(const betony_pack* p, size_t f) { return p->pack.findings[f].name.c_str(); }
const char* betony_question(const betony_pack* p, size_t f) { return p->pack.findings[f].question.c_str(); }
const char* betony_unit(const betony_pack* p, size_t f) { return p->pack.findings[f].unit.c_str(); }
size_t betony_values(const betony_pack* p, size_t f) { return p->pack.findings[f].values.size(); }
const char* betony_value(const betony_pack* p, size_t f, size_t v) { return p->pack.findings[f].values[v].c_str(); }
size_t betony_practices(const betony_pack* p) { return p->pack.practices.size(); }
const char* betony_practice(const betony_pack* p, size_t practice) { return p->pack.practices[practice].name.c_str(); }
size_t betony_choices(const betony_pack* p) { return p->pack.choices.size(); }
const char* betony_choice(const betony_pack* p, size_t choice) { return p->pack.choices[choice].name.c_str(); }
size_t betony_schools(const betony_pack* p) { return p->pack.readings.size() - 1; }  // the whole stands before them
const char* betony_school(const betony_pack* p, size_t school) { return p->pack.readings[school + 1].school.c_str(); }

// ---------------------------------------------------------------- a person

betony_person* betony_person_new(const betony_pack* pack) {
  return new (std::nothrow) betony_person{pack, Answers(pack->pack.findings.size()), {}, nullptr};
}

void betony_person_free(betony_person* person) { delete person; }

betony_status betony_tell(betony_person* person, const char* finding, const char* value, const char* unit) {
  const Index f = person->of->names.finding(finding);
  if (f == no_index) return refuse_name(person, finding);
  return take(person, f, value_of_text(person->of->pack, f, value, unit ? unit : ""));
}

betony_status betony_tell_number(betony_person* person, size_t finding, double value, const char* unit) {
  const auto number = Number::from(value);
  if (!number) {
    person->why = "this is no number";
    return BETONY_NO_SUCH_VALUE;
  }
  const auto f = static_cast<Index>(finding);
  return take(person, f, value_of_number(person->of->pack, f, *number, unit ? unit : ""));
}

betony_status betony_tell_value(betony_person* person, size_t finding, size_t value) {
  const Finding& f = person->of->pack.findings[finding];
  person->why.clear();
  if (value < f.values.size()) {
    person->answers[finding] = Value{Value::Kind::word, static_cast<Index>(value), {}};
    return BETONY_OK;
  }
  person->why = "\"" + f.name + "\" has no word of that number";
  return BETONY_NO_SUCH_VALUE;
}

betony_status betony_forget(betony_person* person, const char* finding) {
  person->why.clear();
  if (!finding) {
    std::fill(person->answers.begin(), person->answers.end(), std::nullopt);
    return BETONY_OK;
  }
  const Index f = person->of->names.finding(finding);
  if (f == no_index) return refuse_name(person, finding);
  person->answers[f].reset();
  return BETONY_OK;
}

const char* betony_why(const betony_person* person) { return person->why.c_str(); }

// ---------------------------------------------------------------- what is told

betony_told* betony_weigh(betony_person* person, const char* school) {
  person->why.clear();
  const Index reading = school ? person->of->names.reading(school) : 0;
  if (reading == no_index) {
    person->why = std::string("no school is called \"") + school + "\"";
    return nullptr;
  }
  return new (std::nothrow) betony_told(person->of, person->answers, reading);
}

void betony_told_free(betony_told* told) { delete told; }

size_t betony_refers(const betony_told* told) { return told->weighing.refers.size(); }
const char* betony_refer(const betony_told* told, size_t flag) {
  const Sentence& s = told->of->pack.sentences[told->weighing.refers[flag]];
  return s.text.empty() ? s.words.c_str() : s.text.c_str();
}

betony_verdict betony_verdict_of(const betony_told* told, size_t practice) {
  const PracticeTold& p = of(told, practice);
  return p.verdict_settled() ? static_cast<betony_verdict>(p.possible[0].verdict) : BETONY_UNANSWERED;
}
int betony_with_care(const betony_told* told, size_t practice) {
  const PracticeTold& p = of(told, practice);
  return p.settled() ? care_of(p.possible[0]) : -1;
}
size_t betony_possible(const betony_told* told, size_t practice) { return of(told, practice).possible.size(); }
betony_verdict betony_possible_verdict(const betony_told* told, size_t practice, size_t which, int* with_care) {
  const Told& t = of(told, practice).possible[which];
  if (with_care) *with_care = care_of(t);
  return static_cast<betony_verdict>(t.verdict);
}

size_t betony_because(const betony_told* told, size_t practice) { return of(told, practice).because.size(); }
size_t betony_because_sentence(const betony_told* told, size_t practice, size_t which) { return of(told, practice).because[which]; }
size_t betony_defeated(const betony_told* told, size_t practice) { return of(told, practice).defeated.size(); }
size_t betony_defeated_sentence(const betony_told* told, size_t practice, size_t which) { return of(told, practice).defeated[which]; }
size_t betony_cautions(const betony_told* told, size_t practice) { return of(told, practice).cautions.size(); }
const char* betony_caution_text(const betony_told* told, size_t practice, size_t which) { return of(told, practice).cautions[which].c_str(); }
const char* betony_dose(const betony_told* told, size_t practice) { return told->doses[practice].c_str(); }

size_t betony_fits(const betony_told* told, size_t choice) { return told->weighing.choices[choice].fits.size(); }
const char* betony_fit(const betony_told* told, size_t choice, size_t which) {
  return told->of->pack.choices[choice].values[told->weighing.choices[choice].fits[which]].c_str();
}

betony_weigher* betony_weigher_new(const betony_pack* pack, const char* school) {
  const Index reading = school ? pack->names.reading(school) : 0;
  return reading == no_index ? nullptr : new (std::nothrow) betony_weigher(pack, reading);
}
void betony_weigher_free(betony_weigher* weigher) { delete weigher; }

betony_status betony_verdicts(const betony_weigher* weigher, betony_person* person, uint32_t* sets) {
  static_assert(SingleWeigher::not_exact == BETONY_SET_MAY_BE_FEWER);
  person->why.clear();
  if (!person->scratch) person->scratch.reset(new (std::nothrow) Alone::Scratch);
  if (!person->scratch) return BETONY_NO_MEMORY;
  weigher->alone.verdicts(person->answers, *person->scratch, sets);
  return BETONY_OK;
}

size_t betony_next(betony_told* told) { return told->next_one() ? told->next_one()->finding : BETONY_NONE; }
betony_purpose betony_next_for(betony_told* told) {
  return told->next_one() ? static_cast<betony_purpose>(static_cast<int>(told->next_one()->what) + 1) : BETONY_FOR_NOTHING;
}

size_t betony_change(betony_told* told, size_t practice) { return told->change_of(practice).values.size(); }
size_t betony_change_finding(betony_told* told, size_t practice, size_t which) { return told->change_of(practice).change->findings[which].first; }
const char* betony_change_value(betony_told* told, size_t practice, size_t which) { return told->change_of(practice).values[which].c_str(); }
betony_verdict betony_change_verdict(betony_told* told, size_t practice) {
  const auto& change = told->change_of(practice).change;
  return change ? static_cast<betony_verdict>(change->verdict) : BETONY_UNANSWERED;
}

const char* betony_sentence(const betony_pack* p, size_t s) { return p->pack.sentences[s].words.c_str(); }
const char* betony_sentence_label(const betony_pack* p, size_t s) { return p->pack.sentences[s].label.c_str(); }
const char* betony_sentence_file(const betony_pack* p, size_t s) { return p->pack.sentences[s].file.c_str(); }
uint32_t betony_sentence_line(const betony_pack* p, size_t s) { return p->pack.sentences[s].line; }
size_t betony_citations(const betony_pack* p, size_t s) { return p->pack.sentences[s].citations.size(); }
const char* betony_citation(const betony_pack* p, size_t s, size_t c) { return p->pack.sources[p->pack.sentences[s].citations[c].source].word.c_str(); }
const char* betony_citation_locus(const betony_pack* p, size_t s, size_t c) { return p->pack.sentences[s].citations[c].locus.c_str(); }

const char* betony_verdict_word(betony_verdict verdict) {
  static const char* const words[] = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent", "unanswered"};
  return verdict >= BETONY_OUTSIDE && verdict <= BETONY_UNANSWERED ? words[verdict] : "";
}
