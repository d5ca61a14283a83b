#include "compiler/ship/ways.h"

namespace betony::ship {

namespace {

constexpr std::size_t longest_number = 4096;

}  // namespace

runtime::Number number_in_pack(const Rational& x) { return runtime::Number::read(x.get_str(), longest_number).value(); }

runtime::Verdict verdict_in_pack(tree::Verdict verdict) {
  switch (verdict) {
    case tree::Verdict::outside: return runtime::Verdict::outside;
    case tree::Verdict::referred: return runtime::Verdict::referred;
    case tree::Verdict::withheld: return runtime::Verdict::withheld;
    case tree::Verdict::discouraged: return runtime::Verdict::discouraged;
    case tree::Verdict::advised: return runtime::Verdict::advised;
    case tree::Verdict::allowed: return runtime::Verdict::allowed;
    default: return runtime::Verdict::silent;
  }
}

std::vector<runtime::Variable> variables_in_pack(const Ruleset& ruleset, const Universe& universe, runtime::Program& program) {
  std::vector<runtime::Variable> variables;
  for (const Variable& v : universe.variables) {
    const Dimension& dimension = v.dimensions[0];
    runtime::Variable& out = variables.emplace_back();
    out.is_measure = dimension.is_measure;
    out.index = dimension.index;
    out.cells = static_cast<Index>(dimension.extents.size());
    out.first_input = program.inputs;
    if (dimension.extents[0].kind == Extent::Kind::word) {
      out.inputs = !dimension.is_measure && ruleset.findings[dimension.index].kind == Finding::Kind::yes_no ? 1 : out.cells;
    } else {
      const bool never = dimension.extents.back().kind == Extent::Kind::never;
      for (std::size_t e = 0; e + 1 + never < dimension.extents.size(); ++e)
        out.ends.push_back({number_in_pack(*dimension.extents[e].numbers.high), dimension.extents[e].numbers.high_in});
      out.inputs = static_cast<Index>(out.ends.size()) + never;
    }
    program.inputs += out.inputs;
  }
  return variables;
}

runtime::Reading::Ways ways_of(const Ruleset& ruleset, Meaning& meaning, Gates& gates, Index practice, Reading reading) {
  const auto any = [&](Sentence::Kind kind, bool live) {
    std::vector<Operand> all;
    for (Index s : meaning.sentences(practice, kind, reading))
      all.push_back(gates.of(live ? meaning.live(practice, s, reading) : meaning.fires(s, reading)));
    return gates.any(std::move(all));
  };
  runtime::Reading::Ways out;
  out.withheld = any(Sentence::Kind::contraindicated, true);
  out.discouraged = any(Sentence::Kind::discouraged, true);
  out.advised = any(Sentence::Kind::indicated, false);
  out.allowed = any(Sentence::Kind::allowed, false);
  out.care = any(Sentence::Kind::caution, false);
  if (const auto otherwise = meaning.otherwise(practice, reading)) {
    out.otherwise = verdict_in_pack(ruleset.sentences[*otherwise].verdict);
    out.otherwise_care = ruleset.sentences[*otherwise].with_care;
  }
  return out;
}

}  // namespace betony::ship
