// What each sentence stands under. A heading holds until the next of its kind, and never past its file:
// a file named by `Use` begins without one, and after it the using file goes on where it was.
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

template <class... Lines>
bool is_one_of(const Form& form) {
  return (std::holds_alternative<Lines>(form) || ...);
}

void pass(Heading& heading, const Form& form, Index sentence) {
  if (is_one_of<PracticeLine, EveryLine>(form)) heading.practice = sentence, heading.choice_is_last = false;
  if (is_one_of<ChoiceLine>(form)) heading.choice = sentence, heading.choice_is_last = true;
  if (is_one_of<ProfileLine>(form)) heading.profile = sentence;
  if (is_one_of<PracticeLine, EveryLine, ChoiceLine, ProfileLine, FindingLine, GroupLine, MeasureLine, TermLine, TallyLine, LeadingLine>(form))
    heading.above = sentence;
}

}  // namespace

void collect_headings(Typing& typing) {
  std::unordered_map<std::uint32_t, Heading> current;  // by file
  typing.headings.resize(typing.sentences().size());
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    Heading& heading = current[typing.sentences()[i].place.file];
    pass(heading, typing.sentences()[i].form, i);
    typing.headings[i] = heading;
  }
}

}  // namespace betony
