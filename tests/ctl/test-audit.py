#!/usr/bin/env python3
"""The chemical account from outside: its sums against the rows of the book, stock by hand, exceptions, traces.

usage: test-audit.py TUNDISHCTL
"""
import csv
import io
import json
import re
import sqlite3
import subprocess
import sys

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
NOW = "2026-06-15T13:00:00+01:00"


def audit(book, first="2026-01-01", last="2026-12-31", *more):
    return ctl.json("audit", "--book", book, "--now", NOW, "--from", first, "--to", last, "--json", *more)


def closes(row):
    return row["closing_ml"] == (row["opening_ml"] + row["received_ml"] - row["used_ml"] - row["disposed_ml"]
                                 + row["adjusted_ml"] + row.get("moved_ml", 0))


# The demonstration.
demo = ctl.path / "demo.tundish"
ctl.run("demo", demo, "--visits", "12", "--now", NOW, status=0)
account = audit(demo, "2025-01-01", "2026-12-31")
KEYS = {"product", "product_id", "opening_ml", "received_ml", "used_ml", "disposed_ml", "adjusted_ml", "closing_ml",
        "counted_ml", "expected_ml"}
tap.check("products have their keys", account["products"] and all(KEYS <= set(p) for p in account["products"]))
tap.check("exceptions have their keys", all({"code", "visit", "text"} <= set(e) for e in account["exceptions"]))
tap.check("every account closes", all(map(closes, account["products"] + account["lots"] + account["places"])))
tap.check("what is moved between places stays in the company", sum(p["moved_ml"] for p in account["places"]) == 0)
db = sqlite3.connect(f"file:{demo}?mode=ro", uri=True)
entries = db.execute("SELECT v.id, e.body FROM entry e JOIN visit v ON v.id = e.visit WHERE e.kind = 'solution-mixed' "
                     "AND NOT EXISTS (SELECT 1 FROM visit n WHERE n.amends = v.id)").fetchall()
mixed = {}
for _, body in entries:
    body = json.loads(body)
    mixed[body["product"]] = mixed.get(body["product"], 0) + body["concentrate_ml"]
tap.check("used is what the journal's mixes say", mixed == {p["product_id"]: p["used_ml"] for p in account["products"]
                                                            if p["used_ml"]}, mixed)
for group in ("sites", "technicians", "methods", "months", "lots", "places"):
    tap.check(f"{group} come to the same use",
              sum(r["used_ml"] for r in account[group]) == sum(p["used_ml"] for p in account["products"]))
tap.check("measured, accepted and estimated make up what was used",
          all(p["measured_ml"] + p["accepted_ml"] + p["estimated_ml"] == p["used_ml"] for p in account["products"]))
codes = {e["code"] for e in account["exceptions"]}
tap.check("the demonstration's stock is nowhere negative", "stock-negative" not in codes, codes)
tap.check("its count differs a little", "count-differs" in codes, codes)
tap.check("its open visit and overdue sites are named", {"visit-open", "site-overdue"} <= codes, codes)
visits = {v["id"] for v in ctl.json("visits", "--book", demo, "--json")}
tap.check("exceptions lead to visits of the book",
          all(e["visit"] is None or e["visit"] in visits for e in account["exceptions"]))
halves = [audit(demo, "2025-01-01", "2026-05-31"), audit(demo, "2026-06-01", "2026-12-31")]
first = {p["product_id"]: p for p in halves[0]["products"]}
second = {p["product_id"]: p for p in halves[1]["products"]}
tap.check("one period opens as the one before closed",
          all(second[k]["opening_ml"] == p["closing_ml"] for k, p in first.items() if k in second))
tap.check("periods add up", all(p["used_ml"] == sum(h[p["product_id"]]["used_ml"] for h in (first, second)
                                                    if p["product_id"] in h) for p in account["products"]))

# An acknowledgement.
open_before = account["totals"]["exceptions_open"]
key = account["exceptions"][0]["key"]
PERIOD = ("--from", "2025-01-01", "--to", "2026-12-31")
ctl.run("audit", "--book", demo, "--now", NOW, *PERIOD, "--acknowledge", key, "--reason", "Looked into", "--person",
        "dara", status=0)
again = audit(demo, "2025-01-01", "2026-12-31")
tap.check("an acknowledged exception stays and says so", again["exceptions"][0]["acknowledged"]["reason"] == "Looked into"
          and again["totals"]["exceptions_open"] == open_before - 1)
tap.check("an unknown key is refused", ctl.run("audit", "--book", demo, "--now", NOW, *PERIOD, "--acknowledge", "x:1",
                                               "--reason", "r", "--person", "dara").returncode == 1)
tap.check("without a reason it is wrong use",
          ctl.run("audit", "--book", demo, *PERIOD, "--acknowledge", key).returncode == 2)
tap.check("without a period it is wrong use", ctl.run("audit", "--book", demo, "--json").returncode == 2)
tap.check("a period backwards is wrong use",
          ctl.run("audit", "--book", demo, "--from", "2026-02-01", "--to", "2026-01-01").returncode == 2)

