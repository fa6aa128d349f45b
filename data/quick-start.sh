#!/usr/bin/env bash
# From a fresh Debian 12 to a running Tundish: installs packages, builds in build/, makes a demo book,
# plans a site, writes a service report, and opens the window where there is a display.
set -euo pipefail
here=$(cd "$(dirname "$0")/.." && pwd)
cd "$here"

# shellcheck disable=SC2046
bash .ci/install $(sed -e '/^# --- tests/,$d' -e 's/#.*//' -e '/^[[:space:]]*$/d' .ci/packages)

[ -f build/build.ninja ] || meson setup build > /dev/null
ninja -C build | tail -n 1
ctl=build/src/ctl/tundishctl
