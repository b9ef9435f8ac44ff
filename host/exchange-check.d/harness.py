"""What all checks share: the binary, the database, counting, and proof that a check can fail."""

import json
import pathlib
import sqlite3
import subprocess
import traceback


class Bench:
    """A folder with a herd database in it."""

    db, herd = "hornrule-demo/herd.db", "Alder Brook"

    def __init__(self, binary, work):
        self.binary = binary
        self.work = pathlib.Path(work)
        self.passed = 0
        self.failed = 0

    def hornrule(self, *words, code=0):
        """Runs the command in the work folder; gives what it printed."""
        done = subprocess.run(
            [self.binary, "--db", self.db, *words],
            cwd=self.work,
            capture_output=True,
            text=True,
        )
        if done.returncode != code:
            raise AssertionError(f"{words}: exit {done.returncode}: {done.stderr}")
        return done.stdout if code == 0 else done.stderr

    def path(self, name):
        return self.work / name

    def json(self, name):
        return json.loads(self.path(name).read_text(encoding="utf-8"))

    def rows(self, query, *values):
        """Rows of the herd database, read by Python's own SQLite and by none of our code."""
        with sqlite3.connect(f"file:{self.path(self.db)}?mode=ro", uri=True) as db:
            return db.execute(query, values).fetchall()

    def check(self, name, work):
        try:
            work()
        except Exception:
            self.failed += 1
            print(f"FAILED  {name}")
            traceback.print_exc()
        else:
            self.passed += 1
            print(f"ok      {name}")


def same(ours, theirs, what):
    if ours != theirs:
        raise AssertionError(f"{what}: {ours!r} is not {theirs!r}")


def fails(work, what):
    """A check must be able to fail: on something broken it has to."""
    try:
        work()
    except Exception:
        return
    raise AssertionError(f"nothing was said about {what}")


def record(device, log, seq):
    """A record's identity as EXCHANGE.md writes it."""
    return f"{device & (2**64 - 1):016x}-{log:08x}-{seq}"
