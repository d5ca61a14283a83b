// viz/terminal/profiles.h: the file of whom `betony weigh` is to weigh: one person, or a table of them.
//
// What it is follows from its name: `.csv` is CSV; `.jsonl` and `.ndjson` are JSON lines. Of any other it is what its first letter
// that is not white space says: with `[` or `{` begins JSON, else it is CSV. JSON is a table where a second line begins with
// `{`, for the object of one person holds no other; or where it is to be one.
//
// Errors    FileTrouble, where it cannot be read, or one person takes more than most_bytes_of_a_person.
// Tested by tests/unit/terminal_weigh_table_test.cpp
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "runtime/persons.h"
#include "viz/terminal/files.h"

namespace betony::terminal {

enum class ProfileKind { one, csv, json_lines };

// Nothing where the name says nothing.
std::optional<ProfileKind> kind_by_name(std::string_view name);
// Nothing where more has to be read, unless the text ends here.
std::optional<ProfileKind> kind_by_text(std::string_view beginning, bool ends);

class Profiles {
 public:
  static constexpr std::size_t most_bytes_of_a_person = std::size_t{1} << 20;

  // `kind`, where it is known. With `is_table` what may be one person is JSON lines.
  Profiles(const std::string& file, std::istream& in, std::optional<ProfileKind> kind, bool is_table);

  ProfileKind kind() const { return kind_; }
  // The whole text of one person.
  std::string person() { return bytes_.all(std::move(beginning_), most_bytes_of_a_person); }
  // The next bytes of a table, until the next call; none at its end.
  std::string_view next();

 private:
  ProfileKind look();

  FileBytes bytes_;
  std::string beginning_, piece_;
  ProfileKind kind_;
};

}  // namespace betony::terminal
