"""Counts a herd database again, from the written rules (casebook/CASES.md) and the tables alone.

    python3 recount.py DB                      the counts of every herd, as JSON
    python3 recount.py --histories CASES.md    the worked histories; exit 1 where one differs

Nothing here was taken from the office's own program: where the two agree, two readings of the rules
agree. `herd` is the number in the table `herd`; days are days since 1970-01-01; lengths are mm.
Where CASES.md leaves a choice, the comment says "Choice:".
"""

import collections
import datetime
import functools
import json
import pathlib
import sqlite3
import sys

from recount_cases import HORN, LETTERS, Fact, casebook_of, examines, place_text, state, words
from recount_histories import run_histories

# protocol/src/codes/scale.rs: gait scales, and from which value on a cow is lame.
LAME_FROM = {1: 3, 2: 2}
DOUBTED = ("unusual-length", "far-from-history", "far-from-feet", "toe-above-wall")
CLASSES = ("new", "open", "sound", "not examined")

# ---- From the tables to facts.

TABLES = (
    ("FIND", "SELECT animal, day, at_ms, device, log, seq, foot, side, lesion, grade, 0 "
             "FROM finding WHERE herd = ?"),
    ("DO", "SELECT animal, day, at_ms, device, log, seq, foot, side, action, 0, 0 "
           "FROM action WHERE herd = ?"),
    ("SIZE", "SELECT animal, day, at_ms, device, log, seq, foot, side, dimension, "
             "length_nm / 1e6, trimmed FROM reading WHERE herd = ? AND animal IS NOT NULL"),
    ("SCORE", "SELECT animal, day, at_ms, device, log, seq, foot, side, scale, value, 0 "
              "FROM score WHERE herd = ?"))


@functools.lru_cache(maxsize=None)
def facts_of(db, herd):
    """The facts of each cow of a herd. The repetition of a sentence is no fact."""
    remarks = collections.defaultdict(set)
    for device, log, seq, rule in db.execute("SELECT device, log, seq, rule FROM remark"):
        remarks[device, log, seq].add(rule)
    facts = collections.defaultdict(list)
    for what, query in TABLES:
        for animal, day, at, device, log, seq, foot, side, code, value, trimmed in db.execute(
                query, (herd,)):
            rules = remarks[device, log, seq]
            if "said-twice" not in rules:
                doubted = not rules.isdisjoint(DOUBTED)
                facts[animal].append(Fact(day, at, device % 2**64, log, seq, what, foot, side,
                                          code, value, trimmed, doubted))
    return facts


@functools.lru_cache(maxsize=None)
def books_of(db, herd):
    return {animal: casebook_of(facts) for animal, facts in facts_of(db, herd).items()}


def chute(db, herd, first, last):
    """The cows in the chute: sorted pairs of day and number."""
    return sorted(set(db.execute(
        "SELECT day, animal FROM presence WHERE herd = ? AND day BETWEEN ? AND ?",
        (herd, first, last))))


def casebook(db, herd, animal):
    """One cow's casebook with places in words."""
    book = books_of(db, herd).get(animal) or casebook_of([])
    return {name: [dict(one, place=place_text(one["place"])) if isinstance(one, dict) else one
                   for one in entries] for name, entries in book.items()}


# ---- Counts.

def class_of(book, day):
    states = {state(case, day) for case in book["cases"]}
    for name in ("new", "open"):
        if name in states:
            return name
    return "sound" if day in book["examined"] else "not examined"


def classes(db, herd, seen):
    """Each cow once, in the best class of her days."""
    ranks = {}
    for day, cow in seen:
        book = books_of(db, herd).get(cow) or casebook_of([])
        rank = CLASSES.index(class_of(book, day))
        ranks[cow] = min(rank, ranks.get(cow, rank))
    return {name: sorted(cow for cow in ranks if ranks[cow] == rank)
            for rank, name in enumerate(CLASSES)}


