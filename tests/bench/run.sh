#!/bin/sh
# sh tests/bench/run.sh [--big]: builds the release with the benchmarks, runs them, and writes tests/bench/RESULTS.md.
# --big: with 20,000 and 100,000 rows, and 500 independent boxes. Installs the peers, general libraries that answer some of the same questions.
set -eu
big=${1:-}
cd "$(dirname "$0")/../.."

sh tests/install.sh libbdd-dev libcadical-dev libz3-dev
if command -v ccache >/dev/null 2>&1; then
  CMAKE_CXX_COMPILER_LAUNCHER=ccache
  export CMAKE_CXX_COMPILER_LAUNCHER
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Building: release, with the benchmarks"
if ! { cmake --preset release -DBETONY_BENCH=ON && cmake --build --preset release --target read_bench whole_bench scale_bench betony -j "$(nproc)"; } >"$log" 2>&1; then
  tail -n 60 "$log"
  echo "The build failed."
  exit 1
fi

results=tests/bench/RESULTS.md
model=$(sed -n 's/^model name[^:]*: *//p' /proc/cpuinfo | head -n 1)
load=$(cut -d ' ' -f 1 /proc/loadavg)
{
  echo "# What reading costs, and what tables of boxes cost"
  echo
  echo "Written by \`sh tests/bench/run.sh${big:+ $big}\`; \`tests/bench/read_bench.cpp\`, \`whole_bench.cpp\` and \`scale_bench.cpp\` tell what is measured."
  echo
  echo "Machine: ${model:-unknown}, $(nproc) cores; load before the run $load. One thread is used, two by \`betony read\`."
  echo
  .build/release/tests/bench/read_bench
  echo
  .build/release/tests/bench/whole_bench $big
  echo
  .build/release/tests/bench/scale_bench $big
  cat tests/bench/notes.md
} >"$log"
cp "$log" "$results"
cat "$results"
