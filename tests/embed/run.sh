#!/bin/sh
# sh tests/embed/run.sh BUILD BETONY: installs the runtime from a build folder into an empty place, and builds a C and a C++
# program outside the tree against it, found by find_package and by pkg-config. All four must tell the same of a person, and a
# pack that was changed must be refused. So with a program that checks seals, by both; where no libsodium is, the runtime alone is found.
set -eu
build=$1 betony=$2
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cmake --install "$build" --prefix "$work/installed" >/dev/null
cp -r "$here" "$work/embeds"
cmake -S "$work/embeds" -B "$work/built" -DCMAKE_PREFIX_PATH="$work/installed" >/dev/null
cmake --build "$work/built" >/dev/null
mkdir "$work/nothing"
bare() {  # configures where pkg-config finds no libsodium
  PKG_CONFIG_PATH='' PKG_CONFIG_LIBDIR="$work/nothing" cmake -S "$work/embeds" -B "$work/bare" -DSEALS="$1" \
    -DCMAKE_PREFIX_PATH="$work/installed" >"$work/out" 2>&1
}
bare OFF || { cat "$work/out"; echo "the runtime is not found without libsodium"; exit 1; }
if bare ON; then echo "seals are found without libsodium"; exit 1; fi
grep -q "component seal needs libsodium" "$work/out"

PKG_CONFIG_PATH=$(dirname "$(find "$work/installed" -name betony.pc)")
export PKG_CONFIG_PATH
cc -std=c99 -Wall -Wextra -Wpedantic -Werror -o "$work/weigh_pc" "$here/weigh.c" $(pkg-config --cflags --libs betony) -lstdc++
c++ -std=c++20 -Wall -Wextra -Wpedantic -Werror -o "$work/check_seal_pc" "$here/check_seal.cpp" $(pkg-config --cflags --libs betony-seal)
c++ -std=c++20 -Wall -Wextra -Wpedantic -Werror -o "$work/weigh_pcpp" "$here/weigh.cpp" $(pkg-config --cflags --libs betony)

cat >"$work/hill.bty" <<'RULES'
Ruleset "Hill", edition "2".
Finding chill is yes or no.
Finding weight is a number of kg from 2 to 350.
Practice moss bed.
  Indicated in chill.
  Contraindicated in weight over 100.
  Otherwise allowed.
RULES
"$betony" ship "$work/hill.bty" -o "$work/hill.pack" >/dev/null
for program in "$work/built/weigh_c" "$work/built/weigh_cpp" "$work/weigh_pc" "$work/weigh_pcpp"; do
  told=$("$program" "$work/hill.pack" chill yes weight "154 lb" | tail -n 1)
  [ "$told" = "moss bed: advised" ] || { echo "$program tells: $told"; exit 1; }
  told=$("$program" "$work/hill.pack" chill yes | tail -n 1)
  [ "$told" = "moss bed: unanswered" ] || { echo "$program tells of somebody half known: $told"; exit 1; }
  if "$program" "$work/hill.pack" chil yes >"$work/out"; then echo "$program takes a name that is none"; exit 1; fi
  grep -q 'did you mean "chill"?' "$work/out"
done

"$betony" ship --new-key "$work/mine" >/dev/null
"$betony" ship --new-key "$work/other" >/dev/null
"$betony" ship "$work/hill.bty" -o "$work/sealed.pack" --key "$work/mine.secret" >/dev/null
words=$("$betony" weigh "$work/sealed.pack" | sed -n 's/^Sealed by \(.*\)\.$/\1/p')
cp "$work/sealed.pack" "$work/changed.pack"
printf x | dd of="$work/changed.pack" bs=1 seek=200 conv=notrunc 2>/dev/null
for program in "$work/built/check_seal" "$work/check_seal_pc"; do
  told=$("$program" "$work/sealed.pack" "$work/mine.public")
  [ -n "$words" ] && [ "$told" = "sealed by $words" ] || { echo "$program tells: $told"; exit 1; }
  for pair in "sealed other" "hill mine" "changed mine"; do
    if "$program" "$work/${pair% *}.pack" "$work/${pair#* }.public" >"$work/out"; then echo "$program takes $pair"; exit 1; fi
  done
  grep -q "changed since it was written" "$work/out"
done
told=$("$work/built/weigh_cpp" "$work/sealed.pack" chill yes weight "154 lb" | tail -n 1)
[ "$told" = "moss bed: advised" ] || { echo "a sealed pack tells: $told"; exit 1; }
printf x >>"$work/hill.pack"
if "$work/weigh_pc" "$work/hill.pack" >"$work/out"; then echo "a changed pack is read"; exit 1; fi
echo "Four programs outside the tree tell the same of a person, and two of a seal."
