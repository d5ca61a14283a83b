// compiler/trial/attack.h: the samples of one trial, and who among them breaks what. Inside trial.cpp and coverage.cpp; others use trial.h.
//
// Blocks are drawn and weighed side by side; what is kept of each is the first sample (by number) that breaks each property, what fired and
// what was told, so the answer does not hang on who was faster.
#pragma once

#include "compiler/trial/trial.h"

namespace betony::trial {

// What samples have shown.
struct Seen {
  std::vector<std::optional<SampleName>> first;     // of each property: the first sample that breaks it
  std::vector<std::uint32_t> told;                  // of each practice: bit c: the code c (runtime/blocks.h) was told to a possible person
  std::vector<bool> fired;                          // of each sentence, for somebody whom the ruleset is about
  std::vector<bool> heard;                          // of each property: somebody is told an amount (dose_missing)
  std::uint64_t drawn_again = 0, impossible = 0;

  void add(const Seen& other);
};

class Attack {
 public:
  static constexpr std::size_t most_watched_sentences = 20'000;
  static constexpr unsigned compared = 256;         // samples that are weighed by the plain evaluator too

  // All borrowed; they outlive this.
  Attack(const Ruleset& ruleset, const std::vector<Property>& properties, const Trying& how);

  // Draws and weighs all samples; how many there were.
  std::uint64_t run();
  // Those that are looked at one by one, of the first `samples`.
  void run_singly(const std::vector<bool>& wanted, std::uint64_t samples);

  const Seen& seen() const { return seen_; }
  const Sampler& sampler() const { return *sampler_; }
  Bulk& bulk() { return bulk_; }
  bool watches_sentences() const { return watches_sentences_; }
  // Whether the property is looked at one person after another.
  bool is_single(std::size_t property) const { return is_single_[property]; }
  // Whether this person, or a neighbour of theirs, breaks the property by the plain evaluator.
  bool is_broken_by(const Property& property, const Outcomes& person) const;
  Profile person_of(const Property& property, const Outcomes& person, bool plainly) const;
  // The two persons who show that a trend is broken.
  std::optional<std::pair<Profile, Profile>> pair_of(const Property& property, const Outcomes& person) const;
  // Groups that the property hangs on.
  std::vector<Index> groups_of(const Property& property);
  // Where the plain evaluator says something else of a sample than the blocks.
  std::vector<std::string> differences() const;

 private:
  struct Work;
  struct FastTrend {
    std::size_t property;
    Index variable;
    std::optional<Index> when;                      // watched
  };

  void watch();
  void look_at_block(std::uint64_t block, Work& work) const;
  void look_at_trend(const FastTrend& trend, const Sampler::Drawn& drawn, Work& work) const;
  void note(std::uint64_t block, const std::uint64_t* words, const Sampler::Drawn& drawn, std::optional<SampleName>& first) const;
  const Trend& trend_of(const Property& property) const { return *ruleset_.claims[property.index].trend; }
  std::optional<std::pair<Profile, Profile>> pair_far_apart(const Property& property, const Profile& person) const;

  const Ruleset& ruleset_;
  const std::vector<Property>& properties_;
  const Trying& how_;
  Bulk bulk_;
  std::vector<std::optional<Index>> watched_, heard_;  // of each property
  std::vector<Index> fires_;                        // of each sentence
  std::vector<FastTrend> trends_;
  std::vector<bool> is_single_;
  bool watches_sentences_ = false;
  Index applies_ = 0;
  std::optional<Sampler> sampler_;
  Seen seen_;
};

}  // namespace betony::trial
