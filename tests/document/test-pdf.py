#!/usr/bin/env python3
"""Service reports as files: what other people's tools say about them.

usage: test-pdf.py MAKE_REPORT SOURCE_DIR
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

make_report, source = sys.argv[1], pathlib.Path(sys.argv[2])
here = source / "tests" / "document"
REPLAYS = sorted(p.stem for p in (source / "tests" / "replay").glob("*.jsonl"))
count = failures = 0


def check(name, problems):
    global count, failures
    count += 1
    failures += bool(problems)
    print(f"{'not ok' if problems else 'ok'} {count} - {name}")
    for line in list(problems)[:12]:
        print("# " + str(line))


def run(*words, **more):
    return subprocess.run([str(w) for w in words], capture_output=True, text=True, **more)


def make(folder, name, *options):
    pdf = folder / "out.pdf"
    if name == "hard":
        words = ["--site", folder / "hard.site.json", folder / "hard.jsonl"]
    else:
        words = [name]
    made = run(make_report, *words, "-o", pdf, "--json", *options)
    if made.returncode != 0:
        sys.exit(f"{name}: {made.stderr}")
    return pdf, json.loads(made.stdout)


def text_of(pdf, *options):
    return run("pdftotext", *options, pdf, "-").stdout


def words_of(pdf):
    """Every word as (page, x0, y0, x1, y1, word), and the size of the pages."""
    out, page, size = [], 0, None
    for line in text_of(pdf, "-bbox").splitlines():
        found = re.match(r'\s*<page width="([\d.]+)" height="([\d.]+)"', line)
        if found:
            page, size = page + 1, (float(found[1]), float(found[2]))
        found = re.match(r'\s*<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>', line)
        if found:
            out.append((page, *map(float, found.groups()[:4]), found[5]))
    return out, page, size


def outside(words, size):
    """Words that leave the sheet's margins: 16 mm at the sides, with 4 points for marks and rounding."""
    side, top, bottom = 16 * 72 / 25.4 - 4, 20, size[1] - 20
    return [w for w in words if w[5] != "DRAFT" and
            (w[1] < side or w[3] > size[0] - side or w[2] < top or w[4] > bottom)]


def overlaps(words, skip):
    """Pairs of words that lie over each other by more than rounding; upright words of drawings left out."""
    bad = []
    flat = [w for w in words if w[0] not in skip and w[5] != "DRAFT" and w[4] - w[2] < 25]
    for i, a in enumerate(flat):
        for b in flat[i + 1:i + 400]:
            if a[0] == b[0] and min(a[3], b[3]) - max(a[1], b[1]) > 1.5 and min(a[4], b[4]) - max(a[2], b[2]) > 4.5:
                bad.append(f"page {a[0]}: {a[5]!r} and {b[5]!r}")
    return bad


def drawing_pages(pdf, pages):
    """Pages that hold a drawing: from its heading to that of the next section."""
    inside, found = False, set()
    for page in range(1, pages + 1):
        text = text_of(pdf, "-f", str(page), "-l", str(page))
        inside = inside or "The lines, as they" in text
        if inside:
            found.add(page)
        if "Line by line" in text:
            inside = False
    return found


def leaves(value):
    if isinstance(value, dict):
        for one in value.values():
            yield from leaves(one)
    elif isinstance(value, list):
        for one in value:
            yield from leaves(one)
    elif value is not None and not isinstance(value, bool):
        yield value


