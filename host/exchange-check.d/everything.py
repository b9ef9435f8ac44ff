"""A day at an invented farm on which everything there is to key is keyed once: each lesion with each grade, each
action, each score, each dimension, all callipers and both units, cows with and without a tag, and a start of
the handheld that nobody told the time. So other people's programs see every word we can write."""

import contextlib
import subprocess

import ade
import harness
import session
import spec
import study
import workbook
from harness import same

LENGTHS = {1: 81.2, 2: 38.4, 3: 52.05, 4: 121.9, 5: 61.3, 6: 6.1, 7: 2.15, 8: 14.4, 9: 9.95}
FEET = ("LF", "RF", "LH", "RH")
# Outputs that a story can play, with the unit each is set to here; and what a second handheld's become.
PLAYED = (("sync24", "mm"), ("bcd52", "in"))
BECOMES = {0: 2, 1: 3}
FIRST, SECOND, LOG = 0xC0FFEE0000000001, 0xC0FFEE0000000002, 0xA1DE0001


class Everything(harness.Bench):
    """The same bench on another database."""

    def __init__(self, bench, folder="all"):
        super().__init__(bench.binary, bench.path(folder))
        self.db, self.herd = "all.db", "Beech Hill"
        self.work.mkdir()


def clips(lines, next_cow):
    """Every dimension before and after the trim, by each calliper that can be played."""
    for kind, unit in PLAYED:
        lines.append(f"calliper {kind}")
        for dimension, mm in LENGTHS.items():
            next_cow()
            shown = f"{mm:.2f} mm" if unit == "mm" else f"{round(mm / 25.4 / 0.0005) * 0.0005:.4f} in"
            lines += [f"keys SIZE {dimension}", f"clip {shown}", "wait 20s"]
            lines += ["keys DO 30", "wait 20s", f"keys SIZE {dimension}", f"clip {shown}", "wait 20s"]


def story():
    lines = ["at 2026-05-04 06:00", "power on", "office clock", "at 2026-05-04 06:30", "keys COW 02 COW"]
    lines += ["keys SIZE 0", "clip 80.00 mm", "wait 3min"]
    cow, foot = 100, 0

    def next_cow():
        nonlocal cow, foot
        cow, foot = cow + 1, (foot + 1) % 4
        lines.extend([f"keys COW {cow} COW", "wait 20s", f"keys {FEET[foot]}"])
        if cow % 3 == 0:
            # The same key again: the inner claw.
            lines.append(f"keys {FEET[foot]}")
        lines.append("wait 10s")

    sound, *lesions = spec.LESIONS.items()
    same(sound, (0, range(1)), "sound")
    for code, grade in [(code, grade) for code, grades in lesions for grade in grades]:
        next_cow()
        zone = " FIND 04" if code == 13 else ""
        lines += [f"keys FIND {code}{zone} {grade}", "wait 40s"]
    next_cow()
    lines += ["keys FIND 00", "wait 40s"]
    for code, takes_days in spec.ACTIONS.items():
        next_cow()
        lines += [f"keys DO {code}" + (" 10" if takes_days else ""), "wait 40s"]
    for scale, values in spec.SCALES.items():
        for value in values:
            next_cow()
            lines += [f"keys SCORE {scale} {value}", "wait 40s"]
    clips(lines, next_cow)
    # Off and on again: nobody tells this start the time.
    lines += ["power off", "wait 5min", "power on", "keys COW 02 COW"]
    for _ in range(3):
        next_cow()
        lines += ["keys FIND 19 1", "wait 20s", "keys DO 30", "wait 40s"]
    lines += ["power off", "wait 2h", "power on", "office clock", "wait 1min"]
    next_cow()
    lines += ["keys FIND 19 2", "wait 1min", "plug in"]
    return "\n".join(lines) + "\n", range(101, cow + 1)


def other_story(cows):
    """The next day, another handheld: a gauge block and every dimension."""
    lines = ["at 2026-05-05 06:00", "power on", "office clock", "at 2026-05-05 06:30", "keys COW 02 COW"]
    lines += ["keys SIZE 0", "clip 80.00 mm", "wait 3min"]
    cows = iter(cows)

    def next_cow():
        lines.extend([f"keys COW {next(cows)} COW", "wait 20s", "keys RF", "wait 10s"])

    clips(lines, next_cow)
    return "\n".join([*lines, "plug in"]) + "\n"


