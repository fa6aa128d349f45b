#!/usr/bin/python3
"""Works the window from outside, through the accessibility bus, as a screen reader would, and asks the
command line what came of it.

usage: dbus-run-session -- outside.py TUNDISH TUNDISHCTL
"""
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time

import gi

gi.require_version("Atspi", "2.0")
import pyatspi  # noqa: E402

tundish, tundishctl = sys.argv[1:3]
count = failures = 0


def check(name, ok, detail=""):
    global count, failures
    count += 1
    failures += not ok
    print(f"{'ok' if ok else 'not ok'} {count} - {name}", flush=True)
    if not ok and detail:
        print("# " + detail, flush=True)
    return ok


def until(what, look, patience=20):
    end = time.monotonic() + patience
    while time.monotonic() < end:
        try:
            found = look()
        except Exception:  # an object that has just gone
            found = None
        if found:
            return found
        time.sleep(0.1)
    raise SystemExit(f"Bail out! waited too long for {what}")


def walk(node, depth=0):
    yield node
    if depth > 40:
        return
    for i in range(node.childCount):
        child = node.getChildAtIndex(i)
        if child is not None:
            yield from walk(child, depth + 1)


# GTK 4.8 shows the bus what is visible and nothing else, and does not say "showing" of any of it.
def find(root, role, name):
    for node in walk(root):
        if node.getRole() == role and node.name == name:
            return node
    return None


def act(node, word="click"):
    action = node.queryAction()
    for i in range(action.nActions):
        if action.getName(i) in (word, "activate"):
            return action.doAction(i)
    return False


def visits(book):
    out = subprocess.run([tundishctl, "visits", "--book", book, "--json"], capture_output=True, text=True, check=True)
    return json.loads(out.stdout)


home = tempfile.mkdtemp(prefix="tundish-outside-")
try:
    for name in ("XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME"):
        os.environ[name] = os.path.join(home, name)
        os.mkdir(os.environ[name])
    book = os.path.join(home, "demo.tundish")
    subprocess.run([tundishctl, "demo", book], check=True, stdout=subprocess.DEVNULL)
    before = {v["id"] for v in visits(book)}
    with_open = {v["site"] for v in visits(book) if v["state"] == "open"}
    program = subprocess.Popen([tundish, "--book", book])
    try:
        desktop = pyatspi.Registry.getDesktop(0)
        application = until("the program on the bus", lambda: next(
            (a for a in desktop if a is not None and a.name == "tundish"), None))
        search = until("the search", lambda: find(application, pyatspi.ROLE_ENTRY, "Search accounts, sites and addresses"))
        check("the program is on the bus, with its round", True)

        site = "Kestrel Yard" if "Kestrel Yard" not in with_open else "Penny Weir Club"
        text = search.queryEditableText()
        check("words can be put into the search", text.setTextContents(site))
        until("one row", lambda: find(application, pyatspi.ROLE_LABEL, "1 site"))
        check("the round shows what was searched for", True)

        nameless = [n.getRoleName() for n in walk(application)
                    if n.getRole() in (pyatspi.ROLE_PUSH_BUTTON, pyatspi.ROLE_TOGGLE_BUTTON, pyatspi.ROLE_ENTRY)
                    and not n.name]
        check("every button and entry in sight has a name", not nameless, ", ".join(nameless))
        doubled = [n.name for n in walk(application) if n.name and len(n.name) % 2 == 1
                   and n.name[:len(n.name) // 2] == n.name[len(n.name) // 2 + 1:]]
        check("no name is said twice", not doubled, ", ".join(doubled))

        row = next(n for n in walk(application) if n.getRole() == pyatspi.ROLE_PUSH_BUTTON and n.name.startswith(site))
        check("a row has a name and a way to open it", act(row, "row.open"), row.name)
        begin = until("the site", lambda: find(application, pyatspi.ROLE_PUSH_BUTTON, "Begin a visit"))
        check("that opens the site", find(application, pyatspi.ROLE_LABEL, site) is not None)

        check("a visit can be begun", act(begin))
        commit = until("the form", lambda: find(application, pyatspi.ROLE_PUSH_BUTTON, "Arrived: begin the visit"))
        check("the arrival can be written down",
              any(commit.queryAction().getName(i) in ("click", "activate") for i in range(commit.queryAction().nActions)))
        # Nothing is written until it is asked for.
        check("looking at the form has not begun a visit", {v["id"] for v in visits(book)} == before)
    finally:
        program.terminate()
        program.wait(10)
finally:
    shutil.rmtree(home, ignore_errors=True)
print(f"1..{count}")
sys.exit(1 if failures else 0)
