-- Herd database, version 5, SQLite. Shipped: never edit this file, add the next number.

-- ---- Duties that the office was told are done: the vet has answered, the farmer took the wrap off. Rows
-- ---- are only ever added; of two about one duty both stand, and a slip is taken back by a further
-- ---- row. No derived row depends on them.
CREATE TABLE closing (
    closing INTEGER PRIMARY KEY,                     -- 1, 2, 3, ... in the order in which they were made
    herd    INTEGER NOT NULL REFERENCES herd (herd),
    animal  INTEGER NOT NULL,                        -- her number on that day
    foot    INTEGER CHECK (foot BETWEEN 0 AND 3),    -- empty: all of her
    side    INTEGER NOT NULL CHECK (side BETWEEN 0 AND 2), -- 0 the foot or the cow, 1 lateral, 2 medial
    duty    INTEGER NOT NULL CHECK (duty BETWEEN 1 AND 5), -- 1 vet, 2 recheck, 3 block off, 4 wrap off, 5 trim
    day     INTEGER NOT NULL,                        -- the farm's own day on which it was done
    who     TEXT NOT NULL,
    at_ms   INTEGER NOT NULL,                        -- when it was noted, UTC
    why     TEXT NOT NULL,                           -- the vet's answer, or why
    holds   INTEGER NOT NULL DEFAULT 1 CHECK (holds IN (0, 1)) -- 0: those before it about this are taken back
) STRICT;
CREATE INDEX closing_herd ON closing (herd, closing);
