//! What the plan knows of one cow beyond her needs: version 3.
//!
//! ```text
//! 0       2         3       4        5        6      7   8             12
//! +-------+---------+-------+--------+--------+------+---+---------------+
//! | place | due off | floor | growth | claws  | feet | 0 | way drawn     |
//! +-------+---------+-------+--------+--------+------+---+---------------+
//!                                     with an open lesion  a nibble a claw
//! ```
//!
//! Only cows that have something have a row; rows ascend by place. The handheld keeps those of the
//! cow in hand only.

use super::MAX_WAY;
use crate::{Claw, Foot, Nanometres, Side};

/// Bytes of one cow's particulars.
pub const PARTICULARS: usize = 12;

const HALF_MM_NM: i32 = 500_000;
const FIFTH_MM_NM: i32 = 200_000;
/// Floor of a cow that has none, where the plan has one.
const NO_FLOOR: u8 = u8::MAX;

/// A length in half millimetres; zero is none. What the head and the particulars have of floors and
/// differences.
#[must_use]
pub(crate) const fn half_mm(count: u8) -> Option<Nanometres> {
    if count == 0 { None } else { Some(Nanometres(count as i32 * HALF_MM_NM)) }
}

/// The shortest dorsal wall that trimming may leave.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Floor {
    /// That of the whole plan.
    #[default]
    OfPlan,
    /// None: a heifer, or a cow of whom nothing is known.
    None,
    /// So many half millimetres, 1 to 254.
    HalfMm(u8),
}

impl Floor {
    /// As in the particulars. Numbers that no floor has count as none.
    const fn to_byte(self) -> u8 {
        match self {
            Self::OfPlan => 0,
            Self::None | Self::HalfMm(0) => NO_FLOOR,
            Self::HalfMm(count) => count,
        }
    }

    const fn from_byte(byte: u8) -> Self {
        match byte {
            0 => Self::OfPlan,
            NO_FLOOR => Self::None,
            count => Self::HalfMm(count),
        }
    }

    /// The length, where the plan's own is so many half millimetres (0: none).
    #[must_use]
    pub const fn length(self, of_plan: u8) -> Option<Nanometres> {
        match self {
            Self::OfPlan => half_mm(of_plan),
            Self::None => None,
            Self::HalfMm(count) => half_mm(count),
        }
    }
}

/// What the plan knows of one cow beyond her needs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Particulars {
    due_off: u8,
    floor: u8,
    growth: u8,
    claws: u8,
    feet: u8,
    ways: [u8; 4],
}

/// Place of a claw, 0 to 7: outer before inner, feet by their number.
#[must_use]
pub const fn place(claw: Claw) -> u8 {
    let inner = matches!(claw.side, Side::Medial) as u8;
    claw.foot.number() * 2 + inner
}

impl Particulars {
    /// Nothing.
    pub const NONE: Self =
        Self { due_off: 0, floor: 0, growth: 0, claws: 0, feet: 0, ways: [0; 4] };

