"""Derived measures against something outside: the worked examples of host/insight/DERIVED.md by
`uncertainties` and by drawing (JCGM 101:2008), and what growth, the study's data set and the workbook
say of a herd made by chance, counted again by recount_derived.py."""

import csv
import datetime
import json
import math
import pathlib

import numpy
import openpyxl

import recount_chance
import recount_derived as rule
from harness import fails, same
from recount_facts import herds, opened

PAGE = pathlib.Path(__file__).parent.parent / "insight" / "DERIVED.md"
DRAWS = 400_000
PROTOCOL = """format = 1
name = "Lengths of a herd by chance"
from = {first}
to = {last}
seed = 1
repeats = 1
moment = "both"
blinding = "none"
[sample]
cows = 20
claws = ["LF lateral", "LF medial", "LH lateral", "LH medial", "RH lateral", "RH medial"]
[[herd]]
name = "Chance"
[[observer]]
code = "A"
[[dimension]]
name = "dorsal wall length"
[[dimension]]
name = "heel height"
[[dimension]]
name = "toe height"
"""


def examples():
    """The rows of the page, as lists of cells."""
    _, after = PAGE.read_text(encoding="utf-8").split("## Worked examples")
    rows = [line for line in after.splitlines() if line.startswith("| ")][2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in rows]


def taken(cell, dimension, known):
    mm, _, n = cell.partition(" of ")
    one = rule.Reading(1, 0, 1, 1, 1, 2, 1, dimension, float(mm), 0, 0, 1, 1, False)
    return rule.Input([one] * int(n or 1), known)


def worked(cells):
    measure, first, second, hand = cells[:4]
    known = {} if hand == "not known" else {
        dimension: tuple(map(float, hand.split(", "))) for dimension in rule.DIMENSIONS}
    key = (1, 0, 1, 0, 2)
    if measure == "toe angle":
        inputs = (taken(first, rule.TOE, known), taken(second, rule.WALL, known))
        return rule.line(key, measure, 1, inputs, rule.angle), inputs
    if measure == "heel difference":
        inputs = (taken(first, rule.HEEL, known), taken(second, rule.HEEL, known))
        return rule.line(key, measure, 0, inputs, rule.heels), inputs
    side = {"outer": rule.OUTER, "inner": rule.INNER}[second]
    inputs = (taken(first, rule.WALL, known),)
    return rule.line(key, measure, side, inputs, rule.sole(side)), inputs


def near(ours, theirs, within, what):
    if not abs(ours - theirs) <= within:
        raise AssertionError(f"{what}: {ours} is not {theirs} within {within}")


def worked_examples(rows):
    for cells in rows:
        one, _ = worked(cells)
        if one.reason:
            same(cells[4], one.reason, str(cells))
            continue
        standard, df, expanded, least = rule.uncertainty(one)
        numbers = [float(cell.removeprefix("at least ")) for cell in cells[4:6] + cells[7:]]
        near(numbers[0], one.value, 6e-5, str(cells))
        near(numbers[1], standard, 6e-6, str(cells))
        near(numbers[2], expanded, 6e-5, str(cells))
        same(cells[6], "" if df == math.inf else str(int(df)), str(cells))
        same(cells[5].startswith("at least"), least, str(cells))


def drawn(rows, scale=1.0):
    """Each part of each input is drawn: the hand normal, the calliper rectangular. Spread and middle 95 %
    are those of first order, up to what the bend of the arcsine makes of it."""
    chance = numpy.random.default_rng(20_260)
    tried = 0
    for cells in rows:
        one, inputs = worked(cells)
        if one.reason or one.measure == "sole from wall":
            # A line is bent only at its rows, where first order follows one side by rule.
            continue
        lengths = []
        for own in inputs:
            length = numpy.full(DRAWS, own.mm)
            for part, df in own.parts:
                half = part.std_dev * math.sqrt(3)
                length += (chance.uniform(-half, half, DRAWS) if df == math.inf
                           else chance.normal(0, part.std_dev, DRAWS))
            lengths.append(length)
        # Above the wall there is no angle; so far out hardly one of the draws lies.
        values = (numpy.degrees(numpy.arcsin(numpy.minimum(lengths[0] / lengths[1], 1)))
                  if one.measure == "toe angle" else lengths[0] - lengths[1])
        standard = rule.uncertainty(one)[0] * scale
        within = 0.10 if one.value > 65 else 0.02
        near(float(values.std()) / standard, 1, within, f"{cells}: spread")
        low, high = numpy.quantile(values, (0.025, 0.975))
        # Only rectangular parts: their sum has shorter tails than a normal one.
        if not rule.uncertainty(one)[3]:
            near(float(high - low) / 2 / (1.959964 * standard), 1, within, f"{cells}: middle 95 %")
        near(float(numpy.median(values)), one.value, 0.05 * standard, f"{cells}: middle")
        tried += 1
    assert tried > 5, tried


def key_of(row):
    return (row["measure"], int(row["cow"]), row["day"], row["foot"], row["claw"] or "", row["moment"])


def expected(herd, same_group):
    """By key, the lines as a file has them."""
    readings = [one for one in rule.readings(herd) if one.dimension in rule.DIMENSIONS and one.side]
    out = {}
    for one in filter(rule.is_said, rule.lines(readings, rule.hands(readings, same_group))):
        day = (datetime.date(1970, 1, 1) + datetime.timedelta(days=one.day)).isoformat()
        key = (one.measure, one.cow, day, rule.FEET[one.foot], rule.SIDES[one.side] or "",
               "after" if one.trimmed else "before")
        assert key not in out, key
        out[key] = one
    return out