# CSV.
rows = list(csv.DictReader(io.StringIO(ctl.run("audit", "--book", demo, "--now", NOW, *PERIOD, "--csv", "-",
                                               status=0).stdout)))
tap.check("CSV holds the products of the JSON",
          {r["product_id"]: int(r["used_ml"]) for r in rows if r["account"] == "product"}
          == {p["product_id"]: p["used_ml"] for p in account["products"]})
tap.check("every row of the CSV is whole", all(None not in r and None not in r.values() for r in rows))

# Stock by hand.
book = ctl.path / "hand.tundish"
ctl.run("new", book, "--test", status=0)
(ctl.path / "company.json").write_text(json.dumps({
    "format": "tundish-company/1",
    "products": [{"id": "lye", "name": "Line lye", "kind": "caustic", "substance": "naoh", "basis": "w/w",
                  "percent_milli": 30000, "target_percent_milli": 2000}],
    "lots": [{"id": "old", "product": "lye", "code": "1", "received": "2024-01-01", "expiry": "2025-01-01"}],
    "technicians": [{"id": "t1", "name": "One"}]}))
ctl.run("import", ctl.path / "company.json", "--book", book, status=0)


def stock(word, *more, at="2026-03-02T09:00+00:00", status=0):
    return ctl.run("stock", word, "--book", book, "--now", NOW, "--at", at, *more, status=status)


MOVE = ("--product", "lye", "--person", "t1")
stock("place", "--place", "van", "--name", "Van", "--van", "t1", at="2026-01-01T00:00+00:00")
stock("receive", *MOVE, "--lot", "new", "--code", "77", "--amount-ml", "20000", "--container-ml", "40000")
stock("transfer", *MOVE, "--lot", "new", "--to", "van", "--amount-ml", "6000", at="2026-03-03T09:00+00:00")
stock("dispose", *MOVE, "--lot", "new", "--amount-ml", "500", "--reason", "spilt", at="2026-03-04T09:00+00:00")
stock("count", *MOVE, "--lot", "new", "--amount-ml", "13450", "--reason", "rounding", at="2026-03-05T09:00+00:00")
for name, words in {"an unknown place": ("--place", "no", "--lot", "new", "--amount-ml", "1"),
                    "an unknown lot": ("--lot", "no", "--amount-ml", "1"),
                    "an amount below nothing": ("--lot", "new", "--amount-ml", "-5")}.items():
    stock("receive", *MOVE, *words, status=1)
    tap.check(f"{name} is refused", True)
stock("count", *MOVE, "--lot", "new", "--amount-ml", "1", status=1)
stock("dispose", *MOVE, "--lot", "new", "--amount-ml", "1", status=1)
stock("receive", "--product", "lye", status=2)
march = audit(book, "2026-03-01", "2026-03-31")
row = march["products"][0]
tap.check("a month by hand", [row[k] for k in ("opening_ml", "received_ml", "used_ml", "disposed_ml", "adjusted_ml",
                                               "closing_ml", "counted_ml")] == [0, 20000, 0, 500, -50, 19450, 13450], row)
tap.check("the place list agrees", {(c["place"], c["balance_ml"]) for c in json.loads(
    stock("list", "--json", at="2026-03-31T00:00+00:00").stdout)} == {("store", 13450), ("van", 6000)})
tap.check("a package over 8 gal in a van is named", [e["code"] for e in march["exceptions"]].count("van-package") == 1)
ctl.run("check", "--book", book, status=0)

# Traces in the demonstration, both ways.
lot = max(account["lots"], key=lambda r: r["used_ml"])["lot_id"]
forwards = ctl.json("stock", "trace", "--book", demo, "--now", NOW, "--lot", lot, "--json")
use = next(r for r in forwards if r["kind"] == "use" and r["line"])
backwards = ctl.json("stock", "trace", "--book", demo, "--now", NOW, "--site", use["site_id"], "--line", use["line"],
                     "--json")
tap.check("a lot leads to lines and a line back to the lot",
          {r["kind"] for r in forwards} >= {"receipt", "use"} and any(r["lot"] == lot for r in backwards))
moment = ctl.json("stock", "moment", "--book", demo, "--now", NOW, "--site", use["site_id"], "--line", use["line"], "--at",
                  use["at"], "--json")
tap.check("what stood in the line at that moment", moment["contents"]["lot"] == lot, moment)
never = ctl.json("stock", "moment", "--book", demo, "--now", NOW, "--site", use["site_id"], "--line", use["line"], "--at",
                 "2001-01-01T00:00:00+00:00", "--json")
tap.check("nothing before any visit", never["visit"] is None and never["contents"] is None)

