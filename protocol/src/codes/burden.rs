//! How much a horn lesion asks for its claw to be spared: which claw of two a block belongs on. The
//! handheld and the office ask the same table.

use super::{Lesion, Says, Seat, named};

/// How much a horn lesion asks for its claw to be spared, rising.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Burden {
    /// It says nothing of where a block belongs: no lesion, one of the skin, a claw's shape, a thin
    /// sole.
    #[default]
    None,
    /// Any other horn lesion.
    Slight,
    /// Horn that is damaged, or shows what lies below it.
    Damaged,
    /// Live or dead tissue is open, or under pus.
    Open,
}

/// Live or dead tissue is open, or under pus.
const OPEN: [u8; 5] = [
    named::SOLE_ULCER,
    named::BULB_ULCER,
    named::TOE_ULCER,
    named::TOE_NECROSIS,
    named::WHITE_LINE_ABSCESS,
];
/// Circumscribed haemorrhage, double sole, white line fissure, white line separation at the heel
/// bulb.
const DAMAGED: [u8; 4] = [12, 17, 21, 23];
/// Sound; thin sole, corkscrew claw, concave dorsal wall.
const LEFT_OUT: [u8; 4] = [named::SOUND, 18, 52, 54];

impl Burden {
    /// All, rising.
    pub const ALL: [Self; 4] = [Self::None, Self::Slight, Self::Damaged, Self::Open];

    /// Of this lesion.
    #[must_use]
    pub fn of(lesion: Lesion) -> Self {
        let code = lesion.code();
        if lesion.seat == Seat::Foot || lesion.says != Says::Lesion || LEFT_OUT.contains(&code) {
            Self::None
        } else if OPEN.contains(&code) {
            Self::Open
        } else if DAMAGED.contains(&code) {
            Self::Damaged
        } else {
            Self::Slight
        }
    }

    /// From its place in [`Self::ALL`], of which the lowest two bits count.
    #[must_use]
    pub const fn from_bits(bits: u16) -> Self {
        Self::ALL[(bits & 3) as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_listed_code_is_a_lesion_of_the_claw() {
        for code in OPEN.into_iter().chain(DAMAGED).chain(LEFT_OUT) {
            let lesion = Lesion::from_code(code).unwrap();
            assert_eq!(lesion.seat, Seat::Claw, "{code}");
        }
        let of = |code| Burden::of(Lesion::from_code(code).unwrap());
        assert_eq!([of(0), of(31), of(19), of(12), of(13)], {
            use Burden::{Damaged, None, Open, Slight};
            [None, None, Slight, Damaged, Open]
        });
        for (bits, burden) in (0..).zip(Burden::ALL) {
            assert_eq!((burden as u16, Burden::from_bits(bits)), (bits, burden));
        }
    }
}
