"""A farm over time, healing, blocks and the due list, in the shape of their `--json`.

Part of recount.py, which says what for. How cases and blocks end says CASES.md; which of them a
statistic is of says the help of `hornrule healing` and `hornrule blocks`, and the comments here.
"""

import collections
import datetime

import recount_counts as counts
import recount_derived
from recount_cases import HORN, LETTERS, LET_GO, NO_GRADE, OUT_OF_SIGHT_DAYS, REASONS, examines
from recount_duties import WHO, harm, visits_for
from recount_facts import EVER, date_of, number_of
from recount_visit import grade_word, iso, late, place_of

WEEKS_AT_RISK = (0, 7, 14, 21, 28)
FIRST_RECHECK = range(10, 21)
FEW_COWS = 20


# ---- Healing: horn cases of a claw. Known of each is (last seen open, seen healed], days.

def healed_on(case):
    return case["closed"] if case["how"] in ("healed", "sound") else None


def case_interval(case):
    """None where the case was never seen again."""
    last = case["found"]
    for look in sorted(case["looks"]):
        if look - last > OUT_OF_SIGHT_DAYS:
            break
        last = look
    after = last - case["found"]
    seen_healed = healed_on(case) is not None and healed_on(case) - last <= OUT_OF_SIGHT_DAYS
    by = healed_on(case) - case["found"] if seen_healed else None
    return None if by == 0 or after == 0 and by is None else (after, by)


def between(intervals):
    return [{"after": float(after), "by": None if by is None else float(by)}
            for after, by in intervals]


def group(kind, code, cases):
    known = [case_interval(case) for case in cases if case_interval(case)]
    return {"kind": kind, "code": code, "cases": len(known),
            "healed": sum(by is not None for _, by in known), "unseen": len(cases) - len(known),
            "intervals": between(known)}


def actions_of(case):
    """What was done when it was found: 10 is a block glued any way."""
    return {10 if code < 20 else code for code in case["done"]}


def recurrence(herd, healed, last):
    """Healed claws, looked at again on a later day or never; with a lesion of the horn found again.
    A claw that healed of several cases on one day is one."""
    claws = again = unseen = 0
    for cow, place, day in healed:
        later = {fact.day for fact in herd.facts.get(cow, [])
                 if day < fact.day <= last and fact.foot == place[0] and fact.side in (0, place[1])
                 and examines(fact)}
        found = [case for case in herd.book(cow, last)["cases"] if case["found"] > day
                 and case["place"] == place]
        claws += bool(later)
        unseen += not later
        again += bool(found)
    return [claws, again, unseen]


def healing(of, first=-EVER, last=EVER):
    """Of one or several herds: cases found from the first to the last day, and what was said of
    them through the last."""
    pairs = [(herd, cow, case) for herd in of for cow, case in herd.entries("cases", last)
             if case["lesion"] in HORN and case["lesion"] not in NO_GRADE and first <= case["found"] <= last]
    cases = [case for _, _, case in pairs]
    groups = []
    for kind, keys in (("severity", lambda case: {case["first_grade"]}),
                       ("lesion", lambda case: {case["lesion"]}), ("action", actions_of)):
        for code in sorted(set().union(*map(keys, cases))):
            groups.append(group(kind, code, [case for case in cases if code in keys(case)]))
    seen = [case for case in cases if case_interval(case)]
    treated = [{"action": code, "with": sum(code in actions_of(case) for case in seen),
                "without": sum(code not in actions_of(case) for case in seen)}
               for code in sorted(set().union(*map(actions_of, seen)))]
    totals = [0, 0, 0]
    for herd in of:
        healed = {(cow, case["place"], healed_on(case)) for there, cow, case in pairs
                  if there is herd and healed_on(case) is not None}
        totals = [a + b for a, b in zip(totals, recurrence(herd, healed, last))]
    return {"groups": groups, "treated": treated,
            "again": [sum(case["again"] for case in cases), len(cases)],
            "recurrence": dict(zip(("claws", "again", "unseen"), totals))}


# ---- Blocks whose gluing was recorded. Known of each is (last seen on, found lost], days.

def failed(block):
    """Found lost, or the glue had let go when we took it off."""
    return block["how"] == "lost" or block["why"] in LET_GO


def block_interval(block):
    """Seen on: still on, or taken off by us; a block found lost was lost by then."""
    held = block["how"] == "taken off" and not failed(block)
    on = [block["since"], *block["seen"]] + [block["end"]] * held
    after = max(on) - block["since"]
    by = block["end"] - block["since"] if failed(block) else None
    return None if by == 0 or after == 0 and by is None else (after, by)


def at_first_recheck(block):
    """Whether it was on when looked at in those days: True, False or None. Of several looks the
    first one counts."""
    looks = [(day, True) for day in block["seen"]]
    if block["how"] in ("taken off", "lost"):
        looks.append((block["end"], not failed(block)))
    looks = sorted(look for look in looks if look[0] - block["since"] in FIRST_RECHECK)
    return looks[0][1] if looks else None


