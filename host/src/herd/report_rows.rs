//! Rows for reports: one farm, one day.

use hornrule_protocol::record::{Done, Finding, UnitMode};
use hornrule_protocol::{
    Action, DeviceId, Dimension, Lesion, LogId, Nanometres, Place, Scale, Seq, Zone,
};
use rusqlite::Row;

use super::derived_rows::place_of;
use super::inbox_rows::device_of;
use super::{AnimalId, Day, Fault, HerdId, Rows, queries};
use crate::intake::Severity;

/// A stay of a cow in the chute.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stay {
    pub(crate) animal: AnimalId,
    pub(crate) at_ms: i64,
    pub(crate) until_ms: i64,
    /// Whether the office's clock was ever seen beside this boot.
    pub(crate) anchored: bool,
}

/// One thing said of a cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Spoken<T> {
    pub(crate) key: (DeviceId, LogId, Seq),
    pub(crate) animal: AnimalId,
    pub(crate) place: Place,
    pub(crate) what: T,
}

/// Things said of one cow, each with its day.
type Dated<T> = Vec<(Day, Spoken<T>)>;

/// A length in a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Measured {
    pub(crate) dimension: Dimension,
    pub(crate) length: Nanometres,
    pub(crate) unit: UnitMode,
    pub(crate) trimmed: bool,
    pub(crate) gauge_ok: Option<bool>,
}

/// A reading of a gauge block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct GaugeRow {
    pub(crate) device: DeviceId,
    pub(crate) length: Nanometres,
    pub(crate) passed: Option<bool>,
}

/// A remark in a report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RemarkRow {
    pub(crate) rule: String,
    pub(crate) severity: Severity,
    pub(crate) animal: Option<AnimalId>,
    pub(crate) sentence: String,
}

pub(super) fn unknown(what: &str, code: u8) -> Fault {
    Fault::Stored(format!("{what} {code} stands in no code table"))
}

fn spoken<T>(row: &Row<'_>, what: T) -> Result<Spoken<T>, Fault> {
    Ok(Spoken {
        key: (device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?)),
        animal: AnimalId(row.get(3)?),
        place: place_of(row, 4, 5)?,
        what,
    })
}

fn measured(row: &Row<'_>) -> Result<Measured, Fault> {
    let code = row.get(6)?;
    let inch: bool = row.get(8)?;
    Ok(Measured {
        dimension: Dimension::from_code(code).ok_or_else(|| unknown("dimension", code))?,
        length: Nanometres(row.get(7)?),
        unit: if inch { UnitMode::Inch } else { UnitMode::Millimetre },
        trimmed: row.get(9)?,
        gauge_ok: row.get(10)?,
    })
}

/// Foot, side, lesion, grade and zone, the first of them at `at`.
pub(super) fn finding_of(row: &Row<'_>, at: usize) -> Result<Finding, Fault> {
    let code = row.get(at + 2)?;
    Ok(Finding {
        lesion: Lesion::from_code(code).ok_or_else(|| unknown("lesion", code))?,
        place: place_of(row, at, at + 1)?,
        grade: row.get(at + 3)?,
        zone: row.get::<_, Option<u8>>(at + 4)?.and_then(Zone::new),
    })
}

/// Foot, side, action and days, the first of them at `at`.
pub(super) fn done_of(row: &Row<'_>, at: usize) -> Result<Done, Fault> {
    let code = row.get(at + 2)?;
    Ok(Done {
        action: Action::from_code(code).ok_or_else(|| unknown("action", code))?,
        place: place_of(row, at, at + 1)?,
        days: row.get(at + 3)?,
    })
}

fn finding(row: &Row<'_>) -> Result<Finding, Fault> {
    finding_of(row, 4)
}

fn done(row: &Row<'_>) -> Result<Done, Fault> {
    done_of(row, 4)
}

fn score(row: &Row<'_>) -> Result<(Scale, u8), Fault> {
    let code = row.get(6)?;
    let scale = Scale::from_code(code).ok_or_else(|| unknown("scale", code))?;
    Ok((scale, row.get(7)?))
}

