#include "tests/property/compare.h"

#include <algorithm>
#include <map>
#include <utility>

#include "compiler/compiler.h"
#include "compiler/dose.h"
#include "compiler/evaluate.h"
#include "tests/property/doses.h"
#include "tests/property/enumerate.h"
#include "tests/property/order.h"
#include "tests/property/overall.h"

namespace betony::referee {

namespace {

const char* const verdict_words[] = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent", "unanswered"};

std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& part : parts) text += (text.empty() ? "" : ", ") + part;
  return text.empty() ? "nothing" : text;
}

class Comparison {
 public:
  Comparison(const Model& model, const Ruleset& ruleset, const Printed& printed)
      : model_(model), ruleset_(ruleset), printed_(printed), universe_(model), judge_(model, universe_) {
    for (std::size_t v = 0; v < universe_.variables().size(); ++v) {
      const Subject s = universe_.variables()[v].subject;
      const Finding& f = model.findings[s.finding];
      const std::string& name = s.item >= 0 ? f.words[s.item] : f.name;
      finding_.push_back(no_index);
      for (std::size_t i = 0; i < ruleset.findings.size(); ++i)
        if (ruleset.findings[i].name == name) finding_[v] = static_cast<Index>(i);
    }
    readings_.push_back(whole);
    for (int s = 0; s < static_cast<int>(model.schools.size()); ++s)
      if (!model.schools[s].gone) readings_.push_back(s);
    for (int reading : readings_) tables_.emplace(reading, judge_.table(reading));
  }

  Judgement all() {
    for (int reading : readings_) verdicts(reading);
    checks();
    return std::move(out_);
  }

 private:
  void differ(const std::string& text) {
    if (out_.differences.size() < 12) out_.differences.push_back(text);
  }

  // ---- profiles

  Value value(const Variable& variable, const Cell& cell) const {
    Value value;
    value.kind = cell.never ? Value::Kind::never : variable.is_number ? Value::Kind::number : Value::Kind::word;
    value.word = static_cast<Index>(cell.word);
    value.number = cell.number;
    return value;
  }

  Profile profile(std::size_t at) const {
    Profile profile(ruleset_.findings.size());
    for (std::size_t v = 0; v < finding_.size(); ++v)
      if (finding_[v] != no_index) profile[finding_[v]] = value(universe_.variables()[v], universe_.cell(at, static_cast<int>(v)));
    return profile;
  }

  // Where a profile of the compiler's stands in the universe; nothing: it is incomplete, or no possible answer.
  std::optional<std::size_t> locate(const Profile& profile) const {
    std::vector<int> cells;
    for (std::size_t v = 0; v < finding_.size(); ++v) {
      if (finding_[v] == no_index) {  // a date that nothing asks for
        cells.push_back(0);
        continue;
      }
      if (finding_[v] >= profile.size() || !profile[finding_[v]]) return std::nullopt;
      const Value& given = *profile[finding_[v]];
      Answer answer;
      answer.word = static_cast<int>(given.word);
      answer.never = given.kind == Value::Kind::never;
      if (given.kind == Value::Kind::number) answer.number = given.number;
      cells.push_back(cell_of(universe_.variables()[v], answer));
      if (cells.back() < 0) return std::nullopt;
    }
    return universe_.profile(cells);
  }

  template <class List>
  Index named(const List& list, const std::string& name) const {
    for (std::size_t i = 0; i < list.size(); ++i)
      if (list[i].name == name) return static_cast<Index>(i);
    return no_index;
  }

  std::string school_words(int reading) const { return reading == whole ? "" : ", read as " + model_.schools[reading].name; }

  // ---- doses

  bool has_a_dose(int practice) const {
    const auto& of = judge_.of_practice(practice);
    return std::any_of(of.begin(), of.end(), [&](int s) { return model_.sentences[s].kind == Sentence::Kind::dose; });
  }

