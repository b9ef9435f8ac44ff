//! The inbox: what came from the handhelds, byte for byte, and how far it reaches.
//!
//! ```text
//! Batch { from, through, sealed } --one transaction--> sealed records + covered numbers
//!
//!   covered:  1 ======= 57      61 == 64          cursor = 57: through here all is accounted for
//!                   ^ 23 has no record: lost on the handheld       58-60 were never asked for
//! ```
//!
//! A record's identity is (device, log, number). The same bytes again are known and change
//! nothing, so pulls may be repeated, cut off and run in any order (promise P4). Other bytes under
//! a taken number are kept beside and counted as a conflict; a whole record goes before a damaged
//! one.
//! Damaged records and those of a newer version are kept like all others: this room looks at number
//! and checksum, never inside.

pub mod aside;
mod same;

use hornrule_protocol::{Boot, DeviceId, LogId, Sealed, Seq, Uptime};

use crate::{Database, DatabaseError, Fault, Rows};
use hornrule_facts::Batch;

/// Which session of pulling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PullId(pub i64);

/// What is known when a session begins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PullStart {
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// Its firmware: major, minor, patch.
    pub firmware: [u8; 3],
    /// The port or file it is read from.
    pub source: String,
    /// UTC milliseconds since 1970-01-01.
    pub started_ms: i64,
}

/// What became of a batch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stored {
    /// Records that were not here.
    pub new: u32,
    /// Records that were here, byte for byte.
    pub known: u32,
    /// Records whose number is taken by other bytes, or lies outside the batch. They are kept
    /// beside the others, and no rule ever reads them.
    pub conflicts: u32,
    /// Of these, whole records whose number is taken by another whole one: no damage does that, only
    /// another log under the same name.
    pub contradictions: u32,
}

/// The handheld's uptime seen beside the office's clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Anchor {
    /// The boot that was running.
    pub boot: Boot,
    /// Its uptime.
    pub uptime: Uptime,
    /// The office's clock in the middle of the round trip, UTC milliseconds since 1970-01-01.
    pub unix_ms: i64,
    /// How long request and answer took together.
    pub round_trip_ms: u32,
}

/// Why a batch or anchor was not kept.
#[derive(Debug, thiserror::Error)]
pub enum InboxError {
    /// The database did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// The caller's fault: a pull that was never begun, or was begun for another log.
    #[error("records of handheld {:016x}, log {:08x}, do not belong to the current pull; start a \
             pull for that log", device.0, log.0)]
    OtherPull {
        /// The handheld named.
        device: DeviceId,
        /// The log named.
        log: LogId,
    },
    /// The caller's fault, or the handheld's: a batch that ends before it begins.
    #[error("a batch from {} through {} ends before it begins; pull again", from.0, through.0)]
    Backwards {
        /// First number.
        from: Seq,
        /// Last number.
        through: Seq,
    },
}

