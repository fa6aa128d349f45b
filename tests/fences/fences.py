#!/usr/bin/env python3
"""The walls between the layers, and a deliberate breach of each to show that it holds.

usage: fences.py BUILD_DIR SOURCE_DIR CC
"""
import json
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

build, source = (pathlib.Path(p).resolve() for p in sys.argv[1:3])
cc = shlex.split(sys.argv[3])
failures = 0
count = 0


def check(name, ok, detail=""):
    global failures, count
    count += 1
    print(f"{'ok' if ok else 'not ok'} {count} - {name}")
    if not ok:
        failures += 1
        for line in detail.strip().splitlines()[:12]:
            print("# " + line)


def pkg(*names):
    return shlex.split(subprocess.run(["pkg-config", "--cflags", *names], check=True,
                                      capture_output=True, text=True).stdout)


def compiles(text, *flags):
    with tempfile.NamedTemporaryFile("w", suffix=".c") as f:
        f.write(text)
        f.flush()
        done = subprocess.run([*cc, "-fsyntax-only", "-w", *flags, f.name], capture_output=True, text=True)
        return done.returncode == 0, done.stderr


# Which layers each layer may include, besides itself.
MAY = {
    "core": [],
    "store": ["core"],
    "draw": ["core"],
    "document": ["core", "draw"],
    "exchange": ["core"],
    "model": ["core"],
    "demo": ["core", "store"],
    "desk": ["core", "store", "draw", "document", "exchange", "model", "demo"],
    "ctl": ["core", "store", "draw", "document", "exchange", "demo"],
}

# A breach a layer: the package it would reach for and a line that uses it.
BREACHES = {
    "core": [("sqlite3", "#include <sqlite3.h>\nstatic sqlite3 *book;"),
             ("cairo", "#include <cairo.h>\nstatic cairo_t *cr;"),
             ("gobject-2.0", "#include <glib-object.h>\nstatic GObject *object;"),
             ("gio-2.0", "#include <gio/gio.h>\nstatic GFile *file;"),
             ("glib-2.0", "#include <stdio.h>\nstatic FILE *file;"),
             ("gtk4", "#include <gtk/gtk.h>\nstatic GtkWidget *widget;")],
    "store": [("cairo", "#include <cairo.h>\nstatic cairo_t *cr;"),
              ("gtk4", "#include <gtk/gtk.h>\nstatic GtkWidget *widget;")],
    "draw": [("sqlite3", "#include <sqlite3.h>\nstatic sqlite3 *book;"),
             ("gtk4", "#include <gtk/gtk.h>\nstatic GtkWidget *widget;")],
    "document": [("sqlite3", "#include <sqlite3.h>\nstatic sqlite3 *book;"),
                 ("gtk4", "#include <gtk/gtk.h>\nstatic GtkWidget *widget;")],
    "exchange": [("sqlite3", "#include <sqlite3.h>\nstatic sqlite3 *book;"),
                 ("cairo", "#include <cairo.h>\nstatic cairo_t *cr;"),
                 ("gtk4", "#include <gtk/gtk.h>\nstatic GtkWidget *widget;")],
    "demo": [("sqlite3", "#include <sqlite3.h>\nstatic sqlite3 *book;"),
             ("cairo", "#include <cairo.h>\nstatic cairo_t *cr;"),
             ("gtk4", "#include <gtk/gtk.h>\nstatic GtkWidget *widget;")],
    "model": [("sqlite3", "#include <sqlite3.h>\nstatic sqlite3 *book;"),
              ("cairo", "#include <cairo.h>\nstatic cairo_t *cr;"),
              ("gtk4", "#include <gtk/gtk.h>\nstatic GtkWidget *widget;")],
}

for layer, breaches in BREACHES.items():
    fence = ["-include", str(source / "src" / layer / "fence.h")]
    for package, line in breaches:
        free, why = compiles(line + "\n", *pkg(package))
        held, _ = compiles(line + "\n", *fence, *pkg(package))
        check(f"{layer}: the fence holds back {package}", free and not held,
              why if not free else "it compiled behind the fence")
    clean, why = compiles("#include <glib.h>\nint main (void) { return 0; }\n", *fence, *pkg("glib-2.0"))
    check(f"{layer}: the fence lets plain GLib through", clean, why)

# No type of SQLite in what store shows to others.
for header in sorted((source / "src/store").glob("*.h")):
    if header.name in ("fence.h",) or header.name.endswith("-private.h"):
        continue
    ok, why = compiles(f'#pragma GCC poison sqlite3 sqlite3_stmt sqlite3_value\n#include "{header.name}"\n',
                       f"-I{source / 'src/store'}", f"-I{source / 'src/core'}", *pkg("glib-2.0", "gio-2.0"))
    check(f"store: {header.name} shows no type of SQLite", ok, why)

