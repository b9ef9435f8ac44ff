//! The day's plan, as the office writes it and the handheld keeps it.
//!
//! ```text
//! 0                                72            then
//! +--------------------------------+-------------+---------+ ... +-------------------+ ... +
//! | head: farms, order, limits,    | bundle 16 B | cow 8 B |     | particulars 12 B  |     |
//! | gauge block, first claws       | 0 to 9      | ascending     | of some of them          |
//! +--------------------------------+-------------+---------+ ... +-------------------+ ... +
//!
//! cow, one 64-bit number, little-endian:   | 1 tag? | 48 who | 15 needs |
//! ```
//!
//! Fixed positions, not postcard: the handheld finds a cow on flash by binary search without
//! reading the rest. A cow takes eight bytes, so a bank of 16 KiB holds two thousand, or eight
//! hundred that all have particulars.

mod first;
mod limits;
mod needs;
mod order;
mod particulars;

pub use first::FirstClaws;
pub use limits::{Blinding, Gauge, Limits};
pub use needs::{Need, Needs, Row};
pub use order::Order;
pub use particulars::{Floor, PARTICULARS, Particulars, place};

use crate::Nanometres;
use crate::bundle::{BUNDLE, MAX_BUNDLE};
use particulars::half_mm;

/// Newest version of these bytes: with particulars of cows, a floor, and a limit for heels. A plan
/// is written in the oldest version that can say it, which older handhelds read.
pub const VERSION: u8 = 3;
/// The version with bundles, and with the claw at which work starts.
pub const BUNDLES_VERSION: u8 = 2;
/// The version without bundles, in which work starts at the outer claw.
pub const FIRST_VERSION: u8 = 1;
/// Bytes of the head.
pub const HEAD: usize = 72;
/// Bytes of a cow.
pub const ROW: usize = 8;
/// Most steps in the measuring order.
pub const MAX_STEPS: usize = 16;
/// Most clips in one step.
pub const MAX_REPEATS: u8 = 15;
/// Most farms in a day: they are numbered 1 to 9.
pub const MAX_FARM: u8 = 9;
/// Most ways of gluing that are drawn: they are numbered 1 to 9.
pub const MAX_WAY: u8 = 9;

const LIMITS: usize = 9;
const AT_ORDER: usize = 16;
const AT_LIMITS: usize = AT_ORDER + MAX_STEPS;
const AT_PARTICULARS: usize = AT_LIMITS + 4 * LIMITS;

const _: () = assert!(AT_PARTICULARS + 4 == HEAD);

/// Why bytes are not a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanError {
    /// Another version of these bytes.
    Version(u8),
    /// A number with no meaning, or a length that does not match the count of cows.
    Malformed,
}

impl core::fmt::Display for PlanError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Version(version) => {
                write!(f, "a plan of version {version}; this program reads up to {VERSION}")
            }
            Self::Malformed => f.write_str("these bytes are no plan"),
        }
    }
}

impl core::error::Error for PlanError {}

/// Everything in a plan except its bundles and cows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Head {
    /// Bit d is set for farm d.
    pub farms: u16,
    /// How many cows follow.
    pub animals: u16,
    /// Whether limits are signalled.
    pub blinding: Blinding,
    /// The handheld's gauge block, if one is known.
    pub gauge: Option<Gauge>,
    /// The measuring order.
    pub order: Order,
    /// The limits.
    pub limits: Limits,
    /// At which claws work starts.
    pub first_claws: FirstClaws,
    /// How many bundles follow, before the cows.
    pub bundles: u8,
    /// How many particulars follow, after the cows.
    pub particulars: u16,
    /// Shortest dorsal wall that trimming may leave, of cows that have no floor of their own, half
    /// millimetres; 0: none.
    pub floor: u8,
    /// Largest usual difference in heel height between the claws of a foot, half millimetres; 0:
    /// none.
    pub heels: u8,
}

impl Head {
    /// Bytes of the whole plan.
    #[must_use]
    pub const fn length(&self) -> usize {
        self.particulars_at() + PARTICULARS * self.particulars as usize
    }

    /// Where the first particulars are.
    #[must_use]
    pub const fn particulars_at(&self) -> usize {
        self.cows_at() + ROW * self.animals as usize
    }

    /// Where the first cow is.
    #[must_use]
    pub const fn cows_at(&self) -> usize {
        HEAD + BUNDLE * self.bundles as usize
    }

