#!/bin/sh
# sh tests/fuzz/seeds.sh FOLDER: writes the sources that the fuzzer begins with into FOLDER: the example
# rulesets, the examples of grammar/LANGUAGE.md, the published examples, the faulty sources of the
# message gallery. A ruleset of several files becomes one, as tests/fuzz/trial.h tells.
set -eu
into=$(mkdir -p "$1" && cd "$1" && pwd)
cd "$(dirname "$0")/../.."

for folder in rulesets/lantern-lakes rulesets/lantern-lakes/earlier; do
  (
    cd "$folder"
    cat lantern-lakes.bty
    for file in *.bty; do
      [ "$file" = lantern-lakes.bty ] || { printf '\034%s\n' "$file" && cat "$file"; }
    done
  ) >"$into/$(echo "$folder" | tr / -)"
done
cp rulesets/tamberlow/tamberlow.bty "$into/tamberlow"
cp rulesets/tamberlow/earlier/tamberlow.bty "$into/tamberlow-earlier"
for file in tests/messages/*.bty tests/published/*.bty; do
  [ ! -f "$file" ] || cp "$file" "$into/$(echo "$file" | tr / -)"
done

# Fenced blocks: "```bty prelude NAME" opens others, "```bty with NAME" stands behind one. Questions are left
# out of openings: short sources are tried more often.
awk -v into="$into" '
  /^```bty/ {
    inside = 1; text = ""; name = ""
    for (i = 2; i < NF; ++i) {
      if ($i == "prelude") name = $(i + 1)
      if ($i == "with") text = prelude[$(i + 1)] "\n"
    }
    next
  }
  /^```/ {
    if (!inside) next
    inside = 0
    if (name != "") {
      prelude[name] = text
      gsub(/ *Ask "[^"]*"[.]?\n/, "", prelude[name])
    }
    file = into "/language-" NR
    printf "%s", text > file
    close(file)
    next
  }
  inside { text = text $0 "\n" }
' grammar/LANGUAGE.md
