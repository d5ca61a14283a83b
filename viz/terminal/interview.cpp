#include "viz/terminal/interview.h"

#include <fmt/format.h>

#include <algorithm>
#include <istream>
#include <ostream>

#include "runtime/weigh.h"
#include "viz/terminal/weigh_page.h"

namespace betony::terminal {

using runtime::Index;
using runtime::no_index;

// ---------------------------------------------------------------- what is heard

bool Interview::listen(std::string& line) {
  shown_ << "  > " << std::flush;
  line.clear();
  bool any = false;
  for (int letter = in_.get(); in_ && letter != '\n'; letter = in_.get()) {
    any = true;
    if (line.size() <= most_letters) line += static_cast<char>(letter);
  }
  if (!in_ && !any) return false;
  return true;
}

Interview::Heard Interview::heard(const std::string& line, const runtime::Finding& finding) const {
  const std::string words = runtime::folded(line);
  const auto is_value = [&](const std::string& value) { return runtime::folded(value) == words; };
  if (std::any_of(finding.values.begin(), finding.values.end(), is_value)) return {Line::value, line, {}};
  if (words == "not known") return {Line::not_known, {}, {}};
  if (words == "why") return {Line::why, {}, {}};
  if (words == "back") return {Line::back, {}, {}};
  if (words == "so far") return {Line::so_far, {}, {}};
  if (words == "stop") return {Line::stop, {}, {}};
  const std::size_t at = line.find('=');
  if (at != std::string::npos) return {Line::correction, line.substr(0, at), line.substr(at + 1)};
  return {Line::value, line, {}};
}

// ---------------------------------------------------------------- what is said

void Interview::say(const std::string& words) {
  Page page(surface_);
  page.paragraph(words, 2);
  shown_ << page.text();
}

void Interview::why(const runtime::NextQuestion& next) {
  constexpr std::size_t most = 5;
  if (next.what == runtime::NextQuestion::For::red_flags) say("Red flags come first: this answer may call for licensed care before anything else.");
  std::string practices;
  for (std::size_t i = 0; i < std::min(most, next.practices.size()); ++i) practices += (i == 0 ? "" : ", ") + pack_.practices[next.practices[i]].name;
  if (next.practices.size() > most) practices += fmt::format(", and {} more", next.practices.size() - most);
  if (!practices.empty()) say("It bears on " + practices + ".");
  const auto sentences = runtime::sentences_open_to(pack_, answers_, reading_, next.finding);
  Page page(surface_);
  for (std::size_t i = 0; i < std::min(most, sentences.size()); ++i) {
    const runtime::Sentence& s = pack_.sentences[sentences[i]];
    page.hung(i == 0 ? "asked in" : "", fmt::format("{}, line {}", s.words, s.line), 13);
  }
  if (sentences.size() > most) page.hung("", fmt::format("and {} sentences more", sentences.size() - most), 13);
  shown_ << page.text();
}

void Interview::so_far() {
  std::string told;
  for (Index f : order_)
    if (answers_[f]) told += (told.empty() ? "" : ", ") + answer_words(pack_.findings[f], *answers_[f]);
  say("Told: " + (told.empty() ? std::string("nothing yet") : told) + ".");
  if (!not_known_.empty()) {
    std::string unknown;
    for (Index f : not_known_) unknown += (unknown.empty() ? "" : ", ") + pack_.findings[f].name;
    say("Not known: " + unknown + ".");
  }
}

// ---------------------------------------------------------------- answers

void Interview::set_known(Index finding, bool known) {
  const auto at = std::lower_bound(not_known_.begin(), not_known_.end(), finding);
  const bool stands = at != not_known_.end() && *at == finding;
  if (known && stands) not_known_.erase(at);
  if (!known && !stands) not_known_.insert(at, finding);
  if (!known) answers_[finding].reset();
  order_.erase(std::remove(order_.begin(), order_.end(), finding), order_.end());
  order_.push_back(finding);
}

bool Interview::tell(Index finding, const std::string& value) {
  auto reading = runtime::value_of_text(pack_, finding, value);
  if (!reading.value) {
    say(with_stop(reading.wrong));
    return false;
  }
  const auto before = answers_[finding];
  answers_[finding] = std::move(reading.value);
  if (!runtime::weigh(pack_, answers_, reading_).possible) {
    say("Nobody is " + answer_words(pack_.findings[finding], *answers_[finding]) +
        " and as was told before: a fact of the ruleset stands against it. It is not taken; an earlier answer can be corrected.");
    answers_[finding] = before;
    return false;
  }
  set_known(finding, true);
  return true;
}

bool Interview::correct(const std::string& name, const std::string& value) {
  const Index f = names_.finding(name);
  if (f == no_index) {
    say(with_stop(runtime::no_such_finding(pack_, names_, runtime::folded(name))));
    return false;
  }
  if (runtime::folded(value) != "not known") return tell(f, value);
  set_known(f, false);
  return true;
}

bool Interview::go_back() {
  if (order_.empty()) {
    say("There is no answer to take back.");
    return false;
  }
  const Index last = order_.back();
  order_.pop_back();
  answers_[last].reset();
  not_known_.erase(std::remove(not_known_.begin(), not_known_.end(), last), not_known_.end());
  return true;
}

bool Interview::answer(const runtime::NextQuestion& next, const Heard& heard) {
  switch (heard.line) {
    case Line::value:
      return tell(next.finding, heard.words);
    case Line::not_known:
      set_known(next.finding, false);
      return true;
    case Line::correction:
      return correct(heard.words, heard.value);
    case Line::back:
      return go_back();
    case Line::why:
      why(next);
      return false;
    case Line::so_far:
      so_far();
      return false;
    case Line::stop:
      stopped_ = true;
      return true;
  }
  return true;
}

void Interview::ask(const runtime::NextQuestion& next) {
  const runtime::Finding& finding = pack_.findings[next.finding];
  Page page(surface_);
  page.blank();
  page.hung(fmt::format("{:>2}", ++asked_), question_words(finding), 6);
  page.hung("", choice_words(finding), 6);
  shown_ << page.text();
  std::string line;
  for (bool is_answered = false; !is_answered;) {
    if (!listen(line)) {
      stopped_ = true;
      shown_ << '\n';
      return;
    }
    if (line.size() > most_letters)
      say("That is too long for an answer.");
    else if (runtime::folded(line).empty())
      say("Please answer: " + choice_words(finding) + ". \"not known\" is an answer too.");
    else
      is_answered = answer(next, heard(line, finding));
  }
}

void Interview::hold(runtime::Answers answers) {
  answers_ = std::move(answers);
  for (Index f = 0; f < answers_.size(); ++f)
    if (answers_[f]) order_.push_back(f);
  say("\"not known\" is an answer. \"why\" tells why something is asked, \"back\" takes the last answer back, \"age = 35\" tells or corrects any "
      "finding, \"so far\" shows what is told, \"stop\" ends.");
  while (!stopped_) {
    const auto next = runtime::next_question(pack_, answers_, reading_, not_known_);
    if (!next) break;
    ask(*next);
  }
  shown_ << '\n';
}

}  // namespace betony::terminal
