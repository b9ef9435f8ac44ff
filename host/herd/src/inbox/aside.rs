//! Logs kept aside: other records under a device and log that are stored already.
//!
//! ```text
//! stored   1 ========= 200 ===== 281        log L
//! handheld 1 ========= 200 ~~~~~~~~~~ 350   says L as well: its flash was put back to 200
//!                      201 ~~~~~~~~~~ 350   kept as log A, first record 201
//! ```
//!
//! What both hold is kept once, under the log that was stored first. A log kept aside has its own
//! cursor, so that its pulls go on where they stopped; but it is no log of the herd tables until a
//! person takes it in.

use hornrule_protocol::seal::CRC;
use hornrule_protocol::{DeviceId, LogId, Sealed, Seq};

use super::{Anchor, InboxError, PullId, Stored, keep};
use crate::{Database, DatabaseError, Fault, Rows};
use hornrule_facts::Batch;

/// A log kept aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aside {
    /// The handheld, as it names itself.
    pub device: DeviceId,
    /// The number that the office drew for it.
    pub log: LogId,
    /// The number that the handheld gives.
    pub of: LogId,
    /// The first record that differs.
    pub first: Seq,
    /// The last record kept.
    pub through: Seq,
    /// How many records are kept.
    pub records: u32,
    /// What a person said of it last; `None` where nobody has said anything.
    pub ruling: Option<Ruling>,
}

/// What a person said of a log kept aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruling {
    /// Whether it belongs in the herd tables.
    pub takes: bool,
    /// Who says so.
    pub who: String,
    /// When, UTC milliseconds since 1970-01-01.
    pub at_ms: i64,
    /// Why.
    pub why: String,
}

impl Database {
    /// Every log kept aside, in the order in which they were found.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn asides(&self) -> Result<Vec<Aside>, DatabaseError> {
        self.read(|rows| rows.asides())
    }

    /// Keeps a batch of a handheld that holds another log than the one stored under the same number:
    /// what is the same as stored is passed over, and from the first record that differs on all is
    /// kept under a number of its own, in one durable transaction. Gives that number as soon as there
    /// is one; hand it over with the next batch. The anchor is kept with the first new record, as by
    /// [`Database::store_anchored`].
    ///
    /// # Errors
    /// [`InboxError`]; nothing of the batch is kept then.
    pub fn store_aside(
        &mut self,
        pull: PullId,
        batch: &Batch,
        aside: Option<LogId>,
        anchor: Option<&Anchor>,
    ) -> Result<(Stored, Option<LogId>), InboxError> {
        let Batch { device, log: of, from, through, .. } = *batch;
        if through < from {
            return Err(InboxError::Backwards { from, through });
        }
        let kept = self.write::<_, DatabaseError>(|rows| {
            if rows.pull_log(pull)? != Some((device, of)) {
                return Ok(None);
            }
            let (log, from) = match aside {
                Some(log) => (log, from),
                None => match parting(rows, batch)? {
                    Some(first) => (drawn(rows, (device, of), first, pull)?, first.seq()),
                    None => return Ok(Some((Stored::default(), None))),
                },
            };
            let mut sealed = batch.sealed.clone();
            sealed.retain(|one| one.seq() >= from);
            let ours = Batch { device, log, from, through, sealed };
            let stored = keep(rows, pull, &ours, from)?;
            let grew = rows.cover(device, log, (from, through))?;
            if grew || stored.new > 0 {
                rows.lower_derived(device, log, from)?;
            }
            rows.count_pull(pull, &stored)?;
            if let Some(anchor) = anchor.filter(|_| stored.new > 0) {
                rows.insert_anchor(device, log, anchor, pull)?;
            }
            Ok(Some((stored, Some(log))))
        })?;
        kept.ok_or(InboxError::OtherPull { device, log: of })
    }
}

/// The first record that shows another log: whole, and under a number that other whole bytes have or
/// that is beyond all that is stored.
fn parting<'a>(rows: &Rows<'_>, batch: &'a Batch) -> Result<Option<&'a Sealed>, Fault> {
    let Batch { device, log, .. } = *batch;
    let last = rows.last_seq(device, log)?;
    for one in batch.sealed.iter().filter(|one| one.is_whole(device, log)) {
        let differs = match rows.sealed(device, log, one.seq())? {
            Some(there) => there != *one && there.is_whole(device, log),
            None => one.seq() > last,
        };
        if differs {
            return Ok(Some(one));
        }
    }
    Ok(None)
}

/// The number of a log kept aside. It is made from the record at which it parts, so that the same log
/// gets the same number however often and in whatever order it is pulled.
fn drawn(
    rows: &Rows<'_>,
    (device, of): (DeviceId, LogId),
    first: &Sealed,
    pull: PullId,
) -> Result<LogId, Fault> {
    let mut log = LogId(CRC.checksum(first.as_bytes()));
    loop {
        match rows.kept_aside(device, log)? {
            Some((its, seq)) if its == of && seq == first.seq() => {
                if rows.sealed(device, log, seq)?.is_none_or(|there| there == *first) {
                    return Ok(log);
                }
            }
            Some(_) => {}
            None if rows.covered(device, log)?.is_empty() => {
                rows.insert_aside((device, log), of, first.seq(), pull)?;
                return Ok(log);
            }
            None => {}
        }
        log = LogId(log.0.wrapping_add(1));
    }
}