def missing_figures(text, report):
    """Times and figures with units that stand on paper and not in the JSON. Only what the program itself
    writes is looked at: a figure inside somebody's words is in the JSON as those words. (100 mL stands in
    the sentence that explains what a strength is a share of.)"""
    said = " ".join(v for v in leaves(report) if isinstance(v, str))
    numbers = [v for v in leaves(report) if isinstance(v, (int, float))]
    times = set(re.findall(r"T(\d\d:\d\d)", said)) | set(re.findall(r"T(\d\d:\d\d:\d\d)", said))
    for value in numbers:
        if isinstance(value, int) and 0 <= value < 100000:
            times.add(f"{value // 60}:{value % 60:02d}")
    bad = [t for t in re.findall(r"(?<![\d:+−-])(\d{1,4}:\d\d(?::\d\d)?)(?![\d:])", text) if t not in times and t not in said]
    forms = {"mL": lambda v: [f"{v:.0f}"], "L": lambda v: [f"{v / 1000:.2f}", f"{v:.2f}"],
             "°C": lambda v: [f"{v:.1f}", f"{v / 1000:.1f}"], "bar": lambda v: [f"{v / 100:.2f}", f"{v / 100000:.2f}"],
             "%": lambda v: [f"{v:.2f}", f"{v:.3f}", f"{v / 1000:.2f}", f"{v / 1000:.3f}"],
             "L/min": lambda v: [f"{v:.1f}", f"{v / 1000:.1f}"],
             "mL/s": lambda v: [f"{v / 60:.0f}", f"{v * 1000 / 60:.0f}"], "ppm": lambda v: [f"{v:.0f}"]}
    for figure, unit in re.findall(r"(\d+(?:\.\d+)?)\s(mL/s|L/min|mL|L|°C|bar|%|ppm)(?![\w/])", text):
        known = (figure, unit) == ("100", "mL") or any(figure in forms[unit](v) for v in numbers)
        if not known and not re.search(re.escape(figure) + r"\s" + re.escape(unit), said):
            bad.append(f"{figure} {unit}")
    return bad


def test_replay(folder, name, paper, units):
    pdf, report = make(folder, name, "--paper", paper, "--units", units)
    label = f"{name}, {paper}, {units}"
    words, pages, size = words_of(pdf)
    text = text_of(pdf, "-layout")
    checked = run("qpdf", "--check", pdf)
    check(f"{label}: qpdf finds nothing wrong", [] if checked.returncode == 0 else [checked.stdout, checked.stderr])
    fonts = run("pdffonts", pdf).stdout.splitlines()[2:]
    check(f"{label}: every font is embedded, subset and readable as text",
          [f for f in fonts if not re.search(r"\byes\s+yes\s+yes\b", f)] + ([] if fonts else ["no fonts"]))
    want = (595.28, 841.89) if paper == "a4" else (612, 792)
    check(f"{label}: the sheet has its size", [] if abs(size[0] - want[0]) < 0.01 and abs(size[1] - want[1]) < 0.01 else [size])
    check(f"{label}: no word leaves the margins", outside(words, size))
    check(f"{label}: no word lies over another", overlaps(words, drawing_pages(pdf, pages)))
    check(f"{label}: pages are numbered",
          [n for n in range(1, pages + 1) if f"Page {n} of {pages}" not in text_of(pdf, "-f", str(n), "-l", str(n))])
    first = text_of(pdf, "-l", "1")
    must = [line for line in report["lines"] if line["pour"] == "must-not-pour"]
    check(f"{label}: page 1 says what must not be poured",
          [] if ("MUST NOT BE POURED" in first) == bool(must) or name == "hard" else [first])
    if report["seal"]:
        check(f"{label}: the first 12 digits of the seal stand unbroken on every page",
              [n for n in range(1, pages + 1) if report["seal"][:12] not in text_of(pdf, "-f", str(n), "-l", str(n))])
        check(f"{label}: the whole seal stands in one piece", [] if report["seal"] in text else ["broken"])
    else:
        check(f"{label}: every page says that it is a draft",
              [n for n in range(1, pages + 1) if "Draft, not closed" not in text_of(pdf, "-f", str(n), "-l", str(n))])
    if units == "metric" and name != "hard":
        check(f"{label}: the JSON holds every figure of the paper", missing_figures(text, report))
    return pdf, report


