"""Draws of trial ways: each list made again from its seed, its SHA-256, and the blocks as drawn and as
used, in the shape of `hornrule blocks --json`. From questions/src/lot/LOT.md and the tables alone.

    python3 recount_lot.py LIST     a published list: its ways against those of its seed, its SHA-256
"""

import collections
import hashlib
import sys

from recount_facts import EVER, date_of
from recount_farm import of_facts, way_answer

PLACES = [(foot, side) for foot in range(4) for side in (1, 2)]
FEET, CLAWS = ("LF", "RF", "LH", "RH"), {1: "outer", 2: "inner"}
UNITS, SHOWN, CLOSED = {1: "cow", 2: "claw"}, 1, 2


# ---- The list.

def numbers(seed):
    """SHA-256 over seed, a zero byte and a counter; four bytes at a time."""
    counter = 0
    while True:
        digest = hashlib.sha256(seed.encode() + b"\0" + counter.to_bytes(8, "big")).digest()
        yield from (int.from_bytes(digest[at:at + 4], "big") for at in range(0, 32, 4))
        counter += 1


def ways_of(seed, ways, sizes, units):
    stream = numbers(seed)

    def below(many):
        top = 2 ** 32 - 2 ** 32 % many
        return next(number for number in stream if number < top) % many

    drawn = []
    while len(drawn) < units:
        each = sizes[below(len(sizes))]
        block = [way for way in ways for _ in range(each)]
        for last in range(len(block) - 1, 0, -1):
            other = below(last + 1)
            block[last], block[other] = block[other], block[last]
        drawn += block
    return drawn[:units]


