#include "viz/terminal/weigh_page.h"

#include <fmt/format.h>

#include <algorithm>

namespace betony::terminal {
namespace {

using namespace runtime;

tree::Verdict of(Verdict verdict) {
  static constexpr tree::Verdict all[] = {tree::Verdict::outside, tree::Verdict::referred, tree::Verdict::withheld, tree::Verdict::discouraged,
                                          tree::Verdict::advised, tree::Verdict::allowed,  tree::Verdict::silent};
  return all[static_cast<std::size_t>(verdict)];
}

// Its mark and its word.
Inked told_words(const Told& told) {
  const VerdictMark mark = verdict_mark(of(told.verdict), told.with_care);
  const VerdictMark plain = verdict_mark(of(told.verdict));
  Inked out;
  return out.add(fmt::format("{} {}{}", mark.letters, plain.word, told.with_care ? ", with care" : ""), mark.ink);
}
void add(Inked& to, const Inked& more) {
  std::size_t at = 0;
  for (const Inked::Stretch& stretch : more.stretches) {
    to.add(std::string_view(more.text).substr(at, stretch.begin - at));
    to.add(std::string_view(more.text).substr(stretch.begin, stretch.end - stretch.begin), stretch.ink);
    at = stretch.end;
  }
  to.add(std::string_view(more.text).substr(at));
}

// Unanswered first, then what may be done, then what is not spoken of, then what is not done.
int place_of(const PracticeTold& told) {
  if (!told.verdict_settled()) return 0;
  switch (told.possible[0].verdict) {
    case Verdict::advised: return told.possible[0].with_care ? 2 : 1;
    case Verdict::allowed: return told.possible[0].with_care ? 2 : 3;
    case Verdict::silent: return 4;
    case Verdict::discouraged: return 5;
    default: return 6;
  }
}

class Leaf {
 public:
  Leaf(const Weighed& weighed, const Surface& surface) : w_(weighed), page_(surface) {}

  std::string set() {
    if (!w_.weighing.possible) page_.paragraph("Nobody is as was told: a fact of the ruleset stands against it.");
    if (!w_.weighing.refers.empty()) refer();
    else practices();
    return page_.text();
  }

 private:
  std::string line_of(Index sentence) const {
    const runtime::Sentence& s = w_.pack.sentences[sentence];
    return fmt::format("{}, line {}", s.words, s.line);
  }

  void refer() {
    page_.verdict({"|#<", "REFER", Ink::strong}, "every practice is withheld");
    for (Index s : w_.weighing.refers) {
      if (!w_.pack.sentences[s].text.empty()) page_.detail("", w_.pack.sentences[s].text);
      page_.detail("because", line_of(s));
    }
  }

  void practices() {
    told();
    std::vector<Index> order;
    for (Index p = 0; p < w_.pack.practices.size(); ++p) order.push_back(p);
    std::stable_sort(order.begin(), order.end(), [&](Index a, Index b) { return place_of(w_.weighing.practices[a]) < place_of(w_.weighing.practices[b]); });
    for (Index p : order) practice(w_.pack.practices[p], w_.weighing.practices[p], w_.changes[p]);
    for (Index c = 0; c < w_.pack.choices.size(); ++c) choice(c);
  }

  void told() {
    std::string all;
    for (Index f = 0; f < w_.pack.findings.size(); ++f) {
      const runtime::Finding& finding = w_.pack.findings[f];
      if (!w_.answers[f]) continue;
      all += (all.empty() ? "" : ", ") + answer_words(finding, *w_.answers[f]);
    }
    constexpr unsigned column = 17;
    page_.hung("Told", (all.empty() ? std::string("nothing yet") : all) + ".", column);
    const bool flags_open = w_.next && w_.next->what == NextQuestion::For::red_flags;
    page_.hung("Red flags", flags_open ? "not settled yet" : "none", column);
    if (!w_.next) page_.hung("Next question", "none: nothing more can change", column);
    else page_.hung("Next question", question(w_.pack.findings[w_.next->finding]), column);
    page_.blank();
  }
  static std::string question(const runtime::Finding& finding) {
    return question_words(finding) + " (" + choice_words(finding) + ")";
  }

  void practice(const runtime::Practice& practice, const PracticeTold& told, const std::optional<Change>& changed) {
    const std::string& name = practice.name;
    const bool open = !told.verdict_settled();
    const Told first = told.possible[0];
    const bool care_open = !open && !told.settled();
    const bool care = first.with_care && !open && !care_open;
    page_.verdict(open ? verdict_mark(tree::Verdict::unanswered) : verdict_mark(of(first.verdict), care), care ? name + ", with care" : name);
    if (open || care_open) {
      Inked words;
      for (std::size_t i = 0; i < told.possible.size(); ++i) {
        words.add(i == 0 ? "" : i + 1 == told.possible.size() ? " or " : ", ");
        add(words, told_words(told.possible[i]));
      }
      page_.detail("may yet be", words);
    }
    bool because = false;
    for (Index s : told.because) page_.detail(because ? "" : "because", line_of(s)), because = true;
    could_still(told);
    for (std::size_t i = 0; i < told.defeated.size(); ++i) page_.detail(i == 0 ? "against it" : "", line_of(told.defeated[i]));
    if (told.dose.open) page_.detail("dose", "open until more is told");
    else if (!told.dose.empty()) page_.detail("dose", dose_words(told.dose));
    for (std::size_t i = 0; i < told.cautions.size(); ++i) page_.detail(i == 0 ? "caution" : "", told.cautions[i]);
    for (Index c : practice.choices) {
      const std::string fits = fits_words(c);
      if (!open && may_be_done(first.verdict)) page_.detail(w_.pack.choices[c].name, fits);
    }
    if (changed) change(*changed);
  }

