// viz/terminal/packs.h: packs out of files, with their seals examined.
#pragma once

#include <iosfwd>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

#include "runtime/pack.h"
#include "runtime/seal/seal.h"
#include "viz/terminal/terminal.h"

namespace betony::terminal {

// What is told of a seal: of a source nothing, of a pack whose it is or that there is none.
struct SealTold {
  bool of_pack = false;
  std::optional<seal::PublicKey> by;
};
std::string seal_line(const SealTold& told);              // "Sealed by 3f2a 91c0 77de 0b12.", "Not sealed.", of a source ""
nlohmann::ordered_json seal_json(const SealTold& told);   // {"by": 64 digits}, or null

// How a verb that weighs was asked to open its ruleset.
struct Opening {
  std::string sealed_by;                                  // the file of a public key, or empty
  bool json = false;                                      // how what is wrong is told
};
// The ruleset in `file`, or in `around.in` for "-": a pack, or a source. Where a key file is named by `sealed_by`, whatever is not a sound
// pack sealed with that key is refused, and so is a source that cannot be read: that is told on `around.out`, and `status` is set. Throws
// FileTrouble for what else is no sound pack, one whose seal does not fit among them, and where a file cannot be had, the key file too.
std::optional<runtime::Pack> pack_of_file(const std::string& file, const Opening& opening, Surroundings& around, SealTold& seal, int& status);

}  // namespace betony::terminal
