#!/usr/bin/env python3
"""Files for other programs, read by other programs: electronic invoices, the ledger, tables, site sheets.

usage: test-export.py TUNDISHCTL SOURCE
"""
import collections
import csv
import json
import os
import pathlib
import shutil
import subprocess
import sys
from decimal import Decimal

import ubl
from tap import Ctl, Tap

NOW = ("--now", "2026-06-15T13:00:00Z")
tap = Tap()
ctl = Ctl(sys.argv[1])
source = pathlib.Path(sys.argv[2])
book = ctl.path / "b.tundish"
ctl.run("demo", book, "--visits", "60", status=0)


def invoice(*words, status=0):
    return ctl.run("invoice", *words, "--book", book, *NOW, status=status)


def invoice_json(*words):
    return ctl.json("invoice", *words, "--json", "--book", book, *NOW)


def export(table, *words, status=0):
    return ctl.run("export", table, "--book", book, *words, status=status)


def rows(table, *words):
    path = ctl.path / "table.csv"
    export(table, "-o", path, *words)
    with open(path, encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file, strict=True))


issued = invoice_json("issue", "--all")
big = max(invoice_json("list"), key=lambda row: row["total_minor"])
invoice("pay", big["number"], "--amount", "100.00", "--date", "2026-06-16", "--text", "=first, \"part\"")
invoice("pay", big["number"], "--amount", "-20.00", "--date", "2026-06-17", "--text", "bounced")
invoice("credit", big["number"], "--line", "1", "--reason", "One line too many & more", "--date", "2026-06-18")
exported = {one["number"]: one for one in invoice_json("export")}

# Electronic invoices.
folder = ctl.path / "ubl"
folder.mkdir()
invoice("export", "--format", "ubl", "-o", folder)
files = sorted(folder.iterdir())
tap.check("a file for each invoice and credit note", [f.name for f in files] == [f"{n}.xml" for n in exported])
roots = {file.stem: ubl.parse(file) for file in files}
tap.check("elements are those of UBL, in its order",
          not (w := [f"{n}: {x}" for n, r in roots.items() if (x := ubl.find_misplaced(r))]), "\n".join(w))
tap.check("sums follow from the lines", not (w := [f"{n}: {x}" for n, r in roots.items() if (x := ubl.find_wrong_sum(r))]), w)
tap.check("namespaces of the roots",
          all(r.tag == ubl.ROOTS["CreditNote" if exported[n]["kind"] == "credit-note" else "Invoice"]
              + ubl.local(r) for n, r in roots.items()))
tap.check("both kinds and four categories are among them",
          {ubl.local(r) for r in roots.values()} == {"Invoice", "CreditNote"}
          and {c.text for r in roots.values() for c in r.iterfind(f".//{ubl.CAC}TaxCategory/{ubl.CBC}ID")} >= {"S", "E", "AE"})


def agrees(number, root):
    one = exported[number]
    return (ubl.text(root, "ID") == number
            and Decimal(ubl.text(root, "LegalMonetaryTotal/PayableAmount")) * 100 == one["total_minor"]
            and ubl.text(root, "DocumentCurrencyCode") == one["currency"] and ubl.text(root, "IssueDate") == one["issued"]
            and ubl.text(root, "AccountingCustomerParty/Party/PartyLegalEntity/RegistrationName") == one["bill_to"]
            and len(root.findall(f"{ubl.CAC}InvoiceLine") + root.findall(f"{ubl.CAC}CreditNoteLine")) == len(one["lines"]))


tap.check("they say what the book says", all(agrees(n, r) for n, r in roots.items()))
credit = next(r for r in roots.values() if ubl.local(r) == "CreditNote")
tap.check("a credit note names its invoice and reason",
          ubl.text(credit, "BillingReference/InvoiceDocumentReference/ID") == big["number"]
          and ubl.text(credit, "Note") == "One line too many & more")
one = ctl.path / "one.xml"
invoice("show", big["number"], "-o", one)
tap.check("show writes the same bytes", one.read_bytes() == (folder / f"{big['number']}.xml").read_bytes())
tap.check("many into one file is wrong use", invoice("export", "--format", "ubl", "-o", one, status=2).stderr != "")
tap.check("an unknown format is wrong use", "ubl" in invoice("export", "--format", "pdf", "-o", one, status=2).stderr)
schemas = os.environ.get("TUNDISH_UBL_XSD")
if schemas and shutil.which("xmllint"):
    for kind in ubl.ROOTS:
        those = [f for f in files if ubl.local(roots[f.stem]) == kind]
        done = subprocess.run(["xmllint", "--noout", "--nonet", "--schema",
                               f"{schemas}/maindoc/UBL-{kind}-2.1.xsd", *those], capture_output=True, text=True)
        tap.check(f"{kind}: valid by the schema", done.returncode == 0, done.stderr)
