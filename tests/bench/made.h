// tests/bench/made.h: rulesets made from a seed, as packs and as conditions written out in C++, and persons for both.
//
// Three rulesets: 12 practices with 160 sentences each about 140 yes-or-no findings.
//
//   flat      every sentence about one finding; every finding with one person in 32
//   skewed    one to three findings to a sentence; a few findings are common, in persons and in sentences
//   nested    and, or and not, two or three deep; every third ban is taken back by sentences that allow or advise
//
// The peer is what one would write by hand: a struct of 140 bools, and for each practice a chain of ifs that returns at the
// first that holds, graver verdicts first; compiled with `c++ -O3`.
#pragma once

#include <dlfcn.h>

#include <filesystem>
#include <fstream>
#include <functional>
#include <random>
#include <string>

#include "runtime/block.h"
#include "runtime/pack_verify.h"
#include "tests/bench/clock.h"

namespace betony::bench {

using namespace betony::runtime;

constexpr unsigned practices = 12, findings = 140, batch_blocks = 32, batch_persons = batch_blocks * block_persons;

// How many sentences of a practice say what, gravest first; 160 together.
enum Says { withheld, discouraged, advised, allowed, with_care, says };
constexpr unsigned sentences_that[says] = {50, 35, 40, 20, 15}, may = sentences_that[advised] + sentences_that[allowed];

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : random_(seed) {}
  std::uint64_t word() { return random_(); }
  unsigned from(unsigned low, unsigned high) { return low + static_cast<unsigned>(random_() % (high - low + 1)); }
  // 64 bits, each 1 in `of_256` of 256 cases.
  std::uint64_t bits(unsigned of_256) {
    std::uint64_t out = 0;
    for (unsigned bit = 0; bit < 8; ++bit) out = of_256 >> bit & 1u ? out | word() : out & word();
    return out;
  }

 private:
  std::mt19937_64 random_;
};

// ---------------------------------------------------------------- rulesets

struct Form {
  enum class Kind { finding, all, any, opposite };
  Kind kind = Kind::finding;
  unsigned finding = 0;
  std::vector<Form> parts;
};

struct Rule {
  Form form;
  std::vector<unsigned> despite;  // of a ban: sentences of the practice that advise or allow and take it back, by place among those
};

struct Teaching {
  std::vector<Rule> rules[says];
};

struct Ruleset {
  const char* name;
  std::vector<unsigned> common;  // of 256, of each finding
  std::vector<Teaching> practices;
};

inline Form of_finding(unsigned finding) { return {Form::Kind::finding, finding, {}}; }

using Common = std::function<unsigned(unsigned)>;
inline Ruleset ruleset_of(const char* name, Chance& chance, const Common& common, const std::function<Form()>& form, bool exceptions) {
  Ruleset out{name, {}, {}};
  for (unsigned f = 0; f < findings; ++f) out.common.push_back(common(f));
  for (unsigned p = 0; p < practices; ++p) {
    Teaching& teaching = out.practices.emplace_back();
    for (unsigned s = 0; s < says; ++s)
      for (unsigned i = 0; i < sentences_that[s]; ++i) {
        Rule& rule = teaching.rules[s].emplace_back(Rule{form(), {}});
        if (!exceptions || s > discouraged || chance.from(0, 2) != 0) continue;
        for (unsigned n = chance.from(1, 2); n > 0; --n) rule.despite.push_back(chance.from(0, may - 1));
      }
  }
  return out;
}

inline Ruleset flat(Chance& chance) {
  return ruleset_of("flat", chance, [](unsigned) { return 8u; }, [&] { return of_finding(chance.from(0, findings - 1)); }, false);
}

// The first ten are common, and every second sentence of several findings is about one of them.
inline Ruleset skewed(Chance& chance) {
  const auto common = [](unsigned f) { return f < 10 ? 150 - 12 * f : 2 + f % 8; };
  const auto form = [&] {
    const unsigned size = chance.from(1, 3);
    if (size == 1) return of_finding(chance.from(10, findings - 1));
    Form all{Form::Kind::all, 0, {}};
    for (unsigned i = 0; i < size; ++i) {
      const bool is_common = i == 0 && chance.from(0, 1);
      all.parts.push_back(of_finding(is_common ? chance.from(0, 9) : chance.from(10, findings - 1)));
    }
    return all;
  };
  return ruleset_of("skewed", chance, common, form, false);
}

inline Form nested_form(Chance& chance, unsigned depth, bool all) {
  if (depth == 0) {
    const Form one = of_finding(chance.from(0, findings - 1));
    return chance.from(0, 3) ? one : Form{Form::Kind::opposite, 0, {one}};
  }
  Form out{all ? Form::Kind::all : Form::Kind::any, 0, {}};
  for (unsigned n = chance.from(2, 3); n > 0; --n) out.parts.push_back(nested_form(chance, chance.from(0, 2) ? depth - 1 : 0, !all));
  return chance.from(0, 5) ? out : Form{Form::Kind::opposite, 0, {Form{Form::Kind::opposite, 0, {out}}}};
}
inline Ruleset nested(Chance& chance) {
  const auto form = [&] {
    Form all = nested_form(chance, chance.from(2, 3), true);
    all.parts.push_back(of_finding(chance.from(0, findings - 1)));  // so that it does not hold of nearly everybody
    return all;
  };
  return ruleset_of("nested", chance, [](unsigned f) { return 6 + f % 20; }, form, true);
}

