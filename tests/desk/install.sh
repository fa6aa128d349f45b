#!/usr/bin/env bash
# Installs the program into a folder of its own, looks whether everything is where a desktop looks for it,
# and runs it from there.
#
# usage: install.sh BUILD_DIR APPLICATION_ID PREFIX
set -u
build=$1 id=$2 prefix=$3
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
count=0 failures=0
check() { # NAME COMMAND...
  local name=$1
  shift
  count=$((count + 1))
  if "$@" > "$work/out" 2>&1; then
    echo "ok $count - $name"
  else
    failures=$((failures + 1))
    echo "not ok $count - $name"
    sed 's/^/# /' "$work/out" | head -n 20
  fi
}

DESTDIR=$work/root meson install -C "$build" --no-rebuild > "$work/install.log" 2>&1 || {
  sed 's/^/# /' "$work/install.log"
  echo "Bail out! meson install failed"
  exit 1
}
root=$work/root$prefix
share=$root/share

for file in bin/tundish "share/applications/$id.desktop" "share/metainfo/$id.metainfo.xml" \
  "share/glib-2.0/schemas/$id.gschema.xml" "share/icons/hicolor/scalable/apps/$id.svg" \
  "share/icons/hicolor/symbolic/apps/$id-symbolic.svg" "share/mime/packages/$id.xml"; do
  check "$file is installed" test -s "$root/$file"
done
check "the launcher starts what was installed" grep -qx "Exec=$prefix/bin/tundish %F" "$share/applications/$id.desktop"
check "desktop-file-validate" desktop-file-validate "$share/applications/$id.desktop"
check "appstreamcli validate" appstreamcli validate --no-net "$share/metainfo/$id.metainfo.xml"
check "glib-compile-schemas" glib-compile-schemas --strict "$share/glib-2.0/schemas"
check "the file type is well formed" xmllint --noout "$share/mime/packages/$id.xml"

export XDG_DATA_DIRS=$share:/usr/local/share:/usr/share GSETTINGS_SCHEMA_DIR=$share/glib-2.0/schemas
for name in XDG_DATA_HOME XDG_CONFIG_HOME XDG_STATE_HOME XDG_CACHE_HOME; do
  export "$name=$work/$name"
  mkdir "$work/$name"
done
check "the program tells its version" "$root/bin/tundish" --version
check "the window opens and goes on" bash -c '
  timeout 3 "$0" & pid=$!
  wait $pid; [ $? -eq 124 ]' "$root/bin/tundish"
echo "1..$count"
[ "$failures" -eq 0 ]
