"""From the facts of one cow to her casebook, by the rules of casebook/CASES.md.

Part of recount.py, which says what for. Where CASES.md leaves a choice, the comment says "Choice:".
"""

import collections
import math

# protocol/src/codes/lesion.rs: number, letters, and whether it sits in the horn of a claw. All of
# them have a severity (1 to 3) but digital dermatitis, which has a stage, and two without a grade.
HORN = {11: "SHD", 12: "SHC", 13: "SU", 14: "BU", 15: "TU", 16: "TN", 17: "DS", 18: "TS", 19: "HHE",
        21: "WLF", 22: "WLA", 23: "WLB", 41: "HFV", 42: "HFH", 43: "HFA", 52: "CC", 54: "CD", 62: "SWC",
        63: "BJ"}
SKIN = {31: "DD", 32: "ID", 33: "IH", 34: "IP", 51: "AC", 53: "SC", 61: "SW"}
# Signs are no lesions: 55, 77 and 78 are the foot's, the others a claw's.
SIGNS = {55: "OCH", 56: "WTU", 57: "ROT", 64: "AMP", 71: "PAIN", 72: "COR", 73: "EDGE", 74: "GIVES",
         75: "FB", 77: "COLD", 78: "WET"}
AMPUTATED, CORIUM_EXPOSED, COLD, WET = 64, 72, 77, 78
LETTERS = HORN | SKIN | SIGNS
NO_GRADE = (62, 63, *SIGNS)
# Why we took a block off; of two of them the glue had let go.
REASONS = {43: "worn", 44: "loose", 45: "twisted", 46: "sore", 47: "done"}
LET_GO = ("loose", "twisted")
SOUND, TOE_NECROSIS, DERMATITIS, PHLEGMON, SWELLING, SEVERE = 0, 16, 31, 34, 61, 3
SWELLING_OF_ONE_CLAW, BONE_OR_JOINT = 62, 63
TRIMMED, NOT_TRIMMED, STILL_ON, UNCHANGED, WORSE = 30, 33, 40, 52, 53
VET_HAS_SEEN, LOOK_IN_OFFICE = 83, 90
# Locomotion 5 and mobility 3.
LAST_OF_GAIT = ((1, 5), (2, 3))
# Numbers of the table `closing`: which duty the office was told is done, or what became of her.
VET, RECHECK, BLOCK_OFF, WRAP_OFF, TRIM, OFFICE, SOLD, DEAD, NOT_BROUGHT = range(1, 10)
# protocol/src/codes/dimension.rs.
WALL, LESION_LENGTH, LESION_WIDTH = 1, 8, 9
# Numbers of protocol/src/claw.rs.
FEET = ("LF", "RF", "LH", "RH")
SIDES = ("", " outer", " inner")

OUT_OF_SIGHT_DAYS = 60
EXAMINING_TENS = (1, 2, 3, 4, 5, 6)
TREATMENTS = {*range(10, 20), 20, 21, 31, 32}

# Sorted, facts stand in the order of time, then of handheld, log and number. `what` is FIND, DO,
# SIZE or SCORE; `code` the lesion, action, dimension or scale; `value` the grade, length or score,
# for "see again" the days. What the office was told stands among them as TOLD, with the duty's
# number as its code.
# `whole`: keyed for a foot or all four, and read as this claw or foot.
Fact = collections.namedtuple(
    "Fact", "day at device log seq what foot side code value after_trimming doubted whole",
    defaults=[False])


def place_text(place):
    foot, side = place
    return "cow" if foot is None else FEET[foot] + SIDES[side]


def keyed_at(fact):
    return (fact.foot, fact.side)


def case_place(fact):
    """Horn: the claw, or the foot where none was keyed. Skin: the foot."""
    return (fact.foot, fact.side if fact.code in HORN else 0)


def name_of(fact):
    return f"{fact.device:016x}-{fact.log:08x}-{fact.seq}"


