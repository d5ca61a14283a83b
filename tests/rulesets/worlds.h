// tests/rulesets/worlds.h: the example worlds under rulesets/, read as a practitioner's program would read them.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <stdexcept>
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

// An edition, read and checked; once in a program. Throws what was said where it cannot be read.
struct Checked {
  Ruleset ruleset;
  Report report;
};
inline const Checked& checked(const Edition& edition) {
  static std::map<std::string, Checked> done;
  if (const auto found = done.find(edition.file); found != done.end()) return found->second;
  auto out = read_ruleset(root_of(edition), reader_of(edition));
  if (!out) throw std::runtime_error(edition.name + "\n" + told(out.messages));
  Report report = check(*out.value);
  return done.emplace(edition.file, Checked{std::move(*out.value), std::move(report)}).first->second;
}

inline std::string word(Severity severity) {
  return severity == Severity::error ? "error" : severity == Severity::question ? "question" : "note";
}

// A problem for failure messages: its kind, what it is about, and the sentences with their lines.
inline std::string show(const Ruleset& ruleset, const Problem& p) {
  std::string out = word(p.severity) + " " + p.kind + "/" + p.form + " " + p.practice + p.choice + p.finding;
  if (!p.school.empty()) out += " (" + p.school + ")";
  for (const auto& s : p.sentences) {
    const SourceFile& file = ruleset.tree.files.at(s.place.file);
    out += "\n    " + file.name + ":" + std::to_string(LineIndex(file.text).at(s.place.span.begin).line) + " " + s.text;
  }
  return out + "\n";
}

}  // namespace betony::worlds
