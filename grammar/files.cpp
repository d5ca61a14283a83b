#include "grammar/files.h"

#include <algorithm>
#include <map>

#include "grammar/collect.h"
#include "grammar/passage.h"
#include "grammar/refusals.h"
#include "grammar/table.h"
#include "grammar/text.h"
#include "grammar/words.h"

namespace betony {
namespace {

std::string folder_of(const std::string& path) { return path.substr(0, path.rfind('/') + 1); }

class Gatherer {
 public:
  Gatherer(const FileReader& others, const Limits& limits, Book& book, Told& told)
      : others_(others), limits_(limits), book_(book), told_(told) {}

  Gathered all(SourceFile first) {
    root_ = folder_of(first.name);
    const std::string path = first.name.substr(root_.size());
    open_.push_back(path);
    read(std::move(first), path);
    write_tables();
    return std::move(out_);
  }

 private:
  void read(SourceFile file, const std::string& path);
  void split(std::uint32_t file, const std::string& path);
  void keep(SplitText parts, std::uint32_t file, const std::string& path);
  void write_tables();
  void use(const RawSentence& sentence, const Passage& passage, const std::string& path);
  bool may_be_read(std::uint32_t file);
  void say(Place where, std::string matter, std::string message, std::string remedy) {
    told_.add({std::move(matter), where, std::move(message), std::move(remedy)});
  }

