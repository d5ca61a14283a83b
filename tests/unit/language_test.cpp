// Runs every example of grammar/LANGUAGE.md. A fenced block says behind "bty" what it is:
//
//   bty                      a whole ruleset that reads without a message and shows no error
//   bty with NAME            the same, behind the block called NAME
//   bty prelude NAME         an opening for other blocks
//   bty file PATH            a file that other blocks may `Use`
//   bty … says "A", "B"      it cannot be read: the headings of its messages, in order
//   bty … shows K sev, …     what the checks find: kind or kind/form, and severity. The loose ends
//                            (unused, unasked, uncited) count only where the block names one of them
//   bty tidied               the standard form of the block before it
//   csv …                    a table, with the marks of a whole ruleset; `bty tidied` behind it is what it says
//
// A line that begins with ">" right behind a block is what the message says. After a change of the
// words of messages, BETONY_RENEW=1 writes these lines anew; read what changed.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <vector>

#include "compiler/compiler.h"

namespace {

using namespace betony;

struct Example {
  unsigned line = 0;
  std::string with, prelude, file, shows;
  std::vector<std::string> says;
  bool expects_messages = false, tidied = false, table = false;
  std::string text;
  std::string quote;        // what the message says, and the number of that line
  unsigned quote_line = 0;
};

const std::string page_path = std::string(BETONY_SOURCE_DIR) + "/grammar/LANGUAGE.md";

std::string quoted_part(std::string_view rest, std::size_t& at) {
  const std::size_t begin = rest.find('"', at);
  if (begin == std::string_view::npos) return at = rest.size(), "";
  const std::size_t end = rest.find('"', begin + 1);
  at = end + 1;
  return std::string(rest.substr(begin + 1, end - begin - 1));
}

Example begin_example(const std::string& info, unsigned line) {
  Example example;
  example.line = line;
  std::istringstream words(info);
  std::string word;
  words >> word;  // bty or csv
  example.table = word == "csv";
  while (words >> word) {
    if (word == "with") words >> example.with;
    else if (word == "prelude") words >> example.prelude;
    else if (word == "file") words >> example.file;
    else if (word == "tidied") example.tidied = true;
    else if (word == "says") {
      std::string rest;
      std::getline(words, rest);
      for (std::size_t at = 0; at < rest.size();)
        if (std::string matter = quoted_part(rest, at); !matter.empty()) example.says.push_back(matter);
      example.expects_messages = true;
    } else if (word == "shows") {
      std::getline(words >> std::ws, example.shows);
    } else {
      FAIL("LANGUAGE.md, line " << line << ": a block cannot be marked \"" << word << "\"");
    }
  }
  return example;
}

std::vector<Example> examples() {
  std::ifstream page(page_path);
  REQUIRE(page);
  std::vector<Example> all;
  bool inside = false, ours = false;
  unsigned number = 0;
  for (std::string line; std::getline(page, line);) {
    ++number;
    if (line.starts_with("```")) {
      if (!inside && (ours = line.starts_with("```bty") || line.starts_with("```csv"))) all.push_back(begin_example(line.substr(3), number));
      inside = !inside;
    } else if (inside && ours) {
      all.back().text += line + "\n";
    } else if (line.starts_with("> ") && ours) {
      all.back().quote = line.substr(2);
      all.back().quote_line = number;
    }
    if (!inside && !line.starts_with("```")) ours = false;
  }
  return all;
}

void replace_lines(const std::map<unsigned, std::string>& anew) {
  std::ifstream in(page_path);
  std::string text;
  unsigned number = 0;
  for (std::string line; std::getline(in, line);) {
    const auto found = anew.find(++number);
    text += (found == anew.end() ? line : found->second) + "\n";
  }
  in.close();
  std::ofstream(page_path, std::ios::trunc) << text;
}

// The examples, with what the blocks marked `prelude` and `file` hold.
struct Page {
  std::vector<Example> all = examples();
  std::map<std::string, std::string> preludes, files;