def number(cell):
    return None if cell in ("", None) else float(cell)


def holds(rows, lines, what):
    """Rows of a file against lines counted again; every one of both."""
    rows = {key_of(row): row for row in rows}
    same(sorted(rows), sorted(lines), f"{what}: rows")
    told = 0
    for key, one in lines.items():
        row = rows[key]
        same(row["inputs"].split(), one.inputs, f"{what} {key}: inputs")
        same(row["not_derived"] or None, one.reason, f"{what} {key}: reason")
        same(row["unit"], rule.unit(one.measure), f"{what} {key}: unit")
        assert row["source"], key
        cells = [number(row[name]) for name in ("value", "standard_uncertainty", "df", "uncertainty")]
        if one.reason:
            same(cells, [None] * 4, f"{what} {key}")
            continue
        standard, df, expanded, least = rule.uncertainty(one)
        told += 1
        ours = [one.value, standard, None if df == math.inf else df, expanded]
        for cell, value in zip(cells, ours):
            if value is None:
                same(cell, None, f"{what} {key}")
            else:
                near(cell, value, 1e-9 * max(1, abs(value)), f"{what} {key}")
        same(str(row["uncertainty_at_least"]).lower(), str(least).lower(), f"{what} {key}: at least")
    assert told > 100, told
    return told


def checks(bench):
    rows = examples()
    bench.check("derived: the worked examples by uncertainties", lambda: worked_examples(rows))
    bench.check("derived: the worked examples by drawing", lambda: drawn(rows))

    def wrong():
        fails(lambda: worked_examples([[*rows[0][:4], "49.9970", *rows[0][5:]]]), "another angle")
        fails(lambda: worked_examples([[*rows[0][:5], "0.74995", *rows[0][6:]]]), "another spread")
        fails(lambda: drawn(rows, 1.05), "a spread 5 % too large")

    bench.check("derived: other examples are noticed", wrong)

    path = bench.path("chance.db")
    recount_chance.by_chance(bench.path("hornrule-demo/season.db"), path)
    all_herds = herds(opened(path))
    chance, = (herd for herd in all_herds if herd.name == "Chance")

    def ask(*words):
        kept, bench.db = bench.db, "chance.db"
        try:
            return bench.hornrule(*words)
        finally:
            bench.db = kept

    def growth():
        for of in (all_herds, [chance]):
            words = ("--herd", "Chance") if len(of) == 1 else ()
            theirs = json.loads(ask("growth", *words, "--json"))["derived_means"]
            ours = rule.means([(herd.number, one) for herd in of for one in rule.of_herd(herd)])
            at = {(one["measure"], one["claws"], one["trimmed"]): one for one in theirs}
            same(len(at), len(ours), "rows of means")
            for one in ours:
                got = at[one["measure"], one["claws"], one["trimmed"]]
                for name, value in one.items():
                    if isinstance(value, float):
                        near(got[name], value, 1e-9 * max(1, abs(value)), f"growth: {name}")
                    else:
                        same(got[name], value, f"growth: {name}")
                same("mean" in one, got["mean"] is not None, "growth: whether there is a mean")

    bench.check("derived: growth's means are what the facts say", growth)

    def study():
        first, last = (datetime.date(1970, 1, 1) + datetime.timedelta(days=day)
                       for day in (chance.visits()[0], chance.visits()[-1]))
        bench.path("chance.toml").write_text(PROTOCOL.format(first=first, last=last), encoding="utf-8")
        ask("study", "export", "chance.toml", "--out", "chance-set")
        with open(bench.path("chance-set/derived.csv"), newline="", encoding="utf-8") as file:
            found = list(csv.DictReader(file))
        with open(bench.path("chance-set/readings.csv"), newline="", encoding="utf-8") as file:
            records = {row["record"]: row for row in csv.DictReader(file)}
        lines = expected(chance, rule.on_day)
        told = holds(found, lines, "study")
        for row in found:
            inputs = [records[name] for name in row["inputs"].split()]
            same(row["in_sample"], "true" if all(one["in_sample"] == "true" for one in inputs) else "false", "in sample")
        print(f"        {told} values of {len(found)} rows")
        broken = [dict(found[0], inputs=found[1]["inputs"]), *found[1:]]
        fails(lambda: holds(broken, lines, "broken"), "another record")
        fails(lambda: holds(found[1:], lines, "broken"), "a row less")

    bench.check("derived: the study's table is what its readings say", study)

    def workbook():
        ask("export", "xlsx", "--herd", "Chance", "--out", "chance.xlsx")
        sheet = openpyxl.load_workbook(bench.path("chance.xlsx"), data_only=True)["derived"]
        heading, *cells = sheet.iter_rows(values_only=True)
        names = [name.split(" (")[0].replace(" ", "_") for name in heading]
        found = [{name: "" if cell is None else cell for name, cell in zip(names, row)} for row in cells]
        for row in found:
            row["day"] = str(row["day"])[:10]
        holds(found, expected(chance, rule.on_day), "workbook")

    bench.check("derived: so is the workbook's sheet", workbook)
