#!/usr/bin/env python3
"""Holds a plan and its certificate against a site sheet, in exact whole numbers, with its own methods.

usage: check-certificate.py SITE.json PLAN.json CERTIFICATE.json

Accepts (exit 0) when the plan can be run at the site and every bound of the certificate holds: no plan has
fewer static faucets; none with as few has fewer circuits; none with as few of both needs fewer reversals.
Refuses (exit 1) otherwise and says why.  Sheet, losses and limits: certificate_site.py.
"""
import itertools
import json
import os
import sys
from functools import lru_cache

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from certificate_site import Refused, Site, check_plan, need, whole

ENDLESS = 10**9


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
    """Static lines that pairs between one tower and one cooler leave over, shown by the lines removed; rings
    over more places hold at most so many of the lightest lines as have a quarter of the capacity each."""
    need(len(set(removed)) == len(removed), "matching")
    left, total, ring = 0, 0, 0
    for cell in {(line.tower, line.cooler) for line in lines}:
        here = [line for line in lines if (line.tower, line.cooler) == cell]
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
    for n, loss in enumerate(sorted(line.loss for line in lines), 1):
        total += loss
        ring = n if 4 * total <= n * site.capacity else ring
    wide = len({line.tower for line in lines}) > 1 and len({line.cooler for line in lines}) > 1
    return left - (ring if wide and ring >= 4 else 0)


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
