#include "grammar/refusals.h"

namespace betony {

Message explain(const Reading& r, Word, const Failure& failure) {
  return {"this cannot be read", r.passage.place(failure.at, failure.at + 1), "The sentence cannot be read from here on.", ""};
}
Message explain_opening(const Reading& r) {
  return {"no sentence begins so", r.passage.place(0, 1), "No sentence of the language begins with this.", ""};
}

}  // namespace betony
