#!/usr/bin/env python3
"""A stranger can verify the seal of every closed visit, and sees a changed byte.

usage: test-seal.py TUNDISHCTL SEAL_SCRIPT
"""
import json
import pathlib
import subprocess
import sys

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
script = sys.argv[2]
book = ctl.path / "seal.tundish"
ctl.run("demo", book, "--visits", "6", status=0)
text_file, json_file = ctl.path / "text", ctl.path / "report.json"


def verify():
    return subprocess.run([sys.executable, script, text_file, json_file], capture_output=True, text=True)


lines = len(pathlib.Path(script).read_text().splitlines())
tap.check("the stranger's script has at most 80 lines", lines <= 80, lines)
closed = [v for v in ctl.json("visits", "--book", book, "--json") if v["state"] == "closed"]
tap.check("there are closed visits", len(closed) >= 7, len(closed))
seals, previous = {}, []
for visit in closed:
    done = ctl.run("report", visit["id"], "--book", book, "--sealed-text", status=0)
    text_file.write_text(done.stdout)
    report = ctl.run("report", visit["id"], "--book", book, "--json", status=0).stdout
    json_file.write_text(report)
    outcome = verify()
    if not tap.check(f"seal of {visit['number']}", outcome.returncode == 0, outcome.stdout):
        continue
    seals[outcome.stdout.strip()] = visit["number"]
    previous.append(json.loads(report)["previous_seal"])
tap.check("every seal is another", len(seals) == len(closed))
tap.check("the chain starts once and each link is a seal of the book",
          previous.count(None) == 1 and all(p is None or p in seals for p in previous), previous)

data = bytearray(text_file.read_bytes())
missed = []
for at in range(0, len(data), max(1, len(data) // 97)):
    changed = bytearray(data)
    changed[at] ^= 0x01
    text_file.write_bytes(changed)
    if verify().returncode == 0:
        missed.append(at)
tap.check("a changed byte is seen", not missed, missed)
opened = [v for v in ctl.json("visits", "--book", book, "--json") if v["state"] == "open"]
done = ctl.run("report", opened[0]["id"], "--book", book, "--sealed-text")
tap.check("an open visit has no sealed text", done.returncode == 1 and done.stderr != "", done.stderr)
tap.done()
