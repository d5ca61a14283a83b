#!/bin/sh
# sh tests/bench/run.sh: builds the release with the benchmarks, runs them, and writes tests/bench/RESULTS.md.
set -eu
cd "$(dirname "$0")/../.."

sh tests/install.sh
if command -v ccache >/dev/null 2>&1; then
  CMAKE_CXX_COMPILER_LAUNCHER=ccache
  export CMAKE_CXX_COMPILER_LAUNCHER
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Building: release, with the benchmarks"
if ! { cmake --preset release -DBETONY_BENCH=ON && cmake --build --preset release --target read_bench betony -j "$(nproc)"; } >"$log" 2>&1; then
  tail -n 60 "$log"
  echo "The build failed."
  exit 1
fi

results=tests/bench/RESULTS.md
model=$(sed -n 's/^model name[^:]*: *//p' /proc/cpuinfo | head -n 1)
load=$(cut -d ' ' -f 1 /proc/loadavg)
{
  echo "# What reading costs"
  echo
  echo "Written by \`sh tests/bench/run.sh\`; \`tests/bench/read_bench.cpp\` tells what is measured."
  echo
  echo "Machine: ${model:-unknown}, $(nproc) cores; load before the run $load. One thread is used."
  echo
  .build/release/tests/bench/read_bench
} >"$log"
cp "$log" "$results"
cat "$results"
