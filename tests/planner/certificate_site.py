"""A site sheet as the checker of certificates sees it: lines, losses, limits, and whether a plan can be run.

Losses, capacities and pressure levels are worked out here from the sheet, by Darcy and Weisbach, Hagen and
Poiseuille, Colebrook and White (fixed point), and a cubic that meets both laws in value and slope between
Re 2000 and 4000.  Of the certificate only the solution's density and viscosity (held against water's), the
jumper hose and the flows of the pressure levels are taken.  All later comparisons are of whole micrometres.
"""
import math

G, EPS = 9.80665, 1e-9


class Refused(Exception):
    pass


def need(condition, reason):
    if not condition:
        raise Refused(reason)


def whole(value):
    need(type(value) is int and value >= 0, f"{value!r} is not a whole number")
    return value


# ---- hydraulics ----

def pump_head(curve, flow):
    points = [(float(q), float(h)) for q, h in curve]
    if len(points) == 3 and points[0][0] == 0:
        (_, a), (q1, h1), (q2, h2) = points
        return a - (a - h1) * (flow / q1) ** (math.log((a - h2) / (a - h1)) / math.log(q2 / q1))
    for (q1, h1), (q2, h2) in zip(points, points[1:]):
        if flow <= q2 or (q2, h2) == points[-1]:
            return h1 if flow < q1 else h1 + (h2 - h1) * (flow - q1) / (q2 - q1)


def colebrook(reynolds, rough):
    root = 8.0
    for _ in range(60):
        root = -2 * math.log10(rough / 3.7 + 2.51 * root / reynolds)
    return root ** -2


def friction(reynolds, rough):
    if not 2000 < reynolds < 4000:
        return 64 / reynolds if reynolds <= 2000 else colebrook(reynolds, rough)
    t, laminar, turbulent = (reynolds - 2000) / 2000, 64 / 2000, colebrook(4000, rough)
    slope = 2000 * (colebrook(4001, rough) - colebrook(3999, rough)) / 2
    return ((2*t**3 - 3*t**2 + 1) * laminar - (t**3 - 2*t**2 + t) * laminar
            + (3*t**2 - 2*t**3) * turbulent + (t**3 - t**2) * slope)


def loss_um(tubes, flow, density, viscosity):
    """Head in micrometres that tubes lose in series: (length, bore, roughness in m, k); flow in L/min."""
    metres = 0
    for length, bore, rough, k in tubes:
        velocity = flow / 60000 / (math.pi / 4 * bore**2)
        f = friction(density * velocity * bore / viscosity, rough / bore)
        metres += (f * length / bore + k) * velocity**2 / (2 * G)
    return metres * 1e6


# ---- the site ----

class Line:
    def __init__(self, sheet, row, pins, level_loss):
        one_way = sheet.get("beer_pump") == "one-way" or sheet.get("check_valve", False)
        lever = sheet.get("beer_pump") == "reversible"
        self.kind = "out" if one_way or (lever and "no-reversal=" + sheet["id"] in pins) \
            else "reversible" if lever else "plain"
        self.id, self.known = sheet["id"], "segments" in sheet
        self.tower, self.cooler = "tower:" + sheet["tower"], "cooler:" + sheet["cooler"]
        need((row["tower"], row["cooler"], row["kind"]) == (sheet["tower"], sheet["cooler"], self.kind),
             f"line {self.id} is not as the sheet has it")
        self.losses = [whole(loss) for loss in row["loss_um"]]
        self.loss = self.losses[0]
        if self.known:
            tubes = [(s["length_m"], s["bore_mm"] / 1e3, s.get("roughness_mm", 0.0015) / 1e3, s.get("k", 0))
                     for s in sheet["segments"]]
            mine = level_loss(tubes)
        else:
            mine = [math.floor(sheet["head_loss_m"] * 1e6 + 0.5)]
        need(len(mine) == len(self.losses) and
             all(abs(a - b) <= (1 + 1e-7 * a if self.known else 0) for a, b in zip(mine, self.losses)),
             f"the loss of line {self.id} is not the sheet's")
        self.type = (-self.loss, self.tower, self.cooler, self.kind, tuple(self.losses))


