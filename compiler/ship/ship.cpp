#include "compiler/ship/ship.h"

#include <algorithm>
#include <set>

#include "compiler/meaning.h"
#include "compiler/ship/gates.h"
#include "compiler/ship/graphs.h"
#include "compiler/ship/ways.h"
#include "runtime/digest.h"

namespace betony::ship {

const char* const caution =
    "This reports what a school teaches. It is not a diagnosis and no medical advice, and gives way to licensed care and to local rules. "
    "With any sign of danger, seek care first.";

namespace {

runtime::Number number(const Rational& x) { return number_in_pack(x); }

runtime::Value value(const Value& v) { return {static_cast<runtime::Value::Kind>(v.kind), v.word, number(v.number)}; }

std::optional<runtime::Range> range(const std::optional<Interval>& interval) {
  if (!interval) return std::nullopt;
  runtime::Range out;
  if (interval->low) out.low = number(*interval->low);
  if (interval->high) out.high = number(*interval->high);
  return out;
}

std::optional<runtime::Sentence::Kind> kind(Sentence::Kind kind) {
  using To = runtime::Sentence::Kind;
  switch (kind) {
    case Sentence::Kind::indicated: return To::indicated;
    case Sentence::Kind::allowed: return To::allowed;
    case Sentence::Kind::discouraged: return To::discouraged;
    case Sentence::Kind::contraindicated: return To::contraindicated;
    case Sentence::Kind::caution: return To::caution;
    case Sentence::Kind::dose: return To::dose;
    case Sentence::Kind::otherwise: return To::otherwise;
    case Sentence::Kind::take: return To::take;
    case Sentence::Kind::refuse: return To::refuse;
    case Sentence::Kind::choice_otherwise: return To::choice_otherwise;
    case Sentence::Kind::refer: return To::refer;
    default: return std::nullopt;
  }
}

class Packer {
 public:
  Packer(const Ruleset& ruleset, const Report& report, const Shipping& shipping)
      : r_(ruleset), report_(report), shipping_(shipping), universe_(cut(ruleset, Scoping(ruleset).everything().scope(), BoundFindings::none(ruleset))),
        meaning_(ruleset, universe_) {}

  runtime::Pack pack() {
    about();
    findings();
    for (const Source& s : r_.sources) pack_.sources.push_back({s.word, s.title, static_cast<std::uint32_t>(std::max(s.year, 0L))});
    pack_.variables = variables_in_pack(r_, universe_, pack_.program);
    sentences();
    practices();
    choices();
    // From here on the variables stay where they are.
    Gates gates(meaning_.conditions(), universe_, pack_.variables, pack_.program);
    tallies(gates);
    measures();
    pack_.background = gates.of(meaning_.background());
    pack_.readings.push_back(reading(gates, {}));
    for (Index school = 0; school < r_.schools.size(); ++school) pack_.readings.push_back(reading(gates, {school}));
    add_graphs(r_, pack_);
    return std::move(pack_);
  }

 private:
  // ---------------------------------------------------------------- what it is

