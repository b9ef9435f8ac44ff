"""A day at an invented farm on which everything there is to key is keyed once: each lesion with each grade, each
action, each score, each dimension, both callipers and both units, cows with and without a tag, and a start of
the handheld that nobody told the time. So other people's programs see every word we can write."""

import subprocess

import ade
import harness
import study
import workbook
from harness import same

SEVERITY = (11, 12, 13, 14, 15, 16, 17, 18, 19, 21, 22, 23, 32, 33, 34, 41, 42, 43, 51, 52, 53, 54, 61)
STAGES = {31: range(6)}
ACTIONS = (*range(10, 20), 20, 21, 22, 30, 31, 32, 33, 40, 41, 42, 50, 51, 52, 53, *range(60, 71), 80, 81, 82, 90)
SCALES = {1: range(1, 6), 2: range(4), 3: range(1, 5), 4: range(3)}
LENGTHS = {1: 81.2, 2: 38.4, 3: 52.05, 4: 121.9, 5: 61.3, 6: 6.1, 7: 2.15, 8: 14.4, 9: 9.95}
FEET = ("LF", "RF", "LH", "RH")


class Everything(harness.Bench):
    """The same bench on another database."""

    def __init__(self, bench):
        super().__init__(bench.binary, bench.path("all"))
        self.db, self.herd = "all.db", "Beech Hill"
        self.work.mkdir()


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

    grades = [(code, grade) for code in SEVERITY for grade in (1, 2, 3)]
    grades += [(code, grade) for code, of in STAGES.items() for grade in of]
    for code, grade in grades:
        next_cow()
        zone = " FIND 04" if code == 13 else ""
        lines += [f"keys FIND {code}{zone} {grade}", "wait 40s"]
    next_cow()
    lines += ["keys FIND 00", "wait 40s"]
    for code in ACTIONS:
        next_cow()
        lines += [f"keys DO {code}" + (" 10" if code == 82 else ""), "wait 40s"]
    for scale, values in SCALES.items():
        for value in values:
            next_cow()
            lines += [f"keys SCORE {scale} {value}", "wait 40s"]
    for kind, unit in (("sync24", "mm"), ("bcd52", "in")):
        lines.append(f"calliper {kind}")
        for dimension, mm in LENGTHS.items():
            next_cow()
            shown = f"{mm:.2f} mm" if unit == "mm" else f"{round(mm / 25.4 / 0.0005) * 0.0005:.4f} in"
            lines += [f"keys SIZE {dimension}", f"clip {shown}", "wait 20s"]
            lines += ["keys DO 30", "wait 20s", f"keys SIZE {dimension}", f"clip {shown}", "wait 20s"]
    # Off and on again: nobody tells this start the time.
    lines += ["power off", "wait 5min", "power on", "keys COW 02 COW"]
    for _ in range(3):
        next_cow()
        lines += ["keys FIND 19 1", "wait 20s", "keys DO 30", "wait 40s"]
    lines += ["power off", "wait 2h", "power on", "office clock", "wait 1min"]
    next_cow()
    lines += ["keys FIND 19 2", "wait 1min", "plug in"]
    return "\n".join(lines) + "\n", range(101, cow + 1)


def play(bench):
    text, cows = story()
    bench.path("all.story").write_text(text, encoding="utf-8")
    rows = "".join(f"{n},{f'99900000000{n:04}' if n % 2 else ''},\n" for n in cows)
    bench.path("cows.csv").write_text("number,tag,name\n" + rows, encoding="utf-8")
    bench.hornrule("herd", "import", "cows.csv", "--herd", bench.herd, "--farm", "2", "--zone", "Europe/Berlin")
    words = [bench.binary, "handheld", "--flash", "flash", "--story", "all.story", "--tcp", "127.0.0.1:0"]
    with subprocess.Popen(words, cwd=bench.work, stdout=subprocess.PIPE, text=True) as handheld:
        port = handheld.stdout.readline().removeprefix("port ").strip()
        for line in handheld.stdout:
            if line.startswith("plugged in "):
                at = line.removeprefix("plugged in ").strip()
                bench.hornrule("--pretend-now", at, "pull", "--port", port)
        if handheld.wait():
            raise AssertionError("the story was not played to its end")
    bench.hornrule("gauge", "80.00")


def checks(demo):
    bench = Everything(demo)
    play(bench)

    def all_there():
        def codes(query):
            return {code for (code,) in bench.rows(query)}

        same(codes("SELECT DISTINCT lesion FROM finding"), {0, *SEVERITY, *STAGES}, "lesions")
        same(codes("SELECT DISTINCT action FROM action"), set(ACTIONS), "actions")
        same(set(bench.rows("SELECT scale, value FROM score")), {(s, v) for s, of in SCALES.items() for v in of}, "scores")
        lengths = set(bench.rows("SELECT dimension, unit, kind, trimmed FROM reading WHERE animal IS NOT NULL"))
        same(lengths, {(d, u, u, t) for d in LENGTHS for u in (0, 1) for t in (0, 1)}, "lengths")
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
        same({count for count, _ in study.ours(folder).values()}, {4}, "readings of each")
        if study.R:
            study.by_r(folder)

    bench.check("everything: the data set is valid and says the same numbers", tidy)
    demo.passed, demo.failed = demo.passed + bench.passed, demo.failed + bench.failed
