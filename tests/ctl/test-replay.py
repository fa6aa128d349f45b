#!/usr/bin/env python3
"""Whole visits, taken by `record` without a refusal and ending closed.

usage: test-replay.py TUNDISHCTL REPLAY_FOLDER
"""
import json
import pathlib
import sys

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
replays = sorted(pathlib.Path(sys.argv[2]).glob("*.jsonl"))
tap.check("there are replays", len(replays) >= 3)
book = ctl.path / "replay.tundish"
ctl.run("demo", book, status=0)
for replay in replays:
    text = replay.read_text()
    entries = [json.loads(line) for line in text.splitlines() if line.strip()]
    done = ctl.run("record", "--book", book, stdin=text)
    tap.check(f"{replay.name}: taken whole", done.returncode == 0 and "refused" not in done.stdout,
              done.stderr)
    tap.check(f"{replay.name}: an ok for each entry",
              [line for line in done.stdout.splitlines() if line.startswith("ok ")] ==
              [f"ok {n}" for n in range(1, len(entries) + 1)])
    for visit in dict.fromkeys(entry["visit"] for entry in entries):
        rows = [v for v in ctl.json("visits", "--book", book, "--json") if v["id"] == visit]
        tap.check(f"{replay.name}: closed", len(rows) == 1 and rows[0]["state"] == "closed", rows)
        count = ctl.run("record", "--count", visit, "--book", book, status=0).stdout.strip()
        tap.check(f"{replay.name}: all counted", count == str(sum(e["visit"] == visit for e in entries)), count)

first = ctl.json("report", json.loads(replays[0].read_text().splitlines()[0])["visit"], "--book", book, "--json")
lines = {str(line["id"]): line for line in first["lines"]}
tap.check("the first replay: line 4 ran in, reversed and restored",
          lines["A4"]["direction"] == "in" and lines["A4"]["reversed"] and lines["A4"]["restored"], lines["A4"])
tap.check("the first replay: line 2 ran out in the same circuit",
          lines["A2"]["direction"] == "out" and lines["A2"]["method"] == "circulating", lines["A2"])
tap.check("the first replay: line 6 was held static", lines["B6"]["method"] == "static", lines["B6"])
tap.check("the first replay: a tag was lifted and hung again",
          any(lift["again_at"] for tag in first["lockouts"] for lift in tag["lifted"]), first["lockouts"])
tap.check("the first replay: faults are told", len(first["faults"]) >= 1)
tap.check("the first replay: no stop stands", not any(f["severity"] == "stop" for f in first["findings"]))
again = ctl.run("record", "--book", book, stdin=replays[0].read_text())
tap.check("the same visit is refused a second time", again.returncode == 1 and "ok " not in again.stdout, again.stdout)
done = ctl.run("check", "--book", book)
tap.check("check passes", done.returncode == 0, done.stdout + done.stderr)
tap.done()
