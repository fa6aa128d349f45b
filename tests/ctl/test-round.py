#!/usr/bin/env python3
"""The round from outside: what was missed or moved, a technician's day, and the calendar as another program reads it.

usage: test-round.py TUNDISHCTL

The calendar is read by libical (LGPL; an independent implementation of RFC 5545), and its bytes are looked at by
themselves, since libical forgives much.
"""
import ctypes
import datetime
import json
import re
import subprocess
import sys

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
book = ctl.path / "round.tundish"
ctl.run("demo", book, status=0)
NOON = "2026-06-16T12:00:00+01:00"


def due(now=NOON):
    return ctl.json("due", "--book", book, "--json", "--now", now)


def rows(site, now=NOON):
    return {row["task"]: row for row in due(now) if row["site"] == site}


# --- every task, in the site's own days
tasks = {row["task"] for row in due()}
tap.check("the round knows its five tasks", tasks == {"caustic", "acid", "faucets", "fob-coupler", "hose"}, tasks)
tap.check("days are from today to due", all(
    (datetime.date.fromisoformat(row["due"]) - datetime.date(2026, 6, 16)).days in (row["days"], row["days"] - 1, row["days"] + 1)
    for row in due()))
tap.check("minutes come from the plan", all(row["minutes"] and row["minutes"] > 10 for row in due()))

# --- missed and moved
heron = rows("The Tin Heron")
moved_day = (datetime.date(2026, 6, 18)).isoformat()
done = ctl.run("due", "move", "the-tin-heron", "--day", "2026-06-16", "--to", moved_day, "--book", book, "--now", NOON,
               "--person", "nora", "--reason", "The cellar is being painted")
tap.check("a visit can be moved", done.returncode == 0, done.stderr)
now = rows("The Tin Heron")
tap.check("and is shown where it went, with the reason", now["caustic"]["planned"] == moved_day
          and now["caustic"]["reason"] == "The cellar is being painted" and now["caustic"]["due"] == heron["caustic"]["due"], now)
tap.check("what is due long after stays", now["hose"]["planned"] == now["hose"]["due"], now["hose"])
ctl.run("due", "miss", "two-lanterns-bar", "--day", "2026-06-15", "--book", book, "--now", NOON, "--person", "nora",
        "--reason", "Nobody let us in", "--theirs", status=0)
ctl.run("due", "miss", "two-lanterns-bar", "--day", "2026-06-16", "--book", book, "--now", NOON, "--person", "nora",
        "--reason", "Nobody let us in again", status=0)
now = rows("Two Lanterns Bar")
tap.check("missed visits are counted, the last reason stands", now["caustic"]["missed"] == 2
          and now["caustic"]["reason"] == "Nobody let us in again", now)
for name, words, status in (
        ("no reason", ("miss", "two-lanterns-bar", "--day", "2026-06-16", "--person", "nora"), 2),
        ("an empty reason", ("miss", "two-lanterns-bar", "--day", "2026-06-16", "--person", "nora", "--reason", ""), 1),
        ("the same day", ("move", "two-lanterns-bar", "--day", "2026-06-16", "--to", "2026-06-16", "--person", "nora", "--reason", "x"), 1),
        ("no such site", ("miss", "nowhere", "--day", "2026-06-16", "--person", "nora", "--reason", "x"), 1),
        ("no such day", ("miss", "two-lanterns-bar", "--day", "2026-02-30", "--person", "nora", "--reason", "x"), 2),
        ("neither", ("skip", "two-lanterns-bar", "--day", "2026-06-16", "--person", "nora", "--reason", "x"), 2)):
    done = ctl.run("due", *words, "--book", book, "--now", NOON)
    tap.check(f"refused: {name}", done.returncode == status and done.stderr.startswith("tundishctl due: "), done.stderr)
arrival = {"visit": "01900000-0000-7000-8000-00000000aaaa", "kind": "arrival", "happened": "2026-06-17T07:00:00+01:00",
           "person": "nora", "site": "two-lanterns-bar", "work": "routine"}
