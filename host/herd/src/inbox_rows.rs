//! Rows of the inbox.

use hornrule_protocol::{Boot, DeviceId, LogId, Sealed, Seq, Uptime};
use rusqlite::{OptionalExtension, Row, params};

use super::{Fault, Rows, queries};
use crate::inbox::{Anchor, PullId, PullStart, Stored};

/// The database has signed 64-bit numbers only; the bits stay the same.
pub(super) fn device_number(device: DeviceId) -> i64 {
    device.0.cast_signed()
}

pub(super) fn device_of(row: &Row<'_>, column: usize) -> rusqlite::Result<DeviceId> {
    Ok(DeviceId(row.get::<_, i64>(column)?.cast_unsigned()))
}

impl Rows<'_> {
    pub(crate) fn insert_pull(&self, start: &PullStart) -> Result<PullId, Fault> {
        let [major, minor, patch] = start.firmware;
        let mut statement = self.conn.prepare_cached(queries::INSERT_PULL)?;
        let row = params![
            device_number(start.device),
            start.log.0,
            major,
            minor,
            patch,
            start.source,
            start.started_ms
        ];
        Ok(PullId(statement.query_row(row, |row| row.get(0))?))
    }

    /// Which log a pull reads.
    pub(crate) fn pull_log(&self, pull: PullId) -> Result<Option<(DeviceId, LogId)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::PULL_LOG)?;
        let found =
            statement.query_row([pull.0], |row| Ok((device_of(row, 0)?, LogId(row.get(1)?))));
        Ok(found.optional()?)
    }

    pub(crate) fn count_pull(&self, pull: PullId, stored: &Stored) -> Result<(), Fault> {
        let mut statement = self.conn.prepare_cached(queries::COUNT_PULL)?;
        statement.execute((stored.new, stored.known, stored.conflicts, pull.0))?;
        Ok(())
    }

    pub(crate) fn end_pull(&self, pull: PullId, ended_ms: i64) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::END_PULL)?.execute((ended_ms, pull.0))?;
        Ok(())
    }

    /// A sealed record.
    pub fn sealed(&self, device: DeviceId, log: LogId, seq: Seq) -> Result<Option<Sealed>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::SEALED)?;
        let rows = statement.query((device_number(device), log.0, seq.0))?;
        Ok(sealed_rows(rows)?.pop().map(|(_, sealed)| sealed))
    }

    pub(crate) fn replace_sealed(
        &self,
        (device, log, seq): (DeviceId, LogId, Seq),
        sealed: &Sealed,
        pull: PullId,
    ) -> Result<(), Fault> {
        let row = (sealed.as_bytes(), pull.0, device_number(device), log.0, seq.0);
        self.conn.prepare_cached(queries::REPLACE_SEALED)?.execute(row)?;
        Ok(())
    }

    pub(crate) fn insert_sealed(
        &self,
        (device, log, seq): (DeviceId, LogId, Seq),
        sealed: &Sealed,
        pull: PullId,
    ) -> Result<(), Fault> {
        let row = (device_number(device), log.0, seq.0, sealed.as_bytes(), pull.0);
        self.conn.prepare_cached(queries::INSERT_SEALED)?.execute(row)?;
        Ok(())
    }

    pub(crate) fn insert_conflict(
        &self,
        (device, log, seq): (DeviceId, LogId, Seq),
        sealed: &Sealed,
        pull: PullId,
    ) -> Result<(), Fault> {
        let row = (device_number(device), log.0, seq.0, sealed.as_bytes(), pull.0);
        self.conn.prepare_cached(queries::INSERT_CONFLICT)?.execute(row)?;
        Ok(())
    }

    /// How many contradicting records of a log are kept.
    pub(crate) fn conflicts(&self, device: DeviceId, log: LogId) -> Result<u32, Fault> {
        let mut statement = self.conn.prepare_cached(queries::CONFLICTS)?;
        Ok(statement.query_row((device_number(device), log.0), |row| row.get(0))?)
    }

    /// Joins a run of accounted numbers to those it overlaps or touches; says whether that added
    /// any number.
    pub fn cover(
        &self,
        device: DeviceId,
        log: LogId,
        (from, through): (Seq, Seq),
    ) -> Result<bool, Fault> {
        // Wider by one on both sides: runs that touch become one.
        let near = (device_number(device), log.0, through.next().0, from.previous().0);
        let (mut first, mut last) = (from.0, through.0);
        let mut known = false;
        let mut statement = self.conn.prepare_cached(queries::COVERED_NEAR)?;
        let mut rows = statement.query(near)?;
        while let Some(row) = rows.next()? {
            let (near_first, near_last) = (row.get(0)?, row.get(1)?);
            known |= near_first <= from.0 && through.0 <= near_last;
            first = first.min(near_first);
            last = last.max(near_last);
        }
        if known {
            return Ok(false);
        }
        self.conn.prepare_cached(queries::DELETE_COVERED)?.execute(near)?;
        let row = (device_number(device), log.0, first, last);
        self.conn.prepare_cached(queries::INSERT_COVERED)?.execute(row)?;
        Ok(true)
    }

    /// The runs of accounted numbers, ascending.
    pub fn covered(&self, device: DeviceId, log: LogId) -> Result<Vec<(Seq, Seq)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::COVERED)?;
        let runs = statement.query_map((device_number(device), log.0), |row| {
            Ok((Seq(row.get(0)?), Seq(row.get(1)?)))
        })?;
        Ok(runs.collect::<Result<_, _>>()?)
    }

    pub(crate) fn cursor(&self, device: DeviceId, log: LogId) -> Result<Seq, Fault> {
        // A log kept aside begins where it parts from the other.
        let first = self.kept_aside(device, log)?.map_or(Seq::FIRST, |(_, first)| first);
        let mut statement = self.conn.prepare_cached(queries::CURSOR)?;
        let last = statement.query_row((device_number(device), log.0, first.0), |row| row.get(0));
        Ok(last.optional()?.map_or(Seq::NONE, Seq))
    }

    /// Every log of which anything is here, without those kept aside that nobody took in.
    pub fn logs(&self) -> Result<Vec<(DeviceId, LogId)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::LOGS)?;
        let logs = statement.query_map([], |row| Ok((device_of(row, 0)?, LogId(row.get(1)?))))?;
        Ok(logs.collect::<Result<_, _>>()?)
    }

    /// The numbers of all sealed records of a log, ascending.
    pub fn seqs(&self, device: DeviceId, log: LogId) -> Result<Vec<Seq>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::SEQS)?;
        let seqs =
            statement.query_map((device_number(device), log.0), |row| Ok(Seq(row.get(0)?)))?;
        Ok(seqs.collect::<Result<_, _>>()?)
    }

    pub(crate) fn insert_anchor(
        &self,
        device: DeviceId,
        log: LogId,
        anchor: &Anchor,
        pull: PullId,
    ) -> Result<(), Fault> {
        let row = params![
            device_number(device),
            log.0,
            anchor.boot.0,
            anchor.uptime.0.cast_signed(),
            anchor.unix_ms,
            anchor.round_trip_ms,
            pull.0
        ];
        self.conn.prepare_cached(queries::INSERT_ANCHOR)?.execute(row)?;
        Ok(())
    }

    /// The anchors of a log, by boot and uptime.
    pub fn anchors(&self, device: DeviceId, log: LogId) -> Result<Vec<Anchor>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::ANCHORS)?;
        let anchors = statement.query_map((device_number(device), log.0), |row| {
            Ok(Anchor {
                boot: Boot(row.get(0)?),
                uptime: Uptime(row.get::<_, i64>(1)?.cast_unsigned()),
                unix_ms: row.get(2)?,
                round_trip_ms: row.get(3)?,
            })
        })?;
        Ok(anchors.collect::<Result<_, _>>()?)
    }

    /// The sealed records from this number on, ascending.
    pub fn sealed_from(
        &self,
        device: DeviceId,
        log: LogId,
        from: Seq,
    ) -> Result<Vec<(Seq, Sealed)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::SEALED_FROM)?;
        let rows = statement.query((device_number(device), log.0, from.0))?;
        sealed_rows(rows)
    }

    /// Up to `limit` sealed records below this number, descending.
    pub fn sealed_before(
        &self,
        device: DeviceId,
        log: LogId,
        before: Seq,
        limit: u32,
    ) -> Result<Vec<(Seq, Sealed)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::SEALED_BEFORE)?;
        let rows = statement.query((device_number(device), log.0, before.0, limit))?;
        sealed_rows(rows)
    }

    /// Up to `limit` sealed records of these numbers, ascending.
    pub fn sealed_within(
        &self,
        (device, log): (DeviceId, LogId),
        (from, through): (Seq, Seq),
        limit: u32,
    ) -> Result<Vec<(Seq, Sealed)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::SEALED_WITHIN)?;
        let key = (device_number(device), log.0, from.0, through.0, limit);
        let rows = statement.query(key)?;
        sealed_rows(rows)
    }

    /// When the pull that brought a record began, by the office's clock.
    pub fn came(&self, device: DeviceId, log: LogId, seq: Seq) -> Result<i64, Fault> {
        let mut statement = self.conn.prepare_cached(queries::CAME)?;
        Ok(statement.query_row((device_number(device), log.0, seq.0), |row| row.get(0))?)
    }

    /// The highest number of a log that is here; `NONE` for none.
    pub fn last_seq(&self, device: DeviceId, log: LogId) -> Result<Seq, Fault> {
        let mut statement = self.conn.prepare_cached(queries::LAST_SEQ)?;
        Ok(Seq(statement.query_row((device_number(device), log.0), |row| row.get(0))?))
    }

    /// The lowest number from this one on that is here; `NONE` for none.
    pub fn first_seq_from(&self, device: DeviceId, log: LogId, from: Seq) -> Result<Seq, Fault> {
        let mut statement = self.conn.prepare_cached(queries::FIRST_SEQ_FROM)?;
        let key = (device_number(device), log.0, from.0);
        Ok(Seq(statement.query_row(key, |row| row.get(0))?))
    }

    /// Through which record a log is derived.
    pub fn derived(&self, device: DeviceId, log: LogId) -> Result<Seq, Fault> {
        let mut statement = self.conn.prepare_cached(queries::DERIVED)?;
        let through = statement.query_row((device_number(device), log.0), |row| row.get(0));
        Ok(through.optional()?.map_or(Seq::NONE, Seq))
    }

    /// Notes how far a log is derived.
    pub fn set_derived(&self, device: DeviceId, log: LogId, through: Seq) -> Result<(), Fault> {
        let row = (device_number(device), log.0, through.0);
        self.conn.prepare_cached(queries::SET_DERIVED)?.execute(row)?;
        Ok(())
    }

    /// Says that from `seq` on a log is no longer derived.
    pub fn lower_derived(&self, device: DeviceId, log: LogId, seq: Seq) -> Result<(), Fault> {
        let row = (seq.previous().0, device_number(device), log.0);
        self.conn.prepare_cached(queries::LOWER_DERIVED)?.execute(row)?;
        Ok(())
    }
}

fn sealed_rows(mut rows: rusqlite::Rows<'_>) -> Result<Vec<(Seq, Sealed)>, Fault> {
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let seq = Seq(row.get(0)?);
        let bytes = row.get_ref(1)?.as_blob().map_err(rusqlite::Error::from)?;
        let sealed = Sealed::from_bytes(bytes)
            .map_err(|e| Fault::Stored(format!("sealed record {} cannot be: {e}", seq.0)))?;
        found.push((seq, sealed));
    }
    Ok(found)
}
