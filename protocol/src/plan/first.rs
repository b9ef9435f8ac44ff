//! At which claw of a foot work starts.

use crate::{Foot, Side};

/// At which claw of each foot work starts; the outer one unless it is said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FirstClaws(u8);

impl FirstClaws {
    /// Work starts at the outer claw of every foot.
    pub const OUTER: Self = Self(0);

    /// As in the plan's head: bit by foot, set where work starts at the inner claw.
    pub(super) const fn bits(self) -> u8 {
        self.0
    }

    pub(super) const fn from_bits(bits: u8) -> Self {
        Self(bits)
    }

    /// With this foot started at this claw.
    #[must_use]
    pub const fn with(self, foot: Foot, side: Side) -> Self {
        let bit = 1 << foot.number();
        Self(match side {
            Side::Medial => self.0 | bit,
            Side::Lateral => self.0 & !bit,
        })
    }

    /// The claw at which work on this foot starts.
    #[must_use]
    pub const fn of(self, foot: Foot) -> Side {
        if self.0 >> foot.number() & 1 == 1 { Side::Medial } else { Side::Lateral }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_starts_at_the_outer_claw_unless_it_is_said() {
        for foot in Foot::ALL {
            assert_eq!(FirstClaws::default().of(foot), Side::Lateral);
            let inner = FirstClaws::OUTER.with(foot, Side::Medial);
            for other in Foot::ALL {
                let expected = if other == foot { Side::Medial } else { Side::Lateral };
                assert_eq!(inner.of(other), expected);
            }
            assert_eq!(inner.with(foot, Side::Lateral), FirstClaws::OUTER);
        }
    }
}
