#include "compiler/trial/sampler.h"

#include <algorithm>
#include <array>

#include "compiler/joined.h"
#include "compiler/witness.h"

namespace betony::trial {

using runtime::block_persons;
using runtime::block_words;

// ---------------------------------------------------------------- by chance

Lot::Lot(const std::vector<double>& weights) : parts_(weights.size()) {
  const double all = std::accumulate(weights.begin(), weights.end(), 0.0);
  std::vector<double> parts(weights.size(), 1.0);
  if (all > 0)
    for (std::size_t i = 0; i < parts.size(); ++i) parts[i] = weights[i] / all * static_cast<double>(weights.size());
  std::vector<std::uint16_t> small, large;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    parts_[i].other = static_cast<std::uint32_t>(i);
    (parts[i] < 1 ? small : large).push_back(static_cast<std::uint16_t>(i));
  }
  while (!small.empty() && !large.empty()) {
    const std::uint16_t less = small.back(), more = large.back();
    small.pop_back();
    parts_[less] = {static_cast<std::uint32_t>(parts[less] * 4294967295.0), more};
    parts[more] -= 1 - parts[less];
    if (parts[more] >= 1) continue;
    large.pop_back();
    small.push_back(more);
  }
  // What cannot occur never does, whatever rounding left over.
  const auto likely = static_cast<std::uint16_t>(std::max_element(weights.begin(), weights.end()) - weights.begin());
  for (std::uint16_t i : small)
    if (all > 0 && weights[i] == 0) parts_[i] = {0, likely};
}

// Source: Warren, Hacker's Delight, 7-3.
void turn(std::uint64_t* words) {
  std::uint64_t mask = 0x00000000ffffffffu;
  for (unsigned step = 32; step != 0; step >>= 1, mask ^= mask << step)
    for (unsigned k = 0; k < 64; k = (k + step + 1) & ~step) {
      const std::uint64_t swapped = ((words[k] >> step) ^ words[k + step]) & mask;
      words[k] ^= swapped << step;
      words[k + step] ^= swapped;
    }
}

// ---------------------------------------------------------------- groups

namespace {

// Numbers of an extent that lie at its ends, as near as can be written where an end does not belong to it.
Rational low_end(const Extent& extent) {
  const Interval& numbers = extent.numbers;
  return numbers.low_in ? *numbers.low : Rational(*numbers.low + (extent.sample - *numbers.low) / 8);
}
Rational high_end(const Extent& extent) {
  const Interval& numbers = extent.numbers;
  return numbers.high_in ? *numbers.high : Rational(*numbers.high - (*numbers.high - extent.sample) / 8);
}

Value number_value(Rational number) { return {Value::Kind::number, 0, std::move(number)}; }

// The extent of a measure that holds the number, or the nearest.
Index extent_of(const Dimension& dimension, const Rational& number) {
  const auto at = std::partition_point(dimension.extents.begin(), dimension.extents.end(), [&](const Extent& extent) {
    return extent.numbers.high_in ? *extent.numbers.high < number : *extent.numbers.high <= number;
  });
  return static_cast<Index>(std::min<std::ptrdiff_t>(at - dimension.extents.begin(), static_cast<std::ptrdiff_t>(dimension.extents.size()) - 1));
}

std::vector<Threshold> thresholds_of(const Population* population) {
  std::vector<Threshold> out;
  if (!population) return out;
  for (const Population::Shares& shares : population->shares)
    for (const Population::Part& part : shares.parts)
      for (const Interval& interval : part.intervals) {
        if (interval.low) out.push_back({shares.finding, *interval.low, !interval.low_in});
        if (interval.high) out.push_back({shares.finding, *interval.high, interval.high_in});
      }
  return out;
}

bool accepts(const Population::Part& part, const Value& value) {
  if (value.kind == Value::Kind::never) return part.never;
  if (value.kind == Value::Kind::word) return std::binary_search(part.words.begin(), part.words.end(), value.word);
  return std::any_of(part.intervals.begin(), part.intervals.end(), [&](const Interval& i) { return i.contains(value.number); });
}

}  // namespace

Sampler::Sampler(const Bulk& bulk, const Drawing& drawing) : bulk_(bulk), seed_(drawing.seed) {
  const Ruleset& r = bulk.ruleset();
  group_of_.assign(r.findings.size(), no_index);
  group_of_variable_.assign(bulk.universe().variables.size(), no_index);
  make_groups(drawing);
  make_lots(drawing.persons ? nullptr : drawing.population);
  has_population_ = drawing.population && !drawing.persons;
  if (drawing.persons) take_persons(*drawing.persons);
  make_quick();
  find_redrawn();
}

