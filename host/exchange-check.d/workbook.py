"""The workbook, read by openpyxl and compared with the database, cell for cell."""

import datetime
import json

import openpyxl

import wide
from harness import fails, record, same

EPOCH = datetime.datetime(1970, 1, 1)
LENGTH = "length [mm]"
CALLIPERS = ("24-bit", "52-bit", "48-bit", "28-bit")


def read(path):
    """Sheets as lists of rows by heading."""
    book = openpyxl.load_workbook(path)
    sheets = {}
    for sheet in book:
        same(sheet.freeze_panes, "A2", f"{sheet.title}: frozen heading")
        rows = list(sheet.iter_rows(values_only=True))
        assert all(isinstance(head, str) and head for head in rows[0]), rows[0]
        same(sheet.auto_filter.ref is not None, True, f"{sheet.title}: filter")
        sheets[sheet.title] = [dict(zip(rows[0], row)) for row in rows[1:]]
    return sheets


def named(rows):
    """Rows under the names of their records."""
    return [(record(*row[:3]), *row[3:]) for row in rows]


def placed(rows, done):
    """Actions under their names, once for each place that they are read as."""
    return [(one.name, animal, day, at_ms, within, clock, one.foot, one.side, *rest)
            for device, log, seq, animal, day, at_ms, within, clock, foot, side, *rest in rows
            for one in done[device % 2**64, log, seq]]


def equal(sheets, bench):
    """Raises unless the workbook says what the database says."""
    common = "device, log, seq, animal, day, at_ms, uncertainty_ms, clock, foot, side"
    done = wide.done(bench)
    own = {
        "findings": ("finding", "lesion, grade, zone", ("lesion", "grade", "zone")),
        "actions": ("action", "action", ("action",)),
        "readings": ("reading", "dimension, length_nm, trimmed, gauge_ok, unit, kind", None),
        "scores": ("score", "value", ("value",)),
    }
    for name, (table, columns, heads) in own.items():
        rows = bench.rows(f"SELECT {common}, {columns} FROM {table} WHERE animal IS NOT NULL")
        assert rows, f"there are no {name}"
        by_record = {row["record"]: row for row in sheets[name]}
        same(len(by_record), len(sheets[name]), f"{name}: records that stand twice")
        rows = placed(rows, done) if name == "actions" else named(rows)
        same(len(by_record), len(rows), name)
        for key, animal, day, at_ms, within, clock, foot, side, *rest in rows:
            row = by_record[key]
            same(row["cow"], animal, "cow")
            same(row["day"], EPOCH + datetime.timedelta(days=day), "day")
            assert abs(row["time [UTC]"] - (EPOCH + datetime.timedelta(milliseconds=at_ms))) < datetime.timedelta(milliseconds=1), row
            same(row["time within [s]"], None if within is None else within / 1000, "uncertainty")
            same(row["clock"], ("anchored", "bounded")[clock], "clock")
            same(row["foot"], None if foot is None else ("LF", "RF", "LH", "RH")[foot], "foot")
            same(row["claw"], (None, "lateral", "medial")[side], "claw")
            if heads:
                same([row[head] for head in heads], rest, name)
                assert all(value is None or isinstance(value, int) for value in rest)
            else:
                dimension, nm, trimmed, gauge, unit, kind = rest
                same(row["dimension"], dimension, "dimension")
                assert isinstance(row[LENGTH], (int, float)), row
                same(round(row[LENGTH] * 1e6), nm, "length")
                same(row["moment"], ("before", "after")[trimmed], "moment")
                same(row["gauge check"], "none" if gauge is None else ("failed", "passed")[gauge], "gauge check")
                same(row["shown in"], ("mm", "inch")[unit], "unit")
                same(row["calliper"], CALLIPERS[kind], "calliper")
    for row in sheets["scores"]:
        assert row["lame"] is None or isinstance(row["lame"], bool), row
    for row in sheets["visits"]:
        day = (row["day"] - EPOCH).days
        expected = bench.rows(
            "SELECT count(DISTINCT animal) FROM presence WHERE day = $1 UNION ALL "
            "SELECT count(*) FROM finding WHERE day = $1 UNION ALL "
            "SELECT count(*) FROM reading WHERE day = $1 AND animal IS NOT NULL UNION ALL "
            "SELECT count(*) FROM score WHERE day = $1",
            day,
        )
        heads = ("cows", "findings", "readings", "scores")
        same([row[head] for head in heads], [count for (count,) in expected], "visit")
        same(row["actions"], sum(len(done[device % 2**64, log, seq]) for device, log, seq in bench.rows(
            "SELECT device, log, seq FROM action WHERE day = $1", day)), "actions of a visit")
    told = bench.rows("SELECT 10 + way, since, through, height_nm FROM way_fact")
    days = [(row["keyed"], *((day - EPOCH).days if day else None for day in (row["from"], row["until"])),
             round(row["height [mm]"] * 1e6) if row["height [mm]"] else None) for row in sheets["ways"]]
    same(sorted(days), sorted(told), "ways")
    same(len(sheets["visits"]), len(bench.rows("SELECT DISTINCT herd, day FROM presence")), "visits")


def checks(bench):
    bench.hornrule("trial", "1", "--from", "2026-01-05", "--material", "birch ply", "--height", "22.5", "--who", "Anna")
    bench.hornrule("export", "xlsx", "--out", "herd.xlsx")

    bench.check("XLSX: openpyxl reads what the database says, typed", lambda: equal(read(bench.path("herd.xlsx")), bench))

    def notices():
        breaks = {
            "a length of another claw": ("readings", LENGTH, lambda old: old + 0.01),
            "a length as text": ("readings", LENGTH, str),
            "another day": ("findings", "day", lambda old: old + datetime.timedelta(days=1)),
            "another cow": ("actions", "cow", lambda old: old + 1),
            "a score more": ("scores", "value", lambda old: old + 1),
        }
        for what, (sheet, head, other) in breaks.items():
            book = openpyxl.load_workbook(bench.path("herd.xlsx"))
            heads = [cell.value for cell in book[sheet][1]]
            cell = book[sheet].cell(row=2, column=heads.index(head) + 1)
            cell.value = other(cell.value)
            book.save(bench.path("broken.xlsx"))
            fails(lambda: equal(read(bench.path("broken.xlsx")), bench), what)

    bench.check("XLSX: a changed cell is noticed", notices)

    def due():
        report = json.loads(bench.hornrule("report", "visit", "--json"))
        sheet = read(bench.path("herd.xlsx"))["due"]
        assert sheet, "the demo has nothing due"
        days = {row["day"].date().isoformat() for row in sheet}
        same(days, {one["day"] for one in report["due"]}, "days of what is due")
        same(len(sheet), len(report["due"]), "what is due")

    bench.check("XLSX: what is due is the report's", due)

    def again():
        bench.hornrule("export", "xlsx", "--out", "again.xlsx")
        same(bench.path("herd.xlsx").read_bytes(), bench.path("again.xlsx").read_bytes(), "workbook")

    bench.check("XLSX: the same bytes again", again)
