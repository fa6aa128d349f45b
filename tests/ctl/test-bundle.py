#!/usr/bin/env python3
"""Two vans and an office: what each closed and changed reaches the others, whatever is killed or repeated; and
nothing but a bundle as it was written is taken in.

usage: test-bundle.py TUNDISHCTL REPLAY_FOLDER

The books are read with Python's own SQLite, so that what is compared does not come from the program itself.
"""
import hashlib
import json
import pathlib
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
replays = sorted(pathlib.Path(sys.argv[2]).glob("*.jsonl"))
chance = random.Random(20260302)
office, van1, van2 = (ctl.path / f"{name}.tundish" for name in ("office", "van1", "van2"))


def shape(text, number):
    entry = json.loads(text)
    entry["visit"] = f"01900000-0000-7000-8000-{number:012x}"
    return json.dumps(entry)


def visit(book, replay, number):
    """A whole visit by a replay, under a number of its own."""
    lines = [shape(line, number) for line in replays[replay].read_text().splitlines() if line.strip()]
    ctl.run("record", "--book", book, stdin="\n".join(lines) + "\n", status=0)


def out(book, name, *more):
    path = ctl.path / name
    ctl.run("bundle", "out", path, "--book", book, *more, status=0)
    return path


def take(book, path):
    return ctl.json("bundle", "in", path, "--book", book, "--json")


def content(book):
    """What two books that are equal have in common: all that was closed, and all master data by its names."""
    db = sqlite3.connect(f"file:{book}?mode=ro", uri=True)
    questions = {
        "seals": "SELECT hex (d.uuid), number, hex (v.uuid), hex (e.previous), hex (e.seal) FROM seal e"
                 " JOIN device d ON d.id = e.device JOIN visit v ON v.id = e.visit ORDER BY 1, 2",
        "entries": "SELECT hex (v.uuid), seq, kind, happened_ms, offset_min, zone, recorded_ms, boot_id, boottime_ms,"
                   " person, hex (d.uuid), body, hex (digest) FROM entry e JOIN visit v ON v.id = e.visit"
                   " JOIN device d ON d.id = e.device WHERE EXISTS (SELECT 1 FROM seal WHERE visit = v.id) ORDER BY 1, 2",
        "visits": "SELECT hex (v.uuid), s.slug, hex (v.sheet), hex (o.uuid) FROM visit v JOIN site s ON s.id = v.site"
                  " LEFT JOIN visit o ON o.id = v.amends WHERE EXISTS (SELECT 1 FROM seal WHERE visit = v.id) ORDER BY 1",
        "rows": "SELECT hex (v.uuid), r.arrived_ms, r.date, r.number, r.entries, r.stops, r.reasons, r.advice"
                " FROM visit_row r JOIN visit v ON v.id = r.visit WHERE r.closed = 1 ORDER BY 1",
        "tasks": "SELECT hex (v.uuid), t.line, t.task, t.date FROM visit_task t JOIN visit v ON v.id = t.visit"
                 " WHERE EXISTS (SELECT 1 FROM seal WHERE visit = v.id) ORDER BY 1, 2, 3",
        "attachments": "SELECT hex (sha256), media FROM attachment ORDER BY 1",
        "company": "SELECT name, address, phone, emergency_phone, tax_id, payment FROM company",
        "products": "SELECT slug, name, kind, percent_milli, rev, deleted FROM product ORDER BY 1",
        "lots": "SELECT l.slug, p.slug, code, received, expiry, recalled, l.rev FROM lot l JOIN product p"
                " ON p.id = l.product ORDER BY 1",
        "technicians": "SELECT slug, name, certificate, certificate_expiry, rev FROM technician ORDER BY 1",
        "instruments": "SELECT slug, name, kind, calibrated, calibration_due, rev FROM instrument ORDER BY 1",
        "accounts": "SELECT slug, name, address, contact, email, phone, note, rev FROM account ORDER BY 1",
        "sites": "SELECT s.slug, a.slug, s.name, s.zone, hex (s.sheet), s.rev FROM site s JOIN account a"
                 " ON a.id = s.account ORDER BY 1",
        "settings": "SELECT s.slug, key, value, t.deleted FROM setting t LEFT JOIN site s ON s.id = t.site ORDER BY 1, 2",
        "round sites": "SELECT s.slug, area, technician, from_min, to_min FROM round_site r JOIN site s ON s.id = r.site"
                       " ORDER BY 1",
        "round hours": "SELECT technician, area, from_min, to_min FROM round_technician ORDER BY 1",
        "roads": "SELECT area_a, area_b, minutes FROM round_travel ORDER BY 1, 2",
        "notes": "SELECT hex (n.uuid), s.slug, day, moved_to, cause, reason, person, recorded_ms FROM round_note n"
                 " JOIN site s ON s.id = n.site ORDER BY 1",
        "agreements": "SELECT a.slug, since, version, text FROM agreement g JOIN account a ON a.id = g.account ORDER BY 1, 2, 3",
    }
    answer = {name: db.execute(sql).fetchall() for name, sql in questions.items()}
    db.close()
    return answer


