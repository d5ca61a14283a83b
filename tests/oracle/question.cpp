#include "tests/oracle/question.h"

#include <algorithm>

#include "tests/property/enumerate.h"
#include "tests/property/reading.h"

namespace betony::oracle {

using Kind = Sentence::Kind;
using referee::Spot;
using referee::whole;

struct Examination::Evidence {
  const std::vector<bool>& fits;
  const Buddy* buddy;
  Findings found;

  void expect(bool as_expected, const std::string& words) {
    ++found.compared;
    if (!as_expected && found.differences.size() < 12) found.differences.push_back(words);
  }
};

namespace {

bool is_indication(const Sentence& s) { return s.kind == Kind::indicated || s.kind == Kind::allowed; }
bool is_ban(const Sentence& s) { return s.kind == Kind::contraindicated || s.kind == Kind::discouraged; }

bool names(const Cond& c, Verdict verdict) {
  if (c.of == Cond::Of::practice && c.kind == Cond::Kind::among && std::count(c.words.begin(), c.words.end(), static_cast<int>(verdict)))
    return true;
  return std::any_of(c.parts.begin(), c.parts.end(), [&](const Cond& part) { return names(part, verdict); });
}

}  // namespace

Examination::Examination(const Model& model, const Places& places, const Report& report)
    : meaning(model), model_(model), places_(places), report_(report) {
  looked_at_.push_back(whole);
  for (int s = 0; s < static_cast<int>(model.schools.size()); ++s)
    if (!model.schools[static_cast<std::size_t>(s)].gone) looked_at_.push_back(s);
  checked_.assign(looked_at_.begin() + (looked_at_.size() > 1 ? 1 : 0), looked_at_.end());
  for (int r : looked_at_) views_.emplace(r, View(meaning, r));
  const std::size_t somebody = ask("somebody", "somebody the ruleset is about", views_.at(whole).applies());
  checks_.emplace_back([this, somebody](Evidence& e) {
    const auto nobody = [](const Problem& p) { return p.kind == "never-applies"; };
    if (!e.fits[somebody])
      e.expect(std::any_of(report_.problems.begin(), report_.problems.end(), nobody), "the ruleset is about nobody, and that is not told");
  });
  const std::size_t setup = checks_.size();
  for (int p = 0; p < static_cast<int>(model.practices.size()); ++p) {
    const referee::Practice& practice = model.practices[static_cast<std::size_t>(p)];
    if (practice.gone) continue;
    if (open(practice.name)) {
      ++skipped_;
      continue;
    }
    const std::vector<int>& of_it = meaning.of_practice[static_cast<std::size_t>(p)];
    const bool speaks = std::any_of(of_it.begin(), of_it.end(), [&](int s) { return referee::gives_a_verdict(model.sentences[static_cast<std::size_t>(s)].kind); });
    if (!speaks) mute(p);
    for (int r : checked_) {
      if (speaks) silence(p, views_.at(r));
      contradictions(p, views_.at(r));
      swallowing(p, views_.at(r));
      shares_of_pairs(p, views_.at(r));
    }
    if (looked_at_.size() > 1) dissent(p);
  }
  for (int c = 0; c < static_cast<int>(model.choices.size()); ++c) {
    if (model.choices[static_cast<std::size_t>(c)].gone) continue;
    if (open(model.choices[static_cast<std::size_t>(c)].name)) ++skipped_;
    else
      for (int r : checked_) choice(c, views_.at(r));
  }
  for (int s = 0; s < static_cast<int>(model.sentences.size()); ++s) {
    if (model.sentences[static_cast<std::size_t>(s)].gone) continue;
    if (open_sentence(s)) {
      ++skipped_;
      continue;
    }
    never_applies(s);
    idle(s);
  }
  for (int c = 0; c < static_cast<int>(model.claims.size()); ++c)
    if (const auto& said = model.claims[static_cast<std::size_t>(c)]; !said.gone && !said.trend) claim(c);  // trends are the referee's
  // Of a ruleset that is about nobody nothing else is told.
  for (std::size_t i = setup; i < checks_.size(); ++i)
    checks_[i] = [check = std::move(checks_[i]), somebody](Evidence& e) {
      if (e.fits[somebody]) check(e);
    };
}

std::size_t Examination::ask(const std::string& kind, const std::string& words, Formula formula) {
  const auto [at, fresh] = asked_.try_emplace({kind, formula}, questions_.size());
  if (fresh) questions_.push_back({kind, words, formula});
  return at->second;
}

std::vector<Formula> Examination::formulas() const {
  std::vector<Formula> all;
  for (const Question& q : questions_) all.push_back(q.formula);
  return all;
}

Findings Examination::compare(const std::vector<bool>& fits, const Buddy* buddy) const {
  Evidence e{fits, buddy, {}};
  for (const Check& check : checks_) check(e);
  e.found.not_settled = skipped_;
  return std::move(e.found);
}

// ---------------------------------------------------------------- what the report says

std::optional<Spot> Examination::spot(const Concerned& concerned) const {
  std::optional<Spot> found;
  if (concerned.place.file >= places_.size()) return found;
  for (const referee::Printed::Where& where : places_[concerned.place.file])
    if (where.begin <= concerned.place.span.begin) found = where.spot;
  return found;
}

std::vector<int> Examination::sentences(const Problem& problem) const {
  std::vector<int> found;
  for (const Concerned& c : problem.sentences) {
    const auto at = spot(c);
    found.push_back(at && at->what == Spot::What::sentence ? at->index : -1);
  }
  return found;
}

std::vector<std::pair<int, int>> Examination::pairs(const Problem& problem) const {
  const std::vector<int> list = sentences(problem);
  std::vector<std::pair<int, int>> found;
  for (auto [a, b] : problem.pairs) {
    if (a >= list.size() || b >= list.size() || list[a] < 0 || list[b] < 0) continue;
    const bool turned = !is_indication(model_.sentences[static_cast<std::size_t>(list[a])]);
    found.emplace_back(turned ? list[b] : list[a], turned ? list[a] : list[b]);
  }
  return found;
}

// What is said of all schools alike stands once, with no school.
std::vector<const Problem*> Examination::told(const std::string& kind, const std::string& practice, const std::string& choice, int school) const {
  std::vector<const Problem*> found;
  for (const Problem& p : report_.problems) {
    const bool same_school = p.school.empty() || (school != whole && p.school == model_.schools[static_cast<std::size_t>(school)].name);
    if (p.kind == kind && p.practice == practice && p.choice == choice && same_school) found.push_back(&p);
  }
  return found;
}

bool Examination::open(const std::string& name) const {
  return std::count(report_.not_settled.begin(), report_.not_settled.end(), name) > 0;
}

bool Examination::open_sentence(int sentence) const {
  const Sentence& s = model_.sentences[static_cast<std::size_t>(sentence)];
  if (s.kind == Kind::refer) return !report_.settled();
  if (s.head == Sentence::Head::choice) return open(model_.choices[static_cast<std::size_t>(s.choice)].name);
  for (int p : speaks_of(model_, s))
    if (open(model_.practices[static_cast<std::size_t>(p)].name)) return true;
  return false;
}

std::string Examination::line(int sentence) const {
  static const char* const kinds[] = {"Indicated", "Allowed", "Discouraged", "Contraindicated", "Caution", "Dose", "Follows", "Precedes",
                                      "Needs", "Leads to", "Never with", "Apart", "Time", "Takes", "Uses", "Otherwise", "Take", "Refuse",
                                      "Otherwise", "Refer"};
  const Sentence& s = model_.sentences[static_cast<std::size_t>(sentence)];
  std::string text = "#" + std::to_string(sentence) + ' ' + kinds[static_cast<std::size_t>(s.kind)];
  if (s.when.kind != Cond::Kind::always) text += " in " + print(model_, s.when);
  if (s.unless) text += " unless " + print(model_, *s.unless);
  return '(' + text + ')';
}

std::string Examination::of(int school) const {
  return school == whole ? "" : ", read as " + model_.schools[static_cast<std::size_t>(school)].name;
}

void Examination::share(Evidence& e, const Problem& problem, std::size_t region, std::size_t of_all, const std::string& words) const {
  if (!e.buddy || !problem.has_share) return;
  const Fraction all = e.buddy->weight(of_all);
  if (all == 0) return;
  const Fraction mine = e.buddy->weight(region) / all;
  ++e.found.shares;
  e.expect(problem.share.low <= mine && mine <= problem.share.high && problem.share.exact,
           words + ": the share told is " + problem.share.low.get_str() + ", counted it is " + mine.get_str());
}

// ---------------------------------------------------------------- silence

void Examination::silence(int practice, View& view) {
  const std::string name = model_.practices[static_cast<std::size_t>(practice)].name, words = "a silent person of " + name + of(view.school());
  const std::size_t silent = ask("silence", words, view.verdict(practice, Verdict::silent));
  const std::size_t all = ask("looked at", "somebody looked at" + of(view.school()), view.r());
  checks_.emplace_back([=, this, school = view.school()](Evidence& e) {
    const auto problems = told("silence", name, "", school);
    e.expect(problems.size() == (e.fits[silent] ? 1u : 0u), words + ": " + (e.fits[silent] ? "there is one" : "there is none") + ", told " + std::to_string(problems.size()));
    if (problems.size() == 1) share(e, *problems[0], silent, all, words);
  });
}

// A practice of which no sentence says yes or no is told once, whatever the school.
void Examination::mute(int practice) {
  const std::string name = model_.practices[static_cast<std::size_t>(practice)].name;
  std::vector<Formula> all;
  for (int r : checked_) all.push_back(views_.at(r).verdict(practice, Verdict::silent));
  const std::size_t silent = ask("silence", "a silent person of mute " + name, meaning.statement.any(all));
  checks_.emplace_back([=, this](Evidence& e) {
    const auto problems = told("silence", name, "", whole);
    e.expect(problems.size() == (e.fits[silent] ? 1u : 0u), "silence of mute " + name + " is told " + std::to_string(problems.size()) + " times");
  });
}

// ---------------------------------------------------------------- contradictions

void Examination::contradictions(int practice, View& view) {
  Statement& s = meaning.statement;
  const Formula r = view.r();
  const std::string name = model_.practices[static_cast<std::size_t>(practice)].name, where = " of " + name + of(view.school());
  std::vector<Indication> indications;
  for (int i : meaning.of_practice[static_cast<std::size_t>(practice)]) {
    if (!is_indication(model_.sentences[static_cast<std::size_t>(i)]) || !in_reading(model_, i, view.school())) continue;
    const Formula fires = view.fires(i);
    Indication indication{i, ask("fires", line(i) + " fires" + where, s.all({r, fires})), ask("fires", line(i) + " fires anywhere" + where, fires), 0, 0, {}};
    std::vector<Formula> strong, every;
    for (int j : meaning.of_practice[static_cast<std::size_t>(practice)]) {
      if (!is_ban(model_.sentences[static_cast<std::size_t>(j)]) || !in_reading(model_, j, view.school())) continue;
      const Formula live = view.live(j, practice);
      const bool is_strong = model_.sentences[static_cast<std::size_t>(j)].kind == Kind::contraindicated;
      const std::string both = line(i) + " and live " + line(j) + where;
      indication.bans.push_back({j, is_strong, ask("meets", both, s.all({r, fires, live})),
                                 ask("outside the indication", both, s.all({r, live, s.no(fires)})),
                                 ask("outside the ban", both, s.all({r, fires, s.no(live)})), ask("live", "live " + line(j) + where, live)});
      every.push_back(live);
      if (is_strong) strong.push_back(live);
    }
    indication.uncovered_by_strong = ask("uncovered", line(i) + " outside all contraindications" + where, s.all({r, fires, s.no(s.any(strong))}));
    indication.uncovered = ask("uncovered", line(i) + " outside all bans" + where, s.all({r, fires, s.no(s.any(every))}));
    indications.push_back(std::move(indication));
  }
  const std::size_t all = ask("looked at", "somebody looked at" + of(view.school()), r);
  checks_.emplace_back([=, this, school = view.school()](Evidence& e) { told_contradictions(practice, school, all, indications, e); });
}

void Examination::told_contradictions(int practice, int school, std::size_t looked_at, const std::vector<Indication>& indications, Evidence& e) const {
  const std::string name = model_.practices[static_cast<std::size_t>(practice)].name, where = " of " + name + of(school);
  static const char* const severities[] = {"error", "question", "note"};
  std::map<std::pair<int, int>, std::string> forms;  // as told
  std::map<int, const Problem*> swallowed;
  for (const Problem* p : told("contradiction", name, "", school)) {
    const auto list = sentences(*p);
    if (p->form == "swallowed") {
      if (!list.empty()) swallowed[list[0]] = p;
      continue;
    }
    for (const auto& pair : pairs(*p)) {
      std::string& form = forms[pair];
      form += (form.empty() ? "" : " and ") + p->form + ' ' + severities[static_cast<int>(p->severity)];
    }
  }
  std::size_t told_pairs = forms.size();
  for (const Indication& i : indications) {
    const auto report = [&](const Ban& ban, const std::string& want) {
      const auto at = forms.find({i.sentence, ban.sentence});
      const std::string got = at == forms.end() ? "" : at->second;
      if (at != forms.end()) --told_pairs;
      const bool either = want == "crossing" && (got == "crossing note" || got == "crossing question");  // without counting: unknown
      e.expect(want == got || either, line(i.sentence) + " and " + line(ban.sentence) + where + ": by the answers \"" + want + "\", told \"" + got + '"');
    };
    std::string all_of_it;  // the form that tells the whole indication, by severity
    bool told_whole = false, expect_swallowed = false, by_strong = false;
    std::set<int> head_on;
    for (bool strong : {true, false}) {
      if (!e.fits[i.fires] || told_whole) continue;
      for (const Ban& ban : i.bans)
        if (ban.strong == strong && e.fits[ban.meets] && !e.fits[ban.outside_ban] && !e.fits[ban.outside_indication])
          head_on.insert(ban.sentence), told_whole = true;
      if (told_whole || e.fits[strong ? i.uncovered_by_strong : i.uncovered]) continue;
      told_whole = expect_swallowed = true;
      by_strong = strong;
    }
    const auto at = swallowed.find(i.sentence);
    e.expect((at != swallowed.end()) == expect_swallowed, line(i.sentence) + where + (expect_swallowed ? " is swallowed, not told so" : " is told as swallowed, and is not"));
    if (at != swallowed.end() && expect_swallowed) {
      e.expect(at->second->severity == (by_strong ? Severity::error : Severity::question), line(i.sentence) + where + ": the severity of swallowed");
      share(e, *at->second, i.fires, looked_at, line(i.sentence) + " swallowed" + where);
    }
    for (const Ban& ban : i.bans) {
      if (told_whole) {
        report(ban, head_on.count(ban.sentence) ? std::string("head-on ") + (ban.strong ? "error" : "question") : "");
      } else if (!e.fits[ban.meets]) {
        report(ban, "");
      } else if (!e.fits[ban.outside_indication]) {
        report(ban, "exception note");
      } else if (!e.buddy) {
        report(ban, "crossing");
      } else {
        const std::set<int> a = e.buddy->depends(i.anywhere), b = e.buddy->depends(ban.live);
        const bool related = std::any_of(a.begin(), a.end(), [&](int v) { return b.count(v) > 0; });
        report(ban, related && !model_.prevail && ban.strong ? "crossing question" : "crossing note");
      }
    }
  }
  e.expect(told_pairs == 0, "pairs are told" + where + " that do not stand in this reading");
}

// The bans that are told to swallow an indication do so, and none of them is superfluous.
void Examination::swallowing(int practice, View& view) {
  Statement& s = meaning.statement;
  const std::string name = model_.practices[static_cast<std::size_t>(practice)].name;
  for (const Problem* p : told("contradiction", name, "", view.school())) {
    const auto list = sentences(*p);
    const bool here = std::all_of(list.begin(), list.end(), [&](int i) { return i >= 0 && in_reading(model_, i, view.school()); });
    if (p->form != "swallowed" || list.size() < 2 || !here || (p->school.empty() && checked_.size() > 1)) continue;
    const std::set<int> bans(list.begin() + 1, list.end());
    const auto left_by = [&](int without) {
      std::vector<Formula> by = {view.r(), view.fires(list[0])};
      for (int ban : bans)
        if (ban != without) by.push_back(s.no(view.live(ban, practice)));
      return ask("uncovered", line(list[0]) + " outside the bans told of " + name + of(view.school()), s.all(by));
    };
    const std::size_t all = left_by(-1);
    std::vector<std::size_t> less;
    for (int ban : bans) less.push_back(left_by(ban));
    checks_.emplace_back([=, this, words = line(list[0]) + " of " + name + of(view.school())](Evidence& e) {
      e.expect(!e.fits[all], "the bans told do not swallow " + words);
      for (std::size_t q : less) e.expect(e.fits[q], "a ban told to swallow is superfluous: " + words);
    });
  }
}

void Examination::shares_of_pairs(int practice, View& view) {
  Statement& s = meaning.statement;
  const std::string name = model_.practices[static_cast<std::size_t>(practice)].name;
  for (const Problem* p : told("contradiction", name, "", view.school())) {
    if (p->form == "swallowed") continue;
    std::vector<Formula> regions;
    for (auto [i, j] : pairs(*p)) regions.push_back(s.all({view.r(), view.fires(i), view.live(j, practice)}));
    const std::size_t region = ask("meets", "all that is told together of " + name + of(view.school()), s.any(regions));
    const std::size_t all = ask("looked at", "somebody looked at" + of(view.school()), view.r());
    checks_.emplace_back([=, this, words = p->form + " of " + name + of(view.school())](Evidence& e) { share(e, *p, region, all, words); });
  }
}

// A pair that meets in the whole, though no school holds both of its sentences.
void Examination::dissent(int practice) {
  Statement& s = meaning.statement;
  View& view = views_.at(whole);
  const std::string name = model_.practices[static_cast<std::size_t>(practice)].name;
  std::set<std::pair<int, int>> told_pairs;
  for (const Problem* p : told("dissent", name, "", whole))
    for (const auto& pair : pairs(*p)) told_pairs.insert(pair);
  for (int i : meaning.of_practice[static_cast<std::size_t>(practice)])
    for (int j : meaning.of_practice[static_cast<std::size_t>(practice)]) {
      if (!is_indication(model_.sentences[static_cast<std::size_t>(i)]) || !is_ban(model_.sentences[static_cast<std::size_t>(j)])) continue;
      const auto both = [&](int school) { return in_reading(model_, i, school) && in_reading(model_, j, school); };
      if (std::any_of(checked_.begin(), checked_.end(), both)) continue;
      const std::string words = line(i) + " and live " + line(j) + " of " + name + " in two schools";
      const std::size_t meets = ask("meets", words, s.all({view.r(), view.fires(i), view.live(j, practice)}));
      const bool is_told = told_pairs.count({i, j}) > 0;
      checks_.emplace_back([=](Evidence& e) { e.expect(e.fits[meets] == is_told, words + (is_told ? " is told as dissent, and does not meet" : " meets, and is not told as dissent")); });
    }
}

// ---------------------------------------------------------------- sentences

void Examination::never_applies(int sentence) {
  const Sentence& of_model = model_.sentences[static_cast<std::size_t>(sentence)];
  if (!referee::can_be_told_as_never(of_model)) return;
  Statement& s = meaning.statement;
  std::vector<Formula> on_possible, on_applied, on_heard;
  for (int r : looked_at_) {
    View& view = views_.at(r);
    on_possible.push_back(s.all({view.background(), view.fires(sentence)}));
    on_applied.push_back(s.all({view.applies(), view.fires(sentence)}));
    on_heard.push_back(s.all({view.r(), view.fires(sentence)}));
  }
  const std::string words = line(sentence);
  const std::size_t possible = ask("never applies", words + " fires on somebody", s.any(on_possible));
  const std::size_t applied = ask("never applies", words + " fires on somebody it is about", s.any(on_applied));
  const std::size_t heard = ask("never applies", words + " fires on somebody not referred", s.any(on_heard));
  std::string got;
  for (const Problem& p : report_.problems) {
    const auto list = sentences(p);
    if (p.kind == "never-applies" && !list.empty() && list[0] == sentence) got += "never applies " + p.form;
  }
  const bool flag = of_model.kind == Kind::refer;
  checks_.emplace_back([=](Evidence& e) {
    std::string want;
    if (!e.fits[heard] && !(flag && e.fits[applied]))
      want = std::string("never applies ") + (e.fits[applied] ? "already-referred" : e.fits[possible] ? "already-outside" : "");
    e.expect(want == got, words + ": by the answers \"" + want + "\", told \"" + got + '"');
  });
}

bool Examination::told_already(int sentence) const {
  for (const Problem& p : report_.problems) {
    const bool indication = is_indication(model_.sentences[static_cast<std::size_t>(sentence)]);
    const auto list = sentences(p);
    const bool first = !list.empty() && list[0] == sentence, there = std::count(list.begin(), list.end(), sentence) > 0;
    if ((p.kind == "never-applies" && first) || (indication && there && (p.form == "head-on" || p.form == "swallowed"))) return true;
  }
  return false;
}

Formula Examination::changes(int sentence, int school) {
  Statement& s = meaning.statement;
  View& before = views_.at(school);
  View after(meaning, school, sentence);
  const Sentence& out = model_.sentences[static_cast<std::size_t>(sentence)];
  const bool of_choice = out.head == Sentence::Head::choice;
  std::vector<int> practices = speaks_of(model_, out);
  if (of_choice || out.kind == Kind::refer) {
    practices.clear();
    for (int p = 0; p < static_cast<int>(model_.practices.size()); ++p)
      if (!model_.practices[static_cast<std::size_t>(p)].gone) practices.push_back(p);
  }
  std::vector<Formula> any;
  const auto differ = [&](Formula a, Formula b) {
    if (a == b) return;
    any.push_back(s.all({a, s.no(b)}));
    any.push_back(s.all({b, s.no(a)}));
  };
  for (int p : practices) {
    for (Verdict v : {Verdict::referred, Verdict::withheld, Verdict::discouraged, Verdict::advised, Verdict::allowed, Verdict::silent})
      differ(before.verdict(p, v), after.verdict(p, v));
    differ(before.care(p), after.care(p));
    for (const std::string& text : meaning.texts(p)) differ(before.text(p, text), after.text(p, text));
  }
  for (int c = 0; of_choice && c < static_cast<int>(model_.choices.size()); ++c)
    for (int v = 0; !model_.choices[static_cast<std::size_t>(c)].gone && v < static_cast<int>(model_.choices[static_cast<std::size_t>(c)].words.size()); ++v)
      differ(before.fits(c, v), after.fits(c, v));
  return s.all({before.applies(), s.any(std::move(any))});
}

void Examination::idle(int sentence) {
  const Kind kind = model_.sentences[static_cast<std::size_t>(sentence)].kind;
  if (referee::about_the_day(kind) || kind == Kind::uses || kind == Kind::dose || told_already(sentence)) return;
  std::vector<Formula> in_any;
  for (int r : looked_at_)
    if (in_reading(model_, sentence, r)) in_any.push_back(changes(sentence, r));
  const std::string words = line(sentence);
  const std::size_t moves = ask("idle", words + " changes something", meaning.statement.any(std::move(in_any)));
  bool is_told = false;
  for (const Problem& p : report_.problems) {
    const auto list = sentences(p);
    is_told = is_told || (p.kind == "idle" && p.form != "part" && std::count(list.begin(), list.end(), sentence) > 0);
  }
  checks_.emplace_back([=](Evidence& e) {
    e.expect(e.fits[moves] != is_told, words + (is_told ? " is told as idle, and changes something" : " changes nothing, and is not told as idle"));
  });
}

// ---------------------------------------------------------------- choices and claims

void Examination::choice(int which, View& view) {
  Statement& s = meaning.statement;
  const referee::Choice& c = model_.choices[static_cast<std::size_t>(which)];
  const int words = static_cast<int>(c.words.size());
  std::vector<Formula> two, none = {view.r()}, done;
  for (int v = 0; v < words; ++v) {
    none.push_back(s.no(view.fits(which, v)));
    for (int w = v + 1; w < words; ++w) two.push_back(s.all({view.r(), view.fits(which, v), view.fits(which, w)}));
  }
  bool used = false;
  for (int i = 0; i < static_cast<int>(model_.sentences.size()); ++i) {
    const Sentence& sentence = model_.sentences[static_cast<std::size_t>(i)];
    if (sentence.kind != Kind::uses || sentence.choice != which || !in_reading(model_, i, view.school())) continue;
    for (int p : speaks_of(model_, sentence)) {
      used = true;
      done.push_back(view.verdict(p, Verdict::advised));
      done.push_back(view.verdict(p, Verdict::allowed));
    }
  }
  if (used) none.push_back(s.any(done));
  const std::string name = c.name, where = " of " + name + of(view.school());
  const std::size_t clash = ask("two fit", "two values" + where, s.any(two)), empty = ask("nothing fits", "no value" + where, s.all(none));
  const std::size_t all = ask("looked at", "somebody looked at" + of(view.school()), view.r());
  checks_.emplace_back([=, this, school = view.school(), one_of = c.kind == referee::Choice::Kind::one_of](Evidence& e) {
    const auto check = [&](const std::string& kind, std::size_t question, bool expected) {
      const auto problems = told(kind, "", name, school);
      e.expect(problems.size() == (expected ? 1u : 0u), kind + where + ": by the answers " + (expected ? "there" : "not there") + ", told " + std::to_string(problems.size()));
      if (problems.size() == 1) share(e, *problems[0], question, all, kind + where);
    };
    check("choice-clash", clash, one_of && e.fits[clash]);
    check("choice-empty", empty, e.fits[empty]);
  });
}

// Refuted in the whole, a claim is told of the whole alone; else of each school that refutes it.
void Examination::claim(int which) {
  Statement& s = meaning.statement;
  const referee::Claim& claim = model_.claims[static_cast<std::size_t>(which)];
  const bool referred = names(claim.what, Verdict::referred) || names(claim.when, Verdict::referred);
  const bool outside = names(claim.what, Verdict::outside) || names(claim.when, Verdict::outside);
  struct Refuted { std::size_t by, domain; int school; };
  std::vector<Refuted> readings;
  for (int r : looked_at_) {
    View& view = views_.at(r);
    std::vector<Formula> domain = {view.r()};
    if (referred) domain.push_back(s.all({view.applies(), view.referred()}));
    if (outside) domain.push_back(s.all({view.background(), s.no(view.applies())}));
    const Formula who = s.any(domain), what = view.holds(claim.what);
    const std::string words = "claim \"" + claim.title + '"' + of(r);
    readings.push_back({ask("claim refuted", words, s.all({who, view.holds(claim.when), claim.never ? what : s.no(what)})),
                        ask("looked at", "somebody whom the " + words + " looks at", who), r});
  }
  if (!report_.settled()) {
    ++skipped_;
    return;
  }
  checks_.emplace_back([=, this, title = claim.title](Evidence& e) {
    bool in_whole = false;
    for (const Refuted& refuted : readings) {
      const std::string school = refuted.school == whole ? "" : model_.schools[static_cast<std::size_t>(refuted.school)].name;
      const bool expected = e.fits[refuted.by] && !in_whole;
      in_whole = in_whole || (refuted.school == whole && e.fits[refuted.by]);
      std::vector<const Problem*> found;
      for (const Problem& p : report_.problems) {
        if (p.kind != "claim-refuted" || p.school != school) continue;
        for (const Concerned& c : p.sentences)
          if (spot(c) == Spot{Spot::What::claim, which, 0}) {
            found.push_back(&p);
            break;
          }
      }
      e.expect(found.size() == (expected ? 1u : 0u), "claim \"" + title + '"' + of(refuted.school) + (expected ? " is refuted" : " stands") + ", told " + std::to_string(found.size()));
      if (found.size() == 1 && expected) share(e, *found[0], refuted.by, refuted.domain, "claim \"" + title + '"' + of(refuted.school));
    }
  });
}

}  // namespace betony::oracle
