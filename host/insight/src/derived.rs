//! A measure worked out from lengths, with the uncertainty that they pass on. Rules: `DERIVED.md`.
//!
//! ```text
//! Length, Length --toe_angle, heel_difference, sole_estimate--> Derived { value, uncertainty }
//!                                                          \--> Refused: why nothing is derived
//! ```

use serde::Serialize;

use super::chart::{Part, budget};
use super::estimate::Level;

/// The error of one person's readings of a dimension, from repeats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hand {
    /// Technical error of measurement, mm.
    pub error: f64,
    /// Its degrees of freedom.
    pub df: f64,
}

/// A length that something is derived from: the mean of one person's readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Length {
    /// Their mean, mm.
    pub mm: f64,
    /// How many.
    pub readings: u32,
    /// Half of the step that the calliper shows, mm.
    pub half_step: f64,
    /// The calliper's permitted error, mm.
    pub permitted: f64,
    /// Landmarks and hand, where enough repeats tell them.
    pub hand: Option<Hand>,
}

impl Length {
    /// Standard uncertainty of the mean by the hand, mm, and its degrees of freedom.
    fn by_hand(&self) -> Option<(f64, f64)> {
        self.hand.map(|hand| (hand.error / f64::from(self.readings.max(1)).sqrt(), hand.df))
    }
}

/// A derived value, in degrees or millimetres as its function says.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Derived {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty, in the same unit.
    pub standard: f64,
    /// Effective degrees of freedom; `None` where all parts are taken as known exactly.
    pub df: Option<f64>,
    /// Expanded uncertainty at the level.
    pub expanded: f64,
    /// The level.
    pub level: Level,
    /// Not all that makes it uncertain is known, so that it is uncertain by at least this: the hand of
    /// an input, or how much single claws differ.
    pub at_least: bool,
}

/// Why nothing is derived.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Refused {
    /// An input was not measured.
    Missing,
    /// A rule doubts each reading of an input.
    Doubted,
    /// Each reading that no rule doubts follows a failed gauge check.
    FailedCheck,
    /// The toe height is above the dorsal wall.
    HeightAboveWall,
    /// The value, or what it is from, is outside the range in which the formula holds.
    OutsideRange,
}

impl Refused {
    /// All of them, in the order of the rules.
    pub const ALL: [Self; 5] = [
        Self::Missing,
        Self::Doubted,
        Self::FailedCheck,
        Self::HeightAboveWall,
        Self::OutsideRange,
    ];

    /// In words of data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Missing => "missing",
            Self::Doubted => "doubted",
            Self::FailedCheck => "failed check",
            Self::HeightAboveWall => "height above wall",
            Self::OutsideRange => "outside the range",
        }
    }
}

/// How the hands of two inputs hang together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hands {
    /// Two estimates: of two dimensions.
    Two,
    /// One estimate: of one dimension, so that its degrees of freedom count once.
    One,
}

/// First-order propagation (JCGM 100:2008, 5.1.2, G.4): a value, and each input with the slope of
/// the formula in it, in the value's unit for each millimetre.
///
/// # Errors
/// [`Refused::OutsideRange`] for numbers that are no lengths.
pub(crate) fn propagate(
    value: f64,
    inputs: &[(f64, Length)],
    hands: Hands,
) -> Result<Derived, Refused> {
    let mut parts = Vec::new();
    for (slope, length) in inputs {
        parts.push(Part::even("calliper's step", slope.abs() * length.half_step));
        parts.push(Part::even("calliper's permitted error", slope.abs() * length.permitted));
    }
    let by_hand: Vec<(f64, f64)> = inputs
        .iter()
        .filter_map(|(slope, length)| length.by_hand().map(|(own, df)| (slope.abs() * own, df)))
        .collect();
    let hand = |(standard, df): (f64, f64)| Part::repeated("landmarks and hand", standard, df, 1);
    match hands {
        Hands::Two => parts.extend(by_hand.iter().copied().map(hand)),
        Hands::One => {
            let together = by_hand.iter().fold(0.0f64, |sum, (own, _)| sum.hypot(*own));
            parts.extend(by_hand.first().map(|(_, df)| hand((together, *df))));
        }
    }
    let told = budget(&parts, Level::P95).map_err(|_| Refused::OutsideRange)?;
    Ok(Derived {
        value,
        standard: told.combined,
        df: told.df.is_finite().then_some(told.df),
        expanded: told.expanded,
        level: told.level,
        at_least: by_hand.len() < inputs.len(),
    })
}

#[cfg(test)]
#[path = "derived_tests.rs"]
mod tests;
