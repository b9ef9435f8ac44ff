"""A study's data set: valid by frictionless; the same numbers by pandas, pyarrow and R; the sample drawn again
in Python from STUDY.md alone."""

import csv
import json
import shutil
import subprocess
import pathlib

import frictionless
import pandas
import pyarrow.parquet

from harness import fails, same

HERE = pathlib.Path(__file__).parent
PROTOCOL = """format = 1
name = "All that the demo measured"
from = 2026-03-01
to = 2026-03-31
seed = 9007199254740991
repeats = 2
moment = "both"
blinding = "none"
[sample]
cows = 9
claws = ["LF lateral", "LF medial", "RF lateral", "LH lateral", "LH medial", "RH lateral", "RH medial"]
claws-each = 3
[[herd]]
name = "Alder Brook"
[[observer]]
code = "A"
[[dimension]]
name = "dorsal wall length"
[[dimension]]
name = "heel height"
landmarks = "ours, with a comma and \\"quotes\\""
[[dimension]]
name = "claw width"
[[dimension]]
name = "horn regrown"
[[dimension]]
name = "lesion length"
[[dimension]]
name = "lesion width"
"""
DIMENSIONS = (1, 2, 3, 7, 8, 9)
TWO = PROTOCOL.replace('code = "A"\n', 'code = "A"\nhandheld = "c0ffee0000000001"\n[[observer]]\ncode = "B"\nhandheld = "c0ffee0000000002"\n')
MASK = 2**64 - 1
R = shutil.which("Rscript")


class Seeded:
    """STUDY.md, The sample."""

    def __init__(self, seed, name):
        fnv = 0xCBF29CE484222325
        for byte in name.encode():
            fnv = ((fnv ^ byte) * 0x100000001B3) & MASK
        self.state = seed ^ fnv

    def next(self):
        self.state = (self.state + 0x9E3779B97F4A7C15) & MASK
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
        return z ^ (z >> 31)

    def below(self, n):
        while True:
            value = self.next()
            if value >= 2**64 % n:
                return value % n

    def shuffle(self, items):
        for i in range(len(items) - 1, 0, -1):
            j = self.below(i + 1)
            items[i], items[j] = items[j], items[i]


def drawn(cows, seed, herd, take, claws, each, moments, repeats, observers, dimensions):
    """Rows of cow, moment, repeat, observer, claw, dimension."""
    stream, rows = Seeded(seed, herd), []
    cows = sorted(cows)
    stream.shuffle(cows)
    for cow in cows[:take]:
        last = None
        chosen = list(claws)
        stream.shuffle(chosen)
        chosen = chosen[:each]
        for moment in moments:
            for repeat in range(1, repeats + 1):
                people = list(observers)
                stream.shuffle(people)
                for person in people:
                    stream.shuffle(chosen)
                    if len(chosen) > 1 and last == (person, chosen[0]):
                        chosen[0], chosen[1] = chosen[1], chosen[0]
                    last = (person, chosen[-1])
                    rows += [(cow, moment, repeat, person, claw, one) for claw in chosen for one in dimensions]
    return rows


