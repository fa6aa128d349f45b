#!/usr/bin/env python3
"""Recomputes the seal of a visit from what `report` prints, with nothing of Tundish's own code.

usage: seal.py SEALED_TEXT_FILE REPORT_JSON_FILE

The seal is the SHA-256 of the sealed text, byte for byte. The text is: a version line, the previous seal of
the same device, then two lines an entry: its envelope and its body, both JSON with sorted keys and no spaces.
Exits 0 and prints the seal where text, report and the form of the text agree; 1 and a reason otherwise.
"""
import hashlib
import json
import sys


def fail(reason):
    print(reason)
    sys.exit(1)


text = open(sys.argv[1], "rb").read()
report = json.load(open(sys.argv[2], encoding="utf-8"))
seal = hashlib.sha256(text).hexdigest()
if seal != report["seal"]:
    fail(f"the text gives {seal}, the report says {report['seal']}")

lines = text.decode("utf-8").split("\n")
if lines[0] != "tundish-seal/1":
    fail(f"unknown version line {lines[0]!r}")
if lines[1] != "previous " + (report["previous_seal"] or "none"):
    fail(f"{lines[1]!r} is not the report's previous seal")
if lines[-1] != "":
    fail("the text does not end with a line feed")
pairs = lines[2:-1]
if len(pairs) % 2:
    fail("an entry without a body")


def canonical(value):
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


for number in range(len(pairs) // 2):
    envelope, body = (json.loads(line) for line in pairs[2 * number:2 * number + 2])
    if envelope["seq"] != number + 1:
        fail(f"entry {number + 1} bears the number {envelope['seq']}")
    if envelope["visit"] != report["visit"]:
        fail(f"entry {number + 1} belongs to another visit")
    if canonical(envelope) != pairs[2 * number] or canonical(body) != pairs[2 * number + 1]:
        fail(f"entry {number + 1} is not in canonical form")
if json.loads(pairs[-2])["kind"] != "closing":
    fail("the last entry is not the closing")
print(seal)