ctl.run("record", "--book", book, "--now", "2026-06-17T07:00:00+01:00", stdin=json.dumps(arrival) + "\n", status=0)
now = rows("Two Lanterns Bar", "2026-06-17T12:00:00+01:00")
tap.check("once somebody is there, nothing is missed any more", now["caustic"]["missed"] == 0 and now["caustic"]["reason"] is None, now)

# --- a flat contract (two visits a month; 65.00 off for each that was not made) pays what the customer prevented
flat = ctl.path / "flat.tundish"
ctl.run("demo", flat, status=0)


def taken_off(month):
    drafts = ctl.json("invoice", "draft", "--book", flat, "--json", "--now", "2026-07-15T12:00:00Z")
    return sum(line["net_minor"] for draft in drafts for line in draft["lines"]
               if line["text"] == f"Visits of the contract not made, {month}")


tap.check("visits not made are taken off", (taken_off("2026-03"), taken_off("2026-04")) == (-13000, -13000),
          (taken_off("2026-03"), taken_off("2026-04")))
ctl.run("due", "miss", "two-lanterns-bar", "--day", "2026-03-10", "--theirs", "--book", flat, "--person", "nora", "--reason", "Shut",
        status=0)
ctl.run("due", "miss", "two-lanterns-bar", "--day", "2026-04-10", "--book", flat, "--person", "nora", "--reason", "Van broke down",
        status=0)
tap.check("but not one that was the customer's doing", taken_off("2026-03") == -6500, taken_off("2026-03"))
tap.check("and still one that was ours", taken_off("2026-04") == -13000, taken_off("2026-04"))

# --- a technician's day
hours = {"format": "tundish-round/1",
         "technicians": [{"id": "nora", "area": "North", "from": "06:30", "to": "15:00"}],
         "travel": [{"from": "North", "to": "South", "minutes": 35}, {"from": "North", "to": "North", "minutes": 8}],
         "sites": [{"site": "two-lanterns-bar", "area": "North", "technician": "nora", "from": "07:00", "to": "11:00"},
                   {"site": "the-tin-heron", "area": "South", "technician": "nora"},
                   {"site": "ash-barrow-tavern", "area": "North", "technician": "nora", "to": "10:00"},
                   {"site": "gravel-pier-hall", "area": "South", "technician": "nora"},
                   {"site": "mill-sluice-taproom", "area": "North", "technician": "milo"}]}
path = ctl.path / "hours.json"
path.write_text(json.dumps(hours))
ctl.run("import", path, "--book", book, status=0)
again = ctl.run("import", path, "--book", book, status=0).stdout
tap.check("hours and roads that come again change nothing", "0 new, 0 changed, 8 the same" in again, again)


def sheet(day, who="nora", now=NOON):
    return ctl.json("due", "--day", day, "--technician", who, "--book", book, "--json", "--now", now)["visits"]


def minute(text):
    return int(text[:2]) * 60 + int(text[3:])


visits = sheet("2026-06-16")
fits = [v for v in visits if v["fits"]]
ids = [v["site_id"] for v in visits]
tap.check("a site of somebody else is not on the sheet", "mill-sluice-taproom" not in ids and "ash-barrow-tavern" in ids, ids)
tap.check("a moved visit waits for its day", "the-tin-heron" not in ids and "the-tin-heron" in [v["site_id"] for v in sheet(moved_day)], ids)
tap.check("stops follow each other with the road between", all(
    minute(b["begin"]) >= minute(a["end"]) + b["travel_min"] for a, b in zip(fits, fits[1:])), fits)
tap.check("work lies in the working hours", all(minute(v["begin"]) >= 390 and minute(v["end"]) <= 900 for v in fits), fits)
for site in hours["sites"]:
    for v in fits:
        if v["site_id"] == site["site"] and "to" in site:
            tap.check(f"{site['site']} is done by {site['to']}", minute(v["end"]) <= minute(site["to"]), v)