void Sampler::make_groups(const Drawing& drawing) {
  const Ruleset& r = ruleset();
  const BoundFindings together(r);
  const Universe bound = cut(r, Scoping(r).everything().scope(), together, thresholds_of(drawing.population));
  usual_profile_.resize(r.findings.size());
  for (Index f = 0; f < r.findings.size(); ++f) {
    const Dimension& dimension = bound.variables[bound.of_finding[f]].dimensions[bound.dimension_of_finding[f]];
    usual_profile_[f] = r.findings[f].usual ? *r.findings[f].usual : value_of(dimension.extents[dimension.usual]);
  }
  Joined joined(r.findings.size());
  std::vector<std::vector<Index>> needs(r.measures.size());   // findings of the measures that are asked for
  for (Index v = 0; v < bulk_.variables().size(); ++v) {
    if (!bulk_.variables()[v].is_measure || !bulk_.asked()[v]) continue;
    const Index measure = bulk_.variables()[v].index;
    Test test;
    test.subject = Test::Subject::measure, test.index = measure;
    Cond cond;
    cond.kind = Cond::Kind::test, cond.test = test;
    const Scope scope = Scoping(r).condition(cond).scope();
    for (Index f : scope.findings) needs[measure].push_back(f);
    for (Index f : needs[measure]) joined.join(needs[measure][0], f);
  }
  std::map<Index, std::pair<std::vector<Index>, std::vector<Index>>> by_root;   // findings, measures
  for (Index f = 0; f < r.findings.size(); ++f) by_root[joined.root(f)].first.push_back(f);
  std::vector<Index> constant;                                // measures of no finding
  for (Index m = 0; m < r.measures.size(); ++m)
    if (!needs[m].empty()) by_root[joined.root(needs[m][0])].second.push_back(m);
  for (const auto& [root, members] : by_root) enter(members.first, members.second, bound);
}

void Sampler::enter(const std::vector<Index>& findings, const std::vector<Index>& measures, const Universe& bound) {
  Group group;
  group.findings = findings;
  const Universe& universe = bulk_.universe();
  for (Index f : findings) group.variables.push_back(universe.of_finding[f]);
  for (Index m : measures) group.variables.push_back(universe.of_measure[m]);
  std::vector<Index> of_bound;
  for (Index f : findings) of_bound.push_back(bound.of_finding[f]);
  std::sort(of_bound.begin(), of_bound.end());
  of_bound.erase(std::unique(of_bound.begin(), of_bound.end()), of_bound.end());
  const bool all_known = std::all_of(measures.begin(), measures.end(), [&](Index m) {
    return std::binary_search(of_bound.begin(), of_bound.end(), bound.of_measure[m]);
  });
  const bool is_one = of_bound.size() == 1 && all_known && bound.variables[of_bound[0]].exact && bound.variables[of_bound[0]].cells.size() <= most_outcomes;
  if (is_one) cells_of_one(group, bound, of_bound[0]);
  if (group.outcomes.empty()) cells_of_many(group, bound, of_bound);
  settle_usual(group);
  if (findings.size() > 1 && group.outcomes.size() <= pool)
    for (Outcome& outcome : group.outcomes) make_plain(group, outcome);
  for (Index f : findings) group_of_[f] = static_cast<Index>(groups_.size());
  for (Index v : group.variables) group_of_variable_[v] = static_cast<Index>(groups_.size());
  groups_.push_back(std::move(group));
}

// Every cell that is shown by numbers.
void Sampler::cells_of_one(Group& group, const Universe& bound, Index variable) {
  const Variable& v = bound.variables[variable];
  for (Index c = 0; c < v.cells.size(); ++c) {
    if (v.cells[c].shown != Cell::Shown::numbers) continue;
    Outcome outcome;
    Profile profile(ruleset().findings.size());
    Witnesses::fill(bound, variable, c, profile);
    for (Index f : group.findings) outcome.values.push_back(*profile[f]);
    outcome.edges = outcome.values;
    if (v.dimensions.size() == 1) {
      const Extent& extent = v.dimensions[0].extents[c];
      if (extent.kind == Extent::Kind::numbers) outcome.edges[0] = number_value(c < v.usual ? high_end(extent) : low_end(extent));
      if (c == v.usual) outcome.edges = outcome.values;
    }
    outcome.share = v.cells[c].share.get_d();
    if (work_out(group, outcome)) group.outcomes.push_back(std::move(outcome));
  }
}

