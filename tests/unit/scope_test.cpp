#include "compiler/scope.h"
#include "compiler/universe.h"
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;

namespace {

const char* const source =
    "Ruleset \"T\", edition \"1\".\n"
    "Finding fever is yes or no. Finding chill is yes or no. Finding cough is yes or no. Finding ache is yes or no.\n"
    "Finding thirst is yes or no. Finding age is a whole number of years from 0 to 99.\n"
    "Finding weight is a number of kg from 10 to 200 in steps of 1. Finding height is a number of m from 1 to 2 in steps of 0.1.\n"
    "Measure mass is weight / (height * height) in kg/m2.\n"
    "Term frail means age over 70.\n"
    "It cannot be that fever and chill. It cannot be that chill and cough. It cannot be that ache and thirst.\n"
    "Practice soak. Indicated in fever. Contraindicated in frail.\n"
    "Practice walk. Indicated in ache. Contraindicated in age under 5.\n"
    "Practice rest. Indicated in mass over 30. Contraindicated in weight under 40.\n";

struct Scopes {
  Ruleset ruleset = ruleset_of(source);
  BoundFindings bound{ruleset};
  Facts facts{ruleset, bound};
  Scope of(Index practice) { return Scoping(ruleset, &bound).practice(practice).facts(facts).scope(); }
  std::vector<std::string> findings(const Scope& scope) {
    std::vector<std::string> names;
    for (Index f : scope.findings) names.push_back(ruleset.findings[f].name);
    return names;
  }
};

}  // namespace

TEST_CASE("the scope of a practice holds what its sentences ask, and the facts that bear on it directly or around") {
  Scopes at;
  CHECK(at.facts.group_count() == 2);
  const Scope soak = at.of(0);
  CHECK(at.findings(soak) == std::vector<std::string>{"fever", "chill", "cough", "age"});  // cough by way of chill
  CHECK(soak.backgrounds == IndexSet{0, 1});
  CHECK(soak.sentences == IndexSet{0, 1});
  CHECK(soak.terms == IndexSet{0});
  const Scope walk = at.of(1);
  CHECK(at.findings(walk) == std::vector<std::string>{"ache", "thirst", "age"});
  CHECK(walk.backgrounds == IndexSet{2});
  CHECK(walk.terms.empty());
}

TEST_CASE("numbers are cut at the thresholds of the scope only, and bound findings are brought in whole") {
  Scopes at;
  const Universe walk = cut(at.ruleset, at.of(1), at.bound);
  CHECK(print(walk) ==
        "variable 0\n  finding ache: no yes\n  shares: 1/2 1/2\n"
        "variable 1\n  finding thirst: no yes\n  shares: 1/2 1/2\n"
        "variable 2\n  finding age: [0 4] [5 99]\n  shares: 1/20 19/20\n");
  CHECK(walk.of_finding[0] == no_index);
  const Universe rest = cut(at.ruleset, at.of(2), at.bound);
  REQUIRE(rest.variables.size() == 1);
  CHECK(rest.variables[0].dimensions.size() == 3);  // weight, height, mass
  CHECK(rest.of_measure[0] == 0);
}
