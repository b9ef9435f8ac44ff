//! Rows of what the office says to the chute: cows that are not to be trimmed, and what trial ways of gluing
//! are called.

use hornrule_facts::{TrimMark, number_after};
use rusqlite::params;

use super::{AnimalId, Database, DatabaseError, Day, Fault, HerdId, Rows, queries};

impl Rows<'_> {
    fn insert_trim_mark(&self, herd: HerdId, mark: &TrimMark) -> Result<(), Fault> {
        let TrimMark { animal, day, holds, who, at_ms, why } = mark;
        self.conn.prepare_cached(queries::INSERT_TRIM_MARK)?.execute(params![
            herd.0,
            animal.0,
            day.0,
            i64::from(*holds),
            who,
            at_ms,
            why
        ])?;
        Ok(())
    }

    /// All marks of a herd, in the order in which they were made.
    fn trim_marks(&self, herd: HerdId) -> Result<Vec<TrimMark>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::TRIM_MARKS)?;
        let rows = statement.query_map([herd.0], |row| {
            Ok(TrimMark {
                animal: AnimalId(row.get(0)?),
                day: Day(row.get(1)?),
                holds: row.get::<_, i64>(2)? == 1,
                who: row.get(3)?,
                at_ms: row.get(4)?,
                why: row.get(5)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

impl Database {
    /// Adds a mark.
    ///
    /// # Errors
    /// [`DatabaseError`]; nothing is added then.
    pub fn mark_trim(&mut self, herd: HerdId, mark: &TrimMark) -> Result<(), DatabaseError> {
        self.write(|rows| rows.insert_trim_mark(herd, mark))
    }

    /// The marks that hold on a day, each under the number that the cow has then.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn not_to_be_trimmed(&self, herd: HerdId, on: Day) -> Result<Vec<TrimMark>, DatabaseError> {
        let (marks, renumbered) =
            self.read(|rows| Ok((rows.trim_marks(herd)?, rows.renumbered(herd)?)))?;
        let mut newest: Vec<TrimMark> = Vec::new();
        for mut mark in marks.into_iter().filter(|mark| mark.day <= on) {
            mark.animal = number_after(&renumbered, mark.animal, mark.day, on);
            newest.retain(|older| older.animal != mark.animal);
            newest.push(mark);
        }
        newest.retain(|mark| mark.holds);
        newest.sort_by_key(|mark| mark.animal);
        Ok(newest)
    }

    /// What trial ways are called: way 1 to 9, name.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn trial_ways(&self) -> Result<Vec<(u8, String)>, DatabaseError> {
        self.read(|rows| {
            let mut statement = rows.conn.prepare_cached(queries::TRIAL_WAYS)?;
            let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Calls a trial way so; without a name it has none any more.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn name_trial_way(&mut self, way: u8, name: Option<&str>) -> Result<(), DatabaseError> {
        self.write(|rows| {
            match name {
                Some(name) => {
                    rows.conn.prepare_cached(queries::SET_TRIAL_WAY)?.execute(params![way, name])?
                }
                None => rows.conn.prepare_cached(queries::CLEAR_TRIAL_WAY)?.execute([way])?,
            };
            Ok(())
        })
    }
}
