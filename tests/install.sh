#!/bin/sh
# Installs what a bare Debian 12 lacks for building and testing Betony. Does nothing, quickly, where
# all of it is there. Called by rulesets/demo.sh and tests/run.sh; may be called by itself. Further packages may be named.
set -eu

packages="g++ cmake ninja-build pkg-config tao-pegtl-dev libcli11-dev nlohmann-json3-dev libfmt-dev libicu-dev
  libgmp-dev libsodium-dev libgraphviz-dev libpango1.0-dev librsvg2-dev fonts-vollkorn
  fonts-sil-annapurna fonts-noto-core fonts-hosny-amiri fonts-noto-cjk chromium
  libmimalloc-dev catch2 librapidcheck-dev libcadical-dev libz3-dev libbdd-dev gringo clasp $*"

if ! command -v dpkg-query >/dev/null 2>&1; then
  echo "Not a Debian: the names of what is needed there are" $packages >&2
  exit 0
fi

missing=""
for package in $packages; do
  case "$(dpkg-query -W -f '${Status}' "$package" 2>/dev/null || true)" in
    "install ok installed") ;;
    *) missing="$missing $package" ;;
  esac
done
[ -n "$missing" ] || exit 0

as_root="env"
if [ "$(id -u)" -ne 0 ]; then
  if ! command -v sudo >/dev/null 2>&1; then
    echo "Please install, as root:$missing" >&2
    exit 1
  fi
  as_root="sudo env"
fi
echo "Installing:$missing"
$as_root apt-get update -qq
$as_root DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >/dev/null
