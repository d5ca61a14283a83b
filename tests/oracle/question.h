// tests/oracle/question.h: what is asked of a ruleset, and what the report should say by the answers.
//
// Asked in each reading: is anybody looked at; is there a silent person; does an indication meet a live ban, does either lie
// inside the other, do bans together cover it; does a sentence ever fire, on whom; does taking it out change any verdict, care,
// caution or choice; do two values of a choice fit, does nothing; is a claim refuted. Doses, company and the order of a day
// are not asked: tests/property/ looks at them.
#pragma once

#include <functional>

#include "compiler/compiler.h"
#include "tests/oracle/meaning.h"
#include "tests/oracle/oracle.h"

namespace betony::oracle {

struct Question {
  std::string kind;   // "silence", "meets", ...
  std::string words;  // about whom
  Formula formula;    // is there somebody?
};

// What the answers come to.
struct Findings {
  std::vector<std::string> differences;  // each in words
  std::size_t compared = 0;              // statements of the report, and silences of it, held against answers
  std::size_t shares = 0;                // exact shares alike
  std::size_t not_settled = 0;           // not compared, since the report leaves it open
};

// Where the sentences of a model stand in its files, by the ruleset's number of the file.
using Places = std::vector<std::vector<referee::Printed::Where>>;

class Examination {
 public:
  // All are borrowed and must outlive it.
  Examination(const Model& model, const Places& places, const Report& report);

  Meaning meaning;
  const std::vector<Question>& questions() const { return questions_; }
  std::vector<Formula> formulas() const;

  // `fits` answers the questions in order. Without `buddy` shares, and what regions depend on, are left out.
  Findings compare(const std::vector<bool>& fits, const Buddy* buddy) const;

 private:
  struct Evidence;
  using Check = std::function<void(Evidence&)>;
  struct Ban { int sentence; bool strong; std::size_t meets, outside_indication, outside_ban, live; };
  struct Indication { int sentence; std::size_t fires, anywhere, uncovered_by_strong, uncovered; std::vector<Ban> bans; };

  std::size_t ask(const std::string& kind, const std::string& words, Formula formula);
  void silence(int practice, View& view);
  void mute(int practice);
  void contradictions(int practice, View& view);
  void told_contradictions(int practice, int school, std::size_t looked_at, const std::vector<Indication>& indications, Evidence& e) const;
  void swallowing(int practice, View& view);
  void shares_of_pairs(int practice, View& view);
  void never_applies(int sentence);
  void idle(int sentence);
  void choice(int choice, View& view);
  void claim(int claim);
  void dissent(int practice);
  Formula changes(int sentence, int school);

  std::vector<const Problem*> told(const std::string& kind, const std::string& practice, const std::string& choice, int school) const;
  bool told_already(int sentence) const;
  std::optional<referee::Spot> spot(const Concerned& concerned) const;
  std::vector<int> sentences(const Problem& problem) const;                  // -1: no sentence of the model
  std::vector<std::pair<int, int>> pairs(const Problem& problem) const;      // indication, ban
  bool open(const std::string& name) const;                                  // not settled
  bool open_sentence(int sentence) const;
  std::string line(int sentence) const;
  std::string of(int school) const;
  void share(Evidence& e, const Problem& problem, std::size_t region, std::size_t whole, const std::string& words) const;

  const Model& model_;
  const Places& places_;
  const Report& report_;
  std::vector<int> looked_at_, checked_;  // readings
  std::map<int, View> views_;
  std::vector<Question> questions_;
  std::map<std::pair<std::string, Formula>, std::size_t> asked_;
  std::vector<Check> checks_;
  std::size_t skipped_ = 0;
};

}  // namespace betony::oracle
