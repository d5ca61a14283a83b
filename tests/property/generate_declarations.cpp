// What is declared besides findings: sources and schools, practices and groups, choices, terms, tallies.
#include <array>

#include "tests/property/maker.h"

namespace betony::referee {

void Maker::declare_sources() {
  static const std::array<const char*, 4> words = {"SB", "WN", "QL", "TR"};
  static const std::array<const char*, 4> titles = {"Salt book", "Winter notes", "Quay lessons", "Tide rolls"};
  const int count = chance(60) ? from(1, 4) : 0;
  for (int i = 0; i < count; ++i) {
    Source s{words[static_cast<std::size_t>(i)], titles[static_cast<std::size_t>(i)], 1900 + i, std::nullopt};
    if (chance(50)) s.rank = i + 1;
    m_.sources.push_back(s);
  }
  if (count < 2 || !chance(45)) return;
  m_.schools.push_back({"upper quay", {0}});
  m_.schools.push_back({"lower quay", {1}});
  if (count > 2 && chance(30)) m_.schools.push_back({"old harbour", {2}});
  if (count > 3 && chance(50)) m_.schools[0].sources.push_back(3);
}

void Maker::declare_practices() {
  static const std::array<const char*, 4> names = {"cold plunge", "steam room", "foot soak", "salt walk"};
  static const std::array<const char*, 4> others = {"the dip", "", "basin hour", ""};
  auto count = static_cast<std::size_t>(chance(50) ? 1 : from(2, 3));
  for (std::size_t i = 0; i < count; ++i) m_.practices.push_back({names[i], chance(40) ? others[i] : ""});
  if (scale_ == Scale::large && count > 1)
    for (const char* more : {"mud wrap", "bell watch", "kelp tea"})
      if (chance(50)) m_.practices.push_back({more, ""}), ++count;
  if (!chance(count > 1 ? 55 : 15)) return;
  m_.groups.push_back({"baths", some(static_cast<int>(count), 1), {}});
  if (chance(40)) m_.groups.push_back({"shore works", some(static_cast<int>(count), 0), {}});
  if (m_.groups.size() == 2 && (m_.groups[1].practices.empty() || chance(40))) m_.groups[1].groups = {0};
}

void Maker::declare_choices() {
  if (!chance(30)) return;
  static const std::vector<Choice::Kind> kinds = {Choice::Kind::one_of, Choice::Kind::one_of, Choice::Kind::highest,
                                                  Choice::Kind::lowest, Choice::Kind::any_of};
  m_.choices.push_back({pick(kinds), "rubbing oil", {"seal oil", "nut oil", "pitch"}});
  if (chance(35)) m_.choices.push_back({pick(kinds), "water heat", {"cool", "warm", "hot"}});
}

void Maker::declare_terms() {
  static const std::array<const char*, 2> names = {"frail", "storm touched"};
  const int count = chance(35) ? from(1, 2) : 0;
  for (int i = 0; i < count; ++i) m_.terms.push_back({names[static_cast<std::size_t>(i)], plain_cond(2)});
  if (chance(30)) declare_tallies();
  if (!m_.choices.empty() && chance(20)) {
    choices_askable_ = static_cast<int>(m_.choices.size());
    m_.terms.push_back({"well oiled", cond(1)});
    choices_askable_ = 0;
    late_term_ = static_cast<int>(m_.terms.size()) - 1;
  }
}

void Maker::declare_tallies() {
  static const std::array<const char*, 3> names = {"chill", "damp", "glow"};
  const int count = from(1, 3);
  for (int i = 0; i < count; ++i) {
    Tally t{names[static_cast<std::size_t>(i)], {}};
    for (int items = from(1, 3); items > 0; --items) {
      TallyItem item{{plain_cond(chance(30) ? 1 : 0)}, false, Fraction(from(-1, 3))};
      if (item.points == 0) item.points = Fraction(1, 2);
      item.each = chance(20);
      if (item.each) item.counted.push_back(plain_cond(0));
      t.items.push_back(item);
    }
    m_.tallies.push_back(t);
  }
  if (!chance(60)) return;
  Leading l{"bent", some(count, 1), std::nullopt, chance(50) ? "even" : m_.tallies[0].name};
  if (chance(30)) l.lead = Fraction(from(1, 2));
  m_.leadings.push_back(l);
}

}  // namespace betony::referee
