//! Chance that repeats with its seed.

use hornrule_insight::luck::Luck;

/// A stream of numbers: good enough to deal exercises.
#[derive(Clone, Debug)]
pub(super) struct Chance(Luck);

impl Chance {
    pub(super) fn new(seed: u64) -> Self {
        Self(Luck::of(seed))
    }

    /// From `low` to `high`, both included. The bias of the remainder is of no account here.
    pub(super) fn between(&mut self, low: u32, high: u32) -> u32 {
        let span = u64::from(high.saturating_sub(low)) + 1;
        // A remainder of at most 2^32 fits.
        low + (self.0.bits() % span) as u32
    }

    /// One of a slice; `None` if it is empty.
    pub(super) fn one_of<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        let last = u32::try_from(all.len()).ok()?.checked_sub(1)?;
        all.get(self.between(0, last) as usize)
    }

    /// In any order.
    pub(super) fn shuffle<T>(&mut self, all: &mut [T]) {
        for end in (1..all.len()).rev() {
            let last = u32::try_from(end).unwrap_or(u32::MAX);
            all.swap(end, self.between(0, last) as usize);
        }
    }
}
