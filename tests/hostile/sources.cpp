#include "tests/hostile/sources.h"

namespace betony::hostile {

std::string repeat(std::string_view piece, std::size_t times) {
  std::string out;
  out.reserve(piece.size() * times);
  for (std::size_t i = 0; i < times; ++i) out += piece;
  return out;
}

std::string filled(std::string_view begin, std::string_view piece, std::string_view end, std::size_t bytes) {
  std::string out(begin);
  out.reserve(bytes);
  while (out.size() + piece.size() + end.size() <= bytes) out += piece;
  out += end;
  return out;
}

std::string counted(std::size_t count, const std::function<std::string(std::size_t)>& piece, std::string_view joint) {
  std::string out;
  for (std::size_t i = 0; i < count; ++i) {
    if (i > 0) out += joint;
    out += piece(i);
  }
  return out;
}

std::string opening() {
  return "Ruleset \"The long night\", edition \"1\".\n"
         "Finding fever is yes or no.\n"
         "Finding chill is yes or no.\n"
         "Finding cough is a grade of none, dry, wet, usually none.\n"
         "Finding humour is one of ember, brook, loam, usually loam.\n"
         "Finding complaints are any of stiff knees, cold feet.\n"
         "Finding age is a whole number of years from 0 to 110, usually 40.\n"
         "Finding last meal is a number of h ago from 0 to 24, or never, usually 3.\n";
}

std::string forty_sentences() {
  return R"(Ruleset "Ferry", edition "1".
Source FB is "Ferry book", 12, ranked 1.
School oars holds FB.
Finding age is a whole number of years from 0 to 99.
Ask "Age?"
Finding cold (also Ære) is yes or no.
Finding cut is a grade of none, raw.
Finding skin is one of dry, oily, usually dry.
Finding ills are any of ache, itch.
Finding meal is a number of h ago from 0 to 9, or never.
Measure half is age / 2 in years. -- two
Tally salt counts cold as 2, and ache as -1.
Tally silt counts each of ache, itch as 1.
Leading bend is the most of salt, silt, else even.
Term weak means half over 35 or cut is raw.
It cannot be that itch and cold.
Applies to age at least 3.
Unit cup, cups is 200 mL.
Refer in cut is raw and age under 9: "Seek care."
Group wet holds mud bath, rinse.
Every practice in wet.
Contraindicated in meal under 1 h ago, called ban.
Practice rinse.
Indicated in bend is salt, for “calm” [FB 1].
Dose 1 to 2 cups, once a day.
Practice mud bath (also mud).
Indicated in ache, despite ban [FB 2].
Discouraged in date from 1 May to 2 June.
Caution in weak: "Go slow."
Uses oil.
Time from dawn to 1 h after dawn.
Otherwise withheld.
Choice oil is any of seal, nut.
Take seal in not (itch or cold).
Refuse nut in skin is oily, unless ache.
Otherwise nut.
In at least 2 of cold, itch, ache: rinse is allowed with care.
Claim "safe": never mud is advised in meal under 1 h ago and not ache.
Profile "Bo": age 40, ache, the rest as usual.
Expect mud bath advised.
)";
}

}  // namespace betony::hostile
