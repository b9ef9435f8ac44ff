-- Herd database, version 4, SQLite. Shipped: never edit this file, add the next number.

-- ---- What the office says of a cow to the chute: that she is not to be trimmed, or again may be. Rows
-- ---- are only ever added; of a cow's rows the newest counts. No derived row depends on them.
CREATE TABLE do_not_trim (
    mark   INTEGER PRIMARY KEY,                      -- 1, 2, 3, ... in the order in which they were made
    herd   INTEGER NOT NULL REFERENCES herd (herd),
    animal INTEGER NOT NULL,                         -- her number on that day
    day    INTEGER NOT NULL,                         -- the farm's own
    holds  INTEGER NOT NULL CHECK (holds IN (0, 1)), -- 1 not to be trimmed, 0 taken back
    who    TEXT NOT NULL,
    at_ms  INTEGER NOT NULL,
    why    TEXT NOT NULL
) STRICT;
CREATE INDEX do_not_trim_herd ON do_not_trim (herd, mark);

-- ---- What the office calls the trial ways of gluing a block, DO 11 to 19. No derived row depends on it.
CREATE TABLE trial_way (
    way  INTEGER NOT NULL PRIMARY KEY CHECK (way BETWEEN 1 AND 9),
    name TEXT NOT NULL
) STRICT, WITHOUT ROWID;
