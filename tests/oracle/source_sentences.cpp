// What is said: sentences about practices and choices, red flags, facts and claims. Of others only the place is kept.
#include <algorithm>

#include "tests/oracle/reader.h"

namespace betony::oracle {

using referee::Verdict;

void Reader::mark(Spot::What what, int index, std::size_t begin) { book_.places[now_->file].push_back({begin, {what, index, 0}}); }

void Reader::put(Sentence s, std::size_t begin) {
  mark(Spot::What::sentence, static_cast<int>(m_.sentences.size()), begin);
  m_.sentences.push_back(std::move(s));
}

void Reader::tell() {
  ++book_.sentences;
  const std::size_t begin = now_->tokens[0].begin;
  if (take({"practice"}) || take({"practices"})) return head_of_practices();
  if (take({"choice"})) return head_ = {}, head_.head = Sentence::Head::choice, head_.choice = take_name(Named::Of::choice).index, void();
  if (take({"every", "practice"})) {
    head_ = {};
    head_.head = Sentence::Head::every;
    if (take({"in"})) head_.head = Sentence::Head::group, head_.group = take_name(Named::Of::group).index;
    return;
  }
  if (take({"it", "cannot", "be", "that"})) {
    mark(Spot::What::background, static_cast<int>(m_.backgrounds.size()), begin);
    return m_.backgrounds.push_back({level(), false});
  }
  if (take({"applies", "to"})) {
    mark(Spot::What::applies, static_cast<int>(m_.applies.size()), begin);
    return m_.applies.push_back({level(), false});
  }
  if (take({"claim"})) return claim(begin);
  if (take({"in"})) return in_line(begin);
  if (take({"refer"})) {
    Sentence s;
    s.kind = Sentence::Kind::refer, s.head = Sentence::Head::none;
    endings(s);
    return put(std::move(s), begin);
  }
  static const std::set<std::string> elsewhere = {"ruleset", "use", "source", "school", "unit", "applies", "finding", "ask", "note",
                                                  "measure", "tally", "leading", "term", "group", "contraindications", "profile", "expect",
                                                  "population"};
  if (elsewhere.count(peek().text)) return mark(Spot::What::sample, 0, begin);
  sentence(begin);
}

void Reader::head_of_practices() {
  head_ = {};
  do {
    head_.practices.push_back(take_name(Named::Of::practice).index);
    also();
  } while (take({","}));
}

void Reader::claim(std::size_t begin) {
  referee::Claim c;
  c.title = next().text;
  need({":"});
  if (sees({"more"}) || sees({"less"}) || sees({"adding"})) return mark(Spot::What::sample, 0, begin);  // trends are the referee's
  c.never = take({"never"});
  if (!c.never) need({"always"});
  c.what = level();
  if (take({"in"})) c.when = level();
  mark(Spot::What::claim, static_cast<int>(m_.claims.size()), begin);
  m_.claims.push_back(std::move(c));
}

void Reader::in_line(std::size_t begin) {
  const Cond when = level();
  need({":"});
  ++lines_;
  for (bool first = true; first || take({";"}); first = false) {
    Sentence s;
    s.head = Sentence::Head::in_line, s.line = lines_, s.when = when;
    const std::size_t item = peek().begin;
    do {
      take({"and"});
      s.practices.push_back(take_name(Named::Of::practice).index);
    } while (take({","}) || sees({"and"}));
    if (!is()) throw Trouble{"expected is or are"};
    const std::string verdict = next().text;
    s.kind = verdict == "advised" ? Sentence::Kind::indicated : verdict == "allowed" ? Sentence::Kind::allowed
             : verdict == "withheld" ? Sentence::Kind::contraindicated : Sentence::Kind::discouraged;
    s.with_care = take({"with", "care"});
    endings(s);
    put(std::move(s), first ? begin : item);
  }
}

void Reader::sentence(std::size_t begin) {
  using Kind = Sentence::Kind;
  Sentence s = head_;
  const std::string word = next().text;
  static const std::map<std::string, Kind> kinds = {
      {"indicated", Kind::indicated}, {"allowed", Kind::allowed}, {"discouraged", Kind::discouraged}, {"contraindicated", Kind::contraindicated},
      {"caution", Kind::caution}, {"dose", Kind::dose}, {"follows", Kind::follows}, {"precedes", Kind::precedes}, {"needs", Kind::needs},
      {"leads", Kind::leads_to}, {"never", Kind::never_with}, {"apart", Kind::apart}, {"time", Kind::time}, {"takes", Kind::takes},
      {"uses", Kind::uses}, {"otherwise", Kind::otherwise}, {"take", Kind::take}, {"refuse", Kind::refuse}};
  const auto kind = kinds.find(word);
  if (kind == kinds.end()) throw Trouble{"a sentence that begins with " + word};
  s.kind = kind->second;
  if (s.head == Sentence::Head::choice) {
    if (s.kind == Kind::otherwise) s.kind = Kind::choice_otherwise;
    do {
      s.values.push_back(word_of(m_.choices[static_cast<std::size_t>(s.choice)].words));
      if (s.values.back() < 0) throw Trouble{"no such value of the choice: " + peek().text};
    } while (take({","}));
  } else if (s.kind == Kind::uses) {
    s.choice = take_name(Named::Of::choice).index;
  } else if (s.kind == Kind::otherwise) {
    static const std::map<std::string, Verdict> verdicts = {
        {"withheld", Verdict::withheld}, {"discouraged", Verdict::discouraged}, {"advised", Verdict::advised}, {"allowed", Verdict::allowed}};
    s.verdict = verdicts.at(next().text);
    s.with_care = take({"with", "care"});
  } else if (referee::about_the_day(s.kind) || s.kind == Kind::dose) {
    while (!done() && peek().kind != Token::Kind::citation && !sees({"in"}) && !sees({"when"}) && !sees({"unless"}) && !sees({",", "unless"})) ++at_;
  }
  endings(s);
  put(std::move(s), begin);
}

void Reader::endings(Sentence& s) {
  const std::set<std::string> stops = {"in", "when", "unless", "despite", "for", "called"};
  while (!done() && !sees({";"})) {
    take({","});
    if (take({"in"}) || take({"when"})) s.when = level();
    else if (take({"unless"})) s.unless = level();
    else if (take({"called"})) s.label = words_until(stops);
    else if (take({"despite"})) despite_.emplace_back(m_.sentences.size(), words_until(stops));
    else if (take({"for"})) s.aim = next().text;
    else if (take({":"})) s.text = next().text;
    else if (peek().kind == Token::Kind::citation) cite(s, next().text);
    else throw Trouble{"what is this: " + peek().text};
  }
}

void Reader::cite(Sentence& s, const std::string& works) {
  for (std::size_t at = 0; at < works.size();) {
    const std::size_t end = std::min(works.find(';', at), works.size());
    std::string word = works.substr(at, end - at);
    word.erase(0, std::min(word.find_first_not_of(' '), word.size()));
    s.cites.push_back(source(folded(word.substr(0, word.find(' ')))));
    at = end + 1;
  }
}

}  // namespace betony::oracle
