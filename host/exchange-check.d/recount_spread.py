"""What was keyed for a foot or for all four, as its claws or feet: CASES.md, "Said of a foot, or of all
four". Part of recount.py, which says what for.
"""

import collections

from recount_cases import AMPUTATED, FEET, NOT_TRIMMED, STILL_ON, TRIMMED, name_of


def claws_of(word, own, gone):
    """The places that a wide word speaks of; `own` are the day's (code, foot, side), `gone` the claws
    whose digit is amputated."""
    feet = range(len(FEET)) if word.foot is None else [word.foot]
    if word.code == NOT_TRIMMED:
        trimmed = {foot for code, foot, _ in own if code == TRIMMED}
        return [] if None in trimmed else [
            (foot, 0) for foot in feet if foot not in trimmed and (NOT_TRIMMED, foot, 0) not in own]
    if word.foot is None:
        feet = [foot for foot in feet if not own & {(TRIMMED, foot, 0), (NOT_TRIMMED, foot, 0)}]
    return [(foot, side) for foot in feet for side in (1, 2)
            if not own & {(TRIMMED, foot, side), (STILL_ON, foot, side)} and (foot, side) not in gone]


def spread(facts, twice=()):
    """What was keyed for a foot or for all four, as its claws or feet (CASES.md, "Said of a foot, or
    of all four"). `twice` names the repetitions of sentences, which decide nothing."""
    spreads, told = [], set()
    days = collections.defaultdict(set)
    for fact in facts:
        if fact.what == "DO" and name_of(fact) not in twice:
            days[fact.day].add((fact.code, fact.foot, fact.side))
    lost = [(fact.day, (fact.foot, fact.side)) for fact in facts
            if (fact.what, fact.code) == ("FIND", AMPUTATED) and fact.side]
    for fact in sorted(facts):
        wide = fact.what == "DO" and (
            fact.code == TRIMMED and fact.side == 0 or fact.code == NOT_TRIMMED and fact.foot is None)
        if not wide:
            spreads.append(fact)
            continue
        word = (fact.day, fact.code, fact.foot)
        if word in told and name_of(fact) not in twice:
            continue
        if name_of(fact) not in twice:
            told.add(word)
        spreads += [fact._replace(foot=foot, side=side, whole=True)
                    for foot, side in claws_of(fact, days[fact.day],
                                               {claw for day, claw in lost if day <= fact.day})]
    return spreads
