"""A visit and a cow, in the shape of `hornrule report visit --json` and `hornrule cow --json`.

Part of recount.py, which says what for."""

import collections
import statistics

import recount_counts as counts
import recount_derived
import recount_notices
from recount_cases import (DERMATITIS, FEET, HORN, LESION_LENGTH, LESION_WIDTH, LETTERS, NO_GRADE, SEVERE,
                           SIGNS, SOUND, TRIMMED, WALL, case_place, keyed_at, state)
from recount_duties import ACTIVE_STAGES, harm
from recount_facts import EVER, date_of

# protocol/src/codes: the usual zone of a lesion, where it has one; stages in words; dimensions.
USUAL_ZONE = {11: 5, 12: 4, 13: 4, 14: 6, 15: 1, 16: 1, 17: 5, 18: 5, 19: 6, 21: 3, 22: 3, 23: 3,
              31: 10, 32: 0, 33: 0, 34: 9, 41: 7, 42: 7, 43: 11, 54: 7, 61: 9,
              62: 9}
SEVERITIES = {1: "slight", 2: "moderate", 3: "severe"}
STAGES = {0: "healed", 1: "M1", 2: "M2", 3: "M3", 4: "M4", 5: "M4.1"}
DIMENSIONS = {1: "dorsal wall length", 2: "heel height", 3: "claw width", 4: "claw length",
              5: "toe height", 6: "sole thickness", 7: "horn regrown", 8: "lesion length",
              9: "lesion width"}
EARLIER_VISITS = 5
# What a visit's due list is of; the vet's are those that an earlier visit left open.
TOLD_AFTER_A_VISIT = ("recheck", "block-off", "wrap-off")


def place_of(place):
    foot, side = place
    return {"foot": None if foot is None else FEET[foot],
            "claw": (None, "lateral", "medial")[side]}


def iso(day):
    return None if day is None else date_of(day).isoformat()


def grade_word(lesion, grade):
    if lesion == SOUND or lesion in NO_GRADE:
        return None
    return (STAGES if lesion == DERMATITIS else SEVERITIES)[grade]


def case_answer(case):
    last = max([case["found"], *case["looks"]])
    return {"case": case["id"], "letters": LETTERS[case["lesion"]],
            "place": place_of(case["place"]), "found": iso(case["found"]), "again": case["again"],
            "grade_found": case["first_grade"], "grade_last": case["grade"],
            "last_spoken_of": iso(last), "ended": iso(case["closed"]), "ended_how": case["how"]}


def due_answer(cow, duty, letters):
    """`days` and `keyed` are what the sentence of the rule says; `letters` are of cases by name."""
    return {"cow": cow, "day": iso(duty.day), "place": place_of(duty.place), "what": duty.what,
            "days": {duty.day - since for since in duty.since},
            "keyed": {reason == "keyed" for reason in duty.reasons},
            "cases": [case["id"] for case in duty.cases],
            "lesions": [letters[case["id"]] for case in duty.cases]}


def late(duty, day):
    """How late it is at the end of a day."""
    return {"overdue_days": max(0, day - duty.day), "harm_days": harm(duty, day)}


def letters_of(book):
    return {case["id"]: LETTERS[case["lesion"]] for case in book["cases"]}


def last_size(facts, dimension, trimmed=None):
    sizes = [fact.value for fact in facts if fact.what == "SIZE" and fact.code == dimension
             and trimmed in (None, fact.after_trimming)]
    return sizes[-1] if sizes else None


def zone_of(herd, fact):
    keyed = herd.zone_keyed(fact)
    return USUAL_ZONE.get(fact.code) if keyed is None else keyed


def place_answer(herd, place, facts):
    found = [{"letters": "OK" if fact.code == SOUND else LETTERS[fact.code],
              "grade": grade_word(fact.code, fact.value), "zone": zone_of(herd, fact),
              "zone_keyed": herd.zone_keyed(fact) is not None}
             for fact in facts if fact.what == "FIND"]
    return {"place": place_of(place), "found": found,
            "done": sum(fact.what == "DO" for fact in facts),
            "lesion_length_mm": last_size(facts, LESION_LENGTH),
            "lesion_width_mm": last_size(facts, LESION_WIDTH),
            "dorsal_wall_before_mm": last_size(facts, WALL, 0),
            "dorsal_wall_after_mm": last_size(facts, WALL, 1)}


