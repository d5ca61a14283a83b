// viz/terminal/keys.h: the keys of seals, for the verbs that seal and those that ask for a seal.
#pragma once

#include <string>

#include "runtime/seal/seal.h"
#include "viz/terminal/terminal.h"

namespace betony::terminal {

// Of a file. Throws FileTrouble, which never says what the file holds.
seal::SecretKey secret_key(const std::string& file);
seal::PublicKey public_key(const std::string& file);

// For an option that takes a file: what is wrong with an empty name, as an unset variable of a script leaves it; it must not pass for no option.
std::string names_a_file(const std::string& file);

// Makes NAME.secret and NAME.public, and tells what to do with them. Throws FileTrouble; then neither was made.
int make_key_files(const std::string& name, bool json, Surroundings& around);

}  // namespace betony::terminal
