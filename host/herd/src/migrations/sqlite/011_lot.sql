-- Herd database, version 11, SQLite. Shipped: never edit this file, add the next number.

-- ---- Draws of trial ways: which way a block is glued on which cow, decided before the first one. The list
-- ---- follows from the seed and stands here as well, so that neither can be changed unnoticed. Rows are
-- ---- only ever added. No derived row depends on them.
CREATE TABLE lot (
    lot    INTEGER PRIMARY KEY,                      -- 1, 2, 3, ... in the order in which they were made
    herd   INTEGER NOT NULL REFERENCES herd (herd),
    name   TEXT NOT NULL,                            -- what the farm was called
    day    INTEGER NOT NULL,                         -- the farm's own day from which it holds
    unit   INTEGER NOT NULL CHECK (unit IN (1, 2)),  -- 1 a way for each cow, 2 for each claw
    ways   TEXT NOT NULL,                            -- digits 1 to 9, ascending
    sizes  TEXT NOT NULL,                            -- digits 1 to 9: how often each way stands in a block
    seed   TEXT NOT NULL,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64), -- of the list as it is published
    who    TEXT NOT NULL,
    at_ms  INTEGER NOT NULL,                         -- when it was made, UTC
    why    TEXT NOT NULL
) STRICT;
CREATE TRIGGER lot_stays BEFORE UPDATE ON lot
    BEGIN SELECT RAISE(ABORT, 'a draw is never changed'); END;
CREATE TRIGGER lot_is_kept BEFORE DELETE ON lot
    BEGIN SELECT RAISE(ABORT, 'a draw is never removed'); END;

CREATE TABLE lot_cow (
    lot    INTEGER NOT NULL REFERENCES lot (lot),
    animal INTEGER NOT NULL,                         -- her number on the draw's day
    ways   TEXT NOT NULL CHECK (length(ways) = 8),   -- a digit a claw: LF outer, LF inner, RF, LH, RH
    PRIMARY KEY (lot, animal)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER lot_cow_stays BEFORE UPDATE ON lot_cow
    BEGIN SELECT RAISE(ABORT, 'a draw is never changed'); END;
CREATE TRIGGER lot_cow_is_kept BEFORE DELETE ON lot_cow
    BEGIN SELECT RAISE(ABORT, 'a draw is never removed'); END;

-- ---- What happened to a draw: somebody looked into an open one, or closed it.
CREATE TABLE lot_note (
    note  INTEGER PRIMARY KEY,                       -- 1, 2, 3, ... in the order in which they were made
    lot   INTEGER NOT NULL REFERENCES lot (lot),
    what  INTEGER NOT NULL CHECK (what IN (1, 2)),   -- 1 shown while open, 2 closed
    day   INTEGER NOT NULL,                          -- the farm's own; a closed draw holds through it
    who   TEXT NOT NULL,
    at_ms INTEGER NOT NULL,                          -- UTC
    why   TEXT NOT NULL
) STRICT;
CREATE INDEX lot_note_lot ON lot_note (lot);
CREATE UNIQUE INDEX lot_is_closed_once ON lot_note (lot) WHERE what = 2;
CREATE TRIGGER lot_note_stays BEFORE UPDATE ON lot_note
    BEGIN SELECT RAISE(ABORT, 'a note of a draw is never changed'); END;
CREATE TRIGGER lot_note_is_kept BEFORE DELETE ON lot_note
    BEGIN SELECT RAISE(ABORT, 'a note of a draw is never removed'); END;
