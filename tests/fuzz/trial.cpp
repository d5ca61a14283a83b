#include "tests/fuzz/trial.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <nlohmann/json.hpp>
#include <new>

#include "compiler/evaluate.h"
#include "grammar/text.h"
#include "viz/terminal/letters.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"

namespace betony::trial {
namespace {

constexpr char file_mark = '\x1C';
constexpr unsigned page_width = 80;

// Files by their names; remembers which were fetched, in the order in which messages number them.
class Shelf {
 public:
  explicit Shelf(const std::vector<SourceFile>& files) : files_(files) { fetched_.push_back(files.at(0)); }

  FileReader reader() {
    return [this](const std::string& path) -> std::optional<std::string> {
      for (const SourceFile& file : files_) {
        if (file.name != path) continue;
        fetched_.push_back(file);
        return file.text;
      }
      return std::nullopt;
    };
  }
  const std::vector<SourceFile>& fetched() const { return fetched_; }

 private:
  const std::vector<SourceFile>& files_;
  std::vector<SourceFile> fetched_;
};

// The promises, and which of them were broken.
class Judge {
 public:
  explicit Judge(Trial& trial) : trial_(trial) {}

  void hold(bool kept, const std::string& promise) {
    if (!kept && trial_.broken.size() < 20) trial_.broken.push_back(promise);
  }

  void place(const Place& place, const std::vector<SourceFile>& files, const std::string& of) {
    const bool file = place.file < files.size();
    hold(file, of + " lies in a file that is there");
    hold(place.span.begin <= place.span.end, of + " begins before it ends");
    if (file) hold(place.span.end <= files[place.file].text.size(), of + " lies inside its file");
  }

  // Words that people do not use must not be said, unless the source itself has them.
  void words(const std::string& text, const std::vector<SourceFile>& files, const std::string& of) {
    hold(!letters::first_invalid(text), of + " is UTF-8: " + text);
    for (const char* word : {"parser", "token", "syntax", "std::", "mpq", "pegtl"})
      hold(text.find(word) == std::string::npos || written(word, files), of + " speaks as people do: " + text);
  }

  void messages(const std::vector<Message>& all, const std::vector<SourceFile>& files) {
    const Message* last = nullptr;
    for (const Message& m : all) {
      place(m.where, files, "the place of \"" + m.matter + "\"");
      hold(!m.matter.empty() && !m.message.empty(), "a message has a heading and words: " + m.matter + m.message);
      words(m.matter, files, "a heading");
      words(m.message, files, "a message");
      words(m.remedy, files, "a remedy");
      if (last) hold(order(*last) <= order(m), "messages stand in source order: " + last->matter + ", " + m.matter);
      last = &m;
    }
  }

 private:
  // Signs that a remedy leaves out may stand between a word's letters and its own signs.
  static bool written(const char* word, const std::vector<SourceFile>& files) {
    const auto letters_of = [](const std::string& text) {
      std::string only_letters;
      std::copy_if(text.begin(), text.end(), std::back_inserter(only_letters), [](unsigned char c) { return c >= 'a' && c <= 'z'; });
      return only_letters;
    };
    return std::any_of(files.begin(), files.end(), [&](const SourceFile& file) {
      return letters_of(letters::fold(file.text)).find(letters_of(word)) != std::string::npos;
    });
  }
  static std::pair<std::uint32_t, std::uint32_t> order(const Message& m) { return {m.where.file, m.where.span.begin}; }