def test_information(folder):
    pdf, report = make(folder, REPLAYS[0])
    first = pdf.read_bytes()
    information = run("pdfinfo", "-isodates", pdf).stdout
    closed = run("date", "-u", "-d", report["closed"], "+%Y-%m-%dT%H:%M:%SZ").stdout.strip()
    wanted = [f"Title:           Service report {report['number']}, {report['site']}", f"Author:          {report['company']}",
              f"CreationDate:    {closed}", f"ModDate:         {closed}", "Tagged:          yes"]
    check("title, author and the visit's own dates are in the file", [w for w in wanted if w not in information])
    catalog = run("qpdf", "--show-object=trailer", "--json", "--json-key=objects", pdf).stdout or run("qpdf", "--json", pdf).stdout
    check("the language is in the catalog", [] if re.search(r'"/Lang": "(u:)?en"', catalog) else ["no /Lang"])
    check("the same visit gives the same bytes", [] if make(folder, REPLAYS[0])[0].read_bytes() == first else ["differ"])
    rasters = run("pdftoppm", "-r", "30", "-gray", "-f", "1", "-l", "2", pdf, folder / "page")
    dark = []
    for page in sorted(folder.glob("page*.pgm")):
        data = page.read_bytes()
        pixels = data.split(b"\n", 3)[3]
        if min(pixels) > 60:
            dark.append(page.name)
    check("pages are not empty when they are drawn", dark or ([rasters.stderr] if rasters.returncode else []))


def test_scripts(folder, pdf, report):
    text = "".join(text_of(pdf).split())
    check("Greek, Cyrillic and Chinese names can be read out of the file",
          [w for w in ("Ουζερίτηςπαλιάςαγοράς", "Пивнаянауглустаройплощади", "老街角的啤酒吧") if w not in text])
    check("all 60 lines are in the JSON", [] if len(report["lines"]) == 60 else [len(report["lines"])])
    faults = "".join(f["text"] for f in report["faults"])
    check("a word longer than a column is broken without a letter lost or put in",
          [] if "Supercalifragilisticexpialidociousantidisestablishmentarianismfloccinaucinihilipilificationincomprehensibilities" in text
          and faults else ["torn"])


def test_missing_fonts(folder):
    empty, target = folder / "fonts.conf", folder / "kept.pdf"
    empty.write_text('<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig></fontconfig>')
    target.write_text("an older file")
    environment = dict(os.environ, FONTCONFIG_FILE=str(empty))
    made = run(make_report, REPLAYS[0], "-o", target, env=environment)
    check("missing fonts are an error that says what to install",
          [] if made.returncode == 1 and "fonts-dejavu-core" in made.stderr else [made.returncode, made.stderr])
    check("nothing was written then", [] if target.read_text() == "an older file" else ["overwritten"])
    only = folder / "only.conf"
    only.write_text('<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>'
                    "<dir>/usr/share/fonts/truetype/dejavu</dir></fontconfig>")
    made = run(make_report, "--site", folder / "hard.site.json", folder / "hard.jsonl", "-o", target,
               env=dict(os.environ, FONTCONFIG_FILE=str(only)))
    check("a script without a font is an error that names the letter",
          [] if made.returncode == 1 and "U+" in made.stderr else [made.returncode, made.stderr])


def test_write_errors(folder):
    made = run(make_report, REPLAYS[0], "-o", folder / "no" / "such" / "folder.pdf")
    check("a file that cannot be written is told in one sentence",
          [] if made.returncode == 1 and "could not be written" in made.stderr else [made.stderr])
    left = [p.name for p in folder.iterdir() if ".pdf." in p.name]
    check("no temporary file stays behind", left)


def main():
    os.environ["G_TEST_SRCDIR"] = str(source / "tests")
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        subprocess.run([sys.executable, here / "hard-visit.py", folder], check=True)
        for replay in REPLAYS:
            test_replay(folder, replay, "a4", "metric")
        test_replay(folder, REPLAYS[0], "letter", "us")
        pdf, report = test_replay(folder, "hard", "letter", "metric")
        test_scripts(folder, pdf, report)
        test_information(folder)
        test_missing_fonts(folder)
        test_write_errors(folder)
    print(f"1..{count}")
    sys.exit(1 if failures else 0)


main()