    /// The oldest version that can say this.
    #[must_use]
    pub const fn version(&self) -> u8 {
        if self.particulars != 0 || self.floor != 0 || self.heels != 0 {
            VERSION
        } else if self.bundles != 0 || self.first_claws.bits() != 0 {
            BUNDLES_VERSION
        } else {
            FIRST_VERSION
        }
    }

    /// The shortest dorsal wall that trimming may leave on a cow with this floor of her own.
    #[must_use]
    pub const fn floor_of(&self, own: Floor) -> Option<Nanometres> {
        own.length(self.floor)
    }

    /// The largest usual difference in heel height between the claws of a foot.
    #[must_use]
    pub const fn heel_difference(&self) -> Option<Nanometres> {
        half_mm(self.heels)
    }

    /// Whether this farm is part of the day.
    #[must_use]
    pub const fn has_farm(&self, farm: u8) -> bool {
        farm >= 1 && farm <= MAX_FARM && self.farms & 1 << farm != 0
    }

    /// The day's only farm, if there is just one.
    #[must_use]
    pub fn only_farm(&self) -> Option<u8> {
        (self.farms.count_ones() == 1).then(|| self.farms.trailing_zeros() as u8)
    }

    /// As on flash.
    #[must_use]
    pub fn to_bytes(&self) -> [u8; HEAD] {
        let mut bytes = [0; HEAD];
        bytes[0] = self.version();
        bytes[1] = u8::from(self.blinding == Blinding::Blind);
        bytes[2..4].copy_from_slice(&self.farms.to_le_bytes());
        bytes[4..6].copy_from_slice(&self.animals.to_le_bytes());
        bytes[6] = self.first_claws.bits();
        bytes[7] = self.bundles;
        if let Some(gauge) = self.gauge {
            bytes[8..12].copy_from_slice(&gauge.size.0.to_le_bytes());
            bytes[12..16].copy_from_slice(&gauge.tolerance.0.to_le_bytes());
        }
        bytes[AT_ORDER..AT_LIMITS].copy_from_slice(&self.order.to_bytes());
        let limits = &mut bytes[AT_LIMITS..AT_PARTICULARS];
        for (place, (low, high)) in limits.chunks_exact_mut(4).zip(self.limits.0) {
            place[..2].copy_from_slice(&low.to_le_bytes());
            place[2..].copy_from_slice(&high.to_le_bytes());
        }
        bytes[AT_PARTICULARS..AT_PARTICULARS + 2].copy_from_slice(&self.particulars.to_le_bytes());
        bytes[AT_PARTICULARS + 2] = self.floor;
        bytes[AT_PARTICULARS + 3] = self.heels;
        bytes
    }

