"""What the office is to look at before the farm goes home, by the rules of questions/src/notices/
NOTICES.md. Part of recount.py, which says what for.
"""

import recount_counts as counts
import recount_derived
from recount_cases import DERMATITIS, HORN, LETTERS, WALL, keyed_at
from recount_facts import date_of

ULCERS = (13, 14, 15)
# Ulcers, toe necrosis, white line abscess; then double sole, white line fissure and separation,
# circumscribed haemorrhage. Thin sole, corkscrew claw and concave wall are left out.
OPEN, DAMAGED, LEFT_OUT = (13, 14, 15, 16, 22), (12, 17, 21, 23), (18, 52, 54)
ABOUT_BLOCKS = {*range(10, 20), *range(40, 48)}
HORN_OPENED, REGROWN = 31, 7
# Millimetres in fourteen days at best.
REGROWN_MM, REGROWN_DAYS = 3.175, 14
HOLSTEIN_MM, MATURE_LACTATION = 75, 2
HOLSTEINS = ("hol", "hf", "sbt", "rbt")
# Of walls shorter than so many mm: the mean of inner (2) and outer (1) claws.
SHORT_MM, MEANS_OF_SHORT = 70, {2: 3.8, 1: 4.0}
FOR_THE_FARMER = ("block on the lesion", "short wall")


def rank(case):
    kind = 3 if case["lesion"] in OPEN else 2 if case["lesion"] in DAMAGED else 1
    return kind, case["grade"]


def worst(cases, claw):
    """Those of the claw that are as bad as any there."""
    here = [case for case in cases if case["place"] == claw and case["lesion"] in HORN
            and case["lesion"] not in LEFT_OUT]
    return [case for case in here if rank(case) == max(map(rank, here))]


def blocks(cases, book, said):
    for block in book["blocks"]:
        foot, side = block["place"]
        spoken_of = any(fact.what == "DO" and fact.code in ABOUT_BLOCKS
                        and keyed_at(fact) in ((foot, side), (foot, 0)) for fact in said)
        those, partner = worst(cases, (foot, side)), worst(cases, (foot, 3 - side))
        if block["end"] is None and spoken_of and side and those and (
                not partner or rank(those[0]) > rank(partner[0])):
            yield block["place"], {"notice": "block on the lesion",
                                   "case": {case["id"] for case in those},
                                   "block_since": date_of(block["since"]).isoformat(),
                                   "letters": {LETTERS[case["lesion"]] for case in those}}


def wraps(cases, book, day):
    for wrap in book["wraps"]:
        here = [case for case in cases if case["place"][0] == wrap["place"][0]]
        ulcers = [case for case in here if case["lesion"] in ULCERS]
        if (wrap["on"] == day and wrap["end"] is None and ulcers
                and not any(case["lesion"] == DERMATITIS for case in here)):
            most = max(case["grade"] for case in ulcers)
            those = [case for case in ulcers if case["grade"] == most]
            yield wrap["place"], {"notice": "wrap on an ulcer",
                                  "case": {case["id"] for case in those},
                                  "letters": {LETTERS[case["lesion"]] for case in those}}


def target_of(herd, cow):
    breed, lactation = herd.kinds.get(cow, (None, None))
    breed = (breed or "").strip().lower()
    if lactation == 0:
        return None
    if herd.target:
        return herd.target, "farm"
    holstein = "holstein" in breed or breed in HOLSTEINS
    if holstein and (lactation or 0) >= MATURE_LACTATION:
        return HOLSTEIN_MM, "mature Holstein"
    return None


def sole(claw, wall):
    """DERIVED.md, and the mean of a group that is shorter than all of its rows."""
    foot, side = claw
    if foot not in recount_derived.HIND:
        return None
    if wall < SHORT_MM:
        return MEANS_OF_SHORT[side]
    rows = recount_derived.ROWS[side]
    for (short, thin), (long, thick) in zip(rows, rows[1:]):
        if short <= wall <= long:
            return thin + (thick - thin) * (wall - short) / (long - short)
    return None


def walls(herd, cow, said):
    target = target_of(herd, cow)
    last = {keyed_at(fact): fact.value for fact in sorted(said) if fact.what == "SIZE"
            and fact.code == WALL and fact.after_trimming and fact.side}
    for claw, mm in last.items():
        if target and mm < target[0]:
            yield claw, {"notice": "short wall", "mm": mm, "target_mm": target[0],
                         "target_of": target[1], "sole_mm": sole(claw, mm)}


def regrown(cases, facts, said, day):
    last = {keyed_at(fact): fact.value for fact in sorted(said)
            if (fact.what, fact.code) == ("SIZE", REGROWN)}
    for claw, mm in last.items():
        opened = [fact.day for fact in facts if (fact.what, fact.code) == ("DO", HORN_OPENED)
                  and keyed_at(fact) == claw and fact.day < day]
        found = [case["found"] for case in cases if case["place"] == claw
                 and case["lesion"] in HORN and case["found"] < day]
        since = max(opened) if opened else min(found, default=None)
        if since is not None and mm > REGROWN_MM * (day - since) / REGROWN_DAYS + 1e-6:
            most = REGROWN_MM * (day - since) / REGROWN_DAYS
            yield claw, {"notice": "more horn than grows", "mm": mm, "days": day - since,
                         "most_mm": most}


def notices(herd, seen, day, place_of):
    lines = []
    for cow in sorted({cow for _, cow in seen}):
        book, said = herd.book(cow, day), herd.said_on(cow, day)
        cases = counts.present(herd, cow, day, day)
        lines += [{"cow": cow, "place": place_of(place), **what,
                   "for_the_farmer": what["notice"] in FOR_THE_FARMER}
                  for place, what in (*blocks(cases, book, said), *wraps(cases, book, day),
                                      *walls(herd, cow, said),
                                      *regrown(cases, herd.said.get(cow, []), said, day))]
    return lines
