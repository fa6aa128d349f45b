#!/usr/bin/env python3
"""The shape of the source: length of files and functions, complexity, words that mean unfinished work.

usage: shape.py SOURCE_DIR
"""
import pathlib
import re
import statistics
import subprocess
import sys

source = pathlib.Path(sys.argv[1]).resolve()
MAX_FILE, MAX_FUNCTION, MAX_COMPLEXITY, MEDIAN = 800, 70, 20, 200
count = failures = 0


def check(name, bad):
    global count, failures
    count += 1
    print(f"{'not ok' if bad else 'ok'} {count} - {name}")
    failures += bool(bad)
    for line in bad[:20]:
        print("# " + line)


files = sorted(p for folder in ("src", "tests") for p in (source / folder).rglob("*.[ch]"))
ours = [p for p in files if (source / "src") in p.parents]
lengths = {p: len(p.read_text().splitlines()) for p in files}
check(f"no file over {MAX_FILE} lines",
      [f"{p.relative_to(source)}: {n}" for p, n in lengths.items() if n > MAX_FILE])
median = statistics.median(lengths[p] for p in ours)
check(f"median file of src at most {MEDIAN} lines", [f"median {median}"] if median > MEDIAN else [])

long, tangled = [], []
out = subprocess.run(["pmccabe", *map(str, [p for p in files if p.suffix == ".c"])],
                     capture_output=True, text=True, check=True).stdout
for line in out.splitlines():
    parts = line.split("\t")
    complexity, lines, place = int(parts[0]), int(parts[4]), parts[5]
    name = place.replace(str(source) + "/", "")
    if complexity > MAX_COMPLEXITY:
        tangled.append(f"{name}: complexity {complexity}")
    # pmccabe counts from the name to the closing brace.
    if lines > MAX_FUNCTION:
        long.append(f"{name}: {lines} lines")
check(f"no function over {MAX_FUNCTION} lines", long)
check(f"no function over {MAX_COMPLEXITY} paths", tangled)

unfinished = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b|not implemented")
bad = []
for p in files + sorted((source / "ui").rglob("*.ui")):
    for number, text in enumerate(p.read_text().splitlines(), 1):
        if unfinished.search(text):
            bad.append(f"{p.relative_to(source)}:{number}: {text.strip()[:80]}")
check("no open ends in the source", bad)

bad = []
for p in sorted((source / "src").rglob("*.c")):
    includes = re.findall(r'^#include\s+["<]([^">]+)[">]', p.read_text(), re.M)
    own = p.stem + ".h"
    if (p.parent / own).exists() and includes and includes[0] != own:
        bad.append(f"{p.relative_to(source)}: its own header is not the first include")
check("a file includes its own header first", bad)

machine = re.compile(r"(^|[^A-Za-z.])/(root|home|mnt|work|srv)/[a-z.]")
bad = []
tracked = subprocess.run(["git", "-C", str(source), "ls-files"], capture_output=True, text=True)
for name in tracked.stdout.splitlines():
    p = source / name
    if p.suffix in (".svg", ".png", ".pdf", ".tundish") or not p.is_file():
        continue
    try:
        text = p.read_text()
    except UnicodeDecodeError:
        continue
    for number, line in enumerate(text.splitlines(), 1):
        if machine.search(line) and p.name != "shape.py":
            bad.append(f"{name}:{number}")
check("no path of a machine in the tree", bad)
TOP = {"README.md", "DEVELOPERS.md", "meson.build", "src", "ui", "data", "tests", "po"}
extra = {n.split("/")[0] for n in tracked.stdout.splitlines()} - TOP
check("the top level holds the agreed entries only", sorted(e for e in extra if not e.startswith(".")))

print(f"1..{count}")
sys.exit(1 if failures else 0)
