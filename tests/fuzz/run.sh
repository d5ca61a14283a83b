#!/bin/sh
# sh tests/fuzz/run.sh [RUNS]: builds the fuzz target (clang, sanitizers) and runs it RUNS times (usual:
# 200000), beginning with tests/fuzz/corpus and the sources of seeds.sh. What is new in what it finds
# is kept in .build/fuzz/found; what breaks a promise is kept as .build/fuzz/crash-*.
#   sh tests/fuzz/run.sh --table [RUNS]  the same for tables, beginning with the tables of the tree
# BETONY_FUZZ_LENGTH sets the longest input in bytes (1500); short ones give five times the runs.
#   sh tests/fuzz/run.sh --keep   puts what was found into tests/fuzz/corpus, as few and small files as
#                                 cover the same code
set -eu
cd "$(dirname "$0")/../.."

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

name=source
if [ "${1:-}" = --table ]; then
  name=table
  shift
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Building: fuzz"
if ! { cmake --preset fuzz && cmake --build --preset fuzz --target "${name}_fuzz" -j "$(nproc)"; } >"$log" 2>&1; then
  tail -n 60 "$log"
  echo "The build failed: fuzz"
  exit 1
fi

build=.build/fuzz
target=$build/tests/fuzz/${name}_fuzz
if [ "$name" = source ]; then
  found=$build/found corpus=tests/fuzz/corpus seeds=$build/seeds
  mkdir -p "$seeds"
  sh tests/fuzz/seeds.sh "$seeds"
else
  found=$build/found-tables corpus=$build/table-corpus seeds=$build/table-seeds
  mkdir -p "$corpus" "$seeds"
  cp tests/messages/*.csv tests/published/*.csv rulesets/tamberlow/*.csv "$seeds"
fi
mkdir -p "$found"
# 10 s and 2 GiB an input are the bounds of every verb.
bounds="-timeout=10 -rss_limit_mb=2048 -max_len=${BETONY_FUZZ_LENGTH:-1500}"
# Short stacks for allocations, and plain choice of what to change next: four times the runs.
ASAN_OPTIONS=malloc_context_size=2
UBSAN_OPTIONS=print_stacktrace=1
export ASAN_OPTIONS UBSAN_OPTIONS

if [ "${1:-}" = --keep ] && [ "$name" = source ]; then
  mkdir -p "$build/kept"
  rm -f "$build"/kept/*
  $target -merge=1 $bounds "$build/kept" tests/fuzz/corpus "$found" "$seeds" >"$log" 2>&1 || { tail -n 40 "$log"; exit 1; }
  rm -f tests/fuzz/corpus/*
  cp "$build"/kept/* tests/fuzz/corpus/
  echo "tests/fuzz/corpus: $(ls tests/fuzz/corpus | wc -l) files"
  exit 0
fi

runs=${1:-200000}
status=0
$target -runs="$runs" $bounds -entropic=0 -reload=0 -dict=tests/fuzz/words.dict -artifact_prefix="$build/" -print_final_stats=1 \
  "$found" "$corpus" "$seeds" >"$log" 2>&1 || status=$?
if [ "$status" -ne 0 ]; then
  tail -n 80 "$log"
  echo "The fuzzer found something; see above, and $build/crash-*"
  exit "$status"
fi
grep '^stat::' "$log"
echo "$runs runs, nothing found"
