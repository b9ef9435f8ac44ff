-- Herd database, version 1, SQLite. Shipped: never edit this file, add the next number.
-- Ids are integers; times are UTC milliseconds since 1970-01-01; a day is days since then in the
-- farm's own time zone. A device number is an unsigned 64-bit number cast bit by bit to signed.

-- Which of these files made this database, and what they said (CRC-32 of the text without CR).
CREATE TABLE migration (
    version  INTEGER NOT NULL PRIMARY KEY,
    name     TEXT NOT NULL,
    checksum INTEGER NOT NULL
) STRICT;

-- ---- The inbox: what came from the handhelds, verbatim. Not by herd, because a sealed record has
-- ---- none until intake has read the Visit before it.

-- One session of pulling.
CREATE TABLE pull (
    pull           INTEGER NOT NULL PRIMARY KEY,
    device         INTEGER NOT NULL,
    log            INTEGER NOT NULL,
    firmware_major INTEGER NOT NULL,
    firmware_minor INTEGER NOT NULL,
    firmware_patch INTEGER NOT NULL,
    source         TEXT NOT NULL,              -- port or file it came from
    started_ms     INTEGER NOT NULL,
    ended_ms       INTEGER,                    -- empty: cut off
    fresh          INTEGER NOT NULL DEFAULT 0, -- records that were new
    known          INTEGER NOT NULL DEFAULT 0, -- records that were here already
    conflicts      INTEGER NOT NULL DEFAULT 0  -- records that contradict one that is here
) STRICT;

-- A sealed record.
CREATE TABLE sealed (
    device INTEGER NOT NULL,
    log    INTEGER NOT NULL,
    seq    INTEGER NOT NULL,
    bytes  BLOB NOT NULL,
    pull   INTEGER NOT NULL REFERENCES pull (pull),
    PRIMARY KEY (device, log, seq)
) STRICT, WITHOUT ROWID;

-- Bytes that claim a number which is taken by other bytes, or which their batch does not span.
CREATE TABLE conflict (
    device INTEGER NOT NULL,
    log    INTEGER NOT NULL,
    seq    INTEGER NOT NULL,
    bytes  BLOB NOT NULL,
    pull   INTEGER NOT NULL REFERENCES pull (pull),
    PRIMARY KEY (device, log, seq, bytes)
) STRICT, WITHOUT ROWID;

-- Runs of numbers the handheld has accounted for, never touching each other. The cursor is the end
-- of the run that holds number 1; a number inside a run without a sealed record is lost.
CREATE TABLE covered (
    device    INTEGER NOT NULL,
    log       INTEGER NOT NULL,
    first_seq INTEGER NOT NULL,
    last_seq  INTEGER NOT NULL,
    PRIMARY KEY (device, log, first_seq)
) STRICT, WITHOUT ROWID;

-- The handheld's uptime seen beside the office's clock during a pull.
CREATE TABLE anchor (
    device        INTEGER NOT NULL,
    log           INTEGER NOT NULL,
    boot          INTEGER NOT NULL,
    uptime_ms     INTEGER NOT NULL,
    unix_ms       INTEGER NOT NULL,
    round_trip_ms INTEGER NOT NULL,
    pull          INTEGER NOT NULL REFERENCES pull (pull),
    PRIMARY KEY (device, log, boot, uptime_ms, unix_ms, round_trip_ms)
) STRICT, WITHOUT ROWID;

-- ---- What the office was told.

CREATE TABLE herd (
    herd INTEGER NOT NULL PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    farm INTEGER UNIQUE CHECK (farm BETWEEN 1 AND 9), -- digit keyed to start the visit
    zone TEXT NOT NULL                                -- IANA time zone
) STRICT;

-- The herd list.
CREATE TABLE animal (
    herd    INTEGER NOT NULL REFERENCES herd (herd),
    animal  INTEGER NOT NULL,
    tag     INTEGER,              -- ISO 11784, 15 decimal digits
    name    TEXT,
    born    INTEGER,              -- day
    in_herd INTEGER NOT NULL CHECK (in_herd IN (0, 1)),
    PRIMARY KEY (herd, animal),
    UNIQUE (herd, tag)
) STRICT, WITHOUT ROWID;

-- What the office knows about a handheld.
CREATE TABLE handheld (
    device             INTEGER NOT NULL PRIMARY KEY,
    herd               INTEGER REFERENCES herd (herd), -- meant where no visit was keyed
    gauge_nm           INTEGER,                        -- size of the gauge block that goes with it
    gauge_tolerance_nm INTEGER NOT NULL
) STRICT;

-- ---- Derived from the inbox and from what the office was told. May be emptied and derived again.

-- How far a log is derived.
CREATE TABLE derived (
    device  INTEGER NOT NULL,
    log     INTEGER NOT NULL,
    through INTEGER NOT NULL,
    PRIMARY KEY (device, log)
) STRICT, WITHOUT ROWID;

-- Where work on a farm starts in a log. By log, because a later boot asks for it before its herd
-- is known.
CREATE TABLE visit (
    device INTEGER NOT NULL,
    log    INTEGER NOT NULL,
    seq    INTEGER NOT NULL,
    farm   INTEGER NOT NULL,
    PRIMARY KEY (device, log, seq)
) STRICT, WITHOUT ROWID;