def by_day(facts):
    days = collections.defaultdict(list)
    for fact in sorted(facts):
        days[fact.day].append(fact)
    return sorted(days.items())


def words(case):
    """The days on which something was said about a case."""
    closed = [case["closed"]] if case["how"] in ("healed", "sound") else []
    return [case["found"]] + case["looks"] + closed


def spoken_of(place, cases):
    """The cases that an outcome or a size keyed at a place speaks of; at the cow, those that stand
    at the cow."""
    here = [case for case in cases if case["place"][0] == place[0]]
    if place[1] == 0:
        return here
    horn = [case for case in here if case["lesion"] in HORN and case["place"][1] in (0, place[1])]
    return horn or [case for case in here if case["lesion"] in SKIN]


def called_sound(fact, case):
    if fact.foot is None or case["place"][0] != fact.foot:
        return False
    return fact.side == 0 or (case["lesion"] in HORN and case["place"] == keyed_at(fact))


def new_case(day, lesion, place, finds, cases, said):
    grade = max(fact.value for fact in finds)
    # Choice: a stage 0 of that day does not name the case, it opens none.
    opening = [fact for fact in finds if lesion != DERMATITIS or fact.value > 0][0]
    done = {fact.code for fact in said if fact.what == "DO" and fact.code in TREATMENTS
            and fact.foot is not None and fact.foot == place[0]}
    again = any(case["lesion"] == lesion and case["place"] == place for case in cases)
    return {"lesion": lesion, "place": place, "found": day, "again": again, "looks": [],
            "closed": None, "how": None, "grade": grade, "first_grade": grade,
            "done": sorted(done), "sizes": [], "id": name_of(opening), "outcome": False,
            "worse": []}


def find(day, finds_at, cases, said):
    """What the findings of a day open, and the grades that they set."""
    for (lesion, place), finds in finds_at.items():
        grade = max(fact.value for fact in finds)
        if lesion == DERMATITIS and grade == 0:
            continue
        old = next((case for case in cases if case["closed"] is None
                    and case["lesion"] == lesion and case["place"] == place), None)
        if old and day - max(words(old)) > OUT_OF_SIGHT_DAYS:
            old["closed"], old["how"] = day, "out of sight"
            old = None
        if old:
            old["grade"] = grade
        else:
            cases.append(new_case(day, lesion, place, finds, cases, said))


def hear(day, finds_at, live, said):
    """Looks and ends: all words of a day about each case, taken together."""
    outcomes = [(fact.code, [case["id"] for case in spoken_of(keyed_at(fact), live)])
                for fact in said if fact.what == "DO" and 50 <= fact.code <= 53]
    sounds = [fact for fact in said if fact.what == "FIND" and fact.code == SOUND]
    exposed = [spoken_of(keyed_at(fact), live) for fact in said
               if (fact.what, fact.code) == ("FIND", CORIUM_EXPOSED)]
    exposed = {case["id"] for cases in exposed for case in cases}
    for case in live:
        finds = finds_at.get((case["lesion"], case["place"]), [])
        stage_0 = bool(finds) and case["lesion"] == DERMATITIS and not any(f.value for f in finds)
        healed = any(code == 50 and case["id"] in ids for code, ids in outcomes)
        ill = any(code > 50 and case["id"] in ids for code, ids in outcomes)
        sound = any(called_sound(fact, case) for fact in sounds)
        # Nothing has healed where the corium is exposed.
        ill = ill or case["id"] in exposed and (stage_0 or healed or sound)
        if any(code == WORSE and case["id"] in ids for code, ids in outcomes):
            case["worse"].append((day, case["grade"]))
        case["outcome"] = ill if finds or healed or ill or sound else case["outcome"]
        if (stage_0 or healed) and not ill:
            case["closed"], case["how"] = day, "healed"
        elif sound and not finds and not ill:
            case["closed"], case["how"] = day, "sound"
        elif (finds or ill) and day > case["found"]:
            case["looks"].append(day)