def lesions(db, herd, seen):
    """By lesion: cows, places, and cases. Choice: over several days a case that was new on one of
    them is new, not open."""
    states = collections.defaultdict(set)
    for day, cow in seen:
        for case in books_of(db, herd).get(cow, {"cases": []})["cases"]:
            if state(case, day) in ("new", "open"):
                key = (LETTERS[case["lesion"]], cow, case["place"], case["id"])
                states[key].add(state(case, day))
    out = {}
    for letters in sorted({key[0] for key in states}):
        keys = [key for key in states if key[0] == letters]
        new = sum("new" in states[key] for key in keys)
        out[letters] = {"cows": len({key[1] for key in keys}),
                        "places": len({key[1:3] for key in keys}),
                        "new": new, "open": len(keys) - new}
    return out


def claws(db, herd, seen):
    """Claws examined, and those of them with a horn case new or open on a day on which they were.
    Choice: a lesion counts on a claw that was examined that day; the rest is `not_examined`."""
    examined, ill, unseen = set(), set(), set()
    for day, cow in seen:
        today = set()
        for fact in facts_of(db, herd).get(cow, []):
            if fact.day == day and fact.foot is not None and examines(fact):
                for side in (fact.side,) if fact.side else (1, 2):
                    today.add((cow, fact.foot, side))
        for case in books_of(db, herd).get(cow, {"cases": []})["cases"]:
            claw = (cow, *case["place"])
            if case["place"][1] and case["lesion"] in HORN and state(case, day) in ("new", "open"):
                (ill if claw in today else unseen).add(claw)
        examined |= today
    return {"examined": len(examined), "with_horn_lesion": len(ill),
            "with_horn_lesion_not_examined": len(unseen - ill)}


def gait(db, herd, seen):
    """Cows scored on a gait scale, and lame. Choice: lame by any score of the days."""
    scored, lame = set(), set()
    for day, cow in seen:
        for fact in facts_of(db, herd).get(cow, []):
            if fact.day == day and fact.what == "SCORE" and fact.code in LAME_FROM:
                scored.add(cow)
                if fact.value >= LAME_FROM[fact.code]:
                    lame.add(cow)
    return {"scored": len(scored), "lame": len(lame)}


def entries(db, herd, name):
    return [(cow, entry) for cow, book in books_of(db, herd).items() for entry in book[name]]


def span(db, herd, first, last):
    """What a visit and a longer time have in common; days from first to last, both counted."""
    seen = chute(db, herd, first, last)
    by_class = classes(db, herd, seen)
    trimmed = [(cow, one["place"]) for cow, one in entries(db, herd, "trimmings")
               if first <= one["day"] <= last]
    glued = [one for _, one in entries(db, herd, "blocks")
             if one["way"] is not None and first <= one["since"] <= last]
    counts = {name: len(cows) for name, cows in by_class.items()}
    return {"cows": len({cow for _, cow in seen}), "classes": counts, "cows_by_class": by_class,
            "with_lesion": counts["new"] + counts["open"],
            "denominator": counts["new"] + counts["open"] + counts["sound"],
            "lesions": lesions(db, herd, seen), "claws": claws(db, herd, seen),
            "claws_trimmed": len(set(trimmed)), "trimmings": len(trimmed),
            "blocks_glued": len(glued), "gait": gait(db, herd, seen)}


def visit(db, herd, day):
    return span(db, herd, day, day)


def cases_in(db, herd, first, last):
    """Cases found in a time, new and again by lesion, and cases closed in it."""
    cases = [case for _, case in entries(db, herd, "cases")]
    found = [case for case in cases if first <= case["found"] <= last]
    closed = [case for case in cases
              if case["closed"] is not None and first <= case["closed"] <= last]
    by_lesion = {}
    for case in found:
        row = by_lesion.setdefault(LETTERS[case["lesion"]], {"new": 0, "again": 0})
        row["again" if case["again"] else "new"] += 1
    hows = collections.Counter(case["how"] for case in closed)
    return {"found": len(found), "healed": hows["healed"], "sound": hows["sound"],
            "out_of_sight": hows["out of sight"], "found_by_lesion": by_lesion}


def months(first, last):
    """The calendar months of a time, each as its name, first and last day."""
    day = date_of(first)
    while number_of(day) <= last:
        following = (day.replace(day=1) + datetime.timedelta(days=32)).replace(day=1)
        yield day.strftime("%Y-%m"), number_of(day), min(last, number_of(following) - 1)
        day = following


