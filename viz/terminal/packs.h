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

// A pack, or why it is refused.
struct OpenedPack {
  std::optional<runtime::Pack> pack;
  SealTold seal;
  std::string refused;                                    // "hill.pack" is not sealed
};

// The pack in `file`, or in `in` for "-". Where a key file is named by `sealed_by`, whatever is not a sound pack sealed with that key is
// refused; else FileTrouble is thrown for what is no sound pack, one whose seal does not fit among them. Throws FileTrouble also where a
// file cannot be had, the key file too.
OpenedPack open_pack(const std::string& file, std::istream& in, const std::string& sealed_by);

// Tells of a refusal. Returns status_no.
int tell_refused(const OpenedPack& opened, bool json, Surroundings& around);

// How a verb that weighs was asked to open its ruleset.
struct Opening {
  std::string sealed_by;                                  // the file of a public key, or empty
  bool json = false;                                      // how what is wrong is told
};
// The ruleset in `file`, a pack or a source; nothing where it was told on `around.out` what is wrong, and `status` is set. Throws
// FileTrouble, Misuse.
std::optional<runtime::Pack> pack_of_file(const std::string& file, const Opening& opening, Surroundings& around, SealTold& seal, int& status);

}  // namespace betony::terminal