else:
    tap.skip("valid by the schema", "TUNDISH_UBL_XSD names no folder with the UBL 2.1 schemas (maindoc, common)")

# A rule is named before anything is written; what is entered today completes what was issued without it.
bare = ctl.path / "bare.tundish"
ctl.run("new", bare, "--test", status=0)
company = {"format": "tundish-company/1", "company": {"name": "Weir Line Care"}}


def take(name, value, status=0):
    path = ctl.path / name
    path.write_text(json.dumps(value))
    return ctl.run("import", path, "--book", bare, status=status)


take("company.json", company)
wrong = dict(company, company={"name": "Weir Line Care", "iban": "IE00PLAR99004400447199"})
tap.check("an IBAN with wrong check digits is refused by line and column",
          "line 1, column" in take("wrong.json", wrong, status=1).stderr)
wrong = dict(company, ledger=[{"id": "soap", "code": "1"}])
tap.check("so is an account that the ledger does not have", "soap" in take("wrong.json", wrong, status=1).stderr)

demo = json.loads((source / "data/demo/company.json").read_text())
plain = ctl.path / "plain.json"
kept = {k: v for k, v in demo["company"].items() if k in ("name", "address", "tax_id")}
plain.write_text(json.dumps({"format": "tundish-company/1", "company": kept}))
other = ctl.path / "other.tundish"
ctl.run("demo", other, status=0)
ctl.run("import", plain, "--book", other, status=0)
ctl.run("invoice", "issue", "--all", "--book", other, *NOW, status=0)
number = ctl.json("invoice", "list", "--json", "--book", other)[0]["number"]
target = ctl.path / "refused.xml"
done = ctl.run("invoice", "show", number, "-o", target, "--book", other, status=1)
tap.check("the rule, the place and the remedy are named, and nothing is written",
          done.stderr.startswith(f"tundishctl invoice: {number} cannot be written") and "BR-09, the seller:" in done.stderr
          and "country" in done.stderr and not target.exists(), done.stderr)
sub = ctl.path / "sub"
sub.mkdir()
done = ctl.run("invoice", "export", "--format", "ubl", "-o", sub, "--book", other, status=1)
tap.check("of a run nothing is written where one is refused", done.stderr.count("BR-09") > 1 and not list(sub.iterdir()))
ctl.run("import", source / "data/demo/company.json", "--book", other, status=0)
ctl.run("invoice", "show", number, "-o", target, "--book", other, status=0)
tap.check("what is entered today completes it", not ubl.find_misplaced(ubl.parse(target))
          and ubl.text(ubl.parse(target), "PaymentMeans/PayeeFinancialAccount/ID") == "IE81PLAR99004400447199")
tap.check("and the seal still holds", ctl.run("check", "--book", other).returncode == 0)

# The ledger.
ledger = rows("ledger")
entries = collections.defaultdict(list)
for row in ledger:
    entries[row["entry"]].append(row)


def side(row, name):
    return Decimal(row[name] or 0)


tap.check("every entry is balanced",
          all(sum(side(r, "debit") - side(r, "credit") for r in e) == 0 for e in entries.values()))
tap.check("a posting has one side, above 0",
          all((r["debit"] == "") != (r["credit"] == "") and side(r, "debit") + side(r, "credit") > 0 for r in ledger))
tap.check("entries are numbered from 1 and in order of their days",
          [int(e) for e in entries] == list(range(1, len(entries) + 1))
          and [r["date"] for r in ledger] == sorted(r["date"] for r in ledger))
of_book = collections.Counter({"invoice": sum(1 for e in exported.values() if e["kind"] == "invoice" and e["total_minor"]),
                               "credit-note": 1, "payment": 2})
tap.check("everything that happened has its entry", collections.Counter(e[0]["kind"] for e in entries.values()) == of_book)
balance = collections.Counter()
for row in ledger:
    balance[row["account"]] += side(row, "debit") - side(row, "credit")
