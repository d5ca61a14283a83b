// viz/terminal/interview.h: a person is asked, a question at a time, until nothing more can change.
//
// An answer is a line. Besides a value of the finding it can be
//   not known          the question is passed over
//   why                which sentences the answer bears on
//   back               the last answer is taken back
//   so far             what has been told
//   FINDING = VALUE    tells or corrects any finding; FINDING = not known takes it back
//   stop               ends it, as the end of the input does
// A value that is called like one of these words is meant as the value. What a line cannot mean is told, and the question stands.
// An answer with which nobody is possible is told so and not taken.
//
// Tested by tests/unit/terminal_ask_test.cpp
#pragma once

#include <iosfwd>

#include "runtime/answers.h"
#include "runtime/question.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

class Interview {
 public:
  static constexpr std::size_t most_letters = 4096;   // of a line; a longer one is no answer

  // All borrowed. `shown` is where questions are put.
  Interview(const runtime::Pack& pack, const runtime::Names& names, runtime::Index reading, std::istream& in, std::ostream& shown, const Surface& surface)
      : pack_(pack), names_(names), reading_(reading), in_(in), shown_(shown), surface_(surface), answers_(pack.findings.size()) {}

  // What was told before, if anything was; goes on until the end.
  void hold(runtime::Answers answers);
  const runtime::Answers& answers() const { return answers_; }
  unsigned asked() const { return asked_; }

 private:
  enum class Line { value, not_known, why, back, so_far, correction, stop };
  struct Heard {
    Line line = Line::stop;
    std::string words;        // value; or of a correction what stands on its left
    std::string value;        // of a correction
  };

  void ask(const runtime::NextQuestion& next);
  bool listen(std::string& line);   // false at the end of the input
  Heard heard(const std::string& line, const runtime::Finding& finding) const;
  bool answer(const runtime::NextQuestion& next, const Heard& heard);   // whether to go on to the next question
  bool tell(runtime::Index finding, const std::string& value);
  bool correct(const std::string& name, const std::string& value);
  bool go_back();
  void set_known(runtime::Index finding, bool known);
  void why(const runtime::NextQuestion& next);
  void so_far();
  void say(const std::string& words);

  const runtime::Pack& pack_;
  const runtime::Names& names_;
  const runtime::Index reading_;
  std::istream& in_;
  std::ostream& shown_;
  const Surface surface_;
  runtime::Answers answers_;
  std::vector<runtime::Index> not_known_;   // ascending
  std::vector<runtime::Index> order_;       // findings, as they were answered
  unsigned asked_ = 0;
  bool stopped_ = false;
};

}  // namespace betony::terminal