// Tuples of values from the cells of several variables.
void Sampler::cells_of_many(Group& group, const Universe& bound, const std::vector<Index>& variables) {
  group.is_pool = true;
  Stream stream(seed_, group.findings[0], 15);
  for (std::uint32_t i = 0; i < pool; ++i) {
    Profile profile(ruleset().findings.size());
    for (Index variable : variables) {
      const Variable& v = bound.variables[variable];
      const std::uint32_t cell = stream.below(static_cast<std::uint32_t>(v.cells.size()));
      for (Index d = 0; d < v.dimensions.size(); ++d) {
        const Dimension& dimension = v.dimensions[d];
        if (dimension.is_measure) continue;
        const bool is_shown = v.cells[cell].shown == Cell::Shown::numbers;
        const Extent& extent = dimension.extents[is_shown ? v.cells[cell].at[d] : dimension.usual];
        profile[dimension.index] = value_of(extent);
        if (extent.kind != Extent::Kind::numbers) continue;
        if (v.dimensions.size() > 1 && is_shown) profile[dimension.index]->number = v.cells[cell].numbers[d];
        else if (const std::uint32_t end = stream.below(4); end < 2) profile[dimension.index]->number = end == 0 ? low_end(extent) : high_end(extent);
      }
    }
    Outcome outcome;
    for (Index f : group.findings) outcome.values.push_back(i == 0 ? *usual_profile_[f] : *profile[f]);
    outcome.edges = outcome.values;
    outcome.share = 1;
    if (work_out(group, outcome)) group.outcomes.push_back(std::move(outcome));
  }
}

// The cells of the group's variables; false where a measure cannot be worked out.
bool Sampler::work_out(const Group& group, Outcome& outcome) const {
  const Universe& universe = bulk_.universe();
  Profile person = usual_profile_;
  for (std::size_t i = 0; i < group.findings.size(); ++i) person[group.findings[i]] = outcome.values[i];
  outcome.cells.clear();
  outcome.unusual = 0;
  for (std::size_t i = 0; i < group.variables.size(); ++i) {
    const Variable& v = universe.variables[group.variables[i]];
    const Dimension& dimension = v.dimensions[0];
    const Index cell = dimension.is_measure ? extent_of(dimension, measure_value(ruleset(), dimension.index, person))
                                            : universe.cell_of(dimension.index, outcome.values[i]);
    if (cell == no_index) return false;
    outcome.cells.push_back(cell);
    if (!dimension.is_measure) outcome.unusual += cell != dimension.usual;
  }
  return true;
}

// Of bound findings as many usual values as go, in the same cells; the others are those that are not usual.
void Sampler::make_plain(const Group& group, Outcome& outcome) const {
  for (std::size_t i = 0; i < group.findings.size(); ++i) {
    Outcome tried = outcome;
    tried.values[i] = *usual_profile_[group.findings[i]];
    if (tried.values[i] != outcome.values[i] && work_out(group, tried) && tried.cells == outcome.cells) outcome.values = std::move(tried.values);
  }
  outcome.unusual = 0;
  for (std::size_t i = 0; i < group.findings.size(); ++i) outcome.unusual += outcome.values[i] != *usual_profile_[group.findings[i]];
}

// The outcome of the usual values; where these are in none, the first with the fewest that are not usual.
void Sampler::settle_usual(Group& group) {
  Outcome usual;
  for (Index f : group.findings) usual.values.push_back(*usual_profile_[f]);
  usual.edges = usual.values;
  if (!work_out(group, usual)) usual.cells.clear();
  std::uint32_t best = 0;
  for (std::uint32_t i = 0; i < group.outcomes.size(); ++i) {
    Outcome& outcome = group.outcomes[i];
    if (outcome.cells == usual.cells) {
      outcome.values = usual.values;
      best = i;
      break;
    }
    if (outcome.unusual < group.outcomes[best].unusual) best = i;
  }
  group.usual = best;
  for (std::size_t i = 0; i < group.findings.size(); ++i) usual_profile_[group.findings[i]] = group.outcomes[best].values[i];
}

// ---------------------------------------------------------------- how often