  void dose(int practice, std::size_t at, int reading, const SettledDose& theirs) {
    const Settled mine = settled(model_, judge_, tables_.at(reading), practice, at);
    std::string want, got;
    for (const auto& [part, range] : mine.parts) want += part_words(part, part < dose_kinds && mine.factor ? scaled(range, *mine.factor) : range);
    for (const std::string& words : mine.words) want += '"' + words + '"';
    std::map<int, Range> parts;
    for (const SettledDose::Part& part : theirs.amounts)
      for (const DoseUnit& unit : dose_units())
        if (part.unit_text == unit.one || part.unit_text == unit.many)
          parts[unit.kind] = scaled({part.interval.low, part.interval.high}, unit.base / part.unit.factor);
    if (theirs.often) parts[part_often] = scaled({theirs.often->interval.low, theirs.often->interval.high}, 86400);
    if (theirs.length) parts[part_length] = scaled({theirs.length->interval.low, theirs.length->interval.high}, Fraction(1, 86400));
    for (const auto& [part, range] : parts) got += part_words(part, range);
    for (const std::string& words : std::set<std::string>(theirs.words.begin(), theirs.words.end())) got += '"' + words + '"';
    if (want != got)
      differ("of " + universe_.words(model_, at) + school_words(reading) + " the referee says the dose of " + model_.practices[practice].name +
             " is " + want + "; the compiler says " + got);
  }

  static std::string part_words(int part, const Range& range) {
    static const char* const names[] = {" min", " bowls", " g", " times a day", " days"};
    const auto end = [](const std::optional<Fraction>& e) { return e ? e->get_str() : "open"; };
    return end(range.low) + " to " + end(range.high) + names[part] + "; ";
  }

  // ---- verdicts

  void verdicts(int reading) {
    const Index school = reading == whole ? no_index : named(ruleset_.schools, model_.schools[reading].name);
    for (std::size_t at = 0; at < universe_.size(); ++at) {
      const Profile given = profile(at);
      const bool allowed = judge_.background()[at];
      if (broken_background(ruleset_, given).has_value() == allowed)
        differ(std::string("the background ") + (allowed ? "allows " : "forbids ") + universe_.words(model_, at) + ", the compiler not");
      if (!allowed) continue;
      ++out_.profiles;
      const Weighing weighing = evaluate(ruleset_, given, betony::Reading{school});
      for (int p = 0; p < static_cast<int>(model_.practices.size()); ++p) {
        if (model_.practices[p].gone) continue;
        const Index index = named(ruleset_.practices, model_.practices[p].name);
        verdict(p, at, reading, weighing.practices[index]);
        if (has_a_dose(p)) dose(p, at, reading, settle_dose(ruleset_, index, given, betony::Reading{school}));
      }
      for (int c = 0; c < static_cast<int>(model_.choices.size()); ++c)
        if (!model_.choices[c].gone) choice(c, at, reading, weighing.choices[named(ruleset_.choices, model_.choices[c].name)]);
      if (!out_.differences.empty()) return;
    }
  }

  std::string verdict_text(Verdict verdict, bool care, std::vector<std::string> cautions) const {
    std::sort(cautions.begin(), cautions.end());
    return std::string(verdict_words[static_cast<int>(verdict)]) + (care ? " with care" : "") + ", cautions: " + joined(cautions);
  }

  void verdict(int practice, std::size_t at, int reading, const PracticeVerdict& theirs) {
    const Table& table = tables_.at(reading);
    const Outcome& mine = table.outcomes[practice][at];
    std::set<std::string> texts;
    for (int s : judge_.of_practice(practice))
      if (model_.sentences[s].kind == Sentence::Kind::caution && table.fires[s][at]) texts.insert(unquoted(model_.sentences[s].text));
    const bool speaks = mine.verdict != Verdict::outside && mine.verdict != Verdict::referred;
    const auto cautions = speaks ? theirs.cautions : std::vector<std::string>();
    if (!speaks) texts.clear();
    const std::string want = verdict_text(mine.verdict, mine.care, {texts.begin(), texts.end()});
    const std::string got = verdict_text(static_cast<Verdict>(theirs.verdict), theirs.with_care, cautions);
    if (want != got)
      differ("of " + universe_.words(model_, at) + school_words(reading) + " the referee says " + model_.practices[practice].name +
             " is " + want + "; the compiler says " + got);
  }

