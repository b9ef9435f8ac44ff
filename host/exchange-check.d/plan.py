"""What a plan has the handheld warn of, counted again for every cow: floors and open lesions, and how
much horn can have regrown. The rules are those of firmware/core/WARNINGS.md, questions/src/notices/
NOTICES.md and casebook/CASES.md."""

import json
import math
import shutil

from harness import same
from recount_cases import HORN, keyed_at, state
from recount_facts import date_of, herds, opened
from recount_notices import (HORN_OPENED, LEFT_OUT, REGROWN_DAYS, REGROWN_MM, target_of)

# Asymmetric and scissor claws: the shape of a foot.
SHAPES_OF_FEET = (51, 53)
FEET = ("left fore", "right fore", "left hind", "right hind")
# What a byte of the plan holds, fifths of a millimetre.
MOST_FIFTHS = 255
FLOORS = {"floor": 72.5, "floor-first": 70, "floor-jersey": 68, "heels": 3}


def place_of(place):
    foot, side = place
    return f"{FEET[foot]}, {('outer', 'inner')[side - 1]} claw" if side else f"{FEET[foot]} foot"


def asked_after(herd, cow, day):
    """Her cases that are open on the day; of claw shapes and thin soles nobody asks."""
    for case in herd.book(cow, day)["cases"]:
        foot, side = case["place"]
        shape = case["lesion"] in (LEFT_OUT if side else SHAPES_OF_FEET)
        if foot is not None and not shape and state(case, day) == "open":
            yield case


def open_places(herd, cow, day):
    places = {tuple(case["place"]) for case in asked_after(herd, cow, day)}
    # Claws first, then feet.
    return [place_of(place) for place in sorted(places, key=lambda one: (one[1] == 0, one))]


def regrown_mm(herd, cow, day):
    """Of the claw that has had the longest time, rounded up to fifths of a millimetre."""
    cases = [case for case in asked_after(herd, cow, day) if case["lesion"] in HORN]
    days = []
    for claw in {tuple(case["place"]) for case in cases if case["place"][1]}:
        opened_on = [fact.day for fact in herd.facts.get(cow, []) if fact.day < day
                     and (fact.what, fact.code) == ("DO", HORN_OPENED) and keyed_at(fact) == claw]
        found = [case["found"] for case in cases if tuple(case["place"]) == claw]
        days.append(day - (max(opened_on) if opened_on else min(found)))
    fifths = math.ceil(REGROWN_MM * max(days, default=0) / REGROWN_DAYS * 5 - 1e-6)
    return fifths / 5 if 0 < fifths <= MOST_FIFTHS else None


def floor_mm(herd, cow, floors):
    breed, lactation = herd.kinds.get(cow, (None, None))
    if lactation == 0:
        return None
    own, target = herd.target, target_of(herd, cow)
    of_breed = floors.get("floor-jersey") if "jersey" in (breed or "").lower() else None
    first = floors.get("floor-first") if lactation == 1 else None
    said = own or of_breed or first or (target and target[0]) or floors.get("floor")
    return said and math.floor(said * 2) / 2


def told(bench, herd, day):
    iso = date_of(day).isoformat()
    said = bench.hornrule("plan", "--show", "--farm", herd.name, "--day", iso, "--json")
    return json.loads(said)


def counted_again(bench):
    """Of every visit of the demo, the day after and two weeks later, with and without floors in the
    file."""
    bench.db = "plan.db"
    shutil.copy(bench.path("hornrule-demo/herd.db"), bench.path(bench.db))
    counted = {"open": 0, "regrown_mm": 0, "floor_mm": 0}
    for floors in ({}, FLOORS):
        lines = "".join(f"{key} = {mm}\n" for key, mm in floors.items())
        bench.path("hornrule.toml").write_text(f"[plan]\n{lines}", encoding="utf-8")
        for herd in herds(opened(str(bench.path(bench.db)))):
            for day in sorted({on + later for on in herd.visits() for later in (0, 1, 14)}):
                plan = told(bench, herd, day)
                same(plan["heels_differ_mm"], floors.get("heels"), "the limit for heels")
                for row in plan["cows"]:
                    cow = int(row["cow"])
                    ours = {"open": open_places(herd, cow, day),
                            "regrown_mm": regrown_mm(herd, cow, day),
                            "floor_mm": floor_mm(herd, cow, floors)}
                    same({key: row[key] for key in ours}, ours, f"cow {cow} on {date_of(day)}")
                    for key, value in ours.items():
                        counted[key] += bool(value)
    bench.path("hornrule.toml").unlink()
    for key, times in counted.items():
        same(times > 0, True, f"{key} was counted")


def checks(bench):
    bench.check("plans: floors, open lesions and regrown horn counted again",
                lambda: counted_again(bench))