class Site:
    def __init__(self, sheet, certificate):
        need(certificate.get("format") == "tundish-certificate/1", "no certificate")
        self.pins = certificate["pins"]
        limits = sheet.get("limits", {})
        self.check_fluid(sheet.get("solution", {}), certificate)
        curve = sheet.get("cleaning_pump", {"curve": [[0, 40], [6, 30], [10, 10]]})["curve"]
        flows = [whole(flow) / 1e9 for flow in certificate["flow_nl_min"]]
        self.capacities = [whole(c) for c in certificate["capacity_um"]]
        self.capacity = self.capacities[0]
        heads = [pump_head(curve, flow) for flow in flows]
        need(abs(flows[0] - limits.get("min_flow_l_min", 3.785)) < 1e-8, "not the sheet's least flow")
        need(len(heads) == len(self.capacities) and
             all(abs(math.floor(h * (1 + EPS) * 1e6) - c) <= 1 for h, c in zip(heads, self.capacities)),
             "not the pump's head")
        rows = {row["id"]: row for row in certificate["lines"]}
        need(len(rows) == len(certificate["lines"]) == len(sheet["lines"]) and
             all(line["id"] in rows for line in sheet["lines"]), "not the sheet's lines")
        jumper = certificate["jumper"]
        hose = (jumper["length_mm"] / 1e3, jumper["bore_um"] / 1e6, jumper["roughness_nm"] / 1e9, jumper["k_milli"] / 1e3)
        self.lines = {line["id"]: Line(line, rows[line["id"]], self.pins, lambda tubes: [
            loss_um(tubes + [hose], flow, self.density, self.viscosity) for flow in flows]) for line in sheet["lines"]}
        self.sides = {side["id"]: line["id"] for line in sheet["lines"] for side in line.get("side_faucets", [])}
        self.check_levels(sheet, certificate, curve, flows, heads, limits.get("max_pressure_kpa", 414))
        names = [pin[8:] for pin in self.pins if pin.startswith("station=")]
        self.station = next((p for n in names for p in ("tower:" + n, "cooler:" + n) if p in self.levels), None)
        self.narrow = self.station is not None or (
            any(self.levels.values()) and any(line.known for line in self.lines.values()))

    def check_fluid(self, solution, certificate):
        """Between water's figures (Vogel's law for viscosity) and what so many per cent can add."""
        percent, celsius = solution.get("percent", 2), solution.get("temperature_c", 40)
        self.density = whole(certificate["density_mg_m3"]) / 1e6
        self.viscosity = whole(certificate["viscosity_fpa_s"]) / 1e15
        water = 2.414e-5 * 10 ** (247.8 / (celsius + 133.15))
        need(0.95 < self.viscosity / water < 1.05 * 1.12 ** percent, "not the solution's viscosity")
        need(980 < self.density < 1003 * (1 + 0.015 * percent), "not the solution's density")

    def check_levels(self, sheet, certificate, curve, flows, heads, most_kpa):
        self.levels, self.lowest = certificate["levels"], certificate["lowest_first"]
        heights = {kind[:-1] + ":" + place["id"]: place.get("height_m", 0)
                   for kind in ("towers", "coolers") for place in sheet[kind]}
        need(set(self.lowest) == set(heights) == set(self.levels), "not the sheet's places")
        need(all(heights[a] <= heights[b] for a, b in zip(self.lowest, self.lowest[1:])), "heights")
        known = any(line.known for line in self.lines.values())
        need(known or not any(self.levels.values()), "levels of pressure without a known tube")
        for bucket in heights if known else []:
            for low in heights:
                level, head = self.levels[bucket].get(low, 0), most_kpa * 1e3 / (self.density * G)
                head -= heights[bucket] - heights[low]
                if heights[low] > heights[bucket]:
                    need(level == 0, "a lowest place above the bucket")
                elif level == -1:
                    need(head <= EPS or curve[-1][1] >= head and curve[0][1] == curve[-1][1], "some flow keeps the pressure")
                elif level == 0:
                    need(heads[0] <= head * (1 + 1e-6), "the least flow does not keep the pressure")
                else:
                    need(abs(heads[whole(level)] - head) <= 1e-6 * head and flows[level] > flows[0], "level of pressure")

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
        return any(k >= 0 and sum(line.losses[k] for line in lines) <= self.capacities[k] for k in levels)


# ---- the plan can be run ----

def check_circuit(site, circuit):
    legs = [(site.lines[leg["line"]], leg["direction"] == "in", leg["reversal"]) for leg in circuit["legs"]]
    first = legs[0][0].tower if legs[0][1] else legs[0][0].cooler
    need(first.split(":", 1)[1] == circuit["station"], f"circuit {circuit['number']} does not begin at its station")
    at = first
    for line, runs_in, reversal in legs:
        need(not runs_in or line.kind != "out", f"{line.id} cannot run in")
        need(reversal == (runs_in and line.kind == "reversible"), f"the lever of {line.id}")
        need(at == (line.tower if runs_in else line.cooler), f"{line.id} does not follow")
        at = line.cooler if runs_in else line.tower
    need(at == first, f"circuit {circuit['number']} is not closed")
    need(site.fits([line for line, _, _ in legs], first), f"circuit {circuit['number']} is beyond the limits")
    return {"lines": {line.id for line, _, _ in legs}, "reversals": sum(r for _, _, r in legs)}


def check_plan(site, plan):
    """Returns the circuits, the ids held static, the lines that were free, and the circuits pinned."""
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
    free = set(site.lines) - left - pinned - frozenset().union(*fixed)
    return circuits, set(static), [site.lines[i] for i in sorted(free)], fixed
