// runtime/pack_members.h: the members of everything in a pack, in the order in which they are written and read.
//
// One list for both ways: `archive(member)` writes a member or reads it. Inside the runtime only.
#pragma once

#include "runtime/pack.h"

namespace betony::runtime {

template <class Archive>
void members(Archive& a, About::Open& x) { a(x.kind), a(x.form), a(x.matter), a(x.where), a(x.severity, 3); }

template <class Archive>
void members(Archive& a, About& x) {
  a(x.title), a(x.edition), a(x.caution), a(x.compiler), a(x.source), a(x.even_so), a(x.errors), a(x.questions), a(x.notes), a(x.checks);
  a(x.not_settled), a(x.open);
}

template <class Archive>
void members(Archive& a, UnitName& x) { a(x.name), a(x.factor), a(x.offset), a(x.any_case); }

template <class Archive>
void members(Archive& a, Value& x) { a(x.kind, 3), a(x.word), a(x.number); }

template <class Archive>
void members(Archive& a, Finding& x) {
  a(x.name), a(x.also), a(x.kind, 6), a(x.values), a(x.part_of), a(x.low), a(x.high), a(x.step), a(x.unit), a(x.units), a(x.ago), a(x.or_never);
  a(x.usual), a(x.question), a(x.note);
}

template <class Archive>
void members(Archive& a, Step& x) { a(x.kind, 11), a(x.index), a(x.number); }

template <class Archive>
void members(Archive& a, Measure& x) { a(x.name), a(x.unit), a(x.formula); }

template <class Archive>
void members(Archive& a, Tally::Item& x) { a(x.condition), a(x.points); }

template <class Archive>
void members(Archive& a, Tally& x) { a(x.name), a(x.items); }

template <class Archive>
void members(Archive& a, Variable::End& x) { a(x.at), a(x.belongs); }

template <class Archive>
void members(Archive& a, Variable& x) { a(x.is_measure), a(x.index), a(x.ends), a(x.cells), a(x.first_input), a(x.inputs); }

template <class Archive>
void members(Archive& a, Gate& x) { a(x.kind, 4), a(x.operands); }

template <class Archive>
void members(Archive& a, Program& x) { a(x.inputs), a(x.gates); }

template <class Archive>
void members(Archive& a, Source& x) { a(x.word), a(x.title), a(x.year); }

template <class Archive>
void members(Archive& a, Citation& x) { a(x.source), a(x.locus); }

template <class Archive>
void members(Archive& a, Sentence& x) {
  a(x.kind, 11), a(x.words), a(x.label), a(x.text), a(x.aims), a(x.citations), a(x.file), a(x.line), a(x.rank, 3), a(x.conditional), a(x.despite);
  a(x.verdict, verdict_count), a(x.with_care), a(x.values), a(x.dose);
}

template <class Archive>
void members(Archive& a, Range& x) { a(x.low), a(x.high); }

template <class Archive>
void members(Archive& a, Dose& x) { a(x.amount), a(x.often), a(x.length), a(x.dimension), a(x.unit), a(x.scale), a(x.zero), a(x.factor), a(x.words); }

template <class Archive>
void members(Archive& a, Practice& x) { a(x.name), a(x.also), a(x.note), a(x.sentences), a(x.choices); }

template <class Archive>
void members(Archive& a, Choice& x) { a(x.name), a(x.also), a(x.kind, 4), a(x.values), a(x.sentences), a(x.note); }

template <class Archive>
void members(Archive& a, Reading::Ways& x) {
  a(x.withheld), a(x.discouraged), a(x.advised), a(x.allowed), a(x.care), a(x.otherwise, verdict_count), a(x.otherwise_care), a(x.otherwise_sentence);
}

template <class Archive>
void members(Archive& a, Reading& x) {
  a(x.school), a(x.applies), a(x.refers), a(x.fires), a(x.practices), a(x.fits), a(x.graphs), a(x.red_flags);
}

template <class Archive>
void members(Archive& a, DecisionGraph::Question& x) { a(x.parts), a(x.first), a(x.last), a(x.shares); }

template <class Archive>
void members(Archive& a, DecisionGraph::Way& x) { a(x.last), a(x.to); }

template <class Archive>
void members(Archive& a, DecisionGraph::Node& x) { a(x.question), a(x.ways); }

template <class Archive>
void members(Archive& a, DecisionGraph& x) { a(x.questions), a(x.nodes), a(x.root), a(x.exact); }

// Calls section(Section, members of it) for each, in order.
template <class Pack, class Each>
void sections(Pack& p, const Each& each) {
  each(Section::about, p.about);
  each(Section::units, p.unit_tables);
  each(Section::findings, p.findings);
  each(Section::measures, p.measures);
  each(Section::tallies, p.tallies);
  each(Section::variables, p.variables);
  each(Section::program, p.program, p.background);
  each(Section::sources, p.sources);
  each(Section::sentences, p.sentences);
  each(Section::doses, p.doses);
  each(Section::practices, p.practices);
  each(Section::choices, p.choices);
  each(Section::readings, p.readings);
  each(Section::graphs, p.graphs);
}

}  // namespace betony::runtime
