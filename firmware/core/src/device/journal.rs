//! The journal: entries in, committed numbers out.
//!
//! ```text
//! say(entry): Started, if this boot has recorded nothing yet
//!             Gap, if the log refused something before
//!             the entry        each sealed with the next number and appended; only then numbered
//! ```
//!
//! `Started` is sealed with the first entry of a boot and not at once: a handheld that is only
//! plugged in at the desk leaves no record, and its boot number is not used up.

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::record::Started;
use hornrule_protocol::{Boot, DeviceId, Entry, Record, Seq, open, seal};

use crate::log::{AppendError, Log};
use crate::time::Micros;
use crate::trace::{self, Note};

/// Attempts to append before the flash is declared broken.
const TRIES: u8 = 3;

/// Why an entry is not in flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotStored {
    /// The log is full; the entry is counted and lost.
    Full,
    /// The flash does not do what it is told.
    Flash,
}

/// The journal.
pub struct Journal<F: NorFlash> {
    device: DeviceId,
    log: Log<F>,
    boot: Boot,
    started: Option<Started>,
    refused: u32,
    clock_known: bool,
}

impl<F: NorFlash> Journal<F> {
    /// A new boot on a mounted log.
    pub fn new(device: DeviceId, mut log: Log<F>, started: Started) -> Self {
        let boot = Boot(last_boot(device, &mut log).0.saturating_add(1));
        Self { device, log, boot, started: Some(started), refused: 0, clock_known: false }
    }

    /// Seals and commits an entry. When this gives a number, the entry is in flash (P1).
    ///
    /// # Errors
    /// [`NotStored`]; a refused entry is counted for the next `Gap`.
    pub fn say(&mut self, entry: Entry, now: Micros) -> Result<Seq, NotStored> {
        let said = self.say_with_preface(entry, now);
        match said {
            Ok(seq) => {
                self.clock_known |= matches!(entry, Entry::Clock { .. });
                trace::note(Note::Committed(seq.0));
            }
            Err(NotStored::Full) => {
                self.refused = self.refused.saturating_add(1);
                trace::note(Note::Refused);
            }
            Err(NotStored::Flash) => trace::note(Note::FlashFault),
        }
        said
    }

    /// Whether so many entries fit. If not, all of them are refused and counted.
    ///
    /// # Errors
    /// [`NotStored::Full`].
    pub fn make_sure_of(&mut self, entries: u32) -> Result<(), NotStored> {
        let preface = u32::from(self.started.is_some()) + u32::from(self.refused > 0);
        if self.free() >= entries + preface {
            return Ok(());
        }
        self.refused = self.refused.saturating_add(entries);
        trace::note(Note::Refused);
        Err(NotStored::Full)
    }

    fn say_with_preface(&mut self, entry: Entry, now: Micros) -> Result<Seq, NotStored> {
        if let Some(started) = self.started {
            self.append(Entry::Started(started), now)?;
            self.started = None;
        }
        if self.refused > 0 {
            self.append(Entry::Gap { refused: self.refused }, now)?;
            self.refused = 0;
        }
        self.append(entry, now)
    }

    fn append(&mut self, entry: Entry, now: Micros) -> Result<Seq, NotStored> {
        let record = Record { boot: self.boot, uptime: now.uptime(), entry };
        // No version 1 record is too long to seal; if one were, it could not be stored.
        let sealed = seal(self.device, self.log.id(), self.log.next(), &record)
            .map_err(|_| NotStored::Flash)?;
        // One failed program is a bad slot; the log moves to the next by itself.
        for _ in 0..TRIES {
            match self.log.append(&sealed) {
                Ok(seq) => return Ok(seq),
                Err(AppendError::Full) => return Err(NotStored::Full),
                // The attempt before failed and was committed all the same.
                Err(AppendError::OutOfOrder { next }) if next.previous() == sealed.seq() => {
                    return Ok(sealed.seq());
                }
                Err(AppendError::OutOfOrder { .. } | AppendError::NumbersSpent) => break,
                Err(AppendError::NotKept | AppendError::Flash(_)) => {}
            }
        }
        Err(NotStored::Flash)
    }

    /// The boot that is running.
    pub const fn boot(&self) -> Boot {
        self.boot
    }

    /// Entries refused and not yet reported in a `Gap`.
    pub const fn refused(&self) -> u32 {
        self.refused
    }

    /// Whether the clock has been set since this boot.
    pub const fn clock_known(&self) -> bool {
        self.clock_known
    }

    /// Records that still fit.
    pub fn free(&self) -> u32 {
        self.log.free()
    }

    /// Records an empty log can take.
    pub fn capacity(&self) -> u32 {
        self.log.capacity()
    }

    /// Records not yet released.
    pub fn waiting(&self) -> u32 {
        self.log.waiting()
    }

    /// Slots found torn.
    pub fn torn(&self) -> u32 {
        self.log.torn()
    }

    /// Whether the log has work for idle time. Only in a boot that left a record: a handheld
    /// plugged in at the desk does not touch its flash.
    pub fn wants_tending(&self) -> bool {
        self.started.is_none() && self.log.wants_tending()
    }

    /// The log itself.
    pub const fn log(&self) -> &Log<F> {
        &self.log
    }

    /// The log itself, to read from and release.
    pub const fn log_mut(&mut self) -> &mut Log<F> {
        &mut self.log
    }

    /// Returns the flash.
    pub fn into_flash(self) -> F {
        self.log.into_flash()
    }
}

/// The boot of the newest record that opens; damaged ones are skipped. Zero for an empty log.
fn last_boot<F: NorFlash>(device: DeviceId, log: &mut Log<F>) -> Boot {
    let mut seq = log.next().previous();
    while seq >= log.first() && seq > Seq::NONE {
        let found = log.read_from(seq).ok().flatten().filter(|sealed| sealed.seq() == seq);
        if let Some(record) = found.and_then(|sealed| open(device, log.id(), &sealed).ok()) {
            return record.boot;
        }
        seq = seq.previous();
    }
    Boot(0)
}
