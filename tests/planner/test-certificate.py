#!/usr/bin/env python3
"""Certificates of plans are accepted by the independent checker, and refused once they are spoiled.

usage: test-certificate.py MAKE_PLAN CHECKER DATA_DIR
"""
import copy
import importlib.util
import json
import pathlib
import random
import subprocess
import sys
import tempfile

make_plan, checker_path, data = sys.argv[1:4]
spec = importlib.util.spec_from_file_location("checker", checker_path)
checker = importlib.util.module_from_spec(spec)
spec.loader.exec_module(checker)
folder = tempfile.TemporaryDirectory()
proofs, refusals, spoiled = set(), 0, 0


def made_up_site(rand):
    """A sheet whose losses make every kind of proof necessary now and then."""
    towers, coolers = rand.randint(1, 3), rand.choice([1, 1, 2, 3])
    capacity = rand.choice([200.0, 401.0])
    style = rand.choice(["any", "thirds", "heavy", "few", "short"])
    loss = {"any": lambda: rand.randint(20, 160),
            "thirds": lambda: round(capacity / rand.choice([2.5, 2.9, 3.8, 4.7]) + rand.random() * 3, 3),
            "heavy": lambda: round(capacity * rand.choice([0.15, 0.3, 0.6, 0.7, 0.85]) + rand.random(), 3),
            "short": lambda: round(capacity * (0.26 + 0.2 * rand.random()), 3),
            "few": lambda: rand.choice([60, 120])}[style]
    one_way, levers = rand.choice([0, 0.2, 0.4]), rand.choice([0, 0.3, 0.6])
    lines = []
    for i in range(rand.randint(4, 15)):
        what = rand.random()
        lines.append({"id": f"L{i + 1}", "number": i + 1, "tower": f"T{rand.randint(1, towers)}",
                      "cooler": f"C{rand.randint(1, coolers)}",
                      "beer_pump": "one-way" if what < one_way else
                      "reversible" if what < one_way + levers else "none",
                      "head_loss_m": loss(), "volume_ml": 1000})
    return {"format": "tundish-site/1", "coolers": [{"id": f"C{i + 1}"} for i in range(coolers)],
            "towers": [{"id": f"T{i + 1}"} for i in range(towers)], "lines": lines,
            "cleaning_pump": {"curve": [[0, capacity * 1.2], [3.8, capacity], [7.6, capacity * 0.4]]},
            "limits": {"min_flow_l_min": 3.8, "max_pressure_kpa": 1000000}}


def known_tubes(rand):
    """A sheet with segments and heights, so that the pressure limit bites."""
    sheet = made_up_site(rand)
    for line in sheet["lines"]:
        del line["head_loss_m"], line["volume_ml"]
        line["segments"] = [{"material": "barrier", "bore_mm": 9.525, "length_m": rand.randint(10, 60)}]
    for tower in sheet["towers"]:
        tower["height_m"] = rand.choice([0, 3, 6])
    sheet["cleaning_pump"]["curve"] = [[0, 45], [4, 38], [8, 15]]
    sheet["limits"] = {"min_flow_l_min": 3.785, "max_pressure_kpa": 400}
    return sheet


def plan_site(sheet, pins=()):
    names = [str(pathlib.Path(folder.name) / n) for n in ("site.json", "plan.json", "certificate.json")]
    pathlib.Path(names[0]).write_text(json.dumps(sheet))
    subprocess.run([make_plan, *names, *pins], check=True)
    return names, json.loads(pathlib.Path(names[1]).read_text()), json.loads(pathlib.Path(names[2]).read_text())


def is_accepted(sheet, plan, certificate):
    try:
        checker.check(sheet, plan, certificate)
    except (checker.Refused, KeyError, TypeError, ValueError, IndexError, AttributeError):
        return False
    return True