  const FileReader& others_;
  const Limits& limits_;
  Book& book_;
  Told& told_;
  Gathered out_;
  std::string root_;                // the folder of the ruleset, "" or with a slash at its end
  std::vector<std::string> open_;   // from the first file to the one that is read now
  std::map<std::string, Place> used_;
  std::size_t bytes_ = 0;
  struct OpenTable {  // its rows are still to be written out
    std::uint32_t file;
    TableReader reader;
    std::size_t end;  // of its sentences and of those it uses, in out_
  };
  std::vector<OpenTable> tables_;
};

Span moved(Span span, std::uint32_t by) { return {span.begin + by, span.end + by}; }

std::string in_mebibytes(std::size_t bytes) {
  if (bytes < (1u << 20)) return std::to_string(bytes) + " bytes";
  return std::to_string(bytes >> 20) + " MiB";
}

bool Gatherer::may_be_read(std::uint32_t file) {
  const std::string& text = book_.file(file).text;
  bytes_ += text.size();
  if (text.size() > limits_.file_bytes) {
    say({file, {0, 0}}, "a file too long",
        "This file has more than " + in_mebibytes(limits_.file_bytes) + "; a part of it can be a file of its own.",
        "Use \"….bty\".");
    return false;
  }
  if (bytes_ > limits_.total_bytes) {
    say({file, {0, 0}}, "a ruleset too long",
        "The files of this ruleset have more than " + in_mebibytes(limits_.total_bytes) + " together.", "");
    return false;
  }
  if (const auto bad = letters::first_invalid(text)) {
    const auto at = static_cast<std::uint32_t>(*bad);
    const Place where{file, {at, at + 1}};
    std::string line = book_.line_words(where, file);
    line[0] = static_cast<char>(line[0] - 'a' + 'A');
    say(where, "letters that cannot be read", line + " holds bytes that are no letters in UTF-8.",
        "Save the file as UTF-8; most editors offer it under Save as.");
    return false;
  }
  return true;
}

void Gatherer::read(SourceFile file, const std::string& path) {
  const std::uint32_t number = book_.add(std::move(file));
  if (!may_be_read(number)) return;
  if (!book_.file(number).is_table) return split(number, path);
  TableReader table(book_.file(number).text);
  book_.put(number, table.text(), table.table());
  split(number, path);
  tables_.push_back({number, std::move(table), out_.sentences.size()});
}

// With the names that all files declare: a table may leave to others what its columns are.
void Gatherer::write_tables() {
  if (tables_.empty()) return;
  Names names;
  Told unheard(0, book_);
  collect_names(out_.sentences, book_, limits_, names, unheard);
  // From the last in reading order on, so that the places of the others stay what they are.
  std::stable_sort(tables_.begin(), tables_.end(), [](const OpenTable& a, const OpenTable& b) { return a.end > b.end; });
  for (OpenTable& table : tables_) {
    const std::vector<RawSentence> behind(out_.sentences.begin() + table.end, out_.sentences.end());
    out_.sentences.resize(table.end);
    const auto above = static_cast<std::uint32_t>(table.reader.text().size());
    const std::size_t left = limits_.sentences - std::min(limits_.sentences, out_.sentences.size() + behind.size());
    table.reader.write(names, table.file, left, limits_.total_bytes, told_);
    book_.put(table.file, table.reader.text(), table.reader.table());
    SplitText parts = split_sentences(std::string_view(book_.file(table.file).text).substr(above), table.file, left + 1);
    for (RawSentence& s : parts.sentences) {
      s.whole = moved(s.whole, above), s.body = moved(s.body, above);
      for (std::uint32_t& start : s.starts) start += above;
    }
    for (tree::Comment& comment : parts.comments) comment.span = moved(comment.span, above);
    for (Message& message : parts.messages) message.where.span = moved(message.where.span, above);
    keep(std::move(parts), table.file, "");
    out_.sentences.insert(out_.sentences.end(), behind.begin(), behind.end());
  }
  std::stable_sort(out_.comments.begin(), out_.comments.end(), [](const tree::Comment& a, const tree::Comment& b) {
    return std::pair(a.file, a.span.begin) < std::pair(b.file, b.span.begin);
  });
}

void Gatherer::split(std::uint32_t file, const std::string& path) {
  const std::string_view text = book_.file(file).text;
  const std::size_t left = limits_.sentences - std::min(limits_.sentences, out_.sentences.size());
  keep(split_sentences(text, file, left + 1), file, path);
}

void Gatherer::keep(SplitText parts, std::uint32_t file, const std::string& path) {
  const std::string_view text = book_.file(file).text;
  for (auto& message : parts.messages) told_.add(std::move(message));
  for (auto& comment : parts.comments) out_.comments.push_back(std::move(comment));
  for (auto& sentence : parts.sentences) {
    if (out_.sentences.size() >= limits_.sentences) {
      say({file, {sentence.whole.begin, sentence.whole.begin + 1}}, "too many sentences",
          "A ruleset has at most " + std::to_string(limits_.sentences) +
              " sentences; this one and those after it are not read, and can stand in a ruleset of their own.",
          "Ruleset \"…\", edition \"…\".");
      return;
    }
    if (sentence.body.end - sentence.body.begin > limits_.sentence_bytes) {
      say({file, {sentence.whole.begin, sentence.whole.begin + 1}}, "a sentence too long",
          "This sentence has more than " + std::to_string(limits_.sentence_bytes) +
              " bytes; terms can hold parts of it, and a stop ends it.",
          "Term … means ….");
      continue;
    }
    const bool may_use = !sentence.broken;
    out_.sentences.push_back(std::move(sentence));
    if (!may_use) continue;
    const RawSentence& kept = out_.sentences.back();
    const char first = text[kept.body.begin];
    if (first != 'U' && first != 'u') continue;
    const Passage passage(text, file, kept.body);
    if (passage.text() == std::string(spelled(Word::use)) + " \"0\"") use(kept, passage, path);
  }
}

void Gatherer::use(const RawSentence& sentence, const Passage& passage, const std::string& path) {
  const tree::Text& written = passage.string(0);
  const Place where{sentence.file, written.span};
  const auto wanted = path_within(folder_of(path), written.text);
  if (!wanted) {
    const std::string name = written.text.substr(written.text.find_last_of("/\\:") + 1);  // npos + 1 is 0
    say(where, "a file outside the ruleset", in_quotes(written.text) + " does not lie in the ruleset's folder.",
        "Use \"" + (name.ends_with(".bty") ? name : "….bty") + "\".");
    return;
  }
  if (std::find(open_.begin(), open_.end(), *wanted) != open_.end()) {
    say(where, "files that use each other", in_quotes(written.text) + " is being read already, and so uses itself.",
        "Use \"….bty\".");
    return;
  }
  if (open_.size() > limits_.nesting) {
    say(where, "files too deep",
        "Files name further ones more than " + std::to_string(limits_.nesting) + " deep here; the first file can name this one.",
        "");
    return;
  }
  if (!used_.emplace(*wanted, where).second) return;  // its sentences stand where it was used first
  if (book_.size() > limits_.files) {
    say(where, "too many files", "A ruleset has at most " + std::to_string(limits_.files) + " files beside its first.",
        "");
    return;
  }
  auto text = others_ ? others_(root_ + *wanted) : std::nullopt;
  if (!text) {
    say(where, "a file that is not there",
        "No file " + in_quotes(root_ + *wanted) + " can be read; files are named as seen from the folder of this one.",
        "Use \"….bty\".");
    return;
  }
  open_.push_back(*wanted);
  read({root_ + *wanted, std::move(*text), is_table_name(*wanted)}, *wanted);
  open_.pop_back();
}

}  // namespace

std::optional<std::string> path_within(const std::string& folder, const std::string& used) {
  const bool whole = !used.empty() && used.size() < 1024 && used.front() != '/' && used.back() != '/' &&
                     used.find_first_of(std::string_view("\\\0\n", 3)) == std::string::npos && used.find(':') != 1;
  if (!whole) return std::nullopt;
  std::vector<std::string> steps;
  const std::string path = folder + used;
  for (std::size_t at = 0; at <= path.size();) {
    const std::size_t end = std::min(path.find('/', at), path.size());
    const std::string step = path.substr(at, end - at);
    at = end + 1;
    if (step.empty() || step == ".") continue;
    if (step != "..") {
      steps.push_back(step);
    } else if (steps.empty()) {
      return std::nullopt;
    } else {
      steps.pop_back();
    }
  }
  if (steps.empty()) return std::nullopt;
  std::string out = steps[0];
  for (std::size_t i = 1; i < steps.size(); ++i) out += "/" + steps[i];
  return out;
}

Gathered gather(SourceFile first, const FileReader& others, const Limits& limits, Book& book, Told& told) {
  return Gatherer(others, limits, book, told).all(std::move(first));
}

}  // namespace betony