  static std::string unquoted(std::string text) {  // a doubled quote stands for one
    for (std::size_t at = 0; (at = text.find("\"\"", at)) != std::string::npos; ++at) text.erase(at, 1);
    return text;
  }

  void choice(int choice, std::size_t at, int reading, const ChoiceResult& theirs) {
    std::uint32_t bits = 0;
    for (Index v : theirs.fits) bits |= 1u << v;
    const std::uint32_t mine = tables_.at(reading).fits[choice][at];
    const auto words = [&](std::uint32_t set) {
      std::vector<std::string> list;
      for (std::size_t v = 0; v < model_.choices[choice].words.size(); ++v)
        if (set >> v & 1u) list.push_back(model_.choices[choice].words[v]);
      return joined(list);
    };
    if (bits != mine)
      differ("of " + universe_.words(model_, at) + school_words(reading) + " the referee says of " + model_.choices[choice].name +
             " fits " + words(mine) + "; the compiler says " + words(bits));
  }

  // ---- problems

  std::optional<Spot> spot(const Concerned& concerned) const {
    std::optional<Spot> found;
    for (const Printed::Where& where : printed_.places)
      if (where.begin <= concerned.place.span.begin) found = where.spot;
    return found;
  }

  // A line that says all that must be alike, so that problems can be matched by it.
  std::string key(const Expected& e) const {
    static const char* const severities[] = {"error", "question", "note"};
    std::string text = e.kind + (e.form.empty() ? "" : "/" + e.form) + ' ' + severities[static_cast<int>(e.severity)];
    for (const auto& [what, name] :
         {std::pair{"practice ", e.practice}, {"choice ", e.choice}, {"school ", e.school}, {"finding ", e.finding}})
      if (!name.empty()) text += std::string(", ") + what + name;
    if (e.has_share) text += ", share " + e.share.get_str();
    if (e.cover_size) text += ", smallest set of " + std::to_string(e.cover_size);
    for (const Spot& s : e.sentences) text += "\n      | " + line(s);
    for (const std::string& mark : e.marks) text += "\n      = " + mark;
    for (const auto& [a, b] : e.pairs)
      text += "\n      > " + line({Spot::What::sentence, a}) + "\n      < " + line({Spot::What::sentence, b});
    return text;
  }

  std::string line(const Spot& spot) const {
    for (const Printed::Where& where : printed_.places)
      if (where.spot == spot) {
        const auto end = printed_.text.find('\n', where.begin);
        return '#' + std::to_string(spot.index) + ' ' + printed_.text.substr(where.begin, end - where.begin);
      }
    return "something without a place";
  }

  // The referee's problems told as strictly as they are compared.
  Expected expected(Expected e) const {
    const bool by_sentence = e.kind == "never-applies" || e.kind == "idle" || e.kind == "claim-refuted" || e.kind == "expectation-failed";
    if (by_sentence && !tells_a_trend(e)) e.practice.clear(), e.choice.clear();  // told with or without the practice
    if (e.kind == "never-applies" && !e.sentences.empty() && e.sentences.begin()->what != Spot::What::sentence) e.sentences.clear();
    return e;
  }

