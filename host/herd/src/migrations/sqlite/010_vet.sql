-- Herd database, version 10, SQLite. Shipped: never edit this file, add the next number.

-- ---- Whom the letter to the vet goes to, farm by farm: name, address, phone; lines parted by a line
-- ---- feed, empty where nobody said. No derived row depends on it.
ALTER TABLE herd ADD COLUMN vet TEXT NOT NULL DEFAULT '';
