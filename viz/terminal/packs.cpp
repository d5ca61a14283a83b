#include "viz/terminal/packs.h"

#include <nlohmann/json.hpp>
#include <ostream>

#include "viz/terminal/files.h"
#include "viz/terminal/keys.h"
#include "viz/terminal/packing.h"
#include "viz/terminal/page.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"

namespace betony::terminal {
namespace {

constexpr std::size_t most_bytes = std::size_t{1} << 30;

constexpr std::string_view mark_of_a_pack = "btnypack";

std::string what_is_missed(const SealTold& told, const seal::PublicKey& wanted) {
  if (!told.by) return "it is not sealed";
  if (*told.by == wanted) return "";
  return "it is sealed by " + seal::words_of(*told.by) + ", and not by " + seal::words_of(wanted);
}

// A pack, or why it is refused.
struct OpenedPack {
  std::optional<runtime::Pack> pack;
  SealTold seal;
  std::string refused;                                    // "hill.pack" is not sealed
};

// The seal first, so that nothing of a stranger's is read any further.
OpenedPack examined(std::span<const std::uint8_t> bytes, const std::optional<seal::PublicKey>& wanted) {
  OpenedPack out;
  const auto told = seal::examine(bytes);
  out.seal.of_pack = true;
  if (told.state == seal::State::sealed) out.seal.by = told.by;
  out.refused = told.wrong;
  if (out.refused.empty() && wanted) out.refused = what_is_missed(out.seal, *wanted);
  if (!out.refused.empty()) return out;
  auto read = runtime::read_pack(bytes);
  out.refused = std::move(read.wrong);
  out.pack = std::move(read.pack);
  return out;
}

}  // namespace

std::string seal_line(const SealTold& told) {
  if (!told.of_pack) return "";
  return told.by ? "Sealed by " + seal::words_of(*told.by) + "." : "Not sealed.";
}

nlohmann::ordered_json seal_json(const SealTold& told) {
  if (!told.by) return nullptr;
  return {{"by", seal::hex_of(*told.by)}};
}

namespace {

OpenedPack open_pack(const std::string& file, const std::string& bytes, const std::string& sealed_by) {
  const auto wanted = sealed_by.empty() ? std::nullopt : std::optional(public_key(sealed_by));
  OpenedPack out = examined({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()}, wanted);
  if (out.pack) return out;
  if (!wanted) throw FileTrouble("\"" + file + "\" cannot be used: " + out.refused);
  out.refused = "\"" + file + "\" is refused: " + out.refused;
  return out;
}

// Returns status_no.
int tell_refused(const OpenedPack& opened, bool json, Surroundings& around) {
  if (json) {
    const nlohmann::ordered_json told{{"betony", 1}, {"weighed", false}, {"seal", seal_json(opened.seal)}, {"matter", opened.refused}};
    around.out << told.dump(-1, ' ', around.out_is_terminal, nlohmann::ordered_json::error_handler_t::replace) << '\n';
    return status_no;
  }
  Page page({around.width, around.colour});
  page.paragraph("Nothing is weighed: " + with_stop(opened.refused));
  around.out << page.text();
  return status_no;
}

}  // namespace

std::optional<runtime::Pack> pack_of_file(const std::string& file, const Opening& opening, Surroundings& around, SealTold& seal, int& status) {
  FileBytes bytes(file, around.in);
  std::string text;
  bytes.fill(text, mark_of_a_pack.size());
  if (!opening.sealed_by.empty() || text == mark_of_a_pack) {  // who asks for a seal names a pack
    OpenedPack opened = open_pack(file, bytes.all(std::move(text), most_bytes), opening.sealed_by);
    if (!opened.pack) status = tell_refused(opened, opening.json, around);
    seal = opened.seal;
    return std::move(opened.pack);
  }
  bytes.fill(text, Limits().file_bytes + 1);
  RulesetFiles files(file, std::move(text));
  const auto ruleset = read_ruleset(files.main(), files.others());
  if (ruleset) return pack_within_bounds(*ruleset.value, {}, {"betony " BETONY_VERSION, false});
  around.out << (opening.json ? unreadable_json(files.all(), ruleset.messages, around.out_is_terminal)
                              : unreadable_page(files.all(), ruleset.messages, {around.width, around.colour}));
  status = status_unreadable;
  return std::nullopt;
}

}  // namespace betony::terminal
