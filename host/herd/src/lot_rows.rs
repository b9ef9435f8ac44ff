//! Rows of draws of trial ways: what was drawn, and what happened to it. Rows are only ever added; the
//! schema refuses anything else.

use hornrule_facts::lot::{Design, Happened, Unit, Ways};
use hornrule_facts::{KeptLot, Lot, LotNote};
use rusqlite::{Row, params};

use super::{AnimalId, Day, Fault, HerdId, Rows, queries};

impl Rows<'_> {
    /// Keeps a draw, and gives its number.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn insert_lot(&self, lot: &Lot) -> Result<i64, Fault> {
        let Lot { herd, name, day, design, cows, sha256, who, at_ms, why, .. } = lot;
        let Design { by, ways, sizes, seed } = design;
        let unit = if *by == Unit::Cow { 1 } else { 2 };
        let number: i64 = self.conn.prepare_cached(queries::INSERT_LOT)?.query_row(
            params![
                herd.0,
                name,
                day.0,
                unit,
                digits(ways),
                digits(sizes),
                seed,
                sha256,
                who,
                at_ms,
                why
            ],
            |row| row.get(0),
        )?;
        let mut insert = self.conn.prepare_cached(queries::INSERT_LOT_COW)?;
        for (animal, ways) in cows {
            insert.execute(params![number, animal.0, digits(ways)])?;
        }
        Ok(number)
    }

    /// Adds a note about a draw.
    ///
    /// # Errors
    /// [`Fault`], also where it is closed a second time.
    pub fn insert_lot_note(&self, lot: i64, note: &LotNote) -> Result<(), Fault> {
        let LotNote { what, day, who, at_ms, why } = note;
        let row = params![lot, *what as u8, day.0, who, at_ms, why];
        self.conn.prepare_cached(queries::INSERT_LOT_NOTE)?.execute(row)?;
        Ok(())
    }

    /// The draws of a herd, in the order in which they were made.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn lots(&self, herd: HerdId) -> Result<Vec<KeptLot>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::LOTS)?;
        let mut rows = statement.query([herd.0])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let mut lot = of_row(row)?;
            lot.cows = self.lot_cows(lot.lot)?;
            let notes = self.lot_notes(lot.lot)?;
            all.push(KeptLot { lot, notes });
        }
        Ok(all)
    }

    fn lot_cows(&self, lot: i64) -> Result<Vec<(AnimalId, Ways)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::LOT_COWS)?;
        let mut rows = statement.query([lot])?;
        let mut cows = Vec::new();
        while let Some(row) = rows.next()? {
            let ways = numbers(&row.get::<_, String>(1)?)?;
            let ways = Ways::try_from(ways).map_err(|_| stored("ways of a cow"))?;
            cows.push((AnimalId(row.get(0)?), ways));
        }
        Ok(cows)
    }

    fn lot_notes(&self, lot: i64) -> Result<Vec<LotNote>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::LOT_NOTES)?;
        let mut rows = statement.query([lot])?;
        let mut notes = Vec::new();
        while let Some(row) = rows.next()? {
            let what = match row.get::<_, u8>(0)? {
                1 => Happened::Shown,
                2 => Happened::Closed,
                _ => return Err(stored("note")),
            };
            let (day, at_ms) = (Day(row.get(1)?), row.get(3)?);
            notes.push(LotNote { what, day, who: row.get(2)?, at_ms, why: row.get(4)? });
        }
        Ok(notes)
    }

    /// Whether a cow of the herd was in the chute on this day or later.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn was_there_since(&self, herd: HerdId, day: Day) -> Result<bool, Fault> {
        let mut statement = self.conn.prepare_cached(queries::STAYS_SINCE)?;
        let many: i64 = statement.query_row([herd.0, i64::from(day.0)], |row| row.get(0))?;
        Ok(many > 0)
    }
}

