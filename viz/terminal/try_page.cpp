#include "viz/terminal/try_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "compiler/ship/ship.h"
#include "viz/terminal/json.h"
#include "viz/terminal/source_lines.h"

namespace betony::terminal {
namespace {

using trial::Failure;
using trial::Trial;
using Kind = trial::Property::Kind;
using Json = nlohmann::ordered_json;

constexpr std::size_t shown_sentences = 12, shown_unreached = 12, shown_untested = 30;

std::string counted(std::uint64_t count, std::string_view one, std::string_view many) { return fmt::format("{} {}", count, count == 1 ? one : many); }

std::string matter(const Failure& failure) {
  switch (failure.kind) {
    case Kind::claim: return "a claim does not hold";
    case Kind::trend: return "a trend does not hold";
    case Kind::expectation: return "the teaching says something else";
    case Kind::dose_clash: return failure.name + ": doses have nothing in common";
    case Kind::dose_missing: return failure.name + ": how much is not said";
    case Kind::borrowed: return failure.name + ": advised though contraindicated";
    case Kind::company: return failure.name + ": its company is broken";
    case Kind::order: return failure.name + ": a day that cannot be kept";
  }
  return "";
}

// "3 in 1000", "fewer than 1 in 1000000".
std::string near_words(const Share& share) {
  if (share.low == 0 && share.exact) return "only single numbers";
  const double near = share.low.get_d();
  for (std::uint64_t of = 100; of <= 1'000'000; of *= 10)
    if (const double count = near * static_cast<double>(of); count >= 1) return fmt::format("near {:.0f} in {}", count, of);
  return "fewer than 1 in 1000000";
}

std::string share_words(const std::optional<Share>& share) {
  if (!share) return "how likely is not known";
  if (share->exact && share->low > 0 && share->low.get_den() <= 9999)
    return fmt::format("{} in {}", share->low.get_num().get_str(), share->low.get_den().get_str());
  return near_words(*share);
}

// ---------------------------------------------------------------- failures

void set_sentences(Page& page, const Ruleset& ruleset, const Sources& sources, const Failure& failure) {
  std::vector<Shown> shown;
  if (failure.kind == Kind::claim || failure.kind == Kind::trend || failure.kind == Kind::expectation)
    shown.push_back({failure.place, {failure.place}});
  for (Index s : failure.sentences)
    if (shown.size() < shown_sentences) shown.push_back({ruleset.sentences[s].place, {}});
  for (const Excerpt& excerpt : excerpts(sources, shown)) {
    if (sources.count() > 1) page.paragraph("in " + sources.short_name(excerpt.file) + ":", 2);
    page.source(excerpt.lines, problem_mark(Severity::error).underline);
  }
}

Inked told_words(const Ruleset& ruleset, const Failure& failure) {
  Inked text;
  const auto add = [&](tree::Verdict verdict, bool with_care) {
    const VerdictMark mark = verdict_mark(verdict, with_care);
    text.add(fmt::format("{} {}", mark.letters, mark.word), mark.ink);
  };
  for (const Failure::Told& told : failure.told) {
    text.add((text.text.empty() ? "" : "; ") + ruleset.practices[told.practice].name + " is ");
    add(told.verdict, told.with_care);
    if (told.then) text.add(", then "), add(told.then->first, told.then->second);
  }
  return text;
}

void set_failure(Page& page, const Ruleset& ruleset, const Sources& sources, const Failure& failure, std::uint64_t seed) {
  page.blank();
  const std::string whole = sources.words(failure.place);
  const bool line_only = sources.count() == 1 && !page.fits_beside(matter(failure), whole);
  page.heading(problem_mark(Severity::error), matter(failure), line_only ? sources.line_words(failure.place) : whole);
  page.blank();
  set_sentences(page, ruleset, sources, failure);
  page.blank();
  page.paragraph(failure.sense, 2);
  if (!failure.told.empty()) page.hung("Told", told_words(ruleset, failure));
  if (failure.exactly) page.hung("Found", "by exact checking; betony read tells of whom all it is so");
  if (failure.sample) page.hung("Found", fmt::format("by sample {} of seed {}, and made as plain as it goes", failure.sample->number, seed));
  std::string label = "Write";
  for (std::size_t at = 0; at < failure.paste.size(); label.clear()) {
    const std::size_t end = std::min(failure.paste.find('\n', at), failure.paste.size());
    page.hung(label, failure.paste.substr(at, end - at));
    at = end + 1;
  }
}

// ---------------------------------------------------------------- what held

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i)
    out += (i == 0 ? "" : i + 1 == words.size() ? (words.size() > 2 ? ", and " : " and ") : ", ") + words[i];
  return out;
}

