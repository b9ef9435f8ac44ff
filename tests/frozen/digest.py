#!/usr/bin/env python3
"""Row counts and digests of herd databases, as they stand in `counts.json` of each frozen version.

    digest.py DATABASE...                       prints them as JSON, by the files' names
    digest.py --against COUNTS NAME DATABASE    holds a database against what stands in COUNTS for
                                                NAME: says what differs, and ends with 1 then
    ... --untimed                               the same, but times of day may differ, as after a
                                                session that was played again

A digest is the SHA-256 of these lines, in UTF-8: every row of the table, with the columns that
`columns` names, in that order, and ordered by all of them as SQLite does (`ORDER BY 1, 2, 3, ...`).
One tab stands between values, one newline after each row. A value is written so:

    NULL       None
    INTEGER    in decimal, with a minus where it is negative
    REAL       as Python's repr (no table has one today)
    TEXT       as it is
    BLOB       in hexadecimal, small letters

`untimed` is the same without the columns at_ms, until_ms and uncertainty_ms; rows are ordered by
the columns that are left. A database may be gzip-compressed; it is only read. Standard library.
"""

import gzip
import hashlib
import json
import pathlib
import sqlite3
import sys
import tempfile
from contextlib import closing

# What came from the handheld, then what intake derives from it, decisions and herd lists.
TABLES = "sealed presence reading finding action score remark visit decision animal herd".split()
TIMES = ("at_ms", "until_ms", "uncertainty_ms")
# Grows with every version, and says nothing about the rows of others.
GROWS = ("migration",)


def opened(path):
    """The database, or a copy of it that is gone with the program where it is compressed."""
    data = path.read_bytes()
    if data[:2] == b"\x1f\x8b":
        conn = sqlite3.connect(":memory:")
        with tempfile.TemporaryDirectory() as folder:
            plain = pathlib.Path(folder) / "plain.db"
            plain.write_bytes(gzip.decompress(data))
            with closing(opened(plain)) as source:
                source.backup(conn)
        return conn
    # A database that another program has open has a -wal file beside it; a frozen one has none, and
    # reading it must not make one.
    still = "" if path.with_name(path.name + "-wal").exists() else "&immutable=1"
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro{still}", uri=True)


def written(value):
    if isinstance(value, bytes):
        return value.hex()
    return repr(value) if isinstance(value, float) else str(value)


def digest(conn, table, columns):
    names = ", ".join(f'"{name}"' for name in columns)
    order = ", ".join(str(at + 1) for at in range(len(columns)))
    sha = hashlib.sha256()
    for row in conn.execute(f'SELECT {names} FROM "{table}" ORDER BY {order}'):
        sha.update(("\t".join(map(written, row)) + "\n").encode())
    return sha.hexdigest()


def described(conn, table, columns=None):
    if columns is None:
        columns = [row[1] for row in conn.execute(f'PRAGMA table_info("{table}")')]
    untimed = [name for name in columns if name not in TIMES]
    said = {"columns": " ".join(columns), "sha256": digest(conn, table, columns)}
    if table != "decision" and untimed != columns:
        said["untimed"] = digest(conn, table, untimed)
    return said


def counted(conn):
    names = conn.execute(
        "SELECT name FROM sqlite_master "
        "WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
    ).fetchall()
    count = 'SELECT count(*) FROM "{}"'
    return {name: conn.execute(count.format(name)).fetchone()[0] for (name,) in names}


def of(path):
    with closing(opened(path)) as conn:
        return {
            "schema": conn.execute("PRAGMA user_version").fetchone()[0],
            "rows": counted(conn),
            "digests": {table: described(conn, table) for table in TABLES},
        }


def against(frozen, path, untimed):
    """What differs, a line each."""
    wrong = []
    with closing(opened(path)) as conn:
        rows = counted(conn)
        for table, before in frozen["rows"].items():
            # A session played again has pulls and anchors of its own.
            own = untimed and table not in TABLES
            if table not in GROWS and not own and rows.get(table) != before:
                wrong.append(f"{table}: {rows.get(table)} rows, not {before}")
        for table, before in frozen["digests"].items():
            now = described(conn, table, before["columns"].split())
            key = "untimed" if untimed and "untimed" in before else "sha256"
            if now[key] != before[key]:
                wrong.append(f"{table}: the rows differ ({key} {now[key]}, not {before[key]})")
    return wrong


def main(words):
    untimed = "--untimed" in words
    words = [word for word in words if word != "--untimed"]
    if words[:1] == ["--against"] and len(words) == 4:
        frozen = json.loads(pathlib.Path(words[1]).read_text(encoding="utf-8"))[words[2]]
        wrong = against(frozen, pathlib.Path(words[3]), untimed)
        print("\n".join(wrong) if wrong else f"{words[3]}: as {words[2]}")
        return 1 if wrong else 0
    if not words or words[0].startswith("-"):
        print(__doc__, file=sys.stderr)
        return 2
    print(json.dumps({pathlib.Path(word).name: of(pathlib.Path(word)) for word in words}, indent=1))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