// The sentence that takes a ban back.
template <class Each>
const Each& of_despite(const std::vector<Each>& that_advise, const std::vector<Each>& that_allow, unsigned despite) {
  return despite < sentences_that[advised] ? that_advise[despite] : that_allow[despite - sentences_that[advised]];
}

// Everybody is meant but those with the last finding; three findings are red flags.
constexpr unsigned not_meant = findings - 1, red_flags[] = {findings - 2, findings - 3, findings - 4};

// ---------------------------------------------------------------- as a pack

class PackMaker {
 public:
  explicit PackMaker(const Ruleset& ruleset) {
    add_findings();
    Reading& reading = pack_.readings.emplace_back();
    reading.applies = input(not_meant) ^ 1u;
    std::vector<Index> flags;
    for (const unsigned f : red_flags) flags.push_back(input(f));
    reading.refers = gate(Gate::Kind::any, std::move(flags));
    for (const Teaching& teaching : ruleset.practices) add(teaching);
  }
  Pack take() { return std::move(pack_); }

 private:
  static Index input(unsigned finding) { return (1 + finding) * 2; }
  Index gate(Gate::Kind kind, std::vector<Index> operands) {
    pack_.program.gates.push_back({kind, std::move(operands)});
    return (pack_.program.slots() - 1) * 2;
  }
  void add_findings() {
    for (unsigned f = 0; f < findings; ++f) {
      Finding& finding = pack_.findings.emplace_back();
      finding.name = "finding " + std::to_string(f);
      finding.values = {"no", "yes"};
      Variable& variable = pack_.variables.emplace_back();
      variable.index = variable.first_input = f;
      variable.cells = 2, variable.inputs = 1;
    }
    pack_.program.inputs = findings;
  }
  Index of(const Form& form) {
    if (form.kind == Form::Kind::finding) return input(form.finding);
    if (form.kind == Form::Kind::opposite) return of(form.parts[0]) ^ 1u;
    std::vector<Index> parts;
    for (const Form& part : form.parts) parts.push_back(of(part));
    return gate(form.kind == Form::Kind::all ? Gate::Kind::all : Gate::Kind::any, std::move(parts));
  }
  void add(const Teaching& teaching) {
    std::vector<Index> fires[says];
    for (unsigned s = 0; s < says; ++s)
      for (const Rule& rule : teaching.rules[s]) fires[s].push_back(of(rule.form));
    for (unsigned s : {withheld, discouraged})
      for (std::size_t i = 0; i < fires[s].size(); ++i)
        if (const auto& despite = teaching.rules[s][i].despite; !despite.empty()) {
          std::vector<Index> still{fires[s][i]};
          for (const unsigned d : despite) still.push_back(of_despite(fires[advised], fires[allowed], d) ^ 1u);
          fires[s][i] = gate(Gate::Kind::all, std::move(still));
        }
    pack_.practices.emplace_back().name = "practice " + std::to_string(pack_.practices.size());
    Reading::Ways ways;
    Index* const places[says] = {&ways.withheld, &ways.discouraged, &ways.advised, &ways.allowed, &ways.care};
    for (unsigned s = 0; s < says; ++s) *places[s] = gate(Gate::Kind::any, std::move(fires[s]));
    ways.otherwise = Verdict::allowed;
    pack_.readings[0].practices.push_back(ways);
  }

  Pack pack_;
};

// ---------------------------------------------------------------- as C++

inline std::string text_of(const Form& form) {
  if (form.kind == Form::Kind::finding) return "f.finding_" + std::to_string(form.finding);
  if (form.kind == Form::Kind::opposite) return "!" + text_of(form.parts[0]);
  const std::string between = form.kind == Form::Kind::all ? " && " : " || ";
  std::string out = "(";
  for (const Form& part : form.parts) out += (out.size() > 1 ? between : "") + text_of(part);
  return out + ")";
}

inline std::string chain_of(const Teaching& teaching, unsigned practice) {
  const std::string number = std::to_string(practice);
  std::string out = "static bool care_" + number + "(const Person& f) {\n";
  for (const Rule& rule : teaching.rules[with_care]) out += "  if (" + text_of(rule.form) + ") return true;\n";
  out += "  return false;\n}\nstatic unsigned char practice_" + number + "(const Person& f) {\n";
  for (unsigned s = withheld; s < with_care; ++s)
    for (const Rule& rule : teaching.rules[s]) {
      out += "  if (" + text_of(rule.form);
      for (const unsigned d : rule.despite) out += " && !" + text_of(of_despite(teaching.rules[advised], teaching.rules[allowed], d).form);
      const std::string care = s < advised ? "" : "care_" + number + "(f) ? " + std::to_string(10 + s) + " : ";
      out += ") return " + care + std::to_string(2 + s) + ";\n";
    }
  return out + "  return care_" + number + "(f) ? 13 : 5;\n}\n";
}

