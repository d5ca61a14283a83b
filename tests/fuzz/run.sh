#!/bin/sh
# sh tests/fuzz/run.sh [RUNS]: builds the fuzz target of source text (clang, sanitizers) and runs it RUNS times (usual:
# 200000), beginning with tests/fuzz/corpus and the sources of seeds.sh. What is new in what it finds is kept in
# .build/fuzz/source/found; what breaks a promise is kept as .build/fuzz/source/crash-*.
#   sh tests/fuzz/run.sh --table [RUNS]    the same for decision tables, beginning with the tables of the tree
#   sh tests/fuzz/run.sh --persons [RUNS]  for tables of persons, beginning with those of persons_seeds.sh
#   sh tests/fuzz/run.sh --packs [RUNS]    for packs, beginning with those of pack_seeds.cpp
#   sh tests/fuzz/run.sh --profile [RUNS]  for what is told of one person in JSON, beginning with that of profile_seeds.sh
# BETONY_FUZZ_LENGTH sets the longest input in bytes (usual: see `targets` below); short ones give five times the runs.
#   sh tests/fuzz/run.sh --keep   puts what was found in source text into tests/fuzz/corpus, as few and small files as
#                                 cover the same code
set -eu
cd "$(dirname "$0")/../.."
build=.build/fuzz

# A target a line: its option, its program, the longest input in bytes, its dictionary (none: -). What it begins with is written by
# the function seeds_OPTION into the folder it is given.
targets='
  source   source_fuzz   1500  words
  table    table_fuzz    1500  words
  persons  persons_fuzz  500   persons
  packs    pack_fuzz     4000  -
  profile  profile_fuzz  500   profile
'
seeds_source() { sh tests/fuzz/seeds.sh "$1"; }
seeds_table() { cp tests/messages/*.csv tests/published/*.csv rulesets/tamberlow/*.csv "$1"; }
seeds_persons() { sh tests/fuzz/persons_seeds.sh "$1"; }
seeds_packs() { $build/tests/fuzz/pack_seeds "$1"; }
seeds_profile() { sh tests/fuzz/profile_seeds.sh "$1"; }

wanted=source keep=
case "${1:-}" in
  --keep) keep=yes && shift ;;
  --*) wanted=${1#--} && shift ;;
esac
row=$(echo "$targets" | awk -v wanted="$wanted" '$1 == wanted')
if [ -z "$row" ]; then
  echo "There is no fuzz target --$wanted; there are$(echo "$targets" | awk 'NF { printf " --%s", $1 }')"
  exit 3
fi
read -r name program length dictionary <<END
$row
END
runs=${1:-200000}

sh tests/install.sh
if ! command -v clang++-14 >/dev/null 2>&1 || ! ls /usr/lib/llvm-14/lib/clang/*/lib/linux/libclang_rt.fuzzer-* >/dev/null 2>&1; then
  as_root="env"
  [ "$(id -u)" -eq 0 ] || as_root="sudo env"
  $as_root apt-get update -qq
  $as_root DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends clang-14 libclang-rt-14-dev >/dev/null
fi
if command -v ccache >/dev/null 2>&1; then
  CMAKE_CXX_COMPILER_LAUNCHER=ccache
  export CMAKE_CXX_COMPILER_LAUNCHER
fi

log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Building: fuzz"
if ! { cmake --preset fuzz && cmake --build --preset fuzz --target "$program" -j "$(nproc)"; } >"$log" 2>&1; then
  tail -n 60 "$log"
  echo "The build failed: fuzz"
  exit 1
fi

target=$build/tests/fuzz/$program
own=$build/$name found=$build/$name/found seeds=$build/$name/seeds
mkdir -p "$found" "$seeds"
"seeds_$name" "$seeds"
corpus=
[ "$name" != source ] || corpus=tests/fuzz/corpus

# 10 s and 2 GiB an input are the bounds of every verb.
bounds="-timeout=10 -rss_limit_mb=2048 -max_len=${BETONY_FUZZ_LENGTH:-$length}"
words=
[ "$dictionary" = - ] || words=-dict=tests/fuzz/$dictionary.dict
# Short stacks for allocations, little freed memory that is watched, and plain choice of what to change next: eight times the runs.
ASAN_OPTIONS=malloc_context_size=2:quarantine_size_mb=8:max_malloc_fill_size=64
UBSAN_OPTIONS=print_stacktrace=1
export ASAN_OPTIONS UBSAN_OPTIONS

if [ -n "$keep" ]; then
  mkdir -p "$own/kept"
  rm -f "$own"/kept/*
  $target -merge=1 $bounds "$own/kept" $corpus "$found" "$seeds" >"$log" 2>&1 || { tail -n 40 "$log"; exit 1; }
  rm -f tests/fuzz/corpus/*
  cp "$own"/kept/* tests/fuzz/corpus/
  echo "tests/fuzz/corpus: $(ls tests/fuzz/corpus | wc -l) files"
  exit 0
fi

status=0
$target -runs="$runs" $bounds -entropic=0 -reload=0 $words -artifact_prefix="$own/" -print_final_stats=1 \
  "$found" $corpus "$seeds" >"$log" 2>&1 || status=$?
if [ "$status" -ne 0 ]; then
  tail -n 80 "$log"
  echo "The fuzzer found something; see above, and $own/crash-*"
  exit "$status"
fi
grep '^stat::' "$log"
echo "$runs runs, nothing found"