void Sampler::make_lots(const Population* population) {
  for (const Group& group : groups_) {
    auto& lots = lots_.emplace_back();
    const std::size_t count = group.outcomes.size();
    std::vector<double> alike(count, 1), edges(count, 1), shares(count), said(count);
    const Outcome& usual = group.outcomes[group.usual];
    for (std::size_t i = 0; i < count; ++i) {
      const Outcome& outcome = group.outcomes[i];
      shares[i] = said[i] = outcome.share;
      bool beside = false, single = false;
      for (std::size_t v = 0; v < outcome.cells.size(); ++v) {
        const Index a = outcome.cells[v], b = usual.cells[v];
        beside = beside || a + 1 == b || b + 1 == a;
        const Extent& extent = bulk_.universe().variables[group.variables[v]].dimensions[0].extents[a];
        single = single || (extent.kind == Extent::Kind::numbers && *extent.numbers.low == *extent.numbers.high);
      }
      if (beside || single) edges[i] = 4;
      if (!population) continue;
      for (std::size_t f = 0; f < group.findings.size(); ++f) {
        const auto shares_of = std::find_if(population->shares.begin(), population->shares.end(),
                                            [&](const Population::Shares& s) { return s.finding == group.findings[f]; });
        if (shares_of == population->shares.end()) continue;
        // Within a part its values are alike; so it is shared out among the outcomes that lie in it.
        double weight = 0;
        for (const Population::Part& part : shares_of->parts) {
          if (!accepts(part, outcome.values[f])) continue;
          double within = 0;
          for (const Outcome& other : group.outcomes)
            if (accepts(part, other.values[f])) within += group.findings.size() == 1 ? other.share : 1;
          if (within > 0) weight += part.weight.get_d() / within;
          else weight += part.weight.get_d();
        }
        said[i] = (f == 0 && group.findings.size() > 1 ? 1 : said[i]) * weight;
      }
    }
    lots[static_cast<std::size_t>(Manner::cells)] = Lot(alike);
    lots[static_cast<std::size_t>(Manner::near_usual)] = Lot(alike);
    lots[static_cast<std::size_t>(Manner::edges)] = Lot(edges);
    lots[static_cast<std::size_t>(Manner::shares)] = Lot(shares);
    lots[static_cast<std::size_t>(Manner::population)] = Lot(said);
  }
}

// ---------------------------------------------------------------- persons of a table

// An outcome with the values told, the others drawn; one more outcome where there is none such.
std::uint16_t Sampler::outcome_like(Group& group, const std::vector<std::optional<Value>>& told, Stream& stream) {
  const std::size_t lots = static_cast<std::size_t>(&group - groups_.data());
  Outcome like = group.outcomes[lots_[lots][static_cast<std::size_t>(Manner::shares)].draw(static_cast<std::uint32_t>(stream.next() >> 32))];
  for (std::size_t i = 0; i < told.size(); ++i)
    if (told[i]) like.values[i] = *told[i];
  like.edges = like.values;
  like.share = 0;
  if (!work_out(group, like)) return static_cast<std::uint16_t>(group.usual);
  for (std::size_t i = 0; i < group.outcomes.size(); ++i)
    if (group.outcomes[i].cells == like.cells) return static_cast<std::uint16_t>(i);
  if (group.outcomes.size() >= most_outcomes) return static_cast<std::uint16_t>(group.usual);
  group.outcomes.push_back(std::move(like));
  return static_cast<std::uint16_t>(group.outcomes.size() - 1);
}

void Sampler::take_persons(const Persons& persons) {
  persons_ = persons.size();
  Stream stream(seed_, 0, 14);
  for (const Profile& person : persons)
    for (Group& group : groups_) {
      std::vector<std::optional<Value>> told;
      for (Index f : group.findings) told.push_back(person[f]);
      const bool is_open = std::none_of(told.begin(), told.end(), [](const auto& value) { return value.has_value(); });
      rows_of_persons_.push_back(is_open ? open_group : outcome_like(group, told, stream));
    }
}

// ---------------------------------------------------------------- drawing