def cow_answer_of_day(herd, cow, day, through):
    """Her line: all that was said, also what was said twice. Claws of which only trimming was said
    stand together."""
    at = collections.defaultdict(list)
    scores = []
    for fact in herd.said_on(cow, day):
        if fact.what == "SCORE":
            name, _, lame_from = counts.SCALES[fact.code]
            lame = lame_from is not None and fact.value >= lame_from
            scores.append(f"{name} {fact.value}{' (lame)' * lame}")
        else:
            at[keyed_at(fact)].append(fact)
    only = {place for place, facts in at.items()
            if all((fact.what, fact.code) == ("DO", TRIMMED) for fact in facts)}
    return {"cow": cow, "class": counts.class_of(herd.book(cow, through), day),
            "cases": [case_answer(case) for case in counts.present(herd, cow, day, through)],
            "scores": scores, "only_trimmed": [place_of(place) for place in only],
            "places": [place_answer(herd, place, facts) for place, facts in at.items()
                       if place not in only]}


def summary(herd, seen, day):
    by_class = counts.classes(herd, seen, day)
    scored, lame = counts.scored_and_lame(herd, seen)
    cows = {cow for _, cow in seen}
    listed = bool(herd.listed)
    return {"cows": len(cows), "listed": len(herd.listed) if listed else None,
            "listed_seen": len(cows & herd.listed) if listed else None,
            "claws_trimmed": len(counts.trimmed_claws(herd, seen)),
            "cows_examined": counts.examined_cows(by_class),
            "cows_with_lesion": counts.with_lesion(by_class),
            "cows_with_new_lesion": by_class["new"], "cows_with_open_lesion": by_class["open"],
            "cows_sound": by_class["sound"], "cows_not_examined": by_class["not examined"],
            "blocks_glued": counts.glued(herd, day, day, day),
            "cows_scored_for_gait": scored, "cows_lame": lame}


def lesion_lines(herd, seen, day):
    cases = collections.defaultdict(list)
    for _, cow in seen:
        for case in counts.present(herd, cow, day, day):
            cases[case["lesion"]].append((cow, case))
    lines = []
    for lesion, those in cases.items():
        states = collections.Counter(state(case, day) for _, case in those)
        grades = collections.Counter(grade_word(lesion, case["grade"]) for _, case in those
                                     if lesion not in NO_GRADE)
        lines.append({"letters": LETTERS[lesion], "cows": len({cow for cow, _ in those}),
                      "claws_or_feet": len({(cow, case["place"]) for cow, case in those}),
                      "new_cases": states["new"], "open_cases": states["open"],
                      "grades": dict(grades)})
    return lines


def vet_lines(herd, seen, day):
    """One line a cow, place and reason."""
    lines = {(cow, one["urgency"], one["place"], rule) for _, cow in seen
             for one in herd.book(cow, day)["referrals"]
             for raised, rule in one["raised"] if raised == day}
    return [{"cow": cow, "urgency": urgency, "place": place_of(place)}
            for cow, urgency, place, _ in lines]


def spread(lengths):
    return {"readings": len(lengths), "least_mm": min(lengths), "most_mm": max(lengths),
            "median_mm": statistics.median(lengths)} if lengths else None


def length_lines(sizes):
    lines = []
    for dimension in sorted({fact.code for fact in sizes}):
        of = [[fact.value for fact in sizes
               if fact.code == dimension and fact.after_trimming == after] for after in (0, 1)]
        lines.append({"dimension": DIMENSIONS[dimension], "before_trimming": spread(of[0]),
                      "after_trimming": spread(of[1])})
    return lines


def zone_of_case(herd, cow, case, day):
    """The zone keyed last of its findings, or the lesion's usual one."""
    keyed = [herd.zone_keyed(fact) for fact in herd.facts[cow] if case["found"] <= fact.day <= day
             and (fact.what, fact.code) == ("FIND", case["lesion"])
             and case_place(fact) == case["place"]]
    keyed = [zone for zone in keyed if zone is not None]
    return keyed[-1] if keyed else USUAL_ZONE.get(case["lesion"])


