//! A log as it would be if memory were endless and never failed. It knows nothing of pages: when
//! the real log is full or has overwritten what was released, the test asks the real one and checks
//! that it was allowed to.

use std::collections::VecDeque;

use hornrule_core::log::{AppendError, ReadError, ReleaseError};
use hornrule_protocol::{Sealed, Seq};

/// The simple model.
#[derive(Clone, Debug, Default)]
pub struct ModelLog {
    records: VecDeque<Sealed>,
    first: Seq,
    next: Seq,
    released: Seq,
}

impl ModelLog {
    /// An empty log.
    #[must_use]
    pub fn new() -> Self {
        Self { records: VecDeque::new(), first: Seq::FIRST, next: Seq::FIRST, released: Seq::NONE }
    }

    /// The number of the next record.
    #[must_use]
    pub fn next(&self) -> Seq {
        self.next
    }

    /// Everything up to here is released.
    #[must_use]
    pub fn released(&self) -> Seq {
        self.released
    }

    /// Records awaiting release.
    #[must_use]
    pub fn waiting(&self) -> usize {
        self.records.iter().filter(|r| r.seq() > self.released).count()
    }

    /// Takes a record.
    ///
    /// # Errors
    /// [`AppendError::OutOfOrder`]; never `Full`.
    pub fn append<E>(&mut self, sealed: &Sealed) -> Result<Seq, AppendError<E>> {
        if sealed.seq() != self.next {
            return Err(AppendError::OutOfOrder { next: self.next });
        }
        self.records.push_back(sealed.clone());
        self.next = self.next.next();
        Ok(sealed.seq())
    }

    /// The first record from a number on.
    ///
    /// # Errors
    /// [`ReadError::Gone`].
    pub fn read_from<E>(&self, from: Seq) -> Result<Option<Sealed>, ReadError<E>> {
        if from.max(Seq::FIRST) < self.first {
            return Err(ReadError::Gone { first: self.first });
        }
        Ok(self.records.iter().find(|r| r.seq() >= from).cloned())
    }

    /// Releases.
    ///
    /// # Errors
    /// [`ReleaseError::Beyond`].
    pub fn release_through<E>(&mut self, through: Seq) -> Result<Seq, ReleaseError<E>> {
        if through >= self.next {
            return Err(ReleaseError::Beyond { last: self.next.previous() });
        }
        self.released = self.released.max(through);
        Ok(self.released)
    }

    /// The real log has overwritten everything older than `first`. That may go back: a page whose
    /// erase failed early is there again after a restart.
    ///
    /// # Panics
    /// If it has overwritten something that is waiting.
    pub fn overwritten_before(&mut self, first: Seq) {
        assert!(first.previous() <= self.released, "{first:?} is first, so waiting ones are lost");
        self.first = first;
    }

    /// The real log has lost one that was being released.
    pub fn loses(&mut self, seq: Seq) {
        self.records.retain(|r| r.seq() != seq);
    }

    /// The real log skips numbers before `next`, after a restart.
    ///
    /// # Panics
    /// If it would use a number again.
    pub fn leaves_out_before(&mut self, next: Seq) {
        assert!(next >= self.next, "number {next:?} given again, {:?} was next", self.next);
        self.next = next;
    }

    /// What the real log reports as released, after a release that was cut: the old or the new
    /// number.
    pub fn released_through(&mut self, released: Seq) {
        self.released = released;
    }
}
