//! The ring log on NOR flash: append or `Full`, read from a number on, release through a number.
//!
//! ```text
//!            released          waiting            free
//!        +-------------+--------------------+--------------+
//!  first ^             ^ released           ^ next          (record numbers)
//!
//!  append --> slot, commit word, read back --> acknowledged
//! ```
//!
//! `FLASH.md` gives the format, the steps of mounting and the reasons. A record is acknowledged
//! only after it has been read back intact (P1), nothing that awaits release is overwritten (P2),
//! releases only go forward (P3), and damage is never a value (P5). All the log knows about a
//! record is its bytes and its number. It takes a few dozen bytes of memory, however many pages
//! there are.

mod error;
mod layout;
mod mount;
mod ring;

pub use error::{AppendError, MountError, ReadError, ReleaseError};

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::{LogId, Sealed, Seq};

use error::WriteError;
use layout::{Content, Slot};
use mount::State;
use ring::{Ring, Written};

/// A mounted log.
#[derive(Debug)]
pub struct Log<F> {
    ring: Ring<F>,
    first: Seq,
    next: Seq,
    released: Seq,
    /// The page of the oldest waiting record; the head if none waits.
    hold: u32,
    /// The next slot to write in the head page; the slot count when the page is full.
    slot: u16,
    torn: u32,
    write_place: WritePlace,
    ahead: Ahead,
    reading: Option<Reading>,
}

/// What was done about the page after the head since the head was entered or the log mounted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ahead {
    Nothing,
    Erased,
    /// The erase failed: it is retried on entering the page, when the error can be reported.
    Failed,
}

/// Whether the next slot to write is known to be unused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum WritePlace {
    Unused,
    /// The last write failed and could not be read back.
    InDoubt,
}

/// Where the last reader stopped: the record it will ask for next is at or after this slot.
#[derive(Clone, Copy, Debug)]
struct Reading {
    next: Seq,
    page: u32,
    slot: u16,
}

impl<F: NorFlash> Log<F> {
    /// Mounts the log, or makes one called `fresh` if the flash is blank or a format was
    /// interrupted.
    ///
    /// # Errors
    /// The flash, and [`MountError`].
    pub fn mount(mut flash: F, fresh: LogId) -> Result<Self, (F, MountError<F::Error>)> {
        match mount::find(&mut flash, fresh) {
            Ok(found) => Self::open(flash, found),
            Err(error) => Err((flash, error)),
        }
    }

    /// Discards whatever the flash holds and makes a new log. Until that log exists, the old one
    /// still mounts.
    ///
    /// # Errors
    /// The flash, and [`MountError`]: too small, the same id again, or the flash failed.
    pub fn format(mut flash: F, log: LogId) -> Result<Self, (F, MountError<F::Error>)> {
        match mount::replace(&mut flash, log) {
            Ok(found) => Self::open(flash, found),
            Err(error) => Err((flash, error)),
        }
    }

    fn open(
        mut flash: F,
        (id, head, lap): (LogId, u32, u8),
    ) -> Result<Self, (F, MountError<F::Error>)> {
        match mount::open(&mut Ring { flash: &mut flash, id, head, lap }) {
            Ok(State { first, next, released, hold, slot, torn }) => Ok(Self {
                ring: Ring { flash, id, head, lap },
                first,
                next,
                released,
                hold,
                slot,
                torn,
                write_place: WritePlace::Unused,
                ahead: Ahead::Nothing,
                reading: None,
            }),
            Err(error) => Err((flash, MountError::Flash(error))),
        }
    }

    /// Which log this is.
    #[must_use]
    pub fn id(&self) -> LogId {
        self.ring.id
    }

    /// The oldest number still on flash; [`Self::next`] if there is none.
    #[must_use]
    pub fn first(&self) -> Seq {
        self.first
    }

    /// The number the next record must have.
    #[must_use]
    pub fn next(&self) -> Seq {
        self.next
    }

    /// Everything up to this number is released.
    #[must_use]
    pub fn released(&self) -> Seq {
        self.released
    }

    /// Numbers awaiting release, including any lost to damage.
    #[must_use]
    pub fn waiting(&self) -> u32 {
        self.next.0.saturating_sub(self.released.0).saturating_sub(1)
    }

