"""What is due on one cow at the end of a day, by the rules of questions/src/due/DUTIES.md.

Part of recount.py, which says what for. Where DUTIES.md leaves a choice, the comment says
"Choice:".
"""

import collections

from recount_cases import (RECHECK, TRIM, TRIMMED, about, casebook_of,
                           examines, words)

# The days of the due rules, where the table `due_rule` says nothing.
RULES = {"recheck": 14, "dermatitis": 7, "phlegmon": 3, "block-off": 28, "wrap-off": 3, "trim": 182,
         "vet-now": 1, "vet-to-see": 7, "office": 1, "recheck-window": 3, "block-off-latest": 42,
         "wrap-off-latest": 5}
WHO = {"recheck": "trimmer", "block-off": "trimmer", "trim": "trimmer", "wrap-off": "farmer",
       "vet": "vet", "office": "office"}
PHLEGMON, DERMATITIS = 34, 31
# protocol/src/codes/lesion.rs: M1, M2 and, keyed 5, M4.1.
ACTIVE_STAGES = (1, 2, 5)
# Sole, bulb and toe ulcer, toe necrosis, white line abscess, swelling above one claw, bone or joint.
ALWAYS_SEEN_AGAIN = (13, 14, 15, 16, 22, 62, 63)
# Block, wrap, horn opened, claw lowered, cleaned, a topical product.
TREATED = {*range(10, 20), 21, 31, 32, *range(60, 70)}
SEE_AGAIN = 82
COW = (None, 0)

# `place` is where; `reasons` the rules that give that day (several where they give the same one);
# `since` the days that they may count from; `cases` the cases; `first` and `last` the window.
Duty = collections.namedtuple("Duty", "what place day reasons since cases first last")


def on_its_day(what, place, day, reasons, since, cases):
    """A duty without a window."""
    return Duty(what, place, day, reasons, since, cases, day, day)


def recheck(place, day, reasons, since, cases, rules, last):
    return Duty("recheck", place, day, reasons, since, cases, day - rules["recheck-window"], last)


def last_day_of(day, reasons, rules):
    """Phlegmon and active dermatitis wait for nothing."""
    waits = not {"phlegmon", "dermatitis"} & set(reasons)
    return day + rules["recheck-window"] * waits


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
            owed = recheck_of(case, facts, rules)
            if owed and not done(told, RECHECK, case["place"], owed[2]):
                feet[case["place"][0], 0].append((*owed, case))
    for place, owed in feet.items():
        day = min(one[0] for one in owed)
        first = [one for one in owed if one[0] == day]
        last = min(last_day_of(one[0], one[1], rules) for one in owed)
        yield recheck(place, day, [reason for one in first for reason in one[1]],
                      [one[2] for one in first], [one[3] for one in owed], rules, last)


def keyed_rechecks(facts, book, rules, told):
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
            day = keyed.day + keyed.value
            yield recheck((foot, 0), day, ["keyed"], [keyed.day], [], rules,
                          last_day_of(day, ["keyed"], rules))


def of_foot(book, place, first, last):
    """The cases of a foot, for the cow all of hers, that were found by the last of some days and had
    not ended before the first."""
    return [case for case in book["cases"] if place[0] in (None, case["place"][0])
            and case["found"] <= last and (case["closed"] is None or case["closed"] >= first)]


def things_on(book, rules):
    things = [("block-off", "block-glued", one["place"], one["since"]) for one in book["blocks"]
              if one["end"] is None]
    things += [("wrap-off", "wrapped", one["place"], one["on"]) for one in book["wraps"]
               if one["end"] is None]
    for what, reason, place, since in things:
        day = since + rules[what]
        cases = [case for case in book["cases"] if case["closed"] is None
                 and case["place"][0] == place[0]]
        yield Duty(what, place, day, [reason], [since], cases, day,
                   max(day, since + rules[what + "-latest"]))


def vet_duties(book, rules):
    """On the earliest of the days that what raised it gives."""
    days_of = {"vet-to-see": "vet-to-see", "worse": "vet-to-see", "phlegmon": "phlegmon"}
    for one in book["referrals"]:
        if one["answered"] is None:
            dated = [(since + rules[days_of.get(rule, "vet-now")], rule, since)
                     for since, rule in one["raised"] if rule != "unanswered"]
            day = min(dated)[0]
            first = [raised for raised in dated if raised[0] == day]
            yield on_its_day("vet", one["place"], day, [raised[1] for raised in first],
                             [raised[2] for raised in first],
                             of_foot(book, one["place"], one["days"][0], one["days"][-1]))


def office_duties(book, rules):
    for one in book["office"]:
        if one["answered"] is None:
            since = one["days"][0]
            yield on_its_day("office", COW, since + rules["office"], ["office"], [since], [])


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
        yield on_its_day("trim", place, day + rules["trim"], ["trimmed"], [day], [])


def duties_of(facts, rules, day):
    """All that is due on a cow of what was said through a day."""
    facts = [fact for fact in facts if fact.day <= day]
    said = [fact for fact in facts if fact.what != "TOLD"]
    told = [fact for fact in facts if fact.what == "TOLD"]
    book = casebook_of(facts)
    return [*vet_duties(book, rules), *case_rechecks(said, book, rules, told),
            *keyed_rechecks(said, book, rules, told), *things_on(book, rules),
            *trims(said, rules, told), *office_duties(book, rules)]


def harm(duty, day):
    """Days that a block or wrap has been on past its window."""
    past = day - duty.last
    return past if duty.what in ("block-off", "wrap-off") and past > 0 else None


def visits_for(duties, today):
    """The day of each duty: rechecks and block-offs in visits, everything else on its own day."""
    days = [max(duty.day, today) for duty in duties]
    left = {}
    for at, duty in enumerate(duties):
        if duty.what in ("recheck", "block-off"):
            first, last = (today, today) if duty.day <= today else (duty.first, duty.last)
            left[at] = (max(first, today), max(last, today))
    while left:
        until = min(last for _, last in left.values())
        joined = [at for at, (first, _) in left.items() if first <= until]
        begun = max(left[at][0] for at in joined)
        due = min(max(duties[at].day, today) for at in joined)
        for at in joined:
            days[at] = max(begun, due)
            del left[at]
    return days
