// tests/fuzz/pack_fuzz.cpp: the fuzz target for packs. `sh tests/fuzz/run.sh --packs` builds and runs it.
//
// The bytes are a pack, and before it choices of what is told of some persons (pack_input.h). Whatever they are:
//
//   - reading the pack ends well, in a pack or in words, through C too
//   - a pack that was read is written again to the byte
//   - what is told of a person names only what is there. Of one of whom less is told, everything stays possible that comes of one of whom
//     more is told; where background facts leave nobody like the latter, so that they may leave out for the former what comes of it, this
//     holds without them. So it is by the gates alone; decision graphs, which may say something else in a pack that was changed, leave out
//     some of what is possible by the gates, and nothing else
//   - what is asked next and what would change a verdict is as pack_asking.h tells
//   - verdicts alone are those that are told with reasons, of whole persons; of half-known ones they are among what the gates leave, if they say
//     that they are exact, and nothing is missing in them that comes of a whole person who is told more
//   - of whole persons, weighing one by one, weighing in blocks and reading them from a table say the same; C says what the
//     functions below it say
//   - no number of a formula has more bits than the proof of the pack allows
//
// The mutator (pack_mutator.cpp) puts size and digest right, so that what lies behind them is reached.
#include <memory>
#include <string>

#include "runtime/alone.h"
#include "runtime/betony.h"
#include "runtime/blocks.h"
#include "runtime/change.h"
#include "runtime/inputs.h"
#include "runtime/pack_verify.h"
#include "runtime/persons.h"
#include "runtime/question.h"
#include "runtime/weigh.h"
#include "tests/fuzz/pack_asking.h"
#include "tests/fuzz/pack_input.h"
#include "tests/fuzz/require.h"

namespace betony::fuzz {
namespace {

using namespace betony::runtime;

class Choices {
 public:
  explicit Choices(Bytes bytes) : bytes_(bytes) {}
  std::size_t below(std::size_t bound) {
    const std::size_t round = bytes_.empty() ? at_ : at_ / bytes_.size(), byte = bytes_.empty() ? 0 : bytes_[at_ % bytes_.size()];
    ++at_;
    return bound == 0 ? 0 : (byte + 7 * round) % bound;
  }

