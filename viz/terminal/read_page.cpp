#include "compiler/region.h"
#include "viz/terminal/read_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "viz/terminal/letters.h"
#include "viz/terminal/source_lines.h"

namespace betony::terminal {
namespace {

constexpr std::size_t shown_sentences = 12;       // of one error or question
constexpr std::size_t shown_sentences_of_note = 6;
constexpr std::size_t shown_pairs = 30;
constexpr std::size_t alike_notes = 3;            // more than these stand together in one block
constexpr std::size_t widest_name = 40;           // column in which the lines of such names stand at most
constexpr std::size_t many_not = 3;               // items of an any-of finding that do not hold, told as one

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

// "12, 14 to 17, 20": ascending line numbers, runs of three or more folded.
std::string line_list(const std::set<unsigned>& lines) {
  std::string out;
  for (auto at = lines.begin(); at != lines.end();) {
    auto last = at;
    for (auto next = std::next(at); next != lines.end() && *next == *last + 1; ++next) last = next;
    const bool folds = *last >= *at + 2;
    if (!folds) last = at;
    out += (out.empty() ? "" : ", ") + (folds ? fmt::format("{} to {}", *at, *last) : std::to_string(*at));
    at = std::next(last);
  }
  return out;
}

// Whom a problem is about; a matter that is about a finding names it itself.
const std::string& subject(const Problem& p) { return !p.practice.empty() ? p.practice : p.choice; }

std::string matter(const Problem& p) { return subject(p).empty() ? p.matter : subject(p) + ": " + p.matter; }

// ---------------------------------------------------------------- the witness

bool holds(const Value& value) { return value.word == 1; }

// The items of an any-of finding that are shown, and whether those that hold are all that hold.
struct Items {
  std::vector<Index> holding;
  std::size_t not_holding = 0;
  bool are_all = true;
};

Items items_of(const Ruleset& ruleset, const Problem& p, const std::string& whole) {
  Items items;
  for (Index i = 0; i < ruleset.findings.size() && i < p.witness->size(); ++i) {
    const auto& value = (*p.witness)[i];
    if (!value || ruleset.findings[i].part_of != whole) continue;
    const auto& shown = p.witness_findings;
    const bool is_shown = std::find(shown.begin(), shown.end(), i) != shown.end();
    if (is_shown && holds(*value)) items.holding.push_back(i);
    if (is_shown && !holds(*value)) ++items.not_holding;
    if (!is_shown && holds(*value)) items.are_all = false;
  }
  return items;
}

// "of traits only cold hands and slow mornings", "of traits none"
std::string only_words(const Ruleset& ruleset, const std::string& whole, const Items& items) {
  std::string out;
  for (std::size_t i = 0; i < items.holding.size(); ++i)
    out += (i == 0 ? "" : i + 1 == items.holding.size() ? " and " : ", ") + ruleset.findings[items.holding[i]].name;
  return "of " + whole + (out.empty() ? " none" : " only " + out);
}

// What is told of the witness. Where many items of an any-of finding do not hold, those that do are told
// as the only ones, at the place of the first.
std::string witness_words(const Ruleset& ruleset, const Problem& p) {
  std::string out;
  std::set<std::string> told;
  for (const Index i : p.witness_findings) {
    if (i >= p.witness->size() || !(*p.witness)[i]) continue;
    const Finding& finding = ruleset.findings[i];
    std::string words = answer_words(finding, *(*p.witness)[i]);
    if (!finding.part_of.empty()) {
      const Items items = items_of(ruleset, p, finding.part_of);
      const bool folds = items.are_all && items.not_holding >= many_not;
      if (folds && !told.insert(finding.part_of).second) continue;
      if (folds) words = only_words(ruleset, finding.part_of, items);
    }
    out += (out.empty() ? "" : ", ") + words;
  }
  return out.empty() ? "any person" : out;
}

// The replayed verdict with its mark: "cold plunge is ]=[ withheld".
void add_replay(Inked& text, const Problem& p) {
  const bool with_care = p.replay.find("with care") != std::string::npos;
  const auto mark = verdict_mark(p.replay_verdict, with_care);
  const std::string word = p.replay_verdict == tree::Verdict::referred ? "referred" : std::string(mark.word);
  const auto at = p.has_replay_verdict ? p.replay.rfind(word) : std::string::npos;
  if (at == std::string::npos) {
    text.add(p.replay);
    return;
  }
  text.add(p.replay.substr(0, at)).add(fmt::format("{} {}", mark.letters, mark.word), mark.ink);
  text.add(p.replay.substr(at + word.size()));
}

Inked witness(const Ruleset& ruleset, const Problem& p) {
  Inked text(witness_words(ruleset, p));
  if (!p.replay.empty()) add_replay(text.add(": "), p);
  return text;
}

// ---------------------------------------------------------------- the parts of a block

// A sentence that carries no marks is underlined as a whole where it stands alone, or where its line
// holds other sentences too and it would not be known.
std::vector<Shown> shown(const Sources& sources, const std::vector<Concerned>& sentences, std::size_t most) {
  std::vector<Shown> out;
  for (const Concerned& c : sentences) {
    if (out.size() == most) break;
    Shown one{c.place, {}};
    for (const auto& mark : c.marks) one.marks.push_back(mark.place);
    if (c.marks.empty() && (sentences.size() == 1 || sources.shares_its_lines(c.place))) one.marks.push_back(c.place);
    out.push_back(std::move(one));
  }
  return out;
}

void set_excerpts(Page& page, const Sources& sources, const std::vector<Shown>& shown, std::string_view underline) {
  const auto all = excerpts(sources, shown);
  for (const Excerpt& excerpt : all) {
    if (all.size() > 1) page.paragraph("in " + sources.short_name(excerpt.file) + ":", 2);
    page.source(excerpt.lines, underline);
    if (excerpt.left_out > 0)
      page.paragraph("(" + counted(excerpt.left_out, "further line is", "further lines are") + " not shown)", 6);
  }
}

// "lines 12, 14 to 17; teas.bty, lines 3, 9": where sentences stand, files told once there are several.
std::string places(const Sources& sources, const std::vector<Concerned>& sentences, std::size_t from) {
  std::map<std::uint32_t, std::set<unsigned>> lines;
  for (std::size_t i = from; i < sentences.size(); ++i)
    lines[sentences[i].place.file].insert(sources.number(sentences[i].place));
  std::string out;
  for (const auto& [file, numbers] : lines) {
    if (!out.empty()) out += "; ";
    if (sources.count() > 1) out += sources.short_name(file) + ", ";
    out += std::string(sources.noun(file)) + (numbers.size() == 1 ? " " : "s ") + line_list(numbers);
  }
  return out;
}

// Who meets whom, where the lines shown above do not tell it by themselves.
std::string meetings(const Sources& sources, const Problem& p) {
  if (p.sentences.size() <= 2 || p.pairs.empty()) return {};
  const auto word = [&](unsigned i) {
    const Place& place = p.sentences[i].place;
    const auto line = std::to_string(sources.number(place));
    return place.file == p.sentences[0].place.file ? line : sources.short_name(place.file) + " " + line;
  };
  std::map<unsigned, std::vector<unsigned>> partners;
  std::size_t told = 0;
  for (const auto& [a, b] : p.pairs)
    if (std::max(a, b) < p.sentences.size() && ++told <= shown_pairs) partners[a].push_back(b);
  const auto earlier = [&](unsigned a, unsigned b) {
    const Place &left = p.sentences[a].place, &right = p.sentences[b].place;
    return std::pair(left.file, left.span.begin) < std::pair(right.file, right.span.begin);
  };
  std::string out;
  for (auto& [a, others] : partners) {
    std::sort(others.begin(), others.end(), earlier);
    std::string list;
    for (const unsigned b : others) list += (list.empty() ? "" : ", ") + word(b);
    out += (out.empty() ? std::string(sources.noun(p.sentences[a].place.file)) + " " : "; ") + word(a) + " with " + list;
  }
  if (told > shown_pairs) out += "; and " + counted(told - shown_pairs, "further pair", "further pairs");
  return with_stop(out);
}

// The remedies: on one line where they fit, else one a line, joined by "or".
void set_remedies(Page& page, const std::vector<std::string>& write, unsigned columns) {
  std::string all;
  for (const auto& remedy : write) all += (all.empty() ? "" : "; or ") + remedy;
  if (write.size() < 2 || width(all) + 14 <= columns) {
    if (!all.empty()) page.hung("Write", with_stop(all));
    return;
  }
  for (std::size_t i = 0; i < write.size(); ++i) {
    const std::string text = (i > 0 ? "or " : "") + write[i];
    const bool parted = i + 1 == write.size() || text.back() == '.';
    page.hung(i == 0 ? "Write" : "", parted ? with_stop(text) : text + ";");
  }
}

bool names_school(const Problem& p) {
  return p.matter.find(p.school) != std::string::npos || p.sense.find(p.school) != std::string::npos;
}

// The head of a block. Where the file's name leaves no room for the matter, and there is no other file,
// the line is enough.
void set_heading(Page& page, const Sources& sources, Severity severity, const std::string& matter, const Place& place,
                 const std::string& which = {}) {
  const std::string whole = sources.words(place);
  const bool line_only = sources.count() == 1 && !page.fits_beside(matter, whole);
  page.heading(problem_mark(severity), matter, line_only ? sources.line_words(place) : whole, which);
}

// "problem 3 of 7", "problems 12, 14 to 17 of 40"; by this number it is drawn. One by itself needs none.
std::string which(const std::set<unsigned>& numbers, std::size_t of) {
  return of < 2 ? "" : fmt::format("problem{} {} of {}", numbers.size() == 1 ? "" : "s", line_list(numbers), of);
}

void set_problem(Page& page, const Ruleset& ruleset, const Sources& sources, const Problem& p, const std::string& which, unsigned columns) {
  const auto mark = problem_mark(p.severity);
  page.blank();
  if (p.sentences.empty())
    page.heading(mark, matter(p), "", which);
  else
    set_heading(page, sources, p.severity, matter(p), p.sentences[0].place, which), page.blank();
  const auto most = p.severity == Severity::note ? shown_sentences_of_note : shown_sentences;
  set_excerpts(page, sources, shown(sources, p.sentences, most), mark.underline);
  page.blank();
  if (!p.sense.empty()) page.paragraph(p.sense, 2);
  if (p.sentences.size() > most) page.hung("Further", with_stop(places(sources, p.sentences, most)));
  if (const auto who = meetings(sources, p); !who.empty()) page.hung("Meetings", who);
  if (!p.school.empty() && !names_school(p)) page.hung("School", p.school);
  if (p.witness) page.hung("Witness", witness(ruleset, p));
  if (p.no_fraction) page.hung("Witness", "The numbers meet only where they are no fractions, as the root of 2 is none, so no person can be written down.");
  set_remedies(page, p.write, columns);
}

// ---------------------------------------------------------------- notes that are alike

// Kinds of notes that say the same of many names: how they say it of one, and of all at once.
struct Alike {
  std::string_view kind, before_name, after_name, matter, sense;
};
constexpr Alike alike_kinds[] = {
    {"unused", "nothing asks for ", "", "nothing asks for these", "They are declared, and no sentence asks for them."},
    {"unasked", "", " has no question", "these have no question",
     "No question stands under them, so an interview cannot ask for them in the school's words."},
    {"uncited", "", "", "no source is named", "Other sentences of the ruleset name theirs."}};

const Alike* alike_kind(const Problem& p) {
  const auto at = std::find_if(std::begin(alike_kinds), std::end(alike_kinds), [&](const Alike& a) { return a.kind == p.kind; });
  return at == std::end(alike_kinds) || p.severity != Severity::note ? nullptr : at;
}

// The name that a note is about; a matter may name more than a finding ("skin itching").
std::string name_of(const Problem& p, const Alike& alike) {
  if (!subject(p).empty()) return subject(p);
  const std::string_view matter = p.matter, before = alike.before_name, after = alike.after_name;
  const bool named = matter.size() > before.size() + after.size() && matter.starts_with(before) && matter.ends_with(after);
  return std::string(named ? matter.substr(before.size(), matter.size() - before.size() - after.size()) : matter);
}

// A name and where it stands; a name wider than its column gets a line of its own.
void set_name(Page& page, const std::string& name, const std::string& where, unsigned column) {
  const bool fits = width(name) + 4 <= column;
  if (!fits) page.paragraph(name, 2);
  page.hung(fits ? name : "", where, column);
}

void set_alike(Page& page, const Sources& sources, const Alike& alike, const std::vector<const Problem*>& notes, const std::string& which) {
  page.blank();
  page.heading(problem_mark(Severity::note), fmt::format("{} ({} notes)", alike.matter, notes.size()), "", which);
  page.blank();
  std::size_t column = 0;
  for (const Problem* p : notes) column = std::max<std::size_t>(column, width(name_of(*p, alike)) + 4);
  column = std::min(column, widest_name);
  for (const Problem* p : notes) set_name(page, name_of(*p, alike), places(sources, p->sentences, 0), column);
  page.blank();
  page.paragraph(alike.sense, 2);
}

// ---------------------------------------------------------------- the whole

std::string title(const Ruleset& ruleset, const Sources& sources) {
  if (ruleset.title.empty()) return sources.name(0);
  return ruleset.edition.empty() ? ruleset.title : ruleset.title + ", edition " + ruleset.edition;
}

std::string joined(const std::vector<std::string>& names) {
  std::string out;
  for (const auto& name : names) out += (out.empty() ? "" : ", ") + name;
  return out;
}

std::string size_line(const Ruleset& ruleset, const Report& report) {
  return counted(ruleset.tree.sentences.size(), "sentence", "sentences") + ", " +
         counted(ruleset.practices.size(), "practice", "practices") + ", " +
         (report.settled() ? "every check finished" : "not every check finished");
}

void set_not_settled(Page& page, const Report& report) {
  if (report.settled()) return;
  page.blank();
  page.paragraph("Not settled: " + with_stop(joined(report.not_settled)));
  page.paragraph(
      "There the checks stopped before their end, so more may be wrong than is told above. A larger budget "
      "(betony read --budget) may settle it.");
}

std::string counts_line(const Report& report) {
  const std::pair<Severity, std::pair<const char*, const char*>> kinds[] = {
      {Severity::error, {"error", "errors"}},
      {Severity::question, {"question", "questions"}},
      {Severity::note, {"note", "notes"}}};
  std::string out;
  for (const auto& [severity, words] : kinds) {
    const auto count = std::count_if(report.problems.begin(), report.problems.end(),
                                     [severity = severity](const Problem& p) { return p.severity == severity; });
    if (count > 0) out += (out.empty() ? "" : ", ") + counted(count, words.first, words.second);
  }
  return (out.empty() ? "Nothing to mend, nothing to ask" : out) + ".";
}

void set_problems(Page& page, const Ruleset& ruleset, const Sources& sources, const Report& report, unsigned columns) {
  std::map<const Alike*, std::vector<const Problem*>> alike;
  std::map<const Alike*, std::set<unsigned>> numbers;
  const auto number = [&](const Problem& p) { return static_cast<unsigned>(&p - report.problems.data() + 1); };
  for (const Problem& p : report.problems) alike[alike_kind(p)].push_back(&p), numbers[alike_kind(p)].insert(number(p));
  for (const Problem& p : report.problems) {
    const Alike* kind = alike_kind(p);
    if (!kind || alike[kind].size() <= alike_notes)
      set_problem(page, ruleset, sources, p, which({number(p)}, report.problems.size()), columns);
    else if (alike[kind].front() == &p)
      set_alike(page, sources, *kind, alike[kind], which(numbers[kind], report.problems.size()));
  }
}

// A view of the whole, not one more thing to mend.
void set_sources(Page& page, const Report& report) {
  if (report.sources_disagree.empty()) return;
  page.blank();
  page.paragraph("Sources that disagree");
  for (const SourcesDisagree& seen : report.sources_disagree) {
    page.blank();
    page.paragraph(seen.sense, 2);
    page.hung("Prevails", with_stop(seen.prevails));
  }
}

void set_message(Page& page, const Sources& sources, const Message& m) {
  const auto mark = problem_mark(Severity::error);
  page.blank();
  set_heading(page, sources, Severity::error, m.matter, m.where);
  page.blank();
  set_excerpts(page, sources, {{m.where, {m.where}}}, mark.underline);
  page.blank();
  page.paragraph(m.message, 2);
  if (!m.remedy.empty()) page.hung("Write", m.remedy);
}

}  // namespace

std::string read_page(const Ruleset& ruleset, const Report& report, Surface surface) {
  const Sources sources(ruleset.tree.files);
  Page page(surface);
  page.paragraph(title(ruleset, sources));
  page.paragraph(size_line(ruleset, report));
  page.rule();
  set_problems(page, ruleset, sources, report, surface.width);
  set_not_settled(page, report);
  set_sources(page, report);
  if (!report.problems.empty() || !report.sources_disagree.empty() || !report.settled()) page.rule();
  page.blank();
  page.paragraph(counts_line(report));
  return page.text();
}

std::string problem_page(const Ruleset& ruleset, const Report& report, std::size_t at, Surface surface) {
  Page page(surface);
  const std::string number = which({static_cast<unsigned>(at + 1)}, report.problems.size());
  set_problem(page, ruleset, Sources(ruleset.tree.files), report.problems.at(at), number, surface.width);
  return page.text();
}

std::string unreadable_page(const std::vector<SourceFile>& files, const std::vector<Message>& messages, Surface surface) {
  const Sources sources(files);
  Page page(surface);
  page.paragraph(fmt::format("{} cannot be read to its end; {}.", sources.name(0),
                             counted(messages.size(), "place needs mending", "places need mending")));
  page.rule();
  for (const Message& m : messages) set_message(page, sources, m);
  return page.text();
}

}  // namespace betony::terminal
