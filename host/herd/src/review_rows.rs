//! Rows for a person who reviews what is held and flagged.

use hornrule_protocol::{DeviceId, LogId, Place, Sealed, Seq};

use super::derived_rows::place_of;
use super::inbox_rows::device_of;
use super::remark_rows::severity_of;
use super::{AnimalId, Database, DatabaseError, Day, Fault, HerdId, Rows, queries};
use hornrule_facts::Severity;

/// A remark, with where its record stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noted {
    /// Handheld, log and number of the record.
    pub key: (DeviceId, LogId, Seq),
    /// The herd, where it is known.
    pub herd: Option<HerdId>,
    /// The rule that fired, or the word for what was decided.
    pub rule: String,
    /// What became of the record.
    pub severity: Severity,
    /// The day, where it is known.
    pub day: Option<Day>,
    /// The cow, where she is known.
    pub animal: Option<AnimalId>,
    /// The claw or foot.
    pub place: Place,
    /// Why and what to do.
    pub sentence: String,
}

impl Rows<'_> {
    /// Every remark, by herd, day and record.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn noted(&self) -> Result<Vec<Noted>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::REVIEW)?;
        let mut rows = statement.query([])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let herd: i64 = row.get(3)?;
            all.push(Noted {
                key: (device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?)),
                herd: (herd != 0).then_some(HerdId(herd)),
                rule: row.get(4)?,
                severity: severity_of(row.get(5)?),
                day: row.get::<_, Option<i32>>(6)?.map(Day),
                animal: row.get::<_, Option<i64>>(7)?.map(AnimalId),
                place: place_of(row, 8, 9)?,
                sentence: row.get(10)?,
            });
        }
        Ok(all)
    }
}

impl Database {
    /// Every remark, by herd, day and record.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn noted(&self) -> Result<Vec<Noted>, DatabaseError> {
        self.read(|rows| rows.noted())
    }

    /// The sealed records with these numbers of a log, as far as they are here.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn sealed_among(
        &self,
        device: DeviceId,
        log: LogId,
        numbers: std::ops::RangeInclusive<u32>,
    ) -> Result<Vec<Sealed>, DatabaseError> {
        self.read(|rows| {
            let found = numbers.map(|number| rows.sealed(device, log, Seq(number)));
            found.filter_map(Result::transpose).collect()
        })
    }
}