/// All but the cows.
fn of_row(row: &Row<'_>) -> Result<Lot, Fault> {
    let by = match row.get::<_, u8>(4)? {
        1 => Unit::Cow,
        2 => Unit::Claw,
        _ => return Err(stored("unit")),
    };
    let (ways, sizes): (String, String) = (row.get(5)?, row.get(6)?);
    let design = Design { by, ways: numbers(&ways)?, sizes: numbers(&sizes)?, seed: row.get(7)? };
    Ok(Lot {
        lot: row.get(0)?,
        herd: HerdId(row.get(1)?),
        name: row.get(2)?,
        day: Day(row.get(3)?),
        design,
        cows: Vec::new(),
        sha256: row.get(8)?,
        who: row.get(9)?,
        at_ms: row.get(10)?,
        why: row.get(11)?,
    })
}

fn stored(what: &str) -> Fault {
    Fault::Stored(format!("a draw of trial ways has a {what} of no kind there is"))
}

fn digits(numbers: &[u8]) -> String {
    numbers.iter().map(u8::to_string).collect()
}

fn numbers(digits: &str) -> Result<Vec<u8>, Fault> {
    let one = |c: char| c.to_digit(10).and_then(|digit| u8::try_from(digit).ok());
    digits.chars().map(|c| one(c).ok_or_else(|| stored("number"))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Database;
    use hornrule_facts::lot::CLAWS;

    fn lot(herd: HerdId) -> Lot {
        let design = Design {
            by: Unit::Claw,
            ways: vec![1, 2],
            sizes: vec![1, 3],
            seed: "dice: 4 2 6".to_owned(),
        };
        Lot {
            lot: 0,
            herd,
            name: "Alder Brook".to_owned(),
            day: Day(20_515),
            design,
            cows: vec![(AnimalId(12), [1, 2, 2, 1, 1, 2, 1, 2]), (AnimalId(27), [2; CLAWS])],
            sha256: "0".repeat(64),
            who: "Anna".to_owned(),
            at_ms: 1,
            why: "sanding".to_owned(),
        }
    }

    #[test]
    fn a_draw_is_read_back_and_never_changed() {
        let mut herd = Database::in_memory().unwrap();
        let add = |rows: &Rows<'_>| rows.insert_herd("Alder Brook", None, "UTC");
        let id = herd.write::<_, crate::DatabaseError>(add).unwrap();
        let mut made = lot(id);
        let note = |what| LotNote {
            what,
            day: Day(20_520),
            who: "Ben".to_owned(),
            at_ms: 2,
            why: "end".to_owned(),
        };
        made.lot = herd.write::<_, crate::DatabaseError>(|rows| rows.insert_lot(&made)).unwrap();
        let kept = |herd: &Database| herd.read(|rows| rows.lots(id)).unwrap();
        assert_eq!(kept(&herd), [KeptLot { lot: made.clone(), notes: vec![] }]);
        assert!(kept(&herd)[0].holds_on(Day(99_999)) && !kept(&herd)[0].holds_on(Day(20_514)));
        for what in [Happened::Shown, Happened::Shown, Happened::Closed] {
            let add = |rows: &Rows<'_>| rows.insert_lot_note(made.lot, &note(what));
            herd.write::<_, crate::DatabaseError>(add).unwrap();
        }
        let twice = |rows: &Rows<'_>| rows.insert_lot_note(made.lot, &note(Happened::Closed));
        assert!(herd.write::<_, crate::DatabaseError>(twice).is_err(), "closed once");
        let all = kept(&herd);
        assert_eq!((all[0].closed(), all[0].looks().count()), (Some(Day(20_520)), 2));
        assert!(all[0].holds_on(Day(20_520)) && !all[0].holds_on(Day(20_521)));
        for change in [
            "UPDATE lot SET seed = 'x'",
            "DELETE FROM lot",
            "UPDATE lot_cow SET ways = '11111111'",
            "DELETE FROM lot_cow",
            "UPDATE lot_note SET who = 'x'",
            "DELETE FROM lot_note",
        ] {
            assert!(herd.conn.execute(change, []).is_err(), "{change}");
        }
        assert_eq!(kept(&herd), all);
        assert!(!herd.read(|rows| rows.was_there_since(id, Day(0))).unwrap());
    }
}