// Claims and samples by number, practices by name: each once, whatever readings it was looked at in.
std::string held_words(const std::vector<const Trial::Held*>& all) {
  static const std::tuple<std::vector<Kind>, const char*, const char*> lists[] = {{{Kind::claim, Kind::trend}, "claim", "claims"},
                                                                                  {{Kind::expectation}, "expectation", "expectations"},
                                                                                  {{Kind::dose_clash, Kind::dose_missing}, "the doses of", ""},
                                                                                  {{Kind::company}, "the company of", ""},
                                                                                  {{Kind::order}, "the order of", ""},
                                                                                  {{Kind::borrowed}, "the bans of", ""}};
  std::vector<std::string> out;
  for (const auto& [kinds, one, many] : lists) {
    std::vector<std::string> names;
    std::size_t count = 0;
    for (const Trial::Held* held : all) {
      if (std::find(kinds.begin(), kinds.end(), held->kind) == kinds.end()) continue;
      const bool is_new = std::find(names.begin(), names.end(), held->name) == names.end();
      if (is_new) names.push_back(held->name);
      count += is_new || held->kind == Kind::expectation;
    }
    if (names.empty()) continue;
    out.push_back(*many ? counted(count, one, many) : std::string(one) + " " + joined(names));
  }
  std::string words;
  for (const std::string& part : out) words += (words.empty() ? "" : "; ") + part;
  return with_stop(words);
}

void set_held(Page& page, const Trial& trial) {
  std::vector<const Trial::Held*> exact, sampled;
  std::uint64_t singly = 0;
  for (const Trial::Held& held : trial.held) {
    (held.exactly ? exact : sampled).push_back(&held);
    singly = std::max(singly, held.singly);
  }
  if (exact.empty() && sampled.empty()) return;
  page.blank();
  if (!exact.empty()) page.hung("Exactly", "For every possible person, by exact checking: " + held_words(exact));
  if (!sampled.empty()) page.hung("Sampled", "Broken by no sample, which proves nothing: " + held_words(sampled));
  if (singly > 0) page.hung("", fmt::format("Some of these are looked at one person after another; {} were.", singly));
}

// ---------------------------------------------------------------- what was never reached, and what nobody would miss

// Of a long way the last answers, and how many come before: "moss bed: after 4 answers, chill; age over 60 years".
std::string shortened(const std::string& way) {
  static constexpr std::size_t shown = 2;
  const std::size_t name = way.find(": ");
  std::vector<std::size_t> parts;
  for (std::size_t at = way.find("; "); at != std::string::npos; at = way.find("; ", at + 2)) parts.push_back(at);
  if (name == std::string::npos || parts.size() < shown + 1) return way;
  const std::size_t from = parts[parts.size() - shown];
  return way.substr(0, name + 2) + "after " + std::to_string(parts.size() + 1 - shown) + " answers, " + way.substr(from + 2);
}

void set_unreached(Page& page, const Ruleset& ruleset, const Sources& sources, const Trial& trial) {
  static const std::pair<const char*, const char*> kinds[] = {{"sentence", "No sample made these sentences speak:"},
                                                              {"verdict", "No sample was told these verdicts:"},
                                                              {"edge", "No sample went these ways through the questions:"}};
  for (const auto& [what, words] : kinds) {
    std::size_t count = 0;
    for (const trial::Unreached& one : trial.unreached) {
      if (one.what != what) continue;
      if (count++ == 0) page.blank(), page.paragraph(words);
      if (count > shown_unreached) continue;
      const std::string place = one.sentence == no_index ? "" : ", " + sources.words(ruleset.sentences[one.sentence].place);
      page.hung("", with_stop((one.what == "edge" ? shortened(one.name) : one.name) + place + ": " + share_words(one.share)), 4);
    }
    if (count > shown_unreached) page.hung("", counted(count - shown_unreached, "further is", "further are") + " not shown; --json tells all.", 4);
  }
}

