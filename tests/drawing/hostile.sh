#!/bin/sh
# sh tests/drawing/hostile.sh FOLDER: writes rulesets that are hard to draw: very long names, other scripts, many findings.
set -eu
long=$(awk 'BEGIN { for (i = 0; i < 10; ++i) printf "exceedingly longwinded w%d ", i }' | sed 's/ $//')
unbroken=$(awk 'BEGIN { for (i = 0; i < 60; ++i) printf "abcde" }')
cat >"$1/long.bty" <<END
Ruleset "$unbroken", edition "9".
Finding $long is yes or no.
  Ask "$unbroken?".
Finding age is a number of years from 0 to 110.
Group $long group holds $long bath, $unbroken.
Practice $long bath.
  Indicated in $long.
  Contraindicated in age over 70.
  Otherwise allowed.
Practice $unbroken.
  Indicated in age under 30.
  Discouraged in $long.
  Precedes $long bath.
END
cat >"$1/scripts.bty" <<'END'
Ruleset "لوح البحر", edition "٣".
Finding عمر is a number of years from 0 to 110.
Finding 冷え is yes or no.
  Ask "手足は冷えますか?".
Finding ताप is one of नहीं, थोड़ा, बहुत.
Practice حمام بارد.
  Indicated in عمر from 20 to 60 and 冷え.
  Contraindicated in ताप is बहुत.
  Otherwise allowed.
Practice 温浴.
  Indicated in 冷え.
  Discouraged in عمر over 50.
  Contraindicated in عمر over 80 or ताप is बहुत.
  Never with حمام بارد.
END
{
  echo 'Ruleset "Sixty findings", edition "1".'
  awk 'BEGIN {
    for (i = 1; i <= 60; ++i) printf "Finding sign %d is yes or no.\n  Ask \"Is there sign number %d, or was there one since the last full tide?\".\n", i, i
    print "Practice tide walk."
    for (i = 1; i <= 58; i += 3) printf "  %s in sign %d and sign %d, unless sign %d.\n", (i % 2 ? "Indicated" : "Contraindicated"), i, i + 1, i + 2
    print "  Otherwise allowed."
  }'
} >"$1/many.bty"
# For maps and doses: limits close together, sentences of long names, words in several scripts.
{
  printf 'Ruleset "Many limits", edition "1".\nFinding depth is a number of cm from 0 to 900.\nFinding %s is a grade of عالٍ جدا, नहीं, 冷えの程度が最も強い, %s, low.\n' "$long" "$unbroken"
  echo "Finding عمر is a whole number of years from 0 to 110."
  echo "Practice tide walk."
  awk -v long="$long" -v unbroken="$unbroken" 'BEGIN {
    for (i = 10; i < 50; ++i) printf "  Contraindicated in depth over %d cm and عمر under %d years, called ban number %d.\n", i * 10, i + 10, i
    printf "  Discouraged in %s is low and depth under 55.5 cm, called %s.\n", long, unbroken
    for (i = 1; i < 20; ++i) printf "  Dose %d to %d min in depth over %d cm.\n", i, i * 3, i * 40
    printf "  Dose at least 30 mL in %s is low.\n  Dose at most once a day in عمر over 60 years.\n  Otherwise allowed.\n", long
  }'
} >"$1/limits.bty"
