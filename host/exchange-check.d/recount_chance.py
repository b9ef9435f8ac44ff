"""A herd made by chance, put into the tables of a copy of a herd database. Part of recount.py.

A season played on the handheld is reasonable: nobody says "healed" and "worse" of one claw, and no
wrap lies under another. Here everything is said of everything, often on one day, so that rules meet
that a season never brings together. The seed is fixed; a difference comes again.
"""

import collections
import random
import sqlite3

import recount_lot
from recount_cases import NO_GRADE, SIGNS, SKIN
from recount_facts import date_of, opened

DAY_MS = 86_400_000
FIRST_DAY, DEVICE, LOG = 20_000, 0x5EED, 7
COWS, VISITS, CLOSINGS, SEED = 90, 16, 200, 20_251
GAPS = (1, 3, 7, 14, 14, 28, 45, 61, 75)
# Few codes and few feet, so that they meet.
LESIONS = (0, 0, 11, 13, 13, 16, 22, 31, 31, 31, 34, 61, 61, 62, 63, 55,
           64, 71, 72, 72, 75, 77, 78)
ACTIONS = (10, 11, 20, 21, 21, 22, 30, 30, 31, 32, 33, 40, 40, 41, 42, 43, 44, 45, 46, 47, 50, 50, 51, 52, 53, 53, 60, 61,
           70, 80, 81, 82, 82, 82, 83, 83, 90)
AT_CLAW, AT_FOOT = {*range(10, 20), 30, 31, 32, 40}, {20, 21, 22, 33, *range(60, 70)}
AT_COW = {70, 80, 81, 82, 83, 90}
FINDING = "boot, uncertainty_ms, clock, presence, lesion, grade, zone"
ACTION = "boot, uncertainty_ms, clock, presence, action, days"
READING = ("boot, uncertainty_ms, clock, presence, dimension, length_nm, unit, kind, trimmed, "
           "gauge_ok")
SCORE = "boot, uncertainty_ms, clock, presence, scale, value"

# Which healed claws count as looked at again no page says; a reasonable season leaves no doubt.
NOT_COUNTED = (r"(.*\.)?recurrence\..*",)

# One sentence: when, of whom, where, and the table with its own columns.
Sentence = collections.namedtuple("Sentence", "day cow foot side table columns values")


def place_for(chance, claw_only=False, foot_only=False, cow_too=False):
    """Most of it at the hind feet."""
    foot = chance.choice((2, 2, 2, 3, 3, 0))
    if cow_too and chance.random() < 0.5:
        return None, 0
    if foot_only or not claw_only and chance.random() < 0.3:
        return foot, 0
    return foot, chance.choice((1, 2))


def finding(chance):
    lesion = chance.choice(LESIONS)
    # A claw is gone at the claw; how claws were when a block was glued is said of the foot.
    place = place_for(chance, claw_only=lesion == 64, foot_only=lesion in (55, 77, 78)
                      or lesion in SKIN and chance.random() < 0.5)
    grade = 0 if lesion in (0, *NO_GRADE) else chance.randrange(6) if lesion == 31 else chance.randint(1, 3)
    # No page says which of two zones of one day counts: horn has one, skin its usual one.
    zone = 4 if lesion and lesion not in SKIN and lesion not in SIGNS else None
    return place, "finding", FINDING, (1, None, 0, 1, lesion, grade, zone)


def action(chance):
    code = chance.choice(ACTIONS)
    # What is said of the cow or her foot is recorded without a claw.
    place = place_for(chance, code in AT_CLAW, code in AT_FOOT | AT_COW, code in AT_COW)
    if code in (70, 90):
        place = (None, 0)
    days = chance.choice((3, 7, 14, 30)) if code == 82 else 0
    return place, "action", ACTION, (1, None, 0, 1, code, days)


def size(chance):
    dimension = chance.choice((1, 1, 8, 9, 8, 9, 2, 5, 5))
    length = {1: chance.randint(7000, 11000), 2: chance.randint(2500, 6000),
              5: chance.randint(4000, 9000), 8: chance.randint(500, 3000),
              9: chance.randint(300, 2000)}[dimension]
    place = place_for(chance, claw_only=dimension in (1, 2, 5))
    # Most with a checked calliper, some in inches.
    gauge = chance.choice((1, 1, 1, 1, None, 0))
    return place, "reading", READING, (1, None, 0, 1, dimension, length * 10_000,
                                       chance.randrange(2), 0, chance.randrange(2), gauge)


