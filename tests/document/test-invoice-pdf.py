#!/usr/bin/env python3
"""Invoices, credit notes, statements and bound documents as files: their words against golden files, and what
qpdf says of them. TUNDISH_UPDATE=1 writes the golden files anew.

usage: test-invoice-pdf.py MAKE_INVOICE MAKE_REPORT SOURCE_DIR
"""
import difflib
import os
import pathlib
import re
import subprocess
import sys
import tempfile

make_invoice, make_report, source = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
golden = source / "tests" / "document" / "golden"
count = failures = 0


def check(name, problems):
    global count, failures
    count += 1
    failures += bool(problems)
    print(f"{'not ok' if problems else 'ok'} {count} - {name}")
    for line in list(problems)[:20]:
        print("# " + str(line))


def run(*words):
    return subprocess.run([str(w) for w in words], capture_output=True, text=True)


def make(folder, kind):
    pdf = folder / f"{kind}.pdf"
    made = run(make_invoice, kind, pdf)
    if made.returncode != 0:
        sys.exit(f"{kind}: {made.stderr}")
    return pdf


def text_of(pdf):
    """The words in their places: each line with the blanks between words, but without those at its end."""
    lines = run("pdftotext", "-layout", pdf, "-").stdout.replace("\f", "-- page --\n").splitlines()
    return "\n".join(line.rstrip() for line in lines if line.strip()) + "\n"


def pages_of(pdf):
    return int(run("qpdf", "--show-npages", pdf).stdout)


def compare(kind, text):
    path = golden / f"{kind}.txt"
    if os.environ.get("TUNDISH_UPDATE"):
        path.write_text(text)
    expected = path.read_text() if path.exists() else ""
    check(f"{kind}: the words of its pages", list(difflib.unified_diff(
        expected.splitlines(), text.splitlines(), "golden", "now", lineterm="")))


with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    texts = {}
    for kind in ["draft", "invoice", "credit", "statement", "many", "bound"]:
        pdf = make(folder, kind)
        texts[kind] = text_of(pdf)
        if kind != "bound":
            compare(kind, texts[kind])
        whole = run("qpdf", "--check", pdf)
        check(f"{kind}: qpdf --check", [] if whole.returncode == 0 else (whole.stdout + whole.stderr).splitlines())
        first = pdf.read_bytes()
        check(f"{kind}: the same bytes again", [] if make(folder, kind).read_bytes() == first else ["they differ"])

    report = folder / "report.pdf"
    made = run(make_report, "02-tin-heron-routine", "-o", report)
    problems = [] if made.returncode == 0 else [made.stderr]
    if texts["bound"] != texts["invoice"] + text_of(report):
        problems.append("its words are not those of the invoice and then of the report")
    if pages_of(folder / "bound.pdf") != pages_of(folder / "invoice.pdf") + pages_of(report):
        problems.append("its pages are not those of both")
    check("bound: the invoice, then the report, each whole", problems)

    problems = [] if pages_of(folder / "many.pdf") > 1 else ["one page is too few to say anything"]
    heads = len(re.findall(r"^.*\bNo\.\s+What\b", texts["many"], re.M))
    if heads < pages_of(folder / "many.pdf") - 1:
        problems.append(f"the head of the table stands {heads} times only")
    check("many: the table's head on each page it goes on to", problems)
    check("draft: says that it is one", [] if "DRAFT" in texts["draft"] else ["it does not"])
    check("credit: names what it takes back", [] if "INV-00042" in texts["credit"] else ["it does not"])
    check("invoice: the reason of the exemption", [] if "training of the payer" in texts["invoice"] else ["is missing"])

print(f"1..{count}")
sys.exit(1 if failures else 0)
