#include "viz/terminal/packing.h"

#include "viz/terminal/verb.h"

namespace betony::terminal {

runtime::Pack pack_within_bounds(const Ruleset& ruleset, const Report& report, const ship::Shipping& shipping) {
  try {
    return ship::pack_of(ruleset, report, shipping);
  } catch (const BudgetMet&) {
    throw Misuse("this ruleset is too large to be weighed with: its numbers are cut in too many places by too many sentences; "
                 "\"betony read\" checks it all the same");
  }
}

}  // namespace betony::terminal