def claws_measured(chance):
    """Of a foot, heels and one claw's toe height and wall, some of it twice, so that something can be
    derived; now and then a height is above the wall or one of them is missing."""
    foot, trimmed = chance.choice((2, 2, 3, 0)), chance.randrange(2)
    wall = chance.randint(7000, 9000)
    walls = {1: wall, 5: round(wall * chance.choice((0.6, 0.7, 0.75, 0.8, 0.97, 1.05)))}
    side = chance.choice((1, 2))
    for dimension, at, length in ((1, side, wall), (5, side, walls[5]), (2, 1, 4200), (2, 2, 4000)):
        if chance.random() < 0.15:
            continue
        for _ in range(chance.choice((1, 1, 2, 3))):
            seen = length + chance.randint(-60, 60)
            gauge = chance.choice((1, 1, 1, None, 0))
            yield (foot, at), "reading", READING, (
                1, None, 0, 1, dimension, seen * 10_000, chance.randrange(2), 0, trimmed, gauge)


def score(chance):
    scale = chance.choice((1, 2))
    value = chance.randint(1, 5) if scale == 1 else chance.randint(0, 3)
    return (None, 0), "score", SCORE, (1, None, 0, 1, scale, value)


def sentences(chance):
    """Of each cow on each of her days a few, in the order of time; one in seven is only scored."""
    day = FIRST_DAY
    for _ in range(VISITS):
        day += chance.choice(GAPS)
        for cow in range(1, COWS + 1):
            if chance.random() < 0.45:
                continue
            kinds = [score] if chance.random() < 0.15 else chance.choices(
                (finding, action, size, score), (4, 8, 3, 1), k=chance.randint(1, 6))
            for kind in kinds:
                (foot, side), table, columns, values = kind(chance)
                yield Sentence(day, 9000 + cow, foot, side, table, columns, values)
            if chance.random() < 0.3:
                for (foot, side), table, columns, values in claws_measured(chance):
                    yield Sentence(day, 9000 + cow, foot, side, table, columns, values)


def closings(chance, days):
    """What the office was told: vet, recheck, block, wrap, trim, some of all of the cow; the office
    has looked, sold, dead, not brought."""
    for number in range(CLOSINGS):
        # The duties most of all; sold, dead and not brought as well.
        duty = chance.choice((1, 2, 3, 4, 5, 6, 6, 9, 9, chance.choice((7, 8))))
        place = place_for(chance, claw_only=duty == 3, foot_only=duty != 3, cow_too=True)
        place = (None, 0) if duty > 5 else place
        yield (9000 + chance.randint(1, COWS), *place, duty, chance.choice(days) + number % 3)


def by_chance(source, target, seed=SEED):
    """Copies a database and adds the herd. Its name is Chance."""
    chance = random.Random(seed)
    with opened(source) as there, sqlite3.connect(target) as db:
        there.backup(db)
        herd = db.execute("SELECT max(herd) + 1 FROM herd").fetchone()[0]
        db.execute("INSERT INTO herd (herd, name, farm, zone, target_nm) VALUES (?, 'Chance', 9, "
                   "'UTC', 75000000)", (herd,))
        for cow in range(1, COWS + 1):
            # Of ten cows one is on no list and one has left.
            if cow % 10:
                group = (None, "dry cows", "fresh cows")[cow % 3]
                db.execute("INSERT INTO animal (herd, animal, pen, in_herd) VALUES (?, ?, ?, ?)",
                           (herd, 9000 + cow, group, int(cow % 10 != 1)))
        said = list(sentences(chance))
        add(db, herd, said)
        told_and_washed(chance, db, sorted({one.day for one in said}))
        for at, (cow, foot, side, duty, day) in enumerate(
                closings(chance, sorted({one.day for one in said}))):
            db.execute("INSERT INTO closing (herd, animal, foot, side, duty, day, who, at_ms, why) "
                       "VALUES (?, ?, ?, ?, ?, ?, 'recount', ?, 'by chance')",
                       (herd, cow, foot, side, duty, day, day * DAY_MS + at))
        draws(db, herd, sorted({one.day for one in said}))