 private:
  const Bytes bytes_;
  std::size_t at_ = 0;
};

// ---------------------------------------------------------------- persons

using Texts = std::vector<std::string>;   // by finding, as they stand in a cell; empty where nothing is told

std::string number_text(const Finding& finding, const Number& number) {
  return finding.kind == Finding::Kind::number ? number.words() : value_words(finding, {Value::Kind::number, 0, number});
}

// An answer that may be one: a word, a bound, an end and what lies just past it, never.
std::string text_for(const Pack& pack, Index f, Choices& choices) {
  const Finding& finding = pack.findings[f];
  const std::size_t choice = choices.below(256);
  if (finding.has_words()) return finding.values[choice % finding.values.size()];
  if (finding.or_never && choice % 8 == 7) return "never";
  std::vector<Number> numbers = {finding.low, finding.high};
  for (const Variable& v : pack.variables)
    if (!v.is_measure && v.index == f)
      for (const Variable::End& end : v.ends) numbers.push_back(end.at), numbers.push_back(end.at + finding.step);
  if (finding.usual && finding.usual->kind == Value::Kind::number) numbers.push_back(finding.usual->number);
  std::string text = number_text(finding, numbers[choice % numbers.size()]);
  const bool with_unit = finding.units != no_index && choice > 200 && !pack.unit_tables[finding.units].empty();
  return with_unit ? text + " " + pack.unit_tables[finding.units][choice % pack.unit_tables[finding.units].size()].name : text;
}

struct Person {
  Texts texts;
  Answers answers;
  std::vector<Truth> inputs;
  bool bad = false;       // some text is no answer
  bool whole() const { return std::find(inputs.begin(), inputs.end(), Truth::open) == inputs.end(); }
};

bool is_blank(const std::string& text) { return text.find_first_not_of(" \t\r\n") == text.npos; }

Person person_of(const Pack& pack, Texts texts) {
  Person out;
  out.answers.resize(pack.findings.size());
  for (Index f = 0; f < texts.size(); ++f) {
    if (is_blank(texts[f])) continue;
    auto reading = value_of_text(pack, f, texts[f]);
    require(reading.value.has_value() == reading.wrong.empty(), "a text is a value, or it is told why not");
    if (!reading.value) out.bad = true;
    else require(why_impossible(pack.findings[f], *reading.value).empty(), "a value that was read is possible");
    out.answers[f] = std::move(reading.value);
  }
  out.texts = std::move(texts);
  out.inputs = inputs_of(pack, out.answers);
  require(out.inputs.size() == pack.program.inputs, "there is a truth for every input");
  for (const auto& measure : measures_of(pack, out.answers))
    require(!measure || measure->bits() <= most_bits, "a measure has no more bits than it may");
  return out;
}

Person with_less(const Pack& pack, const Person& person, Choices& choices) {
  Texts texts = person.texts;
  for (std::string& text : texts)
    if (choices.below(3) == 0) text.clear();
  return person_of(pack, std::move(texts));
}

Person without_bad(const Pack& pack, const Person& person) {
  Texts texts = person.texts;
  for (Index f = 0; f < texts.size(); ++f)
    if (!person.answers[f]) texts[f].clear();
  return person_of(pack, std::move(texts));
}

// Each one but the first is told less of than one before it: person i less than `more[i]`.
struct Persons {
  std::vector<Person> all;
  std::vector<std::size_t> more;
};

Persons persons_of(const Pack& pack, Choices& choices) {
  Persons out;
  for (int round = 0; round < 2; ++round) {
    Texts texts;
    for (Index f = 0; f < pack.findings.size(); ++f) texts.push_back(text_for(pack, f, choices));
    const std::size_t first = out.all.size();
    out.all.push_back(person_of(pack, std::move(texts)));
    out.more.push_back(first);
    if (out.all[first].bad) out.all.push_back(without_bad(pack, out.all[first])), out.more.push_back(first);
    out.all.push_back(with_less(pack, out.all.back(), choices)), out.more.push_back(first);
  }
  out.all.push_back(person_of(pack, Texts(pack.findings.size()))), out.more.push_back(0);
  return out;
}

// ---------------------------------------------------------------- one by one

template <class Item>
bool contains(const std::vector<Item>& all, const std::vector<Item>& some) {
  return std::all_of(some.begin(), some.end(), [&](const Item& item) { return std::find(all.begin(), all.end(), item) != all.end(); });
}

void check_weighing(const Pack& pack, const Weighing& weighing, bool whole) {
  const auto are_sentences = [&](const std::vector<Index>& all) {
    return std::all_of(all.begin(), all.end(), [&](Index s) { return s < pack.sentences.size(); });
  };
  require(weighing.practices.size() == pack.practices.size() && weighing.choices.size() == pack.choices.size(), "everything is weighed");
  require(are_sentences(weighing.refers), "red flags are sentences");
  for (const PracticeTold& told : weighing.practices) {
    require(!told.possible.empty() && (!whole || told.settled()), "some verdict is possible, and one for a whole person");
    for (std::size_t i = 1; i < told.possible.size(); ++i)
      require(told.possible[i - 1].verdict <= told.possible[i].verdict, "the gravest comes first");
    require(are_sentences(told.because) && are_sentences(told.defeated), "reasons are sentences");
    require(told.dose.open || !whole || dose_words(told.dose).empty() == told.dose.empty(), "a dose that is none has no words");
    require(!told.dose.open || !whole, "a whole person's dose is settled");
    (void)dose_words(told.dose);
  }
  for (std::size_t c = 0; c < weighing.choices.size(); ++c) {
    const ChoiceTold& told = weighing.choices[c];
    require(contains(told.possible, told.fits) && (!whole || told.fits == told.possible), "what fits is possible");
    for (const Index value : told.possible) require(value < pack.choices[c].values.size(), "what may fit is a value");
  }
}

void check_less(const Weighing& more, const Weighing& less) {
  require(contains(more.refers, less.refers), "a red flag that surely fires goes on firing");
  for (std::size_t p = 0; p < more.practices.size(); ++p)
    require(contains(less.practices[p].possible, more.practices[p].possible), "what comes of more answers was possible");
  for (std::size_t c = 0; c < more.choices.size(); ++c)
    require(contains(more.choices[c].fits, less.choices[c].fits) && contains(less.choices[c].possible, more.choices[c].possible),
            "what surely fits goes on fitting");
}

// Everybody is possible.
Pack without_background(Pack pack) {
  pack.background = 1;
  return pack;
}

std::vector<Weighing> weigh_all(const Pack& pack, const Persons& persons, Index reading) {
  std::vector<Weighing> out;
  std::optional<Pack> free;
  for (std::size_t i = 0; i < persons.all.size(); ++i) {
    const std::size_t more = persons.more[i];
    out.push_back(weigh(pack, persons.all[i].answers, reading));
    check_weighing(pack, out[i], persons.all[i].whole());
    require(out[more].possible <= out[i].possible, "who is impossible stays so");
    if (out[more].possible) {
      check_less(out[more], out[i]);
    } else {
      if (!free) free = without_background(pack);
      check_less(weigh(*free, persons.all[more].answers, reading), weigh(*free, persons.all[i].answers, reading));
    }
  }
  return out;
}

// Nobody whom the graphs would narrow.
Pack without_graphs(Pack pack) {
  pack.graphs.clear();
  for (Reading& reading : pack.readings) reading.graphs.clear(), reading.red_flags = no_index;
  return pack;
}

// With graphs, beside what is told by the gates alone.
void check_narrowing(const Pack& pack, const Persons& persons, Index reading, const std::vector<Weighing>& by_gates) {
  for (std::size_t i = 0; i < persons.all.size(); ++i) {
    const Weighing weighing = weigh(pack, persons.all[i].answers, reading);
    check_weighing(pack, weighing, persons.all[i].whole());
    require(weighing.possible <= by_gates[i].possible, "graphs make nobody possible");
    require(contains(weighing.refers, by_gates[i].refers), "graphs take no red flag away");
    for (std::size_t p = 0; p < pack.practices.size(); ++p)
      require(contains(by_gates[i].practices[p].possible, weighing.practices[p].possible), "graphs make no verdict possible");
  }
}

// Of one of them: changes cost more than all the rest.
void check_asking_of_one(const Pack& pack, const Persons& persons, Index reading, Choices& choices) {
  const Person& person = persons.all[choices.below(persons.all.size())];
  std::vector<Index> not_known;
  for (Index f = 0; f < pack.findings.size(); ++f)
    if (choices.below(5) == 0) not_known.push_back(f);
  check_asking(pack, person.answers, reading, not_known);
}

// ---------------------------------------------------------------- verdicts alone

using Sets = std::vector<std::uint32_t>;

Sets codes_of(const Weighing& weighing) {
  Sets out;
  for (const PracticeTold& told : weighing.practices) {
    std::uint32_t& set = out.emplace_back(0);
    for (const Told& one : told.possible) set |= std::uint32_t{1} << (static_cast<unsigned>(one.verdict) + (one.with_care ? 8u : 0u));
  }
  return out;
}

std::vector<Sets> alone_of(const Pack& pack, const Persons& persons, Index reading) {
  const Alone alone(pack, reading);
  Alone::Scratch scratch;
  std::vector<Sets> out;
  for (const Person& person : persons.all) alone.verdicts(person.answers, scratch, out.emplace_back(pack.practices.size()).data());
  return out;
}

// by_gates: what is told with reasons, without graphs.
void check_alone(const std::vector<Sets>& sets, const Persons& persons, const std::vector<Weighing>& by_gates) {
  for (std::size_t i = 0; i < persons.all.size(); ++i) {
    const std::size_t more = persons.more[i];
    const Sets codes = codes_of(by_gates[i]);
    for (std::size_t p = 0; p < codes.size(); ++p) {
      const bool is_exact = !(sets[i][p] & SingleWeigher::not_exact);
      require((sets[i][p] != 0) == by_gates[i].possible, "some verdict is told alone, unless nobody is so");
      if (!by_gates[i].possible) continue;
      require(!is_exact || (sets[i][p] & ~codes[p]) == 0, "verdicts told alone are possible");
      require(!persons.all[i].whole() || sets[i][p] == codes[p], "a whole person's verdict alone is the one with reasons");
      if (by_gates[more].possible && persons.all[more].whole()) require((sets[more][p] & ~sets[i][p]) == 0, "no verdict is missing alone");
    }
  }
}

// Graphs leave out some of it.
void check_alone_with_graphs(const std::vector<Sets>& with, const std::vector<Sets>& without) {
  for (std::size_t i = 0; i < with.size(); ++i)
    for (std::size_t p = 0; p < with[i].size(); ++p)
      require((with[i][p] & ~without[i][p] & ~SingleWeigher::not_exact) == 0, "graphs make no verdict possible alone");
}

// ---------------------------------------------------------------- in blocks, and from a table

class Blocks {
 public:
  Blocks(const Pack& pack, Index reading, BlockWeigher::Path path) : weigher_(pack, reading, path) {}