  Expected told(const Problem& p, const std::vector<Expected>& mine) {
    Expected e;
    e.kind = p.kind;
    e.form = p.form;
    e.severity = static_cast<Weight>(p.severity);
    e.practice = p.practice, e.choice = p.choice, e.school = p.school, e.finding = p.finding;
    std::vector<std::optional<Spot>> spots;
    for (const Concerned& c : p.sentences) spots.push_back(spot(c));
    for (const auto& s : spots)
      if (s && compared(p, *s)) e.sentences.insert(*s);
    if (p.kind == "never-applies" && !spots.empty() && spots[0] && compared(p, *spots[0])) e.sentences = {*spots[0]};
    for (const auto& [a, b] : p.pairs)
      if (a < spots.size() && b < spots.size() && spots[a] && spots[b]) pair(e, spots[a]->index, spots[b]->index);
    if (p.form == "swallowed") swallowed(e, spots, mine);
    if (p.form == "part")
      for (const Mark& mark : p.sentences[0].marks) e.marks.insert(marked(mark));
    if (p.has_share && p.share.exact && p.share.low == p.share.high) e.has_share = true, e.share = p.share.low;
    if (tells_a_trend(e) && p.has_share && !p.share.exact) at_most(p.share, e, mine);
    return expected(std::move(e));
  }

  // A trend is told of each practice.
  bool tells_a_trend(const Expected& e) const {
    return e.kind == "claim-refuted" && !e.sentences.empty() && e.sentences.begin()->what == Spot::What::claim &&
           model_.claims[e.sentences.begin()->index].trend;
  }
  // Where a measure binds the finding of a trend only the most that a share can be is told.
  void at_most(const Share& told, Expected& e, const std::vector<Expected>& mine) {
    for (const Expected& other : mine) {
      if (other.kind != e.kind || other.practice != e.practice || other.school != e.school || other.sentences != e.sentences) continue;
      if (told.high < other.share) differ("a share of at most " + told.high.get_str() + " is told, and it is " + other.share.get_str());
      e.has_share = other.has_share, e.share = other.share;
    }
  }

  void pair(Expected& e, int a, int b) const {
    const auto indication = [&](int s) {
      return model_.sentences[s].kind == Sentence::Kind::indicated || model_.sentences[s].kind == Sentence::Kind::allowed;
    };
    const bool clash = e.kind == "choice-clash" || e.kind == "dose-clash";
    const bool swap = clash ? b < a : !indication(a) && indication(b);
    if (a != b) e.pairs.insert(swap ? std::pair{b, a} : std::pair{a, b});
  }

  bool compared(const Problem& p, const Spot& s) const {
    for (const char* of_all : {"silence", "choice-empty", "dose-missing", "unused", "unasked"})
      if (p.kind == of_all) return false;
    if (p.kind == "broken-company") return s.what == Spot::What::sentence && names_others(model_.sentences[s.index].kind);
    if (p.kind == "claim-refuted") return s.what == Spot::What::claim;
    if (p.kind == "expectation-failed") return s.what == Spot::What::expectation;
    return s.what == Spot::What::sentence || (p.kind == "idle" && s.what == Spot::What::term);
  }

  // The words under which a part's mark stands.
  std::string marked(const Mark& mark) const {
    std::string words;
    for (char c : printed_.text.substr(mark.place.span.begin, mark.place.span.end - mark.place.span.begin))
      if (c != '\n' || words.empty() || words.back() != ' ') words += c == '\n' ? ' ' : c;
    return bare(words);
  }

  // A smallest set may be any of several: it is judged, and then only its size compared.
  void swallowed(Expected& e, const std::vector<std::optional<Spot>>& spots, const std::vector<Expected>& mine) {
    e.pairs.clear();
    e.sentences.clear();
    if (spots.empty() || !spots[0]) return;
    e.sentences.insert(*spots[0]);
    std::set<int> bans;
    for (const auto& s : spots)
      if (s && *s != *spots[0]) bans.insert(s->index);
    for (const Expected& candidate : mine)
      if (candidate.form == e.form && candidate.practice == e.practice && candidate.school == e.school && candidate.sentences == e.sentences) {
        Region covered(universe_.size(), 0), by_all(universe_.size(), 0);
        for (const auto& [ban, where] : candidate.covers)
          for (std::size_t p = 0; p < covered.size(); ++p) {
            covered[p] = covered[p] || (bans.count(ban) && where[p]);
            by_all[p] = by_all[p] || where[p];
          }
        for (std::size_t p = 0; p < covered.size(); ++p)
          if (candidate.region[p] && by_all[p] && !covered[p]) {  // elsewhere another reading's red flags speak
            differ("the bans told do not swallow all of " + line(*spots[0]) + ", for instance " + universe_.words(model_, p));
            break;
          }
      }
    e.cover_size = static_cast<int>(bans.size());
  }

