//! Rows of washing and changing gloves and knives: no cow's and no herd's.

use hornrule_protocol::{DeviceId, LogId, Seq};

use super::inbox_rows::{device_number, device_of};
use super::{Day, Fault, HerdId, Rows, queries};

/// A handheld that came from another farm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Arrived {
    /// Which.
    pub device: DeviceId,
    /// When washing was keyed last between the two farms, UTC milliseconds; `None`: not keyed.
    pub washed_ms: Option<i64>,
}

impl Rows<'_> {
    /// Writes that somebody washed.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn insert_wash(
        &self,
        device: DeviceId,
        log: LogId,
        (seq, at_ms): (Seq, i64),
    ) -> Result<(), Fault> {
        let row = (device_number(device), log.0, seq.0, at_ms);
        self.conn.prepare_cached(queries::INSERT_WASH)?.execute(row)?;
        Ok(())
    }

    /// The handhelds that were at a farm on a day and at another farm before.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn arrived(&self, herd: HerdId, day: Day) -> Result<Vec<Arrived>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::WASHED)?;
        let mut rows = statement.query((herd.0, day.0))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(Arrived { device: device_of(row, 0)?, washed_ms: row.get(3)? });
        }
        Ok(all)
    }
}