def measure(day, live, said):
    """Sizes: of several lengths or widths at one place on one day the last one."""
    sizes = collections.defaultdict(dict)
    for fact in said:
        if fact.what == "SIZE" and not fact.doubted:
            sizes[keyed_at(fact)][fact.code] = fact.value
    for place, size in sizes.items():
        cases = spoken_of(place, live)
        if cases and LESION_LENGTH in size and LESION_WIDTH in size:
            case = max(cases, key=lambda case: (case["found"], case["grade"], -case["lesion"]))
            area = size[LESION_LENGTH] * size[LESION_WIDTH] * math.pi / 4
            case["sizes"].append((day, area))


def cases_of(facts):
    cases = []
    for day, said in by_day(facts):
        finds_at = collections.defaultdict(list)
        for fact in said:
            if fact.what == "FIND" and fact.code != SOUND and fact.code not in SIGNS:
                finds_at[fact.code, case_place(fact)].append(fact)
        find(day, finds_at, cases, said)
        live = [case for case in cases if case["closed"] is None]
        hear(day, finds_at, live, said)
        measure(day, live, said)
        gone = {keyed_at(fact) for fact in said if (fact.what, fact.code) == ("FIND", AMPUTATED)
                and fact.side}
        for case in live:
            if case["closed"] is None and case["lesion"] in HORN and case["place"] in gone:
                case["closed"], case["how"] = day, "amputated"
    return cases


def signs_of(facts):
    """(day, place, sign): each once, however often it was keyed."""
    return sorted({(fact.day, keyed_at(fact), fact.code) for fact in facts
                   if fact.what == "FIND" and fact.code in SIGNS},
                  key=lambda one: (one[0], place_text(one[1]), one[2]))


def about(told, place):
    """Choice: what was told of the cow is about all of her, of a foot about all of it, of a claw
    about that claw."""
    return told.foot is None or told.foot == place[0] and told.side in (0, place[1])


def told_last(facts):
    """In the order of time, but of each day an amputation, trimming to form, and then what the office
    was told, come last. Choice: the office is told in the evening."""
    late = {("DO", TRIMMED): 2, ("FIND", AMPUTATED): 1}
    return sorted(facts, key=lambda fact: (
        fact.day, 3 if fact.what == "TOLD" else late.get((fact.what, fact.code), 0), fact))


def blocks_of(facts):
    """Blocks, in the order of time."""
    blocks, on = [], {}

    def put(fact, way):
        block = {"way": way, "place": keyed_at(fact), "since": fact.day, "seen": [], "end": None,
                 "how": None, "why": None, "id": name_of(fact),
                 "cold": glued_in(fact, COLD), "wet": glued_in(fact, WET)}
        blocks.append(block)
        on[keyed_at(fact)] = block

    def glued_in(fact, sign):
        """How the foot's claws were, said on the day of gluing."""
        return any(("FIND", sign, fact.day, fact.foot) == (one.what, one.code, one.day, one.foot)
                   for one in facts) and 10 <= fact.code <= 19

    def end(place, day, how, why=None):
        if place in on:
            on[place].update(end=day, how=how, why=why)
            del on[place]

    for fact in told_last(facts):
        place = keyed_at(fact)
        if (fact.what, fact.code) == ("TOLD", BLOCK_OFF):
            for claw in [claw for claw in on if about(fact, claw)]:
                end(claw, fact.day, "told")
        if (fact.what, fact.code) == ("FIND", AMPUTATED):
            end(place, fact.day, "amputated")
        if fact.what != "DO":
            continue
        if 10 <= fact.code <= 19:
            end(place, fact.day, "replaced")
            put(fact, fact.code)
        elif fact.code == 40 and place not in on:
            put(fact, None)
        elif fact.code == 40:
            # The day on which it was glued or first seen is told once.
            if fact.day not in [on[place]["since"]] + on[place]["seen"]:
                on[place]["seen"].append(fact.day)
        elif fact.code in (41, 42, *REASONS):
            both = [(fact.foot, 1), (fact.foot, 2)] if fact.side == 0 else [place]
            for claw in both:
                end(claw, fact.day, "lost" if fact.code == 42 else "taken off", REASONS.get(fact.code))
        elif (fact.code == TRIMMED and not fact.whole and place in on
              and fact.day > on[place]["since"]):
            end(place, fact.day, "trimmed")
    return blocks


