#!/bin/sh
# Builds Betony twice, as released and with the address and undefined-behaviour sanitizers, and runs the
# tests on both. All tests run on the release; the sanitizers run those that are not counting exercises.
# The last line is ctest's count.
set -eu
cd "$(dirname "$0")/.."

sh tests/install.sh
if command -v ccache >/dev/null 2>&1; then
  CMAKE_CXX_COMPILER_LAUNCHER=ccache
  CCACHE_SLOPPINESS=pch_defines,time_macros
  CCACHE_BASEDIR=$PWD CCACHE_NOHASHDIR=1  # files are known by their names from here on, so another clone finds them too
  export CMAKE_CXX_COMPILER_LAUNCHER CCACHE_SLOPPINESS CCACHE_BASEDIR CCACHE_NOHASHDIR
fi
jobs=$(nproc 2>/dev/null || echo 2)
log=$(mktemp)
trap 'rm -f "$log"' EXIT

build() {
  preset=$1
  shift
  echo "Building: $preset"
  if ! { cmake --preset "$preset" && cmake --build --preset "$preset" -j "$jobs" "$@"; } >"$log" 2>&1; then
    tail -n 60 "$log"
    echo "The build failed: $preset"
    exit 1
  fi
}

# Runs ctest and keeps its counting line in $count.
run_tests() {
  preset=$1
  shift
  echo "Testing: $preset"
  status=0
  ctest --test-dir ".build/$preset" -j "$jobs" --output-on-failure "$@" >"$log" 2>&1 || status=$?
  count=$(grep 'tests passed' "$log" | tail -n 1)
  [ "$status" -eq 0 ] || cat "$log"
  echo "$preset: $count"
}

build release
run_tests release
release_status=$status
release_count=$count

build debug --target betony unit_tests message_tests ruleset_tests
run_tests debug -R '^(unit|messages|rulesets):'
[ "$status" -eq 0 ] || { echo "$count"; exit "$status"; }

echo "$release_count"
exit "$release_status"
