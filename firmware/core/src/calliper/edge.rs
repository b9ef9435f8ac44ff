//! What the pins say.
//!
//! ```text
//! clock  ‾‾|__|‾‾|__|‾‾      Level: High or Low as the handheld sees it
//!          ^ Falling         Slope: which way the clock went
//! ```

/// What a pin reads. High is the supply, as the handheld's pin sees it: behind an inverting level
/// shifter the calliper's own line is the other way round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// Near ground.
    Low,
    /// Near the supply.
    High,
}

impl Level {
    /// The other level.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Low => Self::High,
            Self::High => Self::Low,
        }
    }
}

/// A change of the clock or data pin: both levels just after it.
///
/// Every change of the clock must be told, both ways, because a level's length is what tells a
/// clock pulse from a spike. Changes of the data pin alone may be told or left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The clock pin.
    pub clock: Level,
    /// The data pin.
    pub data: Level,
}

/// Which way the clock went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slope {
    /// From high to low.
    Falling,
    /// From low to high.
    Rising,
}