    /// Records that still fit, if no slot is lost to a failed write or a restart.
    #[must_use]
    pub fn free(&self) -> u32 {
        match self.free_pages() {
            0 => 0,
            free => {
                let in_head = u32::from(Ring::<F>::SLOTS - self.slot);
                in_head + (free - 1) * u32::from(Ring::<F>::SLOTS)
            }
        }
    }

    /// Records that always fit when none is waiting, if no slot is lost.
    #[must_use]
    pub fn capacity(&self) -> u32 {
        (self.ring.pages() - 2) * u32::from(Ring::<F>::SLOTS)
    }

    /// Slots written but not intact: found at mount between the oldest waiting record and the head,
    /// and left by failed writes since.
    #[must_use]
    pub fn torn(&self) -> u32 {
        self.torn
    }

    /// Returns the flash, as a restart would find it.
    pub fn into_flash(self) -> F {
        self.ring.flash
    }

    /// Writes a record. When this returns `Ok`, it is in flash and has been read back.
    ///
    /// # Errors
    /// [`AppendError`]. After [`AppendError::Flash`] or [`AppendError::NotKept`] the same record
    /// may be retried.
    pub fn append(&mut self, sealed: &Sealed) -> Result<Seq, AppendError<F::Error>> {
        self.settle().map_err(AppendError::Flash)?;
        if self.next.next() == self.next {
            return Err(AppendError::NumbersSpent);
        }
        if sealed.seq() != self.next {
            return Err(AppendError::OutOfOrder { next: self.next });
        }
        match (self.slot < Ring::<F>::SLOTS, self.free_pages()) {
            (_, 0) | (false, 1) => return Err(AppendError::Full),
            (true, _) => {}
            (false, _) => self.enter_next()?,
        }
        self.write(Content::Record(sealed))?;
        self.next = self.next.next();
        Ok(sealed.seq())
    }

    /// The first record numbered `from` or higher; `None` at the end. Asking for the number after
    /// the last answer reads only one slot. Released records can be read until overwritten; damaged
    /// ones are skipped, which the numbers show.
    ///
    /// # Errors
    /// [`ReadError`].
    pub fn read_from(&mut self, from: Seq) -> Result<Option<Sealed>, ReadError<F::Error>> {
        let from = from.max(Seq::FIRST);
        if from < self.first {
            return Err(ReadError::Gone { first: self.first });
        }
        if from >= self.next {
            return Ok(None);
        }
        self.read_on(from).map_err(ReadError::Flash)
    }

    fn read_on(&mut self, from: Seq) -> Result<Option<Sealed>, F::Error> {
        let (mut page, mut slot) = match self.reading {
            Some(reading) if reading.next == from => (reading.page, reading.slot),
            _ => {
                let oldest = self.ring.after(self.ring.head);
                (self.ring.page_of(oldest, from)?, 0)
            }
        };
        loop {
            if page == self.ring.head && slot >= self.slot {
                self.reading = Some(Reading { next: from, page, slot });
                return Ok(None);
            }
            if slot >= Ring::<F>::SLOTS {
                (page, slot) = (self.ring.after(page), 0);
                continue;
            }
            let found = self.ring.slot(page, slot)?;
            slot += 1;
            match found {
                Slot::Record(sealed) if sealed.seq() >= from => {
                    self.reading = Some(Reading { next: sealed.seq().next(), page, slot });
                    return Ok(Some(sealed));
                }
                Slot::Record(_) | Slot::Mark(_) | Slot::Torn(_) | Slot::Blank => {}
            }
        }
    }

    /// Releases every record up to `through` and returns the number now released through. That is
    /// less than `through` in one case: power cuts have torn the whole reserve page, and this
    /// release would not free the oldest page. Then release more at once.
    ///
    /// # Errors
    /// [`ReleaseError`].
    pub fn release_through(&mut self, through: Seq) -> Result<Seq, ReleaseError<F::Error>> {
        self.settle().map_err(ReleaseError::Flash)?;
        if through >= self.next {
            return Err(ReleaseError::Beyond { last: self.next.previous() });
        }
        if through <= self.released {
            return Ok(self.released);
        }
        let hold = self.ring.page_of(self.hold, through.next()).map_err(ReleaseError::Flash)?;
        match (self.slot < Ring::<F>::SLOTS, self.free_pages()) {
            (true, _) => {}
            (false, 1..) => self.enter_next()?,
            (false, 0) if hold == self.hold => return Ok(self.released),
            (false, 0) => self.enter_oldest()?,
        }
        self.write(Content::Mark(through))?;
        self.released = through;
        self.hold = self.ring.page_of(hold, through.next()).unwrap_or(hold);
        Ok(through)
    }

