#include "tests/published/weighed.h"

#include <stdlib.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <set>

#include "runtime/blocks.h"
#include "runtime/inputs.h"
#include "runtime/persons.h"
#include "runtime/weigh.h"
#include "tests/packs.h"

namespace betony::published {
namespace {

using Texts = std::set<std::string>;

// The first lines of what went wrong, and how much did.
class Faults {
 public:
  void add(const std::string& what) {
    if (++count_ <= 5) text_ += what + "\n";
  }
  void unequal(const std::string& whom, const std::string& what, const std::string& told, const std::string& published) {
    if (told != published) add(whom + what + ": told " + told + ", published " + published);
  }
  ~Faults() {
    INFO(text_);
    CHECK(count_ == 0);
  }

 private:
  std::string text_;
  std::size_t count_ = 0;
};

std::string joined(const Texts& texts, const char* between = " or ") {
  std::string out;
  for (const std::string& text : texts) out += (out.empty() ? "" : between) + text;
  return out;
}

bool holds(const Texts& more, const Texts& fewer) { return std::includes(more.begin(), more.end(), fewer.begin(), fewer.end()); }

std::string words(const Person& person) {
  std::string out;
  for (const auto& [name, value] : person) out += name + " " + value + ", ";
  return out;
}

std::string verdict_words(runtime::Told told) {
  static const char* const words[] = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent"};
  return words[static_cast<std::size_t>(told.verdict)] + std::string(told.with_care ? " with care" : "");
}
std::string verdict_words(std::uint8_t code) { return verdict_words({static_cast<runtime::Verdict>(code & 7u), (code & 8u) != 0}); }

std::string fits_words(const runtime::Choice& choice, const std::vector<runtime::Index>& fits) {
  std::string out;
  for (runtime::Index value : fits) out += (out.empty() ? "" : ", ") + choice.values[value];
  return out.empty() ? "nothing" : out;
}
Texts value_names(const runtime::Choice& choice, const std::vector<runtime::Index>& fits) {
  Texts out;
  for (runtime::Index value : fits) out.insert(choice.values[value]);
  return out;
}

std::string dose_of(const Published& published, const std::string& practice) {
  const auto dose = published.doses.find(practice);
  return dose == published.doses.end() ? "" : dose->second;
}

// The values that such words name.
Texts named_values(const std::string& fits) {
  Texts out;
  for (std::size_t at = 0; fits != "nothing" && at <= fits.size();) {
    const std::size_t end = std::min(fits.find(", ", at), fits.size());
    out.insert(fits.substr(at, end - at));
    at = end + 2;
  }
  return out;
}

// ---------------------------------------------------------------- tables of persons

// What comes out of a table: blocks with the rows of their persons, and open persons.
struct Taken : runtime::PersonTaker {
  void block(runtime::PersonBlock& block) override { blocks.push_back(block); }
  void open(runtime::OpenPerson& person) override { opens.push_back(person); }
  void bad(const runtime::BadRow& row) override { wrong += std::to_string(row.row) + " " + row.column + ": " + row.wrong + "\n"; }
  std::vector<runtime::PersonBlock> blocks;
  std::vector<runtime::OpenPerson> opens;
  std::string wrong;
};

std::string csv(const std::vector<Column>& columns, const std::vector<Person>& persons) {
  const auto line = [&](const auto& cell) {
    std::string out;
    for (const Column& column : columns) out += (&column == &columns[0] ? "" : ",") + cell(column);
    return (out.empty() ? "\"\"" : out) + "\n";   // a blank line would be nobody
  };
  std::string out = line([](const Column& column) { return column.name; });
  for (const Person& person : persons) out += line([&](const Column& column) { return person.at(column.name); });
  return out;
}

Taken read(const runtime::Pack& pack, const std::string& text) {
  Taken taken;
  runtime::PersonTable table(pack, {}, taken);
  constexpr std::size_t piece = 997;   // cuts rows and cells anywhere
  for (std::size_t at = 0; at < text.size(); at += piece) table.feed(std::string_view(text).substr(at, piece));
  table.finish();
  CHECK_FALSE(table.trouble());
  CHECK(taken.wrong == "");
  return taken;
}

// Every person that can be put together.
std::vector<Person> persons_of(const std::vector<Column>& columns, const std::function<bool(const Person&)>& possible) {
  std::vector<Person> all(1);
  for (const Column& column : columns) {
    std::vector<Person> longer;
    for (const Person& person : all)
      for (const std::string& value : column.values) {
        longer.push_back(person);
        longer.back()[column.name] = value;
      }
    all = std::move(longer);
  }
  if (possible) std::erase_if(all, [&](const Person& person) { return !possible(person); });
  return all;
}

// ---------------------------------------------------------------- the program

std::vector<std::vector<std::string>> cells_of_csv(const std::string& text) {
  std::vector<std::vector<std::string>> rows(1, {""});
  bool quoted = false;
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (text[at] == '"') quoted = !quoted;   // a quote within a text would be lost: none has one
    else if (text[at] == ',' && !quoted) rows.back().emplace_back();
    else if (text[at] != '\n' || quoted) rows.back().back() += text[at];
    else if (at + 1 < text.size()) rows.push_back({""});
  }
  return rows;
}

// What the program prints for a pack and a table.
std::string printed_by(const std::string& program, const std::vector<std::uint8_t>& pack, const std::string& table, const std::string& school) {
  std::string folder = (std::filesystem::temp_directory_path() / "betony-published-XXXXXX").string();
  REQUIRE(::mkdtemp(folder.data()) != nullptr);
  std::ofstream(folder + "/published.pack", std::ios::binary) << std::string(pack.begin(), pack.end());
  std::ofstream(folder + "/persons.csv", std::ios::binary) << table;
  const std::string of_school = school.empty() ? "" : " --school '" + school + "'";
  const std::string line = "'" + program + "' weigh " + folder + "/published.pack " + folder + "/persons.csv" + of_school + " 2> " + folder + "/told";
  FILE* pipe = ::popen(line.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string out;
  char piece[4096];
  while (const std::size_t count = std::fread(piece, 1, sizeof piece, pipe)) out.append(piece, count);
  const int status = ::pclose(pipe);
  std::ifstream errors(folder + "/told");
  const std::string told(std::istreambuf_iterator<char>(errors), {});
  std::filesystem::remove_all(folder);
  INFO(line << "\n" << told);
  CHECK(status == 0);
  return out;
}

// ---------------------------------------------------------------- one table

class Holder {
 public:
  Holder(const Table& table, const std::vector<Column>& columns, const Print& print, const Holding& holding)
      : columns_(columns), pack_(testing::packed(table.ruleset(), table.report())), names_(pack_), school_(holding.school),
        reading_(names_.reading(school_)), persons_(persons_of(columns, holding.possible)) {
    REQUIRE(reading_ != no_index);
    REQUIRE(columns.size() == pack_.findings.size());
    for (const Person& person : persons_) published_.push_back(print(person));
  }

  Held held() {
    const Taken taken = read(pack_, csv(columns_, persons_));
    CHECK(taken.opens.empty());
    for (const auto path : {runtime::BlockWeigher::Path::best, runtime::BlockWeigher::Path::plain}) weigh_blocks(taken, path);
    CHECK(held_.whole == persons_.size());
    CHECK_FALSE(persons_.empty());
    for (std::size_t p = 0; p < persons_.size(); ++p) weigh_with_reasons(persons_[p], published_[p]);
    for (const Column& column : columns_)
      if (column.values.size() > 1) weigh_open(column.name);
    ask_program(BETONY_PROGRAM);
    return held_;
  }

 private:
  // ---- whole persons

  void weigh_blocks(const Taken& taken, runtime::BlockWeigher::Path path) {
    const runtime::BlockWeigher weigher(pack_, reading_, path);
    runtime::BlockWeigher::Scratch scratch;
    std::vector<std::uint8_t> codes(weigher.practices() * runtime::block_persons + 1);
    held_ = {};
    for (const runtime::PersonBlock& block : taken.blocks) {
      weigher.weigh(block.bits, scratch, codes.data());
      for (unsigned i = 0; i < block.bits.persons; ++i) compare(block, i, codes);
    }
  }

  void compare(const runtime::PersonBlock& block, unsigned i, const std::vector<std::uint8_t>& codes) {
    const std::size_t which = block.rows[i] - 2;   // the header is row 1
    const Published& published = published_.at(which);
    const std::string whom = words(persons_[which]);
    for (runtime::Index p = 0; p < pack_.practices.size(); ++p) {
      const std::string told = verdict_words(codes[p * runtime::block_persons + i]), &name = pack_.practices[p].name;
      faults_.unequal(whom, name, told, published.verdicts.at(name));
      ++held_.counts[name + ": " + told];
    }
    const runtime::Slots slots(pack_.program, bits_of(block.bits, i));
    if (slots[pack_.background] != runtime::Truth::yes) faults_.add(whom + "is held to be impossible");
    for (runtime::Index c = 0; c < pack_.choices.size(); ++c) {
      const std::string told = fits_words(pack_.choices[c], fitting(slots, c)), &name = pack_.choices[c].name;
      faults_.unequal(whom, name, told, published.fits.at(name));
      ++held_.counts[name + ": " + told];
    }
    ++held_.whole;
  }

  std::vector<runtime::Truth> bits_of(const runtime::Block& block, unsigned person) const {
    std::vector<runtime::Truth> out;
    for (runtime::Index input = 0; input < pack_.program.inputs; ++input) {
      const bool set = block.planes[input * runtime::block_words + person / 64] >> (person % 64) & 1u;
      out.push_back(set ? runtime::Truth::yes : runtime::Truth::no);
    }
    return out;
  }
  std::vector<runtime::Index> fitting(const runtime::Slots& slots, runtime::Index choice) const {
    std::vector<runtime::Index> out;
    const auto& fits = pack_.readings[reading_].fits[choice];
    for (runtime::Index v = 0; v < fits.size(); ++v)
      if (slots[fits[v]] == runtime::Truth::yes) out.push_back(v);
    return out;
  }

  void weigh_with_reasons(const Person& person, const Published& published) {
    const runtime::Weighing told = runtime::weigh(pack_, answers(person), reading_);
    const std::string whom = words(person) + "with reasons: ";
    for (runtime::Index p = 0; p < pack_.practices.size(); ++p) {
      const std::string& name = pack_.practices[p].name;
      const runtime::PracticeTold& practice = told.practices[p];
      faults_.unequal(whom, name, joined(possible_verdicts(practice)), published.verdicts.at(name));
      faults_.unequal(whom, "the dose of " + name, runtime::dose_words(practice.dose), dose_of(published, name));
    }
    for (runtime::Index c = 0; c < pack_.choices.size(); ++c)
      faults_.unequal(whom, pack_.choices[c].name, fits_words(pack_.choices[c], told.choices[c].fits), published.fits.at(pack_.choices[c].name));
  }

  // "water (Cel)" and "39" are 39 Cel of water.
  runtime::Answers answers(const Person& person) const {
    runtime::Answers out(pack_.findings.size());
    for (const auto& [column, cell] : person) {
      const std::size_t bracket = column.find(" (");
      const runtime::Index finding = names_.finding(column.substr(0, bracket));
      if (finding == no_index) FAIL("no finding for the column " << column);
      const std::string unit = bracket == std::string::npos ? "" : column.substr(bracket + 2, column.size() - bracket - 3);
      out[finding] = runtime::value_of_text(pack_, finding, cell, unit).value;
      if (!out[finding]) FAIL(column << " cannot be " << cell);
    }
    return out;
  }

  static Texts possible_verdicts(const runtime::PracticeTold& practice) {
    Texts out;
    for (const runtime::Told& told : practice.possible) out.insert(verdict_words(told));
    return out;
  }

  // ---- open persons

  // Of persons who differ in one column alone, it is left open.
  void weigh_open(const std::string& column) {
    std::map<Person, std::vector<const Published*>> groups;
    for (std::size_t p = 0; p < persons_.size(); ++p) {
      Person open = persons_[p];
      open[column] = "";
      groups[open].push_back(&published_[p]);
    }
    std::vector<Person> opens;
    std::vector<std::vector<const Published*>> published;
    for (const auto& [person, of_them] : groups) opens.push_back(person), published.push_back(of_them);
    const Taken taken = read(pack_, csv(columns_, opens));
    CHECK(taken.blocks.empty());   // every finding is asked for
    CHECK(taken.opens.size() == opens.size());
    for (const runtime::OpenPerson& person : taken.opens) compare_open(person, opens.at(person.row - 2), published.at(person.row - 2));
    held_.open += taken.opens.size();
  }

  void compare_open(const runtime::OpenPerson& person, const Person& open, const std::vector<const Published*>& published) {
    const runtime::Weighing told = runtime::weigh(pack_, person.answers, reading_);
    const std::string whom = words(open) + "open: ";
    for (runtime::Index p = 0; p < pack_.practices.size(); ++p) {
      const std::string& name = pack_.practices[p].name;
      Texts expected;
      for (const Published* one : published) expected.insert(one->verdicts.at(name));
      const Texts possible = possible_verdicts(told.practices[p]);
      const bool exact = told.practices[p].exact;
      if (!exact) ++held_.not_exact;
      if (exact || !holds(possible, expected)) faults_.unequal(whom, name, joined(possible), joined(expected));
    }
    for (runtime::Index c = 0; c < pack_.choices.size(); ++c) compare_open_choice(whom, pack_.choices[c], told.choices[c], published);
  }

  void compare_open_choice(const std::string& whom, const runtime::Choice& choice, const runtime::ChoiceTold& told,
                           const std::vector<const Published*>& published) {
    Texts all = named_values(published[0]->fits.at(choice.name)), any;
    for (const Published* one : published) {
      const Texts fits = named_values(one->fits.at(choice.name));
      std::erase_if(all, [&](const std::string& value) { return fits.count(value) == 0; });
      any.insert(fits.begin(), fits.end());
    }
    const Texts surely = value_names(choice, told.fits), possible = value_names(choice, told.possible);
    if (!holds(all, surely)) faults_.unequal(whom, choice.name + " surely", joined(surely), joined(all));
    if (!holds(possible, any)) faults_.unequal(whom, choice.name + " possibly", joined(possible), joined(any));
  }

  // ---- the program

  void ask_program(const std::string& program) {
    const auto rows = cells_of_csv(printed_by(program, runtime::write_pack(pack_), csv(columns_, persons_), school_));
    REQUIRE(rows.size() == persons_.size() + 1);
    for (std::size_t p = 0; p < persons_.size(); ++p) {
      if (rows[p + 1].size() != rows[0].size()) FAIL("a row of another length than the header");
      const auto cell = [&](const std::string& column) {
        const auto at = std::find(rows[0].begin(), rows[0].end(), column);
        if (at == rows[0].end()) FAIL("no column " << column);
        return rows[p + 1][static_cast<std::size_t>(at - rows[0].begin())];
      };
      const std::string whom = words(persons_[p]) + "by the program: ";
      for (const auto& [name, verdict] : published_[p].verdicts) {
        const std::string care = cell(name + " with care") == "yes" ? " with care" : "";
        faults_.unequal(whom, name, cell(name) + care, verdict);
        faults_.unequal(whom, "the dose of " + name, cell(name + " dose"), dose_of(published_[p], name));
      }
    }
  }

  const std::vector<Column>& columns_;
  const runtime::Pack pack_;
  const runtime::Names names_;
  const std::string school_;
  const runtime::Index reading_;
  const std::vector<Person> persons_;
  std::vector<Published> published_;
  Held held_;
  Faults faults_;
};

}  // namespace

Held hold(const Table& table, const std::vector<Column>& columns, const Print& print, const Holding& holding) {
  return Holder(table, columns, print, holding).held();
}

std::vector<std::string> whole_numbers(int first, int last) {
  std::vector<std::string> out;
  for (int number = first; number <= last; ++number) out.push_back(std::to_string(number));
  return out;
}

}  // namespace betony::published
