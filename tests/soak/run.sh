#!/bin/sh
# sh tests/soak/run.sh [MINUTES]: many threads weigh persons through the C interface for so long (usual: 60), built with the thread
# sanitizer; ends at the first race. The packs are those of the example teachings and of tests/soak/millrace.bty, as the release ships
# them. tests/soak/soak.cpp tells what is done. BETONY_SOAK_SEED (usual: 1) makes other persons and another order.
set -eu
cd "$(dirname "$0")/../.."
minutes=${1:-60}

sh tests/install.sh
if command -v ccache >/dev/null 2>&1; then
  CMAKE_CXX_COMPILER_LAUNCHER=ccache
  export CMAKE_CXX_COMPILER_LAUNCHER
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT

build() {
  echo "Building: $1"
  if ! { cmake --preset "$1" && cmake --build --preset "$1" --target "$2" -j "$(nproc)"; } >"$log" 2>&1; then
    tail -n 60 "$log"
    echo "The build failed: $1"
    exit 1
  fi
}
build release betony
build soak soak

packs=.build/soak/packs
mkdir -p "$packs"
for ruleset in rulesets/tamberlow/tamberlow.bty rulesets/lantern-lakes/lantern-lakes.bty tests/soak/millrace.bty; do
  .build/release/betony ship "$ruleset" -o "$packs/$(basename "$ruleset" .bty).pack" >"$log" || { cat "$log"; exit 1; }
done

status=0
TSAN_OPTIONS=halt_on_error=1 .build/soak/tests/soak/soak --minutes "$minutes" --seed "${BETONY_SOAK_SEED:-1}" "$packs"/*.pack || status=$?
[ "$status" -eq 0 ] || echo "The soak test found something; see above"
exit "$status"