@contextlib.contextmanager
def played(bench, name, text, *more):
    """A handheld that plays a story: the port it is plugged into, and a time, each time that it is."""
    bench.path(f"{name}.story").write_text(text, encoding="utf-8")
    words = [bench.binary, "handheld", "--flash", f"{name}.flash", "--story", f"{name}.story"]
    words += ["--tcp", "127.0.0.1:0", *more]
    with subprocess.Popen(words, cwd=bench.work, stdout=subprocess.PIPE, text=True) as handheld:
        port = handheld.stdout.readline().removeprefix("port ").strip()
        said = (line.removeprefix("plugged in ").strip() for line in handheld.stdout if line.startswith("plugged in "))
        yield ((port, at) for at in said)
        if handheld.wait():
            raise AssertionError(f"the story {name} was not played to its end")


def play(bench):
    text, cows = story()
    rows = "".join(f"{n},{f'99900000000{n:04}' if n % 2 else ''},\n" for n in cows)
    bench.path("cows.csv").write_text("number,tag,name\n" + rows, encoding="utf-8")
    bench.hornrule("herd", "import", "cows.csv", "--herd", bench.herd, "--farm", "2", "--zone", "Europe/Berlin", "--yes")
    with played(bench, "all", text, "--device", f"{FIRST:x}", "--log", f"{LOG:x}") as plugs:
        for port, at in plugs:
            bench.hornrule("--pretend-now", at, "pull", "--port", port)
    # Recorded by an office of its own: in this one its records shall be of the other callipers.
    other = Everything(bench, "other")
    with played(other, "other", other_story(cows), "--device", f"{SECOND:x}", "--log", f"{LOG:x}") as plugs:
        for port, at in plugs:
            other.hornrule("--pretend-now", at, "pull", "--port", port, "--record", "asked.session")
            recorded = other.path("asked.session").read_text(encoding="utf-8")
            changed = session.with_kinds(recorded, SECOND, LOG, BECOMES)
            bench.path("other.session").write_text(changed, encoding="utf-8")
            bench.hornrule("--pretend-now", at, "pull", "--port", "replay:other.session")
    for device in (FIRST, SECOND):
        bench.hornrule("gauge", "80.00", "--handheld", f"{device:x}")


def checks(demo):
    bench = Everything(demo)
    play(bench)

    def all_there():
        def codes(query):
            return {code for (code,) in bench.rows(query)}

        found = {(lesion, grade) for lesion, grades in spec.LESIONS.items() for grade in grades}
        same(set(bench.rows("SELECT lesion, grade FROM finding")), found, "lesions")
        same(codes("SELECT DISTINCT action FROM action"), set(spec.ACTIONS) - spec.TOOLS, "actions")
        same(codes("SELECT count(*) FROM wash"), {len(spec.TOOLS)}, "washings")
        scores = {(scale, value) for scale, values in spec.SCALES.items() for value in values}
        same(set(bench.rows("SELECT scale, value FROM score")), scores, "scores")
        same(sorted(LENGTHS), spec.DIMENSIONS, "dimensions that are measured")
        kinds = range(len(spec.KINDS))
        lengths = set(bench.rows("SELECT dimension, unit, kind, trimmed FROM reading WHERE animal IS NOT NULL"))
        same(lengths, {(d, kind % 2, kind, t) for d in LENGTHS for kind in kinds for t in (0, 1)}, "lengths")
        same(codes("SELECT DISTINCT clock FROM finding"), {0, 1}, "clocks")

    bench.check("everything: each code, unit, calliper and clock is in the herd tables", all_there)
    bench.check("everything: ADE is valid and complete", lambda: ade.whole(bench, "all.json"))

    def sheets():
        bench.hornrule("export", "xlsx", "--out", "all.xlsx")
        workbook.equal(workbook.read(bench.path("all.xlsx")), bench)

    bench.check("everything: the workbook is what the database says", sheets)

    def tidy():
        text = study.PROTOCOL.split("[[dimension]]")[0].replace("Alder Brook", bench.herd)
        text = text.replace("2026-03", "2026-05").replace('"RF lateral", ', '"RF lateral", "RF medial", ')
        names = ("dorsal wall length", "heel height", "claw width", "claw length", "toe height")
        names += ("sole thickness", "horn regrown", "lesion length", "lesion width")
        text += "".join(f'[[dimension]]\nname = "{name}"\n' for name in names)
        bench.path("all.toml").write_text(text, encoding="utf-8")
        bench.hornrule("study", "export", "all.toml", "--out", "set")
        folder = bench.path("set")
        study.valid(folder)
        study.numbers(folder)
        same(sorted(study.ours(folder)), sorted(LENGTHS), "dimensions")
        same({count for count, _ in study.ours(folder).values()}, {8}, "readings of each")
        said = {row["calliper"] for row in study.table(folder, "readings")}
        same(said, set(workbook.CALLIPERS), "callipers in the data set")
        if study.R:
            study.by_r(folder)

    bench.check("everything: the data set is valid and says the same numbers", tidy)
    demo.passed, demo.failed = demo.passed + bench.passed, demo.failed + bench.failed