open_minor = sum(r["open_minor"] for r in invoice_json("list"))
tap.check("what is receivable is what is open", balance["assets:receivable"] * 100 == open_minor, balance)
tap.check("the bank has what was paid", balance["assets:bank"] == 80)
net = {k: sum(e[k] * (-1 if e["kind"] == "credit-note" else 1) for e in exported.values()) for k in ("net_minor", "tax_minor")}
tap.check("revenue and tax are those of the invoices",
          -balance["income:work"] * 100 == net["net_minor"] and -balance["liabilities:tax"] * 100 == net["tax_minor"])
some = rows("ledger", "--from", "2026-06-16", "--to", "2026-06-17")
tap.check("a period holds its days alone", {r["date"] for r in some} == {"2026-06-16", "2026-06-17"} and some[0]["entry"] == "1")
mapped = ctl.path / "mapped.json"
mapped.write_text(json.dumps({"format": "tundish-company/1", "ledger": [
    {"id": "receivable", "code": "1400"}, {"id": "tax-23", "code": "1776"}, {"id": "revenue", "code": "income:8400 work"}]}))
ctl.run("import", mapped, "--book", book, status=0)
again = rows("ledger")
tap.check("accounts carry the company's codes",
          all(r["account"] == "1400" for r in again if r["item"] == "receivable")
          and all(r["account"] == "1776" for r in again if r["item"] == "tax-23")
          and all(r["account"] == "liabilities:tax" for r in again if r["item"].startswith("tax-") and r["item"] != "tax-23")
          and all(r["account"] == "income:8400 work" for r in again if r["item"].startswith("revenue")))


def journal(table):
    """The same entries as hledger reads them."""
    groups = collections.defaultdict(list)
    for row in table:
        groups[row["entry"]].append(row)
    text = ["commodity 1000.00 EUR"] + [f"account {a}" for a in sorted({r["account"] for r in table})]
    for entry in groups.values():
        text += ["", f"{entry[0]['date']} {entry[0]['kind']} {entry[0]['document']}"]
        text += [f"    {r['account']}  {side(r, 'debit') - side(r, 'credit'):.2f} {r['currency']}" for r in entry]
    return "\n".join(text) + "\n"


if shutil.which("hledger"):
    for name, table in (("standard", ledger), ("mapped", again)):
        path = ctl.path / f"{name}.journal"
        path.write_text(journal(table), encoding="utf-8")
        done = subprocess.run(["hledger", "-f", path, "check", "--strict", "balancednoautoconversion", "ordereddates"],
                              capture_output=True, text=True)
        tap.check(f"hledger finds nothing, {name} accounts", done.returncode == 0, done.stderr)
    done = subprocess.run(["hledger", "-f", ctl.path / "standard.journal", "balance", "-O", "csv", "-N"], capture_output=True,
                          text=True)
    of_hledger = {a: Decimal(b.split()[0]) for a, b in csv.reader(done.stdout.splitlines()[1:])}
    tap.check("and has the same balances", of_hledger == {a: b for a, b in balance.items() if b}, of_hledger)
else:
    tap.skip("hledger", "it is not installed")

# Tables.
accounts = rows("accounts")
tap.check("accounts", len(accounts) == len({a["account"] for a in accounts}) and sum(int(a["sites"]) for a in accounts) == 7)
sheets = {p.name.removesuffix(".site.json"): json.loads(p.read_text()) for p in (source / "data/demo").glob("*.site.json")}
lines = rows("lines")
tap.check("lines", len({(r["site"], r["line"]) for r in lines}) == len(lines)
          and {(n, line["id"]) for n, s in sheets.items() for line in s["lines"]} <= {(r["site"], r["line"]) for r in lines}
          and {r["site"] for r in lines} == set(sheets))
visits = rows("visits")
listed = {v["id"]: v for v in ctl.json("visits", "--json", "--book", book)}
tap.check("visits", {r["visit"]: (r["report"] or None, r["state"], r["date"], int(r["stops"])) for r in visits}
          == {i: (v["number"], v["state"], v["date"], v["findings"]["stop"]) for i, v in listed.items()})
tap.check("amendments name each other", {r["amended_by"] for r in visits} - {""}
          == {v["amended_by"] for v in listed.values()} - {None})
