#!/bin/sh
# Plants one mistake at a time in the compiler and its checks, and sees whether the tests catch it.
#
#   sh tests/mutants/run.sh            all mistakes of tests/mutants/list.txt
#   sh tests/mutants/run.sh idle       those whose name holds this word
#
# Works in a copy of the tree (kept nowhere; about a gigabyte while it runs), and changes nothing in this one.
# Each mistake is a piece of one line that stands exactly once in its file, and what is put in its place.
# Ends with a line of counts; exit status 0 if the tests are sound and every mistake is caught.
# BETONY_MUTANT_JOBS sets how many compilers run at once (2).
set -u

here=$(cd "$(dirname "$0")/../.." && pwd)
wanted=${1:-}
jobs=${BETONY_MUTANT_JOBS:-2}
copy=$(mktemp -d "${TMPDIR:-/tmp}/mutants.XXXXXX") || exit 3
trap 'rm -rf "$copy"' EXIT
trap 'exit 130' INT TERM

(cd "$here" && tar -cf - CMakeLists.txt README.md grammar compiler viz tests rulesets) | (cd "$copy" && tar -xf -) || exit 3

# A compiler cache may know these files by their names from the copy's root on.
CCACHE_BASEDIR=$copy CCACHE_NOHASHDIR=1 CCACHE_SLOPPINESS=pch_defines,time_macros
export CCACHE_BASEDIR CCACHE_NOHASHDIR CCACHE_SLOPPINESS
launcher=
command -v ccache >/dev/null 2>&1 && launcher=-DCMAKE_CXX_COMPILER_LAUNCHER=ccache
cmake -S "$copy" -B "$copy/build" -DCMAKE_BUILD_TYPE=Release "-DCMAKE_CXX_FLAGS_RELEASE=-O1" $launcher >"$copy/log" 2>&1 ||
  { cat "$copy/log"; exit 3; }

build() { cmake --build "$copy/build" --target property_tests unit_tests -j "$jobs" >"$copy/log" 2>&1; }

# Prints the name of the first program of tests that fails; nothing if all pass.
failing() {
  for program in property_tests unit_tests; do
    (cd "$copy" && BETONY_PROPERTY_PLAIN=1 timeout 900 "build/tests/$program" -a >"$copy/log" 2>&1) || { echo "$program"; return; }
  done
}

# plant FILE FROM TO: replaces the one occurrence; fails if there is none or are several.
plant() {
  FROM=$2 TO=$3 awk '
    BEGIN { from = ENVIRON["FROM"]; to = ENVIRON["TO"] }
    { at = index($0, from)
      if (at) { found++; $0 = substr($0, 1, at - 1) to substr($0, at + length(from)) }
      print }
    END { exit found == 1 ? 0 : 1 }' "$1" >"$copy/planted" && cp "$copy/planted" "$1"
}

echo "building without a mistake"
build || { tail -n 40 "$copy/log"; echo "the tree does not build"; exit 3; }
sound=$(failing)
[ -z "$sound" ] || { tail -n 60 "$copy/log"; echo "the tests fail without a mistake ($sound)"; exit 3; }

planted=0 caught=0 missed=0 stale=0
name= file= from= to=

try() {
  case $name in *"$wanted"*) ;; *) return ;; esac
  cp "$copy/$file" "$copy/kept"
  if ! plant "$copy/$file" "$from" "$to"; then
    echo "stale   $name: no one place in $file reads: $from"
    stale=$((stale + 1))
    return
  fi
  planted=$((planted + 1))
  if ! build; then
    echo "stale   $name: does not build"
    stale=$((stale + 1)) planted=$((planted - 1))
  else
    by=$(failing)
    if [ -n "$by" ]; then
      echo "caught  $name ($by)"
      caught=$((caught + 1))
    else
      echo "MISSED  $name"
      missed=$((missed + 1))
    fi
  fi
  cp "$copy/kept" "$copy/$file"
}

while IFS= read -r line; do
  case $line in
    '#'*) ;;
    'name: '*) name=${line#name: } ;;
    'file: '*) file=${line#file: } ;;
    'from: '*) from=${line#from: } ;;
    'to: '*) to=${line#to: }; try ;;
    'to:') to=; try ;;
  esac
done <"$here/tests/mutants/list.txt"

echo "$planted mistakes planted, $caught caught, $missed missed, $stale stale"
[ "$planted" -gt 0 ] && [ "$missed" -eq 0 ] && [ "$stale" -eq 0 ]
