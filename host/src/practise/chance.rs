//! Chance that repeats with its seed.

/// SplitMix64 (Steele, Lea, Flood 2014): small, and good enough to deal exercises.
#[derive(Clone, Debug)]
pub(super) struct Chance(u64);

impl Chance {
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From `low` to `high`, both included. The bias of the remainder is of no account here.
    pub(super) fn between(&mut self, low: u32, high: u32) -> u32 {
        let span = u64::from(high.saturating_sub(low)) + 1;
        // A remainder of at most 2^32 fits.
        low + (self.next() % span) as u32
    }

    /// One of a slice that is not empty; the first of an empty one is nobody's, hence `None`.
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