def differences(a, b):
    return [f"{name}: {len(a[name])} and {len(b[name])}, first {next((p for p in zip(a[name], b[name]) if p[0] != p[1]), '')}"
            for name in a if a[name] != b[name]]


def kill_at(words, delay):
    process = subprocess.Popen([ctl.program, *map(str, words)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                               env=ctl.env)
    time.sleep(delay)
    process.send_signal(signal.SIGKILL)
    return process.wait() == -signal.SIGKILL


# The office's book; one van works in a restored copy, the other in a new book that a bundle fills.
ctl.run("demo", office, status=0)
ctl.run("backup", office, ctl.path / "copy.tundish", status=0)
ctl.run("restore", ctl.path / "copy.tundish", van1, status=0)
ctl.run("new", van2, "--test", status=0)
first = take(van2, out(office, "to-van2.bundle"))
tap.check("a new book is filled by a bundle", first["visits"] > 0 and first["rows_new"] > 0 and not first["conflicts"], first)
tap.check("and is then equal", not differences(content(office), content(van2)), differences(content(office), content(van2)))
again = take(van2, ctl.path / "to-van2.bundle")
tap.check("a bundle that comes again changes nothing", again["again"] and again["visits"] == 0, again)

# Both vans and the office work at the same time.
visit(van1, 0, 101)
visit(van1, 1, 102)
visit(van2, 2, 201)
visit(van2, 3, 202)
visit(office, 1, 301)
picture = ctl.path / "p.jpg"
picture.write_bytes(b"\xff\xd8\xff\xe0 picture of a tower")
lines = [l for l in replays[1].read_text().splitlines() if l.strip()]
body = [shape(l, 103) for l in lines]
photo = json.loads(body[-2])
photo = {k: photo[k] for k in ("visit", "happened", "person")} | {"kind": "photo", "file": str(picture), "text": "tower"}
body.insert(1, json.dumps(photo | {"happened": json.loads(body[0])["happened"]}))
ctl.run("record", "--book", van1, stdin="\n".join(body) + "\n", status=0)

# Kills on the way out: what has the name is whole, or is what was there before.
slot = ctl.path / "van1.bundle"
killed = broken = 0
for n in range(25):
    killed += kill_at(["bundle", "out", slot, "--book", van1], chance.random() * 0.12)
    if slot.exists() and sqlite3.connect(f"file:{slot}?mode=ro", uri=True).execute("PRAGMA quick_check").fetchone() != ("ok",):
        broken += 1
tap.check(f"{killed} kills while a bundle is written leave no half of one", killed > 0 and broken == 0, f"{killed} killed, {broken} broken")
tap.check("and the book passes its check", ctl.run("check", "--book", van1).returncode == 0)

# Kills on the way in: all of it or nothing.
out(van1, "van1.bundle")
scratch = ctl.path / "scratch.tundish"


def fresh():
    for old in ctl.path.glob("scratch.tundish*"):
        old.unlink()
    ctl.run("check", "--book", office)
    shutil.copy(office, scratch)


fresh()
before = content(scratch)
began = time.monotonic()
take(scratch, slot)
length = time.monotonic() - began
after = content(scratch)
partial, killed, ends = [], 0, [0, 0]
for n in range(40):
    fresh()
    killed += kill_at(["bundle", "in", slot, "--book", scratch], chance.random() * length)
    now = content(scratch)
    ends[now == after] += 1
    if now not in (before, after):
        partial.append(differences(before, now))
    take(scratch, slot)
    if content(scratch) != after or (n % 10 == 0 and ctl.run("check", "--book", scratch).returncode != 0):
        partial.append("not whole after the repeat")
tap.check(f"{killed} kills while one is taken in leave all ({ends[1]}) or nothing ({ends[0]}); a repeat makes it whole",
          killed > 10 and before != after and not partial, partial)
take(office, slot)
tap.check("and the office passes its check", ctl.run("check", "--book", office).returncode == 0,
          ctl.run("check", "--book", office).stdout)
number = {row["id"]: row["number"] for row in ctl.json("visits", "--book", van1, "--json")}["01900000-0000-7000-8000-000000000065"]
row = {row["id"]: row for row in ctl.json("visits", "--book", office, "--json")}["01900000-0000-7000-8000-000000000065"]
tap.check("a visit bears the van's report number in the office", row["number"] == number and row["state"] == "closed", row)
a = ctl.run("report", "--book", van1, number, "--sealed-text", status=0).stdout
b = ctl.run("report", "--book", office, number, "--sealed-text", status=0).stdout
tap.check("and its sealed text is the same", a == b and len(a) > 1000)

# Both vans changed the same master row; the office another one that nobody else did.
product = {"id": "caustic-30", "name": "Caustic line cleaner 30 %", "kind": "caustic", "substance": "naoh",
           "percent_milli": 30000, "density_kg_m3": 1328, "basis": "w/w"}


def change_product(book, target):
    path = ctl.path / "product.json"
    path.write_text(json.dumps({"format": "tundish-company/1", "products": [product | {"target_percent_milli": target}]}))
    ctl.run("import", path, "--book", book, status=0)


hours = ctl.path / "hours.json"
hours.write_text(json.dumps({"format": "tundish-round/1", "technicians": [{"id": "nora", "from": "06:30", "to": "15:00"}],
                             "travel": [{"from": "North", "to": "South", "minutes": 35}],
                             "sites": [{"site": "kestrel-yard", "area": "North", "technician": "nora"}]}))
ctl.run("import", hours, "--book", office, status=0)
for book, day in ((van1, "2026-06-18"), (van2, "2026-06-19")):
    ctl.run("due", "miss", "kestrel-yard", "--day", day, "--reason", "Shut", "--person", "nora", "--book", book, status=0)
change_product(van1, 3000)
change_product(van2, 3500)
change_product(van2, 2500)
c1 = take(office, out(van1, "van1-b.bundle"))
c2 = take(office, out(van2, "van2-b.bundle"))
tap.check("a row that one book changed is no conflict", not c1["conflicts"], c1)
tap.check("a row that two changed is one, and names both versions",
          [c["id"] for c in c2["conflicts"]] == [product["id"]] and "2500" in c2["conflicts"][0]["kept"]
          and "3000" in c2["conflicts"][0]["other"], c2)
tap.check("the higher version holds", c2["conflicts"][0]["kept_rev"] > c2["conflicts"][0]["other_rev"], c2)
tap.check("both are kept to be seen", len(ctl.json("bundle", "conflicts", "--book", office, "--json")) == 1)

# Back to the vans, with a kill and a repeat each; then once more round.
for round in range(2):
    down = out(office, f"down-{round}.bundle")
    for book in (van1, van2):
        kill_at(["bundle", "in", down, "--book", book], chance.random() * 0.1)
        take(book, down)
        take(book, down)
    for book, name in ((van1, "a"), (van2, "b")):
        take(office, out(book, f"up-{round}-{name}.bundle"))
contents = {name: content(book) for name, book in (("office", office), ("van1", van1), ("van2", van2))}
for name in ("van1", "van2"):
    tap.check(f"office and {name} end equal", not differences(contents["office"], contents[name]),
              "\n".join(differences(contents["office"], contents[name])))
for book in (office, van1, van2):
    done = ctl.run("check", "--book", book)
    tap.check(f"{book.name} passes its check", done.returncode == 0, done.stdout + done.stderr)
tap.check("hours and notes went all round", [len(contents["van1"][k]) for k in ("round sites", "round hours", "roads", "notes")]
          == [1, 1, 1, 2], contents["van1"]["notes"])
tap.check("the conflict is known everywhere",
          all(len(ctl.json("bundle", "conflicts", "--book", b, "--json")) == 1 for b in (van1, van2)))
small = take(office, out(van1, "small.bundle"))
tap.check("what the other is known to hold is not sent again", small["visits"] == 0 and small["known"] == 0, small)
due = [ctl.json("due", "--book", b, "--json", "--now", "2026-06-16T08:00:00Z") for b in (office, van1, van2)]
tap.check("the round is the same in all three", due[0] == due[1] == due[2])

# Bundles that are none.
target = ctl.path / "target.tundish"
ctl.run("new", target, "--test", status=0)
whole = ctl.path / "whole.bundle"
out(van1, "whole.bundle", "--all")
empty = content(target)


def spoil(name, change):
    path = ctl.path / f"{name}.bundle"
    shutil.copy(whole, path)
    change(path)
    done = ctl.run("bundle", "in", path, "--book", target)
    tap.check(f"refused and nothing kept: {name}",
              done.returncode == 1 and content(target) == empty and done.stderr.startswith("tundishctl bundle: "),
              f"{done.returncode} {done.stdout}{done.stderr}")
    return done.stderr


def sql(*statements):
    def change(path):
        db = sqlite3.connect(path)
        for statement in statements:
            db.execute(statement)
        db.commit()
        db.close()
    return change


spoil("a trigger more", sql("CREATE TRIGGER t AFTER INSERT ON visit BEGIN SELECT 1; END"))
spoil("a view more", sql("CREATE VIEW v AS SELECT 1"))
spoil("a view instead of a table", sql("ALTER TABLE sheet RENAME TO sheets", "CREATE VIEW sheet AS SELECT * FROM sheets"))
spoil("a table more", sql("CREATE TABLE more (a)"))
spoil("a table less", sql("DROP TABLE note"))
spoil("an index more", sql("CREATE INDEX i ON visit (site)"))
spoil("a column more", sql("ALTER TABLE entry ADD COLUMN more TEXT"))
spoil("a column of another name", sql("ALTER TABLE entry RENAME COLUMN body TO text"))
spoil("a changed body", sql("UPDATE entry SET body = replace (body, '2', '3') WHERE seq = 2"))
spoil("a row taken away", sql("DELETE FROM visit WHERE number = 1"))
spoil("a changed manifest", sql("UPDATE manifest SET value = 'other' WHERE key = 'prefix'"))
spoil("cut short", lambda p: p.write_bytes(p.read_bytes()[:-4096]))
spoil("cut within a page", lambda p: p.write_bytes(p.read_bytes()[:-100]))
spoil("longer than it says", lambda p: p.write_bytes(p.read_bytes() + bytes(4096)))
spoil("a text", lambda p: p.write_text("not a bundle\n" * 100))
spoil("an empty file", lambda p: p.write_bytes(b""))
spoil("a service book", lambda p: shutil.copy(ctl.path / "copy.tundish", p))
spoil("another program's database", lambda p: (p.unlink(), sql("CREATE TABLE t (a)")(p)))


def huge(path):
    with open(path, "r+b") as file:
        file.truncate((256 << 20) + 4096)


tap.check("one that is too large is named as such", "256 MiB" in spoil("larger than a bundle may be", huge))
# The hash made anew, as somebody could who knows how: what it holds together must still be true.
TABLES = ["agreement", "attachment", "conflict", "device", "entry", "manifest", "master", "note", "sheet", "site_sheet",
          "version", "visit"]
ORDERS = {"visit": "closed_on, number", "agreement": "account, since, version",
          "conflict": "kind, slug, kept_sha256, other_sha256", "entry": "visit, seq", "master": "kind, slug",
          "site_sheet": "site, rev", "version": "kind, slug, sha256"}


def digest(db):
    total = hashlib.sha256()
    for table in TABLES:
        total.update(table.encode() + b"\0")
        where = " WHERE key <> 'digest'" if table == "manifest" else ""
        for row in db.execute(f"SELECT * FROM {table}{where} ORDER BY {ORDERS.get(table, '1')}"):
            for value in row:
                if isinstance(value, int):
                    total.update(b"i" + value.to_bytes(8, "big", signed=True))
                else:
                    data = value.encode() if isinstance(value, str) else value or b""
                    mark = b"n" if value is None else b"t" if isinstance(value, str) else b"b"
                    total.update(mark + len(data).to_bytes(8, "big") + data)
    return total.hexdigest()


def resealed(*statements):
    def change(path):
        db = sqlite3.connect(path)
        for statement in statements:
            db.execute(statement)
        db.execute("UPDATE manifest SET value = ? WHERE key = 'digest'", (digest(db),))
        db.commit()
        db.close()
    return change


db = sqlite3.connect(whole)
tap.check("the hash in the manifest is that of the content",
          db.execute("SELECT value FROM manifest WHERE key = 'digest'").fetchone()[0] == digest(db))
db.close()
spoil("resealed: a changed body", resealed("UPDATE entry SET body = replace (body, '2', '3') WHERE seq = 2"))
spoil("resealed: a changed time", resealed("UPDATE entry SET happened_ms = happened_ms + 1 WHERE seq = 3"))
spoil("resealed: a changed seal", resealed("UPDATE visit SET seal = randomblob (32) WHERE number = 1"))
spoil("resealed: an entry taken away", resealed("DELETE FROM entry WHERE seq = 4"))
spoil("resealed: the last visit's closing taken away",
      resealed("DELETE FROM entry WHERE kind = 'closing' AND visit = (SELECT uuid FROM visit ORDER BY number DESC LIMIT 1)"))
spoil("resealed: a visit taken out of the chain", resealed("DELETE FROM visit WHERE number = 2"))
spoil("resealed: two numbers changed over", resealed("UPDATE visit SET number = 100 WHERE number = 2"))
spoil("resealed: another site", resealed("UPDATE visit SET site = 'kestrel-yard' WHERE number = 1"))
spoil("resealed: a site that is nowhere", resealed("UPDATE visit SET site = 'nowhere'"))
spoil("resealed: a changed picture", resealed("UPDATE attachment SET bytes = x'ffd8ff00'"))
spoil("resealed: a picture taken away", resealed("DELETE FROM attachment"))
spoil("resealed: a changed sheet", resealed("UPDATE sheet SET text = replace (text, '1', '2')"))
spoil("resealed: a sheet taken away", resealed("DELETE FROM sheet"))
spoil("resealed: a row that is no JSON", resealed("UPDATE master SET body = '{'"))
spoil("resealed: a column that nobody knows", resealed("UPDATE master SET body = replace (body, '\"name\"', '\"namf\"')"))
spoil("resealed: a value of another type", resealed("UPDATE master SET body = replace (body, '\"w/w\"', '7')"))
spoil("resealed: a value that does not fit", resealed("UPDATE master SET body = replace (body, '\"w/w\"', '\"x/x\"')"))
spoil("resealed: a changed agreement", resealed("UPDATE agreement SET text = replace (text, '1', '2')"))
spoil("resealed: a site's name that leads out of a folder",
      resealed("UPDATE master SET slug = '../' || slug WHERE kind = 'site'", "UPDATE site_sheet SET site = '../' || site",
               "UPDATE visit SET site = '../' || site"))
spoil("resealed: a name over two lines",
      resealed("UPDATE master SET slug = 'a' || char (10) || 'b' WHERE kind = 'technician' AND slug ="
               " (SELECT min (slug) FROM master WHERE kind = 'technician')"))
spoil("resealed: a prefix that leads out of a folder", resealed("UPDATE device SET prefix = '../x'",
                                                                "UPDATE manifest SET value = '../x' WHERE key = 'prefix'"))
spoil("resealed: a strength below nothing",
      resealed("UPDATE master SET body = json_set (body, '$.percent_milli', -5) WHERE kind = 'product'"))
spoil("resealed: a hazard that nobody knows",
      resealed("UPDATE master SET body = json_set (body, '$.hazards', 'H999') WHERE kind = 'product' AND slug ="
               " (SELECT min (slug) FROM master WHERE kind = 'product' AND body LIKE '%hazards%')"))
spoil("resealed: a technician without a name",
      resealed("UPDATE master SET body = json_set (body, '$.name', '') WHERE kind = 'technician'"))
spoil("resealed: an entry that goes on where nobody sees it",
      resealed("UPDATE entry SET body = body || char (0) || 'hidden' WHERE seq = 3"))
spoil("resealed: sheets since no moment at all", resealed("UPDATE site_sheet SET since_ms = 9223372036854775807"))
NOTE = ("INSERT INTO note SELECT randomblob (16), (SELECT min (slug) FROM master WHERE kind = 'site'), {}, {}, 'ours', 'r', 'p',"
        " {}, uuid FROM device LIMIT 1")
for day, moved, recorded in ((-2**31, "NULL", 0), (20500, 2**40, 0), (20500, "NULL", 2**63 - 1)):
    spoil(f"resealed: a note of day {day}, moved to {moved}, of {recorded}", resealed(NOTE.format(day, moved, recorded)))
spoil("resealed: a note with a reason without end",
      resealed("INSERT INTO note SELECT randomblob (16), (SELECT min (slug) FROM master WHERE kind = 'site'), 20500, NULL,"
               " 'ours', hex (zeroblob (3000)), 'p', 0, uuid FROM device LIMIT 1"))
spoil("resealed: a conflict at no moment at all",
      resealed("INSERT INTO conflict VALUES ('product', 'x', randomblob (32), randomblob (32), 1, 1, '{}', '{}',"
               " 9223372036854775807)"))
spoil("a later version", lambda p: sql("PRAGMA user_version = 2")(p))
spoil("one with a log", lambda p: sql("PRAGMA journal_mode = WAL")(p))
done = ctl.run("bundle", "in", ctl.path, "--book", target)
tap.check("a folder is refused", done.returncode == 1, done.stderr)
done = ctl.run("bundle", "out", target, "--book", van1)
tap.check("out writes over nothing but a bundle", done.returncode == 1 and content(target) == empty, done.stderr)

# One flipped bit anywhere: refused, or it stands where nothing is read.
data = whole.read_bytes()
good = ctl.path / "good.tundish"
ctl.run("new", good, "--test", status=0)
take(good, whole)
wanted, wrong, refused = content(good), [], 0
flips = 60
for n in range(flips):
    at = chance.randrange(len(data))
    spoiled = bytearray(data)
    spoiled[at] ^= 1 << chance.randrange(8)
    path = ctl.path / "flipped.bundle"
    path.write_bytes(spoiled)
    book = ctl.path / "flipped.tundish"
    for old in ctl.path.glob("flipped.tundish*"):
        old.unlink()
    ctl.run("new", book, "--test", status=0)
    done = ctl.run("bundle", "in", path, "--book", book)
    refused += done.returncode == 1
    if done.returncode not in (0, 1) or content(book) != (wanted if done.returncode == 0 else empty):
        wrong.append(f"byte {at}: {done.returncode} {done.stderr}")
tap.check(f"{flips} flipped bits: {refused} refused, none brought in anything else", not wrong and refused > flips / 2, wrong)

# A bundle whose seals and hash were made anew by someone who has the program's source, but whose chain was cut:
# the receiver misses what came before.
part = ctl.path / "part.bundle"
shutil.copy(ctl.path / "van1-b.bundle", part)
visit(van1, 0, 110)
late = out(van1, "late.bundle")
done = ctl.run("bundle", "in", late, "--book", target)
tap.check("visits without those before them are refused, and the remedy is named",
          done.returncode == 1 and "all visits" in done.stderr and content(target) == empty, done.stderr)

# Two copies made with the file manager go on under one device: their report numbers meet.
twin = ctl.path / "twin.tundish"
ctl.run("check", "--book", van1)
shutil.copy(van1, twin)
visit(van1, 1, 120)
visit(twin, 1, 121)
take(office, out(van1, "one.bundle"))
before = content(office)
done = ctl.run("bundle", "in", out(twin, "other.bundle"), "--book", office)
tap.check("a number that was given twice is refused", done.returncode == 1 and "report number" in done.stderr
          and content(office) == before, done.stderr)
tap.done()
