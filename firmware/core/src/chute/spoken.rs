//! What has been said of the cow in hand, as far as a warning asks. `WARNINGS.md` in this crate's
//! folder has the rules.
//!
//! ```text
//! of each foot, 11 bits:   | foot | inner outer | inner outer | inner outer | inner | outer |
//!                           spoken  spoken of     lowered       block         worst lesion
//! ```

use hornrule_protocol::codes::named::{
    AMPUTATED, BLOCK_LOST, CLAW_LOWERED, HEALED, SEE_AGAIN, VET_HAS_SEEN, VET_NOW, VET_TO_SEE,
};
use hornrule_protocol::codes::{ActionKind, Burden, Says, Seat};
use hornrule_protocol::plan::Particulars;
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Claw, Foot, Place, Side};

const BLOCK: u8 = 4;
const LOWERED: u8 = 6;
const SPOKEN: u8 = 8;
const SPOKEN_FOOT: u16 = 1 << 10;
/// What was said of a foot takes the bits below; above stand its number and that there is one.
const FOOT_AT: u8 = 13;
const IS_FOOT: u16 = 1 << 15;
const OF_FOOT: u16 = (1 << FOOT_AT) - 1;

/// What was known before a sentence, to be brought back by UNDO: of its foot, or for a clip the heel
/// height of its claw. Which of them it is, the effect of the sentence says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Before(pub(super) u16);

impl Before {
    /// Nothing is to be brought back.
    pub(super) const NOTHING: Self = Self(0);
}

/// What has been said of each foot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Spoken([u16; 4]);

const fn inner(claw: Claw) -> u8 {
    matches!(claw.side, Side::Medial) as u8
}

impl Spoken {
    pub(super) const fn new() -> Self {
        Self([0; 4])
    }

    /// Of a cow who comes in with these lesions open: of which kind is not known.
    pub(super) fn of(hers: &Particulars) -> Self {
        let mut spoken = Self::new();
        for claw in Claw::all() {
            if hers.open_claws() >> hornrule_protocol::plan::place(claw) & 1 == 1 {
                spoken.set_worst(claw, Burden::Slight);
            }
        }
        spoken
    }

    fn foot(&mut self, foot: Foot) -> &mut u16 {
        // Four feet: 0 to 3.
        &mut self.0[usize::from(foot.number() & 3)]
    }

    const fn has(self, claw: Claw, at: u8) -> bool {
        self.0[(claw.foot.number() & 3) as usize] >> (at + inner(claw)) & 1 == 1
    }

    fn mark(&mut self, claw: Claw, at: u8, holds: bool) {
        let bit = 1 << (at + inner(claw));
        let foot = self.foot(claw.foot);
        *foot = if holds { *foot | bit } else { *foot & !bit };
    }

    const fn worst(self, claw: Claw) -> Burden {
        Burden::from_bits(self.0[(claw.foot.number() & 3) as usize] >> (2 * inner(claw)))
    }

    fn set_worst(&mut self, claw: Claw, burden: Burden) {
        let shift = 2 * inner(claw);
        let foot = self.foot(claw.foot);
        *foot = *foot & !(3 << shift) | (burden as u16) << shift;
    }

    /// What is known of this foot, to be brought back by UNDO.
    pub(super) fn before(mut self, foot: Option<Foot>) -> Before {
        foot.map_or(Before::NOTHING, |foot| {
            Before(*self.foot(foot) | u16::from(foot.number()) << FOOT_AT | IS_FOOT)
        })
    }

    /// As it was.
    pub(super) fn bring_back(&mut self, before: Before) {
        let foot = Foot::ALL.get(usize::from(before.0 >> FOOT_AT & 3));
        if let Some(foot) = foot.filter(|_| before.0 & IS_FOOT != 0) {
            *self.foot(*foot) = before.0 & OF_FOOT;
        }
    }

