#include "tests/property/generate.h"

#include <ostream>

#include "tests/property/maker.h"
#include "tests/property/verdicts.h"

namespace betony::referee {

Model Maker::make() {
  m_.layout = upto(4);
  if (scale_ == Scale::measured) declare_measured();
  declare_findings();
  declare_sources();
  declare_practices();
  declare_choices();
  declare_terms();
  choice_sentences();
  if (chance(30)) m_.backgrounds.push_back({small_fact()});
  if (chance(12)) m_.backgrounds.push_back({small_fact()});
  if (chance(25)) m_.applies.push_back({plain_cond(1)});
  // Findings that a measure binds are one to the compiler where it asks what two regions depend on in common.
  m_.prevail = chance(25) || scale_ == Scale::measured;
  sentences();
  otherwises();
  claims();
  if (scale_ != Scale::large) samples(), trends();  // last, so that what is made before stays
  return std::move(m_);
}

Model random_model(std::uint64_t seed, Scale scale) {
  for (std::uint64_t turn = 0;; ++turn) {
    Model model = Maker(seed + turn * 0x9e3779b97f4a7c15u, scale).make();
    const bool fits = scale == Scale::large ? model.sentences.size() >= 2 && model.sentences.size() <= 40 : universe_size(model) <= most_profiles;
    if (fits && settle(model)) return model;
  }
}

std::ostream& operator<<(std::ostream& out, const Model& model) { return out << print(model).text; }

}  // namespace betony::referee
