#!/usr/bin/env python3
"""Holds a plan and its certificate against a site sheet, in exact whole numbers, with its own methods.

usage: check-certificate.py SITE.json PLAN.json CERTIFICATE.json

Accepts (exit 0) when the plan can be run at the site and every bound of the certificate holds: no plan has
fewer static faucets; none with as few has fewer circuits; none with as few of both needs fewer reversals.
Refuses (exit 1) otherwise and says why.  Losses of lines with measured head_loss_m and the pump's head are
worked out again; losses of lines with segments are taken from the certificate as given.
"""
import itertools
import json
import math
import sys
from functools import lru_cache

ENDLESS = 10**9


class Refused(Exception):
    pass


def need(condition, reason):
    if not condition:
        raise Refused(reason)


def whole(value):
    need(type(value) is int and value >= 0, f"{value!r} is not a whole number")
    return value


# ---- the site: lines, losses, capacity ----

def pump_head(curve, flow):
    points = [(float(q), float(h)) for q, h in curve]
    if len(points) == 3 and points[0][0] == 0:
        (_, a), (q1, h1), (q2, h2) = points
        c = math.log((a - h2) / (a - h1)) / math.log(q2 / q1)
        return a - (a - h1) * (flow / q1) ** c
    for (q1, h1), (q2, h2) in zip(points, points[1:]):
        if flow <= q2 or (q2, h2) == points[-1]:
            return h1 if flow < q1 else h1 + (h2 - h1) * (flow - q1) / (q2 - q1)


class Line:
    def __init__(self, sheet, row, pins):
        one_way = sheet.get("beer_pump") == "one-way" or sheet.get("check_valve", False)
        lever = sheet.get("beer_pump") == "reversible"
        self.kind = "out" if one_way or (lever and "no-reversal=" + sheet["id"] in pins) \
            else "reversible" if lever else "plain"
        self.id = sheet["id"]
        self.tower, self.cooler = "tower:" + sheet["tower"], "cooler:" + sheet["cooler"]
        self.losses = [whole(loss) for loss in row["loss_um"]]
        self.loss, self.known = self.losses[0], row["known"]
        need((row["tower"], row["cooler"], row["kind"]) == (sheet["tower"], sheet["cooler"], self.kind),
             f"line {self.id} is not as the sheet has it")
        if "head_loss_m" in sheet:
            need(self.loss == math.floor(sheet["head_loss_m"] * 1e6 + 0.5) and not self.known,
                 f"the loss of line {self.id} is not the sheet's")
        self.type = (-self.loss, self.tower, self.cooler, self.kind, tuple(self.losses))