def wraps_of(facts):
    """Wraps: of one day, words about the old wrap, then a new wrap, then what needs a bare foot
    (which ends no wrap of the same day), then what the office was told."""
    wraps = []
    for foot in range(len(FEET)):
        wrap = None
        for day, said in by_day(fact for fact in facts if fact.foot in (foot, None)):
            here = [fact for fact in said if fact.foot == foot]
            do = {fact.code for fact in here if fact.what == "DO" and not fact.whole}
            bare = do & {30, 31, 32} or any(fact.what == "FIND" for fact in here)
            if wrap and (do & {20, 21, 22} or bare):
                how = ("taken off" if 22 in do else "left open" if 20 in do
                       else "replaced" if 21 in do else "bare")
                wrap["end"], wrap["how"], wrap = day, how, None
            if 21 in do:
                wrap = {"place": (foot, 0), "on": day, "end": None, "how": None}
                wraps.append(wrap)
            if wrap and any((fact.what, fact.code) == ("TOLD", WRAP_OFF) and about(fact, (foot, 0))
                            for fact in said):
                wrap["end"], wrap["how"], wrap = day, "told", None
    return wraps


def trimmings_of(facts):
    trimmings = []
    claws = {(fact.day, keyed_at(fact)) for fact in facts
             if fact.what == "DO" and fact.code == TRIMMED and fact.side}
    for day, claw in sorted(claws):
        walls = [fact for fact in sorted(facts) if fact.what == "SIZE" and fact.code == WALL
                 and fact.day == day and keyed_at(fact) == claw]
        trimming = {"place": claw, "day": day}
        for after, name in enumerate(("before", "after")):
            lengths = [fact for fact in walls if fact.after_trimming == after]
            kept = [fact.value for fact in lengths if not fact.doubted]
            trimming[name] = {"last": lengths[-1].value if lengths else None,
                              "mean": sum(kept) / len(kept) if kept else None}
        trimmings.append(trimming)
    return trimmings


def walls_of(facts):
    """Each claw's last dorsal wall of a day, before and after trimming."""
    last = {}
    for fact in sorted(facts):
        if fact.what == "SIZE" and fact.code == WALL and fact.side:
            last[fact.day, keyed_at(fact), fact.after_trimming] = fact.value
    return [{"day": day, "place": place, "trimmed": trimmed, "mm": mm}
            for (day, place, trimmed), mm in sorted(last.items())]


def trigger(fact):
    """Place, urgency and rule that a fact raises a referral by; None where it raises none."""
    if fact.what == "DO" and fact.code in (80, 81):
        return (keyed_at(fact), *{80: ("to see", "vet-to-see"), 81: ("now", "vet-now")}[fact.code])
    if fact.what == "SCORE" and (fact.code, fact.value) in LAST_OF_GAIT:
        return (None, 0), "now", "gait"
    if fact.what != "FIND" or fact.code == SWELLING and fact.value != SEVERE:
        return None
    found = {TOE_NECROSIS: ("now", "toe-necrosis"), SWELLING: ("now", "swelling"),
             SWELLING_OF_ONE_CLAW: ("now", "one-sided-swelling"),
             BONE_OR_JOINT: ("now", "bone-or-joint"), PHLEGMON: ("to see", "phlegmon")}
    return (case_place(fact), *found[fact.code]) if fact.code in found else None