def ends(blocks):
    how = collections.Counter(block["how"] for block in blocks)
    why = collections.Counter(block["why"] for block in blocks if block["how"] == "taken off")
    return {"glued": len(blocks), "still_on": how[None], "found_lost": how["lost"],
            "glued_cold": sum(block["cold"] for block in blocks),
            "glued_wet": sum(block["wet"] for block in blocks),
            "taken_off": {"no_reason": why[None], **{name: why[name] for name in REASONS.values()}},
            "otherwise": sum(how[name] for name in ("replaced", "trimmed", "told", "amputated"))}


def held_on(facts, way, day):
    """The facts of a way (way, since, through) that held on a day: those that began last, unless
    they have ended."""
    begun = [fact for fact in facts if 10 + fact[0] == way and fact[1] <= day]
    last = max(begun, key=lambda fact: fact[1], default=None)
    return last if last and (last[2] is None or day <= last[2]) else None


def of_facts(db, way, blocks):
    """How many blocks were glued under each facts of a way, and under none."""
    facts = db.execute("SELECT way, since, through FROM way_fact ORDER BY way, since").fetchall()
    held = collections.Counter(held_on(facts, way, block["since"]) for block in blocks)
    return {"facts": [{"since": date_of(fact[1]).isoformat(), "blocks": held[fact]}
                      for fact in facts if 10 + fact[0] == way], "without_facts": held[None]}


def way_answer(way, of_cows):
    """Blocks in pairs with their cow. Of one cow alone no share at the first recheck is told."""
    blocks = [block for _, block in of_cows]
    known = [block_interval(block) for block in blocks if block_interval(block)]
    of_looks = [(cow, at_first_recheck(block)) for cow, block in of_cows
                if at_first_recheck(block) is not None]
    looked = [on for _, on in of_looks]
    told = len({cow for cow, _ in of_looks}) > 1
    return {"action": way, "blocks": len(known), "unseen": len(blocks) - len(known),
            "ends": ends(blocks), "lost": sum(by is not None for _, by in known), "intervals": between(known),
            # Still followed on a day: seen on then or later, or found lost only later.
            "at_risk": [sum(after >= day if by is None else by > day for after, by in known)
                        for day in WEEKS_AT_RISK],
            "at_recheck": {"told": {"value": sum(looked) / len(looked), "n": len(looked)}
                           if told else None}}


def blocks(of, first=-EVER, last=EVER):
    ways = collections.defaultdict(list)
    for herd in of:
        for cow, block in herd.entries("blocks", last):
            if block["way"] is not None and first <= block["since"] <= last:
                ways[block["way"]].append(((herd.number, cow), block))
    return {"ways": [way_answer(way, ways[way]) for way in sorted(ways)]}


def blocks_and_facts(db, of):
    """The same with what the office was told of each way."""
    answer = blocks(of)
    glued = collections.defaultdict(list)
    for herd in of:
        for _, block in herd.entries("blocks"):
            glued[block["way"]].append(block)
    for way in answer["ways"]:
        way.update(of_facts(db, way["action"], glued[way["action"]]))
    return answer


# ---- A farm over time.

def months(first, last):
    """The calendar months of a time, each as its name, first and last day."""
    day = date_of(first)
    while number_of(day) <= last:
        following = (day.replace(day=1) + datetime.timedelta(days=32)).replace(day=1)
        yield day.strftime("%Y-%m"), number_of(day), min(last, number_of(following) - 1)
        day = following


def lesion_tallies(herd, seen, first, last, denominator, letters):
    cows = counts.cows_by_lesion(herd, seen, last)
    found = collections.Counter((LETTERS[case["lesion"]], case["again"])
                                for _, case in herd.entries("cases", last)
                                if first <= case["found"] <= last)
    return [{"letters": one, "cows_of_examined": counts.share(cows.get(one, 0), denominator),
             "new_cases": found[one, False], "cases_again": found[one, True]} for one in letters]


def gait_tallies(herd, seen):
    lines = []
    for scale, (name, values, lame_from) in counts.SCALES.items():
        worst = counts.worst_scores(herd, seen, scale)
        if worst and lame_from is not None:
            of = collections.Counter(worst.values())
            lame = sum(value >= lame_from for value in worst.values())
            lines.append({"scale": name, "cows_by_value": {str(one): of[one] for one in values},
                          "lame": counts.share(lame, len(worst))})
    return lines


def tally(herd, first, last, letters):
    seen = herd.seen(first, last)
    by_class = counts.classes(herd, seen, last)
    of = counts.examined_cows(by_class)
    trimmed = {cow for cow, _, _ in counts.trimmed_claws(herd, seen)}
    found = [case["again"] for _, case in herd.entries("cases", last)
             if first <= case["found"] <= last]
    finders = {fact.device for facts in herd.facts.values() for fact in facts
               if fact.what == "FIND" and first <= fact.day <= last}
    listed = herd.listed
    return {"visits": len({day for day, _ in seen}), "cows_in_the_chute": sum(by_class.values()),
            "handhelds_with_findings": len(finders),
            "cows_with_lesion_of_examined": counts.share(counts.with_lesion(by_class), of),
            "cows_not_examined": by_class["not examined"], "cows_trimmed": len(trimmed),
            "claws_with_horn_lesion_of_examined": counts.share(*counts.claws(herd, seen, last)),
            "lesions": lesion_tallies(herd, seen, first, last, of, letters),
            "new_cases": found.count(False), "cases_again": found.count(True),
            "blocks_glued": counts.glued(herd, first, last, last),
            "herd_trimmed": counts.part(len(trimmed & listed), len(listed)) if listed else None,
            "gait": gait_tallies(herd, seen)}


