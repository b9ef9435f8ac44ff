//! How far clips have advanced through the measuring order, claw by claw.

use hornrule_protocol::{Claw, Place, Side};

/// Clips on each of the eight claws since the cow came in or the claw was trimmed. Remembered when
/// the trimmer moves to another claw, so that they can come back to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Walk([u8; 8]);

impl Walk {
    pub(super) const fn new() -> Self {
        Self([0; 8])
    }

    fn place(&mut self, claw: Claw) -> &mut u8 {
        // Four feet, sides 1 and 2: 0 to 7.
        &mut self.0[usize::from(claw.foot.number() * 2 + claw.side.number() - 1)]
    }

    pub(super) fn of(mut self, claw: Claw) -> u8 {
        *self.place(claw)
    }

    pub(super) fn on(&mut self, claw: Claw) {
        let place = self.place(claw);
        *place = place.saturating_add(1);
    }

    pub(super) fn back(&mut self, claw: Claw) {
        let place = self.place(claw);
        *place = place.saturating_sub(1);
    }

    /// From the first step again: on one claw, on both of a foot, or on all.
    pub(super) fn restart(&mut self, place: Place) {
        match place {
            Place::Claw(claw) => *self.place(claw) = 0,
            Place::Foot(foot) => {
                for side in Side::ALL {
                    *self.place(Claw { foot, side }) = 0;
                }
            }
            Place::Cow => *self = Self::new(),
        }
    }
}
