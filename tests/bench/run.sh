#!/bin/sh
# sh tests/bench/run.sh [reading|weighing|drawing] [--big]: builds the release with the benchmarks, runs them, and writes tests/bench/RESULTS.md:
# all parts of it, or the one that is named. --big: with 20,000 and 100,000 rows, 500 independent boxes, and ten million persons. Installs the peers,
# general libraries that answer some of the same questions.
set -eu
parts="reading weighing drawing" big=
for word in "$@"; do
  case "$word" in
    --big) big=--big ;;
    reading | weighing | drawing) parts=$word ;;
    *) echo "sh tests/bench/run.sh [reading|weighing|drawing] [--big]" && exit 3 ;;
  esac
done
cd "$(dirname "$0")/../.."

sh tests/install.sh libbdd-dev libcadical-dev libz3-dev
if command -v ccache >/dev/null 2>&1; then
  CMAKE_CXX_COMPILER_LAUNCHER=ccache
  export CMAKE_CXX_COMPILER_LAUNCHER
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Building: release, with the benchmarks"
targets="read_bench whole_bench scale_bench blocks_bench single_bench embedded_bench persons_bench stream_bench draw_bench trial_bench betony"
if ! { cmake --preset release -DBETONY_BENCH=ON && cmake --build --preset release --target $targets -j "$(nproc)"; } >"$log" 2>&1; then
  tail -n 60 "$log"
  echo "The build failed."
  exit 1
fi

results=tests/bench/RESULTS.md bench=.build/release/tests/bench
model=$(sed -n 's/^model name[^:]*: *//p' /proc/cpuinfo | head -n 1)
machine() {
  echo
  echo "Written by \`sh tests/bench/run.sh $1${big:+ $big}\`; $2 tell what is measured."
  echo
  echo "Machine: ${model:-unknown}, $(nproc) cores; load before the run $(cut -d ' ' -f 1 /proc/loadavg). $3"
  echo
}

reading() {
  echo "# What reading costs, and what tables of boxes cost"
  machine reading "\`tests/bench/read_bench.cpp\`, \`whole_bench.cpp\` and \`scale_bench.cpp\`" "One thread is used, two by \`betony read\`."
  $bench/read_bench
  echo
  $bench/whole_bench $big
  echo
  $bench/scale_bench $big
  cat tests/bench/notes.md
}

weighing() {
  persons=${big:+10000000}
  echo "# What weighing persons costs"
  machine weighing "\`tests/bench/blocks_bench.cpp\`, \`single_bench.cpp\`, \`embedded_bench.cpp\`, \`persons_bench.cpp\` and \`stream_bench.cpp\`" "One thread is used, two by \`betony weigh\` of a table."
  $bench/blocks_bench "${persons:-1000000}"
  echo
  $bench/single_bench 500000
  echo
  $bench/embedded_bench
  echo
  $bench/persons_bench
  echo
  $bench/stream_bench "${persons:-1000000}"
  cat tests/bench/notes_weighing.md
}

drawing() {
  echo "# What drawing and trying cost"
  machine drawing "\`tests/bench/draw_bench.cpp\` and \`trial_bench.cpp\`" "One thread is used, two by whole processes."
  $bench/draw_bench
  echo
  $bench/trial_bench
}

# A part as it is in the results, from its heading to the next one's.
kept() {
  awk -v heading="$1" '/^# / { here = $0 ~ "^# What " heading } here' "$results"
}

for part in reading weighing drawing; do
  [ "$part" = reading ] || echo
  case " $parts " in
    *" $part "*) $part ;;
    *) kept "$part" | sed -e :a -e '/^\n*$/{$d;N;ba' -e '}' ;;
  esac
done >"$log"
cp "$log" "$results"
cat "$results"
