#!/usr/bin/env python3
"""The command line keeps its contract: shapes, exit codes, refusals, and nothing written after a refusal.

usage: test-contract.py TUNDISHCTL SOURCE_ROOT
"""
import hashlib
import json
import pathlib
import re
import sqlite3
import subprocess
import sys

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
source = pathlib.Path(sys.argv[2])
book = ctl.path / "demo.tundish"
ISO = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?[+-]\d\d:\d\d$")


def digest(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def dump(path):
    with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as db:
        return "\n".join(db.iterdump())


# Help and wrong use.
top = ctl.run("--help", status=0).stdout
commands = re.findall(r"^  ([a-z]+) ", top, re.M)
tap.check("help lists the commands", {"new", "demo", "import", "record", "visits", "report", "mix", "check",
                                      "backup", "restore", "due"} <= set(commands), commands)
for command in commands:
    tap.check(f"{command} --help", ctl.run(command, "--help").returncode == 0)
    tap.check(f"{command} with an unknown option is wrong use", ctl.run(command, "--no-such").returncode == 2)
tap.check("an unknown command is wrong use", ctl.run("pour").returncode == 2)

# Demo: deterministic.
ctl.run("demo", book, status=0)
twin = ctl.path / "twin.tundish"
ctl.run("demo", twin, status=0)
tap.check("demo gives the same book twice", dump(book) == dump(twin))
tap.check("demo does not write over a book", ctl.run("demo", book).returncode == 1)
tap.check("a book is its owner's alone", (book.stat().st_mode & 0o777) == 0o600, oct(book.stat().st_mode))
ctl.run("check", "--book", book, status=0)
# A year on, a lot of the moved past would bear the name of a later one, were it named by the month it moved to.
for now in ("2019-02-28T23:30:00-05:00", "2026-12-14T09:00:00Z", "2027-06-15T13:00:00+01:00",
            "2031-12-01T00:30:00+05:30"):
    moved = ctl.path / f"moved-{now[:4]}.tundish"
    ctl.run("demo", moved, "--now", now, status=0)
    states = {v["state"] for v in ctl.json("visits", "--book", moved, "--json", "--now", now)}
    tap.check(f"demo stands at {now}", states == {"open", "closed"}, states)
    tap.check(f"a site is overdue at {now}",
              any(d["days"] < 0 for d in ctl.json("due", "--book", moved, "--json", "--now", now)))
# 60 visits reach back past the company's first lots of chemical.
many = ctl.path / "many.tundish"
ctl.run("demo", many, "--visits", "60", status=0)
tap.check("demo --visits adds so many", len(ctl.json("visits", "--book", many, "--json")) ==
          len(ctl.json("visits", "--book", book, "--json")) + 60)
ctl.run("check", "--book", many, status=0)

visits = ctl.json("visits", "--book", book, "--json")
keys = {"id", "number", "account", "site", "date", "state", "amended_by", "findings"}
tap.check("visits have their keys", all(keys <= set(v) for v in visits))
tap.check("findings are counted by severity",
          all({"stop", "reason", "advice"} <= set(v["findings"]) for v in visits))
tap.check("one closed and one open visit at least", {v["state"] for v in visits} == {"open", "closed"})
tap.check("closed visits have a number, open ones none",
          all((v["number"] is not None) == (v["state"] == "closed") for v in visits))

due = ctl.json("due", "--book", book, "--json", "--now", "2026-06-15T13:00:00+01:00")
tap.check("due has its keys",
          all({"account", "site", "task", "last", "due", "days", "minutes"} <= set(d) for d in due))
tap.check("due tells the planned minutes", all(isinstance(d["minutes"], int) and 20 <= d["minutes"] <= 900 for d in due),
          [(d["site"], d["minutes"]) for d in due])
tap.check("a site is overdue", any(d["days"] < 0 and d["task"] == "caustic" for d in due), due)

# Reports.
TOP = {"visit", "number", "account", "site", "lines", "chemicals", "lockouts", "faults", "findings", "seal",
       "previous_seal"}
LINE = {"number", "tower", "method", "direction", "reversed", "restored", "contact_s", "required_s", "rinse_ph",
        "tap_ph", "left_out_reason"}
CHEMICAL = {"product", "product_id", "lot", "concentrate_ml", "water_ml", "percent", "basis", "known"}
LOCKOUT = {"tag", "kind", "place", "hung_by", "hung_at", "lifted", "removed_by", "removed_at"}
FAULT = {"line", "symptom", "extent", "cause", "severity", "text", "action"}
FINDING = {"code", "severity", "line", "text", "reason"}
texts = {}
reversal = None
for visit in visits:
    report = ctl.json("report", visit["id"], "--book", book, "--json")
    name = visit["number"] or "open"
    tap.check(f"{name}: report keys", TOP <= set(report), TOP - set(report))
    for part, wanted in (("lines", LINE), ("chemicals", CHEMICAL), ("lockouts", LOCKOUT), ("faults", FAULT),
                         ("findings", FINDING)):
        tap.check(f"{name}: {part}", all(wanted <= set(row) for row in report[part]),
                  [wanted - set(row) for row in report[part]][:1])
    times = [row[k] for row in report["lockouts"] for k in ("hung_at", "removed_at") if row[k]]
    times += [lift[k] for row in report["lockouts"] for lift in row["lifted"] for k in ("at", "again_at") if lift[k]]
    tap.check(f"{name}: times are ISO 8601 with offset", all(ISO.match(t) for t in times), times)
    tap.check(f"{name}: amounts are integers",
              all(isinstance(c[k], int) for c in report["chemicals"] for k in ("concentrate_ml", "water_ml")))
    tap.check(f"{name}: seal and state agree", (report["seal"] is not None) == (visit["state"] == "closed"))
    for fault in report["faults"]:
        texts.setdefault(fault["text"], []).append(visit["id"])
    if visit["state"] == "closed" and report["lockouts"] and any(li["reversed"] for li in report["lines"]):
        for fault in report["faults"]:
            reversal = (visit["id"], fault["text"])
tap.check("a closed visit has a reversal, tags, and a fault told nowhere else",
          reversal is not None and any(len(v) == 1 for t, v in texts.items()), reversal)

# record: refusals leave nothing, the rest goes on.
open_visit = next(v for v in visits if v["state"] == "open")
before = int(ctl.run("record", "--count", open_visit["id"], "--book", book, status=0).stdout)
note = {"visit": open_visit["id"], "kind": "note", "happened": "2026-06-15T13:05:00+01:00", "person": "someone"}
inputs = [dict(note, text="first"), dict(note), dict(note, text="third", colour="red"), "{", dict(note, text=4),
          dict(note, kind="dance", text="x"), dict(note, happened="yesterday", text="x"),
          {"visit": open_visit["id"], "kind": "tag-removed", "happened": note["happened"], "person": "someone",
           "tag": "NEVER"},
          {"visit": open_visit["id"], "kind": "fob-rinsed", "happened": note["happened"], "person": "someone",
           "lines": ["ZZ9"]},
          dict(note, text="last")]
done = ctl.run("record", "--book", book,
               stdin="".join((i if isinstance(i, str) else json.dumps(i)) + "\n" for i in inputs))
answers = done.stdout.splitlines()
tap.check("an answer a line", len(answers) == len(inputs), done.stdout)
tap.check("the good ones are taken, the others refused with a reason",
          [a.split()[0] for a in answers] == ["ok"] + ["refused"] * 8 + ["ok"] and
          all(re.match(r"refused \d+: .{10,}", a) for a in answers[1:-1]), done.stdout)
tap.check("after a refusal the end is 1", done.returncode == 1)
after = int(ctl.run("record", "--count", open_visit["id"], "--book", book, status=0).stdout)
tap.check("nothing of a refused entry stays", after == before + 2, (before, after))
closed = next(v for v in visits if v["state"] == "closed")
done = ctl.run("record", "--book", book, stdin=json.dumps(dict(note, visit=closed["id"], text="late")) + "\n")
tap.check("a closed visit takes nothing more", done.returncode == 1 and done.stdout.startswith("refused 1: "))
closing = {"visit": open_visit["id"], "kind": "closing", "happened": note["happened"], "person": "someone"}
done = ctl.run("record", "--book", book, stdin=json.dumps(closing) + "\n")
tap.check("a visit with open stops is not closed", done.returncode == 1 and done.stdout.startswith("refused 1: "))
ctl.run("check", "--book", book, status=0)

# The clock can be pinned on a test book only.
plain = ctl.path / "plain.tundish"
ctl.run("new", plain, status=0)
done = ctl.run("visits", "--book", plain, "--now", "2026-01-01T00:00:00Z")
tap.check("--now is refused on a real book", done.returncode == 1 and done.stderr != "", done.stderr)
tap.check("--now wants a time", ctl.run("due", "--book", book, "--now", "noon").returncode == 2)
tap.check("--book wants a name", ctl.run("due", "--book", "").returncode == 2)
done = ctl.run("report", "--book", book)
tap.check("what is missing is named", done.returncode == 2 and "VISIT is missing" in done.stderr, done.stderr)

# Without --book it is the user's own book, made when it is first wanted.
done = ctl.run("import", source / "data/demo/kestrel-yard.site.json", status=0)
own = list((ctl.path / "data").rglob("*.tundish"))
tap.check("the user's own book is made in the data directory, for its owner alone",
          len(own) == 1 and (own[0].stat().st_mode & 0o777) == 0o600 and str(own[0]) in done.stderr, done.stderr)
tap.check("and used from then on", len(ctl.json("due", "--json")) > 0 and ctl.json("visits", "--json") == [])
tap.check("its times cannot be pinned", ctl.run("due", "--now", "2026-01-01T00:00:00Z").returncode == 1)

# The round as a calendar, RFC 5545: a day each, what is overdue at today.
calendar = ctl.path / "round.ics"
NOW = "2026-06-15T13:00:00+01:00"
rows = ctl.json("due", "--book", book, "--json", "--now", NOW)
ctl.run("due", "--book", book, "--now", NOW, "--ics", calendar, status=0)
text = calendar.read_bytes().decode()
starts = re.findall(r"DTSTART;VALUE=DATE:(\d{8})\r\n", text)
tap.check("the calendar has each of the round", len(starts) == len(rows) > 0, text[:400])
tap.check("none of its days is gone by", min(starts) == "20260615", starts)
tap.check("each has its own UID", len(set(re.findall(r"\r\nUID:.*\r\n", text))) == len(rows))
tap.check("a calendar that cannot be written is told",
          ctl.run("due", "--book", book, "--ics", ctl.path / "none" / "x.ics").returncode == 1)

# What could not be printed is no success.
for words in (["visits", "--book", book], ["due", "--book", book], ["check", "--book", book],
              ["settings", "--book", book], ["--help"], ["visits", "--book", book, "--json"],
              ["mix", "--concentrate", "30", "--target", "2", "--total", "5"]):
    with open("/dev/full", "w") as full:
        done = subprocess.run([ctl.program, *map(str, words)], stdout=full, stderr=subprocess.PIPE, env=ctl.env)
    tap.check(f"{words[0]} into a full disk is refused", done.returncode == 1 and done.stderr, done.stderr)

# import: all or nothing, errors with their place.
sheet = source / "data/demo"
bad = ctl.path / "bad.site.json"
good = sorted(sheet.glob("*.site.json"))[0].read_text()
bad.write_text(good.replace('"beer_pump"', '"beer_pomp"', 1))
state = dump(plain)
done = ctl.run("import", bad, "--book", plain)
tap.check("an unknown key is named with its line",
          done.returncode == 1 and "beer_pomp" in done.stderr and re.search(r"line \d+, column \d+", done.stderr),
          done.stderr)
tap.check("nothing of it stays", dump(plain) == state)
for path in sorted(sheet.glob("*.json")):
    ctl.run("import", path, "--book", plain, status=0)
state = dump(plain)
again = ctl.run("import", *sorted(sheet.glob("*.json")), "--book", plain, status=0)
tap.check("importing the same again changes nothing", dump(plain) == state, again.stdout)
accounts = ctl.path / "accounts.csv"
accounts.write_text('name,address\r\n"Harbour, Sons & Co","1 Quay ""North"""\r\n')
ctl.run("import", accounts, "--book", plain, status=0)
accounts.write_text('name,address\r\n"broken\r\n')
done = ctl.run("import", accounts, "--book", plain)
tap.check("a broken CSV names its line", done.returncode == 1 and "line" in done.stderr, done.stderr)

accounts.write_text("name;address\nHarbour;Quay\n")
done = ctl.run("import", accounts, "--book", plain)
tap.check("semicolons are told from commas", done.returncode == 1 and "commas" in done.stderr, done.stderr)
shouting = ctl.path / "ACCOUNTS.CSV"
shouting.write_text("name\nHarbour\n")
ctl.run("import", shouting, "--book", plain, status=0)

# backup and restore.
copy = ctl.path / "copy.tundish"
ctl.run("backup", book, copy, status=0)
ctl.run("check", "--book", copy, status=0)
tap.check("the copy lists the same visits",
          [v["id"] for v in ctl.json("visits", "--book", copy, "--json")] == [v["id"] for v in visits])
tap.check("restore refuses an existing book", ctl.run("restore", copy, book).returncode == 1)
back = ctl.path / "back.tundish"
ctl.run("restore", copy, back, status=0)
ctl.run("check", "--book", back, status=0)

# Files that are no books: one sentence, and left as they were.
for name, content in (("empty", b""), ("text", b"not a book\n"), ("noise", bytes(range(256)) * 40)):
    path = ctl.path / name
    path.write_bytes(content)
    done = ctl.run("visits", "--book", path)
    tap.check(f"{name} file: refused in a sentence, left as it was",
              done.returncode == 1 and len(done.stderr.strip().splitlines()) >= 1 and path.read_bytes() == content,
              done.stderr)
tap.check("a book that is not there is refused", ctl.run("visits", "--book", ctl.path / "none").returncode == 1)

# Figures carry a point in every locale.
locales = ctl.path / "locales"
locales.mkdir()
made = subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", str(locales / "de_DE.UTF-8")], capture_output=True)
question = ["mix", "--concentrate", "2.5", "--target", "30.5", "--water", "10"]
plain_words = ctl.run(*question).stderr
ctl.env.update(LOCPATH=str(locales), LC_ALL="de_DE.UTF-8")
german = ctl.run(*question).stderr
del ctl.env["LOCPATH"]
ctl.env["LC_ALL"] = "C.UTF-8"
tap.check("a German locale changes no figure", made.returncode in (0, 1) and german == plain_words and "30.5" in german,
          german + made.stderr.decode())

# mix: 20.000 L of 2 % w/w at 20 C from 50 % w/w (1.5253 g/mL) takes 535.3 mL
# (arithmetic on CRC and Perry densities).
mix = ctl.json("mix", "--concentrate", "50", "--density", "1.5253", "--target", "2", "--total", "20", "--json")
tap.check("mix: the worked example", abs(mix["concentrate_ml"] - 535.3) < 0.5, mix)
tap.check("mix: its keys", {"concentrate_ml", "concentrate_g", "water_l", "percent_w_w"} <= set(mix), mix)
tap.check("mix: a target above the concentrate is refused",
          ctl.run("mix", "--concentrate", "2", "--target", "30", "--water", "10", "--json").returncode == 1)
for figure in ("0x10", "1,5", "nan", "inf", "", " 1", "1 "):
    tap.check(f"mix: {figure!r} is no figure",
              ctl.run("mix", "--concentrate", "30", "--target", "2", "--water", figure).returncode == 2)
# 3 ft of 3/16 in vinyl and 4 ft of rise take 11 psi, 75.8 kPa (Brewers Association, Draught Beer Quality Manual).
done = ctl.run("balance", "--temperature-c", "3.33", "--volumes", "2.5", "--rise-m", "1.2192",
               "--segment", "vinyl:4.7625:0.9144", status=0)
tap.check("balance: the table tells restriction and rise", "75.8 kPa together" in done.stdout, done.stdout)
tap.check("mix: both water and total is wrong use",
          ctl.run("mix", "--concentrate", "30", "--target", "2", "--water", "10", "--total", "5").returncode == 2)
# What a plan will be like, and the work around it.
sheet = source / "data" / "demo" / "two-lanterns-bar.site.json"
plan = ctl.json("plan", sheet, "--set", "beer-price-minor-l=480")
outlook = plan["outlook"]
tap.check("minutes are whole", isinstance(plan["totals"]["minutes"], int) and plan["totals"]["minutes"] == outlook["minutes"])
tap.check("each circuit says when its chemical has to be in", len(outlook["circuits"]) == plan["totals"]["circuits"] and
          all(c["latest_before_opening_s"] > 0 and c["fronts"][-1]["s"] > c["fronts"][0]["s"] for c in outlook["circuits"]))
tap.check("solution, rinse water and beer lost are told", outlook["solution"]["reused_l"] <= outlook["solution"]["fresh_l"]
          and outlook["rinse"]["water_l"] > 0 and
          abs(outlook["beer"]["price_minor"] - 480 * outlook["beer"]["lost_l"]) <= 3, outlook["beer"])
tap.check("two technicians are no slower",
          ctl.json("plan", sheet, "--technicians", "2")["outlook"]["minutes"] <= outlook["minutes"])
text = ctl.run("plan", sheet, "--text", status=0).stdout
tap.check("the text has a chart with a row for each circuit",
          all(f"\ncircuit {c['number']}" in text for c in plan["circuits"]) and "technician 1" in text)
tap.check("an unknown setting is wrong use", ctl.run("plan", sheet, "--set", "no-such=1").returncode == 2)
tap.check("a mix beyond any barrel is refused",
          ctl.run("mix", "--concentrate", "50", "--target", "2", "--total", "1e300").returncode == 1)
blend = ctl.json("mix", "--concentrate", "30", "--target", "2", "--water", "20", "--cold-c", "10", "--hot-c", "60",
                 "--warm-c", "40", "--json")
tap.check("cold and hot water make the water", abs(blend["cold_water_l"] / blend["hot_water_l"] - 0.66) < 0.02 and
          abs(blend["cold_water_l"] + blend["hot_water_l"] - 20) < 0.2, blend)
# (2 x 26 - 27) x 0.04 = 1.000, (27 - 26) x 0.106: the usual rule for 50 mL and 0.5 N.
strength = ctl.json("strength", "--p-ml", "26", "--m-ml", "27", "--json")
tap.check("a titration", abs(strength["percent"] - 1.0) < 1e-6 and abs(strength["soda_percent"] - 0.106) < 1e-3, strength)
tap.check("total below the first end point is refused", ctl.run("strength", "--p-ml", "3", "--m-ml", "2").returncode == 1)
legs = next(c for c in plan["circuits"] if c["flow_l_min"])
lines = ",".join(leg["line"] for leg in legs["legs"])
agrees = ctl.json("diagnose", sheet, "--reading", f"{lines}={legs['flow_l_min']}", "--json")
tap.check("the planned flow agrees with the prediction", agrees["verdict"] == "agrees", agrees["words"])
slow = ctl.json("diagnose", sheet, "--reading", f"{lines}={0.6 * legs['flow_l_min']:.3f}", "--json")
tap.check("one slow flow of a whole circuit cannot tell", slow["verdict"] == "cannot-tell" and
          len([c for c in slow["causes"] if c["alike"]]) > 1, slow["words"])
tap.check("a reading of no line is wrong use", ctl.run("diagnose", sheet, "--reading", "nothing=3").returncode == 2)
tap.done()
