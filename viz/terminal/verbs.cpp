#include "viz/terminal/verb.h"

namespace betony::terminal {

const std::vector<VerbEntry>& verbs() {
  static const std::vector<VerbEntry> table = {read_verb(), weigh_verb(), ask_verb(), try_verb(),
                                               draw_verb(), ship_verb(), tidy_verb()};
  return table;
}

}  // namespace betony::terminal