  void about() {
    runtime::About& about = pack_.about;
    about.title = r_.title;
    about.edition = r_.edition;
    about.caution = caution;
    about.compiler = shipping_.compiler;
    about.even_so = shipping_.even_so;
    runtime::Sha256 digest;
    for (const SourceFile& file : r_.tree.files) {
      const std::string_view text = LineIndex(file).text();
      digest.add({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
    }
    about.source = digest.finish();
    about.errors = static_cast<std::uint32_t>(report_.count(Severity::error));
    about.questions = static_cast<std::uint32_t>(report_.count(Severity::question));
    about.notes = static_cast<std::uint32_t>(report_.count(Severity::note));
    about.not_settled = report_.not_settled;
    std::set<std::string> open;
    for (const Problem& p : report_.problems) {
      if (p.severity != Severity::note) open.insert(p.kind);
      const std::string where = !p.practice.empty() ? p.practice : !p.choice.empty() ? p.choice : p.finding;
      if (p.severity != Severity::note) about.open.push_back({p.kind, p.form, p.matter, where, static_cast<std::uint8_t>(p.severity)});
    }
    for (const char* check : {"contradiction", "dissent", "silence", "never-applies", "idle", "dose-clash", "dose-missing", "choice-clash", "choice-empty",
                              "order-loop", "broken-company", "claim-refuted", "expectation-failed", "unused", "uncited", "unasked"})
      if (open.count(check) == 0) about.checks.push_back(check);
  }

  // ---------------------------------------------------------------- findings

  void findings() {
    for (const Finding& f : r_.findings) {
      runtime::Finding out;
      out.name = f.name;
      out.also = f.also;
      out.kind = static_cast<runtime::Finding::Kind>(f.kind);
      out.values = f.values;
      out.part_of = f.part_of;
      out.low = number(f.low), out.high = number(f.high), out.step = number(f.step);
      out.unit = f.unit;
      if (f.kind == Finding::Kind::number) out.units = units_of(f.unit);
      out.ago = f.ago, out.or_never = f.or_never;
      if (f.usual) out.usual = value(*f.usual);
      out.question = f.question, out.note = f.note;
      pack_.findings.push_back(std::move(out));
    }
  }

  // How the finding's unit, and others that measure the same, are told.
  Index units_of(const std::string& unit) {
    const auto [at, is_new] = unit_tables_.try_emplace(unit, static_cast<Index>(pack_.unit_tables.size()));
    if (!is_new) return at->second;
    const Unit own = r_.units.read(unit).unit.value();
    auto& table = pack_.unit_tables.emplace_back();
    const auto enter = [&](const std::string& name, const Unit& other, bool any_case) {
      const Rational factor = other.factor / own.factor;
      table.push_back({name, number(factor), number(factor * other.offset - own.offset), any_case});
    };
    if (!unit.empty()) enter(unit, own, false);
    for (const UnitBook::Named& named : r_.units.names_alike(own))
      if (named.name != unit) enter(named.name, named.unit, named.any_case);
    return at->second;
  }

  void formula(const Formula& f, std::vector<runtime::Step>& out) const {
    for (const Formula& part : f.parts) formula(part, out);
    runtime::Step step;
    step.kind = static_cast<runtime::Step::Kind>(f.kind);
    step.number = number(f.number);
    step.index = f.index;
    if (step.kind == runtime::Step::Kind::least || step.kind == runtime::Step::Kind::most) step.index = static_cast<Index>(f.parts.size());
    out.push_back(std::move(step));
  }

  void measures() {
    for (const Measure& m : r_.measures) {
      runtime::Measure& out = pack_.measures.emplace_back();
      out.name = m.name, out.unit = m.unit;
      formula(m.formula, out.formula);
    }
  }

  void tallies(Gates& gates) {
    for (const Tally& t : r_.tallies) {
      runtime::Tally& out = pack_.tallies.emplace_back();
      out.name = t.name;
      for (const Tally::Item& item : t.items) out.items.push_back({gates.of(meaning_.condition(item.condition, {})), number(item.points)});
    }
  }

  // ---------------------------------------------------------------- sentences

  void sentences() {
    std::vector<LineIndex> lines;
    for (const SourceFile& file : r_.tree.files) lines.emplace_back(file);
    shipped_.assign(r_.sentences.size(), no_index);
    Index next = 0;
    for (Index s = 0; s < r_.sentences.size(); ++s)
      if (kind(r_.sentences[s].kind)) shipped_[s] = next++;
    for (Index s = 0; s < r_.sentences.size(); ++s)
      if (shipped_[s] != no_index) pack_.sentences.push_back(sentence(r_.sentences[s], lines));
  }

  runtime::Sentence sentence(const Sentence& s, const std::vector<LineIndex>& lines) {
    runtime::Sentence out;
    out.kind = *kind(s.kind);
    out.words = words_of(r_, s);
    if (out.words.ends_with('.') && !out.words.ends_with("..")) out.words.pop_back();  // its stop
    out.label = s.label, out.text = s.text, out.aims = s.aims;
    for (const Citation& c : s.citations) out.citations.push_back({c.source, c.locus});
    out.file = r_.tree.files[s.place.file].name;
    out.line = lines[s.place.file].number(s.place.span.begin);
    out.rank = static_cast<std::uint8_t>(rank(s));
    out.conditional = is_conditional(s);
    for (Index ban : s.despite) out.despite.push_back(shipped_[ban]);
    out.verdict = verdict_in_pack(s.verdict);
    out.with_care = s.with_care;
    out.values = s.values;
    if (s.kind == Sentence::Kind::dose) out.dose = dose(r_.doses[s.dose]);
    return out;
  }

  Index dose(const Dose& d) {
    runtime::Dose out;
    out.amount = range(d.amount), out.often = range(d.often), out.length = range(d.length);
    const auto alike_to = std::find_if(dimensions_.begin(), dimensions_.end(), [&](const Unit& unit) { return alike(unit, d.unit); });
    out.dimension = static_cast<Index>(alike_to - dimensions_.begin());
    if (alike_to == dimensions_.end()) dimensions_.push_back(d.unit);
    out.unit = d.unit_text;
    out.scale = number(d.unit.factor), out.zero = number(d.unit.offset);
    if (d.factor) out.factor = number(*d.factor);
    out.words = d.words;
    pack_.doses.push_back(std::move(out));
    return static_cast<Index>(pack_.doses.size() - 1);
  }

  std::vector<Index> shipped(const std::vector<Index>& sentences) const {
    std::vector<Index> out;
    for (Index s : sentences)
      if (shipped_[s] != no_index) out.push_back(shipped_[s]);
    return out;
  }

  void practices() {
    for (const Practice& p : r_.practices) {
      runtime::Practice& out = pack_.practices.emplace_back();
      out.name = p.name, out.also = p.also, out.note = p.note;
      out.sentences = shipped(p.sentences);
      std::set<Index> choices;
      for (Index s : p.sentences)
        if (r_.sentences[s].kind == Sentence::Kind::uses) choices.insert(r_.sentences[s].others.begin(), r_.sentences[s].others.end());
      out.choices.assign(choices.begin(), choices.end());
    }
  }

  void choices() {
    for (const Choice& c : r_.choices) {
      runtime::Choice& out = pack_.choices.emplace_back();
      out.name = c.name, out.also = c.also, out.note = c.note;
      out.kind = static_cast<runtime::Choice::Kind>(c.kind);
      out.values = c.values;
      out.sentences = shipped(c.sentences);
    }
  }

  // ---------------------------------------------------------------- what is told

  runtime::Reading reading(Gates& gates, Reading of) {
    runtime::Reading out;
    if (of.school != no_index) out.school = r_.schools[of.school].name;
    out.applies = gates.of(meaning_.applies());
    out.refers = gates.of(meaning_.refers(of));
    for (Index s = 0; s < r_.sentences.size(); ++s)
      if (shipped_[s] != no_index) out.fires.push_back(in_reading(r_, r_.sentences[s], of) ? gates.of(meaning_.fires(s, of)) : no_operand);
    for (Index p = 0; p < r_.practices.size(); ++p) out.practices.push_back(ways(gates, p, of));
    for (Index c = 0; c < r_.choices.size(); ++c) {
      auto& fits = out.fits.emplace_back();
      for (Index v = 0; v < r_.choices[c].values.size(); ++v) fits.push_back(gates.of(meaning_.takes(c, v, of)));
    }
    return out;
  }

  runtime::Reading::Ways ways(Gates& gates, Index practice, Reading of) {
    runtime::Reading::Ways out = ways_of(r_, meaning_, gates, practice, of);
    if (const auto otherwise = meaning_.otherwise(practice, of)) out.otherwise_sentence = shipped_[*otherwise];
    return out;
  }

  const Ruleset& r_;
  const Report& report_;
  const Shipping& shipping_;
  const Universe universe_;
  Meaning meaning_;
  runtime::Pack pack_;
  std::vector<Index> shipped_;                // of each sentence, where it stands in the pack
  std::vector<Unit> dimensions_;              // of amounts
  std::map<std::string, Index> unit_tables_;
};

}  // namespace

runtime::Pack pack_of(const Ruleset& ruleset, const Report& report, const Shipping& shipping) { return Packer(ruleset, report, shipping).pack(); }

}  // namespace betony::ship