class Site:
    def __init__(self, sheet, certificate):
        need(certificate.get("format") == "tundish-certificate/1", "no certificate")
        self.pins = certificate["pins"]
        rows = {row["id"]: row for row in certificate["lines"]}
        need(len(rows) == len(certificate["lines"]) == len(sheet["lines"]), "not the sheet's lines")
        need(all(line["id"] in rows for line in sheet["lines"]), "not the sheet's lines")
        self.lines = {line["id"]: Line(line, rows[line["id"]], self.pins) for line in sheet["lines"]}
        self.sides = {side["id"]: line["id"] for line in sheet["lines"]
                      for side in line.get("side_faucets", [])}
        self.capacities = [whole(c) for c in certificate["capacity_um"]]
        self.capacity = self.capacities[0]
        if "cleaning_pump" in sheet:
            flow = sheet.get("limits", {}).get("min_flow_l_min", 3.785)
            head = pump_head(sheet["cleaning_pump"]["curve"], flow)
            need(abs(self.capacity - math.floor(head * (1 + 1e-9) * 1e6)) <= 1, "not the pump's head")
        self.levels, self.lowest = certificate["levels"], certificate["lowest_first"]
        places = {"tower:" + t["id"] for t in sheet["towers"]} | \
            {"cooler:" + c["id"] for c in sheet["coolers"]}
        need(set(self.lowest) == places and set(self.levels) == places, "not the sheet's places")
        heights = {"tower:" + t["id"]: t.get("height_m", 0) for t in sheet["towers"]}
        heights.update({"cooler:" + c["id"]: c.get("height_m", 0) for c in sheet["coolers"]})
        need(all(heights[a] <= heights[b] for a, b in zip(self.lowest, self.lowest[1:])), "heights")
        names = [pin[8:] for pin in self.pins if pin.startswith("station=")]
        self.station = next((p for n in names for p in ("tower:" + n, "cooler:" + n) if p in places), None)
        self.narrow = self.station is not None or (
            any(self.levels[b] for b in self.levels) and any(l.known for l in self.lines.values()))

    def fits(self, lines, station=None):
        """Within the limits, from a given place or from some place that the circuit touches."""
        if sum(line.loss for line in lines) > self.capacity:
            return False
        touched = {p for line in lines for p in (line.tower, line.cooler)}
        buckets = [p for p in touched if station in (None, p) and self.station in (None, p)]
        if not all(line.known for line in lines):
            return bool(buckets)
        low = next(p for p in self.lowest if p in touched)
        levels = [self.levels[b].get(low, 0) for b in buckets]
        return any(k is not None and sum(line.losses[k] for line in lines) <= self.capacities[k]
                   for k in levels)


# ---- the plan can be run ----

def check_circuit(site, circuit):
    legs = [(site.lines[leg["line"]], leg["direction"] == "in", leg["reversal"]) for leg in circuit["legs"]]
    station = next((p for line, _, _ in legs for p in (line.tower, line.cooler)
                    if p.split(":", 1)[1] == circuit["station"] and
                    p == (legs[0][0].tower if legs[0][1] else legs[0][0].cooler)), None)
    need(station is not None, f"circuit {circuit['number']} does not begin at its station")
    at = station
    for line, runs_in, reversal in legs:
        need(not runs_in or line.kind != "out", f"{line.id} cannot run in")
        need(reversal == (runs_in and line.kind == "reversible"), f"the lever of {line.id}")
        need(at == (line.tower if runs_in else line.cooler), f"{line.id} does not follow")
        at = line.cooler if runs_in else line.tower
    need(at == station, f"circuit {circuit['number']} is not closed")
    lines = [line for line, _, _ in legs]
    need(site.fits(lines, station), f"circuit {circuit['number']} is beyond the limits")
    return {"lines": {line.id for line in lines}, "reversals": sum(r for _, _, r in legs)}


def check_plan(site, plan):
    circuits = [check_circuit(site, circuit) for circuit in plan["circuits"]]
    static = [still["line"] for still in plan["static"]]
    left = {pin[10:] for pin in site.pins if pin.startswith("leave-out=")}
    left |= {side for side, line in site.sides.items() if line in left}
    legs = [leg["line"] for circuit in plan["circuits"] for leg in circuit["legs"]]
    need(sorted(legs + static + sorted(left)) == sorted(list(site.lines) + list(site.sides)),
         "not every faucet stands in the plan once")
    pinned = {pin[7:] for pin in site.pins if pin.startswith("static=")}
    need(pinned <= set(static), "a line pinned static is not")
    fixed = [frozenset(pin[8:].split(",")) for pin in site.pins if pin.startswith("circuit=")]
    need(all(f in [frozenset(c["lines"]) for c in circuits] for f in fixed), "a pinned circuit is missing")
    totals = plan["totals"]
    need((totals["static"], totals["circuits"], totals["reversals"]) ==
         (len(static), len(circuits), sum(c["reversals"] for c in circuits)), "wrong totals")
    free = set(site.lines) - left - pinned - set().union(*fixed) if fixed else set(site.lines) - left - pinned
    return circuits, set(static), [site.lines[i] for i in sorted(free)], [set(f) for f in fixed]


# ---- parts ----

