#include "compiler/trial/attack.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <set>
#include <thread>

#include "compiler/trend.h"
#include "compiler/verdict_graph.h"

namespace betony::trial {

using runtime::block_persons;
using runtime::block_words;
using Clock = std::chrono::steady_clock;

void Seen::add(const Seen& other) {
  const auto earlier = [](std::optional<SampleName>& own, const std::optional<SampleName>& theirs) {
    if (theirs && (!own || theirs->number < own->number)) own = theirs;
  };
  for (std::size_t p = 0; p < first.size(); ++p) earlier(first[p], other.first[p]);
  for (std::size_t p = 0; p < told.size(); ++p) told[p] |= other.told[p];
  for (std::size_t s = 0; s < fired.size(); ++s) fired[s] = fired[s] || other.fired[s];
  for (std::size_t p = 0; p < heard.size(); ++p) heard[p] = heard[p] || other.heard[p];
  drawn_again += other.drawn_again;
  impossible += other.impossible;
}

struct Attack::Work {
  Sampler::Drawn drawn;
  Bulk::Scratch scratch, moved_scratch;
  runtime::Block moved;
  Seen seen;
};

Attack::Attack(const Ruleset& ruleset, const std::vector<Property>& properties, const Trying& how)
    : ruleset_(ruleset), properties_(properties), how_(how), bulk_(ruleset) {
  watch();
  bulk_.finish();
  sampler_.emplace(bulk_, Drawing{how.seed, how.population, how.persons});
  for (std::size_t p = 0; p < properties.size(); ++p)
    if (properties[p].kind == Property::Kind::trend) {
      const Trend& trend = trend_of(properties[p]);
      const Group& group = sampler_->groups()[sampler_->group_of(trend.finding)];
      const bool fast = group.findings.size() == 1 && trend.of == Trend::Of::verdict && properties[p].reading.school == no_index;
      if (fast) trends_.push_back({p, bulk_.universe().of_finding[trend.finding], watched_[p]});
      else is_single_[p] = true;
    }
  seen_.first.resize(properties.size());
  seen_.heard.resize(properties.size());
  seen_.told.resize(ruleset.practices.size());
  seen_.fired.resize(ruleset.sentences.size());
}

// Of trends it is watched whether both are of those of whom it speaks.
void Attack::watch() {
  Meaning& meaning = bulk_.meaning();
  is_single_.resize(properties_.size());
  for (std::size_t p = 0; p < properties_.size(); ++p) {
    const Property& property = properties_[p];
    watched_.emplace_back();
    heard_.emplace_back();
    if (const auto form = broken(meaning, property)) watched_.back() = bulk_.watch(*form);
    if (property.kind == Property::Kind::expectation) is_single_[p] = true;
    if (property.kind == Property::Kind::trend) watched_.back() = bulk_.watch(meaning.condition(ruleset_.claims[property.index].when, property.reading));
    if (property.kind == Property::Kind::dose_missing) heard_.back() = bulk_.watch(told_an_amount(meaning, property));
  }
  watches_sentences_ = ruleset_.sentences.size() <= most_watched_sentences;
  if (watches_sentences_)
    for (Index s = 0; s < ruleset_.sentences.size(); ++s) fires_.push_back(bulk_.watch(meaning.fires(s, {})));
  applies_ = bulk_.watch(meaning.applies());
}

// ---------------------------------------------------------------- blocks

void Attack::note(std::uint64_t block, const std::uint64_t* words, const Sampler::Drawn& drawn, std::optional<SampleName>& first) const {
  for (unsigned w = 0; w < block_words; ++w)
    if (const std::uint64_t found = words[w] & drawn.possible[w]) {
      const unsigned at = w * 64 + static_cast<unsigned>(__builtin_ctzll(found));
      const SampleName name{block * block_persons + at, drawn.attempts[at]};
      if (!first || name.number < first->number) first = name;
      return;
    }
}

void Attack::look_at_block(std::uint64_t block, Work& work) const {
  sampler_->block(block, work.drawn, work.scratch);
  bulk_.weigh(work.drawn.block, work.scratch);
  Seen& seen = work.seen;
  seen.drawn_again += work.drawn.drawn_again;
  bool all_possible = true;
  for (std::uint64_t possible : work.drawn.possible) {
    seen.impossible += 64 - static_cast<unsigned>(__builtin_popcountll(possible));
    all_possible = all_possible && ~possible == 0;
  }
  for (std::size_t p = 0; p < properties_.size(); ++p) {
    if (watched_[p] && properties_[p].kind != Property::Kind::trend) note(block, work.scratch.watched(*watched_[p]), work.drawn, seen.first[p]);
    if (heard_[p] && !seen.heard[p]) {
      std::optional<SampleName> somebody;
      note(block, work.scratch.watched(*heard_[p]), work.drawn, somebody);
      seen.heard[p] = somebody.has_value();
    }
  }
  for (std::size_t p = 0; p < seen.told.size(); ++p) {
    std::uint32_t told = seen.told[p];
    const std::uint8_t* codes = &work.scratch.codes[p * block_persons];
    for (unsigned i = 0; i < block_persons; ++i)
      if (all_possible || work.drawn.possible[i / 64] >> (i % 64) & 1u) told |= 1u << codes[i];
    seen.told[p] = told;
  }
  const std::uint64_t* applies = work.scratch.watched(applies_);
  for (std::size_t s = 0; s < fires_.size(); ++s) {
    if (seen.fired[s]) continue;
    const std::uint64_t* fires = work.scratch.watched(fires_[s]);
    for (unsigned w = 0; w < block_words; ++w)
      if (fires[w] & applies[w] & work.drawn.possible[w]) seen.fired[s] = true;
  }
  for (const FastTrend& trend : trends_) look_at_trend(trend, work.drawn, work);
}

namespace {

// The persons with the next greater (lesser) value of a variable, or with yes for no; false in `valid`: there is none.
void move_on(const runtime::Block& from, const runtime::Variable& variable, bool has_words, Trend::Change change, runtime::Block& to, std::uint64_t* valid) {
  to = from;
  const auto in = [&](Index i) { return &from.planes[(variable.first_input + i) * block_words]; };
  const auto out = [&](Index i) { return &to.planes[(variable.first_input + i) * block_words]; };
  const Index ends = static_cast<Index>(variable.ends.size());
  for (unsigned w = 0; w < block_words; ++w) {
    if (change == Trend::Change::adding) {
      valid[w] = ~in(0)[w];
      out(0)[w] = ~std::uint64_t{0};
    } else if (has_words) {              // a grade: one input a word
      const Index last = variable.inputs - 1;
      const bool more = change == Trend::Change::more;
      valid[w] = ~in(more ? last : 0)[w];
      for (Index i = 0; i <= last; ++i) out(i)[w] = more ? (i > 0 ? in(i - 1)[w] : 0) : (i < last ? in(i + 1)[w] : 0);
    } else {                             // numbers: which ends are passed; and never
      const std::uint64_t never = variable.inputs > ends ? in(ends)[w] : 0;
      if (ends == 0) {
        valid[w] = 0;
      } else if (change == Trend::Change::more) {
        valid[w] = ~never & ~in(ends - 1)[w];
        for (Index i = ends; i-- > 0;) out(i)[w] = i > 0 ? in(i - 1)[w] : ~std::uint64_t{0};
      } else {
        valid[w] = ~never & in(0)[w];
        for (Index i = 0; i < ends; ++i) out(i)[w] = i + 1 < ends ? in(i + 1)[w] : 0;
      }
    }
  }
}

// By code; of outside 0xff.
constexpr std::uint8_t ranks[16] = {0xff, 0, 1, 2, 5, 4, 3, 0xff, 0xff, 0, 1, 2, 5, 4, 3, 0xff};

}  // namespace

void Attack::look_at_trend(const FastTrend& fast, const Sampler::Drawn& drawn, Work& work) const {
  const Trend& trend = trend_of(properties_[fast.property]);
  std::uint64_t words[block_words], possible[block_words];
  const bool has_words = bulk_.universe().variables[fast.variable].dimensions[0].extents[0].kind == Extent::Kind::word;
  move_on(drawn.block, bulk_.variables()[fast.variable], has_words, trend.change, work.moved, words);
  bulk_.weigh(work.moved, work.moved_scratch);
  bulk_.possible(work.moved, work.moved_scratch, possible);
  const std::uint64_t *before = work.scratch.watched(*fast.when), *after = work.moved_scratch.watched(*fast.when);
  for (unsigned w = 0; w < block_words; ++w) {
    std::uint64_t left = words[w] & possible[w] & drawn.possible[w] & before[w] & after[w], broken = 0;
    for (; left != 0; left &= left - 1) {
      const unsigned i = w * 64 + static_cast<unsigned>(__builtin_ctzll(left));
      for (Index practice : trend.practices) {
        const std::uint8_t a = ranks[work.scratch.codes[practice * block_persons + i]], b = ranks[work.moved_scratch.codes[practice * block_persons + i]];
        if (a != 0xff && b != 0xff && (trend.raised ? b > a : b < a)) broken |= left & -left;
      }
    }
    words[w] = broken;
  }
  note(drawn.number, words, drawn, work.seen.first[fast.property]);
}

std::uint64_t Attack::run() {
  static constexpr std::uint64_t blocks_a_round = 64;
  const std::uint64_t wanted = (how_.samples + block_persons - 1) / block_persons;
  const Clock::time_point end = Clock::now() + how_.time.value_or(std::chrono::milliseconds(0));
  const unsigned threads = std::max(1u, how_.threads);
  std::vector<Work> works(threads);
  for (Work& work : works) work.seen = seen_;
  std::uint64_t done = 0;
  while (how_.time ? done == 0 || Clock::now() < end : done < wanted) {
    const std::uint64_t upto = how_.time ? done + blocks_a_round * threads : std::min(wanted, done + blocks_a_round * threads);
    std::atomic<std::uint64_t> next = done;
    std::vector<std::exception_ptr> thrown(threads);
    const auto work_off = [&](unsigned t) {
      try {
        for (std::uint64_t block; (block = next++) < upto;) look_at_block(block, works[t]);
      } catch (...) {
        thrown[t] = std::current_exception();
      }
    };
    std::vector<std::thread> others;
    for (unsigned t = 1; t < threads; ++t) others.emplace_back(work_off, t);
    work_off(0);
    for (std::thread& other : others) other.join();
    for (const std::exception_ptr& e : thrown)
      if (e) std::rethrow_exception(e);
    done = upto;
    if (how_.progress) how_.progress(done * block_persons, how_.time ? 0 : wanted * block_persons);
  }
  for (const Work& work : works) seen_.add(work.seen);
  return done * block_persons;
}

// ---------------------------------------------------------------- one by one

void Attack::run_singly(const std::vector<bool>& wanted, std::uint64_t samples) {
  if (std::none_of(wanted.begin(), wanted.end(), [](bool b) { return b; })) return;
  Outcomes person;
  for (std::uint64_t number = 0; number < std::min(samples, most_singly); ++number)
    for (std::size_t p = 0; p < properties_.size(); ++p) {
      if (!wanted[p] || seen_.first[p]) continue;
      for (std::uint8_t attempt = 0; attempt < Sampler::most_attempts; ++attempt) {
        sampler_->person({number, attempt}, person);
        if (broken_background(ruleset_, person_of(properties_[p], person, false))) continue;
        if (is_broken_by(properties_[p], person)) seen_.first[p] = SampleName{number, attempt};
        break;
      }
    }
}

Profile Attack::person_of(const Property& property, const Outcomes& person, bool plainly) const {
  Profile out = plainly ? sampler_->plain_profile(person) : sampler_->profile(person);
  if (property.kind == Property::Kind::expectation) {
    const Profile told = profile_of(ruleset_, ruleset_.profiles[property.index]);
    for (std::size_t f = 0; f < out.size(); ++f)
      if (told[f]) out[f] = told[f];
  }
  return out;
}

bool Attack::is_broken_by(const Property& property, const Outcomes& person) const {
  if (property.kind == Property::Kind::trend) return pair_of(property, person).has_value();
  return is_broken(ruleset_, property, person_of(property, person, false));
}

// ---------------------------------------------------------------- trends, plainly

namespace {

bool breaks_trend(const Ruleset& ruleset, const Claim& claim, Reading reading, const Profile& first, const Profile& second) {
  return std::any_of(claim.trend->practices.begin(), claim.trend->practices.end(),
                     [&](Index practice) { return broken_trend(ruleset, claim, practice, first, second, reading).has_value(); });
}

}  // namespace

namespace {

// The last value of an extent on the way, and the first of the next one; nothing where there is no next.
std::optional<std::pair<Value, Value>> across(const Finding& finding, const Dimension& dimension, Index cell, Trend::Change change) {
  const bool more = change != Trend::Change::less;
  if (more ? cell + 1 >= dimension.extents.size() : cell == 0) return std::nullopt;
  const Extent &own = dimension.extents[cell], &next = dimension.extents[more ? cell + 1 : cell - 1];
  if (own.kind == Extent::Kind::never || next.kind == Extent::Kind::never) return std::nullopt;
  const auto value = [&](const Extent& extent, bool high) {
    if (extent.kind == Extent::Kind::word) return Value{Value::Kind::word, extent.word, {}};
    const Interval& i = extent.numbers;
    if (high) return Value{Value::Kind::number, 0, i.high_in || finding.step > 0 ? *i.high : Rational(*i.high - (*i.high - extent.sample) / 8)};
    return Value{Value::Kind::number, 0, i.low_in || finding.step > 0 ? *i.low : Rational(*i.low + (extent.sample - *i.low) / 8)};
  };
  return std::pair(value(own, more), value(next, !more));
}

}  // namespace

std::optional<std::pair<Profile, Profile>> Attack::pair_of(const Property& property, const Outcomes& person) const {
  const Claim& claim = ruleset_.claims[property.index];
  const Trend& trend = *claim.trend;
  const Profile profile = sampler_->profile(person);
  const Index g = sampler_->group_of(trend.finding);
  if (sampler_->groups()[g].findings.size() > 1) return pair_far_apart(property, profile);
  const Dimension& dimension = bulk_.universe().variables[bulk_.universe().of_finding[trend.finding]].dimensions[0];
  const auto values = across(ruleset_.findings[trend.finding], dimension, sampler_->groups()[g].outcomes[person[g]].cells[0], trend.change);
  if (!values) return std::nullopt;
  std::pair<Profile, Profile> two(profile, profile);
  two.first[trend.finding] = values->first, two.second[trend.finding] = values->second;
  if (!breaks_trend(ruleset_, claim, property.reading, two.first, two.second)) return std::nullopt;
  return two;
}

// Of bound findings one step may change nothing that is asked for; so a greater one is looked for that does, and then halved.
std::optional<std::pair<Profile, Profile>> Attack::pair_far_apart(const Property& property, const Profile& profile) const {
  const Claim& claim = ruleset_.claims[property.index];
  const Trend& trend = *claim.trend;
  const Finding& finding = ruleset_.findings[trend.finding];
  const Value& own = *profile[trend.finding];
  if (own.kind != Value::Kind::number) return std::nullopt;
  const auto breaks = [&](const Profile& a, const Profile& b) { return breaks_trend(ruleset_, claim, property.reading, a, b); };
  const auto with = [&](const Rational& number) {
    Profile other = profile;
    other[trend.finding]->number = number;
    return other;
  };
  const bool more = trend.change == Trend::Change::more;
  static constexpr int parts = 24;
  for (int i = 1; i <= parts; ++i) {
    Rational number = own.number + ((more ? finding.high : finding.low) - own.number) * Rational(i, parts);
    if (finding.step > 0) {
      mpz_class steps;
      const Rational count = (number - finding.low) / finding.step;
      mpz_fdiv_q(steps.get_mpz_t(), count.get_num_mpz_t(), count.get_den_mpz_t());
      number = finding.low + finding.step * Rational(steps);
    }
    if (more ? number <= own.number : number >= own.number) continue;
    std::pair<Profile, Profile> two(profile, with(number));
    if (!breaks(two.first, two.second)) continue;
    for (int halvings = 0; halvings < 40; ++halvings) {
      Rational middle = (two.first[trend.finding]->number + two.second[trend.finding]->number) / 2;
      if (finding.step > 0) {
        mpz_class steps;
        const Rational count = (middle - finding.low) / finding.step;
        mpz_fdiv_q(steps.get_mpz_t(), count.get_num_mpz_t(), count.get_den_mpz_t());
        middle = finding.low + finding.step * Rational(steps);
      }
      if (middle == two.first[trend.finding]->number || middle == two.second[trend.finding]->number) return two;
      const Profile between = with(middle);
      if (breaks(two.first, between)) two.second = between;
      else if (breaks(between, two.second)) two.first = between;
      else break;
    }
    if (finding.step == 0) return two;   // there is no next number; these two are near one another
  }
  return std::nullopt;
}

// ---------------------------------------------------------------- what matters

std::vector<Index> Attack::groups_of(const Property& property) {
  Meaning& meaning = bulk_.meaning();
  std::set<Index> groups;
  const auto add = [&](Form form) {
    for (Index variable : meaning.conditions()[form].support)
      if (const Index group = sampler_->group_of_variable(variable); group != no_index) groups.insert(group);
  };
  if (const auto form = broken(meaning, property)) add(*form);
  add(meaning.background());
  add(meaning.applies());
  add(meaning.refers(property.reading));
  if (property.kind == Property::Kind::trend) {
    add(meaning.condition(ruleset_.claims[property.index].when, property.reading));
    groups.insert(sampler_->group_of(trend_of(property).finding));
  }
  if (property.kind == Property::Kind::trend || property.kind == Property::Kind::expectation)
    for (Index practice : practices_of(ruleset_, property))
      for (Index s : ruleset_.practices[practice].sentences) add(meaning.fires(s, property.reading));
  if (property.kind == Property::Kind::expectation)
    if (const Index choice = ruleset_.profiles[property.index].expectations[property.further].choice; choice != no_index)
      for (Index s : ruleset_.choices[choice].sentences) add(meaning.fires(s, property.reading));
  return {groups.begin(), groups.end()};
}

std::vector<std::string> Attack::differences() const {
  Sampler::Drawn drawn;
  Bulk::Scratch scratch;
  sampler_->block(0, drawn, scratch);
  bulk_.codes(drawn.block, scratch);
  Outcomes person;
  for (unsigned i = 0; i < compared; ++i) {
    sampler_->person({i, drawn.attempts[i]}, person);
    const Profile profile = sampler_->profile(person, sampler_->manner(i) == Manner::edges);
    const bool possible = !broken_background(ruleset_, profile);
    const std::string who = "sample " + std::to_string(i);
    if (possible != static_cast<bool>(drawn.possible[i / 64] >> (i % 64) & 1u)) return {who + ": whether the person is possible"};
    if (!possible) continue;
    const Weighing weighing = evaluate(ruleset_, profile);
    for (Index p = 0; p < ruleset_.practices.size(); ++p) {
      const PracticeVerdict& told = weighing.practices[p];
      const unsigned code = static_cast<unsigned>(ship::verdict_in_pack(told.verdict)) + (told.with_care ? 8u : 0u);
      if (scratch.codes[p * block_persons + i] != code)
        return {who + ": " + ruleset_.practices[p].name + " is " + verdict_word(told.verdict) + " by the plain evaluator, and not in blocks"};
    }
  }
  return {};
}

}  // namespace betony::trial
