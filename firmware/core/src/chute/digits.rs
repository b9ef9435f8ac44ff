//! The digits of a number being keyed.

use hornrule_protocol::{AnimalNumber, HerdNumber, Iso11784};

/// Up to 15 digits, leading zeros remembered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Digits {
    value: u64,
    count: u8,
}

/// What a number between two COW keys means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meaning {
    /// No digits: the cow leaves.
    Leaves,
    /// `0 d`: start at farm d.
    Farm(u8),
    /// One to nine digits, or fifteen.
    Animal(AnimalNumber),
}

impl Digits {
    /// Digits of an ISO 11784 number.
    const TAG: u8 = 15;
    /// Most digits in a herd number.
    const HERD: u8 = 9;

    pub(super) const fn none() -> Self {
        Self { value: 0, count: 0 }
    }

    /// With one more digit; `None` for a sixteenth.
    pub(super) fn push(self, digit: u8) -> Option<Self> {
        if self.count == Self::TAG {
            return None;
        }
        Some(Self { value: self.value * 10 + u64::from(digit), count: self.count + 1 })
    }

    /// `None` if no cow or farm has this number.
    pub(super) fn meaning(self) -> Option<Meaning> {
        let leading_zero = self.count > 1 && self.value < 10u64.pow(u32::from(self.count) - 1);
        match self.count {
            0 => Some(Meaning::Leaves),
            2 if leading_zero => (self.value > 0).then_some(Meaning::Farm(self.value as u8)),
            // A herd number keyed with a leading zero is usually a slip: say so.
            1..=Self::HERD if !leading_zero => {
                let number = HerdNumber::new(u32::try_from(self.value).ok()?)?;
                Some(Meaning::Animal(AnimalNumber::Herd(number)))
            }
            Self::TAG => {
                let number = Iso11784::from_decimal(self.value).ok()?;
                Some(Meaning::Animal(AnimalNumber::Tag(number)))
            }
            _ => None,
        }
    }
}
