//! What a length is held against: the usual limits, and the gauge block.

use super::LIMITS;
use crate::{Dimension, Nanometres};

const HUNDREDTH_NM: i32 = 10_000;

/// A gauge block: size, and how far off a reading may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gauge {
    /// Its size.
    pub size: Nanometres,
    /// The most that a reading may differ.
    pub tolerance: Nanometres,
}

impl Gauge {
    /// Whether a reading of the block is acceptable.
    #[must_use]
    pub fn passes(self, length: Nanometres) -> bool {
        i64::from(length.distance(self.size)) <= i64::from(self.tolerance.0)
    }
}

/// Whether limits are signalled by a cue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Blinding {
    /// A length outside its limits has a cue of its own.
    #[default]
    Open,
    /// Every length has the same cue: the person measuring does not learn whether it was usual.
    Blind,
}

/// Shortest and longest usual length of each dimension, in hundredths of a millimetre; (0, 0) means
/// the usual limits of the code table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Limits(pub(super) [(u16, u16); LIMITS]);

impl Limits {
    /// Sets a dimension's limits; `None` for the gauge block and for limits out of order or absent.
    #[must_use]
    pub fn with(mut self, dimension: Dimension, (low, high): (u16, u16)) -> Option<Self> {
        let place = self.0.get_mut(usize::from(dimension.code()).checked_sub(1)?)?;
        if low >= high {
            return None;
        }
        *place = (low, high);
        Some(self)
    }

    /// The limits of a dimension.
    #[must_use]
    pub fn of(&self, dimension: Dimension) -> (Nanometres, Nanometres) {
        let place = usize::from(dimension.code()).checked_sub(1);
        let hundredth = |value: u16| Nanometres(i32::from(value) * HUNDREDTH_NM);
        match place.and_then(|place| self.0.get(place)) {
            None | Some((0, 0)) => {
                let (low, high) = dimension.usual_mm;
                (Nanometres::from_mm(i32::from(low)), Nanometres::from_mm(i32::from(high)))
            }
            Some((low, high)) => (hundredth(*low), hundredth(*high)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_block_passes_within_its_tolerance() {
        let gauge = Gauge { size: Nanometres(75_000_000), tolerance: Nanometres(30_000) };
        assert!(gauge.passes(Nanometres(75_030_000)) && gauge.passes(Nanometres(74_970_000)));
        assert!(!gauge.passes(Nanometres(75_030_001)) && !gauge.passes(Nanometres(i32::MIN)));
    }
}