tap.check("what does not fit is named", "gravel-pier-hall" in [v["site_id"] for v in visits if not v["fits"]], visits)
tap.check("the longest due comes first", fits[0]["due"] == min(v["due"] for v in visits), fits)
pdf, twin = ctl.path / "day.pdf", ctl.path / "day-2.pdf"
for out in (pdf, twin):
    ctl.run("due", "--day", "2026-06-16", "--technician", "nora", "--book", book, "-o", out, "--now", NOON, status=0)
tap.check("the sheet repeats byte for byte", pdf.read_bytes() == twin.read_bytes())
tap.check("and is sound", subprocess.run(["qpdf", "--check", pdf], capture_output=True).returncode == 0)
text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True).stdout
tap.check("it says who, when and where", "Nora Quill" in text and "2026-06-16" in text and all(v["site"] in text for v in visits), text)
done = ctl.run("due", "--day", "2026-06-16", "--technician", "nobody", "--book", book)
tap.check("an unknown technician is refused", done.returncode == 1, done.stderr)
for name, change in (("a time that is none", {"technicians": [{"id": "nora", "from": "25:00", "to": "26:00"}]}),
                     ("an end before the beginning", {"technicians": [{"id": "nora", "from": "15:00", "to": "06:00"}]}),
                     ("a site that is not known", {"sites": [{"site": "nowhere"}]}),
                     ("a key that is not known", {"sites": [{"site": "kestrel-yard", "zone": "x"}]})):
    path.write_text(json.dumps({"format": "tundish-round/1"} | change))
    done = ctl.run("import", path, "--book", book)
    tap.check(f"refused: {name}", done.returncode == 1 and "line" in done.stderr, done.stderr)

# --- the calendar
ical = ctypes.CDLL("libical.so.3")
for name in ("icalparser_parse_string", "icalcomponent_get_first_component", "icalcomponent_get_next_component",
             "icalcomponent_get_first_property"):
    getattr(ical, name).restype = ctypes.c_void_p
ical.icalcomponent_get_uid.restype = ical.icalcomponent_get_summary.restype = ctypes.c_char_p
ical.icalcomponent_get_location.restype = ical.icalproperty_get_value_as_string.restype = ctypes.c_char_p
VEVENT, ANY_ERROR = 4, None  # ICAL_VEVENT_COMPONENT of icalenums.h
KIND = {name: ical.icalproperty_string_to_kind(name.encode()) for name in ("SEQUENCE", "STATUS", "DTSTART", "DTSTAMP")}


def ptr(value):
    return ctypes.c_void_p(value)


def read_calendar(path):
    whole = ical.icalparser_parse_string(path.read_bytes())
    if not whole:
        return None, None
    events = {}
    vevent = ical.icalcomponent_string_to_kind(b"VEVENT")
    event = ical.icalcomponent_get_first_component(ptr(whole), vevent)
    while event:
        get = {}
        for name, kind in KIND.items():
            found = ical.icalcomponent_get_first_property(ptr(event), kind)
            get[name] = ical.icalproperty_get_value_as_string(ptr(found)).decode() if found else None
        get["SUMMARY"] = ical.icalcomponent_get_summary(ptr(event)).decode()
        events[ical.icalcomponent_get_uid(ptr(event)).decode()] = get
        event = ical.icalcomponent_get_next_component(ptr(whole), vevent)
    ical.icalcomponent_strip_errors.restype = None
    return ical.icalcomponent_count_errors(ptr(whole)), events


def calendar(name, now):
    path = ctl.path / name
    ctl.run("due", "--book", book, "--ics", path, "--now", now, status=0)
    return path


