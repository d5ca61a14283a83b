// What each sentence stands under. A heading holds until the next one, and never past its file: a file
// named by `Use` begins without one, and after it the using file goes on where it was.
#include <unordered_map>

#include "compiler/typing.h"

namespace betony {
namespace {

using tree::ChoiceLine;
using tree::EveryLine;
using tree::FindingLine;
using tree::Form;
using tree::GroupLine;
using tree::LeadingLine;
using tree::MeasureLine;
using tree::PracticeLine;
using tree::ProfileLine;
using tree::TallyLine;
using tree::TermLine;

// How a sentence changes what stands above.
struct Change {
  std::optional<Heading::Kind> heading;  // begins a heading of this kind
  bool declares = false;                 // Ask and Note after it speak of it
};

Change change(const Form& form) {
  if (std::holds_alternative<PracticeLine>(form)) return {Heading::Kind::practices, true};
  if (std::holds_alternative<EveryLine>(form)) return {Heading::Kind::every, true};
  if (std::holds_alternative<ChoiceLine>(form)) return {Heading::Kind::choice, true};
  if (std::holds_alternative<ProfileLine>(form)) return {Heading::Kind::profile, true};
  if (std::holds_alternative<FindingLine>(form) || std::holds_alternative<GroupLine>(form)) return {Heading::Kind::other, true};
  const bool declares = std::holds_alternative<MeasureLine>(form) || std::holds_alternative<TermLine>(form) ||
                        std::holds_alternative<TallyLine>(form) || std::holds_alternative<LeadingLine>(form);
  return {std::nullopt, declares};
}

}  // namespace

void collect_headings(Typing& typing) {
  std::unordered_map<std::uint32_t, Heading> current;
  typing.headings.resize(typing.sentences().size());
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    Heading& heading = current[typing.sentences()[i].place.file];
    const Change made = change(typing.sentences()[i].form);
    if (made.heading) heading.kind = *made.heading, heading.sentence = i;
    if (made.declares) heading.above = i;
    typing.headings[i] = heading;
  }
}

}  // namespace betony