    /// Whether there is nothing to say: such a cow has no row.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::NONE
    }

    /// Without what a blind day does not tell of lengths.
    #[must_use]
    pub const fn blind(self) -> Self {
        self.with_floor(Floor::None).with_growth(0)
    }

    /// Whether a lesion of hers is open, or it is known which of block and wrap is due off.
    #[must_use]
    pub const fn is_asked_after(&self) -> bool {
        self.claws != 0 || self.feet != 0 || self.due_off != 0
    }

    /// With a wrap that is due off this foot.
    #[must_use]
    pub const fn with_wrap(mut self, foot: Foot) -> Self {
        self.due_off |= 1 << foot.number();
        self
    }

    /// With a block that is due off this foot.
    #[must_use]
    pub const fn with_block(mut self, foot: Foot) -> Self {
        self.due_off |= 1 << (4 + foot.number());
        self
    }

    /// With a floor of her own.
    #[must_use]
    pub const fn with_floor(mut self, floor: Floor) -> Self {
        self.floor = floor.to_byte();
        self
    }

    /// With the most regrown horn that is usual by now, fifths of a millimetre; 0: not known.
    #[must_use]
    pub const fn with_growth(mut self, fifths: u8) -> Self {
        self.growth = fifths;
        self
    }

    /// With an open lesion of this claw.
    #[must_use]
    pub const fn with_lesion_of_claw(mut self, claw: Claw) -> Self {
        self.claws |= 1 << place(claw);
        self
    }

    /// With an open lesion of this foot, not of one of its claws.
    #[must_use]
    pub const fn with_lesion_of_foot(mut self, foot: Foot) -> Self {
        self.feet |= 1 << foot.number();
        self
    }

    /// With the way of gluing drawn for this claw, 1 to 9; 0: none drawn. `None` for any other.
    #[must_use]
    pub const fn with_way(mut self, claw: Claw, way: u8) -> Option<Self> {
        if way > MAX_WAY {
            return None;
        }
        let (at, shift) = (place(claw) / 2, place(claw) % 2 * 4);
        self.ways[at as usize] = self.ways[at as usize] & !(0xF << shift) | way << shift;
        Some(self)
    }

    /// Whether a wrap is due off this foot.
    #[must_use]
    pub const fn has_wrap(&self, foot: Foot) -> bool {
        self.due_off >> foot.number() & 1 == 1
    }

    /// Whether a block is due off this foot.
    #[must_use]
    pub const fn has_block(&self, foot: Foot) -> bool {
        self.due_off >> (4 + foot.number()) & 1 == 1
    }

    /// Her floor.
    #[must_use]
    pub const fn floor(&self) -> Floor {
        Floor::from_byte(self.floor)
    }

    /// The most regrown horn that is usual by now; `None` if that is not known.
    #[must_use]
    pub const fn growth(&self) -> Option<Nanometres> {
        match self.growth {
            0 => None,
            fifths => Some(Nanometres(fifths as i32 * FIFTH_MM_NM)),
        }
    }

    /// Claws with an open lesion: bits by [`place`].
    #[must_use]
    pub const fn open_claws(&self) -> u8 {
        self.claws
    }

    /// Feet with an open lesion of the foot: bits by number.
    #[must_use]
    pub const fn open_feet(&self) -> u8 {
        self.feet
    }

    /// The way drawn for this claw, 1 to 9; `None` if none was.
    #[must_use]
    pub const fn way(&self, claw: Claw) -> Option<u8> {
        match self.ways[(place(claw) / 2) as usize] >> (place(claw) % 2 * 4) & 0xF {
            0 => None,
            way => Some(way),
        }
    }

    /// As in the plan, of the cow at this place among the rows.
    #[must_use]
    pub const fn to_bytes(self, place: u16) -> [u8; PARTICULARS] {
        let [low, high] = place.to_le_bytes();
        let [a, b, c, d] = self.ways;
        let Self { due_off, floor, growth, claws, feet, .. } = self;
        [low, high, due_off, floor, growth, claws, feet, 0, a, b, c, d]
    }

    /// From the plan, with the place of the cow; `None` for anything that [`Self::to_bytes`] does
    /// not write, and for a row that says nothing.
    #[must_use]
    pub fn from_bytes(bytes: &[u8; PARTICULARS]) -> Option<(u16, Self)> {
        let [low, high, due_off, floor, growth, claws, feet, zero, a, b, c, d] = *bytes;
        let one = Self { due_off, floor, growth, claws, feet, ways: [a, b, c, d] };
        let is_way = |nibble: u8| nibble <= MAX_WAY;
        let ways = one.ways.iter().all(|pair| is_way(pair & 0xF) && is_way(pair >> 4));
        let known = zero == 0 && feet < 16 && ways && !one.is_none();
        known.then_some((u16::from_le_bytes([low, high]), one))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn full() -> Particulars {
        let claw = Claw { foot: Foot::RightHind, side: Side::Medial };
        Particulars::NONE
            .with_wrap(Foot::LeftFore)
            .with_block(Foot::RightHind)
            .with_floor(Floor::HalfMm(150))
            .with_growth(16)
            .with_lesion_of_claw(claw)
            .with_lesion_of_foot(Foot::LeftHind)
            .with_way(claw, 9)
            .unwrap()
    }

    #[test]
    fn particulars_are_read_back_and_others_refused() {
        let bytes = full().to_bytes(0x0102);
        assert_eq!(bytes, [2, 1, 0x81, 150, 16, 0x80, 0x04, 0, 0, 0, 0, 0x90]);
        assert_eq!(Particulars::from_bytes(&bytes), Some((0x0102, full())));
        for bit in 0..8 * PARTICULARS {
            let mut other = bytes;
            other[bit / 8] ^= 1 << (bit % 8);
            assert_ne!(Particulars::from_bytes(&other), Some((0x0102, full())), "bit {bit}");
        }
        for (at, value) in [(6, 16), (7, 1), (8, 10), (11, 0xA0)] {
            let mut other = bytes;
            other[at] = value;
            assert_eq!(Particulars::from_bytes(&other), None, "{at} {value}");
        }
        assert_eq!(Particulars::from_bytes(&Particulars::NONE.to_bytes(7)), None, "says nothing");
    }

    #[test]
    fn what_is_said_of_one_place_is_said_of_no_other() {
        for foot in Foot::ALL {
            for other in Foot::ALL {
                assert_eq!(Particulars::NONE.with_wrap(foot).has_wrap(other), foot == other);
                assert_eq!(Particulars::NONE.with_block(foot).has_block(other), foot == other);
                assert!(!Particulars::NONE.with_block(foot).has_wrap(other));
            }
            for side in Side::ALL {
                let claw = Claw { foot, side };
                let one = Particulars::NONE.with_way(claw, 3).unwrap();
                let again = one.with_way(claw, 4).unwrap();
                for place in Claw::all() {
                    assert_eq!(again.way(place), (place == claw).then_some(4));
                }
                assert_eq!(again.with_way(claw, 0), Some(Particulars::NONE));
                assert_eq!(one.with_way(claw, 10), None);
            }
        }
    }

    #[test]
    fn a_floor_is_hers_or_the_plans_or_none() {
        let floor = |floor| Particulars::NONE.with_floor(floor).floor();
        assert_eq!(floor(Floor::OfPlan).length(150), Some(Nanometres::from_mm(75)));
        assert_eq!(floor(Floor::OfPlan).length(0), None);
        assert_eq!(floor(Floor::None).length(150), None);
        assert_eq!(floor(Floor::HalfMm(161)).length(150), Some(Nanometres(80_500_000)));
        assert!(Particulars::NONE.with_floor(Floor::OfPlan).is_none());
        assert_eq!(Particulars::NONE.with_growth(16).growth(), Some(Nanometres(3_200_000)));
        assert_eq!(Particulars::NONE.growth(), None);
    }
}
