-- Herd database, version 7, SQLite. Shipped: never edit this file, add the next number.

-- ---- More can be noted of a cow: the office has looked, she was sold, she died, she was not brought. A
-- ---- check cannot be changed in place, so the table is made anew with every row that it had.
ALTER TABLE closing RENAME TO closing_5;
CREATE TABLE closing (
    closing INTEGER PRIMARY KEY,                     -- 1, 2, 3, ... in the order in which they were made
    herd    INTEGER NOT NULL REFERENCES herd (herd),
    animal  INTEGER NOT NULL,                        -- her number on that day
    foot    INTEGER CHECK (foot BETWEEN 0 AND 3),    -- empty: all of her
    side    INTEGER NOT NULL CHECK (side BETWEEN 0 AND 2), -- 0 the foot or the cow, 1 lateral, 2 medial
    -- 1 vet, 2 recheck, 3 block off, 4 wrap off, 5 trim, 6 office: done; 7 sold, 8 dead, 9 not brought
    duty    INTEGER NOT NULL CHECK (duty BETWEEN 1 AND 9),
    day     INTEGER NOT NULL,                        -- the farm's own day on which it was done
    who     TEXT NOT NULL,
    at_ms   INTEGER NOT NULL,                        -- when it was noted, UTC
    why     TEXT NOT NULL,                           -- the vet's answer, or why
    holds   INTEGER NOT NULL DEFAULT 1 CHECK (holds IN (0, 1)) -- 0: those before it about this are taken back
) STRICT;
INSERT INTO closing (closing, herd, animal, foot, side, duty, day, who, at_ms, why, holds)
    SELECT closing, herd, animal, foot, side, duty, day, who, at_ms, why, holds FROM closing_5;
DROP TABLE closing_5;
CREATE INDEX closing_herd ON closing (herd, closing);
