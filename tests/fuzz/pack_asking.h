// tests/fuzz/pack_asking.h: what must hold of the next question and of the smallest change, whatever the pack.
#pragma once

#include "runtime/answers.h"

namespace betony::fuzz {

// The next question is one that is open and may be asked. Of every practice a change that is given is of possible values, and makes the
// verdict that it names as far as the practice's decision graph goes; the gates of a pack that was changed may say something else.
void check_asking(const runtime::Pack& pack, const runtime::Answers& answers, runtime::Index reading, const std::vector<runtime::Index>& not_known);

}  // namespace betony::fuzz
