// Conditions: the connectives, with what stands between them typed by type_tests.cpp.
#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Condition;

std::vector<Cond> parts_of(Typing& typing, const Condition& written, Asking asking) {
  std::vector<Cond> parts;
  parts.reserve(written.parts.size());
  for (const Condition& part : written.parts) parts.push_back(type_condition(typing, part, asking));
  return parts;
}

void check_count(Typing& typing, const Condition& written, std::size_t parts) {
  if (written.count >= 1 && written.count <= parts) return;
  typing.tell(written.span, written.count == 0 ? "at least none" : "more than there are",
              written.count == 0 ? "\"At least 0\" of anything always holds."
                                 : "At least " + std::to_string(written.count) + " of " + std::to_string(parts) + " can never hold.",
              "at least " + std::to_string(parts) + " of …");
}

Cond negation(Cond part, Place place) {
  std::vector<Cond> parts;
  parts.push_back(std::move(part));
  return list_cond(Cond::Kind::negation, std::move(parts), place);
}

}  // namespace

Cond always() { return Cond{}; }

Cond test_cond(Test test, Place place) {
  Cond cond;
  cond.kind = Cond::Kind::test;
  cond.test = std::move(test);
  cond.place = place;
  return cond;
}

Cond list_cond(Cond::Kind kind, std::vector<Cond> parts, Place place) {
  Cond cond;
  cond.kind = kind;
  cond.parts = std::move(parts);
  cond.place = place;
  return cond;
}

Cond type_condition(Typing& typing, const Condition& written, Asking asking) {
  const Place place = typing.place(written.span);
  switch (written.kind) {
    case Condition::Kind::atom: return type_atom(typing, written, asking);
    case Condition::Kind::negation: return negation(type_condition(typing, written.parts.front(), asking), place);
    case Condition::Kind::all: return list_cond(Cond::Kind::all, parts_of(typing, written, asking), place);
    case Condition::Kind::any: return list_cond(Cond::Kind::any, parts_of(typing, written, asking), place);
    case Condition::Kind::none: return negation(list_cond(Cond::Kind::any, parts_of(typing, written, asking), place), place);
    case Condition::Kind::at_least: break;
  }
  Cond cond = list_cond(Cond::Kind::at_least, parts_of(typing, written, asking), place);
  cond.count = written.count;
  check_count(typing, written, cond.parts.size());
  return cond;
}

}  // namespace betony
