//! Rows for exports: what was said of a herd over days, each with its time and trust.

use hornrule_protocol::record::{CalliperKind, Done, Finding, UnitMode};
use hornrule_protocol::{
    Action, DeviceId, Dimension, Lesion, LogId, Nanometres, Place, Scale, Seq, Zone,
};
use rusqlite::Row;

use super::derived_rows::place_of;
use super::inbox_rows::device_of;
use super::report_rows::unknown;
use super::{AnimalId, Day, Fault, HerdId, Rows, queries};
use crate::intake::observation::{Certainty, Clip, When};

/// A record's identity: handheld, log, number.
pub type Key = (DeviceId, LogId, Seq);

/// Something said, with when and how sure that is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dated<T> {
    /// Its record.
    pub key: Key,
    /// When, on the wall clock.
    pub when: When,
    /// The day at the farm.
    pub day: Day,
    /// Of whom; `None` for gauge blocks.
    pub animal: Option<AnimalId>,
    /// Where.
    pub place: Place,
    /// What.
    pub what: T,
}

/// The first columns of every text: key, time, day, trust, cow.
fn dated<T>(row: &Row<'_>, place: Place, what: T) -> Result<Dated<T>, Fault> {
    let clock: u8 = row.get(6)?;
    let certainty = match clock {
        0 => Certainty::Anchored,
        1 => Certainty::Bounded,
        other => return Err(unknown("clock", other)),
    };
    let when = When { at_ms: row.get(3)?, uncertainty_ms: row.get(5)?, certainty };
    Ok(Dated {
        key: (device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?)),
        when,
        day: Day(row.get(4)?),
        animal: row.get::<_, Option<i64>>(7)?.map(AnimalId),
        place,
        what,
    })
}

fn clip(row: &Row<'_>) -> Result<Clip, Fault> {
    let code = row.get(10)?;
    Ok(Clip {
        dimension: Dimension::from_code(code).ok_or_else(|| unknown("dimension", code))?,
        length: Nanometres(row.get(11)?),
        unit: match row.get(12)? {
            0u8 => UnitMode::Millimetre,
            1 => UnitMode::Inch,
            other => return Err(unknown("unit", other)),
        },
        kind: match row.get(13)? {
            0u8 => CalliperKind::Sync24,
            1 => CalliperKind::Bcd52,
            2 => CalliperKind::Words48,
            3 => CalliperKind::Nibbles28,
            other => return Err(unknown("calliper kind", other)),
        },
        trimmed: row.get(14)?,
        gauge_ok: row.get(15)?,
    })
}

fn finding(row: &Row<'_>) -> Result<Finding, Fault> {
    let code = row.get(10)?;
    Ok(Finding {
        lesion: Lesion::from_code(code).ok_or_else(|| unknown("lesion", code))?,
        place: place_of(row, 8, 9)?,
        grade: row.get(11)?,
        zone: row.get::<_, Option<u8>>(12)?.and_then(Zone::new),
    })
}

fn done(row: &Row<'_>) -> Result<Done, Fault> {
    let code = row.get(10)?;
    Ok(Done {
        action: Action::from_code(code).ok_or_else(|| unknown("action", code))?,
        place: place_of(row, 8, 9)?,
        days: row.get(11)?,
    })
}

fn score(row: &Row<'_>) -> Result<(Scale, u8), Fault> {
    let code = row.get(10)?;
    Ok((Scale::from_code(code).ok_or_else(|| unknown("scale", code))?, row.get(11)?))
}

/// First and last day, both included.
type Days = (Day, Day);

impl Rows<'_> {
    fn over_days<T>(
        &self,
        query: &str,
        herd: HerdId,
        (from, to): Days,
        what: fn(&Row<'_>) -> Result<T, Fault>,
    ) -> Result<Vec<Dated<T>>, Fault> {
        let mut statement = self.conn.prepare_cached(query)?;
        let mut rows = statement.query((herd.0, from.0, to.0))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(dated(row, place_of(row, 8, 9)?, what(row)?)?);
        }
        Ok(all)
    }

    /// Every stay, with its end in UTC milliseconds.
    pub(crate) fn export_stays(&self, herd: HerdId, days: Days) -> Result<Vec<Dated<i64>>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::EXPORT_STAYS)?;
        let mut rows = statement.query((herd.0, days.0.0, days.1.0))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(dated(row, Place::Cow, row.get(8)?)?);
        }
        Ok(all)
    }

    pub(crate) fn export_readings(
        &self,
        of: HerdId,
        days: Days,
    ) -> Result<Vec<Dated<Clip>>, Fault> {
        self.over_days(queries::EXPORT_READINGS, of, days, clip)
    }

    pub(crate) fn export_findings(
        &self,
        of: HerdId,
        days: Days,
    ) -> Result<Vec<Dated<Finding>>, Fault> {
        self.over_days(queries::EXPORT_FINDINGS, of, days, finding)
    }

    pub(crate) fn export_actions(&self, of: HerdId, days: Days) -> Result<Vec<Dated<Done>>, Fault> {
        self.over_days(queries::EXPORT_ACTIONS, of, days, done)
    }

    pub(crate) fn export_scores(
        &self,
        of: HerdId,
        days: Days,
    ) -> Result<Vec<Dated<(Scale, u8)>>, Fault> {
        self.over_days(queries::EXPORT_SCORES, of, days, score)
    }

    /// Gauge blocks read on those days by handhelds that were at this farm that day.
    pub(crate) fn export_gauges(&self, of: HerdId, days: Days) -> Result<Vec<Dated<Clip>>, Fault> {
        self.over_days(queries::EXPORT_GAUGES, of, days, clip)
    }

    /// Firmware that was seen on a handheld at any pull.
    pub(crate) fn firmwares(&self) -> Result<Vec<(DeviceId, [u8; 3])>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::FIRMWARES)?;
        let seen = statement.query_map([], |row| {
            Ok((device_of(row, 0)?, [row.get(1)?, row.get(2)?, row.get(3)?]))
        })?;
        Ok(seen.collect::<Result<_, _>>()?)
    }
}