def zones(herd, seen, day):
    """Claws or feet with a case new or open at each zone."""
    places = collections.defaultdict(set)
    for _, cow in seen:
        for case in counts.present(herd, cow, day, day):
            zone = zone_of_case(herd, cow, case, day)
            if zone is not None:
                places[case["place"], zone].add(cow)
    return [dict(place_of(place), zone=zone, count=len(cows))
            for (place, zone), cows in places.items()]


def depth(case):
    """questions/src/visit/RIBBON.md: 1 to 3."""
    if case["lesion"] in NO_GRADE:
        return 3
    if case["lesion"] == DERMATITIS:
        return 2 if case["grade"] in ACTIVE_STAGES else 1
    return min(case["grade"], SEVERE)


def gait_of(herd, cow, day):
    """A lame score before one that is not, then the one further up its scale, then the scale with
    the smaller number."""
    scores = []
    for fact in herd.said_on(cow, day):
        if fact.what == "SCORE" and counts.SCALES[fact.code][2] is not None:
            name, values, lame_from = counts.SCALES[fact.code]
            lame, up = fact.value >= lame_from, (fact.value - min(values)) / (max(values) - min(values))
            scores.append((lame, up, {"scale": name, "value": fact.value, "lame": lame}, -fact.code))
    return max(scores, key=lambda one: (one[0], one[1], one[3]))[2] if scores else None


def ribbon(herd, seen, day):
    """A mark a cow, in the order in which they came into the chute."""
    came = {}
    for at, device, log, seq, cow in herd.rows("SELECT at_ms, device, log, seq, animal FROM presence "
                                               "WHERE herd = ? AND day = ?", day):
        stay = (at, device % 2**64, log, seq)
        came[cow] = min(stay, came.get(cow, stay))
    glued = collections.Counter(cow for cow, block in herd.entries("blocks", day)
                                if block["way"] is not None and block["since"] == day)
    vet = {line["cow"] for line in vet_lines(herd, seen, day)}
    lines = []
    for nth, cow in enumerate(sorted((cow for _, cow in seen), key=came.get), 1):
        depths = collections.defaultdict(list)
        for case in counts.present(herd, cow, day, day):
            depths[state(case, day)].append(depth(case))
        lines.append({"nth": nth, "cow": cow,
                      "class": counts.class_of(herd.book(cow, day), day),
                      "gait": gait_of(herd, cow, day), "new_depth": max(depths["new"], default=None),
                      "open_depth": max(depths["open"], default=None), "blocks": glued[cow],
                      "vet": cow in vet})
    return lines


def earlier_visits(herd, day):
    lines = []
    for earlier in [one for one in herd.visits() if one < day][-EARLIER_VISITS:]:
        seen = herd.seen(earlier, earlier)
        by_class = counts.classes(herd, seen, earlier)
        lines.append({"day": iso(earlier), "cows": len({cow for _, cow in seen}),
                      "cows_examined": counts.examined_cows(by_class),
                      "cows_with_lesion": counts.with_lesion(by_class),
                      "cows_by_lesion": counts.cows_by_lesion(herd, seen, earlier)})
    return lines


def remark_lines(herd, day, severity):
    rows = herd.rows("SELECT rule, sentence, count(*) FROM remark WHERE herd = ? AND day = ? "
                     "AND severity = ? GROUP BY rule, sentence", day, severity)
    return [{"rule": rule, "sentence": sentence, "times": times} for rule, sentence, times in rows]


def gauge_lines(herd, day):
    lines = collections.defaultdict(list)
    for device, length_nm in herd.rows("SELECT device, length_nm FROM reading WHERE herd = ? AND "
                                       "day = ? AND dimension = 0 ORDER BY at_ms", day):
        lines[f"{device % 2**64:016x}"].append({"mm": length_nm / 1e6})
    return [{"handheld": device, "readings": readings} for device, readings in lines.items()]


def walls_after(herd, sizes):
    """The last dorsal wall after trimming of each claw, in the order of time."""
    return {(cow, keyed_at(fact)): fact.value for cow, fact in sizes
            if fact.code == WALL and fact.after_trimming}


