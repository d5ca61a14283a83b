#include "compiler/check/bearing.h"

namespace betony {

using Node = Graph::Node;
using Kind = Sentence::Kind;
using Voice = Voices::Voice;
using tree::Verdict;

Bearing::Bearing(Study& study, PracticeStudy& practice, Reading reading)
    : study_(study), practice_(practice), reading_(reading), space_(practice.space), graph_(space_.graph()),
      v_(practice.voices.at(reading.school)), looked_at_(space_.looked_at(reading)) {
  for (const auto* voices : {&v_.contraindicated, &v_.discouraged, &v_.indicated, &v_.allowed, &v_.cautions}) find(*voices);
  for (const Voice& caution : v_.cautions) by_text_[study.ruleset.sentences[caution.sentence].text].push_back(caution);
  for (const auto& [text, alike] : by_text_)
    if (!text.empty()) find(alike);
  for (const auto* voices : {&v_.indicated, &v_.allowed})
    for (const Voice& voice : *voices)
      for (Index ban : study.ruleset.sentences[voice.sentence].despite) defeaters_[ban].push_back(voice.sentence);
}

void Bearing::find(const std::vector<Voice>& voices) {
  for (std::size_t i = 0; i < voices.size(); ++i) places_[voices[i].sentence] = {&voices, i};
}

Node Bearing::without_others(const Place& place, Node within) {
  const auto [at, is_new] = speak_.try_emplace(place.kind);
  if (is_new) {
    std::vector<Node> fires;
    for (const Voice& voice : *place.kind) fires.push_back(voice.fires);
    at->second = AllButOne(graph_, fires);
  }
  return at->second.no_other(place.at, within);
}

Node Bearing::of(Index sentence, Node within) {
  within = graph_.both(within, looked_at_);
  if (within == Graph::no) return Graph::no;
  const Sentence& s = study_.ruleset.sentences[sentence];
  if (s.kind == Kind::dose) return dose_bearing(study_, practice_, reading_, sentence, within);
  if (!s.despite.empty() || is_companion(study_.ruleset, sentence + 1)) return graph_.both(within, in_earnest(sentence));
  const Place& place = places_.at(sentence);
  return s.kind == Kind::caution ? caution(sentence, place, within) : ladder(sentence, place, within);
}

Node Bearing::differs(Node stage, VerdictCode code) {
  const Node verdict = graph_.where(stage, [&](std::int64_t n) { return VerdictCode::of(n).verdict != code.verdict; });
  const Node care = graph_.where(stage, [&](std::int64_t n) { return VerdictCode::of(n).with_care != code.with_care; });
  return graph_.either(verdict, graph_.without(care, v_.any_caution));
}

Node Bearing::ladder(Index sentence, const Place& place, Node within) {
  const Kind kind = study_.ruleset.sentences[sentence].kind;
  const auto [at, is_new] = changed_.try_emplace(kind, Graph::no);
  if (is_new) {
    const Node ban = graph_.either(v_.any_contraindicated, v_.any_discouraged);
    switch (kind) {
      case Kind::contraindicated: at->second = differs(v_.from_discouraged, {Verdict::withheld, false}); break;
      case Kind::discouraged:
        at->second = graph_.without(differs(v_.from_indicated, {Verdict::discouraged, false}), v_.any_contraindicated);
        break;
      case Kind::indicated: at->second = graph_.without(differs(v_.from_allowed, {Verdict::advised, false}), ban); break;
      default:
        at->second = graph_.without(differs(v_.from_otherwise, {Verdict::allowed, false}), graph_.either(ban, v_.any_indicated));
    }
  }
  return graph_.both(without_others(place, undefeated(sentence, within)), at->second);
}

// Those for whom the ban would be live if it fired; an indication has nobody that defeats it.
Node Bearing::undefeated(Index ban, Node within) {
  const auto known = defeaters_.find(ban);
  if (known == defeaters_.end()) return within;
  for (Index s : known->second) within = graph_.without(within, space_.of(study_.meaning.fires(s, reading_)));
  return within;
}

// A caution matters on advised and allowed where no other gives the same text, or for one without a text
// where nothing else gives the mark.
Node Bearing::caution(Index sentence, const Place& place, Node within) {
  if (!shown_) {
    shown_ = where_done(graph_, v_.all);
    marked_ = graph_.where(v_.all, [](std::int64_t n) { return VerdictCode::of(n).with_care; });
  }
  const Node alone = without_others(place, graph_.both(within, *shown_));
  return study_.ruleset.sentences[sentence].text.empty() ? graph_.without(alone, *marked_) : alone;
}

// The book in which it always fires, with what is written as one with it, against the book without it.
Node Bearing::in_earnest(Index sentence) {
  const auto [at, is_new] = in_earnest_.try_emplace(sentence, Graph::no);
  if (is_new) {
    const Voices always = voices_if(space_, practice_.practice, reading_, sentence), never = voices(space_, practice_.practice, reading_, sentence);
    at->second = graph_.differing(told(graph_, always), told(graph_, never));
  }
  return at->second;
}

}  // namespace betony