def is_worse(case, day):
    """Whether "worse" on a day makes a case the vet's: it is severe, or it is not the first time."""
    until = [grade for on, grade in case["worse"] if on <= day]
    today = [grade for on, grade in case["worse"] if on == day]
    severe = case["lesion"] != DERMATITIS and case["lesion"] not in NO_GRADE and SEVERE in today
    return bool(today) and (severe or len(until) > 1)


def concerns(fact, place):
    """Whether what was keyed of her is about a referral."""
    if fact.foot is None or place[0] is None:
        return True
    return fact.foot == place[0] and (fact.side == 0 or place[1] in (0, fact.side))


def referrals_of(facts, cases):
    """Referrals: each raised on days, by rules, until an answer closes it."""
    referrals, opened = [], {}

    def raise_it(place, urgency, rule, day):
        if (place, urgency) not in opened:
            opened[place, urgency] = {"place": place, "urgency": urgency, "days": [],
                                      "raised": [], "answered": None}
            referrals.append(opened[place, urgency])
        one = opened[place, urgency]
        one["days"] = sorted({*one["days"], day})
        one["raised"].append((day, rule))

    def answer(fact, fits):
        for key in [key for key in opened if fits(fact, key[0])]:
            opened.pop(key)["answered"] = fact.day

    for day, said in by_day(facts):
        chute = [fact for fact in said if fact.what != "TOLD"]
        do = [fact for fact in chute if fact.what == "DO"]
        last_worse = {fact.foot: fact for fact in do if fact.code == WORSE}
        for fact in chute:
            if trigger(fact):
                raise_it(*trigger(fact), day)
            if last_worse.get(fact.foot) is fact:
                for case in cases:
                    if case["place"][0] == fact.foot and is_worse(case, day):
                        raise_it(case["place"], "to see", "worse", day)
            if (fact.what, fact.code) == ("DO", VET_HAS_SEEN):
                answer(fact, concerns)
        again = [fact for fact in do if fact.code in (UNCHANGED, WORSE, NOT_TRIMMED)]
        for (place, urgency), one in opened.items():
            if max(one["days"]) < day and any(concerns(fact, place) for fact in again):
                raise_it(place, urgency, "unanswered", day)
        for fact in said:
            if (fact.what, fact.code) == ("TOLD", VET):
                answer(fact, about)
    return referrals


def office_of(facts):
    """What was left to the office: each asked on days, until the office has looked."""
    asked, waiting = [], None
    for day, said in by_day(facts):
        if any((fact.what, fact.code) == ("DO", LOOK_IN_OFFICE) for fact in said):
            if waiting is None:
                waiting = {"days": [], "answered": None}
                asked.append(waiting)
            waiting["days"].append(day)
        if waiting and any((fact.what, fact.code) == ("TOLD", OFFICE) for fact in said):
            waiting["answered"], waiting = day, None
    return asked


def examines(fact):
    return fact.what == "FIND" or (fact.what == "DO" and fact.code // 10 in EXAMINING_TENS)


def casebook_of(facts):
    cases = cases_of(facts)
    return {"cases": cases, "blocks": blocks_of(facts), "wraps": wraps_of(facts),
            "trimmings": trimmings_of(facts), "walls": walls_of(facts),
            "signs": signs_of(facts), "referrals": referrals_of(facts, cases), "office": office_of(facts),
            "examined": sorted({fact.day for fact in facts if examines(fact)})}


def state(case, day):
    """new, open, out of sight or closed; None before it was found."""
    if day < case["found"]:
        return None
    if day == case["found"]:
        return "new"
    # Choice: a case that ended out of sight is closed from the day on which the next one opens.
    if case["closed"] is not None and case["closed"] <= day:
        return "closed"
    last = max(word for word in words(case) if word <= day)
    return "open" if day - last <= OUT_OF_SIGHT_DAYS else "out of sight"
