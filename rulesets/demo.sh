#!/bin/sh
# Builds Betony and shows it at work: a small teaching of an invented world in its newest edition, and
# the edition before, with the faults that a first reading by `betony read` brought to light; then what it says of persons.
set -eu
cd "$(dirname "$0")/.."

sh tests/install.sh
if command -v ccache >/dev/null 2>&1; then
  CMAKE_CXX_COMPILER_LAUNCHER=ccache
  export CMAKE_CXX_COMPILER_LAUNCHER
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Building (the first time this takes some minutes) ..."
if ! { cmake --preset release && cmake --build --preset release --target betony; } >"$log" 2>&1; then
  tail -n 60 "$log"
  echo "The build failed."
  exit 1
fi
PATH="$PWD/.build/release:$PATH"
cd rulesets

# Shows one file, and fails where the answer is not the one that is wanted.
show() {
  wanted=$1
  file=$2
  printf '\n%s\n\n$ betony read %s\n\n' "$3" "$file"
  status=0
  betony read "$file" || status=$?
  printf '\n(exit status %s)\n' "$status"
  [ "$status" -eq "$wanted" ]
}

show 0 tamberlow/tamberlow.bty \
  "The weavers' valley of Tamberlow, newest edition: nothing worse than a note is left."
show 1 tamberlow/earlier/tamberlow.bty \
  "The edition before, as a book really is: where it contradicts itself, falls silent, repeats itself."
show 0 tamberlow/steam-loft.csv \
  "The wardens' table of the steam loft, as a spreadsheet saves it: nothing worse than a note."
show 1 tamberlow/earlier/steam-loft.csv \
  "The table before it: its problems are told of its rows."
printf '\n%s\n\n$ betony tidy --to-sentences %s\n\n' "And what the table says, as sentences:" tamberlow/steam-loft.csv
betony tidy --to-sentences tamberlow/steam-loft.csv

# Shows any other command.
run() {
  printf '\n%s\n\n$ betony' "$1"
  shift
  printf ' %s' "$@"
  printf '\n\n'
  betony "$@"
}

pack=$(mktemp -d)
trap 'rm -rf "$log" "$pack"' EXIT
run "The teaching as a pack, for programs that weigh persons with it:" ship tamberlow/tamberlow.bty -o "$pack/tamberlow.pack"
run "A table of guests, weighed with the pack (--keep names the column that is kept):" weigh "$pack/tamberlow.pack" tamberlow/guests.csv --keep guest
run "One guest of whom not everything is told: what may yet be, what could still, what to ask next, what would change it:" \
  weigh "$pack/tamberlow.pack" --set "chest pain=no" --set "morning pulse=64" --set fever=none --set age=81 --set "stiff shoulders=yes" --set "skin=sound"
run "The teaching tried by its author: what holds, what no sample reached, which sentences nobody would miss:" try tamberlow/tamberlow.bty
run "How a practice is decided, in words; with -o NAME.svg as a drawing:" draw tamberlow/tamberlow.bty graph "warm tub"
run "Verdicts over two findings, for one person, in words:" draw tamberlow/tamberlow.bty map "steam loft" age "loft warmth" --for "Sennet, shuttle hand, 28"
run "The dose over one finding, in the earlier edition:" draw tamberlow/earlier/tamberlow.bty doses "warm tub" age
run "The whole teaching, drawn (-o NAME.svg, .png, .pdf):" draw tamberlow/tamberlow.bty overview -o "$pack/overview.svg"
run "Where sentences meet, in the earlier edition:" draw tamberlow/earlier/tamberlow.bty crossing "steam loft" -o "$pack/crossing.pdf"
ls -l "$pack" | awk 'NF > 8 { print $5, $9 }'
printf '\n%s\n\n' "An interview, the answers given beforehand; red flags come first, and the last answer is one:"
printf 'no\n104\nwhy\nhigh\n' | run "" ask "$pack/tamberlow.pack"
