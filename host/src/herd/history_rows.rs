//! Rows for the rules that look over a herd's whole history.

use hornrule_protocol::{Action, Dimension, LogId, Nanometres, Seq};
use rusqlite::Row;

use super::derived_rows::place_of;
use super::inbox_rows::device_of;
use super::report_rows::unknown;
use super::{AnimalId, Day, Fault, HerdId, Rows, queries};
use crate::intake::history::{Acted, Checks, Measure, Met, Units};

/// Device, log, number, day and cow: the first five columns.
fn met_of(row: &Row<'_>) -> rusqlite::Result<Met> {
    Ok(Met {
        device: device_of(row, 0)?,
        log: LogId(row.get(1)?),
        seq: Seq(row.get(2)?),
        day: Day(row.get(3)?),
        animal: AnimalId(row.get(4)?),
    })
}

impl Rows<'_> {
    /// Every stay of every cow of a herd.
    pub(crate) fn presences(&self, herd: HerdId) -> Result<Vec<Met>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::PRESENCES)?;
        let met = statement.query_map([herd.0], met_of)?;
        Ok(met.collect::<Result<_, _>>()?)
    }

    /// How often a handheld's calliper was set to which unit, by day.
    pub(crate) fn units(&self, herd: HerdId) -> Result<Vec<Units>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::UNITS_BY_DAY)?;
        let units = statement.query_map([herd.0], |row| {
            Ok(Units {
                device: device_of(row, 0)?,
                log: LogId(row.get(1)?),
                day: Day(row.get(2)?),
                millimetre: row.get(3)?,
                inch: row.get(4)?,
                first_millimetre: Seq(row.get(5)?),
                first_inch: Seq(row.get(6)?),
            })
        })?;
        Ok(units.collect::<Result<_, _>>()?)
    }

    /// How many lengths were taken without a passed check of the calliper, by day.
    pub(crate) fn checks(&self, herd: HerdId) -> Result<Vec<Checks>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::CHECKS_BY_DAY)?;
        let checks = statement.query_map([herd.0], |row| {
            Ok(Checks {
                device: device_of(row, 0)?,
                log: LogId(row.get(1)?),
                day: Day(row.get(2)?),
                readings: row.get(3)?,
                unchecked: row.get(4)?,
                failed: row.get(5)?,
                first_unchecked: Seq(row.get(6)?),
            })
        })?;
        Ok(checks.collect::<Result<_, _>>()?)
    }

    /// Everything said of blocks and healing, in the order of time.
    pub(crate) fn acts(&self, herd: HerdId) -> Result<Vec<Acted>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::ACTS)?;
        let mut rows = statement.query([herd.0])?;
        let mut acts = Vec::new();
        while let Some(row) = rows.next()? {
            let code = row.get(8)?;
            acts.push(Acted {
                met: met_of(row)?,
                place: place_of(row, 5, 6)?,
                at_ms: row.get(7)?,
                action: Action::from_code(code).ok_or_else(|| unknown("action", code))?,
            });
        }
        Ok(acts)
    }

    /// Every length of a claw, by cow, claw and dimension, then in the order of time.
    pub(crate) fn measures(&self, herd: HerdId) -> Result<Vec<Measure>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::MEASURES)?;
        let mut rows = statement.query([herd.0])?;
        let mut measures = Vec::new();
        while let Some(row) = rows.next()? {
            let code = row.get(8)?;
            measures.push(Measure {
                met: met_of(row)?,
                presence: Seq(row.get(11)?),
                place: place_of(row, 5, 6)?,
                at_ms: row.get(7)?,
                dimension: Dimension::from_code(code).ok_or_else(|| unknown("dimension", code))?,
                length: Nanometres(row.get(9)?),
                trimmed: row.get(10)?,
            });
        }
        Ok(measures)
    }

    /// When a lesion was first found, by cow and foot.
    pub(crate) fn first_findings(
        &self,
        herd: HerdId,
    ) -> Result<std::collections::BTreeMap<(AnimalId, u8), i64>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::FIRST_FINDINGS)?;
        let found = statement
            .query_map([herd.0], |row| Ok(((AnimalId(row.get(0)?), row.get(1)?), row.get(2)?)))?;
        Ok(found.collect::<Result<_, _>>()?)
    }
}