  // The verdict of every practice for the first persons, as those of `expected` who are named.
  void check(const Block& block, const std::vector<Weighing>& expected, const std::vector<std::size_t>& who) {
    std::vector<std::uint8_t> codes(weigher_.practices() * block_persons);
    std::vector<std::uint64_t> planes(weigher_.practices() * 4 * block_words);
    weigher_.weigh(block, scratch_, codes.data());
    weigher_.weigh_planes(block, scratch_, planes.data());
    for (std::size_t p = 0; p < weigher_.practices(); ++p)
      for (std::size_t i = 0; i < who.size(); ++i) {
        const Told& told = expected[who[i]].practices[p].possible[0];
        const unsigned code = static_cast<unsigned>(told.verdict) + (told.with_care ? 8u : 0u);
        require(codes[p * block_persons + i] == code, "a block says what one by one says");
        for (unsigned k = 0; k < 4; ++k)
          require((planes[(p * 4 + k) * block_words + i / 64] >> (i % 64) & 1u) == (code >> k & 1u), "planes say what a block says");
      }
  }

 private:
  BlockWeigher weigher_;
  BlockWeigher::Scratch scratch_;
};

struct WholePersons {
  Block block;
  std::vector<std::size_t> who;
};

WholePersons whole_of(const Pack& pack, const Persons& persons) {
  WholePersons out;
  out.block.clear(pack.program.inputs);
  for (std::size_t i = 0; i < persons.all.size(); ++i) {
    if (!persons.all[i].whole()) continue;
    for (Index n = 0; n < pack.program.inputs; ++n)
      if (persons.all[i].inputs[n] == Truth::yes) out.block.put(n, out.block.persons);
    ++out.block.persons;
    out.who.push_back(i);
  }
  return out;
}

std::string cell_of(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

// What a table can tell of the persons: findings that no other one's name hides.
struct Table {
  std::string text;
  Persons persons;      // row 2 is the first
};

Table table_of(const Pack& pack, const Persons& persons) {
  const Names names(pack);
  Table out;
  std::vector<Index> columns;
  for (Index f = 0; f < pack.findings.size(); ++f)
    if (const std::string& name = pack.findings[f].name; !is_blank(name) && name.size() < 1000 && names.finding(name) == f) columns.push_back(f);
  if (columns.empty()) return out;
  for (const Index f : columns) out.text += (f == columns[0] ? "" : ",") + cell_of(pack.findings[f].name);
  for (const Person& person : persons.all) {
    Texts texts(pack.findings.size());
    out.text += '\n';
    for (const Index f : columns) {
      if (person.texts[f].size() <= PersonTable::most_cell_bytes) texts[f] = person.texts[f];
      out.text += (f == columns[0] ? "" : ",");
      // Half of them bare, so that the quick ways of reading are taken too.
      const bool bare = f % 2 == 0 && texts[f].find_first_of("\",\r\n") == texts[f].npos && !is_blank(texts[f]);
      out.text += bare ? texts[f] : cell_of(texts[f]);
    }
    out.persons.all.push_back(person_of(pack, std::move(texts)));
  }
  return out;
}

class Rows : public PersonTaker {
 public:
  explicit Rows(const Table& table) : table_(table), seen_(table.persons.all.size()) {}

  void block(PersonBlock& block) override {
    for (unsigned i = 0; i < block.bits.persons; ++i) {
      const Person& person = of(block.rows[i]);
      require(!person.bad && person.whole(), "who comes in a block is whole");
      for (Index n = 0; n < person.inputs.size(); ++n) {
        const bool bit = block.bits.planes[n * block_words + i / 64] >> (i % 64) & 1u;
        require(bit == (person.inputs[n] == Truth::yes), "a table tells what its texts tell");
      }
    }
  }
  void open(OpenPerson& open) override {
    const Person& person = of(open.row);
    require(!person.bad && !person.whole() && person.answers == open.answers, "who comes open is open, with the answers of the table");
  }
  void bad(const BadRow& row) override { require(of(row.row).bad && !row.wrong.empty(), "a bad row has a bad answer"); }
  bool all_seen() const { return std::find(seen_.begin(), seen_.end(), false) == seen_.end(); }

 private:
  const Person& of(std::uint64_t row) {
    require(row >= 2 && row - 2 < seen_.size() && !seen_[row - 2], "every row comes once");
    seen_[row - 2] = true;
    return table_.persons.all[row - 2];
  }
  const Table& table_;
  std::vector<bool> seen_;
};

void check_table(const Pack& pack, const Persons& persons, std::size_t piece) {
  const Table table = table_of(pack, persons);
  if (table.text.empty()) return;
  Rows rows(table);
  PersonTable reader(pack, {}, rows);
  for (std::size_t at = 0; at < table.text.size(); at += piece) reader.feed(table.text.substr(at, piece));
  reader.finish();
  require(!reader.trouble() && rows.all_seen(), "a table of the pack's names is read to its end");
}

// ---------------------------------------------------------------- through C

std::size_t letters = 0;    // so that every text is looked at
void look(const char* text) { letters += std::string_view(text).size(); }

struct PackFree { void operator()(betony_pack* pack) const { betony_pack_free(pack); } };
struct PersonFree { void operator()(betony_person* person) const { betony_person_free(person); } };
struct WeigherFree { void operator()(betony_weigher* weigher) const { betony_weigher_free(weigher); } };
struct ToldFree { void operator()(betony_told* told) const { betony_told_free(told); } };

void look_at(const betony_pack* c, const Pack& pack) {
  look(betony_title(c)), look(betony_edition(c)), look(betony_caution(c));
  require(betony_even_so(c) == pack.about.even_so, "C tells whether it was shipped even so");
  require(betony_findings(c) == pack.findings.size() && betony_practices(c) == pack.practices.size(), "C counts findings and practices");
  require(betony_choices(c) == pack.choices.size(), "C counts choices");
  for (std::size_t f = 0; f < betony_findings(c); ++f) {
    look(betony_finding(c, f)), look(betony_question(c, f)), look(betony_unit(c, f));
    for (std::size_t v = 0; v < betony_values(c, f); ++v) look(betony_value(c, f, v));
  }
  for (std::size_t p = 0; p < betony_practices(c); ++p) look(betony_practice(c, p));
  for (std::size_t h = 0; h < betony_choices(c); ++h) look(betony_choice(c, h));
}

void look_at_sentence(const betony_pack* c, std::size_t s) {
  look(betony_sentence(c, s)), look(betony_sentence_label(c, s)), look(betony_sentence_file(c, s));
  letters += betony_sentence_line(c, s);
  for (std::size_t i = 0; i < betony_citations(c, s); ++i) look(betony_citation(c, s, i)), look(betony_citation_locus(c, s, i));
}

void compare_practice(const betony_pack* c, const betony_told* told, std::size_t p, const PracticeTold& expected) {
  require(betony_possible(told, p) == expected.possible.size(), "C tells what is possible");
  for (std::size_t i = 0; i < expected.possible.size(); ++i) {
    int care = 7;
    require(betony_possible_verdict(told, p, i, &care) == static_cast<betony_verdict>(expected.possible[i].verdict), "C tells possible verdicts");
    require(care == -1 || (care == 1) == expected.possible[i].with_care, "C tells possible care");
  }
  const betony_verdict verdict = betony_verdict_of(told, p);
  require((verdict == BETONY_UNANSWERED) != expected.verdict_settled(), "C tells what is unanswered");
  look(betony_verdict_word(verdict));
  const int care = betony_with_care(told, p);
  require(care == -1 || (expected.settled() && (care == 1) == expected.possible[0].with_care), "C tells care");
  require(betony_because(told, p) == expected.because.size() && betony_defeated(told, p) == expected.defeated.size(), "C tells reasons");
  for (std::size_t i = 0; i < expected.because.size(); ++i) look_at_sentence(c, betony_because_sentence(told, p, i));
  for (std::size_t i = 0; i < expected.defeated.size(); ++i) look_at_sentence(c, betony_defeated_sentence(told, p, i));
  for (std::size_t i = 0; i < betony_cautions(told, p); ++i) look(betony_caution_text(told, p, i));
  require(betony_dose(told, p) == std::string_view(dose_words(expected.dose).c_str()), "C tells the dose");
}

void compare_asking(const Pack& pack, betony_told* told, const Answers& answers, Index reading) {
  const auto next = next_question(pack, answers, reading);
  require(betony_next(told) == (next ? next->finding : BETONY_NONE), "C asks the next question");
  require(betony_next_for(told) == (next ? static_cast<int>(next->what) + 1 : BETONY_FOR_NOTHING), "C tells what it is asked for");
  Changes changes(pack, answers, reading);
  for (Index p = 0; p < pack.practices.size(); ++p) {
    const auto change = changes.of(p);
    const std::size_t count = change ? change->findings.size() : 0;
    require(betony_change(told, p) == count, "C counts what is told otherwise");
    const betony_verdict then = change ? static_cast<betony_verdict>(change->verdict) : BETONY_UNANSWERED;
    require(betony_change_verdict(told, p) == then, "C tells the verdict of a change");
    for (std::size_t i = 0; i < count; ++i) {
      const auto& [f, value] = change->findings[i];
      require(betony_change_finding(told, p, i) == f, "C tells the findings of a change");
      require(betony_change_value(told, p, i) == std::string_view(value_words(pack.findings[f], value).c_str()), "C tells the values of a change");
    }
  }
}

void compare(const betony_pack* c, const betony_told* told, const Weighing& expected) {
  require(betony_refers(told) == expected.refers.size(), "C tells red flags");
  for (std::size_t i = 0; i < betony_refers(told); ++i) look(betony_refer(told, i));
  for (std::size_t p = 0; p < expected.practices.size(); ++p) compare_practice(c, told, p, expected.practices[p]);
  for (std::size_t h = 0; h < expected.choices.size(); ++h) {
    require(betony_fits(told, h) == expected.choices[h].fits.size(), "C tells what fits");
    for (std::size_t i = 0; i < betony_fits(told, h); ++i) look(betony_fit(told, h, i));
  }
}

// Tells a person as C does, and what must come of it. Names and texts end at their first zero byte.
class Telling {
 public:
  Telling(const betony_pack* c, const Pack& pack) : pack_(pack), names_(pack), answers_(pack.findings.size()), c_(c), person_(betony_person_new(c)) {}

  void tell(const Texts& texts, Choices& choices) {
    for (Index f = 0; f < texts.size(); ++f) {
      if (is_blank(texts[f])) continue;
      const char* name = betony_finding(c_, f);
      const Index found = names_.finding(name);
      expect(betony_tell(person_.get(), name, texts[f].c_str(), nullptr), found,
             found == no_index ? ValueReading{} : value_of_text(pack_, found, texts[f].c_str()));
      if (choices.below(4) == 0) tell_number(f, texts[f]);
    }
    if (choices.below(8) == 0 && !texts.empty()) forget(static_cast<Index>(choices.below(texts.size())));
  }

  void weigh(Index reading, bool asks) {
    const std::string& school = pack_.readings[reading].school;
    const Index found = reading == 0 ? 0 : names_.reading(school.c_str());
    const std::unique_ptr<betony_told, ToldFree> told(betony_weigh(person_.get(), reading == 0 ? nullptr : school.c_str()));
    require((told == nullptr) == (found == no_index), "C weighs in every reading that has a name");
    if (!told) return;
    compare(c_, told.get(), runtime::weigh(pack_, answers_, found));
    if (asks) compare_asking(pack_, told.get(), answers_, found), compare_alone(reading == 0 ? nullptr : school.c_str(), found);
  }

 private:
  void expect(betony_status status, Index finding, ValueReading reading) {
    if (finding == no_index) return require(status == BETONY_NO_SUCH_NAME, "C knows the names that there are");
    require(status == (reading.value ? BETONY_OK : BETONY_NO_SUCH_VALUE), "C takes what is a value");
    require((status == BETONY_OK) == (*betony_why(person_.get()) == '\0'), "C tells why not");
    if (reading.value) answers_[finding] = std::move(reading.value);
  }
  void compare_alone(const char* school, Index reading) {
    const std::unique_ptr<betony_weigher, WeigherFree> weigher(betony_weigher_new(c_, school));
    Sets got(pack_.practices.size()), wanted(got);
    require(weigher && betony_verdicts(weigher.get(), person_.get(), got.data()) == BETONY_OK, "C tells verdicts alone");
    Alone::Scratch scratch;
    Alone(pack_, reading).verdicts(answers_, scratch, wanted.data());
    require(got == wanted, "C tells the verdicts alone");
  }
  void tell_number(Index f, const std::string& text) {
    const auto amount = amount_of(text);
    const double value = amount ? amount->number.near() : static_cast<double>(text.size()) * 1e30;
    const auto number = Number::from(value);
    expect(betony_tell_number(person_.get(), f, value, nullptr), f, number ? value_of_number(pack_, f, *number) : ValueReading{});
  }
  void forget(Index f) {
    const char* name = betony_finding(c_, f);
    const Index found = names_.finding(name);
    require((betony_forget(person_.get(), name) == BETONY_OK) == (found != no_index), "C forgets what has a name");
    if (found != no_index) answers_[found].reset();
  }

  const Pack& pack_;
  const Names names_;
  Answers answers_;
  const betony_pack* c_;
  const std::unique_ptr<betony_person, PersonFree> person_;
};

// ---------------------------------------------------------------- the pack

constexpr std::size_t most_readings = 6;    // are weighed

void check_pack(const Pack& pack, const betony_pack* c, Choices& choices) {
  const auto path = static_cast<BlockWeigher::Path>(choices.below(4));
  const std::size_t piece = 1 + choices.below(100);
  const Persons persons = persons_of(pack, choices);
  const WholePersons whole = whole_of(pack, persons);
  const std::optional<Pack> gates = pack.graphs.empty() ? std::nullopt : std::optional(without_graphs(pack));
  check_table(pack, persons, piece);
  look_at(c, pack);
  Telling telling(c, pack);
  telling.tell(persons.all[choices.below(persons.all.size())].texts, choices);
  for (Index reading = 0; reading < std::min(pack.readings.size(), most_readings); ++reading) {
    const std::vector<Weighing> weighings = weigh_all(gates ? *gates : pack, persons, reading);
    if (gates) check_narrowing(pack, persons, reading, weighings);
    const std::vector<Sets> alone = alone_of(gates ? *gates : pack, persons, reading);
    check_alone(alone, persons, weighings);
    if (gates) check_alone_with_graphs(alone_of(pack, persons, reading), alone);
    check_asking_of_one(pack, persons, reading, choices);
    Blocks(pack, reading, path).check(whole.block, weighings, whole.who);
    telling.weigh(reading, choices.below(4) == 0);
  }
}

using Loaded = std::unique_ptr<betony_pack, PackFree>;

Loaded loaded(Bytes bytes, const PackReading& read) {
  betony_pack* pack = nullptr;
  char why[40];
  const betony_status status = betony_load(bytes.data(), bytes.size(), &pack, why, sizeof why);
  Loaded out(pack);
  require((status == BETONY_OK) == read.pack.has_value() && (out != nullptr) == read.pack.has_value(), "C loads what is a pack");
  require(read.wrong.starts_with(why) && read.wrong.empty() == (*why == '\0'), "C tells why it is none");
  return out;
}

void check(Bytes bytes) {
  const PackInput input = parts_of(bytes);
  const PackReading read = read_pack(input.pack);
  require(read.pack.has_value() == read.wrong.empty(), "there is a pack, or it is told why not");
  // Reading costs most of it, so that C refuses every fourth only.
  const Loaded c = read.pack || bytes.size() % 4 == 0 ? loaded(input.pack, read) : nullptr;
  if (!c) return;
  const std::vector<std::uint8_t> again = write_pack(*read.pack);
  const Bytes unsealed = input.pack.first(input.pack.size() - (read.sealed ? 104 : 0));
  require(std::equal(again.begin(), again.end(), unsealed.begin(), unsealed.end()), "a pack is written again as it was");
  Choices choices(input.choices);
  check_pack(*read.pack, c.get(), choices);
}

}  // namespace
}  // namespace betony::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  betony::fuzz::check({data, size});
  return 0;
}