def sign_lines(herd, seen, day):
    places = collections.defaultdict(set)
    for _, cow in seen:
        for on, place, sign in herd.book(cow, day)["signs"]:
            if on == day:
                places[sign].add((cow, place))
    return [{"letters": SIGNS[sign], "cows": len({cow for cow, _ in those}), "claws_or_feet": len(those)}
            for sign, those in places.items()]


def washing(herd, day):
    """Of each handheld that was at another farm before its first cow here: whether DO 91 was keyed
    after its last cow there came in and before its first cow here did."""
    here, lines = {}, []
    for device, at in herd.rows("SELECT device, at_ms FROM presence WHERE herd = ? AND day = ?", day):
        here[device] = min(at, here.get(device, at))
    for device, came in here.items():
        left = [at for at, in herd.rows(
            "SELECT at_ms FROM presence WHERE herd <> ? AND device = ? AND at_ms < ?", device, came)]
        if left:
            washed = herd.db.execute("SELECT at_ms FROM wash WHERE device = ?", (device,)).fetchall()
            lines.append({"handheld": f"{device % 2**64:016x}",
                          "keyed": any(max(left) <= at <= came for at, in washed)})
    return lines


def visit(herd, day):
    seen = herd.seen(day, day)
    sizes = [(cow, fact) for _, cow in seen for fact in herd.facts_on(cow, day, "SIZE")]
    walls = walls_after(herd, sizes)
    due = [due_answer(cow, duty, letters_of(herd.book(cow, day))) | late(duty, day)
           for cow in herd.cows() for duty in herd.duties(cow, day)
           if duty.what in TOLD_AFTER_A_VISIT or duty.what == "vet" and min(duty.since) < day]
    unchecked, = herd.rows("SELECT count(*) FROM reading WHERE herd = ? AND day = ? AND "
                           "animal IS NOT NULL AND gauge_ok IS NOT 1", day)[0]
    short = [{"cow": cow, "place": place_of(claw), "mm": mm} for (cow, claw), mm in walls.items()
             if herd.target and mm < herd.target]
    return {"farm": herd.name, "day": iso(day), "summary": summary(herd, seen, day),
            "vet": vet_lines(herd, seen, day), "due": due,
            "lesions": lesion_lines(herd, seen, day), "signs": sign_lines(herd, seen, day),
            "washing_before": washing(herd, day),
            "cows": [cow_answer_of_day(herd, cow, day, day) for _, cow in seen],
            "lengths": length_lines([fact for _, fact in sizes]),
            "notices": recount_notices.notices(herd, seen, day, place_of),
            "gauge_checks": gauge_lines(herd, day), "readings_without_passed_check": unchecked,
            "flagged": remark_lines(herd, day, 0), "held": remark_lines(herd, day, 1),
            "target_mm": herd.target, "handhelds": herd.handhelds(day),
            "claws_measured_after_trimming": len(walls),
            "shorter_than_target": short, "zones": zones(herd, seen, day),
            "chute_order": ribbon(herd, seen, day),
            "earlier_visits": earlier_visits(herd, day), **recount_derived.visit(herd, day, iso)}


def cow_walls(book):
    lines = collections.defaultdict(list)
    for one in book["walls"]:
        lines[one["place"]].append({"day": iso(one["day"]), "mm": one["mm"],
                                    "trimmed": bool(one["trimmed"])})
    return [{"place": place_of(place), "dorsal_wall": those} for place, those in lines.items()]


def cow(herd, number):
    book = herd.book(number)
    days = sorted({fact.day for fact in herd.facts.get(number, []) if fact.what != "TOLD"})
    areas = [{"case": case["id"], "place": place_of(case["place"]),
              "lesion_area": [{"day": iso(day), "mm2": mm2} for day, mm2 in case["sizes"]]}
             for case in book["cases"] if len(case["sizes"]) > 1]
    return {"farm": herd.name, "cow": number, "areas": areas, "walls": cow_walls(book),
            **recount_derived.cow(herd, number, iso),
            "days": [dict(cow_answer_of_day(herd, number, day, EVER), day=iso(day))
                     for day in days],
            "cases": [case_answer(case) for case in book["cases"]],
            "due": [due_answer(number, duty, letters_of(book))
                    for duty in herd.duties(number, EVER)]}
