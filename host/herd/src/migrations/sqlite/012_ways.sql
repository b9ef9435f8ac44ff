-- Herd database, version 12, SQLite. Shipped: never edit this file, add the next number.

-- ---- What a way of gluing a block was on which days: way 0 is the usual one (DO 10), 1 to 9 are trial
-- ---- ways (DO 11 to 19). Facts hold from `since` through `through`, or where that is empty until the
-- ---- next ones of that way. Empty texts and an empty height: nobody said. No derived row depends on it.
CREATE TABLE way_fact (
    way       INTEGER NOT NULL CHECK (way BETWEEN 0 AND 9),
    since     INTEGER NOT NULL,                            -- day
    through   INTEGER CHECK (through >= since),            -- day
    material  TEXT NOT NULL,
    glue      TEXT NOT NULL,                               -- which, and its batch
    surface   TEXT NOT NULL,                               -- how the sole was made ready
    height_nm INTEGER CHECK (height_nm > 0),               -- of the block
    who       TEXT NOT NULL,
    at_ms     INTEGER NOT NULL,                            -- when it was noted, UTC
    PRIMARY KEY (way, since)
) STRICT, WITHOUT ROWID;

-- ---- Derived. That somebody washed and changed gloves and knives (DO 91): no cow's and no herd's, so by log.
CREATE TABLE wash (
    device INTEGER NOT NULL,
    log    INTEGER NOT NULL,
    seq    INTEGER NOT NULL,
    at_ms  INTEGER NOT NULL,
    PRIMARY KEY (device, log, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX wash_time ON wash (device, at_ms);

-- ---- Claws whose digit is gone are few, and asked for with every cow's facts.
CREATE INDEX finding_amputated ON finding (herd, animal, foot, side, day) WHERE lesion = 64;