impl Rows<'_> {
    /// Herd, day and how many cows, newest first.
    pub(crate) fn visit_days(&self) -> Result<Vec<(HerdId, Day, u32)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::VISIT_DAYS)?;
        let days = statement
            .query_map([], |row| Ok((HerdId(row.get(0)?), Day(row.get(1)?), row.get(2)?)))?;
        Ok(days.collect::<Result<_, _>>()?)
    }

    /// Days on which a cow was in the chute, the oldest first.
    pub(crate) fn cow_days(&self, herd: HerdId, animal: AnimalId) -> Result<Vec<Day>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::COW_STAYS)?;
        let days = statement.query_map((herd.0, animal.0), |row| Ok(Day(row.get(0)?)))?;
        Ok(days.collect::<Result<_, _>>()?)
    }

    fn of_cow<T>(
        &self,
        query: &str,
        (herd, animal): (HerdId, AnimalId),
        what: fn(&Row<'_>) -> Result<T, Fault>,
        day: usize,
    ) -> Result<Dated<T>, Fault> {
        let mut statement = self.conn.prepare_cached(query)?;
        let mut rows = statement.query((herd.0, animal.0))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push((Day(row.get(day)?), spoken(row, what(row)?)?));
        }
        Ok(all)
    }

    pub(crate) fn cow_found(&self, cow: (HerdId, AnimalId)) -> Result<Dated<Finding>, Fault> {
        self.of_cow(queries::COW_FOUND, cow, finding, 9)
    }

    pub(crate) fn cow_done(&self, cow: (HerdId, AnimalId)) -> Result<Dated<Done>, Fault> {
        self.of_cow(queries::COW_DONE, cow, done, 8)
    }

    pub(crate) fn cow_measured(&self, cow: (HerdId, AnimalId)) -> Result<Dated<Measured>, Fault> {
        self.of_cow(queries::COW_MEASURED, cow, measured, 11)
    }

    pub(crate) fn cow_scored(&self, cow: (HerdId, AnimalId)) -> Result<Dated<(Scale, u8)>, Fault> {
        self.of_cow(queries::COW_SCORED, cow, score, 8)
    }

    /// The last days of visits before a day, the newest first.
    pub(crate) fn days_before(
        &self,
        herd: HerdId,
        day: Day,
        most: usize,
    ) -> Result<Vec<Day>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::DAYS_BEFORE)?;
        // Asked for by a handful.
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        let days = statement.query_map((herd.0, day.0, most), |row| Ok(Day(row.get(0)?)))?;
        Ok(days.collect::<Result<_, _>>()?)
    }

    pub(crate) fn stays(&self, herd: HerdId, day: Day) -> Result<Vec<Stay>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::STAYS)?;
        let stays = statement.query_map((herd.0, day.0), |row| {
            Ok(Stay {
                animal: AnimalId(row.get(3)?),
                at_ms: row.get(4)?,
                until_ms: row.get(5)?,
                anchored: row.get::<_, u8>(7)? == 0,
            })
        })?;
        Ok(stays.collect::<Result<_, _>>()?)
    }

    fn all_spoken<T>(
        &self,
        query: &str,
        (herd, day): (HerdId, Day),
        what: fn(&Row<'_>) -> Result<T, Fault>,
    ) -> Result<Vec<Spoken<T>>, Fault> {
        let mut statement = self.conn.prepare_cached(query)?;
        let mut rows = statement.query((herd.0, day.0))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(spoken(row, what(row)?)?);
        }
        Ok(all)
    }

    pub(crate) fn readings(&self, herd: HerdId, day: Day) -> Result<Vec<Spoken<Measured>>, Fault> {
        self.all_spoken(queries::READINGS, (herd, day), measured)
    }

    pub(crate) fn findings(&self, herd: HerdId, day: Day) -> Result<Vec<Spoken<Finding>>, Fault> {
        self.all_spoken(queries::FINDINGS, (herd, day), finding)
    }

    pub(crate) fn actions(&self, herd: HerdId, day: Day) -> Result<Vec<Spoken<Done>>, Fault> {
        self.all_spoken(queries::ACTIONS, (herd, day), done)
    }

    pub(crate) fn scores(&self, herd: HerdId, day: Day) -> Result<Vec<Spoken<(Scale, u8)>>, Fault> {
        self.all_spoken(queries::SCORES, (herd, day), score)
    }

    /// Readings of gauge blocks on a day by the handhelds that were at this farm that day. A check
    /// made before the visit was keyed stands under the farm before, and counts all the same.
    pub(crate) fn gauges(&self, herd: HerdId, day: Day) -> Result<Vec<GaugeRow>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::GAUGES)?;
        let gauges = statement.query_map((day.0, herd.0), |row| {
            Ok(GaugeRow {
                device: device_of(row, 0)?,
                length: Nanometres(row.get(3)?),
                passed: row.get(4)?,
            })
        })?;
        Ok(gauges.collect::<Result<_, _>>()?)
    }

    pub(crate) fn remarks(&self, herd: HerdId, day: Day) -> Result<Vec<RemarkRow>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::REMARKS)?;
        let remarks = statement.query_map((herd.0, day.0), remark)?;
        Ok(remarks.collect::<Result<_, _>>()?)
    }

    /// Remarks on records that no herd is known for.
    pub(crate) fn unplaced_remarks(&self) -> Result<Vec<RemarkRow>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::UNPLACED_REMARKS)?;
        let remarks = statement.query_map([], remark)?;
        Ok(remarks.collect::<Result<_, _>>()?)
    }
}

pub(super) const fn severity_of(number: u8) -> Severity {
    match number {
        0 => Severity::Flagged,
        1 => Severity::Held,
        _ => Severity::Settled,
    }
}

fn remark(row: &Row<'_>) -> rusqlite::Result<RemarkRow> {
    Ok(RemarkRow {
        rule: row.get(3)?,
        severity: severity_of(row.get(4)?),
        animal: row.get::<_, Option<i64>>(5)?.map(AnimalId),
        sentence: row.get(8)?,
    })
}