  // Choices are looked at in two ways, whichever is the likelier: both have to say the same.
  void checks() {
    checks(Budget{});
    if (model_.choices.empty()) return;
    Budget tables_first;
    tables_first.rows_of_a_table = 0;
    checks(tables_first);
  }

  void checks(const Budget& budget) {
    const Report report = check(ruleset_, budget);
    for (const std::string& name : report.not_settled) differ("not settled: " + name);
    loops(report);
    sources(report);
    const std::vector<std::string> others = std::exchange(out_.differences, {});
    told_as(problems(model_, universe_, judge_), report);
    if (!out_.differences.empty() && readings_.size() > 1) {
      const std::vector<std::string> first = std::exchange(out_.differences, {});
      told_as(problems(model_, universe_, judge_, Sameness::of_shares), report);
      if (!out_.differences.empty()) out_.differences = first;
    }
    out_.differences.insert(out_.differences.begin(), others.begin(), others.end());
  }

  void told_as(std::vector<Expected> mine, const Report& report) {
    out_.problems = mine.size();
    const auto loop = [](const Expected& e) { return e.kind == "order-loop"; };
    mine.erase(std::remove_if(mine.begin(), mine.end(), loop), mine.end());
    mine = once(apart(std::move(mine), report), report);
    std::multimap<std::string, const Problem*> theirs;
    std::multimap<std::string, const Problem*> without_share;
    for (const Problem& p : report.problems) {
      if (p.kind == "order-loop") continue;
      Expected e = told(p, mine);
      theirs.emplace(key(e), &p);
      e.has_share = false;
      without_share.emplace(key(e), &p);
    }
    for (const Expected& e : mine) {
      auto& among = e.has_share ? theirs : without_share;
      auto at = among.find(key(expected(e)));
      if (at == among.end() && e.either_side) at = among.find(key(from_the_other_side(e)));
      if (at == among.end()) {
        differ("not told: " + key(expected(e)));
        continue;
      }
      witness(e, *at->second);
      const Problem* used = at->second;
      for (auto* map : {&theirs, &without_share})
        map->erase(std::find_if(map->begin(), map->end(), [&](const auto& item) { return item.second == used; }));
    }
    for (const auto& item : theirs) differ("told, but not so: " + item.first);
  }

  // ---- sources that disagree

  void sources(const Report& report) {
    std::string want, got;
    const Reading all(model_, universe_, judge_, whole);
    if (any(judge_.applies()))
      for (const std::string& line : disagreements(model_, universe_, judge_, all)) want += "\n      " + line;
    const auto share = [&](const Share& s) { return universe_.weight(all.r()) == 0 ? std::string("?") : s.exact ? s.low.get_str() : "inexact"; };
    for (const SourcesDisagree& seen : report.sources_disagree) {
      const auto side = [&](const SourcesDisagree::Side& s) { return "; " + std::to_string(s.places) + " on " + share(s.share); };
      got += "\n      " + ruleset_.sources[seen.first.source].word + " " + ruleset_.sources[seen.second.source].word + ": " + std::to_string(seen.places) +
             " on " + share(seen.share) + side(seen.first) + side(seen.second);
    }
    if (want != got) differ("the referee says that of the sources disagree" + want + "\n    the compiler says" + got);
  }

  // ---- order loops: which of several is told to a person is the compiler's choice, but its sentences must make the
  // loop by themselves, and together the loops must reach just those whose day cannot be kept

  void loops(const Report& report) {
    const std::size_t first = readings_.size() > 1 ? 1 : 0;  // with schools the whole is not checked
    for (std::size_t i = first; i < readings_.size(); ++i) loops(report, readings_[i]);
  }

