-- Herd database, version 9, SQLite. Shipped: never edit this file, add the next number.

-- ---- Lines of a bill that are counted by no record: travel, hours, products. They belong to the bill
-- ---- and to no day. An older bill has none.
CREATE TABLE bill_free_line (
    series     TEXT NOT NULL,
    number     INTEGER NOT NULL,
    line       INTEGER NOT NULL,  -- 1, 2, 3, ... after the counted lines
    item       TEXT NOT NULL,     -- what the price list calls it
    words      TEXT NOT NULL,     -- what stands on the paper
    unit       TEXT NOT NULL,     -- likewise; empty where it is counted by the piece
    quantity   INTEGER NOT NULL,  -- thousandths of the unit, negative where it is given back
    unit_price INTEGER NOT NULL,
    amount     INTEGER NOT NULL,  -- rounded to the minor unit
    rate       INTEGER NOT NULL,
    CHECK (2 * abs(1000 * amount - quantity * unit_price) <= 1000),
    PRIMARY KEY (series, number, line),
    FOREIGN KEY (series, number) REFERENCES bill (series, number)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER bill_free_line_stays BEFORE UPDATE ON bill_free_line
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never changed'); END;
CREATE TRIGGER bill_free_line_is_kept BEFORE DELETE ON bill_free_line
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never removed'); END;

-- ---- Bills that were issued although entries of their visits were held.
CREATE TABLE bill_with_held (
    series TEXT NOT NULL,
    number INTEGER NOT NULL,
    held   INTEGER NOT NULL CHECK (held > 0),
    why    TEXT NOT NULL,
    PRIMARY KEY (series, number),
    FOREIGN KEY (series, number) REFERENCES bill (series, number)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER bill_with_held_stays BEFORE UPDATE ON bill_with_held
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never changed'); END;
CREATE TRIGGER bill_with_held_is_kept BEFORE DELETE ON bill_with_held
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never removed'); END;

-- ---- What was paid, as the office noted it. Rows are only ever added; a slip is taken back by a further
-- ---- row that names the first.
CREATE TABLE payment (
    payment    INTEGER PRIMARY KEY,                    -- 1, 2, 3, ... in the order in which they were noted
    series     TEXT NOT NULL,
    number     INTEGER NOT NULL,
    day        INTEGER NOT NULL,                       -- on which it came in, the farm's own
    amount     INTEGER NOT NULL CHECK (amount > 0),    -- in the bill's minor unit
    takes_back INTEGER UNIQUE REFERENCES payment (payment), -- empty: it is a payment
    who        TEXT NOT NULL,
    at_ms      INTEGER NOT NULL,                       -- when it was noted, UTC
    why        TEXT NOT NULL,                          -- may be empty for a payment
    FOREIGN KEY (series, number) REFERENCES bill (series, number)
) STRICT;
CREATE INDEX payment_bill ON payment (series, number);
CREATE TRIGGER payment_stays BEFORE UPDATE ON payment
    BEGIN SELECT RAISE(ABORT, 'a noted payment is never changed'); END;
CREATE TRIGGER payment_is_kept BEFORE DELETE ON payment
    BEGIN SELECT RAISE(ABORT, 'a noted payment is never removed'); END;
CREATE TRIGGER payment_is_of_a_bill BEFORE INSERT ON payment
    WHEN (SELECT kind FROM bill WHERE series = new.series AND number = new.number) = 1
    BEGIN SELECT RAISE(ABORT, 'a credit note is never paid'); END;
CREATE TRIGGER payment_is_taken_back_as_noted BEFORE INSERT ON payment
    WHEN new.takes_back IS NOT NULL AND NOT EXISTS (SELECT 1 FROM payment AS noted
        WHERE noted.payment = new.takes_back AND noted.takes_back IS NULL
        AND noted.series = new.series AND noted.number = new.number
        AND noted.amount = new.amount AND noted.day = new.day)
    BEGIN SELECT RAISE(ABORT, 'what is taken back is never another than what was noted'); END;
