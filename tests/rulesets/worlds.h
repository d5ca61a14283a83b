// tests/rulesets/worlds.h: the example worlds under rulesets/, read as a practitioner's program would read them.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "compiler/compiler.h"

namespace betony::worlds {

// One edition of one world: the file that is asked for, below the source folder.
struct Edition {
  std::string name;  // for failure messages: "tamberlow, newest edition"
  std::string file;  // "rulesets/tamberlow/tamberlow.bty"
};

inline const std::vector<Edition>& newest() {
  static const std::vector<Edition> all = {
      {"tamberlow, newest edition", "rulesets/tamberlow/tamberlow.bty"},
      {"lantern-lakes, newest edition", "rulesets/lantern-lakes/lantern-lakes.bty"},
  };
  return all;
}

inline const std::vector<Edition>& earlier() {
  static const std::vector<Edition> all = {
      {"tamberlow, earlier edition", "rulesets/tamberlow/earlier/tamberlow.bty"},
      {"lantern-lakes, earlier edition", "rulesets/lantern-lakes/earlier/lantern-lakes.bty"},
  };
  return all;
}

inline std::vector<Edition> every_edition() {
  std::vector<Edition> all = newest();
  all.insert(all.end(), earlier().begin(), earlier().end());
  return all;
}

inline std::filesystem::path path_of(const std::string& file) {
  return std::filesystem::path(BETONY_SOURCE_DIR) / file;
}

inline std::optional<std::string> bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return std::nullopt;
  return std::string(std::istreambuf_iterator<char>(in), {});
}

// Files are named as `Use` names them: relative to the folder of the edition.
inline SourceFile root_of(const Edition& edition) {
  const auto path = path_of(edition.file);
  return {path.filename().string(), bytes_of(path).value_or("")};
}

inline FileReader reader_of(const Edition& edition) {
  const auto folder = path_of(edition.file).parent_path();
  return [folder](const std::string& name) { return bytes_of(folder / name); };
}

// What was said about a source, a line each, for failure messages.
inline std::string told(const std::vector<Message>& messages) {
  std::string out;
  for (const auto& m : messages)
    out += m.matter + " (file " + std::to_string(m.where.file) + ", byte " + std::to_string(m.where.span.begin) +
           "): " + m.message + " Write: " + m.remedy + "\n";
  return out;
}

}  // namespace betony::worlds
