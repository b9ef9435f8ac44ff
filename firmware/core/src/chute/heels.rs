//! Heel heights of the cow in hand, since each claw was trimmed.

use hornrule_protocol::plan::place;
use hornrule_protocol::{Claw, Nanometres, Place, Side};

use super::spoken::Before;

const HUNDREDTH_NM: i32 = 10_000;

/// Of each claw, hundredths of a millimetre; 0 is not measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Heels([u16; 8]);

impl Heels {
    pub(super) const fn new() -> Self {
        Self([0; 8])
    }

    fn of(&self, claw: Claw) -> u16 {
        self.0[usize::from(place(claw) & 7)]
    }

    /// What is known of this claw, to be brought back by UNDO.
    pub(super) fn before(&self, claw: Claw) -> Before {
        Before(self.of(claw))
    }

    /// As it was.
    pub(super) fn bring_back(&mut self, claw: Claw, before: Before) {
        self.set(claw, before.0);
    }

    fn set(&mut self, claw: Claw, hundredths: u16) {
        self.0[usize::from(place(claw) & 7)] = hundredths;
    }

    /// The last one counts: it was clipped again for a reason. A length that no heel has is not
    /// remembered.
    pub(super) fn clip(&mut self, claw: Claw, length: Nanometres) {
        self.set(claw, u16::try_from(length.0 / HUNDREDTH_NM).unwrap_or(0));
    }

    /// How far the heels of this claw and its partner are apart; `None` unless both are known.
    pub(super) fn difference(&self, claw: Claw) -> Option<Nanometres> {
        let partner = Claw { side: claw.side.partner(), ..claw };
        let (one, other) = (self.of(claw), self.of(partner));
        (one > 0 && other > 0).then(|| Nanometres(i32::from(one.abs_diff(other)) * HUNDREDTH_NM))
    }

    /// Horn was taken off: what was measured before is no height of now.
    pub(super) fn forget(&mut self, at: Place) {
        match at {
            Place::Claw(claw) => self.set(claw, 0),
            Place::Foot(foot) => {
                for side in Side::ALL {
                    self.set(Claw { foot, side }, 0);
                }
            }
            Place::Cow => *self = Self::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_protocol::Foot;

    #[test]
    fn heels_of_one_foot_are_compared_since_they_were_trimmed() {
        let claw = |foot, side| Claw { foot, side };
        let [outer, inner] = Side::ALL.map(|side| claw(Foot::LeftHind, side));
        let mut heels = Heels::new();
        heels.clip(outer, Nanometres(40_010_000));
        heels.clip(claw(Foot::RightHind, Side::Medial), Nanometres(30_000_000));
        assert_eq!(heels.difference(inner), None);
        heels.clip(inner, Nanometres(43_000_000));
        for claw in [outer, inner] {
            assert_eq!(heels.difference(claw), Some(Nanometres(2_990_000)));
        }
        heels.forget(Place::Foot(Foot::RightHind));
        assert!(heels.difference(outer).is_some());
        heels.forget(Place::Claw(inner));
        assert_eq!((heels.difference(outer), heels.of(outer)), (None, 4_001));
        heels.clip(inner, Nanometres(-1));
        heels.clip(inner, Nanometres(i32::MAX));
        assert_eq!(heels.difference(outer), None, "no heel is so high");
        heels.forget(Place::Cow);
        assert_eq!(heels, Heels::new());
    }
}
