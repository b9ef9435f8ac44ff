//! Rows of what a way of gluing a block was on which days.

use hornrule_facts::{Day, WayFact};
use hornrule_protocol::Nanometres;
use rusqlite::params;

use super::{Database, DatabaseError, Fault, Rows, queries};

impl Rows<'_> {
    /// All facts of all ways, by way and first day.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn way_facts(&self) -> Result<Vec<WayFact>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::WAY_FACTS)?;
        let rows = statement.query_map([], |row| {
            Ok(WayFact {
                way: row.get(0)?,
                since: Day(row.get(1)?),
                through: row.get::<_, Option<i32>>(2)?.map(Day),
                material: row.get(3)?,
                glue: row.get(4)?,
                surface: row.get(5)?,
                height: row.get::<_, Option<i32>>(6)?.map(Nanometres),
                who: row.get(7)?,
                at_ms: row.get(8)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

impl Database {
    /// All facts of all ways, by way and first day.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn way_facts(&self) -> Result<Vec<WayFact>, DatabaseError> {
        self.read(|rows| rows.way_facts())
    }

    /// Notes what a way was from a day on; what was noted of it from that day is replaced.
    ///
    /// # Errors
    /// [`DatabaseError`]; nothing is noted then.
    pub fn set_way_fact(&mut self, fact: &WayFact) -> Result<(), DatabaseError> {
        self.write(|rows| {
            rows.conn.prepare_cached(queries::SET_WAY_FACT)?.execute(params![
                fact.way,
                fact.since.0,
                fact.through.map(|day| day.0),
                fact.material,
                fact.glue,
                fact.surface,
                fact.height.map(|height| height.0),
                fact.who,
                fact.at_ms
            ])?;
            Ok(())
        })
    }

    /// Removes what was noted of a way from a day on; whether there was anything.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn clear_way_fact(&mut self, way: u8, since: Day) -> Result<bool, DatabaseError> {
        self.write(|rows| {
            let mut statement = rows.conn.prepare_cached(queries::CLEAR_WAY_FACT)?;
            Ok(statement.execute((way, since.0))? > 0)
        })
    }
}