def rows_of(unit, seed, ways, sizes, cows):
    """Each cow with a way for each of her claws."""
    each = 1 if unit == "cow" else 8
    drawn = ways_of(seed, ways, sizes, each * len(cows))
    return [(cow, tuple(drawn[at * each:(at + 1) * each]) * (8 // each))
            for at, cow in enumerate(cows)]


def text_of(name, day, unit, ways, sizes, seed, rows):
    words = " ".join
    head = ["hornrule lot 1", f"herd {name}", f"day {day}", f"by {unit}",
            f"ways {words(map(str, ways))}", f"sizes {words(map(str, sizes))}", f"seed {seed}",
            f"cows {len(rows)}"]
    many = 1 if unit == "cow" else 8
    return "".join(f"{line}\n" for line in
                   head + [f"{cow} {''.join(map(str, hers[:many]))}" for cow, hers in rows])


def hash_of(text):
    return hashlib.sha256(text.encode()).hexdigest()


def balanced(ways, rows, unit, largest):
    """At no point of the list do two ways differ by more than the largest size."""
    seen = collections.Counter(dict.fromkeys(ways, 0))
    for _, hers in rows:
        for way in hers[:1] if unit == "cow" else hers:
            seen[way] += 1
            if max(seen.values()) - min(seen.values()) > largest:
                return False
    return True


# ---- What a database keeps.

Lot = collections.namedtuple("Lot", "lot name day unit ways sizes seed sha256 rows closed looks")


def lots(herd):
    """The draws of a herd. One that is not what its seed makes is an error of the database."""
    of = []
    for lot, name, day, unit, ways, sizes, seed, sha256 in herd.rows(
            "SELECT lot, name, day, unit, ways, sizes, seed, sha256 FROM lot WHERE herd = ? "
            "ORDER BY lot"):
        kept = [(cow, tuple(map(int, hers))) for cow, hers in herd.db.execute(
            "SELECT animal, ways FROM lot_cow WHERE lot = ? ORDER BY animal", (lot,))]
        notes = herd.db.execute("SELECT what, day FROM lot_note WHERE lot = ?", (lot,)).fetchall()
        closed = [at for what, at in notes if what == CLOSED]
        one = Lot(lot, name, day, UNITS[unit], [*map(int, ways)], [*map(int, sizes)], seed, sha256,
                  kept, closed[0] if closed else None, sum(what == SHOWN for what, _ in notes))
        check(one)
        of.append(one)
    return of


def check(lot):
    made = rows_of(lot.unit, lot.seed, lot.ways, lot.sizes, [cow for cow, _ in lot.rows])
    text = text_of(lot.name, date_of(lot.day).isoformat(), lot.unit, lot.ways, lot.sizes, lot.seed,
                   lot.rows)
    if made != lot.rows or hash_of(text) != lot.sha256:
        raise AssertionError(f"draw {lot.lot} is not the one of its seed and SHA-256")
    if not balanced(lot.ways, lot.rows, lot.unit, max(lot.sizes)):
        raise AssertionError(f"draw {lot.lot} is not balanced")


# ---- Blocks by them.

def drawn_for(of, cow, place, day):
    """The newest draw that holds for this cow on this day, and the way of her claw."""
    for lot in reversed(of):
        hers = dict(lot.rows).get(cow)
        if hers and lot.day <= day and (lot.closed is None or day <= lot.closed):
            return lot, 10 + hers[PLACES.index(place)]
    return None, None


def blocks(db, of):
    """As `hornrule blocks` answers: chosen apart from drawn. What a way was is told of blocks by the
    way used."""
    chosen, groups = collections.defaultdict(list), {}
    for herd in of:
        all_lots = lots(herd)
        for lot in all_lots:
            group = groups.setdefault(tuple(lot.ways), new_group())
            group["draws"].append({
                "draw": lot.lot, "farm": lot.name, "day": date_of(lot.day).isoformat(),
                "by": lot.unit, "cows": len(lot.rows), "sha256": lot.sha256, "looks": lot.looks,
                "closed": None if lot.closed is None else date_of(lot.closed).isoformat()})
        for cow, block in herd.entries("blocks", EVER):
            if block["way"] is None:
                continue
            entry = ((herd.number, cow), block)
            lot, way = drawn_for(all_lots, cow, block["place"], block["since"])
            if lot is None:
                chosen[block["way"]].append(entry)
            elif not (block["how"] == "replaced" and block["end"] == block["since"]):
                put(groups[tuple(lot.ways)], lot, way, entry)
    return {"ways": of_ways(db, chosen),
            "drawn": [told(db, groups[ways]) for ways in sorted(groups)]}


def of_ways(db, by_way):
    return [way_answer(way, by_way[way]) | of_facts(db, way, [block for _, block in by_way[way]])
            for way in sorted(by_way)]


def new_group():
    return {"draws": [], "as_drawn": collections.defaultdict(list),
            "as_used": collections.defaultdict(list), "same": 0, "departures": []}


def put(group, lot, way, entry):
    (_, cow), block = entry
    group["as_drawn"][way].append(entry)
    group["as_used"][block["way"]].append(entry)
    if way == block["way"]:
        group["same"] += 1
        return
    foot, side = block["place"]
    group["departures"].append({
        "farm": lot.name, "cow": cow, "day": date_of(block["since"]).isoformat(),
        "foot": FEET[foot], "claw": CLAWS[side], "drawn": way, "used": block["way"]})


def told(db, group):
    drawn = group["as_drawn"]
    by = {"as_drawn": [way_answer(way, drawn[way]) for way in sorted(drawn)],
          "as_used": of_ways(db, group["as_used"])}
    many = sum(map(len, group["as_drawn"].values()))
    return {"draws": group["draws"], **by, "departures": group["departures"],
            "adherence": {"blocks": many, "as_drawn": group["same"]}}


# ---- A published list.

def proved(text):
    """Whether the ways of a list are those of its seed; its SHA-256."""
    head, rows = {}, []
    for line in text.splitlines()[1:]:
        word, rest = line.split(" ", 1)
        if word.isdigit():
            rows.append((int(word), tuple(map(int, rest))))
        else:
            head[word] = rest
    ways, sizes = ([*map(int, head[name].split())] for name in ("ways", "sizes"))
    made = rows_of(head["by"], head["seed"], ways, sizes, [cow for cow, _ in rows])
    each = 1 if head["by"] == "cow" else 8
    return [(cow, hers[:each]) for cow, hers in made] == rows, hash_of(text)


def main(arguments):
    if len(arguments) != 1:
        print(__doc__, file=sys.stderr)
        return 2
    with open(arguments[0], encoding="utf-8", newline="") as file:
        holds, sha256 = proved(file.read())
    print(f"ways of its seed: {'yes' if holds else 'NO'}\nsha256: {sha256}")
    return 0 if holds else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
