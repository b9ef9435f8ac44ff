-- Herd database, version 6, SQLite. Shipped: never edit this file, add the next number.

-- ---- Logs kept aside: a handheld gave the device and log of records that are stored, and held others
-- ---- under their numbers. An id was given twice, or a flash was put back. What it held is kept in
-- ---- `sealed` and `covered` like every log, under a number that the office drew; no herd table knows
-- ---- it until a person has said that it is to be taken in.
CREATE TABLE aside (
    device    INTEGER NOT NULL,
    log       INTEGER NOT NULL,    -- drawn by the office
    of_log    INTEGER NOT NULL,    -- the number that the handheld gives, under which it seals
    first_seq INTEGER NOT NULL,    -- the first record that differs; before it the two logs are one
    pull      INTEGER NOT NULL REFERENCES pull (pull),
    PRIMARY KEY (device, log)
) STRICT, WITHOUT ROWID;

-- What a person said of a log kept aside. Rows are only ever added; of a log's rows the newest counts.
CREATE TABLE aside_ruling (
    ruling INTEGER PRIMARY KEY,                      -- 1, 2, 3, ... in the order in which they were made
    device INTEGER NOT NULL,
    log    INTEGER NOT NULL,
    takes  INTEGER NOT NULL CHECK (takes IN (0, 1)), -- 1 into the herd tables, 0 not
    who    TEXT NOT NULL,
    at_ms  INTEGER NOT NULL,
    why    TEXT NOT NULL,
    FOREIGN KEY (device, log) REFERENCES aside (device, log)
) STRICT;
CREATE INDEX aside_ruling_log ON aside_ruling (device, log, ruling);
