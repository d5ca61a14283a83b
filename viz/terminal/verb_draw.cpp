#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <ostream>
#include <thread>

#include "compiler/ship/ship.h"
#include "compiler/view/graph_view.h"
#include "grammar/text.h"
#include "runtime/digest.h"
#include "viz/drawing/leaf_crossing.h"
#include "viz/drawing/leaf_doses.h"
#include "viz/drawing/leaf_graph.h"
#include "viz/drawing/leaf_map.h"
#include "viz/drawing/leaf_overview.h"
#include "viz/terminal/draw_page.h"
#include "viz/terminal/files.h"
#include "viz/terminal/read_page.h"
#include "viz/terminal/source_lines.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

class DrawVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset; - reads standard input")->required();
    app.add_option("WHAT", what_,
                   "what is drawn: graph PRACTICE, crossing PRACTICE (or a problem's number, as betony read tells it), map PRACTICE FINDING FINDING,\n"
                   "doses PRACTICE FINDING, or overview")
        ->required()
        ->expected(1, 4);
    app.add_option("-o,--output", output_, "the drawing's file, by its ending: .svg, .png, .pdf, .dot; without it the words on the terminal")
        ->type_name("NAME");
    app.add_option("--school", school_, "as one school alone reads it")->type_name("NAME");
    app.add_option("--for", person_, "of a graph the way of one person of the ruleset's profiles; of a map or doses its other answers")->type_name("PROFILE");
    app.add_option("--from", from_, "of a graph: what lies below the question of this number in its words")->type_name("N");
  }

  int run(Surroundings& around) override {
    if (!output_.empty()) check_ending();
    RulesetFiles files(file_, around.in);
    const auto read = read_ruleset(files.main(), files.others());
    if (!read.value) {
      around.err << unreadable_page(files.all(), read.messages, {around.width, around.colour});
      return status_unreadable;
    }
    try {
      return draw(*read.value, files, around);
    } catch (const view::NothingToDraw& why) {
      throw Misuse(why.what());
    } catch (const BudgetMet&) {
      throw Misuse("what decides it is too large to be drawn; `betony read` says of such practices that they are not settled");
    }
  }

 private:
  int draw(const Ruleset& ruleset, const RulesetFiles& files, Surroundings& around) const {
    const std::string& kind = what_.front();
    if (kind == "graph") return graph(ruleset, files, around);
    if (kind == "overview") return overview(ruleset, files, around);
    if (kind == "crossing") return crossing(ruleset, files, around);
    if (kind == "map") return map(ruleset, files, around);
    if (kind == "doses") return doses(ruleset, files, around);
    throw Misuse("\"" + kind +
                 "\" is nothing that can be drawn; there are: graph PRACTICE, crossing PRACTICE or NUMBER, map PRACTICE FINDING FINDING, "
                 "doses PRACTICE FINDING, overview");
  }

  Index practice(const Ruleset& ruleset) const {
    const std::string wanted = letters::fold(what_[1]);
    for (Index p = 0; p < ruleset.practices.size(); ++p) {
      const Practice& one = ruleset.practices[p];
      if (letters::fold(one.name) == wanted || std::any_of(one.also.begin(), one.also.end(), [&](const auto& n) { return letters::fold(n) == wanted; }))
        return p;
    }
    throw Misuse("no practice is called \"" + what_[1] + "\"");
  }
  Reading reading(const Ruleset& ruleset) const {
    if (school_.empty()) return {};
    for (Index s = 0; s < ruleset.schools.size(); ++s)
      if (letters::fold(ruleset.schools[s].name) == letters::fold(school_)) return {s};
    throw Misuse("no school is called \"" + school_ + "\"");
  }

  static drawing::About about(const Ruleset& ruleset, const RulesetFiles& files, bool persons) {
    runtime::Sha256 digest;
    for (const SourceFile& file : files.all()) digest.add({reinterpret_cast<const std::uint8_t*>(file.text.data()), file.text.size()});
    std::string letters;
    constexpr char digits[] = "0123456789abcdef";
    for (const std::uint8_t byte : digest.finish()) letters += digits[byte / 16], letters += digits[byte % 16];
    return {ruleset.title, ruleset.edition, letters.substr(0, 12), persons ? ship::caution : ""};
  }

  int graph(const Ruleset& ruleset, const RulesetFiles& files, Surroundings& around) const {
    if (what_.size() != 2) throw Misuse("draw graph takes one practice: betony draw FILE graph \"warm tub\"");
    const Index p = practice(ruleset);
    view::GraphView view = view::graph_view(ruleset, p, reading(ruleset));
    if (from_) {
      if (*from_ == 0 || *from_ > view.questions.size())
        throw Misuse("--from is the number of a question, from 1 to " + std::to_string(view.questions.size()));
      view = view::from_question(view, *from_ - 1);
    }
    if (output_.empty()) {
      around.out << graph_page(view, {around.width, around.colour});
      return status_good;
    }
    if (ending() == ".dot") {
      write_file(output_, drawing::graph_dot(view, view::unfolded(view)));
      return status_good;
    }
    drawing::GraphLeaf what;
    what.view = &view;
    what.lines = lines_of(ruleset, files, p);
    if (!person_.empty()) {
      const SampleProfile& sample = profile(ruleset);
      what.person = profile_of(ruleset, sample);
      what.person_words = sample.title;
    }
    drawing::Letters letters;
    const std::string svg = drawing::svg_of(drawing::graph_leaf(letters, what, about(ruleset, files, true)));
    write(svg, around);
    return status_good;
  }

  void check_ending() const {
    const std::string end = ending();
    if (end == ".svg" || end == ".png" || end == ".pdf" || (end == ".dot" && what_.front() == "graph")) return;
    throw Misuse(end == ".dot" ? "only a graph can be written as DOT; -o names a file that ends in .svg, .png or .pdf"
                               : "-o names a file that ends in .svg, .png, .pdf, or, of a graph, .dot");
  }
  std::string ending() const { return std::filesystem::path(output_).extension().string(); }

  const SampleProfile& profile(const Ruleset& ruleset) const {
    for (const SampleProfile& one : ruleset.profiles)
      if (letters::fold(one.title) == letters::fold(person_)) return one;
    throw Misuse("no profile is called \"" + person_ + "\"; --for takes the title of a Profile sentence");
  }

  // "baths.bty", where the ruleset has several files.
  static std::string file_of(const Sources& sources, const Place& place) { return sources.count() > 1 ? sources.short_name(place.file) : ""; }

  // "lines 26 to 38", of the practice's own sentences; "... of baths.bty" where the ruleset has several files.
  static std::string lines_of(const Ruleset& ruleset, const RulesetFiles& files, Index practice) {
    const Practice& p = ruleset.practices[practice];
    const Sources sources(files.all());
    unsigned first = sources.number(p.place), last = first;
    for (const Index s : p.sentences)
      if (const Sentence& one = ruleset.sentences[s]; !one.of_group && one.practices.size() == 1 && one.place.file == p.place.file)
        last = std::max(last, sources.number(one.place));
    const std::string file = file_of(sources, p.place);
    return (first == last ? "line " + std::to_string(first) : "lines " + std::to_string(first) + " to " + std::to_string(last)) +
           (file.empty() ? "" : " of " + file);
  }

  int overview(const Ruleset& ruleset, const RulesetFiles& files, Surroundings& around) const {
    const unsigned threads = std::min(std::max(1u, std::thread::hardware_concurrency()), 4u);
    Checking how;
    how.threads = threads;
    const Report report = check(ruleset, {}, how);
    const view::Overview seen = view::overview(ruleset, report, {}, threads);
    if (output_.empty()) {
      around.out << overview_page(seen, {around.width, around.colour});
      return status_good;
    }
    const Sources sources(files.all());
    drawing::OverviewLeaf what;
    what.overview = &seen;
    for (const Practice& practice : ruleset.practices) {
      what.lines.push_back(std::to_string(sources.number(practice.place)));
      what.files.push_back(std::filesystem::path(file_of(sources, practice.place)).stem().string());
    }
    what.errors = report.count(Severity::error), what.questions = report.count(Severity::question), what.notes = report.count(Severity::note);
    what.not_settled = report.not_settled;
    drawing::Letters letters;
    write(drawing::svg_of(drawing::overview_leaf(letters, what, about(ruleset, files, false))), around);
    return status_good;
  }

  int crossing(const Ruleset& ruleset, const RulesetFiles& files, Surroundings& around) const {
    if (what_.size() != 2) throw Misuse("draw crossing takes one practice, or the number of a problem: betony draw FILE crossing \"warm tub\"");
    const Report report = check(ruleset);
    std::size_t at = report.problems.size();
    const bool is_number = !what_[1].empty() && std::all_of(what_[1].begin(), what_[1].end(), [](unsigned char c) { return std::isdigit(c); });
    if (is_number) {
      const unsigned long number = what_[1].size() < 9 ? std::stoul(what_[1]) : 0;
      if (number == 0 || number > report.problems.size())
        throw Misuse("there is no problem " + what_[1] + "; betony read tells " + std::to_string(report.problems.size()));
      at = number - 1;
      if (!view::is_crossing(ruleset, report.problems[at])) throw Misuse("problem " + what_[1] + " is not one of sentences of a practice that meet");
    } else {
      const std::string& name = ruleset.practices[practice(ruleset)].name;
      for (at = 0; at < report.problems.size(); ++at)
        if (report.problems[at].practice == name && view::is_crossing(ruleset, report.problems[at])) break;
      if (at == report.problems.size()) throw Misuse("no sentences of " + name + " meet in a problem");
    }
    const Problem& problem = report.problems[at];
    const view::CrossingView seen = view::crossing_view(ruleset, problem);
    if (output_.empty()) {
      around.out << problem_page(ruleset, report, at, {around.width, around.colour});
      return status_good;
    }
    const Sources sources(files.all());
    drawing::CrossingLeaf what;
    what.ruleset = &ruleset, what.problem = &problem, what.view = &seen;
    const auto place = [&](Index s) -> const Place& { return ruleset.sentences[s].place; };
    for (const Index s : seen.sentences)
      if (const std::string file = file_of(sources, place(s));
          !file.empty() && std::find(what.files.begin(), what.files.end(), file) == what.files.end())
        what.files.push_back(file);
    for (const Index s : seen.sentences)
      what.lines.push_back(std::to_string(sources.number(place(s))) + (what.files.size() > 1 ? " of " + file_of(sources, place(s)) : ""));
    what.number = "problem " + std::to_string(at + 1) + " of " + std::to_string(report.problems.size());
    drawing::Letters letters;
    write(drawing::svg_of(drawing::crossing_leaf(letters, what, about(ruleset, files, true))), around);
    return status_good;
  }

  // ---- over findings

  view::AxisName axis(const Ruleset& ruleset, const std::string& name) const {
    if (const auto named = view::named_axis(ruleset, name)) return *named;
    throw Misuse("no finding or measure is called \"" + name + "\"");
  }

  // "ice ban, line 31", with the file where it is not that of the ruleset.
  static std::string name_of(const Ruleset& ruleset, const Sources& sources, Index sentence) {
    if (sentence == no_index) return "Applies to";
    const Sentence& one = ruleset.sentences[sentence];
    return (one.label.empty() ? "" : one.label + ", ") + (one.place.file == 0 ? sources.line_words(one.place) : sources.words(one.place));
  }

  // view(practice, profile whose other answers hold, or nullptr); page and leaf of what it gives.
  template <class View, class Page, class Leaf>
  int over_findings(const Ruleset& ruleset, const RulesetFiles& files, Surroundings& around, const View& view, const Page& page, const Leaf& leaf) const {
    const Index p = practice(ruleset);
    std::optional<Profile> held;
    std::string title;
    if (!person_.empty()) held = profile_of(ruleset, profile(ruleset)), title = profile(ruleset).title;
    const Sources sources(files.all());
    const view::Namer names = [&](Index sentence) { return name_of(ruleset, sources, sentence); };
    const auto seen = view(p, held ? &*held : nullptr);
    if (output_.empty()) {
      around.out << page(seen, names);
      return status_good;
    }
    drawing::Letters letters;
    write(drawing::svg_of(leaf(letters, drawing::FindingsLeaf<std::decay_t<decltype(seen)>>{&ruleset, &seen, names, title})), around);
    return status_good;
  }

  int map(const Ruleset& ruleset, const RulesetFiles& files, Surroundings& around) const {
    if (what_.size() != 4) throw Misuse("draw map takes a practice and two findings: betony draw FILE map \"warm tub\" age \"water warmth\"");
    return over_findings(
        ruleset, files, around,
        [&](Index p, const Profile* held) {
          return view::map_view(ruleset, p, reading(ruleset), axis(ruleset, what_[2]), axis(ruleset, what_[3]), held);
        },
        [&](const view::MapView& seen, const view::Namer& names) { return map_page(seen, names, {around.width, around.colour}); },
        [&](drawing::Letters& letters, const drawing::MapLeaf& what) { return drawing::map_leaf(letters, what, about(ruleset, files, true)); });
  }

  int doses(const Ruleset& ruleset, const RulesetFiles& files, Surroundings& around) const {
    if (what_.size() != 3) throw Misuse("draw doses takes a practice and a finding: betony draw FILE doses \"warm tub\" age");
    return over_findings(
        ruleset, files, around,
        [&](Index p, const Profile* held) { return view::dose_view(ruleset, p, reading(ruleset), axis(ruleset, what_[2]), held); },
        [&](const view::DoseView& seen, const view::Namer& names) { return doses_page(ruleset, seen, names, {around.width, around.colour}); },
        [&](drawing::Letters& letters, const drawing::DosesLeaf& what) { return drawing::doses_leaf(letters, what, about(ruleset, files, true)); });
  }

  void write(const std::string& svg, Surroundings&) const {
    write_file(output_, ending() == ".svg" ? svg : ending() == ".png" ? drawing::png_of(svg) : drawing::pdf_of(svg));
  }

  std::string file_, output_, school_, person_;
  std::vector<std::string> what_;
  std::optional<Index> from_;
};

}  // namespace

VerbEntry draw_verb() {
  return {
      "draw",
      "the teaching as a drawing: how a practice is decided, where sentences meet, verdicts and doses over findings, the whole",
      "Draws what was compiled, for reviewers: as SVG, PNG, PDF or DOT. Without -o the words are printed, which say the same. A graph larger than a "
      "page is folded, and says what is folded; the words and DOT hold all of it.",
      {"betony draw rulesets/tamberlow/tamberlow.bty graph \"warm tub\"", "betony draw rulesets/tamberlow/tamberlow.bty overview",
       "betony draw rulesets/tamberlow/earlier/tamberlow.bty crossing \"steam loft\""},
      [] { return std::unique_ptr<Verb>(std::make_unique<DrawVerb>()); }};
}

}  // namespace betony::terminal
