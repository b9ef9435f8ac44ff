//! Rows of logs kept aside, and of what a person said of them.

use hornrule_protocol::{DeviceId, LogId, Seq};
use rusqlite::{OptionalExtension, params};

use super::inbox_rows::{device_number, device_of};
use super::{Fault, Rows, queries};
use crate::inbox::PullId;
use crate::inbox::aside::{Aside, Ruling};

impl Rows<'_> {
    pub(crate) fn insert_aside(
        &self,
        (device, log): (DeviceId, LogId),
        of: LogId,
        first: Seq,
        pull: PullId,
    ) -> Result<(), Fault> {
        let row = (device_number(device), log.0, of.0, first.0, pull.0);
        self.conn.prepare_cached(queries::INSERT_ASIDE)?.execute(row)?;
        Ok(())
    }

    /// Of a log that is kept aside: the log that the handheld names, and the first record that differs
    /// from that one's.
    pub fn kept_aside(&self, device: DeviceId, log: LogId) -> Result<Option<(LogId, Seq)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::ASIDE)?;
        let row = statement.query_row((device_number(device), log.0), |row| {
            Ok((LogId(row.get(0)?), Seq(row.get(1)?)))
        });
        Ok(row.optional()?)
    }

    /// The log under whose number a handheld has sealed these records.
    pub fn sealed_under(&self, device: DeviceId, log: LogId) -> Result<LogId, Fault> {
        Ok(self.kept_aside(device, log)?.map_or(log, |(of, _)| of))
    }

    /// Every log kept aside, in the order in which they were found.
    pub(crate) fn asides(&self) -> Result<Vec<Aside>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::ASIDES)?;
        let found = statement.query_map([], |row| {
            Ok(Aside {
                device: device_of(row, 0)?,
                log: LogId(row.get(1)?),
                of: LogId(row.get(2)?),
                first: Seq(row.get(3)?),
                records: row.get(4)?,
                through: Seq(row.get(5)?),
                ruling: None,
            })
        })?;
        let mut all: Vec<Aside> = found.collect::<Result<_, _>>()?;
        for one in &mut all {
            one.ruling = self.aside_ruling(one.device, one.log)?;
        }
        Ok(all)
    }

    /// What was said last of a log kept aside.
    pub(crate) fn aside_ruling(
        &self,
        device: DeviceId,
        log: LogId,
    ) -> Result<Option<Ruling>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::ASIDE_RULINGS)?;
        let row = statement.query_row((device_number(device), log.0), |row| {
            Ok(Ruling {
                takes: row.get(0)?,
                who: row.get(1)?,
                at_ms: row.get(2)?,
                why: row.get(3)?,
            })
        });
        Ok(row.optional()?)
    }

    /// Notes what a person said of a log kept aside.
    pub fn insert_aside_ruling(
        &self,
        (device, log): (DeviceId, LogId),
        ruling: &Ruling,
    ) -> Result<(), Fault> {
        let Ruling { takes, who, at_ms, why } = ruling;
        let row = params![device_number(device), log.0, takes, who, at_ms, why];
        self.conn.prepare_cached(queries::INSERT_ASIDE_RULING)?.execute(row)?;
        Ok(())
    }
}