impl Database {
    /// Begins a session of pulling.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn begin_pull(&mut self, start: &PullStart) -> Result<PullId, DatabaseError> {
        self.write(|rows| rows.insert_pull(start))
    }

    /// Keeps a batch: records and covered numbers in one durable transaction. Only after this has
    /// returned may the handheld be told to let go (promise P3).
    ///
    /// # Errors
    /// [`InboxError`]; nothing of the batch is kept then.
    pub fn store(&mut self, pull: PullId, batch: &Batch) -> Result<Stored, InboxError> {
        self.store_anchored(pull, batch, None)
    }

    /// The same, and with the first new record the anchor of the boot that is running: both or
    /// neither, because a pull that is cut off in between finds nothing new the next time and would
    /// never bring the anchor.
    ///
    /// # Errors
    /// [`InboxError`]; nothing of the batch is kept then.
    pub fn store_anchored(
        &mut self,
        pull: PullId,
        batch: &Batch,
        anchor: Option<&Anchor>,
    ) -> Result<Stored, InboxError> {
        let Batch { device, log, from, through, .. } = *batch;
        let from = from.max(Seq::FIRST);
        if through < from {
            return Err(InboxError::Backwards { from, through });
        }
        let kept = self.write::<_, DatabaseError>(|rows| {
            if rows.pull_log(pull)? != Some((device, log)) {
                return Ok(None);
            }
            let stored = keep(rows, pull, batch, from)?;
            let grew = rows.cover(device, log, (from, through))?;
            // What is covered says what a missing number means, so it counts as new too.
            if grew || stored.new > 0 {
                rows.lower_derived(device, log, from)?;
            }
            rows.count_pull(pull, &stored)?;
            if let Some(anchor) = anchor.filter(|_| stored.new > 0) {
                rows.insert_anchor(device, log, anchor, pull)?;
            }
            Ok(Some(stored))
        })?;
        kept.ok_or(InboxError::OtherPull { device, log })
    }

    /// The number through which all of a log is accounted for; `NONE` where nothing is.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn cursor(&self, device: DeviceId, log: LogId) -> Result<Seq, DatabaseError> {
        self.read(|rows| rows.cursor(device, log))
    }

    /// The runs of numbers that the handheld has accounted for and that have no record: lost on
    /// the handheld.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn lost(&self, device: DeviceId, log: LogId) -> Result<Vec<(Seq, Seq)>, DatabaseError> {
        self.read(|rows| Ok(lost_runs(&rows.covered(device, log)?, &rows.seqs(device, log)?)))
    }

    /// How many contradicting records of a log are kept.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn conflicts(&self, device: DeviceId, log: LogId) -> Result<u32, DatabaseError> {
        self.read(|rows| rows.conflicts(device, log))
    }

    /// Every log of which anything is here, ascending.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn logs(&self) -> Result<Vec<(DeviceId, LogId)>, DatabaseError> {
        self.read(|rows| rows.logs())
    }

    /// Every clock anchor of a log.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn anchors(&self, device: DeviceId, log: LogId) -> Result<Vec<Anchor>, DatabaseError> {
        self.read(|rows| rows.anchors(device, log))
    }

    /// Keeps a clock anchor of the boot that is running.
    ///
    /// # Errors
    /// [`InboxError`].
    pub fn anchor(
        &mut self,
        pull: PullId,
        device: DeviceId,
        log: LogId,
        anchor: &Anchor,
    ) -> Result<(), InboxError> {
        let kept = self.write::<_, DatabaseError>(|rows| {
            if rows.pull_log(pull)? != Some((device, log)) {
                return Ok(false);
            }
            rows.insert_anchor(device, log, anchor, pull)?;
            Ok(true)
        })?;
        if kept { Ok(()) } else { Err(InboxError::OtherPull { device, log }) }
    }

    /// Ends a session. One that was cut off has no end.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn end_pull(&mut self, pull: PullId, ended_ms: i64) -> Result<(), DatabaseError> {
        self.write(|rows| rows.end_pull(pull, ended_ms))
    }
}

fn keep(rows: &Rows<'_>, pull: PullId, batch: &Batch, from: Seq) -> Result<Stored, Fault> {
    let mut stored = Stored::default();
    let under = rows.sealed_under(batch.device, batch.log)?;
    let whole = |one: &Sealed| one.is_whole(batch.device, under);
    for sealed in &batch.sealed {
        let seq = sealed.seq();
        let key = (batch.device, batch.log, seq);
        // Damage can reach the number itself; its own place then counts as lost.
        if seq < from || seq > batch.through {
            rows.insert_conflict(key, sealed, pull)?;
            stored.conflicts += 1;
            continue;
        }
        match rows.sealed(batch.device, batch.log, seq)? {
            None => {
                rows.insert_sealed(key, sealed, pull)?;
                stored.new += 1;
            }
            Some(there) if there == *sealed => stored.known += 1,
            Some(there) => {
                // A damaged record whose number was bent must not keep the whole one out.
                let aside = if whole(sealed) && !whole(&there) {
                    rows.replace_sealed(key, sealed, pull)?;
                    stored.new += 1;
                    &there
                } else {
                    sealed
                };
                rows.insert_conflict(key, aside, pull)?;
                stored.conflicts += 1;
                stored.contradictions += u32::from(whole(sealed) && whole(&there));
            }
        }
    }
    Ok(stored)
}

/// Numbers in `covered` that are not in `seqs`, as runs. Both ascend.
fn lost_runs(covered: &[(Seq, Seq)], seqs: &[Seq]) -> Vec<(Seq, Seq)> {
    let mut lost = Vec::new();
    let mut seqs = seqs.iter().copied().peekable();
    for &(first, last) in covered {
        // `None` after the last number there can be.
        let mut expected = Some(first);
        while let Some(seq) = seqs.next_if(|seq| *seq <= last) {
            if let Some(expected) = expected.filter(|expected| seq > *expected) {
                lost.push((expected, seq.previous()));
            }
            expected = seq.0.checked_add(1).map(Seq);
        }
        if let Some(expected) = expected.filter(|expected| *expected <= last) {
            lost.push((expected, last));
        }
    }
    lost
}

#[cfg(test)]
mod tests;
