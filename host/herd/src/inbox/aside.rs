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

    /// Keeps a batch of a handheld that holds another log than the one stored under the same number, in
    /// one durable transaction: what is the same as stored is passed over, and from where the two part
    /// on all is kept under a number of its own. The anchor is kept with the first new record, as by
    /// [`Database::store_anchored`].
    ///
    /// # Errors
    /// [`InboxError`]; nothing of the batch is kept then.
    pub fn store_aside(
        &mut self,
        pull: PullId,
        batch: &Batch,
        so_far: &mut Parting,
        anchor: Option<&Anchor>,
    ) -> Result<Stored, InboxError> {
        let Batch { device, log: of, from, through, .. } = *batch;
        if through < from {
            return Err(InboxError::Backwards { from, through });
        }
        let kept = self.write::<_, DatabaseError>(|rows| {
            if rows.pull_log(pull)? != Some((device, of)) {
                return Ok(None);
            }
            let mut now = so_far.clone();
            let mut stored = Stored::default();
            let mut from = from;
            let sealed = match now.log {
                Some(_) => batch.sealed.clone(),
                None => parted(rows, pull, batch, &mut now, &mut stored)?,
            };
            if let (None, Some(first)) = (now.log, sealed.first()) {
                now.log = Some(drawn(rows, (device, of), first, pull)?);
                from = first.seq();
            }
            if let Some(log) = now.log {
                let ours = Batch { device, log, from, through, sealed };
                let kept = keep(rows, pull, &ours, from)?;
                if rows.cover(device, log, (from, through))? || kept.new > 0 {
                    rows.lower_derived(device, log, from)?;
                }
                if let Some(anchor) = anchor.filter(|_| kept.new > 0) {
                    rows.insert_anchor(device, log, anchor, pull)?;
                }
                stored = kept;
            }
            rows.count_pull(pull, &stored)?;
            Ok(Some((stored, now)))
        })?;
        let (stored, now) = kept.ok_or(InboxError::OtherPull { device, log: of })?;
        *so_far = now;
        Ok(stored)
    }
}

/// How far the place is found at which a handheld's log parts from the one stored under its number.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parting {
    /// The number of the log kept aside, once they have parted.
    pub log: Option<LogId>,
    /// The last records before, of which nobody can say yet to which of the two they belong: stored
    /// damaged or not at all, or damaged on the handheld.
    unsaid: Vec<Sealed>,
}

/// The records from the parting on; none where the batch does not reach it. What is missing or damaged in
/// the stored log, and followed by a record that both have, belongs to both: it is filled in.
fn parted(
    rows: &Rows<'_>,
    pull: PullId,
    batch: &Batch,
    so_far: &mut Parting,
    stored: &mut Stored,
) -> Result<Vec<Sealed>, Fault> {
    let Batch { device, log, .. } = *batch;
    let whole = |one: &Sealed| one.is_whole(device, log);
    let last = rows.last_seq(device, log)?;
    for (at, one) in batch.sealed.iter().enumerate() {
        let there = rows.sealed(device, log, one.seq())?;
        if there.as_ref() == Some(one) {
            let sealed = std::mem::take(&mut so_far.unsaid);
            if let (Some(first), Some(end)) = (sealed.first(), sealed.last()) {
                let (from, through) = (first.seq(), end.seq());
                stored.new +=
                    keep(rows, pull, &Batch { device, log, from, through, sealed }, from)?.new;
                rows.lower_derived(device, log, from)?;
            }
            continue;
        }
        let parts = match &there {
            Some(there) => whole(there) && whole(one),
            None => one.seq() > last && whole(one),
        };
        if parts {
            let mut sealed = std::mem::take(&mut so_far.unsaid);
            sealed.extend_from_slice(&batch.sealed[at..]);
            return Ok(sealed);
        }
        so_far.unsaid.push(one.clone());
    }
    Ok(Vec::new())
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
            Some(its) => {
                let there = rows.sealed(device, log, first.seq())?;
                if its == (of, first.seq()) && there.is_none_or(|there| there == *first) {
                    return Ok(log);
                }
            }
            None if rows.covered(device, log)?.is_empty() => {
                rows.insert_aside((device, log), of, first.seq(), pull)?;
                return Ok(log);
            }
            None => {}
        }
        log = LogId(log.0.wrapping_add(1));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::begin;
    use hornrule_kit::{DEVICE, LOG, Story};

    /// Eight records, or eight and one more, that part after the given one.
    fn told(shared: u32, last: u32) -> Story {
        let mut story = Story::at_work();
        for number in (1..=5).map(|at| if at > shared { at + last } else { at }) {
            story.cow(number);
        }
        story
    }

    fn without(story: &Story, missing: &[u32]) -> Batch {
        let mut batch = story.batch();
        batch.sealed.retain(|one| !missing.contains(&one.seq().0));
        batch
    }

    /// Two logs of eight records that share the first six. The stored one lacks 5, 7 and 8.
    #[test]
    fn what_both_share_is_filled_in_and_the_rest_is_apart() {
        let (stored, other) = (told(3, 10), told(3, 20));
        let mut herd = Database::in_memory().unwrap();
        let pull = begin(&mut herd);
        herd.store(pull, &without(&stored, &[5, 7])).unwrap();
        let mut so_far = Parting::default();
        let kept = herd.store_aside(pull, &other.batch(), &mut so_far, None).unwrap();
        let aside = so_far.log.unwrap();
        // 5 is followed by 6, which both have: it is theirs. 7 goes with 8, which differs.
        assert_eq!(herd.lost(DEVICE, LOG).unwrap(), [(Seq(7), Seq(7))]);
        assert_eq!(kept.new, 2);
        let [one] = herd.asides().unwrap().try_into().unwrap();
        assert_eq!((one.log, one.of, one.first, one.records), (aside, LOG, Seq(7), 2));
        assert_eq!(herd.cursor(DEVICE, aside).unwrap(), Seq(8));
        assert_eq!(herd.lost(DEVICE, aside).unwrap(), []);
        // Undecided, it is no log of the herd tables; and the same again is the same.
        assert_eq!(herd.logs().unwrap(), [(DEVICE, LOG)]);
        let mut again = Parting::default();
        herd.store_aside(pull, &other.batch(), &mut again, None).unwrap();
        assert_eq!((again.log, herd.asides().unwrap().len()), (Some(aside), 1));
    }

    #[test]
    fn what_is_the_same_to_its_end_is_no_other_log() {
        let stored = told(5, 0);
        let mut herd = Database::in_memory().unwrap();
        let pull = begin(&mut herd);
        herd.store(pull, &stored.batch()).unwrap();
        let mut so_far = Parting::default();
        let kept = herd.store_aside(pull, &stored.batch(), &mut so_far, None).unwrap();
        assert_eq!((kept, so_far.log), (Stored::default(), None));
        assert_eq!(herd.asides().unwrap(), []);
    }
}