    /// A finding. Says whether a block glued before it is on the lesion.
    pub(super) fn found(&mut self, finding: &Finding) -> bool {
        if finding.lesion.says == Says::Sign {
            self.sign(finding);
            return false;
        }
        match (finding.lesion.seat, finding.place) {
            (Seat::Foot, place) => {
                if let Some(foot) = place.foot() {
                    *self.foot(foot) |= SPOKEN_FOOT;
                }
                false
            }
            (Seat::Claw, Place::Claw(claw)) => {
                self.mark(claw, SPOKEN, true);
                let burden = Burden::of(finding.lesion);
                let sound = finding.lesion.code == hornrule_protocol::codes::named::SOUND;
                let worst = if sound { Burden::None } else { self.worst(claw).max(burden) };
                self.set_worst(claw, worst);
                burden > Burden::None && self.is_block_on_lesion(claw)
            }
            (Seat::Claw, Place::Foot(_) | Place::Cow) => false,
        }
    }

    /// A sign says nothing of how a lesion is; but on a digit that is gone there is neither lesion nor
    /// block.
    fn sign(&mut self, finding: &Finding) {
        if let (AMPUTATED, Place::Claw(claw)) = (finding.lesion.code, finding.place) {
            self.mark(claw, SPOKEN, true);
            self.mark(claw, BLOCK, false);
            self.set_worst(claw, Burden::None);
        }
    }

    /// Something done. Says whether it glued a block on the lesion.
    pub(super) fn done(&mut self, done: &Done) -> bool {
        match (done.action.kind, done.place) {
            (ActionKind::BlockOn, Place::Claw(claw)) => {
                self.mark(claw, BLOCK, true);
                return self.is_block_on_lesion(claw);
            }
            (ActionKind::BlockSeen, Place::Claw(claw))
                if done.action.code == BLOCK_LOST || done.action.takes_block_off() =>
            {
                self.mark(claw, BLOCK, false);
            }
            (ActionKind::Horn, Place::Claw(claw)) if done.action.code == CLAW_LOWERED => {
                self.mark(claw, LOWERED, true);
            }
            (ActionKind::Healing, Place::Claw(claw)) if self.worst(claw) > Burden::None => {
                self.mark(claw, SPOKEN, true);
                if done.action.code == HEALED {
                    self.set_worst(claw, Burden::None);
                }
            }
            (ActionKind::Healing, Place::Claw(claw)) => *self.foot(claw.foot) |= SPOKEN_FOOT,
            (ActionKind::Ahead, Place::Foot(foot))
                if matches!(done.action.code, VET_TO_SEE | VET_NOW | SEE_AGAIN | VET_HAS_SEEN) =>
            {
                *self.foot(foot) |= SPOKEN_FOOT | 3 << SPOKEN;
            }
            _ => {}
        }
        false
    }

    /// A block is on this claw, and the lesion of its partner is not as bad.
    fn is_block_on_lesion(self, claw: Claw) -> bool {
        let partner = Claw { side: claw.side.partner(), ..claw };
        self.has(claw, BLOCK) && self.worst(claw) > self.worst(partner)
    }

    /// Whether the claws of this foot are meant to stand unevenly.
    pub(super) fn is_meant_uneven(mut self, foot: Foot) -> bool {
        *self.foot(foot) & (3 << BLOCK | 3 << LOWERED) != 0
    }

