#include "tests/property/enumerate.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "tests/property/overall.h"
#include "tests/property/reading.h"

namespace betony::referee {

namespace {

bool alike(const Expected& a, const Expected& b) {
  return std::tie(a.kind, a.form, a.severity, a.practice, a.choice, a.finding, a.sentences, a.pairs, a.region, a.has_share,
                  a.share, a.cover_size) == std::tie(b.kind, b.form, b.severity, b.practice, b.choice, b.finding,
                                                     b.sentences, b.pairs, b.region, b.has_share, b.share, b.cover_size);
}

// What every reading says alike is said once; the first reading's school is "" where the whole is among them.
void merge(std::vector<std::vector<Expected>> readings, std::vector<Expected>& into) {
  for (const Expected& candidate : readings[0]) {
    std::vector<std::pair<std::size_t, std::size_t>> same;
    for (std::size_t r = 1; r < readings.size(); ++r)
      for (std::size_t i = 0; i < readings[r].size(); ++i)
        if (alike(candidate, readings[r][i])) {
          same.emplace_back(r, i);
          break;
        }
    into.push_back(candidate);
    if (same.size() + 1 != readings.size()) continue;
    into.back().school.clear();
    for (const auto& [r, i] : same) readings[r].erase(readings[r].begin() + static_cast<std::ptrdiff_t>(i));
  }
  for (std::size_t r = 1; r < readings.size(); ++r) into.insert(into.end(), readings[r].begin(), readings[r].end());
}

bool none_in(const Region& region) { return std::find(region.begin(), region.end(), 1) == region.end(); }

Expected nobody(const Model& model, const Judge& judge) {
  Expected e;
  e.kind = "never-applies";
  const bool background = none_in(judge.background());
  const auto& facts = background ? model.backgrounds : model.applies;
  for (int i = 0; i < static_cast<int>(facts.size()); ++i)
    if (!facts[i].gone) e.sentences.insert({background ? Spot::What::background : Spot::What::applies, i});
  return e;
}

// A pair that meets in the whole, though no school holds both of its sentences.
std::vector<Expected> dissents(const Model& model, const Universe& universe, const Judge& judge, const Reading& all) {
  std::vector<Expected> found;
  for (int p = 0; p < static_cast<int>(model.practices.size()); ++p) {
    Expected e = all.problem("contradiction", "", Weight::note);
    e.kind = "dissent";
    e.practice = model.practices[p].name;
    e.region.assign(universe.size(), 0);
    for (const Pair& pair : all.meeting(p)) {
      bool together = false;
      for (int s = 0; s < static_cast<int>(model.schools.size()); ++s)
        together = together || (!model.schools[s].gone && judge.in_reading(pair.indication, s) && judge.in_reading(pair.ban, s));
      if (!together) add_pair(e, pair);
    }
    if (!e.pairs.empty()) found.push_back(all.with_share(std::move(e)));
  }
  return found;
}

}  // namespace

std::vector<Expected> problems(const Model& model, const Universe& universe, const Judge& judge) {
  if (none_in(judge.applies())) return {nobody(model, judge)};
  std::vector<int> schools;
  for (int s = 0; s < static_cast<int>(model.schools.size()); ++s)
    if (!model.schools[s].gone) schools.push_back(s);
  const Reading all(model, universe, judge, whole);
  std::vector<Reading> readings;
  for (int s : schools) readings.emplace_back(model, universe, judge, s);

  std::vector<std::vector<Expected>> by_reading, claims = {all.claims()};
  for (const Reading& r : readings) claims.push_back(r.claims());
  std::vector<const Reading*> looked_at = {&all};
  for (const Reading& r : readings) looked_at.push_back(&r);
  for (const Reading* r : looked_at)
    if (schools.empty() || r != &all) by_reading.push_back(r->problems());

  std::vector<Expected> found;
  merge(std::move(by_reading), found);
  const std::vector<Expected> told = found;
  merge(std::move(claims), found);
  const auto append = [&](std::vector<Expected> more) { found.insert(found.end(), more.begin(), more.end()); };
  if (!schools.empty()) append(dissents(model, universe, judge, all));
  append(idle(model, universe, judge, looked_at, told));
  append(all.expectations());
  append(unused(model));
  append(uncited(model));
  append(unasked(model));
  return found;
}

std::string words(const Model& model, const Expected& e) {
  static const char* const severities[] = {"error", "question", "note"};
  std::string text = e.kind + (e.form.empty() ? "" : "/" + e.form) + ' ' + severities[static_cast<int>(e.severity)];
  for (const auto& [what, name] : {std::pair{"practice", e.practice}, {"choice", e.choice}, {"school", e.school}, {"finding", e.finding}})
    if (!name.empty()) text += std::string(", ") + what + ' ' + name;
  const auto printed = print(model);
  const auto shown = [&](const Spot& spot) {
    for (const auto& place : printed.places)
      if (place.spot == spot) {
        const auto end = printed.text.find('\n', place.begin);
        return "\n      | " + printed.text.substr(place.begin, end - place.begin);
      }
    return std::string("\n      | (a sentence without a place)");
  };
  if (e.has_share) text += ", share " + e.share.get_str();
  if (e.cover_size) text += ", smallest set of " + std::to_string(e.cover_size);
  for (const Spot& spot : e.sentences) text += shown(spot);
  for (const auto& [a, b] : e.pairs)
    text += "\n      pair" + shown({Spot::What::sentence, a}) + shown({Spot::What::sentence, b});
  return text;
}

}  // namespace betony::referee
