//! A cow of the plan, and what she needs at the chute.

use super::ROW;
use crate::{AnimalNumber, Foot};

const NEED_BITS: u32 = 15;
const TAG: u64 = 1 << 63;
/// Position of the farm within the 48 bits of a herd number, which takes 30.
const FARM_BITS: u32 = 44;

/// One thing a cow needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// A lesion on this foot needs a recheck.
    Recheck(Foot),
    /// The block or wrap on this foot has to come off.
    BlockOff(Foot),
    /// This foot needs trimming.
    TrimFoot(Foot),
    /// She must not be trimmed.
    DoNotTrim,
    /// She is for the vet.
    Vet,
    /// Something is due with no foot named: a trim, or a look at her.
    WholeCow,
}

impl Need {
    const fn bit(self) -> u16 {
        let place = match self {
            Self::Recheck(foot) => foot.number(),
            Self::BlockOff(foot) => 4 + foot.number(),
            Self::TrimFoot(foot) => 8 + foot.number(),
            Self::DoNotTrim => 12,
            Self::Vet => 13,
            Self::WholeCow => 14,
        };
        1 << place
    }
}

/// What a cow needs: a set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Needs(u16);

impl Needs {
    /// Nothing.
    pub const NONE: Self = Self(0);
    const OF_FEET: u16 = 0x0FFF;

    /// From the 15 bits of a row; a sixteenth is dropped.
    #[must_use]
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits & ((1 << NEED_BITS) - 1))
    }

    /// The 15 bits of a row.
    #[must_use]
    pub const fn bits(self) -> u16 {
        self.0
    }

    /// With this need added.
    #[must_use]
    pub const fn with(self, need: Need) -> Self {
        Self(self.0 | need.bit())
    }

    /// Whether this need is in the set.
    #[must_use]
    pub const fn has(self, need: Need) -> bool {
        self.0 & need.bit() != 0
    }

    /// Whether anything is due on this foot.
    #[must_use]
    pub const fn is_due(self, foot: Foot) -> bool {
        self.has(Need::Recheck(foot))
            || self.has(Need::BlockOff(foot))
            || self.has(Need::TrimFoot(foot))
    }

    /// Whether anything is due at all: on a foot, or on the whole cow.
    #[must_use]
    pub const fn is_any_due(self) -> bool {
        self.0 & Self::OF_FEET != 0 || self.has(Need::WholeCow)
    }
}

/// A cow of the plan, ordered as on flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Row(u64);

impl Row {
    /// A cow of this farm. A tag number is hers on any farm, so it does not contain the farm.
    #[must_use]
    pub fn new(farm: u8, number: AnimalNumber, needs: Needs) -> Self {
        let who = match number {
            AnimalNumber::Herd(number) => {
                u64::from(farm & 0xF) << FARM_BITS | u64::from(number.get())
            }
            AnimalNumber::Tag(tag) => tag.code() & ((1 << 48) - 1),
        };
        let kind = if matches!(number, AnimalNumber::Tag(_)) { TAG } else { 0 };
        Self(kind | who << NEED_BITS | u64::from(needs.0))
    }

    /// Who she is, without her needs: rows are sorted by this, and no two are equal.
    #[must_use]
    pub const fn who(self) -> u64 {
        self.0 >> NEED_BITS
    }

    /// What she needs.
    #[must_use]
    pub const fn needs(self) -> Needs {
        Needs::from_bits((self.0 & 0x7FFF) as u16)
    }

    /// As on flash.
    #[must_use]
    pub const fn to_bytes(self) -> [u8; ROW] {
        self.0.to_le_bytes()
    }

    /// From flash. Every number is a valid row; a cow nobody can key is simply never found.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; ROW]) -> Self {
        Self(u64::from_le_bytes(bytes))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{HerdNumber, Iso11784};

    fn herd(number: u32) -> AnimalNumber {
        AnimalNumber::Herd(HerdNumber::new(number).unwrap())
    }

    #[test]
    fn rows_tell_farms_numbers_and_tags_apart() {
        let tag = AnimalNumber::Tag(Iso11784::from_decimal(999_274_877_906_943).unwrap());
        let rows = [
            Row::new(1, herd(1), Needs::NONE),
            Row::new(1, herd(999_999_999), Needs::NONE),
            Row::new(2, herd(1), Needs::NONE),
            Row::new(9, herd(999_999_999), Needs::NONE),
            Row::new(9, tag, Needs::NONE),
        ];
        assert!(rows.is_sorted() && rows.windows(2).all(|pair| pair[0].who() < pair[1].who()));
        assert_eq!(Row::new(1, tag, Needs::NONE), rows[4], "a tag is hers on every farm");
        for row in rows {
            assert_eq!(Row::from_bytes(row.to_bytes()), row);
        }
    }

    #[test]
    fn needs_do_not_change_who_she_is() {
        let mut all = Needs::NONE;
        for foot in Foot::ALL {
            for need in [Need::Recheck(foot), Need::BlockOff(foot), Need::TrimFoot(foot)] {
                assert!(!all.has(need));
                all = all.with(need);
                assert!(all.has(need) && all.is_due(foot) && all.is_any_due());
            }
        }
        let cow = Needs::NONE.with(Need::DoNotTrim).with(Need::Vet);
        assert!(!cow.is_any_due() && cow.with(Need::WholeCow).is_any_due());
        let all = all.with(Need::DoNotTrim).with(Need::Vet).with(Need::WholeCow);
        assert_eq!(all.bits(), 0x7FFF, "fifteen needs, fifteen bits");
        let row = Row::new(3, herd(412), all);
        assert_eq!((row.who(), row.needs()), (Row::new(3, herd(412), Needs::NONE).who(), all));
    }
}