    /// Whether [`Self::tend`] has something to do.
    #[must_use]
    pub fn wants_tending(&self) -> bool {
        self.ahead == Ahead::Nothing
            && self.write_place == WritePlace::Unused
            && self.slot >= Ring::<F>::SLOTS / 2
            && self.free_pages() > 0
    }

    /// Erases the next page ahead of time, if it is needed soon and nothing in it is waiting:
    /// nobody waiting for a record then waits for an erase. Call it while there is time; whether it
    /// worked shows when the page is entered.
    pub fn tend(&mut self) {
        if !self.wants_tending() {
            return;
        }
        let (page, _) = self.ring.beyond_head();
        let Ok(oldest) = self.ring.start_after(page) else { return };
        self.reading = None;
        self.ahead = Ahead::Failed;
        if ring::erase(&mut self.ring.flash, page).is_ok() {
            self.ahead = Ahead::Erased;
            self.starts_with(oldest);
        }
    }

    /// From now on this is the oldest page that holds anything, with this first number.
    fn starts_with(&mut self, oldest: Option<(u32, Seq)>) {
        self.first = oldest.map_or(self.next, |(_, first)| first);
        // A page that was waiting until now is released by having been erased; see `enter_oldest`.
        self.released = self.released.max(self.first.previous());
    }

    /// Pages between the head and the oldest waiting record.
    fn free_pages(&self) -> u32 {
        let pages = self.ring.pages();
        (self.hold + pages - self.ring.head - 1) % pages
    }

    /// Enters the page after the head, in which nothing is waiting.
    fn enter_next(&mut self) -> Result<(), WriteError<F::Error>> {
        let (page, lap) = self.ring.beyond_head();
        let oldest = self.ring.start_after(page).map_err(WriteError::Flash)?;
        self.reading = None;
        // Only once: a page whose header failed is erased before the next attempt.
        if core::mem::replace(&mut self.ahead, Ahead::Nothing) != Ahead::Erased {
            ring::erase(&mut self.ring.flash, page)?;
        }
        self.ring.enter(page, lap, self.next)?;
        self.slot = 0;
        if self.waiting() == 0 {
            self.hold = page;
        }
        self.starts_with(oldest);
        Ok(())
    }

    /// Enters the oldest page, all of whose records are being released.
    fn enter_oldest(&mut self) -> Result<(), WriteError<F::Error>> {
        let after = self.ring.start_after(self.hold).map_err(WriteError::Flash)?;
        self.enter_next()?;
        if let Some((page, _)) = after {
            self.hold = page;
        }
        Ok(())
    }

    /// Writes the next slot of the head page, which must have one.
    fn write(&mut self, content: Content<'_>) -> Result<(), WriteError<F::Error>> {
        match self.ring.write(self.slot, content) {
            Written::Kept => {
                self.slot += 1;
                Ok(())
            }
            Written::Spent(error) => {
                self.slot += 1;
                self.torn += 1;
                Err(error)
            }
            Written::Doubt(error) => {
                self.write_place = WritePlace::InDoubt;
                Err(WriteError::Flash(error))
            }
        }
    }

    /// Finds out what became of a write that could not be read back.
    fn settle(&mut self) -> Result<(), F::Error> {
        if self.write_place == WritePlace::Unused {
            return Ok(());
        }
        match self.ring.slot(self.ring.head, self.slot)? {
            Slot::Record(sealed) => self.next = sealed.seq().next(),
            Slot::Mark(through) => {
                self.hold = self.ring.page_of(self.hold, through.next())?;
                self.released = through;
            }
            Slot::Torn(_) | Slot::Blank => self.torn += 1,
        }
        self.slot += 1;
        self.write_place = WritePlace::Unused;
        Ok(())
    }
}