void Sampler::make_quick() {
  quick_.resize(groups_.size());
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    const Group& group = groups_[g];
    Quick& quick = quick_[g];
    quick.usual = group.usual;
    for (std::size_t m = 0; m < 5; ++m) quick.lots[m] = &lots_[g][m];
    for (const Outcome& outcome : group.outcomes) {
      quick.begin.push_back(static_cast<std::uint32_t>(quick.bits.size()));
      std::map<std::uint32_t, std::uint64_t> words;
      const auto yes = [&](Index input) { words[input / 64] |= std::uint64_t{1} << (input % 64); };
      for (std::size_t i = 0; i < group.variables.size(); ++i) {
        const runtime::Variable& v = bulk_.variables()[group.variables[i]];
        const Index cell = outcome.cells[i], ends = static_cast<Index>(v.ends.size());
        const bool has_words = bulk_.universe().variables[group.variables[i]].dimensions[0].extents[0].kind == Extent::Kind::word;
        if (has_words && v.inputs == 1) {
          if (cell == 1) yes(v.first_input);
        } else if (has_words) {
          yes(v.first_input + cell);
        } else if (cell > ends) {
          yes(v.first_input + ends);  // never
        } else {
          for (Index e = 0; e < cell; ++e) yes(v.first_input + e);
        }
      }
      for (const auto& [word, mask] : words) quick.bits.push_back({word, mask});
    }
    quick.begin.push_back(static_cast<std::uint32_t>(quick.bits.size()));
  }
}

void Sampler::find_redrawn() {
  std::vector<bool> hangs(groups_.size(), persons_ > 0);
  for (Index variable : bulk_.background_support())
    if (group_of_variable_[variable] != no_index) hangs[group_of_variable_[variable]] = true;
  redrawn_inputs_.assign((bulk_.inputs() + 63) / 64, 0);
  for (Index g = 0; g < groups_.size(); ++g) {
    all_groups_.push_back(g);
    (hangs[g] ? redrawn_ : kept_).push_back(g);
    if (!hangs[g]) continue;
    for (Index v : groups_[g].variables) {
      const runtime::Variable& variable = bulk_.variables()[v];
      for (Index i = variable.first_input; i < variable.first_input + variable.inputs; ++i) redrawn_inputs_[i / 64] |= std::uint64_t{1} << (i % 64);
    }
  }
}

Manner Sampler::manner(std::uint64_t number) const {
  static constexpr Manner plain[] = {Manner::near_usual, Manner::edges, Manner::cells, Manner::shares};
  static constexpr Manner of_population[] = {Manner::near_usual, Manner::population, Manner::edges, Manner::population};
  // Not as one expression: with its checks of bounds GCC 12 then leaves `number` unset.
  const Manner* const manners = has_population_ || persons_ > 0 ? of_population : plain;
  return manners[number % 4];
}

template <class Take>
void Sampler::each(SampleName name, const std::vector<Index>& groups, const Take& take) const {
  const Stream stream(seed_, name.number, name.attempt);
  // Where all manner of persons are forbidden too often, those near the usual one are not.
  const Manner own = this->manner(name.number);
  const Manner manner = name.attempt < (own == Manner::population ? most_attempts - 2 : 2) ? own : Manner::near_usual;
  const auto lot = static_cast<std::size_t>(manner);
  // Of 2^32 parts so many are usual.
  static constexpr std::uint32_t parts[] = {0x80000000u, 0xc0000000u, 0xe0000000u};
  const std::uint32_t usual = manner == Manner::near_usual ? parts[name.number / 4 % 3] : 0;
  const std::uint16_t* row = nullptr;
  if (manner == Manner::population && persons_ > 0) row = &rows_of_persons_[stream.at(0) % persons_ * groups_.size()];
  for (Index g : groups) {
    const Quick& quick = quick_[g];
    const std::uint64_t random = stream.at(g + 1);
    const std::uint32_t drawn = quick.lots[row ? static_cast<std::size_t>(Manner::shares) : lot]->draw(static_cast<std::uint32_t>(random >> 32));
    const std::uint32_t is_usual = 0u - static_cast<std::uint32_t>(static_cast<std::uint32_t>(random) < usual);
    if (row && row[g] != open_group) take(g, row[g]);
    else take(g, drawn ^ ((drawn ^ quick.usual) & is_usual));
  }
}

void Sampler::person(SampleName name, Outcomes& outcomes) const {
  outcomes.resize(groups_.size());
  const auto take = [&](std::size_t g, std::uint32_t o) { outcomes[g] = static_cast<std::uint16_t>(o); };
  each({name.number, 0}, kept_, take);
  each(name, redrawn_, take);
}