  void loops(const Report& report, int reading) {
    Days days(model_, universe_, judge_, tables_.at(reading));
    Region r = judge_.applies(), told(universe_.size(), 0);
    for (std::size_t p = 0; p < r.size(); ++p) r[p] = r[p] && !judge_.referred(p, tables_.at(reading));
    const Region lost = days.not_kept(r);
    const Fraction all = universe_.weight(r), share = all == 0 ? Fraction(0) : Fraction(universe_.weight(lost) / all);
    Fraction sum = 0;
    int count = 0;
    for (const Problem& p : report.problems) {
      if (p.kind != "order-loop" || (!p.school.empty() && reading_of(p.school) != reading)) continue;
      const Region where = loop(p, r, days, reading);
      for (std::size_t at = 0; at < where.size(); ++at) told[at] = told[at] || where[at];
      sum += p.share.low, ++count;
    }
    same_persons(lost, told, reading);
    if (all != 0 && (count == 1 ? sum != share : sum < share))
      differ("the day of " + share.get_str() + " cannot be kept" + school_words(reading) + "; loops are told of " + sum.get_str());
  }

  void same_persons(const Region& mine, const Region& told, int reading) {
    for (std::size_t p = 0; p < mine.size(); ++p)
      if (mine[p] != told[p]) {
        return differ("the day of " + universe_.words(model_, p) + school_words(reading) +
                      (mine[p] ? " cannot be kept, and no loop is told" : " can be kept, and a loop is told"));
      }
  }

  // Where the sentences of a loop make it by themselves, and all whom it names are advised. It may be told of fewer,
  // where the others meet another loop.
  Region loop(const Problem& p, const Region& r, Days& days, int reading) {
    std::set<int> sentences;
    for (const Concerned& c : p.sentences)
      if (const auto s = spot(c); s && s->what == Spot::What::sentence) sentences.insert(s->index);
    const Region round = days.circles(r, &sentences);
    Region where = p.form == "order" ? round : days.not_kept(r, &sentences);
    const std::string of = loop_words(p, sentences) + school_words(reading);
    if (p.form != "order" && std::find(round.begin(), round.end(), 1) != round.end()) differ("by its order alone goes round:" + of);
    const Fraction all = universe_.weight(r);
    for (std::size_t practice = 0; practice < model_.practices.size(); ++practice) {
      const std::string& name = model_.practices[practice].name;
      if (name != p.practice && p.replay.find(name) == std::string::npos) continue;
      for (std::size_t i = 0; i < where.size(); ++i)
        where[i] = where[i] && tables_.at(reading).outcomes[practice][i].verdict == Verdict::advised;
    }
    if (all != 0 && (!p.has_share || !p.share.exact || p.share.low * all > universe_.weight(where)))
      differ("share " + p.share.low.get_str() + ", by these sentences alone at most " + Fraction(universe_.weight(where) / all).get_str() + ':' + of);
    const auto at = p.witness ? locate(*p.witness) : std::nullopt;
    if (!at || !where[*at]) differ("the witness does not show it:" + of);
    return where;
  }

  std::string loop_words(const Problem& p, const std::set<int>& sentences) const {
    std::string text = " order-loop/" + p.form + " of " + p.practice;
    for (int s : sentences) text += "\n      | " + line({Spot::What::sentence, s});
    return text;
  }

  // An indication that is swallowed in all schools may be told of each, if each names other bans.
  std::vector<Expected> apart(std::vector<Expected> mine, const Report& report) {
    std::vector<Expected> result;
    for (const Expected& e : mine) {
      std::vector<Expected> each;
      for (const Problem& p : report.problems)
        if (e.form == "swallowed" && e.school.empty() && p.form == e.form && !p.school.empty()) {
          Expected of_school = e;
          of_school.school = p.school;
          if (key(told(p, {of_school})) == key(of_school)) each.push_back(of_school);
        }
      if (each.empty() || each.size() + 1 != readings_.size()) each = {e};
      result.insert(result.end(), each.begin(), each.end());
    }
    return result;
  }