# A name that holds everything that must be escaped, and letters of several bytes at every fold.
awkward = {"format": "tundish-site/1", "account": {"name": "Bäcker, Söhne; und \\ Töchter " + "ü" * 60},
           "site": {"name": "Zum „Grünen“ Fass, Keller; Raum 2 " + "é" * 40, "zone": "Europe/Berlin"},
           "coolers": [{"id": "C1"}], "towers": [{"id": "T1"}],
           "lines": [{"id": "L1", "tower": "T1", "cooler": "C1", "segments": [{"bore_mm": 9.5, "length_m": 12}]}]}
path = ctl.path / "awkward.json"
path.write_text(json.dumps(awkward))
ctl.run("import", path, "--book", book, "--now", NOON, status=0)

first = calendar("a.ics", NOON)
data = first.read_bytes()
lines = data.split(b"\r\n")
tap.check("lines end in CRLF and nothing else", data.endswith(b"\r\n") and b"\n" not in data.replace(b"\r\n", b"")
          and b"\r" not in data.replace(b"\r\n", b""))
tap.check("no line is longer than 75 octets", max(map(len, lines)) <= 75, max(map(len, lines)))
tap.check("some line is folded, and no letter is parted", any(l.startswith(b" ") for l in lines)
          and all(not (l[1:2] and 0x80 <= l[1] < 0xc0) for l in lines if l.startswith(b" ")))
flat = data.replace(b"\r\n ", b"").decode()
tap.check("commas, semicolons and backslashes are escaped", "Bäcker\\, Söhne\\; und \\\\ Töchter" in flat)
stamps = re.findall(r"DTSTART;VALUE=DATE:(\d{8})", flat)
tap.check("every date is a real one", stamps and all(datetime.datetime.strptime(s, "%Y%m%d") for s in stamps))
tap.check("every time is UTC", all(re.fullmatch(r"\d{8}T\d{6}Z", s) for s in re.findall(r"DTSTAMP:(.*)", flat.replace("\r", ""))))
errors, events = read_calendar(first)
tap.check("libical reads it without an error", errors == 0 and len(events) == flat.count("BEGIN:VEVENT"), errors)
tap.check("and reads the names as they are", any(awkward["site"]["name"] in e["SUMMARY"] for e in events.values()))
tap.check("one appointment a site and task", len(events) == len(due()), f"{len(events)} {len(due())}")
tap.check("all begin with sequence 0", all(e["SEQUENCE"] == "0" and e["STATUS"] == "CONFIRMED" for e in events.values()))
tap.check("the same bytes later that day", calendar("b.ics", "2026-06-16T18:00:00+01:00").read_bytes() == data)
ctl.run("due", "move", "kestrel-yard", "--day", "2026-06-16", "--to", "2026-06-19", "--book", book, "--now", "2026-06-16T18:30:00+01:00",
        "--person", "nora", "--reason", "Asked for", status=0)
_, after = read_calendar(calendar("c.ics", "2026-06-16T19:00:00+01:00"))
changed = {uid for uid in after if after[uid] != events[uid]}
tap.check("what was moved has a higher sequence and the new day, and only that", changed
          and all("kestrel-yard" in uid and after[uid]["SEQUENCE"] == "1" and after[uid]["DTSTART"] == "20260619" for uid in changed),
          [after[u] for u in changed])
tap.check("no appointment is lost or renamed", set(after) == set(events))
import sqlite3
db = sqlite3.connect(book)
db.execute("UPDATE site SET deleted = 1, rev = rev WHERE slug = 'mill-sluice-taproom'")
db.commit()
db.close()
_, gone = read_calendar(calendar("d.ics", "2026-06-16T19:30:00+01:00"))
cancelled = {uid for uid in gone if gone[uid]["STATUS"] == "CANCELLED"}
tap.check("what no longer stands is told as cancelled, once more in sequence", cancelled
          and cancelled == {u for u in after if "mill-sluice-taproom" in u}
          and all(int(gone[u]["SEQUENCE"]) == int(after[u]["SEQUENCE"]) + 1 for u in cancelled), cancelled)
tap.done()
