//! Lengths, exact to the nanometre.

use serde::{Deserialize, Serialize};

/// A length in whole nanometres.
///
/// Nanometres hold every step a calliper displays without rounding: 0.01 mm (10,000 nm), 0.001 mm,
/// 0.0005 in (12,700 nm) and 0.00005 in (1,270 nm), because one inch is exactly 25.4 mm. The range
/// is ±2.147 m. The road not taken is a float on the device: sums and comparisons must be exact.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Nanometres(pub i32);

impl Nanometres {
    /// Nanometres in one millimetre.
    pub const PER_MM: i32 = 1_000_000;

    /// A whole number of millimetres. The largest that fits is 2,147 mm; more saturates.
    #[must_use]
    pub const fn from_mm(mm: i32) -> Self {
        Self(mm.saturating_mul(Self::PER_MM))
    }

    /// The length in millimetres, for people to read and statistics to use.
    #[must_use]
    pub fn as_mm(self) -> f64 {
        f64::from(self.0) / f64::from(Self::PER_MM)
    }

    /// The distance between two lengths, always positive, in nanometres.
    #[must_use]
    pub const fn distance(self, other: Self) -> u32 {
        self.0.abs_diff(other.0)
    }
}
