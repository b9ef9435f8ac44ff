-- Herd database, version 3, SQLite. Shipped: never edit this file, add the next number.

-- ---- What the office was told of a farm: how its papers look, and where it lies on the round.

-- ISO 639-1: 'en' or 'de'.
ALTER TABLE herd ADD COLUMN language TEXT NOT NULL DEFAULT 'en';
-- 0 millimetre, 1 inch: how lengths are written; what is stored stays nanometres.
ALTER TABLE herd ADD COLUMN unit INTEGER NOT NULL DEFAULT 0 CHECK (unit IN (0, 1));
-- 0 A4, 1 letter.
ALTER TABLE herd ADD COLUMN paper INTEGER NOT NULL DEFAULT 0 CHECK (paper IN (0, 1));
-- The dorsal wall length that is aimed at when trimming; empty where none was chosen.
ALTER TABLE herd ADD COLUMN target_nm INTEGER CHECK (target_nm > 0);
-- ISO 4217: three letters.
ALTER TABLE herd ADD COLUMN currency TEXT NOT NULL DEFAULT 'EUR';
-- Whom a bill or letter goes to: lines parted by a line feed, empty where none is known.
ALTER TABLE herd ADD COLUMN address TEXT NOT NULL DEFAULT '';
-- Which farm comes first on a day: the lower number; empty comes last.
ALTER TABLE herd ADD COLUMN route INTEGER CHECK (route BETWEEN 1 AND 999);

-- ---- More of the herd list.

ALTER TABLE animal ADD COLUMN official TEXT;      -- official ear tag number, without blanks
ALTER TABLE animal ADD COLUMN breed TEXT;
ALTER TABLE animal ADD COLUMN lactation INTEGER CHECK (lactation BETWEEN 0 AND 30);
ALTER TABLE animal ADD COLUMN calved INTEGER;     -- day of the last calving
ALTER TABLE animal ADD COLUMN pen TEXT;           -- the group she stands in
ALTER TABLE animal ADD COLUMN left_on INTEGER;    -- day since which she is in no list; empty: in it

-- From this day on the cow that had one number has another. What was keyed on an earlier day is hers
-- under the later number, so that her history follows her. A cow whose number was given to another
-- one after she had left keeps her rows under n x 1,000,000,000 + number, n from 1: no herd number
-- has ten digits, and tags have 13 and more.
CREATE TABLE renumbered (
    herd  INTEGER NOT NULL REFERENCES herd (herd),
    since INTEGER NOT NULL,
    was   INTEGER NOT NULL,
    now   INTEGER NOT NULL,
    PRIMARY KEY (herd, since, was),
    UNIQUE (herd, since, now)
) STRICT, WITHOUT ROWID;

-- Which heading of a farm's file stands for which column of the herd list.
CREATE TABLE heading (
    herd    INTEGER NOT NULL REFERENCES herd (herd),
    field   TEXT NOT NULL,   -- ours: number, tag, name, ...
    heading TEXT NOT NULL,   -- theirs, in lower case
    PRIMARY KEY (herd, field)
) STRICT, WITHOUT ROWID;

-- ---- Days until things are due, as the office set them. No derived row depends on them.
CREATE TABLE due_rule (
    name TEXT NOT NULL PRIMARY KEY,
    days INTEGER NOT NULL CHECK (days BETWEEN 0 AND 3650)
) STRICT, WITHOUT ROWID;

-- ---- Bills. What was issued stands as values and never changes: the triggers below refuse it.
-- ---- Money is in the currency's minor unit, rates are in hundredths of a per cent.

CREATE TABLE bill (
    series       TEXT NOT NULL,
    number       INTEGER NOT NULL CHECK (number >= 1),  -- 1, 2, 3, ... without a gap
    herd         INTEGER NOT NULL REFERENCES herd (herd),
    kind         INTEGER NOT NULL CHECK (kind IN (0, 1)), -- 0 bill, 1 credit note
    of_series    TEXT,                                    -- the bill that it corrects
    of_number    INTEGER,
    issued       INTEGER NOT NULL,  -- day, the farm's own
    issued_ms    INTEGER NOT NULL,
    due          INTEGER,           -- day by which to pay
    who          TEXT NOT NULL,
    why          TEXT NOT NULL,
    language     TEXT NOT NULL,
    currency     TEXT NOT NULL,
    minor_digits INTEGER NOT NULL,
    prices       INTEGER NOT NULL CHECK (prices IN (0, 1)), -- 0 without tax, 1 with tax in them
    seller       TEXT NOT NULL,     -- lines, as they stand on the paper
    buyer        TEXT NOT NULL,
    farm         TEXT NOT NULL,
    note         TEXT NOT NULL,
    net          INTEGER NOT NULL,
    tax          INTEGER NOT NULL,
    gross        INTEGER NOT NULL CHECK (gross = net + tax),
    PRIMARY KEY (series, number),
    FOREIGN KEY (of_series, of_number) REFERENCES bill (series, number)
) STRICT, WITHOUT ROWID;
CREATE INDEX bill_herd ON bill (herd, issued);

CREATE TABLE bill_line (
    series     TEXT NOT NULL,
    number     INTEGER NOT NULL,
    line       INTEGER NOT NULL,
    day        INTEGER NOT NULL,  -- day of the visit
    item       TEXT NOT NULL,     -- what the price list calls it
    words      TEXT NOT NULL,     -- what stands on the paper
    quantity   INTEGER NOT NULL,  -- negative where it is given back
    unit_price INTEGER NOT NULL,
    amount     INTEGER NOT NULL CHECK (amount = quantity * unit_price),
    rate       INTEGER NOT NULL,
    PRIMARY KEY (series, number, line),
    FOREIGN KEY (series, number) REFERENCES bill (series, number)
) STRICT, WITHOUT ROWID;
CREATE INDEX bill_line_day ON bill_line (day);

CREATE TABLE bill_tax (
    series TEXT NOT NULL,
    number INTEGER NOT NULL,
    rate   INTEGER NOT NULL,
    net    INTEGER NOT NULL,
    tax    INTEGER NOT NULL,
    PRIMARY KEY (series, number, rate),
    FOREIGN KEY (series, number) REFERENCES bill (series, number)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER bill_stays BEFORE UPDATE ON bill
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never changed'); END;
CREATE TRIGGER bill_is_kept BEFORE DELETE ON bill
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never removed'); END;
CREATE TRIGGER bill_line_stays BEFORE UPDATE ON bill_line
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never changed'); END;
CREATE TRIGGER bill_line_is_kept BEFORE DELETE ON bill_line
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never removed'); END;
CREATE TRIGGER bill_tax_stays BEFORE UPDATE ON bill_tax
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never changed'); END;
CREATE TRIGGER bill_tax_is_kept BEFORE DELETE ON bill_tax
    BEGIN SELECT RAISE(ABORT, 'an issued bill is never removed'); END;
CREATE TRIGGER bill_has_no_gap BEFORE INSERT ON bill
    WHEN new.number <> 1 + coalesce((SELECT max(number) FROM bill WHERE series = new.series), 0)
    BEGIN SELECT RAISE(ABORT, 'the numbers of a series have no gap'); END;
