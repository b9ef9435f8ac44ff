//! What the pins read.
//!
//! ```text
//! clock  ‾‾|__|‾‾|__|‾‾      Level: High or Low as the handheld sees it
//!          ^ Falling         Slope: which way the clock went
//! ```

pub use hornrule_protocol::calliper::{Level, Slope};

/// A change of the clock or data pin, with both levels just after it.
///
/// Every change of the clock must be reported, both ways, because how long a level lasts tells a
/// clock pulse from a spike. Changes of the data pin alone may be reported or left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The clock pin.
    pub clock: Level,
    /// The data pin.
    pub data: Level,
}