void set_untested(Page& page, const Ruleset& ruleset, const Sources& sources, const trial::Mutants& mutants) {
  if (mutants.sentences == 0) return;
  page.blank();
  if (mutants.untested.empty() && mutants.undecided == 0) {
    page.paragraph(fmt::format("Every sentence is tested: whatever of the {} changes is made to them, a claim or an expectation turns out otherwise.",
                               mutants.mutants));
    return;
  }
  const std::size_t all =
      static_cast<std::size_t>(std::count_if(mutants.untested.begin(), mutants.untested.end(), [](const auto& u) { return u.all; }));
  page.paragraph(
      fmt::format("Of {}, {} could be changed in some way, and {} in any, without a claim or an expectation turning out otherwise. {} of {} changes "
                  "would go unnoticed.",
                  counted(mutants.sentences, "sentence", "sentences"), mutants.untested.size(), all, mutants.unnoticed, mutants.mutants));
  const auto in_part = std::find_if(mutants.untested.begin(), mutants.untested.end(), [](const auto& u) { return !u.all; });
  const trial::Mutants::Untested* first_in_part = in_part == mutants.untested.end() ? nullptr : &*in_part;
  std::size_t count = 0;
  const auto number = [&](const trial::Mutants::Untested& one) {
    const Place& place = ruleset.sentences[one.sentence].place;
    return sources.count() > 1 ? sources.words(place) : std::to_string(sources.number(place));
  };
  for (const bool whole : {true, false})
    for (const trial::Mutants::Untested& one : mutants.untested) {
      if (one.all != whole || ++count > shown_untested) continue;
      if (count == 1 && whole) page.blank(), page.paragraph("Whatever is done to them, nothing tells:");
      if (!whole && &one == first_in_part) page.blank(), page.paragraph("Some of what is done to them:");
      const std::string words = words_of(ruleset, ruleset.sentences[one.sentence]) + (whole ? "" : " -- " + with_stop(joined(one.how)));
      if (sources.count() == 1)
        page.hung(number(one), words, 6);
      else
        page.hung("", number(one) + ": " + words, 4);
    }
  if (count > shown_untested)
    page.hung("", counted(count - shown_untested, "further sentence is", "further sentences are") + " not shown; --json tells all.", 6);
  if (mutants.undecided > 0) page.paragraph(counted(mutants.undecided, "change is", "changes are") + " undecided: checking met its budget.");
}

std::string size_line(const Trial& trial) {
  std::string out = fmt::format("tried with {}, seed {}", counted(trial.samples, "person", "persons"), trial.seed);
  if (trial.drawn_again > 0) out += fmt::format("; {} drawn again, since the background forbids such", trial.drawn_again);
  if (trial.impossible > 0) out += fmt::format("; {} left out as impossible", trial.impossible);
  return out;
}

}  // namespace

std::string try_page(const Ruleset& ruleset, const Trial& trial, Surface surface) {
  const Sources sources(ruleset.tree.files);
  Page page(surface);
  page.paragraph(ruleset.title.empty() ? sources.name(0) : ruleset.edition.empty() ? ruleset.title : ruleset.title + ", edition " + ruleset.edition);
  page.paragraph(size_line(trial));
  page.rule();
  if (!trial.failures.empty()) {
    page.paragraph(std::string("Caution. ") + ship::caution);
    page.rule();
  }
  for (const Failure& failure : trial.failures) set_failure(page, ruleset, sources, failure, trial.seed);
  for (const std::string& fault : trial.disagreements) {
    page.blank();
    page.paragraph("A fault of Betony, and not of this ruleset; please report it: " + with_stop(fault));
  }
  set_held(page, trial);
  set_unreached(page, ruleset, sources, trial);
  set_untested(page, ruleset, sources, trial.mutants);
  page.rule();
  page.blank();
  page.paragraph(trial.failures.empty() ? "Nothing failed." : counted(trial.failures.size(), "thing failed.", "things failed."));
  return page.text();
}

// ---------------------------------------------------------------- JSON

