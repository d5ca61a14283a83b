#include "tests/property/enumerate.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "tests/property/overall.h"
#include "tests/property/reading.h"

namespace betony::referee {

namespace {

bool alike(const Expected& a, const Expected& b, Sameness sameness) {
  if (sameness == Sameness::of_persons && a.region != b.region) return false;
  return std::tie(a.kind, a.form, a.severity, a.practice, a.other, a.choice, a.finding, a.sentences, a.pairs, a.has_share, a.share,
                  a.cover_size, a.told_with) ==
         std::tie(b.kind, b.form, b.severity, b.practice, b.other, b.choice, b.finding, b.sentences, b.pairs, b.has_share, b.share,
                  b.cover_size, b.told_with);
}

bool among(const std::vector<Expected>& list, const Expected& e, Sameness sameness) {
  return std::any_of(list.begin(), list.end(), [&](const Expected& other) { return alike(e, other, sameness); });
}

// What is told together becomes one problem: all exceptions of a practice, the crossings of one ban, those left over.
std::vector<Expected> together(const std::vector<Expected>& list, const Reading& reading) {
  std::map<std::tuple<std::string, std::string, int>, Expected> groups;
  std::vector<Expected> told;
  for (const Expected& e : list) {
    if (e.form != "exception" && e.form != "crossing") {
      told.push_back(e);
      continue;
    }
    Expected& group = groups.try_emplace({e.practice, e.form, e.told_with}, e).first->second;
    group.sentences.insert(e.sentences.begin(), e.sentences.end());
    group.pairs.insert(e.pairs.begin(), e.pairs.end());
    widen(group.region, e.region);
  }
  for (auto& [key, group] : groups) told.push_back(reading.with_share(std::move(group)));
  return told;
}

// What every reading says alike, of the same persons looked at, is said once, for no school.
std::vector<Expected> merge(const std::vector<const Reading*>& readings, Sameness sameness) {
  std::vector<std::vector<Expected>> said;
  for (const Reading* r : readings) {
    said.push_back(r->problems());
    for (Expected& e : said.back()) e = r->with_share(std::move(e));
  }
  const bool same_people = std::all_of(readings.begin(), readings.end(), [&](const Reading* r) { return r->r() == readings[0]->r(); });
  const bool comparable = same_people || sameness == Sameness::of_shares;
  if (same_people) sameness = Sameness::of_persons;
  std::vector<Expected> common, found;
  for (const Expected& e : said[0]) {
    if (!comparable || !std::all_of(said.begin(), said.end(), [&](const auto& list) { return among(list, e, sameness); })) continue;
    common.push_back(e);
    common.back().school.clear();
    for (std::size_t r = 1; r < said.size(); ++r)  // another reading may have other bans that swallow it
      for (const Expected& other : said[r])
        if (alike(e, other, sameness)) common.back().covers.insert(common.back().covers.end(), other.covers.begin(), other.covers.end());
  }
  const auto append = [&](const std::vector<Expected>& more) { found.insert(found.end(), more.begin(), more.end()); };
  append(together(common, *readings[0]));
  for (std::size_t r = 0; r < said.size(); ++r) {
    std::vector<Expected> own;
    for (const Expected& e : said[r])
      if (!among(common, e, sameness)) own.push_back(e);
    append(together(own, *readings[r]));
  }
  return found;
}

// ---------------------------------------------------------------- told of all readings together

Expected nobody(const Model& model, const Judge& judge) {
  Expected e;
  e.kind = "never-applies";
  const bool background = !any(judge.background());
  const auto& facts = background ? model.backgrounds : model.applies;
  for (int i = 0; i < static_cast<int>(facts.size()); ++i)
    if (!facts[i].gone) e.sentences.insert({background ? Spot::What::background : Spot::What::applies, i});
  return e;
}

// Never fires in any reading: on nobody, on nobody applied to, on nobody who is not referred.
std::vector<Expected> never_applies(const Model& model, const Judge& judge, const std::vector<const Reading*>& readings) {
  std::vector<Expected> found;
  for (int s = 0; s < static_cast<int>(model.sentences.size()); ++s) {
    if (model.sentences[s].gone || !can_be_told_as_never(model.sentences[s])) continue;
    Region possible, applied, heard;
    for (const Reading* r : readings) {
      widen(possible, r->where_fires(s, judge.background()));
      widen(applied, r->where_fires(s, judge.applies()));
      widen(heard, r->where_fires(s, r->r()));
    }
    if (any(heard) || (model.sentences[s].kind == Sentence::Kind::refer && any(applied))) continue;
    Expected e = readings[0]->problem("never-applies", "", Weight::note);
    e.form = any(applied) ? "already-referred" : any(possible) ? "already-outside" : "";
    if (e.form.empty()) e.severity = Weight::error;
    e.sentences.insert({Spot::What::sentence, s});
    e.region = any(applied) ? applied : possible;
    found.push_back(std::move(e));
  }
  return found;
}

// A practice of which no sentence says yes or no is silent for everybody: told once.
std::vector<Expected> mute(const Model& model, const Judge& judge, const std::vector<const Reading*>& readings) {
  std::vector<Expected> found;
  for (int p = 0; p < static_cast<int>(model.practices.size()); ++p) {
    const std::vector<int>& of = judge.of_practice(p);
    const bool speaks = std::any_of(of.begin(), of.end(), [&](int s) { return gives_a_verdict(model.sentences[s].kind); });
    if (model.practices[p].gone || speaks) continue;
    Expected e = readings[0]->problem("silence", "", Weight::question);
    e.practice = model.practices[p].name;
    e.school.clear();
    for (const Reading* r : readings) {
      widen(e.region, r->r());
      e.has_share = e.has_share || r->with_share(e).has_share;
    }
    e.share = 1;
    if (any(e.region)) found.push_back(std::move(e));
  }
  return found;
}

// A claim refuted in the whole is told of the whole alone; else of each school that refutes it.
std::vector<Expected> claims(const std::vector<const Reading*>& readings) {
  std::vector<Expected> found = readings[0]->claims();
  const std::size_t of_whole = found.size();
  for (std::size_t r = 1; r < readings.size(); ++r)
    for (const Expected& e : readings[r]->claims()) {
      const auto same = [&](const Expected& other) { return other.sentences == e.sentences && other.practice == e.practice; };
      if (std::none_of(found.begin(), found.begin() + static_cast<std::ptrdiff_t>(of_whole), same)) found.push_back(e);
    }
  return found;
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

std::vector<Expected> problems(const Model& model, const Universe& universe, const Judge& judge, Sameness sameness) {
  if (!any(judge.applies())) return {nobody(model, judge)};
  std::vector<int> schools;
  for (int s = 0; s < static_cast<int>(model.schools.size()); ++s)
    if (!model.schools[s].gone) schools.push_back(s);
  const Reading all(model, universe, judge, whole);
  std::vector<Reading> readings;
  for (int s : schools) readings.emplace_back(model, universe, judge, s);

  std::vector<const Reading*> looked_at = {&all};
  for (const Reading& r : readings) looked_at.push_back(&r);
  const std::vector<const Reading*> checked(looked_at.begin() + (schools.empty() ? 0 : 1), looked_at.end());

  std::vector<Expected> found = merge(checked, sameness);
  const auto append = [&](std::vector<Expected> more) { found.insert(found.end(), more.begin(), more.end()); };
  append(never_applies(model, judge, looked_at));
  append(mute(model, judge, checked));
  append(idle(model, universe, judge, looked_at, found));
  append(idle_parts(model, universe, judge, looked_at, found));
  if (!schools.empty()) append(dissents(model, universe, judge, all));
  append(claims(looked_at));
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
