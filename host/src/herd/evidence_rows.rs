//! Everything said of a herd's claws, in the order of time: what statistics are made from.

use std::collections::BTreeSet;

use hornrule_protocol::{DeviceId, LogId, Nanometres, Place, Seq};
use rusqlite::Row;

use super::derived_rows::place_of;
use super::inbox_rows::device_of;
use super::{AnimalId, Day, Fault, Herd, HerdError, HerdId, Rows, queries};

/// One thing said of a claw or foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Said {
    /// Its record.
    pub key: (DeviceId, LogId, Seq),
    /// The herd.
    pub herd: HerdId,
    /// The cow.
    pub animal: AnimalId,
    /// Which claw or foot.
    pub place: Place,
    /// The day.
    pub day: Day,
    /// UTC milliseconds since 1970-01-01.
    pub at_ms: i64,
    /// Her stay in the chute: its record.
    pub presence: Seq,
    /// What.
    pub what: What,
    /// A rule doubts it: too far off to count, or said twice.
    pub doubted: bool,
}

/// What was said, by the numbers of the code tables.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// Done or seen.
    Action(u8),
    /// Found; lesion 0 is sound.
    Finding {
        /// Which.
        lesion: u8,
        /// How bad.
        grade: u8,
    },
    /// Measured.
    Length {
        /// Which dimension.
        dimension: u8,
        /// How long.
        mm: f64,
        /// After the claw was trimmed in this stay.
        trimmed: bool,
    },
}

/// A reading of a gauge block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeSaid {
    /// With which handheld.
    pub device: DeviceId,
    /// The day.
    pub day: Day,
    /// What the calliper showed.
    pub mm: f64,
    /// The block's size and how far off a reading may be, mm, where the office was told.
    pub block: Option<(f64, f64)>,
}

impl Rows<'_> {
    fn said(
        &self,
        herd: HerdId,
        text: &str,
        what: fn(&Row<'_>) -> rusqlite::Result<What>,
    ) -> Result<Vec<Said>, Fault> {
        let mut statement = self.conn.prepare_cached(text)?;
        let mut rows = statement.query([herd.0])?;
        let mut said = Vec::new();
        while let Some(row) = rows.next()? {
            said.push(Said {
                key: (device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?)),
                herd,
                day: Day(row.get(3)?),
                animal: AnimalId(row.get(4)?),
                place: place_of(row, 5, 6)?,
                at_ms: row.get(7)?,
                presence: Seq(row.get(8)?),
                what: what(row)?,
                doubted: false,
            });
        }
        Ok(said)
    }

    fn doubted(&self, herd: HerdId) -> Result<BTreeSet<(DeviceId, LogId, Seq)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::DOUBTED)?;
        let keys = statement.query_map([herd.0], |row| {
            Ok((device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?)))
        })?;
        Ok(keys.collect::<Result<_, _>>()?)
    }

    pub(crate) fn everything_said(&self, herd: HerdId) -> Result<Vec<Said>, Fault> {
        let mut all =
            self.said(herd, queries::SAID_ACTIONS, |row| Ok(What::Action(row.get(9)?)))?;
        all.extend(self.said(herd, queries::SAID_FINDINGS, |row| {
            Ok(What::Finding { lesion: row.get(9)?, grade: row.get(10)? })
        })?);
        all.extend(self.said(herd, queries::SAID_LENGTHS, |row| {
            let mm = Nanometres(row.get(10)?).as_mm();
            Ok(What::Length { dimension: row.get(9)?, mm, trimmed: row.get(11)? })
        })?);
        let doubted = self.doubted(herd)?;
        for one in &mut all {
            one.doubted = doubted.contains(&one.key);
        }
        all.sort_by_key(|one| (one.at_ms, one.key));
        Ok(all)
    }

    fn gauges_said(&self, herd: HerdId) -> Result<Vec<GaugeSaid>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::SAID_GAUGES)?;
        let lengths = statement.query_map([herd.0], |row| {
            let (device, day) = (device_of(row, 0)?, Day(row.get(1)?));
            Ok(GaugeSaid { device, day, mm: Nanometres(row.get(2)?).as_mm(), block: None })
        })?;
        let mut said: Vec<GaugeSaid> = lengths.collect::<Result<_, _>>()?;
        for one in &mut said {
            let handheld = self.handheld(one.device)?;
            let tolerance = handheld.gauge_tolerance.as_mm();
            one.block = handheld.gauge.map(|size| (size.as_mm(), tolerance));
        }
        Ok(said)
    }
}

impl Herd {
    /// Everything said of a herd's claws and feet, in the order of time.
    ///
    /// # Errors
    /// [`HerdError`].
    pub fn said(&self, herd: HerdId) -> Result<Vec<Said>, HerdError> {
        self.read(|rows| rows.everything_said(herd))
    }

    /// Every reading of a gauge block at a herd, mm, in the order of time.
    ///
    /// # Errors
    /// [`HerdError`].
    pub fn gauges_said(&self, herd: HerdId) -> Result<Vec<GaugeSaid>, HerdError> {
        self.read(|rows| rows.gauges_said(herd))
    }
}
