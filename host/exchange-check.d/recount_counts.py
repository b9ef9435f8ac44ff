"""Counts over the cows in the chute: classes, lesions, claws, gait. Part of recount.py."""

import collections

from recount_cases import HORN, LETTERS, TRIMMED, examines, state

CLASSES = ("new", "open", "sound", "not examined")
# protocol/src/codes/scale.rs: name, range, and from which value on a cow is lame.
SCALES = {1: ("locomotion", range(1, 6), 3), 2: ("mobility", range(4), 2),
          3: ("leg cleanliness", range(1, 5), None), 4: ("toeing out", range(3), None)}
# A share of fewer cows is not told (`Share` in host/questions/src/farm/share.rs).
LEAST_COWS = 5


def class_of(book, day):
    states = {state(case, day) for case in book["cases"]}
    for name in ("new", "open"):
        if name in states:
            return name
    return "sound" if day in book["examined"] else "not examined"


def classes(herd, seen, through):
    """Each cow once, in the best class of her days: how many in each."""
    ranks = {}
    for day, cow in seen:
        rank = CLASSES.index(class_of(herd.book(cow, through), day))
        ranks[cow] = min(rank, ranks.get(cow, rank))
    counts = collections.Counter(ranks.values())
    return {name: counts[rank] for rank, name in enumerate(CLASSES)}


def with_lesion(counts):
    return counts["new"] + counts["open"]


def examined_cows(counts):
    return with_lesion(counts) + counts["sound"]


def present(herd, cow, day, through):
    """Her cases that are new or open on a day."""
    return [case for case in herd.book(cow, through)["cases"]
            if state(case, day) in ("new", "open")]


def cows_by_lesion(herd, seen, through):
    cows = collections.defaultdict(set)
    for day, cow in seen:
        for case in present(herd, cow, day, through):
            cows[LETTERS[case["lesion"]]].add(cow)
    return {letters: len(cows[letters]) for letters in cows}


def claws(herd, seen, through):
    """Claws examined and, of them, those with a horn case new or open on a day on which they were;
    and how many cows they are of."""
    examined, ill = set(), set()
    for day, cow in seen:
        today = set()
        for fact in herd.facts_on(cow, day):
            if fact.foot is not None and examines(fact):
                for side in (fact.side,) if fact.side else (1, 2):
                    today.add((cow, fact.foot, side))
        for case in present(herd, cow, day, through):
            if case["place"][1] and case["lesion"] in HORN:
                ill |= today & {(cow, *case["place"])}
        examined |= today
    return len(ill), len(examined), len({claw[0] for claw in examined})


def worst_scores(herd, seen, scale):
    """Each cow scored on a scale, with her worst value."""
    worst = {}
    for day, cow in seen:
        for fact in herd.facts_on(cow, day, "SCORE"):
            if fact.code == scale:
                worst[cow] = max(fact.value, worst.get(cow, fact.value))
    return worst


def scored_and_lame(herd, seen):
    """Cows scored on a scale that says who is lame, and those of them who are, on any."""
    scored, lame = set(), set()
    for scale, (_, _, lame_from) in SCALES.items():
        if lame_from is not None:
            worst = worst_scores(herd, seen, scale)
            scored |= set(worst)
            lame |= {cow for cow in worst if worst[cow] >= lame_from}
    return len(scored), len(lame)


def trimmed_claws(herd, seen):
    return {(cow, fact.foot, fact.side) for day, cow in seen
            for fact in herd.facts_on(cow, day, "DO") if fact.code == TRIMMED and fact.side}


def glued(herd, first, last, through):
    return sum(block["way"] is not None and first <= block["since"] <= last
               for _, block in herd.entries("blocks", through))


def share(cases, of, cows=None):
    """A share as scripts see it; of claws, the number of cows says whether it is told."""
    told = (of if cows is None else cows) >= LEAST_COWS
    return {"cases": cases, "of": of,
            "share": {"value": cases / of, "n": of} if told and of else None}


def part(cows, of):
    return {"cows": cows, "of": of, "share": cows / of if of else None}
