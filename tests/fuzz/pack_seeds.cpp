// tests/fuzz/pack_seeds.cpp: `pack_seeds FOLDER` writes the small packs that the fuzzer begins with into FOLDER.
//
// Each is sound and has something that the others lack: some are made by hand, those with decision graphs of a source. Short packs are
// tried more often.
#include <cstdio>
#include <cstdlib>
#include <fstream>

#include "compiler/ship/ship.h"
#include "runtime/pack_verify.h"
#include "tests/fuzz/pack_input.h"

namespace {

using namespace betony::runtime;

Number number(const char* text) { return *Number::read(text); }

// ---------------------------------------------------------------- parts

class Maker {
 public:
  Maker() { pack_.readings.emplace_back(); }

  Finding& words(const char* name, Finding::Kind kind, std::vector<std::string> values) {
    Finding& out = pack_.findings.emplace_back();
    out.name = name, out.kind = kind, out.values = std::move(values);
    return out;
  }
  Finding& yes_no(const char* name) { return words(name, Finding::Kind::yes_no, {"no", "yes"}); }
  Finding& numbers(const char* name, const char* low, const char* high, const char* step, Finding::Kind kind = Finding::Kind::number) {
    Finding& out = pack_.findings.emplace_back();
    out.name = name, out.kind = kind, out.low = number(low), out.high = number(high), out.step = number(step);
    return out;
  }

  // The last finding or measure is asked for; gives the operand of its first input.
  Index cut(std::vector<Variable::End> ends = {}, bool is_measure = false) {
    Variable v;
    v.is_measure = is_measure;
    v.index = static_cast<Index>((is_measure ? pack_.measures.size() : pack_.findings.size()) - 1);
    v.first_input = pack_.program.inputs;
    const Finding* finding = is_measure ? nullptr : &pack_.findings[v.index];
    const bool never = finding && finding->or_never;
    if (finding && finding->has_words()) {
      v.cells = static_cast<Index>(finding->values.size());
      v.inputs = finding->kind == Finding::Kind::yes_no ? 1 : v.cells;
    } else {
      v.ends = std::move(ends);
      v.inputs = static_cast<Index>(v.ends.size()) + never, v.cells = v.inputs + 1;
    }
    pack_.program.inputs += v.inputs;
    pack_.variables.push_back(std::move(v));
    return (1 + pack_.variables.back().first_input) * 2;
  }
  Index gate(Gate::Kind kind, std::vector<Index> operands) {
    pack_.program.gates.push_back({kind, std::move(operands)});
    return (pack_.program.slots() - 1) * 2;
  }

  // Fires where the operand holds.
  Sentence& sentence(Sentence::Kind kind, Index fires) {
    Sentence& out = pack_.sentences.emplace_back();
    out.kind = kind, out.words = "S" + std::to_string(pack_.sentences.size()), out.file = "a.bty";
    out.line = static_cast<std::uint32_t>(pack_.sentences.size()), out.conditional = fires > 1;
    pack_.readings[0].fires.push_back(fires);
    return out;
  }
  Sentence& dose(Index fires, Dose dose) {
    pack_.doses.push_back(std::move(dose));
    Sentence& out = sentence(Sentence::Kind::dose, fires);
    out.dose = static_cast<Index>(pack_.doses.size() - 1);
    return out;
  }
  // Has all sentences so far.
  Reading::Ways& practice(const char* name) {
    Practice& out = pack_.practices.emplace_back();
    out.name = name;
    for (Index s = 0; s < pack_.sentences.size(); ++s) out.sentences.push_back(s);
    return pack_.readings[0].practices.emplace_back();
  }

  Pack& pack() { return pack_; }