  void could_still(const PracticeTold& told) {
    constexpr std::size_t most = 3;
    const std::size_t shown = told.may_yet.size() <= most + 1 ? told.may_yet.size() : most;
    for (std::size_t i = 0; i < shown; ++i) page_.detail(i == 0 ? "could still" : "", line_of(told.may_yet[i]));
    if (shown < told.may_yet.size()) page_.detail("", fmt::format("and {} sentences more", told.may_yet.size() - shown));
  }

  void change(const Change& change) {
    Inked words;
    for (const auto& [f, value] : change.findings) words.add(words.text.empty() ? "" : ", ").add(answer_words(w_.pack.findings[f], value));
    words.add(": ");
    add(words, told_words({change.verdict, false}));
    page_.detail("would change", words);
  }

  std::string fits_words(Index c) const {
    const auto words = [&](const std::vector<Index>& values) {
      std::string out;
      for (Index v : values) out += (out.empty() ? "" : ", ") + w_.pack.choices[c].values[v];
      return out;
    };
    const ChoiceTold& choice = w_.weighing.choices[c];
    if (choice.fits == choice.possible) return choice.fits.empty() ? "nothing fits" : words(choice.fits);
    return "may yet be " + words(choice.possible);
  }

  void choice(Index c) {
    page_.verdict({"", "choice", Ink::plain}, w_.pack.choices[c].name);
    page_.detail("fits", fits_words(c));
  }

  const Weighed& w_;
  Page page_;
};

}  // namespace

Weighed::Weighed(const Pack& of, const Answers& told, Index which, SealTold sealed)
    : pack(of), answers(told), reading(which), weighing(weigh(of, told, which)), next(next_question(of, told, which)), seal(std::move(sealed)) {
  Changes all(pack, answers, reading);
  for (Index p = 0; p < pack.practices.size(); ++p) changes.push_back(all.of(p));
}

std::string answer_words(const runtime::Finding& finding, const runtime::Value& value) {
  if (finding.kind != runtime::Finding::Kind::yes_no) return finding.name + " " + value_words(finding, value);
  return (value.word == 1 ? "" : "not ") + finding.name;
}

std::string question_words(const runtime::Finding& finding) {
  std::string out = finding.question.empty() ? finding.part_of : finding.question;
  if (out.empty()) return finding.name + "?";
  if (finding.part_of.empty()) return out;
  while (!out.empty() && (out.back() == '?' || out.back() == '.')) out.pop_back();
  return out + ": " + finding.name + "?";
}

std::string choice_words(const runtime::Finding& finding) {
  using Kind = runtime::Finding::Kind;
  if (finding.kind == Kind::yes_no) return "yes or no";
  if (finding.kind == Kind::date) return "a day, such as 1 November";
  if (finding.kind == Kind::time_of_day) return "a time, such as 06:30";
  std::string out;
  for (const std::string& value : finding.values) out += (out.empty() ? "" : ", ") + value;
  if (!finding.values.empty()) return out;
  out = finding.low.words() + " to " + finding.high.words() + (finding.unit.empty() ? "" : " " + finding.unit) + (finding.ago ? " ago" : "");
  return out + (finding.or_never ? ", or never" : "");
}

std::string opening_page(const Pack& pack, Index reading, const SealTold& seal, const Surface& surface) {
  Page page(surface);
  std::string title = fmt::format("{}, edition {}", pack.about.title, pack.about.edition);
  if (reading > 0) title += ", in the reading of the " + pack.readings[reading].school + " school";
  page.paragraph(title);
  if (const std::string sealed = seal_line(seal); !sealed.empty()) page.paragraph(sealed);
  page.rule();
  page.paragraph("Caution. " + pack.about.caution);
  if (pack.about.even_so) page.paragraph("This ruleset was shipped though it has errors or is not settled.");
  page.rule();
  page.blank();
  return page.text();
}

std::string told_page(const Weighed& weighed, const Surface& surface) { return Leaf(weighed, surface).set(); }

std::string weigh_page(const Weighed& weighed, const Surface& surface) {
  return opening_page(weighed.pack, weighed.reading, weighed.seal, surface) + told_page(weighed, surface);
}

}  // namespace betony::terminal
