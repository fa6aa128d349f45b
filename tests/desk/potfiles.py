#!/usr/bin/env python3
"""Every file with words for people is named in po/POTFILES.in, and every translation holds together.

usage: potfiles.py SOURCE_DIR
"""
import pathlib
import re
import subprocess
import sys

source = pathlib.Path(sys.argv[1])
count = failures = 0


def check(name, bad):
    global count, failures
    count += 1
    failures += bool(bad)
    print(f"{'not ok' if bad else 'ok'} {count} - {name}")
    for line in bad[:20]:
        print("# " + line)


listed = {line for line in (source / "po/POTFILES.in").read_text().splitlines() if line and not line.startswith("#")}
marked = re.compile(r"\b(N_|_|C_|NC_|g_dngettext|ngettext|dngettext)\s*\(\s*(GETTEXT_PACKAGE,\s*)?\"")
found = set()
for path in sorted(source.glob("src/**/*")):
    if path.suffix in (".c", ".h", ".def") and marked.search(path.read_text()):
        found.add(str(path.relative_to(source)))
for path in sorted(source.glob("ui/**/*.ui")):
    if 'translatable="yes"' in path.read_text():
        found.add(str(path.relative_to(source)))
for path in sorted(source.glob("data/*.in*")):
    if path.suffix == ".in" and path.name.endswith((".desktop.in.in", ".metainfo.xml.in.in")):
        found.add(str(path.relative_to(source)))
    if path.name.endswith(".gschema.xml.in"):
        found.add(str(path.relative_to(source)))
check("every file with words for people is listed", sorted(found - listed))
check("every file listed is there", sorted(f for f in listed if not (source / f).is_file()))
for language in (source / "po/LINGUAS").read_text().split("\n"):
    if not language or language.startswith("#"):
        continue
    done = subprocess.run(["msgfmt", "--check", "--statistics", "-o", "/dev/null", source / f"po/{language}.po"],
                          capture_output=True, text=True)
    check(f"{language}: msgfmt --check ({done.stderr.strip().splitlines()[-1] if done.stderr else ''})",
          done.stderr.splitlines() if done.returncode else [])
print(f"1..{count}")
sys.exit(1 if failures else 0)