def year_through(last):
    """The twelve calendar months that end with this day's: their first day."""
    date = date_of(last)
    month = date.year * 12 + date.month - 1 - 11
    return number_of(datetime.date(month // 12, month % 12 + 1, 1))


def farm(herd, first=None, last=None):
    last = herd.visits()[-1] if last is None else last
    first = year_through(last) if first is None else first
    seen = herd.seen(first, last)
    letters = sorted({LETTERS[case["lesion"]] for _, case in herd.entries("cases", last)
                      if first <= case["found"] <= last}
                     | set(counts.cows_by_lesion(herd, seen, last)))
    lines = []
    for name, begin, end in months(seen[0][0], seen[-1][0]) if seen else ():
        whole_month = number_of(date_of(begin).replace(day=1))
        trimmed = {cow for cow, _, _ in counts.trimmed_claws(herd, herd.seen(first, end))}
        of = len(herd.listed)
        so_far = counts.part(len(trimmed & herd.listed), of) if of else None
        lines.append(dict(tally(herd, max(first, whole_month), end, letters), month=name,
                          herd_trimmed_so_far=so_far))
    return {"farm": herd.name, "from": iso(first), "through": iso(last),
            "records_begin": iso(herd.visits()[0]), "all_days": tally(herd, first, last, letters),
            "months": lines, "healing": healing([herd], first, last),
            "blocks": blocks([herd], first, last), **left_on(herd, first, last),
            **recount_derived.farm(herd, first, last), "least_cows_for_a_share": counts.LEAST_COWS,
            "few_cows_below": FEW_COWS, "another_case_after_days": OUT_OF_SIGHT_DAYS}


def left_on(herd, first, last):
    """Blocks and wraps that are on past their window at the period's last visit."""
    as_of = max((day for day in herd.visits() if first <= day <= last), default=None)
    rows = [] if as_of is None else [
        {"cow": cow, "place": place_of(duty.place), "what": duty.what, "day": iso(duty.day),
         **late(duty, as_of)}
        for cow in herd.cows() for duty in herd.duties(cow, last) if harm(duty, as_of)]
    return {"left_on_as_of": iso(as_of), "left_on_too_long": rows}


# ---- What is due.

# So often not brought, and a cow is told once.
NEVER_BROUGHT = 3


def lesion_row(case):
    return dict(place_of(case["place"]), letters=LETTERS[case["lesion"]], case=case["id"],
                grade=grade_word(case["lesion"], case["grade"]))


def due_row(herd, cow, duty, day, missed):
    once = missed >= NEVER_BROUGHT and WHO[duty.what] in ("trimmer", "farmer")
    return dict(place_of(duty.place), cow=cow, farm=herd.name, what=duty.what, day=iso(duty.day),
                overdue=duty.day < day, why=set(duty.reasons),
                since={iso(since) for since in duty.since}, who=WHO[duty.what],
                group=herd.groups.get(cow), not_brought=missed, told_once=once,
                lesions=[lesion_row(case) for case in duty.cases], visit=iso(max(duty.day, day)),
                **late(duty, day))


def back_row(herd, cow, noted, seen):
    row, = herd.rows("SELECT duty, who, why FROM closing WHERE herd = ? AND animal = ? AND day = ? "
                     "AND duty IN (7, 8) AND holds = 1 ORDER BY closing DESC LIMIT 1", cow, noted)
    return {"farm": herd.name, "cow": cow, "noted": {7: "sold", 8: "dead"}[row[0]],
            "day": iso(noted), "who": row[1], "why": row[2], "seen": iso(seen)}


def due_of(herd, day, until):
    """The rows of a farm, what is due later, and who is back."""
    listed, later, back = [], 0, []
    for cow in herd.cows():
        duties = herd.duties(cow, day)
        noted = herd.back(cow, day)
        if duties and noted:
            back.append(back_row(herd, cow, *noted))
        first = min((duty.day for duty in duties if duty.what in ("recheck", "block-off")),
                    default=None)
        missed = 0 if first is None else len(herd.not_brought(cow, first, day))
        later += sum(duty.day > until for duty in duties)
        listed += [(duty, due_row(herd, cow, duty, day, missed)) for duty in duties
                   if duty.day <= until]
    planned = [(duty, row) for duty, row in listed if not row["told_once"]]
    for (_, row), visit in zip(planned, visits_for([duty for duty, _ in planned], day)):
        row["visit"] = iso(visit)
    return [row for _, row in listed], later, back


def due(of, day, until):
    farms = [due_of(herd, day, until) for herd in of]
    return {"day": iso(day), "until": iso(until), "due": [row for one in farms for row in one[0]],
            "later": sum(one[1] for one in farms), "back": [row for one in farms for row in one[2]]}