def table(folder, name):
    with open(folder / f"{name}.csv", newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def ours(folder):
    """What our own program counted: number and sum by dimension."""
    return {int(row["dimension"]): (int(row["readings"]), int(row["sum_nm"])) for row in table(folder, "dimensions")}


def by_pandas(frame):
    groups = frame.groupby("dimension")["length_nm"]
    return {int(key): (int(n), int(total)) for key, n, total in zip(groups.count().index, groups.count(), groups.sum())}


def there(numbers):
    return {key: value for key, value in numbers.items() if value[0]}


def numbers(folder):
    """Raises unless CSV by pandas and Parquet by pyarrow say what our sums say."""
    text = {"tag": str, "handheld": str, "record": str}
    frame = pandas.read_csv(folder / "readings.csv", dtype=text, keep_default_na=False, na_values=[""])
    same(by_pandas(frame), there(ours(folder)), "CSV by pandas")
    parquet = pyarrow.parquet.read_table(folder / "readings.parquet")
    same(parquet.column_names, list(frame.columns), "columns")
    same(by_pandas(parquet.to_pandas()), there(ours(folder)), "Parquet by pyarrow")
    for row in table(folder, "dimensions"):
        lengths = frame[frame["dimension"] == int(row["dimension"])]["length_mm"]
        if not len(lengths):
            same((row["mean_mm"], row["least_mm"], row["most_mm"]), ("", "", ""), "none")
            continue
        for name, value in (("mean_mm", lengths.mean()), ("least_mm", lengths.min()), ("most_mm", lengths.max())):
            # Sums of at most a few thousand numbers of about 100: 1e-9 mm is far above rounding.
            assert abs(float(row[name]) - value) < 1e-9, (row, name, value)
    # Cell for cell: CSV and Parquet are one table.
    for name in frame.columns:
        left, right = frame[name].tolist(), parquet.column(name).to_pylist()
        for a, b in zip(left, right, strict=True):
            if b is None:
                assert pandas.isna(a), (name, a)
            elif name == "time_utc":
                same(pandas.Timestamp(a), pandas.Timestamp(b), name)
            elif name == "day":
                same(a, b.isoformat(), name)
            else:
                same(a, b, name)


def valid(folder):
    report = frictionless.validate(str(folder / "datapackage.json"))
    assert report.valid, report.flatten(["rowNumber", "fieldNumber", "type", "message"])
    return report


def change(folder, bench, name, old, new):
    """A copy of the folder with one thing changed in one file."""
    broken = bench.path("broken-set")
    shutil.rmtree(broken, ignore_errors=True)
    shutil.copytree(folder, broken)
    text = (broken / name).read_text(encoding="utf-8")
    assert old in text, f"{name} has no {old}"
    (broken / name).write_text(text.replace(old, new, 1), encoding="utf-8")
    return broken


def resized(broken):
    """Sizes of files put right, so that frictionless looks at what is in them."""
    path = broken / "datapackage.json"
    package = json.loads(path.read_text(encoding="utf-8"))
    for one in package["resources"]:
        one["bytes"] = (broken / one["path"]).stat().st_size
    path.write_text(json.dumps(package), encoding="utf-8")
    return broken


def by_r(of):
    done = subprocess.run([R, "--vanilla", HERE / "same.R", of], capture_output=True, text=True)
    if done.returncode:
        raise AssertionError(done.stdout + done.stderr)
    return done.stdout


def checks(bench):
    bench.path("all.toml").write_text(PROTOCOL, encoding="utf-8")
    bench.path("two.toml").write_text(TWO, encoding="utf-8")
    bench.hornrule("study", "export", "all.toml", "--out", "set")
    folder = bench.path("set")
    first = table(folder, "readings")[0]

    def is_valid():
        report = valid(folder)
        same(report.stats["tasks"], 8, "files that were looked at")
        rows = {task.name: task.stats.get("rows") for task in report.tasks}
        same(rows["readings"], len(table(folder, "readings")), "rows that were looked at")
        assert rows["readings"] > 20, rows

    bench.check("study: a data package that is valid by frictionless", is_valid)

    def notices():
        breaks = {
            "a length that is a word": ("readings.csv", first["length_nm"], "long"),
            "a foot that is none": ("readings.csv", f",{first['foot']},", ",XX,"),
            "a day that is none": ("readings.csv", first["day"], "2026-02-30"),
            "a needed cell without a value": ("readings.csv", ",Alder Brook,", ",,"),
            "a column of another name": ("readings.csv", "length_mm", "length_cm"),
        }
        for what, (name, old, new) in breaks.items():
            fails(lambda: valid(resized(change(folder, bench, name, old, new))), what)
        fails(lambda: valid(change(folder, bench, "readings.csv", ",A,", ",AA,")), "another size")
        broken = change(folder, bench, "datapackage.json", '"resources"', '"files"')
        fails(lambda: valid(broken), "a descriptor without resources")
        valid(resized(change(folder, bench, "readings.csv", ",A,", ",AA,")))

    bench.check("study: broken data sets are noticed by frictionless", notices)

    def complete():
        marks = ",".join(map(str, DIMENSIONS))
        expected = bench.rows(
            f"SELECT dimension, count(*), sum(length_nm) FROM reading WHERE animal IS NOT NULL AND side > 0 AND dimension IN ({marks}) GROUP BY dimension"
        )
        assert len(expected) > 1, expected
        same(there(ours(folder)), {code: (n, total) for code, n, total in expected}, "our sums and the database")
        numbers(folder)

    bench.check("study: the same numbers by the database, pandas and pyarrow", complete)

    def other_numbers():
        longer = str(int(first["length_nm"]) + 10_000)
        fails(lambda: numbers(change(folder, bench, "readings.csv", first["length_nm"], longer)), "10 micrometres")
        fails(lambda: numbers(change(folder, bench, "readings.csv", f",{first['length_mm']},", ",1.5,")), "another length")
        count, total = ours(folder)[1]
        fails(lambda: numbers(change(folder, bench, "dimensions.csv", f",{count},{total}", f",{count},{total + 1}")), "a nanometre")
        numbers(change(folder, bench, "protocol.toml", "All", "all"))

    bench.check("study: other numbers are noticed", other_numbers)

    def sample():
        cows = [cow for (cow,) in bench.rows("SELECT animal FROM animal JOIN herd USING (herd) WHERE herd.name = 'Alder Brook' AND in_herd = 1")]
        claws = [claw.strip('" ') for claw in PROTOCOL.split("claws = [")[1].split("]")[0].split(",")]
        for file, people in (("all.toml", "A"), ("two.toml", "AB")):
            expected = drawn(cows, 2**53 - 1, "Alder Brook", 9, claws, 3, ("before", "after"), 2, people, DIMENSIONS)
            rows = json.loads(bench.hornrule("study", "sample", file, "--json"))["rows"]
            got = [(r["cow"], r["moment"], r["repeat"], r["observer"], f"{r['foot']} {r['claw']}", r["dimension"]) for r in rows]
            same(got, expected, "the sample")
            same([r["order"] for r in rows], list(range(1, len(rows) + 1)), "order")
            fails(lambda: same(got, drawn(cows, 2**53 - 2, "Alder Brook", 9, claws, 3, ("before", "after"), 2, people, DIMENSIONS), ""), "another seed")
        bench.hornrule("study", "sample", "all.toml", "--out", "sample.csv")
        same(bench.path("sample.csv").read_bytes(), (folder / "sample.csv").read_bytes(), "the sample in the data set")
        chosen = {(r["cow"], r["moment"], r["foot"], r["claw"], r["dimension"]) for r in table(folder, "sample")}
        for row in table(folder, "readings"):
            slot = (row["cow"], row["moment"], row["foot"], row["claw"], row["dimension"])
            same(row["in_sample"], "true" if slot in chosen else "false", row["record"])

    bench.check("study: Python draws the same sample from STUDY.md", sample)

    def dictionary():
        listed = {(row["table"], row["column"]) for row in table(folder, "dictionary")}
        package = bench.json("set/datapackage.json")
        found = set()
        for one in package["resources"]:
            if one["type"] == "table":
                with open(folder / one["path"], newline="", encoding="utf-8") as file:
                    found |= {(one["name"], column) for column in next(csv.reader(file))}
        same(listed, found, "columns that the dictionary explains")
        same(package["hornrule"]["seed"], 2**53 - 1, "seed")
        same((folder / "protocol.toml").read_text(encoding="utf-8"), PROTOCOL, "protocol")
        marks = {row["dimension"]: row["landmarks"] for row in table(folder, "dimensions")}
        same(marks["2"], 'ours, with a comma and "quotes"', "landmarks")

    bench.check("study: the dictionary explains every column there is", dictionary)

    def again():
        bench.hornrule("study", "export", "all.toml", "--out", "again")
        for one in folder.iterdir():
            same(one.read_bytes(), (bench.path("again") / one.name).read_bytes(), one.name)

    bench.check("study: the same bytes again", again)

    if not R:
        print("skipped study: R is not installed (Debian: apt-get install r-base-core)")
        return

    def r():
        assert f"{len(table(folder, 'readings'))} readings" in by_r(folder)
        longer = str(int(first["length_nm"]) + 10_000)
        fails(lambda: by_r(change(folder, bench, "readings.csv", first["length_nm"], longer)), "10 micrometres, in R")
        fails(lambda: by_r(change(folder, bench, "dimensions.csv", "dorsal", "d\"orsal")), "a broken file, in R")

    bench.check("study: the same numbers by R, and others are noticed", r)
