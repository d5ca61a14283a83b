#include "viz/terminal/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <istream>
#include <utility>

namespace betony::terminal {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t portion = 1u << 16;

// A file descriptor that closes itself.
class Descriptor {
 public:
  explicit Descriptor(int fd) : fd_(fd) {}
  ~Descriptor() { close(); }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int get() const { return fd_; }
  bool close() {
    const int fd = std::exchange(fd_, -1);
    return fd < 0 || ::close(fd) == 0;
  }

 private:
  int fd_;
};

std::string why(const std::string& name, int error) {
  switch (error) {
    case ENOENT:
    case ENOTDIR: return fmt::format("there is no file \"{}\"", name);
    case EISDIR: return fmt::format("\"{}\" is a folder; name the file of a ruleset in it", name);
    case EACCES:
    case EPERM: return fmt::format("\"{}\" may not be read or written by you", name);
    case ENAMETOOLONG: return "a file's name cannot be that long";
    case ENOSPC:
    case EDQUOT: return fmt::format("the disk of \"{}\" is full", name);
    case EROFS: return fmt::format("the disk of \"{}\" takes no writing", name);
    default: return fmt::format("\"{}\": {}", name, std::strerror(error));
  }
}

[[noreturn]] void fail(const std::string& name, int error) { throw FileTrouble(why(name, error)); }

// Up to `most` bytes; errno tells where it fails.
std::optional<std::string> read_all(int fd, std::size_t most) {
  std::string text;
  while (text.size() < most) {
    const std::size_t had = text.size();
    text.resize(std::min(most, had + portion));
    const ssize_t got = ::read(fd, text.data() + had, text.size() - had);
    text.resize(had + (got > 0 ? got : 0));
    if (got < 0 && errno != EINTR) return std::nullopt;
    if (got == 0) break;
  }
  return text;
}

std::string beginning_of(const std::string& file, std::istream& in, std::size_t most) {
  std::string text;
  FileBytes(file, in).fill(text, most);
  return text;
}

bool lies_in(const fs::path& path, const fs::path& folder) {
  auto at = path.begin();
  for (const auto& part : folder)
    if (at == path.end() || *at++ != part) return false;
  return at != path.end();
}

bool write_all(int fd, std::string_view text) {
  while (!text.empty()) {
    const ssize_t put = ::write(fd, text.data(), text.size());
    if (put < 0 && errno != EINTR) return false;
    if (put > 0) text.remove_prefix(static_cast<std::size_t>(put));
  }
  return true;
}

mode_t usual_mask() {
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return mask;
}

// Writes the new text beside the file and moves it there; errno tells where it fails.
bool write_beside(const fs::path& path, const fs::path& beside, Descriptor& fd, const std::string& text) {
  struct stat old = {};
  const bool there = ::stat(path.c_str(), &old) == 0;
  if (!there && errno != ENOENT) return false;
  const mode_t mode = there ? old.st_mode & 07777 : 0666 & ~usual_mask();
  return write_all(fd.get(), text) && ::fchmod(fd.get(), mode) == 0 && ::fsync(fd.get()) == 0 && fd.close() &&
         ::rename(beside.c_str(), path.c_str()) == 0;
}

}  // namespace

// ---------------------------------------------------------------- bytes

FileBytes::FileBytes(const std::string& file, std::istream& in) : name_(file) {
  if (file == "-") in_ = &in;
  else if (fd_ = ::open(file.c_str(), O_RDONLY | O_CLOEXEC); fd_ < 0) fail(name_, errno);
}

FileBytes::~FileBytes() {
  if (fd_ >= 0) ::close(fd_);
}

std::size_t FileBytes::read(char* to, std::size_t most) {
  if (in_) {
    if (*in_) in_->read(to, static_cast<std::streamsize>(most));
    else return 0;
    if (in_->bad()) throw FileTrouble("standard input cannot be read");
    return static_cast<std::size_t>(in_->gcount());
  }
  for (;;) {
    const ssize_t got = ::read(fd_, to, most);
    if (got >= 0) return static_cast<std::size_t>(got);
    if (errno != EINTR) fail(name_, errno);
  }
}

void FileBytes::fill(std::string& text, std::size_t size) {
  while (text.size() < size) {
    const std::size_t had = text.size();
    text.resize(std::min(size, had + portion));
    const std::size_t got = read(text.data() + had, text.size() - had);
    text.resize(had + got);
    if (got == 0) return;
  }
}

std::string FileBytes::all(std::string text, std::size_t most) {
  fill(text, most + 1);
  if (text.size() > most) throw FileTrouble("\"" + name_ + "\" has more than " + std::to_string(most) + " bytes");
  return text;
}

// ---------------------------------------------------------------- rulesets

RulesetFiles::RulesetFiles(const std::string& file, std::istream& in, bool is_table, const Limits& limits)
    : RulesetFiles(file, beginning_of(file, in, limits.file_bytes + 1), is_table, limits) {}

RulesetFiles::RulesetFiles(const std::string& file, std::string text, bool is_table, const Limits& limits) : limits_(limits) {
  std::error_code ignored;
  if (file == "-") {
    folder_ = fs::canonical(fs::current_path(ignored), ignored);
    files_.push_back({"standard input", std::move(text), is_table});
    paths_.push_back(std::nullopt);
    return;
  }
  files_.push_back({file, std::move(text), is_table || is_table_name(file)});
  paths_.push_back(fs::canonical(file, ignored));
  const fs::path folder = fs::path(file).parent_path();
  folder_ = fs::canonical(folder.empty() ? "." : folder, ignored);
}

// Only what lies in the ruleset's folder, and only plain files. `path` begins as the ruleset's own does.
std::optional<std::string> RulesetFiles::fetch(const std::string& path) {
  if (folder_.empty() || path.find('\0') != std::string::npos) return std::nullopt;
  std::error_code error;
  const fs::path found = fs::canonical(path, error);
  if (error || !lies_in(found, folder_)) return std::nullopt;
  if (!fs::is_regular_file(found, error)) return std::nullopt;
  const Descriptor fd(::open(found.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK));
  if (fd.get() < 0) return std::nullopt;
  auto text = read_all(fd.get(), limits_.file_bytes + 1);
  if (!text) return std::nullopt;
  files_.push_back({path, *text, is_table_name(path)});
  paths_.push_back(found);
  return text;
}

FileReader RulesetFiles::others() {
  return [this](const std::string& path) { return fetch(path); };
}

std::optional<fs::path> RulesetFiles::path(std::size_t file) const { return paths_.at(file); }

// ---------------------------------------------------------------- writing

void write_file(const fs::path& path, const std::string& text) {
  std::string beside = (path.parent_path() / ("." + path.filename().string() + ".XXXXXX")).string();
  Descriptor fd(::mkostemp(beside.data(), O_CLOEXEC));
  if (fd.get() < 0) fail(path.string(), errno);
  if (write_beside(path, beside, fd, text)) return;
  const int error = errno;
  ::unlink(beside.c_str());
  fail(path.string(), error);
}

}  // namespace betony::terminal
