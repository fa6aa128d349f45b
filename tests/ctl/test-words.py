#!/usr/bin/env python3
"""Words of a call and lines of a file as people write them: negative figures, "-" for standard output, blank
lines, a book that cannot be written.

usage: test-words.py TUNDISHCTL
"""
import os
import shutil
import subprocess
import sys

from tap import Ctl, Tap

NOBODY = 65534

tap = Tap()
ctl = Ctl(sys.argv[1])
book = ctl.path / "demo.tundish"
ctl.run("demo", book, status=0)

# A negative figure is a value, not an option; what follows an option stays its value.
done = ctl.run("settings", "beer-temperature-c-milli", "-500", "--book", book, status=0)
tap.check("a negative value is taken", "-500" in done.stdout, done.stdout)
done = ctl.run("settings", "acid-interval-months", "-5", "--book", book)
tap.check("one out of range is refused, not misunderstood", done.returncode == 1 and "1" in done.stderr, done.stderr)
tap.check("an unknown option is still wrong use", ctl.run("settings", "-x", "--book", book).returncode == 2)
tap.check("-- still ends the options",
          ctl.run("settings", "--book", book, "--", "beer-temperature-c-milli", "-400").returncode == 0)

# "-" is standard output.
number = next(v["number"] for v in ctl.json("visits", "--book", book, "--json") if v["number"])
ctl.run("report", number, "--book", book, "-o", "r.pdf", status=0)
for words in (["report", number], ["audit", "--from", "2026-01-01", "--to", "2026-06-30"],
              ["audit", "--extract", "--site", "two-lanterns-bar"], ["due", "--day", "2026-06-16", "--technician", "nora"],
              ["labels", "two-lanterns-bar"], ["linemap", "two-lanterns-bar"],
              ["invoice", "statement", "lark-and-barrow-taverns"]):
    # The clock stands in the file of some: the same minute is enough, and they are short.
    done = subprocess.run([ctl.program, *words, "--book", str(book), "-o", "-"], capture_output=True, env=ctl.env, cwd=ctl.path)
    ctl.run(*words, "--book", book, "-o", "r.pdf", status=0)
    tap.check(f"{' '.join(words[:2])} -o - writes the file to standard output",
              done.returncode == 0 and done.stdout[:5] == b"%PDF-" and abs(len(done.stdout) - (ctl.path / "r.pdf").stat().st_size) < 64,
              done.stderr)
tap.check("and no file of that name", not (ctl.path / "-").exists())
tap.check("both -o - and --json is wrong use",
          all(ctl.run(*words, "--book", book, "-o", "-", "--json").returncode == 2
              for words in (["report", number], ["audit", "--from", "2026-01-01", "--to", "2026-06-30"],
                            ["due", "--day", "2026-06-16", "--technician", "nora"])))

# Lines that hold nothing.
done = ctl.run("record", "--book", book, stdin="\n   \n\t \r\n")
tap.check("record passes blank lines over", done.returncode == 0 and done.stdout == "", done.stdout + done.stderr)
(ctl.path / "a.csv").write_text("name,phone\r\nWeir Taverns,1\r\n\r\nLock Inns,2\r\n\r\n\r\n")
done = ctl.run("import", "a.csv", "--book", book, status=0)
tap.check("blank lines of CSV are passed over", "2 new" in done.stdout, done.stdout)
(ctl.path / "b.csv").write_text("name,phone\n\nWeir Taverns\n")
done = ctl.run("import", "b.csv", "--book", book)
tap.check("and are counted in errors", done.returncode == 1 and "line 3" in done.stderr, done.stderr)

# A preview tells and writes nothing.
(ctl.path / "c.csv").write_text("name,phone\nWeir Taverns,9\nSluice Bars,\n,4\n")
done = ctl.run("import", "c.csv", "--preview", "--book", book)
tap.check("a preview tells new, changed and refused rows with their lines",
          done.returncode == 1 and "line 2: account Weir Taverns: changed\n    phone: 1 -> 9\n" in done.stdout
          and "line 3: account Sluice Bars: new\n" in done.stdout and "line 4: account -: refused: " in done.stdout,
          done.stdout)
tap.check("and writes nothing",
          "0 new" in ctl.run("import", "a.csv", "--preview", "--book", book, status=0).stdout)

# A book that cannot be written is read.
shelf = ctl.path / "shelf"
shelf.mkdir()
ctl.run("backup", book, shelf / "copy.tundish", status=0)
(shelf / "copy.tundish").chmod(0o444)
shelf.chmod(0o555)
ctl.path.chmod(0o755)


# The folder of the build may be closed to everybody else: what is given up must still be able to run the program.
program = ctl.path / "program"
shutil.copy(ctl.program, program)
program.chmod(0o755)


def as_nobody(*words):
    """Root may write anything: give that up where we have it."""
    drop = (lambda: (os.setgid(NOBODY), os.setuid(NOBODY))) if os.geteuid() == 0 else None
    return subprocess.run([program, *map(str, words)], capture_output=True, text=True, preexec_fn=drop,
                          env=dict(ctl.env, HOME="/nonexistent"), cwd=shelf, stdin=subprocess.DEVNULL)


def is_reachable():
    try:
        return as_nobody("--version").returncode == 0
    except PermissionError:
        return False


if is_reachable():
    copy = shelf / "copy.tundish"
    for words in (["visits"], ["due"], ["check"], ["settings"], ["report", number, "--json"], ["stock", "list"],
                  ["invoice", "list"], ["audit", "--from", "2026-01-01", "--to", "2026-12-31"]):
        done = as_nobody(*words, "--book", copy)
        tap.check(f"{' '.join(words[:1])} reads a book that cannot be written", done.returncode == 0, done.stderr)
    done = as_nobody("settings", "acid-interval-months", "4", "--book", copy)
    tap.check("a change is refused", done.returncode == 1 and "written" in done.stderr, done.stderr)
    tap.check("and nothing appears beside it", [p.name for p in shelf.iterdir()] == ["copy.tundish"],
              list(shelf.iterdir()))
else:
    tap.skip("a book that cannot be written is read", "another user does not reach the folder of the test")
shelf.chmod(0o755)
tap.done()
