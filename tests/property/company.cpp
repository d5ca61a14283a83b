// A practice advised without the company it needs, or in company it may not have.
#include <algorithm>

#include "tests/property/reading.h"

namespace betony::referee {

using Kind = Sentence::Kind;

namespace {

// Says no more than that the two are never done on one day; from whichever side.
bool plain(const Model& model, const Sentence& s) {
  const auto there = [&](int source) { return !model.sources[source].gone; };
  return s.kind == Kind::never_with && s.when.kind == Cond::Kind::always && !s.unless &&
         std::none_of(s.cites.begin(), s.cites.end(), there);
}

}  // namespace

void Reading::company(std::vector<Expected>& into) const {
  std::set<std::pair<int, int>> plainly;  // pairs that a plain `Never with` was told of
  for (int s = 0; s < static_cast<int>(model_.sentences.size()); ++s) {
    const Sentence& sentence = model_.sentences[s];
    for (int p : judge_.practices_of(s))
      for (int other : std::set<int>(sentence.others.begin(), sentence.others.end())) {
        if (other == p || model_.practices[other].gone) continue;
        if (plain(model_, sentence) && !plainly.insert(std::minmax(p, other)).second) continue;
        if (sentence.kind == Kind::never_with) broken(s, p, other, Verdict::advised, into);
        if (sentence.kind != Kind::needs && sentence.kind != Kind::leads_to) continue;
        broken(s, p, other, Verdict::withheld, into);
        broken(s, p, other, Verdict::discouraged, into);
      }
  }
}

// Where the sentence speaks, the practice is advised, and the other has this verdict.
void Reading::broken(int sentence, int practice, int other, Verdict verdict, std::vector<Expected>& into) const {
  const Kind kind = model_.sentences[sentence].kind;
  const char* form = kind == Kind::never_with ? "never-with" : kind == Kind::needs ? "needs" : "leads-to";
  Expected e = problem("broken-company", form, verdict == Verdict::discouraged ? Weight::question : Weight::error);
  e.practice = model_.practices[practice].name;
  e.other = model_.practices[other].name;
  e.either_side = plain(model_, model_.sentences[sentence]);
  e.sentences.insert({Spot::What::sentence, sentence});
  e.region.assign(universe_.size(), 0);
  for (std::size_t p = 0; p < universe_.size(); ++p)
    e.region[p] = r_[p] && table_.fires[sentence][p] && table_.outcomes[practice][p].verdict == Verdict::advised &&
                  table_.outcomes[other][p].verdict == verdict;
  if (any(e.region)) into.push_back(with_share(std::move(e)));
}

}  // namespace betony::referee
