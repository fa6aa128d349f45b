#!/usr/bin/env python3
"""A site of 60 lines and a visit to it that is hard to print: long names and words, four scripts, long
prose, many faults, an incident, a line left out of service.

usage: hard-visit.py DIRECTORY      writes hard.site.json and hard.jsonl there
"""
import json
import pathlib
import sys

NAMES = ["The Long Room behind the Old Customs House at the Far End of the Quay", "Ουζερί της παλιάς αγοράς",
         "Пивная на углу старой площади", "老街角的啤酒吧", "Donaudampfschifffahrtsgesellschaftskapitänsmützenbar", "B"]
BEERS = ["House lager", "Ξανθιά μπύρα του σπιτιού", "Тёмное бархатное", "黑啤酒", "Rauchmärzenstarkbierspezialausschank",
         "Oak-aged sour brown ale of the autumn before last"]
PROSE = ("The line foams at the faucet whenever the cooler has defrosted; the sheath of the trunk is wet. "
         "Η γραμμή αφρίζει όταν ο ψύκτης ξεπαγώνει. Линия пенится после оттайки охладителя. 冷却器除霜后管线起泡。 "
         "Supercalifragilisticexpialidociousantidisestablishmentarianismfloccinaucinihilipilificationincomprehensibilities. ")
VISIT = "019eced0-a200-7001-9b01-54554e444099"
NUMBER, TOWERS = 60, 6
# Of the ten lines of a tower: the second and the fifth can run inwards.
PUMPS = ["none", "reversible", "one-way", "none", "reversible"] + ["one-way", "none"] * 2 + ["reversible"]


def site():
    lines = [{"id": f"L{i + 1}", "number": i + 1, "tower": f"T{i // 10 + 1}", "cooler": f"C{1 if i // 10 < 3 else 2}",
              "beer_pump": PUMPS[i % 10], "fob": i % 2 == 0, "product": BEERS[i % 6],
              "head_loss_m": 5, "volume_ml": 900} for i in range(NUMBER)]
    return {"format": "tundish-site/1",
            "account": {"name": "Κάβα & Сыновья & 公司 of the Seven Quays, Limited by Guarantee and by Nothing Else"},
            "site": {"name": "The House of Six Bars, formerly the Customs House and the Rope Walk", "zone": "Asia/Kolkata",
                     "address": "1 Quay Row, Port Larrick", "interval_days": 14},
            "coolers": [{"id": "C1", "name": "Cold room under the arches"}, {"id": "C2", "name": "Ψυγείο"}],
            "towers": [{"id": f"T{i + 1}", "name": NAMES[i]} for i in range(TOWERS)], "lines": lines}


class Visit:
    def __init__(self):
        self.minute, self.out = 0, []

    def act(self, kind, minutes=1, person="nora", **fields):
        self.minute += minutes
        total = 4 * 60 + self.minute
        when = f"2026-07-{6 + total // 1440:02d}T{total // 60 % 24:02d}:{total % 60:02d}:00+05:30"
        self.out.append({"visit": VISIT, "kind": kind, "happened": when, "person": person, **fields})


def visit():
    v = Visit()
    ids = [f"L{i + 1}" for i in range(NUMBER)]
    v.act("arrival", site="hard", work="routine", crew=["dara", "ines", "milo"], sds_at_hand="yes", text=PROSE * 3)
    for i in range(TOWERS):
        v.act("staff-told", tower=f"T{i + 1}", name="Αλέξανδρος Παπαδόπουλος" if i % 2 else "小林さん, early shift")
    for cooler in "C1", "C2":
        v.act("cold-room-checked", cooler=cooler, co2="normal", co2_ppm=700, access="clear")
    v.act("scope", clean="caustic", lines=ids)
    circuits = [{"number": n + 1, "station": f"T{n + 1}",
                 "legs": [{"line": f"L{n * 10 + a}", "direction": d, "reversal": "yes" if d == "in" else "no"}
                          for a, d in ((2, "in"), (1, "out"), (5, "in"), (4, "out"))]} for n in range(TOWERS)]
    v.act("plan-adopted", source="hand", plan={"circuits": circuits, "static": [
        {"line": f"L{n * 10 + 3}", "cooler": "C1" if n < 3 else "C2", "fed_by": n + 1} for n in range(TOWERS)]})
    v.act("protection-on", eyes="yes", gloves="yes", apron="yes")
    for n in range(TOWERS):
        v.act("tag-hung", tag=f"t{n}", tag_kind="tag", at="outlet", line=f"L{n * 10 + 3}",
              legend="DO NOT OPEN. Μην ανοίγετε. Не открывать. 勿开。")
    v.act("solution-mixed", batch="m", product="caustic-30", lot="caustic-2603", concentrate_ml=9000, water_ml=120000,
          percent_milli=2213, basis="w/w", temperature_c_milli=41000, known="accepted")
    for n in range(TOWERS):
        v.act("cleaning-pump-on", circuit=n + 1, flow_ml_min=5000)
        v.act("chemical-in", circuit=n + 1, batch="m")
        v.act("return-in-bucket", circuit=n + 1)
        v.act("chemical-seen", circuit=n + 1, batch="m")
        v.act("contact-ended", 9 if n == 2 else 17, circuit=n + 1)
        v.act("rinse-started", circuit=n + 1)
    v.act("ph-read", of="tap", ph_milli=7400, instrument="meter-1", known="measured")
    for n in range(TOWERS - 1):
        lines = [f"L{n * 10 + a}" for a in (1, 2, 4, 5)]
        v.act("ph-read", of="outlet", lines=lines, ph_milli=7430 + n, instrument="meter-1", known="measured")
        v.act("beer-clear", lines=lines)
        v.act("beer-clear", lines=lines)
    v.act("incident", what="exposure", text=PROSE, action="Eyes rinsed for 20 minutes. " + PROSE)
    for n in range(8):
        v.act("fault", line=f"L{n * 7 + 1}", symptom="foaming", extent="intermittent", cause="balance-temperature",
              severity=["safety", "stops-service", "quality", "advisory"][n % 4], text=PROSE * (1 + n % 3),
              action="Reported. " + PROSE, quote_wanted="yes" if n % 2 else "no", follow_up="yes")
    v.act("part-fitted", line="L4", part="Faucet shaft seal, the one with the long name and the longer order number", quantity=2)
    v.act("note", text=(PROSE * 20)[:3900])
    v.act("out-of-service", lines=["L51"], condition="holding", reason=PROSE, handed_to="Κατερίνα, night manager")
    v.act("line-left-out", lines=[i for i in ids if int(i[1:]) % 10 in (6, 7, 8, 9, 0)],
          reason="Not poured in summer. " + PROSE)
    return v.out


def main():
    folder = pathlib.Path(sys.argv[1])
    (folder / "hard.site.json").write_text(json.dumps(site(), ensure_ascii=False, indent=1))
    with open(folder / "hard.jsonl", "w") as out:
        for entry in visit():
            print(json.dumps(entry, ensure_ascii=False), file=out)


if __name__ == "__main__":
    main()