    /// From flash.
    ///
    /// # Errors
    /// [`PlanError`].
    pub fn from_bytes(bytes: &[u8; HEAD]) -> Result<Self, PlanError> {
        if !(FIRST_VERSION..=VERSION).contains(&bytes[0]) {
            return Err(PlanError::Version(bytes[0]));
        }
        let short = |at: usize| u16::from_le_bytes([bytes[at], bytes[at + 1]]);
        let long = |at: usize| {
            i32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]])
        };
        let blinding = match bytes[1] {
            0 => Blinding::Open,
            1 => Blinding::Blind,
            _ => return Err(PlanError::Malformed),
        };
        let gauge = match (long(8), long(12)) {
            (0, 0) => None,
            (size, tolerance) if size > 0 && tolerance >= 0 => {
                Some(Gauge { size: Nanometres(size), tolerance: Nanometres(tolerance) })
            }
            _ => return Err(PlanError::Malformed),
        };
        let mut steps = [0; MAX_STEPS];
        steps.copy_from_slice(&bytes[AT_ORDER..AT_LIMITS]);
        let mut limits = Limits::default();
        for (place, limit) in limits.0.iter_mut().enumerate() {
            let at = AT_LIMITS + 4 * place;
            *limit = (short(at), short(at + 2));
            if limit.0 >= limit.1 && *limit != (0, 0) {
                return Err(PlanError::Malformed);
            }
        }
        let head = Self {
            farms: short(2),
            animals: short(4),
            blinding,
            gauge,
            order: Order::from_bytes(steps).ok_or(PlanError::Malformed)?,
            limits,
            first_claws: FirstClaws::from_bits(bytes[6]),
            bundles: bytes[7],
            particulars: short(AT_PARTICULARS),
            floor: bytes[AT_PARTICULARS + 2],
            heels: bytes[AT_PARTICULARS + 3],
        };
        // Nothing else may be set: anything a newer office means by it would be lost unnoticed.
        // That also refuses an older version with parts of a newer, and the other way round.
        let known = head.farms & !0x3FE == 0
            && bytes[6] < 16
            && bytes[7] <= MAX_BUNDLE
            && head.particulars <= head.animals;
        if head.to_bytes() != *bytes || !known {
            return Err(PlanError::Malformed);
        }
        Ok(head)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Dimension, Foot, Side};

    fn dimension(code: u8) -> Dimension {
        Dimension::from_code(code).unwrap()
    }

    #[test]
    fn heads_are_read_back_and_others_refused() {
        let head = Head {
            farms: 0b110,
            animals: 2_000,
            blinding: Blinding::Blind,
            gauge: Some(Gauge { size: Nanometres(75_000_000), tolerance: Nanometres(30_000) }),
            order: Order::EMPTY.then(dimension(1), 3).unwrap(),
            limits: Limits::default().with(dimension(9), (0, 6_000)).unwrap(),
            ..Head::default()
        };
        let bytes = head.to_bytes();
        assert_eq!(Head::from_bytes(&bytes), Ok(head));
        assert_eq!((bytes[0], head.length()), (FIRST_VERSION, 72 + 16_000));
        let second = Head {
            bundles: 9,
            first_claws: FirstClaws::OUTER.with(Foot::LeftHind, Side::Medial),
            ..head
        };
        assert_eq!(Head::from_bytes(&second.to_bytes()), Ok(second));
        assert_eq!(
            (second.to_bytes()[0], second.length()),
            (BUNDLES_VERSION, 72 + 9 * 16 + 16_000)
        );
        let third = Head { particulars: 700, floor: 150, heels: 6, ..second };
        assert_eq!(Head::from_bytes(&third.to_bytes()), Ok(third));
        assert_eq!(third.length(), second.length() + 700 * PARTICULARS);
        for one in
            [Head { particulars: 1, ..head }, Head { floor: 1, ..head }, Head { heels: 1, ..head }]
        {
            assert_eq!(Head::from_bytes(&one.to_bytes()), Ok(one));
            assert_eq!(one.version(), VERSION);
        }
        assert_eq!(third.floor_of(Floor::OfPlan), Some(Nanometres::from_mm(75)));
        assert_eq!(third.heel_difference(), Some(Nanometres::from_mm(3)));
        assert_eq!((head.floor_of(Floor::OfPlan), head.heel_difference()), (None, None));
        assert_eq!(head.limits.of(dimension(9)), (Nanometres(0), Nanometres(60_000_000)));
        assert_eq!(
            head.limits.of(dimension(1)),
            (Nanometres::from_mm(60), Nanometres::from_mm(120))
        );
        // Any other first byte is another version; any other changed bit gives another plan, or
        // none.
        for version in (0..=255).filter(|version| *version == 0 || *version > VERSION) {
            let mut other = bytes;
            other[0] = version;
            assert_eq!(Head::from_bytes(&other), Err(PlanError::Version(version)));
        }
        for head in [head, second, third] {
            for bit in 0..8 * HEAD {
                let mut other = head.to_bytes();
                other[bit / 8] ^= 1 << (bit % 8);
                assert_ne!(Head::from_bytes(&other), Ok(head), "bit {bit}");
            }
        }
        // What one version cannot say is not read from it.
        let wrong = [
            (BUNDLES_VERSION, head),
            (VERSION, head),
            (FIRST_VERSION, second),
            (VERSION, second),
            (FIRST_VERSION, third),
            (BUNDLES_VERSION, third),
        ];
        for (version, one) in wrong {
            let mut other = one.to_bytes();
            other[0] = version;
            assert_eq!(Head::from_bytes(&other), Err(PlanError::Malformed));
        }
        // More particulars than cows: one cow would have two.
        let more = Head { particulars: 2_001, ..third };
        assert_eq!(Head::from_bytes(&more.to_bytes()), Err(PlanError::Malformed));
        for (at, value) in [(6, 16), (7, 10)] {
            let mut other = second.to_bytes();
            other[at] = value;
            assert_eq!(Head::from_bytes(&other), Err(PlanError::Malformed));
        }
    }
}