    /// Feet with a lesion that was open and was not spoken of: bits by number.
    pub(super) fn not_spoken_of(mut self, hers: &Particulars) -> u8 {
        Foot::ALL.into_iter().fold(0, |feet, foot| {
            let said = *self.foot(foot);
            let claws = hers.open_claws() >> (2 * foot.number()) & 3;
            let of_foot = hers.open_feet() >> foot.number() & 1 == 1;
            let open = u16::from(claws) & !(said >> SPOKEN) != 0;
            let silent = open || of_foot && said & SPOKEN_FOOT == 0;
            feet | u8::from(silent) << foot.number()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_protocol::{Action, Lesion};

    const OUTER: Claw = Claw { foot: Foot::RightHind, side: Side::Lateral };
    const INNER: Claw = Claw { foot: Foot::RightHind, side: Side::Medial };
    const FOOT: Place = Place::Foot(Foot::RightHind);

    fn find(spoken: &mut Spoken, code: u8, place: Place) -> bool {
        let lesion = Lesion::from_code(code).unwrap();
        spoken.found(&Finding { lesion, place, grade: 1, zone: None })
    }

    fn act(spoken: &mut Spoken, code: u8, place: Place) -> bool {
        spoken.done(&Done { action: Action::from_code(code).unwrap(), place, days: 0 })
    }

    #[test]
    fn a_block_on_the_worse_claw_is_told_in_either_order() {
        for (outer, inner, expected) in [
            (13, 0, true),
            (13, 19, true),
            (13, 21, true),
            (13, 22, false),
            (19, 19, false),
            (19, 12, false),
            (52, 0, false),
            (18, 0, false),
        ] {
            let mut first = Spoken::new();
            find(&mut first, outer, Place::Claw(OUTER));
            find(&mut first, inner, Place::Claw(INNER));
            assert_eq!(act(&mut first, 14, Place::Claw(OUTER)), expected, "{outer} {inner}");
            let mut last = Spoken::new();
            act(&mut last, 10, Place::Claw(OUTER));
            find(&mut last, inner, Place::Claw(INNER));
            assert_eq!(find(&mut last, outer, Place::Claw(OUTER)), expected, "{outer} {inner}");
        }
        let mut spoken = Spoken::new();
        find(&mut spoken, 13, Place::Claw(OUTER));
        assert!(!act(&mut spoken, 10, Place::Claw(INNER)), "where it belongs");
        assert!(!find(&mut spoken, 31, FOOT), "skin has no partner");
    }

    #[test]
    fn what_is_healed_or_sound_or_taken_off_is_no_lesion_and_no_block() {
        let hers = Particulars::NONE.with_lesion_of_claw(OUTER);
        for (find_code, act_code, expected) in [
            (None, None, true),
            (None, Some(50), false),
            (Some(0), None, false),
            (None, Some(51), true),
        ] {
            let mut spoken = Spoken::of(&hers);
            find_code.map(|code| find(&mut spoken, code, Place::Claw(OUTER)));
            act_code.map(|code| act(&mut spoken, code, Place::Claw(OUTER)));
            assert_eq!(
                act(&mut spoken, 10, Place::Claw(OUTER)),
                expected,
                "{find_code:?} {act_code:?}"
            );
        }
        let mut spoken = Spoken::new();
        act(&mut spoken, 10, Place::Claw(OUTER));
        assert!(spoken.is_meant_uneven(OUTER.foot) && !spoken.is_meant_uneven(Foot::LeftHind));
        act(&mut spoken, 41, Place::Claw(OUTER));
        assert!(!find(&mut spoken, 13, Place::Claw(OUTER)) && !spoken.is_meant_uneven(OUTER.foot));
        act(&mut spoken, 32, Place::Claw(OUTER));
        assert!(spoken.is_meant_uneven(OUTER.foot));
    }

    /// The table of `WARNINGS.md`: what answers for a claw, and for a foot.
    #[test]
    fn a_word_about_it_answers_and_nothing_else_does() {
        let claw = Particulars::NONE.with_lesion_of_claw(OUTER);
        let foot = Particulars::NONE.with_lesion_of_foot(OUTER.foot);
        let silent = |hers: &Particulars, tell: &dyn Fn(&mut Spoken)| {
            let mut spoken = Spoken::of(hers);
            tell(&mut spoken);
            spoken.not_spoken_of(hers) != 0
        };
        assert_eq!(Spoken::of(&claw).not_spoken_of(&claw), 0b1000);
        let (at, beside) = (Place::Claw(OUTER), Place::Claw(INNER));
        let finds = [(13, at, [false, true]), (0, at, [false, true]), (0, beside, [true, true])];
        for (code, place, expected) in finds.into_iter().chain([(31, FOOT, [true, false])]) {
            let spoken = [&claw, &foot].map(|hers| {
                silent(hers, &|spoken| {
                    find(spoken, code, place);
                })
            });
            assert_eq!(spoken, expected, "FIND {code} {place:?}");
        }
        for code in [50, 51, 52, 53] {
            let spoken = [&claw, &foot].map(|hers| {
                silent(hers, &|spoken| {
                    act(spoken, code, at);
                })
            });
            assert_eq!(spoken, [false, false], "DO {code}");
            assert!(
                silent(&claw, &|spoken| {
                    act(spoken, code, beside);
                }),
                "DO {code} beside"
            );
        }
        for code in [80, 81, 82, 83] {
            let spoken = [&claw, &foot].map(|hers| {
                silent(hers, &|spoken| {
                    act(spoken, code, FOOT);
                })
            });
            assert_eq!(spoken, [false, false], "DO {code}");
        }
        for (code, place) in
            [(30, Place::Cow), (30, at), (10, at), (21, FOOT), (90, FOOT), (40, at)]
        {
            let spoken = [&claw, &foot].map(|hers| {
                silent(hers, &|spoken| {
                    act(spoken, code, place);
                })
            });
            assert_eq!(spoken, [true, true], "DO {code}");
        }
        // An outcome at the claw is about its own ulcer, and not about the skin as well.
        let both = claw.with_lesion_of_foot(OUTER.foot);
        assert!(silent(&both, &|spoken| {
            act(spoken, 51, at);
        }));
    }

    /// Pain and the like are no word about a lesion, and none of them is one; a digit that is gone has
    /// neither lesion nor block. A block taken off for a reason is off.
    #[test]
    fn a_sign_answers_nothing_but_that_the_digit_is_gone() {
        let claw = Particulars::NONE.with_lesion_of_claw(OUTER);
        let foot = Particulars::NONE.with_lesion_of_foot(OUTER.foot);
        for (sign, place) in
            [(71, Place::Claw(OUTER)), (72, Place::Claw(OUTER)), (55, FOOT), (78, FOOT)]
        {
            for hers in [&claw, &foot] {
                let mut spoken = Spoken::of(hers);
                assert!(!find(&mut spoken, sign, place));
                assert_eq!(spoken, Spoken::of(hers), "{sign}");
            }
        }
        let mut spoken = Spoken::of(&claw);
        act(&mut spoken, 10, Place::Claw(OUTER));
        find(&mut spoken, 64, Place::Claw(OUTER));
        assert_eq!(spoken.not_spoken_of(&claw), 0);
        assert!(!spoken.is_meant_uneven(OUTER.foot));
        for code in 43..=47 {
            let mut spoken = Spoken::new();
            find(&mut spoken, 71, Place::Claw(OUTER));
            assert!(!act(&mut spoken, 10, Place::Claw(OUTER)), "pain is no lesion");
            act(&mut spoken, code, Place::Claw(OUTER));
            assert!(!spoken.is_meant_uneven(OUTER.foot), "DO {code}");
        }
    }

    #[test]
    fn a_foot_is_brought_back_and_the_others_stay() {
        let mut spoken = Spoken::new();
        find(&mut spoken, 19, Place::Claw(Claw { foot: Foot::LeftFore, ..OUTER }));
        find(&mut spoken, 12, Place::Claw(INNER));
        let (then, before) = (spoken, spoken.before(Some(OUTER.foot)));
        find(&mut spoken, 13, Place::Claw(OUTER));
        act(&mut spoken, 10, Place::Claw(OUTER));
        act(&mut spoken, 82, FOOT);
        assert_ne!(spoken, then);
        spoken.bring_back(before);
        assert_eq!(spoken, then);
        spoken.bring_back(spoken.before(None));
        assert_eq!(spoken, then);
    }
}
