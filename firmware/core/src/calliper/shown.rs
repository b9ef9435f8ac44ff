//! What one good packet says, before it is trusted.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperKind, UnitMode};

/// A calliper's display as one packet reported it.
///
/// Not yet a reading: no output has a checksum, so a single packet can be well formed and still
/// wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The length, exact.
    pub length: Nanometres,
    /// The unit the calliper is set to.
    pub unit: UnitMode,
    /// Which output reported it.
    pub kind: CalliperKind,
    /// One step of the display, in nanometres.
    pub step: u32,
}

impl Shown {
    /// Whether two packets agree: same calliper, unit and step, and at most one step apart. A
    /// display at rest may flicker by one step; anything more is a moving jaw or a wrong bit.
    #[must_use]
    pub fn agrees(self, other: Self) -> bool {
        self.kind == other.kind
            && self.unit == other.unit
            && self.step == other.step
            && self.length.distance(other.length) <= self.step
    }
}
