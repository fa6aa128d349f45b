#!/usr/bin/python3
"""Works the window from outside, through the accessibility bus, as a screen reader would, and asks the
command line what came of it.

usage: outside.py TUNDISH TUNDISHCTL
"""
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time

# A session bus of its own. Its services write to their standard output as they like, which must not be the test's.
if "TUNDISH_TAP" not in os.environ:
    tap = os.dup(1)
    sys.exit(subprocess.run(["dbus-run-session", "--", sys.executable, *sys.argv], stdout=sys.stderr, pass_fds=[tap],
                            env={**os.environ, "TUNDISH_TAP": str(tap)}).returncode)
sys.stdout = os.fdopen(int(os.environ["TUNDISH_TAP"]), "w")

import gi  # noqa: E402

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


def until(what, look, patience=60):
    end = time.monotonic() + patience
    while time.monotonic() < end:
        try:
            found = look()
        except Exception:  # an object that has just gone
            found = None
        if found:
            return found
        time.sleep(0.1)
    print(f"Bail out! waited too long for {what}", flush=True)
    raise SystemExit(1)


def walk(node, depth=0):
    yield node
    if depth > 40:
        return
    for i in range(node.childCount):
        child = node.getChildAtIndex(i)
        if child is not None:
            yield from walk(child, depth + 1)


# GTK 4.8 shows the bus hidden pages too, and does not say "showing" of what is in sight: what is pressed there before
# its page comes does nothing, and is pressed again.
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


def entries(visit):
    out = subprocess.run([tundishctl, "record", "--count", visit, "--book", book], capture_output=True, text=True, check=True)
    return int(out.stdout)


# What only somebody on the spot knows, in the units of the screen.
ANSWERS = {"Name": "Petra Vane", "Strength": "2.1", "Temperature": "104", "pH": "7.1"}


def begun(commit):
    """Presses until the book has the visit: what lies on a page that is only about to be shown does nothing yet."""
    act(commit)
    for _ in range(30):
        new = [v for v in visits(book) if v["id"] not in before]
        if new:
            return new
        time.sleep(0.1)
    return None


def next_act(application):
    return next((n for n in walk(application) if n.getRole() == pyatspi.ROLE_PUSH_BUTTON and n.name.startswith("Next: ")), None)


def find_form(application):
    return next(n for n in walk(application) if n.name == "TdWizardForm")


def fill_in(form):
    for node in list(walk(form)):
        if node.getRole() == pyatspi.ROLE_TEXT and node.name in ANSWERS:
            node.queryEditableText().setTextContents(ANSWERS[node.name])
    act(find(form, pyatspi.ROLE_PUSH_BUTTON, "Record"))


def work_on(application, visit):
    """Does what the wizard proposes and fills in what it asks for. Returns what that was."""
    had = entries(visit)
    following = until("the next act", lambda: next_act(application))
    name = following.name
    act(following)
    for _ in range(15):
        time.sleep(0.1)
        if entries(visit) != had:
            return name
    if name == "Next: Adopt a plan":
        act(find(application, pyatspi.ROLE_PUSH_BUTTON, "Adopt this plan"))
    else:
        fill_in(find_form(application))
    until("the entry of " + name, lambda: entries(visit) != had)
    return name


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

        site = "Two Lanterns Bar" if "Two Lanterns Bar" not in with_open else "Penny Weir Club"
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
        new = until("the visit", lambda: begun(commit))
        check("the arrival can be written down: the book has one visit more, open, at that site",
              len(new) == 1 and new[0]["state"] == "open" and new[0]["site"] == site, json.dumps(new))
        visit = new[0]["id"]
        done = []
        while len(done) < 40 and find(application, pyatspi.ROLE_LABEL, "of 15 min") is None:
            done.append(work_on(application, visit))
        check("a tag is hung by what the wizard says", "Next: Hang a tag on each of these faucets" in done, ", ".join(done))
        check("the chemical is in and its clock is on the bus", find(application, pyatspi.ROLE_LABEL, "of 15 min") is not None,
              ", ".join(done))
        check("each act was in the book before the next", entries(visit) > len(done), str(entries(visit)))
        back = find(application, pyatspi.ROLE_PUSH_BUTTON, "Back")
        check("the way back has a name and an action", back is not None and act(back))
    finally:
        program.terminate()
        program.wait(10)
finally:
    shutil.rmtree(home, ignore_errors=True)
print(f"1..{count}")
sys.exit(1 if failures else 0)
