#!/usr/bin/env python3
"""Every document of a book, looked at with other programs: qpdf, pdffonts, pdftotext, pdfinfo.

usage: test-documents.py TUNDISHCTL
"""
import hashlib
import re
import subprocess
import sys

from tap import Ctl, Tap

tap = Tap()
ctl = Ctl(sys.argv[1])
book = ctl.path / "documents.tundish"
ctl.run("demo", book, "--visits", "3", status=0)


def tool(*words):
    return subprocess.run(list(map(str, words)), capture_output=True, text=True)


def flat(text):
    return re.sub(r"\s+", " ", text)


for visit in ctl.json("visits", "--book", book, "--json"):
    name = visit["number"] or "draft"
    for paper, size in (("a4", "595"), ("letter", "612")):
        pdf = ctl.path / f"{name}-{paper}.pdf"
        ctl.run("report", visit["id"], "--book", book, "-o", pdf, "--paper", paper, status=0)
        tap.check(f"{name} {paper}: qpdf finds nothing", (q := tool("qpdf", "--check", pdf)).returncode == 0, q.stderr)
        fonts = tool("pdffonts", pdf).stdout.splitlines()[2:]
        tap.check(f"{name} {paper}: every font is embedded",
                  fonts and all(" yes " in line[40:] for line in fonts), "\n".join(fonts))
        info = tool("pdfinfo", pdf).stdout
        tap.check(f"{name} {paper}: the paper is right", re.search(rf"Page size:\s+{size}", info), info)
        tap.check(f"{name} {paper}: title and author are set",
                  re.search(r"Title:\s+\S", info) and re.search(r"Author:\s+\S", info), info)
        pages = int(re.search(r"Pages:\s+(\d+)", info).group(1))
        first = flat(tool("pdftotext", "-layout", "-f", "1", "-l", "1", pdf, "-").stdout)
        tap.check(f"{name} {paper}: page 1 of {pages}", re.search(rf"\b1\b\D+\b{pages}\b", first), first[-200:])
        tap.check(f"{name} {paper}: the site is named", visit["site"] in first, first[:300])
    text = flat(tool("pdftotext", pdf, "-").stdout)
    if visit["state"] == "open":
        tap.check("the open visit is marked DRAFT", "DRAFT" in text)
        continue
    tap.check(f"{name}: not marked DRAFT", "DRAFT" not in text)
    report = ctl.json("report", visit["id"], "--book", book, "--json")
    tap.check(f"{name}: the seal's first twelve digits stand unbroken", report["seal"][:12] in text)
    missing = [c["lot"] for c in report["chemicals"] if c["lot"] and c["lot"] not in text]
    missing += [f["text"] for f in report["faults"] if flat(f["text"]) not in text]
    missing += [t["hung_by"] for t in report["lockouts"] if t["hung_by"] not in text]
    for line in report["lines"]:
        if line["rinse_ph"] is not None:
            missing += [] if f"{line['rinse_ph']:g}" in text or f"{line['rinse_ph']:.2f}" in text else [
                f"{line['id']}: pH {line['rinse_ph']}"]
        if line["contact_s"]:
            shown = f"{int(line['contact_s']) // 60}:{int(line['contact_s']) % 60:02d}"
            missing += [] if shown in text else [f"{line['id']}: {shown}"]
    tap.check(f"{name}: what the JSON tells stands on paper", not missing, missing)
    again = ctl.path / "again.pdf"
    ctl.run("report", visit["id"], "--book", book, "-o", again, "--paper", "letter", status=0)
    tap.check(f"{name}: the same data gives the same bytes",
              hashlib.sha256(again.read_bytes()).digest() == hashlib.sha256(pdf.read_bytes()).digest())
done = ctl.run("report", "0000", "--book", book, "-o", ctl.path / "none.pdf")
tap.check("a visit that is not there is refused", done.returncode == 1 and not (ctl.path / "none.pdf").exists())
tap.done()
