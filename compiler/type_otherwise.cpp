// Which Otherwise speaks for a practice: its own; else that of the groups it is in, if they agree; else
// that of every practice. Two where one is meant are told once each.
#include <unordered_set>

#include "compiler/typing.h"

namespace betony {
namespace {

class Checker {
 public:
  explicit Checker(Typing& typing) : typing_(typing) {}

  void run() {
    for (const Practice& practice : typing_.ruleset.practices) check(practice);
    for (const Choice& choice : typing_.ruleset.choices) check(choice);
  }

 private:
  void check(const Practice& practice) {
    Index first[3] = {no_index, no_index, no_index};
    own_ = false;
    for (Index index : practice.sentences) {
      const Sentence& sentence = typing_.ruleset.sentences[index];
      own_ = own_ || (sentence.kind == Sentence::Kind::otherwise && rank(sentence) == 0);
    }
    for (Index index : practice.sentences) {
      const Sentence& sentence = typing_.ruleset.sentences[index];
      if (sentence.kind != Sentence::Kind::otherwise) continue;
      Index& before = first[rank(sentence)];
      if (before == no_index) before = index;
      else compare(practice, typing_.ruleset.sentences[before], sentence);
    }
  }

  void compare(const Practice& practice, const Sentence& first, const Sentence& second) {
    const bool same_heading = rank(first) != 1 || first.group == second.group;
    if (!same_heading && (own_ || (first.verdict == second.verdict && first.with_care == second.with_care))) return;
    if (!told_.insert(second.place.span.begin + (std::uint64_t{second.place.file} << 32)).second) return;
    typing_.open(second.sentence);
    if (same_heading)
      typing_.tell_at(second.place, "a second Otherwise", "What holds otherwise for " + in_quotes(practice.name) + " is said already (" + typing_.line(first.place) + ").", conditional(second.verdict) + " in ….");
    else
      typing_.tell_at(second.place, "two groups that differ",
                      in_quotes(practice.name) + " is in " + in_quotes(group(first)) + " and in " + in_quotes(group(second)) + ", and the two say different things otherwise (" + typing_.line(first.place) + "); the practice itself can say which holds.",
                      for_itself(practice, first) + " Or: " + for_itself(practice, second));
  }

  void check(const Choice& choice) {
    Index first = no_index;
    for (Index index : choice.sentences) {
      const Sentence& sentence = typing_.ruleset.sentences[index];
      if (sentence.kind != Sentence::Kind::choice_otherwise) continue;
      typing_.open(sentence.sentence);
      if (first != no_index)
        typing_.tell_at(sentence.place, "a second Otherwise", "What is chosen otherwise for " + in_quotes(choice.name) + " is said already (" + typing_.line(typing_.ruleset.sentences[first].place) + ").", take(choice, sentence));
      else first = index;
    }
  }

  // The sentences that say the same under a condition, or for one practice.
  static std::string conditional(tree::Verdict verdict) {
    switch (verdict) {
      case tree::Verdict::advised: return "Indicated";
      case tree::Verdict::discouraged: return "Discouraged";
      case tree::Verdict::withheld: return "Contraindicated";
      default: return "Allowed";
    }
  }
  std::string for_itself(const Practice& practice, const Sentence& sentence) const {
    return "Practice " + practice.name + ". " + typing_.written(sentence.place);
  }
  static std::string take(const Choice& choice, const Sentence& sentence) {
    return "Take " + (sentence.values.empty() ? std::string("…") : choice.values[sentence.values.front()]) + " in ….";
  }

  std::string group(const Sentence& sentence) const { return typing_.ruleset.groups[sentence.group].name; }

  Typing& typing_;
  bool own_ = false;  // the practice at hand has an Otherwise of its own, so its groups need not agree
  std::unordered_set<std::uint64_t> told_;
};

}  // namespace

void check_otherwise(Typing& typing) { Checker(typing).run(); }

}  // namespace betony