def farm(db, herd, first_day, last_day):
    def both(first, last):
        return dict(span(db, herd, first, last), cases=cases_in(db, herd, first, last))
    return dict(both(first_day, last_day), first=date_of(first_day).isoformat(),
                last=date_of(last_day).isoformat(),
                months={name: both(*days) for name, *days in months(first_day, last_day)})


def herds(db, herd=None):
    rows = db.execute("SELECT herd, name FROM herd ORDER BY herd").fetchall()
    return [(number, name) for number, name in rows if herd in (None, number)]


def healing_row(cases):
    later = [case for case in cases if max(words(case)) > case["found"]]
    healed = [case for case in cases
              if case["how"] in ("healed", "sound") and case["closed"] > case["found"]]
    intervals = []
    for case in cases:
        end = case["closed"] - case["found"] if case["how"] in ("healed", "sound") else None
        intervals.append((max(case["looks"] + [case["found"]]) - case["found"], end))
    return {"cases": len(cases), "seen_again": len(later), "healed": len(healed),
            "never_seen_again": len(cases) - len(later), "intervals": in_order(intervals)}


def healing(db, herd=None):
    cases = [case for number, _ in herds(db, herd)
             for _, case in entries(db, number, "cases") if case["lesion"] in HORN]
    return dict(
        healing_row(cases),
        by_lesion=grouped(cases, lambda case: LETTERS[case["lesion"]], healing_row),
        by_severity=grouped(cases, lambda case: case["first_grade"], healing_row))


def block_row(glued):
    seen_or_lost, lost, intervals = 0, 0, []
    for block in glued:
        seen_on = block["seen"] + ([block["end"]] if block["how"] == "taken off" else [])
        last_on = max(seen_on + [block["since"]]) - block["since"]
        is_lost = block["how"] == "lost"
        lost += is_lost
        seen_or_lost += is_lost or last_on > 0
        intervals.append((last_on, block["end"] - block["since"] if is_lost else None))
    return {"glued": len(glued), "seen_again_or_lost": seen_or_lost, "lost": lost,
            "never_seen_again": len(glued) - seen_or_lost, "intervals": in_order(intervals)}


def blocks(db, herd=None):
    glued = [block for number, _ in herds(db, herd)
             for _, block in entries(db, number, "blocks") if block["way"] is not None]
    return grouped(glued, lambda block: block["way"], block_row)


def open_cases(db, herd, day):
    """Names of the cases open at the end of a day, new ones among them, and of those out of
    sight."""
    out = {"open": [], "out of sight": []}
    for _, case in entries(db, herd, "cases"):
        now = state(case, day)
        if now == "new" and case["closed"] != day:
            now = "open"
        if now in out:
            out[now].append(case["id"])
    return {name: sorted(ids) for name, ids in out.items()}


def grouped(things, key, count):
    groups = collections.defaultdict(list)
    for thing in things:
        groups[key(thing)].append(thing)
    return {str(name): count(groups[name]) for name in sorted(groups)}


def in_order(intervals):
    """(from, to], in days; no end last."""
    return sorted(intervals, key=lambda one: (one[0], one[1] is None, one[1]))


def date_of(day):
    return datetime.date(1970, 1, 1) + datetime.timedelta(days=day)


def number_of(date):
    return (date - datetime.date(1970, 1, 1)).days


def count_all(db):
    out = {"herds": {}, "healing": healing(db), "blocks": blocks(db)}
    for herd, name in herds(db):
        days = sorted({day for day, _ in chute(db, herd, -2**40, 2**40)})
        out["herds"][name] = {
            "visits": {date_of(day).isoformat(): visit(db, herd, day) for day in days},
            "farm": farm(db, herd, days[0], days[-1]) if days else None,
            "healing": healing(db, herd), "blocks": blocks(db, herd)}
    return out


def main(arguments):
    if len(arguments) == 2 and arguments[0] == "--histories":
        with open(arguments[1], encoding="utf-8") as file:
            total, wrong = run_histories(file.read())
        print(f"{total} histories, {wrong} come out otherwise")
        return 1 if wrong or not total else 0
    if len(arguments) != 1:
        print(__doc__, file=sys.stderr)
        return 2
    path = pathlib.Path(arguments[0]).resolve()
    db = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    print(json.dumps(count_all(db)))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