# The compiler's own command lines: the fence forced in, and no foreign include path.
commands = json.loads((build / "compile_commands.json").read_text())
seen = set()
wrong = []
for entry in commands:
    path = (pathlib.Path(entry["directory"]) / entry["file"]).resolve()
    try:
        layer = path.relative_to(source / "src").parts[0]
    except ValueError:
        continue
    seen.add(layer)
    args = shlex.split(entry["command"])
    if layer in BREACHES and str(source / "src" / layer / "fence.h") not in args:
        wrong.append(f"{path.name}: no fence on its command line")
    for arg in args:
        if not arg.startswith("-I"):
            continue
        folder = (pathlib.Path(entry["directory"]) / arg[2:]).resolve()
        for root in (source / "src", build / "src"):
            if folder == root:
                wrong.append(f"{path.name}: src itself is on its path")
            if root in folder.parents:
                other = folder.relative_to(root).parts[0]
                if other != layer and other not in MAY[layer]:
                    wrong.append(f"{path.name}: the path of {other} reaches {layer}")
check("every command line has its fence and only the paths it may have", not wrong, "\n".join(wrong))
check("the layers were found in the build", "core" in seen, str(seen))

foreign, _ = compiles('#include "store-book.h"\n', f"-I{source / 'src/core'}", *pkg("glib-2.0"))
check("core: a header of store is not found on core's path", not foreign)

# Symbols: an archive asks only for what its layer may use.
ALLOW_CORE = [line.split("#")[0].strip() for line in
              (source / "tests/fences/core.allow").read_text().splitlines()]
ALLOW_CORE = [re.compile(p + r"\Z") for p in ALLOW_CORE if p]
DENY = {
    "core": [],
    "store": [r"gtk_", r"gdk_", r"cairo_", r"pango_"],
    "draw": [r"sqlite3_", r"gtk_", r"gdk_"],
    "document": [r"sqlite3_", r"gtk_", r"gdk_"],
    "exchange": [r"sqlite3_", r"gtk_", r"gdk_", r"cairo_", r"pango_"],
    "model": [r"sqlite3_", r"gtk_", r"gdk_", r"cairo_", r"pango_"],
    "ctl": [r"sqlite3_", r"gtk_", r"gdk_"],
    "desk": [r"sqlite3_"],
}
SANITIZER = re.compile(r"(__asan_|__ubsan_|__sanitizer_|__lsan_|__odr_asan|__cov|__gcov|__llvm|__sancov)")


def symbols(archive):
    undefined, defined = set(), set()
    out = subprocess.run(["nm", str(archive)], capture_output=True, text=True).stdout
    for line in out.splitlines():
        parts = line.split()
        if len(parts) == 2 and parts[0] == "U":
            undefined.add(parts[1].split("@")[0])
        elif len(parts) == 3:
            defined.add(parts[2])
    return {s for s in undefined - defined if not SANITIZER.match(s)}


def allowed(symbol):
    return any(p.match(symbol) for p in ALLOW_CORE)


for layer, denied in DENY.items():
    archive = build / "src" / layer / f"libtundish-{layer}.a"
    if not archive.exists():
        continue
    asked = symbols(archive)
    if layer == "core":
        bad = sorted(s for s in asked if not allowed(s))
    else:
        bad = sorted(s for s in asked if any(re.match(p, s) for p in denied))
    check(f"{layer}: the archive asks for no foreign symbol", not bad, "\n".join(bad))
for symbol in ("time", "fopen", "setlocale", "g_get_real_time", "g_date_time_new_now_utc", "g_file_get_contents",
               "sqlite3_open", "g_object_new", "printf", "strtod", "g_strtod", "g_strerror"):
    check(f"core: the allow-list refuses {symbol}", not allowed(symbol))

# Includes and words that no compiler stops.
bad = []
for path in sorted((source / "src").rglob("*.[ch]")):
    text = path.read_text()
    for number, line in enumerate(text.splitlines(), 1):
        if re.match(r'\s*#\s*include\s*["<][^">]*\.\.', line):
            bad.append(f"{path.name}:{number}: '..' in an include")
        if path.relative_to(source / "src").parts[0] != "store" and path.name != "fence.h" and \
                re.search(r"\bsqlite3_|\bSELECT\b.*\bFROM\b|\bINSERT INTO\b|\bUPDATE\b.*\bSET\b", line):
            bad.append(f"{path.name}:{number}: SQL outside store")
check("no '..' in an include, no SQL outside store", not bad, "\n".join(bad))

print(f"1..{count}")
sys.exit(1 if failures else 0)
