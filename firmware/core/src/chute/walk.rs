//! How far clips have advanced through the measuring order, claw by claw.

use hornrule_protocol::plan::place;
use hornrule_protocol::{Claw, Place, Side};

/// The claw is said to be trimmed; the bits below count its clips.
const TRIMMED: u8 = 1 << 7;

/// Clips on each of the eight claws since the cow came in or the claw was trimmed, and whether it
/// was. Remembered when the trimmer moves to another claw, so that they can come back to it. Of a
/// hundred and twenty-eight clips on one claw the last is not counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Walk([u8; 8]);

impl Walk {
    pub(super) const fn new() -> Self {
        Self([0; 8])
    }

    fn place(&mut self, claw: Claw) -> &mut u8 {
        // Four feet of two claws: 0 to 7.
        &mut self.0[usize::from(place(claw) & 7)]
    }

    pub(super) fn of(mut self, claw: Claw) -> u8 {
        *self.place(claw) & !TRIMMED
    }

    /// Whether the claw was said to be trimmed since the cow came in.
    pub(super) fn is_trimmed(mut self, claw: Claw) -> bool {
        *self.place(claw) & TRIMMED != 0
    }

    pub(super) fn on(&mut self, claw: Claw) {
        let place = self.place(claw);
        *place += u8::from(*place & !TRIMMED < !TRIMMED);
    }

    pub(super) fn back(&mut self, claw: Claw) {
        let place = self.place(claw);
        *place -= u8::from(*place & !TRIMMED > 0);
    }

    /// From the first step again: on one claw, on both of a foot, or on all.
    pub(super) fn restart(&mut self, place: Place) {
        match place {
            Place::Claw(claw) => *self.place(claw) = TRIMMED,
            Place::Foot(foot) => {
                for side in Side::ALL {
                    *self.place(Claw { foot, side }) = TRIMMED;
                }
            }
            Place::Cow => *self = Self([TRIMMED; 8]),
        }
    }
}