def spoil(rand, plan, certificate):
    """Yields (what, plan, certificate) with one thing made false."""
    def change(what, edit):
        p, c = copy.deepcopy(plan), copy.deepcopy(certificate)
        if edit(p, c) is not False:
            yield what, p, c

    def add(container, key, step):
        container[key] += step

    any_line = rand.randrange(len(certificate["lines"]))
    yield from change("capacity up", lambda p, c: add(c["capacity_um"], 0, 10))
    yield from change("capacity down", lambda p, c: add(c["capacity_um"], 0, -10))
    yield from change("no format", lambda p, c: c.pop("format"))
    yield from change("loss", lambda p, c: add(c["lines"][any_line]["loss_um"], 0, 40)
                      if len(c["flow_nl_min"]) > 0 else False)
    yield from change("viscosity", lambda p, c: c.update(viscosity_fpa_s=2 * c["viscosity_fpa_s"]))
    yield from change("density", lambda p, c: c.update(density_mg_m3=c["density_mg_m3"] // 2))
    yield from change("least flow", lambda p, c: add(c["flow_nl_min"], 0, 1000000))
    yield from change("level", lambda p, c: c["levels"][c["lowest_first"][-1]].update({c["lowest_first"][0]: 7}))
    kinds = ["out", "plain", "reversible"]
    yield from change("kind", lambda p, c: c["lines"][any_line].update(
        kind=kinds[(kinds.index(c["lines"][any_line]["kind"]) + 1) % 3]))
    yield from change("line gone", lambda p, c: c["lines"].pop(any_line))
    yield from change("line twice", lambda p, c: c["lines"].append(c["lines"][any_line]))
    yield from change("place gone", lambda p, c: c["lowest_first"].pop())
    yield from change("pin added", lambda p, c: c["pins"].append("static=" + (p["circuits"][0]["legs"][0]["line"]
                                                                              if p["circuits"] else "nothing")))
    yield from change("alone", lambda p, c: c["alone"].append(c["lines"][any_line]["id"]))
    yield from change("nobody alone", lambda p, c: c["alone"].pop() if c["alone"] else False)
    yield from change("static not counted", lambda p, c: p["static"].pop() if p["static"] else False)
    yield from change("totals", lambda p, c: add(p["totals"], "circuits", 1))
    yield from change("claimed otherwise", lambda p, c: p.update(proven=not p["proven"]))
    yield from change("bound of the plan up", lambda p, c: add(p["bound"], "static", 1))
    yield from change("bound of the plan down", lambda p, c: add(p["bound"], "circuits", -1))
    if certificate["parts"]:
        at = rand.randrange(len(certificate["parts"]))
        yield from change("part gone", lambda p, c: c["parts"].pop(at))
        yield from change("line out of its part", lambda p, c: c["parts"][at]["lines"].pop())
        for key in ("static", "circuits", "reversals"):
            yield from change(key + " up", lambda p, c: add(c["parts"][at][key], "bound", 1))
            yield from change(key + " no number", lambda p, c: c["parts"][at][key].update(bound=0.5))
            if certificate["parts"][at][key]["bound"] > 0:
                yield from change(key + " down", lambda p, c: add(c["parts"][at][key], "bound", -1))
        for i, weights in enumerate(certificate["parts"][at]["weights"]):
            line = max(weights["by_line"], key=weights["by_line"].get)
            yield from change("too heavy", lambda p, c: add(
                c["parts"][at]["weights"][i]["by_line"], line, weights["most"] + 1))
            yield from change("weight gone", lambda p, c: c["parts"][at]["weights"][i]["by_line"].pop(line))
        if certificate["parts"][at]["static"]["proof"] == "matching":
            yield from change("witness gone", lambda p, c: c["parts"][at].update(
                removed=c["parts"][at]["removed"][:-1]) if c["parts"][at]["removed"] else False)
            yield from change("witness too large", lambda p, c: c["parts"][at].update(
                removed=c["parts"][at]["lines"]))
    for number, circuit in enumerate(plan["circuits"]):
        leg = rand.randrange(len(circuit["legs"]))
        yield from change("leg turned", lambda p, c: p["circuits"][number]["legs"][leg].update(
            direction="out" if circuit["legs"][leg]["direction"] == "in" else "in"))
        yield from change("leg gone", lambda p, c: p["circuits"][number]["legs"].pop(leg))
        yield from change("lever", lambda p, c: p["circuits"][number]["legs"][leg].update(
            reversal=not circuit["legs"][leg]["reversal"]))
        yield from change("station", lambda p, c: p["circuits"][number].update(station="nowhere"))


def try_site(rand, sheet, pins=()):
    global refusals, spoiled
    names, plan, certificate = plan_site(sheet, pins)
    checker.check(sheet, plan, certificate)
    for part in certificate["parts"]:
        proofs.update((key, part[key]["proof"]) for key in ("static", "circuits", "reversals")
                      if part[key]["bound"] > 0)
        places = {sheet_line["cooler"] for sheet_line in sheet["lines"] if sheet_line["id"] in part["lines"]}
        if part["static"]["proof"] == "matching" and part["static"]["bound"] > 0 and len(places) > 1:
            proofs.add(("static", "matching over several coolers"))
    for what, p, c in spoil(rand, plan, certificate):
        spoiled += 1
        if is_accepted(sheet, p, c):
            raise AssertionError(f"accepted although spoiled: {what}; {json.dumps(sheet)} {pins}")
        refusals += 1
    return names, plan


def test_references():
    rand = random.Random(1)
    for path in sorted(pathlib.Path(data).glob("*.site.json")):
        try_site(rand, json.loads(path.read_text()))


def test_made_up():
    rand = random.Random(2)
    for _ in range(120):
        try_site(rand, made_up_site(rand))


def test_pressure():
    rand = random.Random(3)
    for _ in range(20):
        try_site(rand, known_tubes(rand))


def test_pins():
    rand = random.Random(4)
    for _ in range(40):
        sheet = made_up_site(rand)
        lines = [line["id"] for line in rand.sample(sheet["lines"], 3)]
        pins = [f"static={lines[0]}", f"leave-out={lines[1]}", f"no-reversal={lines[2]}"]
        if rand.random() < 0.5:
            pins.append("station=" + rand.choice(sheet["towers"] + sheet["coolers"])["id"])
        try_site(rand, sheet, pins)


def test_program():
    """The checker as a program: exit codes, and certificates of another site."""
    rand = random.Random(5)
    names, _ = try_site(rand, made_up_site(rand))
    run = lambda *args: subprocess.run([sys.executable, checker_path, *args], capture_output=True).returncode
    assert run(*names) == 0
    other = pathlib.Path(folder.name) / "other.json"
    other.write_text(json.dumps(made_up_site(rand)))
    assert run(str(other), names[1], names[2]) == 1
    assert run(names[0], names[2], names[1]) == 1


def test_worth():
    """Every kind of proof was met, and enough was spoiled."""
    wanted = {("static", "balance"), ("static", "matching"), ("static", "matching over several coolers"), ("static", "search"), ("circuits", "loss"),
              ("circuits", "search"), ("reversals", "balance"), ("reversals", "search")}
    assert wanted <= proofs, wanted - proofs
    assert refusals == spoiled > 3000, spoiled


tests = [test_references, test_made_up, test_pressure, test_pins, test_program, test_worth]
failures = 0
print(f"1..{len(tests)}")
for number, test in enumerate(tests, 1):
    try:
        test()
        print(f"ok {number} - {test.__name__}", flush=True)
    except Exception as reason:  # every failure is reported as TAP
        failures += 1
        print(f"not ok {number} - {test.__name__}\n# {type(reason).__name__}: {str(reason)[:3000]}", flush=True)
sys.exit(failures > 0)
