// viz/terminal/files.h: source files in, tidied files out.
//
// A file is read up to one byte past the bound of grammar.h and no further, so that a device without
// end or a huge file costs no memory; grammar/ then says that it is too long. Files named by `Use` are
// found from the folder of the ruleset and never outside it, symbolic links followed to their end.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "grammar/grammar.h"

namespace betony::terminal {

// Why a file cannot be had, in words for people: "there is no file "x.bty"".
struct FileTrouble : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// The bytes of a file, or of `in` for "-", from the first to the last. Throws FileTrouble.
class FileBytes {
 public:
  FileBytes(const std::string& file, std::istream& in);
  ~FileBytes();
  FileBytes(const FileBytes&) = delete;
  FileBytes& operator=(const FileBytes&) = delete;
  // The next bytes, up to so many; 0 of them at the end.
  std::size_t read(char* to, std::size_t most);
  // Appends the next bytes until the text has so many, or there are no more.
  void fill(std::string& text, std::size_t size);
  // What was read already, and all that follows; more than `most` bytes are refused.
  std::string all(std::string text, std::size_t most);

 private:
  std::string name_;
  std::istream* in_ = nullptr;
  int fd_ = -1;
};

// A ruleset's files. Remembers what it has read, in order: as messages and trees number them.
class RulesetFiles {
 public:
  // `file` is a path, or "-" for `in`; what comes from there is called "standard input", and its `Use` files
  // are found from the folder in which the program runs. Throws FileTrouble.
  // A table is what says so by its name, or is said to be one.
  RulesetFiles(const std::string& file, std::istream& in, bool is_table = false, const Limits& limits = {});
  // The same where the main file's text was read already, up to one byte past the bound.
  RulesetFiles(const std::string& file, std::string text, bool is_table = false, const Limits& limits = {});

  const SourceFile& main() const { return files_.front(); }
  const std::vector<SourceFile>& all() const { return files_; }
  FileReader others();  // borrows this
  // Where a file lies; nothing for standard input.
  std::optional<std::filesystem::path> path(std::size_t file) const;

 private:
  std::optional<std::string> fetch(const std::string& path);

  Limits limits_;
  std::filesystem::path folder_;
  std::vector<SourceFile> files_;
  std::vector<std::optional<std::filesystem::path>> paths_;
};

// Makes a file, or puts `text` in the place of one: all of it or, where that fails, nothing. The new text is written
// beside the file, synced, given the old one's permissions and moved over it. Throws FileTrouble.
void write_file(const std::filesystem::path& path, const std::string& text);

}  // namespace betony::terminal
