#!/usr/bin/env python3
"""What was answered with ok is on the disk, whenever the writer is killed.

usage: test-kills.py TUNDISHCTL REPLAY_FOLDER [KILLS]

A whole visit is fed to `record` and the process is killed with SIGKILL at a moment that chance picks: after
some acknowledged entries, in the middle of the next. The next writer goes on from what `record --count`
says; at the end the visit must be the same as one that was never disturbed, and `check` must pass.
"""
import json
import pathlib
import random
import signal
import subprocess
import sys
import time

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
replay = sorted(pathlib.Path(sys.argv[2]).glob("*.jsonl"))[0]
wanted = int(sys.argv[3]) if len(sys.argv) > 3 else 300
chance = random.Random(20260302)
lines = [line for line in replay.read_text().splitlines() if line.strip()]

book = ctl.path / "kills.tundish"
ctl.run("demo", book, status=0)


def with_visit(text, number):
    """The same visit under another name, so that the book can take it many times."""
    entry = json.loads(text)
    entry["visit"] = f"01900000-0000-7000-8000-{number:012x}"
    return json.dumps(entry)


def count(visit):
    done = ctl.run("record", "--count", visit, "--book", book)
    return int(done.stdout) if done.returncode == 0 else 0


def kill_once(todo):
    """Feeds the entries, kills the writer at some moment, returns how many were acknowledged."""
    process = subprocess.Popen([ctl.program, "record", "--book", str(book)], stdin=subprocess.PIPE,
                               stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=ctl.env, text=True)
    patience = min(chance.choice([0, 0, 1, 2, 3, 5]), len(todo))
    try:
        process.stdin.write("\n".join(todo[:patience + 8]) + "\n")
        process.stdin.flush()
    except BrokenPipeError:
        pass
    for _ in range(patience):
        if not process.stdout.readline().startswith("ok "):
            raise AssertionError("an entry of the replay was refused")
    time.sleep(chance.random() * 0.004)
    process.send_signal(signal.SIGKILL)
    rest = process.stdout.read()
    process.wait()
    return patience + sum(1 for line in rest.splitlines() if line.startswith("ok "))


kills, number = 0, 0
lost, invented, refused = [], [], []
finished = []
while kills < wanted:
    number += 1
    entries = [with_visit(line, number) for line in lines]
    visit = json.loads(entries[0])["visit"]
    at = 0
    while at < len(entries) and kills < wanted:
        acknowledged = kill_once(entries[at:])
        kills += 1
        now = count(visit)
        if now < at + acknowledged:
            lost.append(f"visit {number}: {at + acknowledged} acknowledged, {now} there")
        if now > at + acknowledged + 13:
            invented.append(f"visit {number}: {now} entries, {at} before the run")
        at = now
    if at < len(entries):
        done = ctl.run("record", "--book", book, stdin="\n".join(entries[at:]) + "\n")
        if done.returncode != 0:
            refused.append(done.stderr[:400])
    finished.append(visit)

tap.check(f"{kills} kills: nothing that was acknowledged is lost", not lost, "\n".join(lost))
tap.check("nothing stands there that was not sent", not invented, "\n".join(invented))
tap.check("each visit could be finished after its kills", not refused, "\n".join(refused))
states = {row["id"]: row for row in ctl.json("visits", "--book", book, "--json")}
tap.check("each of them is closed", all(states[v]["state"] == "closed" for v in finished),
          [states[v] for v in finished if states[v]["state"] != "closed"])
tap.check("each has all its entries", all(count(v) == len(lines) for v in finished))
done = ctl.run("check", "--book", book)
tap.check("check passes afterwards", done.returncode == 0, done.stdout + done.stderr)
numbers = sorted(states[v]["number"] for v in finished)
tap.check("no report number was given twice", len(set(numbers)) == len(numbers), numbers)
tap.done()
