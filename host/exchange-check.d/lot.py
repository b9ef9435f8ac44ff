"""Draws of trial ways, by the office's program and by ours: each makes the other's lists again."""

import pathlib
import shutil
import sqlite3

import recount_lot
from harness import fails, same
from recount_facts import herds, opened

PAGE = pathlib.Path(__file__).parent.parent / "questions" / "src" / "lot" / "LOT.md"
# Long after the demo's last day.
NOW = ("--pretend-now", "2027-01-04T06:00:00Z")
OF = ("--herd", "Alder Brook")
SIGNED = ("--who", "Anna", "--why", "check")


def page():
    """The worked lists of the page, and one with a way changed."""
    text = PAGE.read_text(encoding="utf-8")
    listed, claws = (text.split(f"```{name}\n")[1].split("```")[0] for name in ("list", "claws"))
    by_claw = "".join(listed.splitlines(True)[:8]).replace("by cow", "by claw") + claws
    for one in (listed, by_claw):
        holds, sha256 = recount_lot.proved(one)
        same((holds, sha256 in text), (True, True), "the worked list")
    spoilt = listed.replace("27 1", "27 2")
    same((recount_lot.proved(spoilt)[0], recount_lot.proved(spoilt)[1] in text), (False, False),
         "a list with a way changed")


def drawn(bench):
    """By cow and by claw, from a seed of ours and one of the computer's; shown once closed."""
    bench.db = "lot.db"
    shutil.copy(bench.path("hornrule-demo/herd.db"), bench.path(bench.db))
    for options in (("--ways", "1,2"), ("--ways", "3,1,2", "--by", "claw", "--sizes", "2,4"),
                    ("--ways", "1,9", "--seed", "sechs Würfel: 3 1 6 2 2 5")):
        told = bench.hornrule(*NOW, "trial", "draw", *options, *OF, *SIGNED)
        sha256 = told.split("sha256    ")[1][:64]
        bench.hornrule(*NOW, "trial", "draw", "--show", *OF, code=1)
        bench.hornrule(*NOW, "trial", "close", *OF, *SIGNED)
        listed = bench.hornrule("trial", "draw", "--show", *OF)
        same(recount_lot.proved(listed), (True, sha256), f"the list of {options}")
    # What stands in the tables is checked as it is read.
    of = [recount_lot.lots(herd) for herd in herds(opened(str(bench.path(bench.db))))]
    same(sum(map(len, of)), 3, "draws kept")
    bench.hornrule("trial", "check")


def tampered(bench):
    """A way changed behind the program's back is noticed by it, and by us."""
    with sqlite3.connect(bench.path(bench.db)) as db:
        # Without the trigger the program would not open it at all.
        trigger = db.execute("SELECT sql FROM sqlite_schema WHERE name = 'lot_cow_stays'").fetchone()
        db.execute("DROP TRIGGER lot_cow_stays")
        db.execute("UPDATE lot_cow SET ways = '22222222' WHERE lot = 1 AND animal = (SELECT "
                   "min(animal) FROM lot_cow WHERE lot = 1 AND ways = '11111111')")
        db.execute(trigger[0])
    said = bench.hornrule("trial", "check", code=5)
    same("draw" in said, True, "what `trial check` says")
    for herd in herds(opened(str(bench.path(bench.db)))):
        if herd.rows("SELECT lot FROM lot WHERE herd = ?"):
            fails(lambda: recount_lot.lots(herd), "a way that was changed")


def checks(bench):
    before = bench.db
    bench.check("lot: the worked lists of LOT.md, and a spoilt one", page)
    bench.check("lot: what the program drew, made again from its seed", lambda: drawn(bench))
    bench.check("lot: a way changed in the database is noticed", lambda: tampered(bench))
    bench.db = before
