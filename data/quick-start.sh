#!/usr/bin/env bash
# From a fresh Debian 12 to a running Tundish: installs packages, builds in build/, makes a demo book,
# plans a site, writes a service report, and opens the window where there is a display.
set -euo pipefail
here=$(cd "$(dirname "$0")/.." && pwd)
cd "$here"

# shellcheck disable=SC2046
bash .ci/install $(sed -e '/^# --- tests/,$d' -e 's/#.*//' -e '/^[[:space:]]*$/d' .ci/packages)

log=$(mktemp)
trap 'rm -f "$log"' EXIT
[ -f build/build.ninja ] || meson setup build > "$log" 2>&1 || { cat "$log" >&2; exit 1; }
echo "Building in build/"
ninja -C build src/ctl/tundishctl src/desk/tundish data/gschemas.compiled > "$log" 2>&1 || { cat "$log" >&2; exit 1; }
ctl=build/src/ctl/tundishctl

demo=build/quick-start
rm -rf "$demo"
mkdir -p "$demo"

echo "== A demonstration book, as of now"
$ctl demo "$demo/demo.tundish" --now "$(date --iso-8601=seconds)"
$ctl due --book "$demo/demo.tundish" | head -n 5

echo "== A site planned"
$ctl plan data/demo/two-lanterns-bar.site.json > "$demo/plan.json"
sed -n '/"totals"/,/}/p; /"proven"/p' "$demo/plan.json"

echo "== A whole visit recorded, its report written, the book verified"
visit=tests/replay/01-two-lanterns-reversed.jsonl
$ctl record --book "$demo/demo.tundish" < "$visit" | tail -n 1
id=$(sed -n '1s/.*"visit": *"\([^"]*\)".*/\1/p' "$visit")
$ctl report "$id" --book "$demo/demo.tundish" -o "$demo/report.pdf"
$ctl check --book "$demo/demo.tundish"
echo "The report: $demo/report.pdf"

window=build/src/desk/tundish
if [ -x "$window" ]; then
  if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
    echo "== The window"
    GSETTINGS_SCHEMA_DIR=build/data "$window" --book "$demo/demo.tundish"
  else
    echo "No display here; where there is one: $window --book $demo/demo.tundish"
  fi
fi
