"""What is due on one cow at the end of a day, by the rules of questions/src/due/DUTIES.md.

Part of recount.py, which says what for. Where DUTIES.md leaves a choice, the comment says
"Choice:".
"""

import collections

from recount_cases import (RECHECK, TRIM, TRIMMED, about, casebook_of,
                           examines, words)

# The days of the due rules, where the table `due_rule` says nothing.
RULES = {"recheck": 14, "dermatitis": 7, "phlegmon": 3, "block-off": 28, "wrap-off": 3, "trim": 182,
         "vet-now": 1, "vet-to-see": 7}
PHLEGMON, DERMATITIS = 34, 31
# protocol/src/codes/lesion.rs: M1, M2 and, keyed 5, M4.1.
ACTIVE_STAGES = (1, 2, 5)
# Sole, bulb and toe ulcer, toe necrosis, white line abscess.
ALWAYS_SEEN_AGAIN = (13, 14, 15, 16, 22)
# Block, wrap, horn opened, claw lowered, cleaned, a topical product.
TREATED = {*range(10, 20), 21, 31, 32, *range(60, 70)}
SEE_AGAIN = 82
COW = (None, 0)

# `place` is where; `reasons` the rules that give that day (several where they give the same one);
# `since` the days that they may count from; `cases` the names of the cases.
Duty = collections.namedtuple("Duty", "what place day reasons since cases")


def reasons_of(case, facts):
    """The rows of the table that a case is in, each with the name of its days. Choice: the first
    two stand alone; of the others, which give the same day, any may be told."""
    last = last_word(case)
    if case["lesion"] == PHLEGMON:
        return ["phlegmon"], "phlegmon"
    if case["lesion"] == DERMATITIS and case["grade"] in ACTIVE_STAGES:
        return ["dermatitis"], "dermatitis"
    treated = any(fact.what == "DO" and fact.code in TREATED and fact.foot == case["place"][0]
                  and fact.foot is not None and fact.day in (case["found"], last)
                  for fact in facts)
    rows = [("found", case["lesion"] in ALWAYS_SEEN_AGAIN), ("treated-lesion", treated),
            ("not-healed", case["outcome"])]
    return [name for name, holds in rows if holds], "recheck"


def last_word(case):
    return max(words(case))


def speaks_of(keyed, case):
    """Whether "see again" speaks of an open case. Choice: keyed at a claw it is for the foot."""
    here = keyed.foot is None or keyed.foot == case["place"][0]
    return here and last_word(case) <= keyed.day


def recheck_of(case, facts, rules):
    """The day, reasons and start of one case's recheck, or None."""
    keyed = [fact for fact in facts if (fact.what, fact.code) == ("DO", SEE_AGAIN)
             and speaks_of(fact, case)]
    # The last keyed takes the place of those before it.
    keyed = max(keyed, default=None)
    by_trimmer = (keyed.day + keyed.value, ["keyed"], keyed.day) if keyed else None
    reasons, days = reasons_of(case, facts)
    by_rule = (last_word(case) + rules[days], reasons, last_word(case)) if reasons else None
    if by_trimmer and by_rule and {"phlegmon", "dermatitis", "found"} & set(reasons):
        return by_rule if by_rule[0] < by_trimmer[0] else by_trimmer
    return by_trimmer or by_rule


def done(told, what, place, since):
    """Whether the office says that it is done. What came up later is not."""
    return any(fact.code == what and about(fact, place) and since <= fact.day for fact in told)


def case_rechecks(facts, book, rules, told):
    """One line a foot, on the first of its cases' days."""
    feet = collections.defaultdict(list)
    for case in book["cases"]:
        if case["closed"] is None:
            recheck = recheck_of(case, facts, rules)
            if recheck and not done(told, RECHECK, case["place"], recheck[2]):
                feet[case["place"][0], 0].append((*recheck, case["id"]))
    for place, owed in feet.items():
        day = min(one[0] for one in owed)
        first = [one for one in owed if one[0] == day]
        yield Duty("recheck", place, day, [reason for one in first for reason in one[1]],
                   [one[2] for one in first], sorted(one[3] for one in owed))


def keyed_rechecks(facts, book, told):
    """"See again" where no case is open that it speaks of, until looked at on a later day."""
    last = {}
    for fact in sorted(facts):
        if (fact.what, fact.code) == ("DO", SEE_AGAIN):
            last[fact.foot] = fact
    open_cases = [case for case in book["cases"] if case["closed"] is None]
    for foot, keyed in last.items():
        seen = any(fact.day > keyed.day and examines(fact) and foot in (None, fact.foot)
                   for fact in facts)
        a_case = any(speaks_of(keyed, case) for case in open_cases)
        if not seen and not a_case and not done(told, RECHECK, (foot, 0), keyed.day):
            yield Duty("recheck", (foot, 0), keyed.day + keyed.value, ["keyed"], [keyed.day], [])


def things_on(book, rules):
    for block in book["blocks"]:
        if block["end"] is None:
            yield Duty("block-off", block["place"], block["since"] + rules["block-off"],
                       ["block-glued"], [block["since"]], [])
    for wrap in book["wraps"]:
        if wrap["end"] is None:
            yield Duty("wrap-off", wrap["place"], wrap["on"] + rules["wrap-off"], ["wrapped"],
                       [wrap["on"]], [])


def vet_duties(book, rules):
    for one in book["referrals"]:
        if one["answered"] is None:
            first = one["days"][0]
            days = rules["vet-now" if one["urgency"] == "now" else "vet-to-see"]
            reasons = [rule for day, rule in one["raised"] if day == first]
            yield Duty("vet", one["place"], first + days, reasons, [first] * len(reasons), [])


def trims(facts, rules, told):
    """A foot is due when the first of its claws is; feet of one day are one line for the cow."""
    turns = {}
    for fact in facts:
        if (fact.what, fact.code) == ("DO", TRIMMED) and fact.side:
            claw = (fact.foot, fact.side)
            turns[claw] = max(fact.day, turns.get(claw, fact.day))
    feet = {}
    for (foot, side), day in turns.items():
        if not done(told, TRIM, (foot, side), day):
            feet[foot] = min(day, feet.get(foot, day))
    for day in sorted(set(feet.values())):
        on_day = [foot for foot in feet if feet[foot] == day]
        place = (on_day[0], 0) if len(on_day) == 1 else COW
        yield Duty("trim", place, day + rules["trim"], ["trimmed"], [day], [])


def duties_of(facts, rules, day):
    """All that is due on a cow of what was said through a day."""
    facts = [fact for fact in facts if fact.day <= day]
    said = [fact for fact in facts if fact.what != "TOLD"]
    told = [fact for fact in facts if fact.what == "TOLD"]
    book = casebook_of(facts)
    return [*vet_duties(book, rules), *case_rechecks(said, book, rules, told),
            *keyed_rechecks(said, book, told), *things_on(book, rules), *trims(said, rules, told)]

