//! The measuring order: which clip on a claw is which dimension.

use super::{MAX_REPEATS, MAX_STEPS};
use crate::Dimension;

/// The order in which clips are assigned to dimensions on a claw.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Order {
    /// Dimension in the low half of each byte, clips in the high half; zero after the last.
    steps: [u8; MAX_STEPS],
}

impl Order {
    /// No step.
    pub const EMPTY: Self = Self { steps: [0; MAX_STEPS] };

    /// With one more step. `None` for a gauge block, for no clips or more than 15, or for a 17th
    /// step.
    #[must_use]
    pub fn then(mut self, dimension: Dimension, clips: u8) -> Option<Self> {
        if dimension.is_gauge() || clips == 0 || clips > MAX_REPEATS {
            return None;
        }
        let free = self.steps.iter_mut().find(|step| **step == 0)?;
        *free = clips << 4 | dimension.code();
        Some(self)
    }

    /// The steps: dimension, clips.
    pub fn steps(&self) -> impl Iterator<Item = (Dimension, u8)> + '_ {
        let used = self.steps.iter().take_while(|step| **step != 0);
        used.filter_map(|step| Some((Dimension::from_code(step & 0xF)?, step >> 4)))
    }

    /// The dimension of the next clip after this many; `None` when all are made.
    #[must_use]
    pub fn at(&self, clips: u8) -> Option<Dimension> {
        let mut before = 0u16;
        for (dimension, count) in self.steps() {
            before += u16::from(count);
            if u16::from(clips) < before {
                return Some(dimension);
            }
        }
        None
    }

    /// The last dimension: further clips go to it.
    #[must_use]
    pub fn last(&self) -> Option<Dimension> {
        self.steps().last().map(|(dimension, _)| dimension)
    }

    /// Whether there is no step.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.steps[0] == 0
    }

    pub(super) const fn to_bytes(self) -> [u8; MAX_STEPS] {
        self.steps
    }

    pub(super) fn from_bytes(steps: [u8; MAX_STEPS]) -> Option<Self> {
        let mut order = Self::EMPTY;
        let used = steps.iter().take_while(|step| **step != 0);
        for step in used {
            order = order.then(Dimension::from_code(step & 0xF)?, step >> 4)?;
        }
        // Nothing may follow the first empty step.
        (order.steps == steps).then_some(order)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dimension(code: u8) -> Dimension {
        Dimension::from_code(code).unwrap()
    }

    #[test]
    fn clips_walk_through_the_order() {
        let order = Order::EMPTY.then(dimension(1), 2).and_then(|o| o.then(dimension(3), 1));
        let order = order.unwrap();
        let walked: [Option<u8>; 5] =
            [0, 1, 2, 3, 255].map(|clips| order.at(clips).map(Dimension::code));
        assert_eq!(walked, [Some(1), Some(1), Some(3), None, None]);
        assert_eq!(order.last(), Some(dimension(3)));
        assert_eq!(Order::EMPTY.at(0), None);
        for wrong in [(0, 1), (1, 0), (1, 16)] {
            assert_eq!(Order::EMPTY.then(dimension(wrong.0), wrong.1), None, "{wrong:?}");
        }
        let mut full = Order::EMPTY;
        for _ in 0..MAX_STEPS {
            full = full.then(dimension(2), 15).unwrap();
        }
        assert_eq!(full.then(dimension(2), 1), None, "a seventeenth step");
        assert_eq!(full.at(239), Some(dimension(2)));
        assert_eq!(full.at(240), None);
    }
}
