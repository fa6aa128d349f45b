#!/usr/bin/env bash
# Installs what is missing, builds, and runs every test under a virtual display.
# The last line reads "N passed, N failed, N skipped".
#
# usage: bash tests/run.sh [--no-install] [--build DIR] [meson test arguments]
set -euo pipefail
here=$(cd "$(dirname "$0")/.." && pwd)
install=yes
build=${TUNDISH_BUILD:-}
while [ $# -gt 0 ]; do
  case $1 in
    --no-install) install=no; shift ;;
    --build) build=$2; shift 2 ;;
    *) break ;;
  esac
done

packages() { sed -e 's/#.*//' -e '/^[[:space:]]*$/d' "$here/.ci/packages"; }
if [ "$install" = yes ]; then
  # shellcheck disable=SC2046
  bash "$here/.ci/install" $(packages)
fi

cleanup=""
if [ -z "$build" ]; then
  build=$(mktemp -d)
  cleanup=$build
fi
trap '[ -z "$cleanup" ] || rm -rf "$cleanup"' EXIT

if [ ! -f "$build/build.ninja" ]; then
  # shellcheck disable=SC2086
  meson setup "$build" "$here" -Dwerror=true ${TUNDISH_MESON:-} > "$build.log" 2>&1 || { cat "$build.log"; exit 1; }
  rm -f "$build.log"
fi
ninja -C "$build" > "$build/ninja.log" 2>&1 || { grep -vE '^\[[0-9]+/' "$build/ninja.log" | head -60; exit 1; }

export GSK_RENDERER=cairo GDK_DEBUG=gl-disable GDK_BACKEND=x11 LIBGL_ALWAYS_SOFTWARE=1
status=0
xvfb-run -a -s '-screen 0 1920x1080x24 -noreset' \
  meson test -C "$build" --no-rebuild --print-errorlogs "$@" > "$build/test.log" 2>&1 || status=$?
grep -vE '^ninja:' "$build/test.log" || true
number() { sed -n "s/^$1: *\([0-9]*\).*/\1/p" "$build/test.log" | tail -n 1; }
passed=$(number Ok); failed=$(number Fail); errors=$(number Timeout); surprise=$(number 'Unexpected Pass'); skipped=$(number Skipped)
failed=$(( ${failed:-0} + ${errors:-0} + ${surprise:-0} ))
[ "$status" -eq 0 ] || [ "$failed" -gt 0 ] || failed=1
echo "${passed:-0} passed, $failed failed, ${skipped:-0} skipped"
[ "$failed" -eq 0 ]