 private:
  Pack pack_;
};

using FK = Finding::Kind;
using GK = Gate::Kind;
using SK = Sentence::Kind;
using Op = Step::Kind;

// ---------------------------------------------------------------- packs

// Every rung of the ladder, bans that are taken back, red flags, two readings.
Pack verdicts() {
  Maker make;
  make.yes_no("a");
  const Index a = make.cut();
  make.yes_no("b").also = {"bee"};
  const Index b = make.cut();
  make.yes_no("c").usual = Value{Value::Kind::word, 0, {}};
  const Index c = make.cut();
  make.pack().sources = {{"SB", "Bath book", 1911}};
  make.sentence(SK::indicated, a).citations = {{0, "2.4"}};
  make.sentence(SK::contraindicated, b).label = "ban";
  make.sentence(SK::allowed, c).despite = {1};
  make.sentence(SK::discouraged, make.gate(GK::all, {a, b ^ 1u}));
  make.sentence(SK::caution, c).text = "Slowly.";
  make.sentence(SK::otherwise, 1).verdict = Verdict::allowed;
  make.sentence(SK::refer, make.gate(GK::all, {a, b, c})).text = "See a physician.";
  Reading::Ways& ways = make.practice("soak");
  make.pack().practices[0].sentences.pop_back();
  ways.withheld = make.gate(GK::all, {b, c ^ 1u}), ways.discouraged = a, ways.advised = a, ways.allowed = c, ways.care = c;
  ways.otherwise = Verdict::allowed, ways.otherwise_care = true, ways.otherwise_sentence = 5;
  make.pack().readings[0].refers = make.pack().readings[0].fires[6];
  make.pack().readings[0].applies = make.gate(GK::any, {a, b ^ 1u});
  make.pack().background = make.gate(GK::parity, {a, b}) ^ 1u;
  make.pack().readings.push_back(make.pack().readings[0]);
  make.pack().readings[1].school = "river", make.pack().readings[1].practices[0].discouraged = 0;
  make.pack().about.title = "Hill", make.pack().about.caution = "This is not a diagnosis.";
  return make.pack();
}

// Words, choices, and what goes by them.
Pack choices() {
  Maker make;
  make.words("mood", FK::grade, {"calm", "very  calm", "wild"});
  const Index mood = make.cut();
  make.words("hue", FK::one_of, {"red", "no", "yes"}).part_of = "hues";
  const Index hue = make.cut();
  Pack& pack = make.pack();
  pack.choices = {{"oil", {"fat"}, Choice::Kind::any_of, {"seal", "nut"}, {0, 1, 2}, "note"},
                  {"heat", {}, Choice::Kind::highest, {"low", "high"}, {0}, ""}};
  make.sentence(SK::take, mood).values = {0};
  make.sentence(SK::refuse, hue).values = {0, 1};
  make.sentence(SK::choice_otherwise, 1).values = {1};
  make.practice("walk").advised = make.gate(GK::any, {mood, hue + 2});
  pack.practices[0].choices = {0, 1};
  pack.readings[0].fits = {{mood, hue ^ 1u}, {hue + 4, mood + 2}};
  return pack;
}

// Numbers of every kind, in units.
Pack numbers() {
  Maker make;
  make.pack().unit_tables = {{{"kg", 1, {}, false}, {"g", number("1/1000"), {}, true}},
                             {{"degC", 1, {}, false}, {"degF", number("5/9"), number("-160/9"), true}}};
  Finding& weight = make.numbers("weight", "2", "350", "0.1");
  weight.unit = "kg", weight.units = 0;
  const Index w = make.cut({{45, false}, {45, true}, {number("211/3"), true}});
  Finding& warmth = make.numbers("warmth", "30", "45", "0");
  warmth.unit = "degC", warmth.units = 1;
  const Index t = make.cut({{number("36.6"), true}});
  Finding& bath = make.numbers("bath", "0", "400", "1");
  bath.or_never = bath.ago = true, bath.usual = Value{Value::Kind::number, 0, 7};
  const Index never = make.cut({{1, true}}) + 2;
  make.numbers("born", "0", "365", "0", FK::date);
  const Index born = make.cut({{59, true}});
  make.numbers("up", "0", "1439", "0", FK::time_of_day);
  const Index up = make.cut({{390, false}});
  Reading::Ways& ways = make.practice("swim");
  ways.withheld = make.gate(GK::most, {w, t, never}), ways.advised = make.gate(GK::any, {born, up ^ 1u, w + 4}), ways.care = w + 2;
  return make.pack();
}

// Measures, one with a tally whose points hang on another measure.
Pack measures() {
  Maker make;
  make.numbers("x", "-5", "20", "0.5");
  const Index x = make.cut({{0, true}});
  make.numbers("y", "0", "3", "0");
  Pack& pack = make.pack();
  pack.measures = {{"ratio", "", {{Op::finding, 0, {}}, {Op::finding, 1, {}}, {Op::finding, 1, {}}, {Op::multiply, 0, {}}, {Op::divide, 0, {}}}}};
  const Index ratio = make.cut({{2, false}, {25, true}}, true);
  pack.tallies = {{"points", {{x, 3}, {ratio, -1}}}};
  const Step third = {Op::number, 0, number("1/3")}, two = {Op::number, 0, 2};
  pack.measures.push_back({"scored", "", {{Op::tally, 0, {}}, {Op::measure, 0, {}}, third, {Op::most, 3, {}}, {Op::negate, 0, {}}}});
  const Index scored = make.cut({{number("-1/3"), false}}, true);
  pack.measures.push_back({"spread", "", {{Op::finding, 0, {}}, {Op::measure, 1, {}}, {Op::subtract, 0, {}}, two, {Op::least, 2, {}}}});
  const Index spread = make.cut({{1, true}}, true);
  make.practice("stretch").advised = make.gate(GK::parity, {x, ratio, scored, spread ^ 1u});
  return pack;
}

// Doses that agree and that clash, by practice and by group.
Pack doses() {
  Maker make;
  make.yes_no("thin");
  const Index thin = make.cut();
  make.yes_no("old");
  const Index old = make.cut();
  Dose plain;
  plain.amount = {300, 600}, plain.often = {number("1/43200"), number("1/43200")}, plain.length = {{}, 432000};
  plain.unit = "min", plain.scale = 60;
  Dose warm;
  warm.amount = {number("303.15"), {}}, warm.dimension = 1, warm.unit = "degC", warm.scale = 1, warm.zero = number("273.15");
  warm.often = {{}, number("1/259200")};
  Dose less;
  less.factor = number("1/2"), less.scale = 1, less.words = "until damp";
  Dose hourly = plain;
  hourly.often = {number("1/3600"), number("1/3600")}, hourly.amount = {900, {}};
  make.dose(1, plain).rank = 1;
  make.dose(thin, warm);
  make.dose(old, less);
  make.dose(old, hourly);
  Reading::Ways& ways = make.practice("steam");
  ways.advised = thin, ways.otherwise = Verdict::allowed;
  return make.pack();
}

// Gates of all kinds and sizes, deep, and terms with parts in common.
Pack gates() {
  Maker make;
  std::vector<Index> inputs;
  for (int i = 0; i < 6; ++i) make.yes_no(("f" + std::to_string(i)).c_str()), inputs.push_back(make.cut());
  std::vector<Index> terms;
  for (const Index i : inputs) terms.push_back(make.gate(GK::all, {i, inputs[0] ^ 1u, inputs[3]}));
  Index last = make.gate(GK::any, terms);
  for (const Index i : inputs) last = make.gate(GK::most, {last, i, make.gate(GK::parity, {last, i ^ 1u})});
  make.practice("rest").withheld = make.gate(GK::any, {last, make.gate(GK::any, {}), make.gate(GK::all, {}) ^ 1u, inputs[2]});
  make.practice("run").advised = make.gate(GK::all, {last ^ 1u, terms[1], 1});
  return make.pack();
}

// ---------------------------------------------------------------- of a source, with decision graphs

// What is only shown, and most units, are left out.
Pack shipped(const std::string& source) {
  const auto read = betony::read_ruleset({"a.bty", "Ruleset \"Hill\", edition \"1\".\n" + source}, [](const std::string&) { return std::nullopt; });
  for (const betony::Message& message : read.messages) std::fprintf(stderr, "%s: %s\n", message.matter.c_str(), message.message.c_str());
  if (!read.value) std::exit(1);
  Pack out = betony::ship::pack_of(*read.value, {}, {"", false});
  out.about = {};
  for (auto& table : out.unit_tables) table.resize(std::min<std::size_t>(table.size(), 2));
  for (Finding& finding : out.findings) finding.question.clear(), finding.note.clear();
  for (Sentence& sentence : out.sentences) sentence.words.clear(), sentence.file.clear();
  return out;
}

// Words, red flags, facts about everybody, two schools.
Pack schools() {
  return shipped(
      "Source MB is \"Mill book\", 1911. Source RB is \"River book\", 1923.\nSchool mill holds MB. School river holds RB.\n"
      "Finding fever is yes or no. Finding thin is yes or no.\nFinding cough is a grade of none, dry, wet.\n"
      "It cannot be that thin and cough is dry.\nRefer in fever and cough is wet: \"See a physician.\" [MB 1].\n"
      "Practice soak.\n  Indicated in cough is dry [MB 2].\n  Contraindicated in fever, called ban [RB 1].\n  Allowed in thin, despite ban [MB 3].\n"
      "  Caution in thin: \"Slowly.\".\n  Otherwise allowed.\n");
}

// A number in steps, and one that may be never; several practices.
Pack thresholds() {
  return shipped(
      "Finding age is a whole number of years from 0 to 110. Finding meal is a number of h ago from 0 to 24 in steps of 0.5, or never, usually 3.\n"
      "Applies to age at least 14.\n"
      "Practice swim.\n  Contraindicated in meal under 1 h ago.\n  Indicated in age under 60.\n"
      "  Dose 5 to 10 min, twice a day. Dose half in age over 50.\n"
      "Practice sun.\n  Indicated in meal over 2 h ago.\n  Otherwise withheld.\n");
}

// A measure that binds two numbers in steps; a tally beside it.
Pack bound() {
  return shipped(
      "Finding weight is a number of kg from 20 to 120 in steps of 1. Finding height is a number of m from 1 to 2 in steps of 0.1, usually 1.7.\n"
      "Finding frail is yes or no.\nMeasure build is weight / (height * height) in kg/m2.\nTally signs counts frail as 2, and weight under 40 as 1.\n"
      "Practice carry.\n  Contraindicated in build under 18.5 or signs at least 3.\n  Indicated in height over 1.5 m.\n");
}

// A measure that binds numbers without steps; a red flag.
Pack without_steps() {
  return shipped(
      "Finding warmth is a number of Cel from 30 to 45.\n"
      "Finding weight is a number of kg from 20 to 120. Finding water is a number of L from 0 to 5.\n"
      "Measure share is water / weight in L/kg.\nRefer in warmth over 39.5 Cel: \"See a physician.\".\n"
      "Practice drink.\n  Indicated in share under 0.02 L/kg.\n  Discouraged in weight over 100 kg.\n");
}

void write(const std::string& file, const Pack& pack) {
  if (const std::string wrong = what_is_wrong(pack); !wrong.empty()) {
    std::fprintf(stderr, "%s: %s\n", file.c_str(), wrong.c_str());
    std::exit(1);
  }
  std::vector<std::uint8_t> choices;
  for (int i = 0; i < 16; ++i) choices.push_back(static_cast<std::uint8_t>(i * 37));
  const auto bytes = betony::fuzz::joined(choices, write_pack(pack));
  std::ofstream out(file, std::ios::binary);
  out.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  if (!out.flush()) {
    std::fprintf(stderr, "%s cannot be written\n", file.c_str());
    std::exit(1);
  }
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) return std::fprintf(stderr, "usage: pack_seeds FOLDER\n"), 3;
  const std::string folder = std::string(arguments[1]) + "/";
  Pack empty;
  empty.readings.emplace_back();
  write(folder + "empty", empty);
  write(folder + "verdicts", verdicts());
  write(folder + "choices", choices());
  write(folder + "numbers", numbers());
  write(folder + "measures", measures());
  write(folder + "doses", doses());
  write(folder + "gates", gates());
  write(folder + "schools", schools());
  write(folder + "thresholds", thresholds());
  write(folder + "bound", bound());
  write(folder + "without_steps", without_steps());
}