inline std::string program_of(const Ruleset& ruleset) {
  std::string out = "struct Person {\n";
  for (unsigned f = 0; f < findings; ++f) out += "  bool finding_" + std::to_string(f) + ";\n";
  out += "};\n";
  for (unsigned p = 0; p < practices; ++p) out += chain_of(ruleset.practices[p], p);
  const auto each = [&](const auto& value) {
    for (unsigned p = 0; p < practices; ++p) out += "  codes[" + std::to_string(p) + "] = " + value(p) + ";\n";
  };
  out += "static void everybody(unsigned char verdict, unsigned char* codes) {\n";
  each([](unsigned) { return std::string("verdict"); });
  out += "}\nstatic void weigh_one(const Person& f, unsigned char* codes) {\n";
  out += "  if (f.finding_" + std::to_string(not_meant) + ") return everybody(0, codes);\n";
  for (const unsigned f : red_flags) out += "  if (f.finding_" + std::to_string(f) + ") return everybody(1, codes);\n";
  each([](unsigned p) { return "practice_" + std::to_string(p) + "(f)"; });
  return out + "}\nextern \"C\" void weigh_all(const Person* persons, unsigned long count, unsigned char* codes) {\n"
               "  for (unsigned long i = 0; i < count; ++i) weigh_one(persons[i], codes + i * " + std::to_string(practices) + ");\n}\n" +
         R"(#ifdef PROGRAM
#include <cstdio>
int main(int, char** words) {
  static Person persons[4096];
  static unsigned char codes[sizeof persons / sizeof *persons * )" + std::to_string(practices) + R"(];
  unsigned long said[16] = {};
  std::FILE* file = std::fopen(words[1], "rb");
  if (!file) return 3;
  std::setvbuf(file, nullptr, _IONBF, 0);
  for (unsigned long count; (count = std::fread(persons, sizeof *persons, sizeof persons / sizeof *persons, file)) > 0;) {
    weigh_all(persons, count, codes);
    for (unsigned long i = 0; i < count * )" + std::to_string(practices) + R"(; ++i) ++said[codes[i]];
  }
  unsigned long sum = 0;
  for (unsigned long code = 0; code < 16; ++code) sum = sum * 31 + said[code];
  std::printf("%lu\n", sum % 1000000007);
}
#endif
)";
}

// The chains compiled, with c++ -O3: a function of a library that is open, and a program of its own.
struct Peer {
  void (*weigh)(const std::uint8_t* persons, unsigned long count, std::uint8_t* codes) = nullptr;
  std::string program;               // reads persons from the file it is given, prints how many codes of each kind there are
};

inline std::filesystem::path bench_folder() {
  static const auto folder = [] {
    auto made = std::filesystem::temp_directory_path() / ("betony-bench-" + std::to_string(::getpid()));
    std::filesystem::create_directories(made);
    return made;
  }();
  return folder;
}

inline Peer peer_of(const Ruleset& ruleset) {
  // A name of its own each: a library that is open is found again by its name.
  const std::string base = (bench_folder() / ruleset.name).string(), source = base + ".cpp", library = base + ".so";
  std::ofstream(source) << program_of(ruleset);
  void* opened = nullptr;
  const std::string compile = "c++ -std=c++20 -O3 '" + source + "' -o '";
  if (std::system((compile + library + "' -shared -fPIC").c_str()) == 0 && std::system((compile + base + "' -DPROGRAM").c_str()) == 0)
    opened = ::dlopen(library.c_str(), RTLD_NOW);
  Peer peer{opened ? reinterpret_cast<decltype(Peer::weigh)>(::dlsym(opened, "weigh_all")) : nullptr, base};
  if (peer.weigh) return peer;
  std::printf("the peer of %s cannot be compiled\n", ruleset.name);
  std::exit(1);
}

// ---------------------------------------------------------------- persons

struct Batch {
  std::vector<Block> blocks = std::vector<Block>(batch_blocks);
  std::vector<std::uint8_t> bools = std::vector<std::uint8_t>(std::size_t{batch_persons} * findings);
};

inline void fill(Batch& batch, const Ruleset& ruleset, Chance& chance) {
  for (unsigned b = 0; b < batch_blocks; ++b) {
    Block& block = batch.blocks[b];
    block.clear(findings);
    block.persons = block_persons;
    for (unsigned f = 0; f < findings; ++f)
      for (unsigned w = 0; w < block_words; ++w) {
        const std::uint64_t bits = block.planes[f * block_words + w] = chance.bits(ruleset.common[f]);
        std::uint8_t* person = &batch.bools[(std::size_t{b} * block_persons + w * 64) * findings + f];
        for (unsigned i = 0; i < 64; ++i, person += findings) *person = bits >> i & 1u;
      }
  }
}

}  // namespace betony::bench
