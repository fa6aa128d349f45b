#!/usr/bin/env python3
"""The papers of a bar: every faucet is on them, in the language of the site, the same bytes each time.

usage: test-bar.py TUNDISHCTL SOURCE_ROOT
"""
import json
import pathlib
import subprocess
import sys

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
source = pathlib.Path(sys.argv[2])
book = ctl.path / "demo.tundish"
NOW = ["--now", "2026-06-15T13:00:00+01:00"]
ctl.run("demo", book, status=0)


def text(path):
    return subprocess.run(["pdftotext", "-layout", str(ctl.path / path), "-"], capture_output=True, text=True).stdout


sheet = json.loads((source / "data/demo/two-lanterns-bar.site.json").read_text())
ctl.run("labels", "two-lanterns-bar", "-o", "l.pdf", "--book", book, *NOW, status=0)
ctl.run("linemap", "two-lanterns-bar", "-o", "m.pdf", "--book", book, *NOW, status=0)
faucets = sum(1 + len(line.get("side_faucets", [])) for line in sheet["lines"])
labels = text("l.pdf")
# The word stands on both sides of each label.
tap.check("a label for each faucet, readable from both sides", labels.count("DO NOT POUR") in (faucets, 2 * faucets), labels)
tap.check("each has its fields", labels.count("Name and signature") == faucets and labels.count("Time") == faucets)
map_text = text("m.pdf")
tap.check("every beer is on the map", all(line["product"] in map_text for line in sheet["lines"] if "product" in line),
          map_text)
for name in ("l.pdf", "m.pdf"):
    done = subprocess.run(["qpdf", "--check", str(ctl.path / name)], capture_output=True, text=True)
    tap.check(f"{name} is sound", done.returncode == 0, done.stdout + done.stderr)
first = (ctl.path / "l.pdf").read_bytes()
ctl.run("labels", "two-lanterns-bar", "-o", "l2.pdf", "--book", book, *NOW, status=0)
tap.check("the same bytes again", (ctl.path / "l2.pdf").read_bytes() == first)
done = subprocess.run([ctl.program, "labels", "two-lanterns-bar", "-o", "-", "--book", str(book), *NOW],
                      capture_output=True, env=ctl.env, cwd=ctl.path)
tap.check("- is standard output", done.stdout == first, done.stderr)

# The language is the site's, or the one that is asked for.
(ctl.path / "xx.po").write_text('msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\n'
                                'msgid "DO NOT POUR"\nmsgstr "NICHT ZAPFEN"\n\n'
                                'msgid "Keg stands in"\nmsgstr "Fass steht in"\n')
folder = ctl.path / "locale" / "de" / "LC_MESSAGES"
folder.mkdir(parents=True)
subprocess.run(["msgfmt", "-o", str(folder / "tundish.mo"), str(ctl.path / "xx.po")], check=True)
ctl.env["TUNDISH_LOCALE_DIR"] = str(ctl.path / "locale")
ctl.run("labels", "two-lanterns-bar", "-o", "g.pdf", "--language", "de", "--book", book, *NOW, status=0)
tap.check("the language that is asked for", "NICHT ZAPFEN" in text("g.pdf") and "DO NOT POUR" not in text("g.pdf"))
sheet["site"]["language"] = "de-AT"
(ctl.path / "s.site.json").write_text(json.dumps(sheet))
ctl.run("import", "s.site.json", "--book", book, *NOW, status=0)
ctl.run("linemap", "two-lanterns-bar", "-o", "g.pdf", "--book", book, *NOW, status=0)
tap.check("the language of the site", "steht in" in text("g.pdf"), text("g.pdf"))

# Wrong use and refusals.
tap.check("no file is wrong use", ctl.run("labels", "two-lanterns-bar", "--book", book).returncode == 2)
tap.check("an unknown paper is wrong use",
          ctl.run("labels", "two-lanterns-bar", "-o", "x.pdf", "--paper", "a9", "--book", book).returncode == 2)
done = ctl.run("linemap", "nowhere", "-o", "x.pdf", "--book", book)
tap.check("an unknown site is refused and nothing written",
          done.returncode == 1 and "nowhere" in done.stderr and not (ctl.path / "x.pdf").exists(), done.stderr)
tap.done()