  Page() {
    for (const Example& e : all) {
      if (!e.prelude.empty()) preludes[e.prelude] = e.text;
      if (!e.file.empty()) files[e.file] = e.text;
    }
  }
  std::string source(const Example& e) const {
    REQUIRE((e.with.empty() || preludes.contains(e.with)));
    return e.with.empty() ? e.text : preludes.at(e.with) + "\n" + e.text;
  }
  FileReader reader() const {
    return [this](const std::string& path) -> std::optional<std::string> {
      const auto found = files.find(path);
      return found == files.end() ? std::nullopt : std::optional(found->second);
    };
  }
  SourceFile file(const Example& e) const { return {e.table ? "example.csv" : "example.bty", source(e), e.table}; }
  Outcome<Ruleset> read(const Example& e) const { return read_ruleset(file(e), reader()); }
};

std::string told(const std::vector<Message>& messages) {
  std::string text;
  for (const Message& m : messages) text += m.matter + ": " + m.message + " Write " + m.remedy + "\n";
  return text;
}

std::string_view word(Severity severity) {
  return severity == Severity::error ? "error" : severity == Severity::question ? "question" : "note";
}

bool is_loose_end(std::string_view kind) { return kind == "unused" || kind == "unasked" || kind == "uncited"; }

bool names_loose_ends(const std::string& shows) {
  return shows.find("unused") != std::string::npos || shows.find("unasked") != std::string::npos ||
         shows.find("uncited") != std::string::npos;
}

// "kind/form severity" of each problem, each once, in order of the alphabet. A form counts where the
// example names one.
std::string found(const Report& report, const std::string& shows) {
  std::set<std::string> all;
  for (const Problem& p : report.problems) {
    if (is_loose_end(p.kind) && !names_loose_ends(shows)) continue;
    const std::string whole = p.form.empty() ? p.kind : p.kind + "/" + p.form;
    const bool formed = shows.find(whole) != std::string::npos;
    all.insert((formed || shows.find(p.kind) == std::string::npos ? whole : p.kind) + " " + std::string(word(p.severity)));
  }
  std::string text;
  for (const std::string& one : all) text += (text.empty() ? "" : ", ") + one;
  return text;
}

std::string in_order(const std::string& shows) {
  std::set<std::string> all;
  std::istringstream parts(shows);
  for (std::string part; std::getline(parts >> std::ws, part, ',');) all.insert(part);
  std::string text;
  for (const std::string& one : all) text += (text.empty() ? "" : ", ") + one;
  return text;
}

std::string errors(const Report& report) {
  std::string text;
  for (const Problem& p : report.problems)
    if (p.severity == Severity::error) text += p.kind + "/" + p.form + " " + p.practice + ": " + p.sense + "\n";
  return text;
}

}  // namespace

TEST_CASE("every example of the language page reads without a message, or says just what it should") {
  const Page page;
  REQUIRE(page.all.size() > 150);
  for (const Example& e : page.all) {
    if (!e.file.empty() || e.tidied) continue;
    INFO("LANGUAGE.md, line " << e.line);
    const auto out = page.read(e);
    if (!e.expects_messages) {
      CHECK(told(out.messages) == "");
      continue;
    }
    std::vector<std::string> matters;
    for (const Message& m : out.messages) matters.push_back(m.matter);
    INFO(told(out.messages));
    CHECK(matters == e.says);
  }
}

TEST_CASE("the checks find in every example of the language page just what it says, and no error elsewhere") {
  const Page page;
  for (const Example& e : page.all) {
    if (!e.file.empty() || e.tidied || e.expects_messages) continue;
    const auto out = page.read(e);
    if (!out) continue;  // told by the test above
    INFO("LANGUAGE.md, line " << e.line);
    const Report report = check(*out.value);
    CHECK(report.settled());
    if (e.shows.empty()) CHECK(errors(report) == "");
    else CHECK(found(report, e.shows) == in_order(e.shows));
  }
}

TEST_CASE("every example of the language page keeps its meaning and its comments in standard form") {
  const Page page;
  for (const Example& e : page.all) {
    if (e.tidied || e.expects_messages) continue;
    INFO("LANGUAGE.md, line " << e.line);
    const auto once = read_source(page.file(e), page.reader());
    if (!once) continue;
    const std::string standard = tidy(*once.value);
    const auto twice = read_source({"example.bty", standard}, page.reader());
    INFO(standard << told(twice.messages));
    REQUIRE(twice);
    CHECK(print(*twice.value) == print(*once.value));
    CHECK(tidy(*twice.value) == standard);
    CHECK(twice.value->comments.size() == once.value->comments.size());
  }
}

TEST_CASE("the language page shows the standard form that tidy gives") {
  const Page page;
  unsigned shown = 0;
  for (std::size_t i = 1; i < page.all.size(); ++i) {
    if (!page.all[i].tidied) continue;
    INFO("LANGUAGE.md, line " << page.all[i].line);
    ++shown;
    // A prelude has to be read with the example, and is no part of what is compared.
    const std::string prelude = page.all[i - 1].with.empty() ? "" : page.preludes.at(page.all[i - 1].with);
    const auto out = read_source(page.file(page.all[i - 1]), page.reader());
    INFO(told(out.messages));
    REQUIRE(out);
    const std::string standard = tidy(*out.value);
    CHECK(standard.substr(standard.size() - std::min(standard.size(), page.all[i].text.size())) == page.all[i].text);
  }
  CHECK(shown > 0);
}

TEST_CASE("the language page quotes what its messages say") {
  const Page page;
  std::map<unsigned, std::string> renewed;
  for (const Example& e : page.all) {
    if (e.quote_line == 0) continue;
    INFO("LANGUAGE.md, line " << e.quote_line);
    const auto out = page.read(e);
    REQUIRE(!out.messages.empty());
    if (std::getenv("BETONY_RENEW")) renewed[e.quote_line] = "> " + out.messages[0].message;
    else CHECK(out.messages[0].message == e.quote);
  }
  if (!renewed.empty()) replace_lines(renewed);
}

TEST_CASE("the language page shows each heading once, in small letters and without a stop") {
  const Page page;
  std::set<std::string> shown;
  for (const Example& e : page.all)
    for (const std::string& matter : e.says) {
      INFO("LANGUAGE.md, line " << e.line << ": " << matter);
      CHECK(shown.insert(matter).second);
      CHECK(!std::isupper(static_cast<unsigned char>(matter.front())));
      CHECK(matter.back() != '.');
    }
  CHECK(shown.size() >= 100);
}