def without_partner(site, lines):
    """Lines that no circuit can hold: no partner within the capacity at one of their ends."""
    lines, alone, changed = list(lines), set(), True
    while changed:
        changed = False
        for line in list(lines):
            for end in ("tower", "cooler"):
                partners = [o.loss for o in lines if o is not line and getattr(o, end) == getattr(line, end)
                            and "out" != (o.kind if line.kind == "out" else "")]
                if not partners or min(partners) + line.loss > site.capacity:
                    alone.add(line.id)
                    lines.remove(line)
                    changed = True
                    break
    return alone, lines


def connected_parts(lines):
    parts = []
    for line in lines:
        touching = [p for p in parts if any(line.tower == o.tower or line.cooler == o.cooler for o in p)]
        parts = [p for p in parts if p not in touching] + [sum(touching, []) + [line]]
    return parts


# ---- bounds ----

def sweep(lines, options, keep, better):
    """Every way to run lines, static or in circuits, balanced at every tower and cooler.  A state is the
    coolers' balances and a count; it keeps the best value of all ways that lead to it."""
    coolers = sorted({line.cooler for line in lines})
    states = {((0,) * len(coolers), 0): 0}
    for _, group in itertools.groupby(sorted(lines, key=lambda l: l.tower), key=lambda l: l.tower):
        for line in group:
            at, after = coolers.index(line.cooler), {}
            for (balance, count), value in states.items():
                for step, more, cost in options(line):
                    key = (balance[:at] + (balance[at] + step,) + balance[at + 1:], count + more)
                    if keep(key[1], value + cost) and (key not in after or better(value + cost, after[key])):
                        after[key] = value + cost
            states = after
        states = {key: value for key, value in states.items() if sum(key[0]) == 0}
    return {count: value for (balance, count), value in states.items() if not any(balance)}


def by_balance(lines, static):
    """Fewest reversals with at most so many static lines, or None."""
    def options(line):
        yield 0, 1, 0
        yield -1, 0, 0
        if line.kind != "out":
            yield 1, 0, int(line.kind == "reversible")
    ends = sweep(lines, options, lambda count, value: count <= static, lambda a, b: a < b)
    return min(ends.values(), default=None)


def heaviest(site, lines, weights):
    """The most that a set of lines weighs which is balanced and within the capacity."""
    def options(line):
        yield 0, 0, 0
        yield -1, weights[line.id], line.loss
        if line.kind != "out":
            yield 1, weights[line.id], line.loss
    ends = sweep(lines, options, lambda count, value: value <= site.capacity, lambda a, b: a < b)
    return max(ends)


