#include "grammar/rules.h"
#include "grammar/rules_practice.h"

namespace betony {
namespace {

// Reads by a rule for which it is no matter why it could not be read.
template <typename Rule>
bool tried(Reading& r) {
  try {
    return grow<rules::node<Part::sentence, Rule>>(r);
  } catch (const Failure&) {
  } catch (const Refusal&) {
  }
  r.nodes.clear();
  return false;
}

using namespace rules;  // NOLINT

struct choice_head : seq<word<Word::choice>, named<type_opening>, is, type> {};
template <Word W, typename... Until>
struct head : seq<word<W>, named<Until...>> {};
struct whole_condition : seq<condition, finish> {};
struct whole_practices : seq<list<known<practice_names>>, finish> {};

}  // namespace

bool grow_finding_head(Reading& r) { return tried<finding_head>(r); }
bool grow_choice_head(Reading& r) { return tried<choice_head>(r); }
bool grow_practices(Reading& r) { return tried<practices_line>(r); }
bool grow_units(Reading& r) { return tried<seq<word<Word::unit>, list<new_unit>>>(r); }
bool grow_leading(Reading& r) { return tried<leading_line>(r); }

bool grow_named_head(Word opening, Reading& r) {
  switch (opening) {
    case Word::finding: return tried<head<Word::finding, is>>(r);
    case Word::choice: return tried<head<Word::choice, is>>(r);
    case Word::measure: return tried<head<Word::measure, is>>(r);
    case Word::tally: return tried<head<Word::tally, counts>>(r);
    case Word::leading: return tried<head<Word::leading, is>>(r);
    case Word::term: return tried<head<Word::term, means>>(r);
    case Word::group: return tried<head<Word::group, holds>>(r);
    case Word::school: return tried<head<Word::school, holds>>(r);
    case Word::source: return tried<head<Word::source, is>>(r);
    default: return tried<head<Word::practice>>(r);
  }
}

bool grow_label(Reading& r, std::size_t at) {
  const auto text = r.text();
  pegtl::memory_input<pegtl::tracking_mode::lazy> in(text.data() + at, text.data() + text.size(), "");
  return pegtl::parse<node<Part::sentence, seq<label>>, pegtl::nothing, control>(in, r);
}

bool reads_as_condition(Reading& r) { return tried<whole_condition>(r); }
bool reads_as_practices(Reading& r) { return tried<whole_practices>(r); }

}  // namespace betony