table = {r["number"]: r for r in rows("invoices")}
tap.check("invoices", {n: (r["kind"], r["issued"], r["bill_to"], int(Decimal(r["total"]) * 100)) for n, r in table.items()}
          == {n: (e["kind"], e["issued"], e["bill_to"], e["total_minor"]) for n, e in exported.items()})
tap.check("paid, credited and open", (table[big["number"]]["paid"], int(Decimal(table[big["number"]]["open"]) * 100))
          == ("80.00", invoice_json("show", big["number"])["open_minor"]))
nets = collections.Counter()
for row in rows("invoice-lines"):
    nets[row["number"]] += int(Decimal(row["net"]) * 100)
tap.check("lines of invoices add up to them", all(nets[n] == e["net_minor"] for n, e in exported.items()))
tap.check("payments", [(r["date"], r["amount"], r["text"]) for r in rows("payments")]
          == [("2026-06-16", "100.00", "=first, \"part\""), ("2026-06-17", "-20.00", "bounced")])
chemicals = rows("chemicals", "--from", "2026-01-01", "--to", "2026-06-30")
audit = ctl.json("audit", "--from", "2026-01-01", "--to", "2026-06-30", "--json", "--book", book, *NOW)
used, received = collections.Counter(), collections.Counter()
for row in chemicals:
    {"use": used, "receipt": received}.get(row["kind"], collections.Counter())[row["product"]] += int(row["concentrate_ml"] or 0)
tap.check("chemicals add up to the account",
          all((used[p["product_id"]], received[p["product_id"]]) == (p["used_ml"], p["received_ml"]) for p in audit["products"]),
          (used, audit["products"]))

# Safe to open in a spreadsheet; plain otherwise.
raw = ctl.path / "payments.csv"
export("payments", "--spreadsheet", "-o", raw)
text = raw.read_bytes()
tap.check("a spreadsheet is told that it is UTF-8 and sees no formula", text.startswith(b"\xef\xbb\xbf")
          and b"\"'=first, \"\"part\"\"\"" in text and b",-20.00," in text, text)
plain = export("payments").stdout
tap.check("plain cells stay as they are", not plain.startswith("\ufeff") and '"=first, ""part"""' in plain)
export("ledger", "-o", raw)
text = raw.read_bytes()
tap.check("lines end in CRLF", text.count(b"\r\n") == text.count(b"\n") == len(again) + 1 and text.endswith(b"\r\n"))
tap.check("a folder that is not there is told and leaves nothing",
          "could not be written" in export("ledger", "-o", ctl.path / "no" / "l.csv", status=1).stderr)
before = raw.read_bytes()
tap.check("a refused table leaves the file", export("soap", "-o", raw, status=2).returncode == 2 and raw.read_bytes() == before)
tap.check("days where there are none are wrong use", export("accounts", "--from", "2026-01-01", status=2).returncode == 2)
tap.check("a period that ends before it begins is, too",
          export("visits", "--from", "2026-02-01", "--to", "2026-01-01", status=2).returncode == 2)
tap.check("nothing lies about", not [p for p in ctl.path.iterdir() if p.suffix.startswith(".") and len(p.suffix) == 7 and "csv" in p.name])

# Site sheets come back as they went in.
first, second = ctl.path / "first", ctl.path / "second"
first.mkdir()
second.mkdir()
export("sheets", "-o", first)
tap.check("a sheet for each site", {p.name.removesuffix(".site.json") for p in first.iterdir()} == set(sheets))
empty = ctl.path / "empty.tundish"
ctl.run("new", empty, "--test", status=0)
ctl.run("import", *sorted(first.iterdir()), "--book", empty, status=0)
ctl.run("export", "sheets", "-o", second, "--book", empty, status=0)
tap.check("what is exported and imported is exported byte for byte",
          {p.name: p.read_bytes() for p in first.iterdir()} == {p.name: p.read_bytes() for p in second.iterdir()})
tap.check("it says what the sheet said", all(json.loads((first / f"{n}.site.json").read_text())["lines"][0]["id"] == s["lines"][0]["id"]
                                             for n, s in sheets.items()))
same = ctl.run("import", first / "the-tin-heron.site.json", "--book", book, status=0).stdout
tap.check("the book finds it unchanged", "already as in the file" in same, same)
tap.check("one sheet to standard output", export("sheet", "the-tin-heron").stdout.encode()
          == (first / "the-tin-heron.site.json").read_bytes())
tap.check("a site that is not there is told", "nope" in export("sheet", "nope", status=1).stderr)
tap.done()