def quotas(lines, static, end):
    """Static lines that each place asks for: (place, how many, of which lines); and how many are spare."""
    asked = []
    for place in sorted({getattr(line, end) for line in lines}):
        here = [line for line in lines if getattr(line, end) == place]
        one_way = [line for line in here if line.kind == "out"]
        pairs = min(len(here) - len(one_way), len(here) // 2)
        asked.append((len(here) - 2 * pairs, one_way if 2 * len(one_way) > len(here) else here))
    return asked, static - sum(n for n, _ in asked)


def weigh_circulating(lines, static, weights):
    """The least weight of the lines that stay in circuits."""
    most = []
    for end in ("tower", "cooler"):
        asked, spare = quotas(lines, static, end)
        need(spare >= 0, "so few static lines cannot be")
        taken = [line for n, of in asked for line in sorted(of, key=lambda l: -weights[l.id])[:n]]
        rest = sorted((weights[l.id] for l in lines if l not in taken), reverse=True)
        most.append(sum(weights[line.id] for line in taken) + sum(rest[:spare]))
    return sum(weights[line.id] for line in lines) - min(most)


def by_matching(site, lines, removed):
    """Static lines that pairs at the towers of one cooler leave over, shown by the lines removed."""
    need(len({line.cooler for line in lines}) == 1 and len(set(removed)) == len(removed), "matching")
    left = 0
    for tower in {line.tower for line in lines}:
        here = [line for line in lines if line.tower == tower]
        rest = [line for line in here if line.id not in removed]
        seen, odd = set(), 0
        for line in rest:
            piece, fresh = set(), {line.id} - seen
            while fresh:
                piece |= fresh
                fresh = {o.id for o in rest for i in fresh if o.id not in piece
                         and o.loss + site.lines[i].loss <= site.capacity
                         and "plain" in (o.kind.replace("reversible", "plain"),
                                         site.lines[i].kind.replace("reversible", "plain"))}
            seen |= piece
            odd += len(piece) % 2
        left += max(0, odd - (len(here) - len(rest)))
    return left


class Search:
    """Is there a plan of a part with so many static lines, circuits and reversals?"""

    def __init__(self, site, lines, hints):
        self.site, kinds = site, sorted({line.type for line in lines})
        self.lines = [[line for line in lines if line.type == kind] for kind in kinds]
        self.first = [group[0] for group in self.lines]
        self.hints = [({i: w[l.id] for i, l in enumerate(self.first)}, most) for w, most in hints]
        self.hints.append(({i: l.loss for i, l in enumerate(self.first)}, site.capacity))
        self.known_circuits = {}

    def reversals(self, counts):
        """Fewest reversals of lines as one circuit, None where they are none."""
        lines = [line for i, n in enumerate(counts) for line in self.lines[i][:n]]
        if len(connected_parts(lines)) != 1 or not self.site.fits(lines):
            return None
        return by_balance(lines, 0)

    def circuits(self, free, simple):
        """Circuits that hold a line of the first free type."""
        lead = next(i for i, n in enumerate(free) if n)
        last = {}
        for i, n in enumerate(free):
            if n:
                last[self.first[i].tower] = last[self.first[i].cooler] = i

        def grow(i, chosen, loss, degree):
            if i == len(free):
                if chosen not in self.known_circuits:
                    self.known_circuits[chosen] = self.reversals(chosen)
                if self.known_circuits[chosen] is not None:
                    yield chosen, self.known_circuits[chosen]
                return
            line = self.first[i]
            for n in range(free[i], -1 if i != lead else 0, -1):
                more, there = loss + n * line.loss, dict(degree)
                for place in (line.tower, line.cooler):
                    there[place] = there.get(place, 0) + n
                if more > self.site.capacity or (simple and max(there.values()) > 2):
                    continue
                if any(last.get(place) == i and there[place] % 2 for place in (line.tower, line.cooler)):
                    continue
                yield from grow(i + 1, chosen + (n,), more, there)

        yield from grow(lead, (0,) * lead, 0, {})

    def exists(self, static, circuits, reversals):
        simple = circuits >= ENDLESS and not self.site.narrow

        @lru_cache(maxsize=None)
        def place(free, static, circuits, reversals):
            if sum(free) <= static:
                return True
            lines = [line for i, n in enumerate(free) for line in self.lines[i][:n]]
            if circuits == 0 or any(quotas(lines, static, end)[1] < 0 for end in ("tower", "cooler")):
                return False
            for weights, most in self.hints if circuits < ENDLESS else []:
                by_line = {line.id: weights[i] for i, n in enumerate(free) for line in self.lines[i][:n]}
                if weigh_circulating(lines, static, by_line) > circuits * most:
                    return False
            for chosen, cost in self.circuits(free, simple):
                rest = tuple(a - b for a, b in zip(free, chosen))
                if cost <= reversals and place(rest, static, circuits - 1, reversals - cost):
                    return True
            lead = next(i for i, n in enumerate(free) if n)
            return free[lead] <= static and place(free[:lead] + (0,) + free[lead + 1:],
                                                  static - free[lead], circuits, reversals)

        return place(tuple(len(group) for group in self.lines), static, circuits, reversals)


def check_part(site, lines, part, plan):
    """The bounds of one part; @plan: what the plan needs there: static, circuits, reversals."""
    static, circuits, reversals = plan
    hints = [({line.id: whole(w["by_line"][line.id]) for line in lines}, whole(w["most"]))
             for w in part["weights"]]
    for weights, most in hints:
        need(heaviest(site, lines, weights) <= most, "a circuit weighs more than the certificate says")
    search = Search(site, lines, hints)
    bound, proof = whole(part["static"]["bound"]), part["static"]["proof"]
    if bound > 0 and proof == "balance":
        need(by_balance(lines, bound - 1) is None, "balance does not ask for so many static lines")
    elif bound > 0 and proof == "matching":
        need(by_matching(site, lines, part["removed"]) >= bound, "more lines can be paired")
    elif bound > 0:
        need(not search.exists(bound - 1, ENDLESS, ENDLESS), "fewer static lines are possible")
    bound, proof = whole(part["circuits"]["bound"]), part["circuits"]["proof"]
    if bound > 0 and proof in ("loss", "weights"):
        tried = [({line.id: line.loss for line in lines}, site.capacity)] if proof == "loss" else hints[:1]
        need(tried and weigh_circulating(lines, static, tried[0][0]) > (bound - 1) * tried[0][1],
             "the weights do not show so many circuits")
    elif bound > 0:
        need(not search.exists(static, bound - 1, ENDLESS), "fewer circuits are possible")
    bound, proof = whole(part["reversals"]["bound"]), part["reversals"]["proof"]
    if bound > 0 and proof == "balance":
        least = by_balance(lines, static)
        need(least is None or least >= bound, "balance does not ask for so many reversals")
    elif bound > 0:
        need(not search.exists(static, circuits, bound - 1), "fewer reversals are possible")
    return [whole(part[key]["bound"]) for key in ("static", "circuits", "reversals")]


def check(sheet, plan, certificate):
    site = Site(sheet, certificate)
    circuits, static, free, fixed = check_plan(site, plan)
    alone, rest = without_partner(site, free)
    parts = connected_parts(rest)
    outside = [p for p in parts if site.station and site.station not in
               {place for line in p for place in (line.tower, line.cooler)}]
    alone |= {line.id for p in outside for line in p}
    parts = {frozenset(line.id for line in p): p for p in parts if p not in outside}
    need(alone == set(certificate["alone"]) and len(alone) == len(certificate["alone"]), "lines alone")
    need(sorted(map(sorted, parts)) == sorted(sorted(p["lines"]) for p in certificate["parts"]), "parts")
    bounds, proven = [len(static - {l.id for p in parts.values() for l in p}), len(fixed)], True
    for part in certificate["parts"]:
        ids = frozenset(part["lines"])
        inside = [c for c in circuits if c["lines"] & ids]
        need(all(c["lines"] <= ids for c in inside), "a circuit leaves its part")
        needs = (len(static & ids), len(inside), sum(c["reversals"] for c in inside))
        shown = check_part(site, parts[ids], part, needs)
        bounds = [bounds[0] + shown[0], bounds[1] + shown[1]]
        proven = proven and shown == list(needs)
    need((plan["bound"]["static"], plan["bound"]["circuits"]) == tuple(bounds), "other bounds than shown")
    need(plan["proven"] == proven, "the plan claims what is not shown" if plan["proven"] else "too modest")


def main():
    sheet, plan, certificate = (json.load(open(name, encoding="utf-8")) for name in sys.argv[1:4])
    sys.setrecursionlimit(10000)
    try:
        check(sheet, plan, certificate)
    except Refused as reason:
        print(f"refused: {reason}")
        return 1
    except (KeyError, TypeError, ValueError, IndexError, AttributeError) as reason:
        print(f"refused: not a certificate of this plan ({reason!r})")
        return 1
    print("accepted")
    return 0


if __name__ == "__main__":
    sys.exit(main())