# Labels, safety data sheets, recalls.
(ctl.path / "sheet.pdf").write_bytes(b"%PDF-1.4 a sheet")
(ctl.path / "sheet.txt").write_text("no PDF")
SHEET = ("stock", "sheet", "--book", demo, "--now", NOW, "--product", "caustic-30")
ctl.run(*SHEET, "--file", ctl.path / "sheet.pdf", "--revised", "2025-11-03", status=0)
ctl.run(*SHEET, "--file", ctl.path / "sheet.txt", "--revised", "2025-11-03", status=1)
ctl.run(*SHEET, "--file", ctl.path / "sheet.pdf", "--revised", "2035-11-03", status=1)
ctl.run(*SHEET, "--file", ctl.path / "sheet.pdf", status=2)
ctl.run("stock", "recall", "--book", demo, "--lot", lot, status=0)
recalled = audit(demo, "2025-01-01", "2026-12-31")["exceptions"]
tap.check("a recalled lot that was used or is left is named", {"lot-recalled", "lot-recalled-held"}
          <= {e["code"] for e in recalled})
ctl.run("stock", "recall", "--book", demo, "--lot", lot, "--off", status=0)
ctl.run("stock", "recall", "--book", demo, "--lot", "no", status=1)
number = next(v["number"] for v in ctl.json("visits", "--book", demo, "--json") if v["state"] == "closed")
report = ctl.json("report", number, "--book", demo, "--now", NOW, "--json")
label = next(c for c in report["chemicals"] if c["product_id"] == "caustic-30")
tap.check("the report says what the label says", "H314" in label["hazards"] and "gloves" in label["protection"]
          and "acid" in label["never_with"] and label["solution_class"] == "skin-corr-1b", label)
ctl.run("check", "--book", demo, status=0)

# Stock that came too late within one day.
stock("receive", *MOVE, "--lot", "late", "--code", "L", "--amount-ml", "100", at="2026-04-02T15:00+00:00")
stock("dispose", *MOVE, "--lot", "late", "--amount-ml", "100", "--reason", "r", at="2026-04-02T09:00+00:00")
april = audit(book, "2026-04-01", "2026-04-30")
tap.check("what was taken before it came is named", ["stock-negative"] == [e["code"] for e in april["exceptions"]
                                                                           if "late" in e["text"]], april["exceptions"])

# The inspector's extract: each item of the rules, and what is missing.
EXTRACT = ("audit", "--book", demo, "--now", NOW, "--extract")
sites = [s["id"] for s in account["sites"]]
site = sites[0]
for rules, asked in {"us-pa": {"date", "cleaner", "method", "interval"},
                     "us-ri": {"date", "cleaner", "method", "rinse", "signed", "countersigned", "interval"}}.items():
    extract = ctl.json(*EXTRACT, "--site", site, "--rules", rules, "--json")
    tap.check(f"{rules} asks for its items", {i["code"] for i in extract["items"] if i["asked"]} == asked, extract["items"])
    tap.check(f"{rules} counts what its visits miss", {i["code"]: i["missing"] for i in extract["items"] if i["missing"]}
              == {c: sum(c in v["missing"] for v in extract["visits"]) for c in asked
                  if any(c in v["missing"] for v in extract["visits"])})
missing = [ctl.json(*EXTRACT, "--site", s, "--rules", "us-ri", "--json") for s in {s: 1 for s in sites}]
unsigned = [v for e in missing for v in e["visits"] if "countersigned" in v["missing"]]
tap.check("a visit without countersignature is named", unsigned and all(v["countersigned_by"] is None for v in unsigned))
ctl.run(*EXTRACT, status=2)
ctl.run(*EXTRACT, "--site", site, "--rules", "mars", status=2)
ctl.run(*EXTRACT, "--site", "no-such", status=1)
ctl.run("settings", "record-rules", "1", "--site", site, "--book", demo, status=0)
tap.check("the rules are a setting of the site", ctl.json(*EXTRACT, "--site", site, "--json")["rules"] == "us-pa")


def text_of(*words):
    pdf = ctl.path / "out.pdf"
    ctl.run(*words, "-o", pdf, status=0)
    subprocess.run(["qpdf", "--check", pdf], check=True, stdout=subprocess.DEVNULL)
    return re.sub(r"\s+", " ", subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True).stdout)


# Pages: the figures of the JSON stand on them.
pages = text_of("audit", "--book", demo, "--now", NOW, *PERIOD)
tap.check("the account's pages hold every product's sums", all(
    f"{p['product']} {p['opening_ml']} {p['received_ml']} {p['used_ml']} {p['disposed_ml']}" in pages
    for p in account["products"]), pages[:800])
tap.check("they have a line to sign and the exceptions", "Signature: looked through" in pages and "Exceptions by rule" in pages)
ri = next(e for e in missing if any("countersigned" in v["missing"] for v in e["visits"]))
name = next(s["id"] for s in account["sites"] if s["name"] == ri["site"])
page = text_of(*EXTRACT, "--site", name, "--rules", "us-ri")
tap.check("the extract's page names law, site and each gap", "R.I. Gen. Laws 3-7-25" in page and ri["site"] in page and all(
    f"{v['date']}, {v['number']}: " in page for v in ri["visits"] if v["missing"]), page[:1200])
tap.done()