namespace {

Json sentence_json(const Ruleset& ruleset, const Sources& sources, Index s) {
  const Sentence& sentence = ruleset.sentences[s];
  Json out = {{"label", sentence.label}, {"text", words_of(ruleset, sentence)}};
  out.update(place_json(sources, sentence.place));
  return out;
}

Json care_json(tree::Verdict verdict, bool with_care) {
  return may_be_done(verdict) ? Json(with_care) : Json(nullptr);
}

Json told_json(const Ruleset& ruleset, const Failure& failure) {
  Json out = Json::object();
  for (const Failure::Told& told : failure.told) {
    Json& one = out[ruleset.practices[told.practice].name] = {{"verdict", verdict_word(told.verdict)},
                                                              {"with_care", care_json(told.verdict, told.with_care)}};
    if (told.then) one["then"] = {{"verdict", verdict_word(told.then->first)}, {"with_care", care_json(told.then->first, told.then->second)}};
  }
  return out;
}

Json failure_json(const Ruleset& ruleset, const Sources& sources, const Failure& failure) {
  Json out = {{"what", word_of(failure.kind)}, {"name", failure.name}};
  out["school"] = failure.reading.school == no_index ? "" : ruleset.schools[failure.reading.school].name;
  out["exactly"] = failure.exactly;
  out["sample"] = failure.sample ? Json(failure.sample->number) : Json(nullptr);
  out["profile"] = person_json(ruleset, failure.person);
  if (failure.second) out["then"] = person_json(ruleset, *failure.second);
  out["told"] = told_json(ruleset, failure);
  out["sentences"] = Json::array();
  for (Index s : failure.sentences) out["sentences"].push_back(sentence_json(ruleset, sources, s));
  out["sense"] = failure.sense;
  out["write"] = failure.paste;
  return out;
}

Json untested_json(const Ruleset& ruleset, const Sources& sources, const trial::Mutants& mutants) {
  Json out = {{"sentences", Json::array()}};
  for (const trial::Mutants::Untested& one : mutants.untested) {
    Json sentence = sentence_json(ruleset, sources, one.sentence);
    sentence["unnoticed"] = one.how;
    sentence["all"] = one.all;
    out["sentences"].push_back(std::move(sentence));
  }
  const auto share = [](std::size_t part, std::size_t of) {
    Rational r(static_cast<unsigned long>(part), static_cast<unsigned long>(std::max<std::size_t>(of, 1)));
    r.canonicalize();
    return share_json({true, r, r});
  };
  out["share"] = share(mutants.untested.size(), mutants.sentences);
  out["changes"] = {{"made", mutants.mutants}, {"unnoticed", mutants.unnoticed}, {"undecided", mutants.undecided}};
  return out;
}

}  // namespace

std::string try_json(const Ruleset& ruleset, const Trial& trial, bool plain_letters) {
  const Sources sources(ruleset.tree.files);
  Json out = {{"betony", shape_version}, {"caution", ship::caution}, {"seed", trial.seed}, {"samples", trial.samples}};
  out["drawn_again"] = trial.drawn_again;
  out["impossible"] = trial.impossible;
  out["failures"] = Json::array();
  for (const Failure& failure : trial.failures) out["failures"].push_back(failure_json(ruleset, sources, failure));
  out["held"] = Json::array();
  for (const Trial::Held& held : trial.held)
    out["held"].push_back({{"what", word_of(held.kind)},
                           {"name", held.name},
                           {"school", held.school},
                           {"exactly", held.exactly},
                           {"samples", held.exactly ? Json(nullptr) : Json(held.singly ? held.singly : trial.samples)}});
  out["unreached"] = Json::array();
  for (const trial::Unreached& one : trial.unreached) {
    Json item = {{"what", one.what}, {"name", one.name}, {"share", one.share ? share_json(*one.share) : Json(nullptr)}};
    if (one.sentence != no_index) item.update(place_json(sources, ruleset.sentences[one.sentence].place));
    out["unreached"].push_back(std::move(item));
  }
  out["untested"] = untested_json(ruleset, sources, trial.mutants);
  out["faults_of_betony"] = trial.disagreements;
  return text_of(out, plain_letters);
}

}  // namespace betony::terminal