-- A cow in the chute. `animal`: herd number of 1 to 9 digits, or a tag of 13 to 15 digits that is
-- not in the herd list. `clock`: 0 anchored, 1 bounded by its neighbours. `uncertainty_ms` is
-- empty where nobody can say.
CREATE TABLE presence (
    herd           INTEGER NOT NULL REFERENCES herd (herd),
    device         INTEGER NOT NULL,
    log            INTEGER NOT NULL,
    seq            INTEGER NOT NULL,
    boot           INTEGER NOT NULL,
    at_ms          INTEGER NOT NULL,
    until_ms       INTEGER NOT NULL,
    day            INTEGER NOT NULL,
    uncertainty_ms INTEGER,
    clock          INTEGER NOT NULL,
    animal         INTEGER NOT NULL,
    PRIMARY KEY (herd, device, log, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX presence_day ON presence (herd, day);

-- `foot`: 0 LF, 1 RF, 2 LH, 3 RH, empty for the cow. `side`: 0 foot or cow, 1 lateral, 2 medial.
-- `presence`: seq of the cow's Animal record. All the same in the three tables after this one.
CREATE TABLE reading (
    herd           INTEGER NOT NULL REFERENCES herd (herd),
    device         INTEGER NOT NULL,
    log            INTEGER NOT NULL,
    seq            INTEGER NOT NULL,
    boot           INTEGER NOT NULL,
    at_ms          INTEGER NOT NULL,
    day            INTEGER NOT NULL,
    uncertainty_ms INTEGER,
    clock          INTEGER NOT NULL,
    animal         INTEGER,          -- empty for gauge blocks
    presence       INTEGER,
    foot           INTEGER,
    side           INTEGER NOT NULL,
    dimension      INTEGER NOT NULL,
    length_nm      INTEGER NOT NULL,
    unit           INTEGER NOT NULL, -- 0 millimetre, 1 inch
    kind           INTEGER NOT NULL, -- 0 24-bit, 1 52-bit BCD
    trimmed        INTEGER NOT NULL, -- 0 before, 1 after this claw was trimmed to form
    gauge_ok       INTEGER,          -- last gauge check of that day and boot; empty: none that counts
    PRIMARY KEY (herd, device, log, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX reading_day ON reading (herd, day);
CREATE INDEX reading_gauge ON reading (day) WHERE dimension = 0;

CREATE TABLE finding (
    herd           INTEGER NOT NULL REFERENCES herd (herd),
    device         INTEGER NOT NULL,
    log            INTEGER NOT NULL,
    seq            INTEGER NOT NULL,
    boot           INTEGER NOT NULL,
    at_ms          INTEGER NOT NULL,
    day            INTEGER NOT NULL,
    uncertainty_ms INTEGER,
    clock          INTEGER NOT NULL,
    animal         INTEGER NOT NULL,
    presence       INTEGER NOT NULL,
    foot           INTEGER,
    side           INTEGER NOT NULL,
    lesion         INTEGER NOT NULL, -- 0: looked at, sound
    grade          INTEGER NOT NULL,
    zone           INTEGER,          -- empty: the lesion's usual one
    PRIMARY KEY (herd, device, log, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX finding_day ON finding (herd, day);
CREATE INDEX finding_foot ON finding (herd, animal, foot);

CREATE TABLE action (
    herd           INTEGER NOT NULL REFERENCES herd (herd),
    device         INTEGER NOT NULL,
    log            INTEGER NOT NULL,
    seq            INTEGER NOT NULL,
    boot           INTEGER NOT NULL,
    at_ms          INTEGER NOT NULL,
    day            INTEGER NOT NULL,
    uncertainty_ms INTEGER,
    clock          INTEGER NOT NULL,
    animal         INTEGER NOT NULL,
    presence       INTEGER NOT NULL,
    foot           INTEGER,
    side           INTEGER NOT NULL,
    action         INTEGER NOT NULL,
    days           INTEGER NOT NULL, -- zero where the action takes none
    PRIMARY KEY (herd, device, log, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX action_day ON action (herd, day);

CREATE TABLE score (
    herd           INTEGER NOT NULL REFERENCES herd (herd),
    device         INTEGER NOT NULL,
    log            INTEGER NOT NULL,
    seq            INTEGER NOT NULL,
    boot           INTEGER NOT NULL,
    at_ms          INTEGER NOT NULL,
    day            INTEGER NOT NULL,
    uncertainty_ms INTEGER,
    clock          INTEGER NOT NULL,
    animal         INTEGER NOT NULL,
    presence       INTEGER NOT NULL,
    foot           INTEGER,
    side           INTEGER NOT NULL,
    scale          INTEGER NOT NULL,
    value          INTEGER NOT NULL,
    PRIMARY KEY (herd, device, log, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX score_day ON score (herd, day);

-- What a check has to say about a record. `herd` is 0 where none is known.
CREATE TABLE remark (
    herd     INTEGER NOT NULL,
    device   INTEGER NOT NULL,
    log      INTEGER NOT NULL,
    seq      INTEGER NOT NULL,
    rule     TEXT NOT NULL,
    severity INTEGER NOT NULL, -- 0 flagged, 1 held
    level    INTEGER NOT NULL, -- 0 found in the log, 1 found in the herd's history
    day      INTEGER,
    animal   INTEGER,
    foot     INTEGER,
    side     INTEGER NOT NULL,
    sentence TEXT NOT NULL,
    PRIMARY KEY (herd, device, log, seq, rule)
) STRICT, WITHOUT ROWID;
CREATE INDEX remark_day ON remark (herd, day);
