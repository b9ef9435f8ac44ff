-- Herd database, version 8, SQLite. Shipped: never edit this file, add the next number.

-- ---- Which farm a key means. A key, 1 to 9, is of a day's plan; on a day without a plan it is a
-- ---- standing key, in force from a day on. So a trimmer may have any number of farms, and a key that
-- ---- is given to another farm moves nothing that was said before.

-- Every plan that was made to be loaded. `name`: the CRC-32 of `bytes`, which the handheld seals in
-- its log when it takes the plan; two plans never have the same. `bytes` has the farms, cows and
-- needs, as protocol/SPEC.md, section 12, says. Rows are only ever added.
CREATE TABLE plan (
    plan    INTEGER NOT NULL PRIMARY KEY CHECK (plan BETWEEN 1 AND 268435455),
    name    INTEGER NOT NULL UNIQUE,
    day     INTEGER NOT NULL,
    made_ms INTEGER NOT NULL,
    bytes   BLOB NOT NULL
) STRICT;
CREATE INDEX plan_day ON plan (day);

-- Which key means which herd in a plan.
CREATE TABLE plan_farm (
    plan INTEGER NOT NULL REFERENCES plan (plan),
    key  INTEGER NOT NULL CHECK (key BETWEEN 1 AND 9),
    herd INTEGER NOT NULL REFERENCES herd (herd),
    PRIMARY KEY (plan, key),
    UNIQUE (plan, herd)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER plan_stays BEFORE UPDATE ON plan
    BEGIN SELECT RAISE(ABORT, 'a plan that was loaded is never changed'); END;
CREATE TRIGGER plan_is_kept BEFORE DELETE ON plan
    BEGIN SELECT RAISE(ABORT, 'a plan that was loaded is never removed'); END;
CREATE TRIGGER plan_farm_stays BEFORE UPDATE ON plan_farm
    BEGIN SELECT RAISE(ABORT, 'a plan that was loaded is never changed'); END;
CREATE TRIGGER plan_farm_is_kept BEFORE DELETE ON plan_farm
    BEGIN SELECT RAISE(ABORT, 'a plan that was loaded is never removed'); END;

-- From the day `since` on (the herd's own; empty: always) the key stands for the herd, or, where it does
-- not hold, no longer does. Rows are only ever added; of one key the later day wins, and of one day the
-- later row.
CREATE TABLE standing_key (
    said  INTEGER PRIMARY KEY,
    key   INTEGER NOT NULL CHECK (key BETWEEN 1 AND 9),
    herd  INTEGER NOT NULL REFERENCES herd (herd),
    since INTEGER,
    holds INTEGER NOT NULL CHECK (holds IN (0, 1))
) STRICT;

-- What the key was until now it was always: history stays where it was.
INSERT INTO standing_key (key, herd, since, holds)
    SELECT farm, herd, NULL, 1 FROM herd WHERE farm IS NOT NULL ORDER BY herd;
-- The column herd.farm keeps what it said then and is neither read nor written any more. SQLite drops no
-- column that is unique, and rebuilding the table would break what refers to it.

-- ---- Derived. Where the work is after a visit was keyed: empty where nobody knows. `farm` 0: nothing
-- ---- was keyed, the office said where it was from this record on.
ALTER TABLE visit ADD COLUMN herd INTEGER REFERENCES herd (herd);
UPDATE visit SET herd = (SELECT herd.herd FROM herd WHERE herd.farm = visit.farm);

-- Derived. Where a plan was loaded in a log: its name, and where the work is after it: the key, where one
-- is in force, and the herd, where it is known.
CREATE TABLE plan_load (
    device INTEGER NOT NULL,
    log    INTEGER NOT NULL,
    seq    INTEGER NOT NULL,
    name   INTEGER NOT NULL,
    farm   INTEGER,
    herd   INTEGER REFERENCES herd (herd),
    PRIMARY KEY (device, log, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX plan_load_name ON plan_load (name);

-- ---- A decision may also say of a visit or of a cow at which farm the work was from there on: `kind` 1,
-- ---- `field` 14, `value` the herd.