  // Schools whose red flags differ look at different persons; what they say in the same words with the same share
  // may still be told once.
  std::vector<Expected> once(std::vector<Expected> mine, const Report& report) {
    std::multimap<std::string, Expected> alike;
    for (const Expected& e : mine)
      if (!e.school.empty()) alike.emplace(schoolless(e), e);
    for (const Problem& p : report.problems) {
      if (!p.school.empty()) continue;
      const std::string told_once = key(told(p, mine));
      if (alike.count(told_once) + 1 != readings_.size() || alike.count(told_once) < 2) continue;
      Expected merged = alike.find(told_once)->second;
      for (auto [at, end] = alike.equal_range(told_once); at != end; ++at)
        for (std::size_t i = 0; i < merged.region.size(); ++i) merged.region[i] = merged.region[i] || at->second.region[i];
      merged.school.clear();
      const auto of_school = [&](const Expected& e) { return !e.school.empty() && schoolless(e) == told_once; };
      mine.erase(std::remove_if(mine.begin(), mine.end(), of_school), mine.end());
      mine.push_back(std::move(merged));
    }
    return mine;
  }

  std::string schoolless(Expected e) const {
    e.school.clear();
    return key(expected(std::move(e)));
  }

  int reading_of(const std::string& school) const {
    for (int reading : readings_)
      if (reading != whole && model_.schools[reading].name == school) return reading;
    return whole;
  }

  static Expected from_the_other_side(Expected e) {
    e.practice = e.other;
    return e;
  }

  void witness(const Expected& e, const Problem& p) {
    if (std::find(e.region.begin(), e.region.end(), 1) == e.region.end()) return;
    const std::string of = "the witness of " + key(e);
    if (!p.witness) return differ("no witness: " + key(e));
    const auto at = locate(*p.witness);
    if (!at) return differ(of + "\n      is no complete profile");
    if (!judge_.background()[*at]) return differ(of + "\n      is forbidden by the background: " + universe_.words(model_, *at));
    if (!e.region[*at]) return differ(of + "\n      does not show it: " + universe_.words(model_, *at));
    const Index practice = named(model_.practices, p.practice);
    if (!p.has_replay_verdict || practice == no_index) return;
    const auto shows = [&](int reading) {
      return static_cast<int>(tables_.at(reading).outcomes[practice][*at].verdict) == static_cast<int>(p.replay_verdict);
    };
    const bool so = p.school.empty() ? std::any_of(readings_.begin(), readings_.end(), shows) : shows(reading_of(p.school));
    if (!so)
      differ(of + "\n      is replayed as " + verdict_words[static_cast<int>(p.replay_verdict)] + ", and is not: " +
             universe_.words(model_, *at));
  }

  const Model& model_;
  const Ruleset& ruleset_;
  const Printed& printed_;
  Universe universe_;
  Judge judge_;
  std::vector<Index> finding_;  // by variable
  std::vector<int> readings_;
  std::map<int, Table> tables_;
  Judgement out_;
};

}  // namespace

Judgement judge(const Model& model) {
  const Printed printed = print(model);
  const auto no_files = [](const std::string&) { return std::optional<std::string>(); };
  const auto out = read_ruleset({"tide.bty", printed.text}, no_files);
  if (out) return Comparison(model, *out.value, printed).all();
  Judgement unread;
  for (const Message& m : out.messages) {
    const LineIndex lines(printed.text);
    unread.differences.push_back("not read, line " + std::to_string(lines.at(m.where.span.begin).line) + ", " + m.matter + ": " + m.message + " (" + m.remedy + ")");
  }
  return unread;
}

std::string report(const Model& model, const Judgement& judgement) {
  std::string text;
  for (const std::string& difference : judgement.differences) text += "  - " + difference + '\n';
  return text + "in\n" + print(model).text;
}

}  // namespace betony::referee