void Sampler::block(std::uint64_t number, Drawn& drawn, Bulk::Scratch& scratch) const {
  const std::size_t words = (bulk_.inputs() + 63) / 64;
  drawn.number = number;
  drawn.block.clear(bulk_.inputs());
  drawn.block.persons = block_persons;
  drawn.rows.resize(words * 64);
  // At the first attempt everything, afterwards the groups that are drawn again and their inputs.
  const auto draw = [&](unsigned part, std::uint64_t wanted, bool is_first) {
    for (std::uint64_t left = wanted; left != 0; left &= left - 1) {
      const unsigned i = static_cast<unsigned>(__builtin_ctzll(left));
      for (std::size_t w = 0; w < words; ++w) drawn.rows[w * 64 + i] = 0;
      each({number * block_persons + part * 64 + i, drawn.attempts[part * 64 + i]}, is_first ? all_groups_ : redrawn_, [&](std::size_t g, std::uint32_t o) {
        const Quick& quick = quick_[g];
        for (std::uint32_t b = quick.begin[o]; b != quick.begin[o + 1]; ++b) drawn.rows[quick.bits[b].word * 64 + i] |= quick.bits[b].mask;
      });
    }
    for (std::size_t w = 0; w < words; ++w) {
      std::uint64_t inputs = is_first ? ~std::uint64_t{0} : redrawn_inputs_[w];
      if (inputs == 0) continue;
      turn(&drawn.rows[w * 64]);
      for (; inputs != 0; inputs &= inputs - 1) {
        const std::size_t bit = static_cast<std::size_t>(__builtin_ctzll(inputs));
        if (w * 64 + bit >= bulk_.inputs()) break;
        std::uint64_t& plane = drawn.block.planes[(w * 64 + bit) * block_words + part];
        plane = (plane & ~wanted) | (drawn.rows[w * 64 + bit] & wanted);
      }
    }
  };
  std::fill(std::begin(drawn.attempts), std::end(drawn.attempts), std::uint8_t{0});
  for (unsigned part = 0; part < block_words; ++part) draw(part, ~std::uint64_t{0}, true);
  drawn.drawn_again = 0;
  for (unsigned attempt = 0;; ++attempt) {
    bulk_.possible(drawn.block, scratch, drawn.possible);
    if (attempt + 1 == most_attempts) break;
    bool again = false;
    for (unsigned part = 0; part < block_words; ++part) {
      const std::uint64_t forbidden = ~drawn.possible[part];
      if (forbidden == 0) continue;
      again = true;
      for (std::uint64_t left = forbidden; left != 0; left &= left - 1) ++drawn.attempts[part * 64 + static_cast<unsigned>(__builtin_ctzll(left))];
      drawn.drawn_again += static_cast<unsigned>(__builtin_popcountll(forbidden));
      draw(part, forbidden, false);
    }
    if (!again) break;
  }
}

void Sampler::put(const Outcomes& outcomes, runtime::Block& block, unsigned person) const {
  for (std::size_t g = 0; g < outcomes.size(); ++g) {
    const Quick& quick = quick_[g];
    for (std::uint32_t b = quick.begin[outcomes[g]]; b != quick.begin[outcomes[g] + 1u]; ++b)
      for (std::uint64_t left = quick.bits[b].mask; left != 0; left &= left - 1)
        block.put(quick.bits[b].word * 64 + static_cast<std::size_t>(__builtin_ctzll(left)), person);
  }
}

// ---------------------------------------------------------------- as answers

Outcomes Sampler::usual() const {
  Outcomes out;
  for (const Group& group : groups_) out.push_back(static_cast<std::uint16_t>(group.usual));
  return out;
}

Profile Sampler::profile(const Outcomes& outcomes, bool at_edges) const {
  Profile out(ruleset().findings.size());
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    const Outcome& outcome = groups_[g].outcomes[outcomes[g]];
    for (std::size_t i = 0; i < groups_[g].findings.size(); ++i) out[groups_[g].findings[i]] = (at_edges ? outcome.edges : outcome.values)[i];
  }
  return out;
}

Profile Sampler::plain_profile(const Outcomes& outcomes) const {
  Profile out = profile(outcomes);
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    const Group& group = groups_[g];
    if (group.findings.size() == 1) continue;
    Outcome plain = group.outcomes[outcomes[g]];
    make_plain(group, plain);
    for (std::size_t i = 0; i < group.findings.size(); ++i) out[group.findings[i]] = plain.values[i];
  }
  return out;
}

unsigned Sampler::unusual(const Outcomes& outcomes) const {
  unsigned out = 0;
  for (std::size_t g = 0; g < groups_.size(); ++g) out += groups_[g].outcomes[outcomes[g]].unusual;
  return out;
}

}  // namespace betony::trial
