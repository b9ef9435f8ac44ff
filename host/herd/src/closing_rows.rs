//! Rows of duties that the office was told are done.

use hornrule_facts::{AnimalId, Closing, Day, HerdId, Told, number_after, number_before};
use rusqlite::params;

use super::derived_rows::{place_columns, place_of};
use super::{Database, DatabaseError, Fault, Rows, queries};

impl Rows<'_> {
    /// Notes that a duty is done; or, where it does not hold, that what was noted before of this duty,
    /// place and day is taken back.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn insert_closing(&self, one: &Closing, holds: bool) -> Result<(), Fault> {
        let (foot, side) = place_columns(one.place);
        // She is named by the number that she has now, and kept under the one of that day.
        let animal = number_before(&self.renumbered(one.herd)?, one.animal, one.day);
        let animal = animal.ok_or_else(|| {
            let (cow, day) = (one.animal.number(), one.day);
            Fault::Stored(format!("nobody knows which number cow {cow} had on {day}"))
        })?;
        self.conn.prepare_cached(queries::INSERT_CLOSING)?.execute(params![
            one.herd.0,
            animal.0,
            foot,
            side,
            one.what.number(),
            one.day.0,
            one.who,
            one.at_ms,
            one.why,
            holds,
        ])?;
        Ok(())
    }

    /// What was noted of a herd and not taken back, in the order in which it was noted, each under
    /// the number that the cow has now.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn closings(&self, herd: HerdId) -> Result<Vec<Closing>, Fault> {
        let renumbered = self.renumbered(herd)?;
        let mut statement = self.conn.prepare_cached(queries::CLOSINGS)?;
        let mut rows = statement.query([herd.0])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let (animal, what): (_, u8) = (AnimalId(row.get(0)?), row.get(3)?);
            let day = Day(row.get(4)?);
            let animal = number_after(&renumbered, animal, day, Day(i32::MAX));
            all.push(Closing {
                herd,
                animal,
                place: place_of(row, 1, 2)?,
                what: Told::from_number(what)
                    .ok_or_else(|| Fault::Stored(format!("note {what} is of no kind there is")))?,
                day,
                who: row.get(5)?,
                at_ms: row.get(6)?,
                why: row.get(7)?,
            });
        }
        Ok(all)
    }
}

impl Database {
    /// Notes that duties are done: all of them, or none.
    ///
    /// # Errors
    /// [`DatabaseError`]; nothing is noted then.
    pub fn close_duties(&mut self, all: &[Closing]) -> Result<(), DatabaseError> {
        self.write(|rows| all.iter().try_for_each(|one| rows.insert_closing(one, true)))
    }

    /// Takes back what was noted of these duties, places and days: all of them, or none. Nothing is
    /// erased.
    ///
    /// # Errors
    /// [`DatabaseError`]; nothing is taken back then.
    pub fn reopen_duties(&mut self, all: &[Closing]) -> Result<(), DatabaseError> {
        self.write(|rows| all.iter().try_for_each(|one| rows.insert_closing(one, false)))
    }
}
