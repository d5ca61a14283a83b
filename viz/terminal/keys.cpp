#include "viz/terminal/keys.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <ostream>

#include "viz/terminal/files.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

seal::SecretKey secret_key(const std::string& file) {
  auto read = seal::read_secret_key(file);
  if (!read.key) throw FileTrouble(read.wrong);
  return *std::move(read.key);
}

seal::PublicKey public_key(const std::string& file) {
  const auto read = seal::read_public_key(file);
  if (!read.key) throw FileTrouble(read.wrong);
  return *read.key;
}

std::string names_a_file(const std::string& file) { return file.empty() ? "the name of the file is empty" : ""; }

int make_key_files(const std::string& name, bool json, Surroundings& around) {
  const std::string secret_file = name + ".secret", public_file = name + ".public";
  const auto made = seal::make_key();
  if (!made.key) throw FileTrouble(made.wrong);
  if (const std::string wrong = seal::write_key(*made.key, secret_file, public_file); !wrong.empty()) throw FileTrouble(wrong);
  const seal::PublicKey& key = made.key->public_key();
  if (json) {
    const nlohmann::ordered_json told{{"betony", 1}, {"secret", secret_file}, {"public", public_file}, {"by", seal::hex_of(key)}};
    around.out << told.dump(-1, ' ', around.out_is_terminal, nlohmann::ordered_json::error_handler_t::replace) << '\n';
    return status_good;
  }
  Page page({around.width, around.colour});
  page.paragraph(fmt::format("{} seals packs. Show it to nobody, and keep a copy where nobody else comes: it cannot be made again.", secret_file));
  page.paragraph(fmt::format("{} is for those who look for your seal, {}. Let it reach them by another way than the packs.", public_file,
                             seal::words_of(key)));
  around.out << page.text();
  return status_good;
}

}  // namespace betony::terminal
