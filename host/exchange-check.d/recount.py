"""Counts a herd database again, from the written rules (casebook/CASES.md,
questions/src/due/DUTIES.md, questions/src/notices/NOTICES.md and insight/DERIVED.md) and the tables
alone, and holds what the office's program says against it. Needs the Python package `uncertainties`.

    python3 recount.py --histories CASES.md       the worked histories; exit 1 where one differs
    python3 recount.py HORNRULE DB [--quick]      every number of its JSON answers; exit 1 likewise
    python3 recount.py HORNRULE DB --chance       the same of a herd by chance in a copy of DB

No rule here was taken from the office's own program: where the two agree, two readings of the pages
agree. What the pages leave out (which zone counts of several, which blocks and claws a statistic is
of) follows the help of the command and what its fields are said to mean. Days are days since
1970-01-01; lengths are mm. Where the pages leave a choice, the comment says "Choice:". --quick asks
for all cows of the first farm alone.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import recount_chance
import recount_farm
import recount_lot
import recount_visit
from recount_compare import Comparison
from recount_facts import date_of, herds, opened
from recount_histories import run_histories

# So far ahead that everything is due, days.
ALL_AHEAD = 4000
# As `hornrule due` looks ahead where nothing is said, days.
AHEAD = 14


class Product:
    """The office's program, asked on a database."""

    def __init__(self, binary, path):
        self.binary, self.path = binary, path

    def ask(self, *words):
        done = subprocess.run([self.binary, "--db", self.path, *words, "--json"],
                              capture_output=True, text=True)
        if done.returncode:
            raise AssertionError(f"{' '.join(words)}: exit {done.returncode}: {done.stderr}")
        return json.loads(done.stdout)


def questions(of, quick):
    """Each command with a function that counts its answer: visits, farms, due lists, statistics,
    cows."""
    for herd in of:
        on = ("--herd", herd.name)
        for day in herd.visits():
            iso = date_of(day).isoformat()
            yield (("report", "visit", *on, "--day", iso),
                   lambda herd=herd, day=day: recount_visit.visit(herd, day))
            for until in (day + AHEAD, day + ALL_AHEAD):
                yield (("due", *on, "--day", iso, "--until", date_of(until).isoformat()),
                       lambda herd=herd, day=day, until=until: recount_farm.due([herd], day, until))
        yield ("report", "farm", *on), lambda herd=herd: recount_farm.farm(herd)
        first, last = herd.visits()[len(herd.visits()) // 4], herd.visits()[-2]
        yield (("report", "farm", *on, "--from", date_of(first).isoformat(), "--to",
                date_of(last).isoformat()),
               lambda herd=herd, first=first, last=last: recount_farm.farm(herd, first, last))
        yield ("healing", *on), lambda herd=herd: recount_farm.healing([herd])
        yield ("blocks", *on), lambda herd=herd: recount_lot.blocks(herd.db, [herd])
    yield ("healing",), lambda: recount_farm.healing(of)
    yield ("blocks",), lambda: recount_lot.blocks(of[0].db, of)
    for herd in of[:1] if quick else of:
        for cow in herd.cows():
            yield (("cow", str(cow), "--herd", herd.name),
                   lambda herd=herd, cow=cow: recount_visit.cow(herd, cow))


def compare(product, quick=False, herd_name=None, not_counted=()):
    """All questions; with a name, those about that herd alone."""
    of = [herd for herd in herds(opened(product.path)) if herd.visits()]
    of = [herd for herd in of if herd_name in (None, herd.name)]
    comparison = Comparison(not_counted)
    for words, counted in questions(of, quick):
        if herd_name is None or "--herd" in words:
            comparison.answer(" ".join(words), counted(), product.ask(*words))
    return comparison


def compare_by_chance(product):
    """The same of a herd made by chance, in a copy of the product's database."""
    with tempfile.TemporaryDirectory() as folder:
        path = str(pathlib.Path(folder) / "chance.db")
        recount_chance.by_chance(product.path, path)
        return compare(Product(product.binary, path), herd_name="Chance",
                       not_counted=recount_chance.NOT_COUNTED)


def main(arguments):
    options = {one for one in arguments if one in ("--quick", "--chance")}
    arguments = [one for one in arguments if one not in options]
    if len(arguments) != 2:
        print(__doc__, file=sys.stderr)
        return 2
    if arguments[0] == "--histories":
        with open(arguments[1], encoding="utf-8") as file:
            total, wrong = run_histories(file.read())
        print(f"{total} histories, {wrong} come out otherwise")
        return 1 if wrong or not total else 0
    product = Product(*arguments)
    by_chance = "--chance" in options
    comparison = compare_by_chance(product) if by_chance else compare(product, "--quick" in options)
    comparison.tell()
    print(f"recount: {comparison}")
    return 1 if comparison.differences or not comparison.numbers else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
