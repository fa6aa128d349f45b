#!/usr/bin/env python3
"""A demonstration book of 200 visits drafted, issued, exported; every sum made again with exact fractions.

usage: test-invoice.py TUNDISHCTL
"""
import collections
import csv
import hashlib
import re
import sqlite3
import subprocess
import sys
from fractions import Fraction

from tap import Ctl, Tap

NOW = ("--now", "2026-06-15T13:00:00Z")
tap = Tap()
ctl = Ctl(sys.argv[1])
book = ctl.path / "b.tundish"
ctl.run("demo", book, "--visits", "200", status=0)


def invoice(*words, status=0):
    return ctl.run("invoice", *words, "--book", book, *NOW, status=status)


def invoice_json(*words):
    return ctl.json("invoice", *words, "--json", "--book", book, *NOW)


def half_away(value):
    """A fraction to the nearest whole number, halves away from zero."""
    sign = -1 if value < 0 else 1
    return sign * ((abs(value) * 2 + 1) // 2)


def wrong(one):
    """The first figure of an invoice that does not follow from its lines."""
    bases = collections.defaultdict(int)
    for line in one["lines"]:
        quantity = Fraction(str(line["quantity"]))
        if half_away(quantity * line["unit_price_minor"]) != line["net_minor"]:
            return f"line {line['text']}"
        bases[line["tax_category"], Fraction(str(line["tax_percent"]))] += line["net_minor"]
    taxes = {(t["category"], Fraction(str(t["percent"]))): t for t in one["taxes"]}
    if set(taxes) != set(bases):
        return "categories"
    for key, base in bases.items():
        if taxes[key]["base_minor"] != base or taxes[key]["tax_minor"] != half_away(base * key[1] / 100):
            return f"tax {key}"
        if key[0] in ("E", "AE") and not taxes[key].get("text"):
            return f"text of {key[0]}"
    if one["net_minor"] != sum(bases.values()):
        return "net"
    if one["total_minor"] != one["net_minor"] + sum(t["tax_minor"] for t in one["taxes"]):
        return "total"
    return None


visits = {v["id"]: v for v in ctl.json("visits", "--book", book, "--json")}
closed = {i for i, v in visits.items() if v["state"] == "closed" and v["amended_by"] is None}
drafts = invoice_json("draft")
tap.check("drafts have sums that follow from their lines", not (w := [wrong(d) for d in drafts if wrong(d)]), w)
tap.check("every closed visit is drafted, no open one is",
          {v for d in drafts for v in d["visits"]} == closed, len(closed))
tap.check("drafting writes nothing", invoice_json("list") == [])
issued = invoice_json("issue", "--all")
tap.check("as many are issued as were drafted", len(issued) == len(drafts))
tap.check("nothing is issued twice", invoice_json("issue", "--all") == [])
tap.check("wrong use is told", invoice("issue", status=2).stderr.startswith("tundishctl invoice:"))

exported = invoice_json("export")
tap.check("export has every invoice", [e["number"] for e in exported] == [i["number"] for i in issued])
shown = [invoice_json("show", i["number"]) for i in issued[:20]]
tap.check("show says what export says", shown == exported[:20])
tap.check("sums follow from lines", not (w := [wrong(e) for e in exported if wrong(e)]), w)
tap.check("numbers have no gap",
          [e["number"] for e in exported] == [f"INV-{n:05d}" for n in range(1, len(exported) + 1)])
pairs = collections.Counter((v, e["bill_to"]) for e in exported for v in e["visits"])
tap.check("a visit stands at most once with each payer", max(pairs.values()) == 1, pairs.most_common(3))
tap.check("lines name report, site and visit",
          all(line["report"] == visits[line["visit"]]["number"] for e in exported for line in e["lines"] if "visit" in line))
tap.check("several payers, categories and rates are there",
          {t["category"] for e in exported for t in e["taxes"]} >= {"S", "E", "AE"})

previous = "none"
db = sqlite3.connect(f"file:{book}?mode=ro", uri=True)
for number, body, before, seal in db.execute("SELECT number, body, previous, seal FROM invoice ORDER BY number"):
    text = f"tundish-invoice-seal/1\nprevious {previous}\n{body}\n"
    if hashlib.sha256(text.encode()).digest() != seal:
        tap.check(f"seal of {number}", False)
    previous = seal.hex()
tap.check("seals can be made again by a stranger", previous == exported[-1]["seal"])
db.close()

db = sqlite3.connect(book)
for sql in ("UPDATE invoice SET total_minor = 0", "DELETE FROM invoice", "UPDATE invoice_visit SET payer = 'x'",
            "INSERT OR REPLACE INTO invoice SELECT * FROM invoice WHERE number = 1"):
    try:
        db.execute(sql)
        tap.check(f"refused: {sql}", False)
    except sqlite3.Error as error:
        tap.check(f"refused: {sql}", True, error)
    db.rollback()
db.close()
tap.check("check passes", ctl.run("check", "--book", book).returncode == 0)

# Paid in parts, credited in part, and the account's statement.
big = max(exported, key=lambda e: e["total_minor"])
invoice("pay", big["number"], "--amount", "100.00", "--text", "first part")
tap.check("more than is open is refused",
          invoice("pay", big["number"], "--amount", f"{big['total_minor'] / 100:.2f}", status=1).returncode == 1)
credit = invoice_json("credit", big["number"], "--line", "1", "--reason", "one line too many")
tap.check("the credit note is one line of it", credit["net_minor"] == big["lines"][0]["net_minor"] and not wrong(credit))
again = invoice_json("show", big["number"])
tap.check("the balance follows",
          again["open_minor"] == big["total_minor"] - 10000 - credit["total_minor"] == again["total_minor"]
          - again["paid_minor"] - again["credited_minor"])
statement = invoice_json("statement", big["account_id"], "--from", "2026-01-01", "--to", "2026-12-31")
expected = sum(e["total_minor"] for e in exported if e["account_id"] == big["account_id"]) - 10000 - credit["total_minor"]
tap.check("the statement closes at what is open", statement["balances"][0]["closing_minor"] == expected)
rows = invoice_json("list", "--account", big["account_id"], "--open")
tap.check("and so do the open invoices", sum(r["open_minor"] for r in rows) == expected)

# Credited to be invoiced again.
small = next(e for e in exported if len(e["visits"]) == 1 and e["number"] != big["number"])
invoice("credit", small["number"], "--again", "--reason", "wrong order number")
redrafted = invoice_json("draft")
tap.check("what was credited to be invoiced again is drafted again",
          [d["visits"] for d in redrafted] == [small["visits"]] and redrafted[0]["net_minor"] == small["net_minor"])
report = visits[small["visits"][0]]["number"]
invoice("hold", report, "--reason", "waits for the order number")
waiting = invoice_json("waiting")
tap.check("a held visit waits with its reason",
          invoice_json("draft") == [] and [(w["number"], w["why"], w["text"]) for w in waiting]
          == [(report, "hold", "waits for the order number")])
invoice("hold", report, "--release")
tap.check("and is issued after its release", len(invoice_json("issue", "--all")) == 1)
tap.check("check passes at the end", ctl.run("check", "--book", book).returncode == 0)

# Documents, by other programs.
run = ctl.path / "run.pdf"
invoice("export", "-o", run)
tap.check("qpdf finds nothing in the run",
          (q := subprocess.run(["qpdf", "--check", run], capture_output=True, text=True)).returncode == 0, q.stderr)
text = re.sub(r"\s+", " ", subprocess.run(["pdftotext", "-layout", run, "-"], capture_output=True, text=True).stdout)
tap.check("every number stands in the run", all(e["number"] in text for e in exported))
tap.check("the words of reverse charge stand in it", "Reverse charge: the recipient owes the tax" in text)
bound = ctl.path / "bound.pdf"
invoice("show", small["number"], "--with-reports", "-o", bound)
text = subprocess.run(["pdftotext", bound, "-"], capture_output=True, text=True).stdout
tap.check("invoice and report are bound together", small["number"] in text and "Service report: beer lines" in text)
first = subprocess.run(["pdftotext", "-l", "1", bound, "-"], capture_output=True, text=True).stdout
tap.check("nothing is painted twice", first.count("Work done") == 1, first[:400])
letter = ctl.path / "statement.pdf"
invoice("statement", big["account_id"], "-o", letter, "--paper", "letter")
info = subprocess.run(["pdfinfo", letter], capture_output=True, text=True).stdout
tap.check("the statement is on the paper asked for", re.search(r"Page size:\s+612", info), info)

table = ctl.path / "lines.csv"
invoice("export", "-o", table)
with open(table, newline="", encoding="utf-8") as file:
    lines = list(csv.DictReader(file))
exported = invoice_json("export")
tap.check("the CSV has the same nets",
          [half_away(Fraction(row["net"]) * 100) for row in lines]
          == [line["net_minor"] for e in exported for line in e["lines"]])
tap.done()
