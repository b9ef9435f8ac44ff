-- Herd database, version 2, SQLite. Shipped: never edit this file, add the next number.

-- ---- What the office was told, beside herds, lists and handhelds.

-- What a person decided about a record. Rows are only ever added; a decision is taken back by a
-- further one. `kind`: 0 accept, 1 correct a field, 2 reassign to a cow, 3 discard, 4 take back.
-- `field` (kind 1): 1 cow, 2 farm, 3 place, 4 lesion, 5 grade, 6 zone, 7 action, 8 days,
-- 9 dimension, 10 length, 11 unit, 12 scale, 13 value. `value`: what the field is now, as the herd
-- tables write it (place: side x 4 + foot, 255 the cow; zone -1: the usual one; length: nm), or the
-- cow's number (kind 2).
CREATE TABLE decision (
    decision   INTEGER NOT NULL PRIMARY KEY,
    device     INTEGER NOT NULL,
    log        INTEGER NOT NULL,
    seq        INTEGER NOT NULL,
    kind       INTEGER NOT NULL CHECK (kind BETWEEN 0 AND 4),
    field      INTEGER,
    value      INTEGER,
    takes_back INTEGER REFERENCES decision (decision),
    who        TEXT NOT NULL,
    at_ms      INTEGER NOT NULL,
    why        TEXT NOT NULL
) STRICT;
CREATE INDEX decision_record ON decision (device, log, seq);

-- The numbers that the rules went by when the derived tables were last derived, in thousandths of
-- their unit; and under the name `rules` a checksum of the rules themselves.
CREATE TABLE threshold (
    name  TEXT NOT NULL PRIMARY KEY,
    value INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
