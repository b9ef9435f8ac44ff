//! What every answer looks like, and why there may be none.

use serde::Serialize;

/// How often an interval made this way covers the true value: above 0, below 1.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Level(f64);

impl Level {
    /// 95 %, the usual one.
    pub const P95: Self = Self(0.95);

    /// `None` outside 0.5 to 0.9999: nobody asks for less, and the tails of the distributions are
    /// checked no further.
    #[must_use]
    pub fn new(level: f64) -> Option<Self> {
        (0.5..=0.9999).contains(&level).then_some(Self(level))
    }

    /// Between 0 and 1.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }

    /// The probability below the interval, and the same above it.
    #[must_use]
    pub const fn tail(self) -> f64 {
        (1.0 - self.0) / 2.0
    }
}

/// A number, how far it can be trusted, what it is based on and how it was calculated.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Estimate {
    /// The best single answer, in the unit its function names.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end; may be infinite.
    pub high: f64,
    /// Level of the interval.
    pub level: Level,
    /// How many units of observation it is based on; the function says which.
    pub n: u64,
    /// The method, for a table's foot.
    pub method: &'static str,
}

impl Estimate {
    /// Whether the interval contains a value.
    #[must_use]
    pub fn covers(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// The result of a test: how far chance alone explains what was seen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Verdict {
    /// The statistic, as its function names it.
    pub statistic: f64,
    /// Degrees of freedom; `None` where the method has none.
    pub df: Option<f64>,
    /// Probability of a result at least as extreme by chance alone.
    pub p: f64,
    /// How many units of observation it is based on.
    pub n: u64,
    /// The method, for a table's foot.
    pub method: &'static str,
}

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// Fewer than the method needs.
    #[error("too few {of}: {have}, and at least {need} are needed")]
    TooFew {
        /// Of what.
        of: &'static str,
        /// How many there are.
        have: u64,
        /// How many are needed.
        need: u64,
    },
    /// The caller's mistake: more cases than observations.
    #[error("{cases} cases among {of} observations are not possible")]
    MoreThanAll {
        /// Cases.
        cases: u64,
        /// Observations.
        of: u64,
    },
    /// The caller's mistake: slices that belong together have different lengths.
    #[error("{one} values on one side and {other} on the other cannot be paired")]
    Unequal {
        /// Length of the first.
        one: usize,
        /// Length of the other.
        other: usize,
    },
    /// A value that is not a number, or out of range.
    #[error("{what} cannot be {value}")]
    Impossible {
        /// What it is.
        what: &'static str,
        /// What it was.
        value: f64,
    },
    /// All values are equal: the question needs some that differ.
    #[error("{of} are all alike, so nothing can be said about their differences")]
    NoSpread {
        /// What.
        of: &'static str,
    },
    /// The search for the answer did not converge.
    #[error("the search for {of} did not converge in {rounds} rounds")]
    Unsettled {
        /// Of what.
        of: &'static str,
        /// How many rounds it was given.
        rounds: u32,
    },
}

/// Refuses if there are fewer than `need`.
///
/// # Errors
/// [`Refusal::TooFew`].
pub(crate) fn at_least(of: &'static str, have: usize, need: u64) -> Result<u64, Refusal> {
    let have = have as u64;
    if have < need { Err(Refusal::TooFew { of, have, need }) } else { Ok(have) }
}

/// Refuses values that are not finite.
///
/// # Errors
/// [`Refusal::Impossible`].
pub(crate) fn all_finite(what: &'static str, values: &[f64]) -> Result<(), Refusal> {
    match values.iter().find(|value| !value.is_finite()) {
        Some(value) => Err(Refusal::Impossible { what, value: *value }),
        None => Ok(()),
    }
}