  Trial& trial_;
};

template <class T>
void judge_outcome(Judge& judge, Trial& trial, const Outcome<T>& out, const std::vector<SourceFile>& files) {
  judge.hold(out.value.has_value() == out.messages.empty(), "there is a value or there are messages, never both");
  judge.messages(out.messages, files);
  trial.messages = out.messages.size();
  if (!out.messages.empty()) trial.first_matter = out.messages[0].matter;
}

void judge_tree(Judge& judge, const Tree& tree, const std::vector<SourceFile>& files) {
  judge.hold(tree.files.size() == files.size(), "the tree has every file");
  for (const tree::Sentence& sentence : tree.sentences) judge.place(sentence.place, tree.files, "a sentence");
  for (const tree::Comment& comment : tree.comments) judge.place({comment.file, comment.span}, tree.files, "a comment");
}

std::vector<SourceFile> tidied(const Tree& tree) {
  std::vector<SourceFile> out;
  for (std::uint32_t i = 0; i < tree.files.size(); ++i) {
    const SourceFile& file = tree.files[i];
    const bool stays = i > 0 && file.is_table;  // it is used as the table it is
    out.push_back({file.name, stays ? std::string(LineIndex(file).text()) : tidy(tree, i), stays});
  }
  return out;
}

// The standard form reads, says the same, keeps every comment, and is its own standard form.
void judge_tidy(Judge& judge, const Tree& tree, const Limits& limits) {
  const std::string printed = print(tree);
  const std::vector<SourceFile> once = tidied(tree);
  Limits roomy = limits;  // the standard form may be longer than what was written
  roomy.file_bytes *= 4;
  roomy.total_bytes *= 4;
  Shelf shelf(once);
  const auto again = read_source(once[0], shelf.reader(), roomy);
  judge.hold(again.value.has_value(), "what was tidied reads");
  if (!again) {
    if (!again.messages.empty()) judge.hold(false, "what was tidied reads without: " + again.messages[0].message);
    return;
  }
  judge.hold(print(*again.value) == printed, "what was tidied says the same");
  judge.hold(again.value->comments.size() == tree.comments.size(), "tidying keeps every comment");
  const std::vector<SourceFile> twice = tidied(*again.value);
  bool same = once.size() == twice.size();
  for (std::size_t i = 0; same && i < once.size(); ++i) same = once[i].text == twice[i].text;
  judge.hold(same, "what was tidied is tidy");
}

bool usable(char32_t code) {
  return code == '\n' || (code >= 0x20 && code != 0x7F && !(code >= 0x80 && code < 0xA0) && !letters::is_bidi_control(code));
}

void judge_page(Judge& judge, const std::string& page) {
  judge.hold(!letters::first_invalid(page), "a page is UTF-8");
  if (letters::first_invalid(page)) return;
  const std::u32string all = letters::letters_of(page);
  judge.hold(std::all_of(all.begin(), all.end(), usable), "a page holds nothing that steers a terminal");
  for (std::size_t at = 0; at < page.size();) {
    const std::size_t end = std::min(page.find('\n', at), page.size());
    const std::string line = page.substr(at, end - at);
    judge.hold(terminal::width(line) <= page_width, "a line of a page fits its width: " + line);
    at = end + 1;
  }
}

void judge_json(Judge& judge, const std::string& text, const char* key) {
  const auto json = nlohmann::json::parse(text, nullptr, false);
  judge.hold(!json.is_discarded() && json.contains(key), std::string("JSON is whole, and tells ") + key);
}

void judge_unreadable(Judge& judge, const Plan& plan, const std::vector<SourceFile>& files, const std::vector<Message>& messages) {
  if (!plan.pages || !plan.unreadable_pages) return;
  judge_page(judge, terminal::unreadable_page(files, messages, {page_width, false}));
  judge_json(judge, terminal::unreadable_json(files, messages), "unreadable");
}

// A witness is a whole and possible person on whom the problem shows, as the plain evaluator sees it.
void judge_witness(Judge& judge, const Ruleset& ruleset, const Problem& problem) {
  const Profile& witness = *problem.witness;
  judge.hold(witness.size() == ruleset.findings.size() &&
                 std::all_of(witness.begin(), witness.end(), [](const auto& value) { return value.has_value(); }),
             "a witness is complete: " + problem.kind);
  judge.hold(!broken_background(ruleset, witness), "a witness is possible: " + problem.kind);
  if (!problem.has_replay_verdict || problem.practice.empty()) return;
  Reading reading;
  for (Index i = 0; i < ruleset.schools.size(); ++i)
    if (ruleset.schools[i].name == problem.school) reading.school = i;
  const Weighing weighing = evaluate(ruleset, witness, reading);
  for (Index i = 0; i < ruleset.practices.size(); ++i)
    if (ruleset.practices[i].name == problem.practice)
      judge.hold(weighing.practices.at(i).verdict == problem.replay_verdict, "a witness shows its problem: " + problem.kind);
}

void judge_report(Judge& judge, const Ruleset& ruleset, const Report& report) {
  for (const Problem& problem : report.problems) {
    judge.hold(!problem.kind.empty() && !problem.matter.empty(), "a problem has a kind and a heading");
    for (const Concerned& sentence : problem.sentences) {
      judge.place(sentence.place, ruleset.tree.files, "a sentence of " + problem.kind);
      for (const Mark& mark : sentence.marks) judge.place(mark.place, ruleset.tree.files, "a mark of " + problem.kind);
    }
    for (const auto& [a, b] : problem.pairs)
      judge.hold(a < problem.sentences.size() && b < problem.sentences.size(), "pairs name sentences: " + problem.kind);
    if (problem.has_share)
      judge.hold(0 <= problem.share.low && problem.share.low <= problem.share.high && problem.share.high <= 1,
                 "a share lies from 0 to 1: " + problem.kind);
    if (problem.witness) judge_witness(judge, ruleset, problem);
    judge.words(problem.matter + problem.sense + problem.replay, ruleset.tree.files, "a problem");
  }
}

void try_checks(Judge& judge, Trial& trial, const Ruleset& ruleset, const Plan& plan) {
  const Report report = check(ruleset, plan.budget);
  trial.reached = Trial::Reached::report;
  trial.problems = report.problems.size();
  judge_report(judge, ruleset, report);
  if (!plan.pages) return;
  judge_page(judge, terminal::read_page(ruleset, report, {page_width, false}));
  judge_json(judge, terminal::read_json(ruleset, report), "problems");
}

void try_all(Judge& judge, Trial& trial, const std::vector<SourceFile>& files, const Plan& plan) {
  Shelf shelf(files);
  auto tree = read_source(files[0], shelf.reader(), plan.limits);
  judge_outcome(judge, trial, tree, shelf.fetched());
  if (!tree) return judge_unreadable(judge, plan, shelf.fetched(), tree.messages);
  trial.reached = Trial::Reached::tree;
  judge_tree(judge, *tree.value, shelf.fetched());

  const auto ruleset = type_ruleset(std::move(*tree.value));
  judge_outcome(judge, trial, ruleset, shelf.fetched());
  if (!ruleset) return judge_unreadable(judge, plan, shelf.fetched(), ruleset.messages);
  trial.reached = Trial::Reached::ruleset;
  if (plan.tidies) {
    judge_tidy(judge, ruleset.value->tree, plan.limits);
    judge.hold(!print(*ruleset.value).empty(), "a typed ruleset prints");
  }
  if (plan.checks) try_checks(judge, trial, *ruleset.value, plan);
}

}  // namespace

Trial run(const std::vector<SourceFile>& files, const Plan& plan) {
  Trial trial;
  Judge judge(trial);
  try {
    try_all(judge, trial, files, plan);
  } catch (const std::bad_alloc&) {
    throw;
  } catch (const std::exception& thrown) {
    judge.hold(false, std::string("nothing is thrown: ") + thrown.what());
  }
  return trial;
}

Trial run(std::string_view bytes, const Plan& plan) { return run(files_of(bytes), plan); }

// Setting messages on pages takes longer than reading, so only every eighth source that cannot be read is set on one,
// chosen by its bytes: the same source is always tried in the same way.
void fuzz(std::string_view bytes, bool is_table) {
  std::uint32_t sum = 2166136261u;  // FNV-1a
  for (const unsigned char byte : bytes) sum = (sum ^ byte) * 16777619u;
  Plan plan;
  plan.unreadable_pages = (sum >> 16) % 8 == 0;
  std::vector<SourceFile> files = files_of(bytes);
  if (is_table) files[0].name = "main.csv", files[0].is_table = true;
  const Trial trial = run(files, plan);
  for (const std::string& promise : trial.broken) std::fprintf(stderr, "Broken promise: %s\n", promise.c_str());
  if (!trial.broken.empty()) std::abort();
}

std::vector<SourceFile> files_of(std::string_view bytes) {
  std::vector<SourceFile> files;
  std::string name = "main.bty";
  while (true) {
    const std::size_t end = std::min(bytes.find(file_mark), bytes.size());
    files.push_back({name, std::string(bytes.substr(0, end)), is_table_name(name)});
    if (end == bytes.size()) return files;
    bytes.remove_prefix(end + 1);
    const std::size_t line = std::min(bytes.find('\n'), bytes.size());
    name = bytes.substr(0, line);
    bytes.remove_prefix(std::min(line + 1, bytes.size()));
  }
}

std::string bytes_of(const std::vector<SourceFile>& files) {
  std::string bytes;
  for (const SourceFile& file : files) {
    if (&file != &files[0]) bytes += file_mark + file.name + '\n';
    bytes += file.text;
  }
  return bytes;
}

}  // namespace betony::trial
