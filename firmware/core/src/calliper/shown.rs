//! What one good packet says, before anybody trusts it.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperKind, UnitMode};

/// The display of a calliper as one packet told it.
///
/// Not yet a reading: neither output has a checksum, so a single packet can be wrong and well
/// formed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The length, exact.
    pub length: Nanometres,
    /// The unit the calliper is set to.
    pub unit: UnitMode,
    /// Which output told it.
    pub kind: CalliperKind,
    /// One step of the display, in nanometres.
    pub step: u32,
}

impl Shown {
    /// Whether two packets tell the same: same calliper, unit and step, and at most one step
    /// apart. A display at rest may flicker by one step; anything more is a moving jaw or a wrong
    /// bit.
    #[must_use]
    pub fn agrees(self, other: Self) -> bool {
        self.kind == other.kind
            && self.unit == other.unit
            && self.step == other.step
            && self.length.distance(other.length) <= self.step
    }
}