def draws(db, herd, days):
    """Two draws of trial ways, one after the other, made by our own generator: by claw, closed; by
    cow, still open, with a look into it."""
    listed = [9000 + cow for cow in range(1, COWS + 1) if cow % 10 > 1]
    for number, (unit, ways, sizes, day) in enumerate(
            ((2, [1, 2], [1, 3], days[3]), (1, [1, 2, 3], [2], days[10])), 1):
        seed = f"chance {number}"
        name, date = "Chance", date_of(day).isoformat()
        rows = recount_lot.rows_of(recount_lot.UNITS[unit], seed, ways, sizes, listed)
        text = recount_lot.text_of(name, date, recount_lot.UNITS[unit], ways, sizes, seed, rows)
        lot = db.execute(
            "INSERT INTO lot (herd, name, day, unit, ways, sizes, seed, sha256, who, at_ms, why) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, 'recount', ?, 'by chance') RETURNING lot",
            (herd, name, day, unit, "".join(map(str, ways)), "".join(map(str, sizes)), seed,
             recount_lot.hash_of(text), day * DAY_MS)).fetchone()[0]
        db.executemany("INSERT INTO lot_cow (lot, animal, ways) VALUES (?, ?, ?)",
                       [(lot, cow, "".join(map(str, hers))) for cow, hers in rows])
        what, on = (recount_lot.CLOSED, days[8]) if number == 1 else (recount_lot.SHOWN, day)
        db.execute("INSERT INTO lot_note (lot, what, day, who, at_ms, why) VALUES "
                   "(?, ?, ?, 'recount', ?, 'by chance')", (lot, what, on, on * DAY_MS))


def told_and_washed(chance, db, days):
    """What ways of gluing were on which days, and washings: the same handheld is also at another farm
    on some of the days, before the others."""
    for way in (0, 1):
        since = days[0]
        while since < days[-1]:
            through = since + chance.randint(0, 200) if chance.random() < 0.5 else None
            db.execute("INSERT INTO way_fact (way, since, through, material, glue, surface, height_nm, "
                       "who, at_ms) VALUES (?, ?, ?, 'wood', '', '', NULL, 'recount', 0)",
                       (way, since, through))
            since += chance.randint(1, 250)
    elsewhere = db.execute("SELECT min(herd) FROM herd").fetchone()[0]
    for number, day in enumerate(days, 10_000_000):
        at = day * DAY_MS + chance.randint(1, 5) * 3_600_000
        if chance.random() < 0.6:
            db.execute("INSERT INTO presence (herd, device, log, seq, at_ms, day, animal, boot, "
                       "until_ms, clock) VALUES (?, ?, ?, ?, ?, ?, 1, 1, ?, 0)",
                       (elsewhere, DEVICE, LOG + 1, number, at, day, at + 60_000))
        if chance.random() < 0.6:
            db.execute("INSERT INTO wash (device, log, seq, at_ms) VALUES (?, ?, ?, ?)",
                       (DEVICE, LOG + 1, number, at + chance.randint(-600_000, 600_000)))


def add(db, herd, said):
    present = set()
    for seq, one in enumerate(said, 1):
        at = one.day * DAY_MS + 6 * 3_600_000 + seq * 1000
        who = (herd, DEVICE, LOG, seq, at, one.day, one.cow)
        # Her stay has the number of its first sentence: a doubt about that would be about both.
        first = (one.day, one.cow) not in present
        if first:
            present.add((one.day, one.cow))
            db.execute("INSERT INTO presence (herd, device, log, seq, at_ms, day, animal, boot, "
                       "until_ms, clock) VALUES (?, ?, ?, ?, ?, ?, ?, 1, ?, 0)", (*who, at))
        names = f"herd, device, log, seq, at_ms, day, animal, foot, side, {one.columns}"
        marks = ", ".join("?" * (9 + len(one.values)))
        db.execute(f"INSERT INTO {one.table} ({names}) VALUES ({marks})",
                   (*who, one.foot, one.side, *one.values))
        if one.table == "reading" and seq % 11 == 0 and not first:
            db.execute("INSERT INTO remark (herd, device, log, seq, rule, severity, level, day, animal, "
                       "foot, side, sentence) VALUES (?, ?, ?, ?, 'unusual-length', 0, 0, ?, ?, ?, ?, "
                       "'doubted by chance')",
                       (herd, DEVICE, LOG, seq, one.day, one.cow, one.foot, one.side))
