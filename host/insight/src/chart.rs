//! The calliper over time, and the uncertainty of a length.

use serde::Serialize;

use super::distribution::t_quantile_above;
use super::estimate::{Level, Refusal, all_finite, at_least};
use super::sums::{mean, sum};

/// A chart of single readings of a gauge block.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Chart {
    /// Their mean.
    pub centre: f64,
    /// Lower control limit.
    pub low: f64,
    /// Upper control limit.
    pub high: f64,
    /// Indices of the readings outside the limits.
    pub outside: Vec<usize>,
    /// Readings.
    pub n: u64,
    /// The method.
    pub method: &'static str,
}

/// Shewhart's chart for individual readings: the mean plus or minus 3 / d2 times the mean moving
/// range, d2 = 1.128 for ranges of two (Montgomery, *Introduction to Statistical Quality Control*,
/// section 6.4; constant from memory of its table VI). Readings in order of time, any unit.
///
/// # Errors
/// [`Refusal`] with fewer than eight readings.
pub fn chart(readings: &[f64]) -> Result<Chart, Refusal> {
    let n = at_least("checks of the gauge block", readings.len(), 8)?;
    let centre = mean(readings)?;
    let ranges: Vec<f64> = readings.windows(2).map(|two| (two[1] - two[0]).abs()).collect();
    let reach = 3.0 / 1.128 * mean(&ranges)?;
    let (low, high) = (centre - reach, centre + reach);
    let outside = readings
        .iter()
        .enumerate()
        .filter(|(_, value)| **value < low || **value > high)
        .map(|(i, _)| i)
        .collect();
    Ok(Chart { centre, low, high, outside, n, method: "individuals chart, moving ranges" })
}

/// How a component of the uncertainty was evaluated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Kind {
    /// From repeated readings.
    A,
    /// From what is known of the instrument.
    B,
}

/// One component of the uncertainty of a length.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Part {
    /// What.
    pub what: &'static str,
    /// How it was found.
    pub kind: Kind,
    /// Standard uncertainty, in the length's unit.
    pub standard: f64,
    /// Degrees of freedom; infinite where it is taken as known exactly.
    pub df: f64,
}

impl Part {
    /// A rectangular distribution: any value within the half-width is equally likely; half-width /
    /// sqrt(3) (GUM 4.3.7).
    #[must_use]
    pub fn even(what: &'static str, half_width: f64) -> Self {
        Self { what, kind: Kind::B, standard: half_width / 3f64.sqrt(), df: f64::INFINITY }
    }

    /// From the standard deviation of repeated readings and its degrees of freedom, for the mean of
    /// this many readings.
    #[must_use]
    pub fn repeated(what: &'static str, deviation: f64, df: f64, readings: u32) -> Self {
        let standard = deviation / f64::from(readings.max(1)).sqrt();
        Self { what, kind: Kind::A, standard, df }
    }
}

/// The combined uncertainty.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Budget {
    /// The parts.
    pub parts: Vec<Part>,
    /// Combined standard uncertainty: the root sum of squares.
    pub combined: f64,
    /// Effective degrees of freedom.
    pub df: f64,
    /// Expanded uncertainty at the level.
    pub expanded: f64,
    /// The level.
    pub level: Level,
    /// The method.
    pub method: &'static str,
}

/// The uncertainty budget of a length (Guide to the Expression of Uncertainty in Measurement, JCGM
/// 100:2008, 5.1.2; degrees of freedom by G.4, rounded down).
///
/// # Errors
/// [`Refusal`] without components, or where all are zero.
pub fn budget(parts: &[Part], level: Level) -> Result<Budget, Refusal> {
    at_least("parts of the uncertainty", parts.len(), 1)?;
    all_finite("a part", &parts.iter().map(|part| part.standard).collect::<Vec<_>>())?;
    let variance = sum(parts.iter().map(|part| part.standard.powi(2)));
    if variance == 0.0 {
        return Err(Refusal::NoSpread { of: "parts of the uncertainty" });
    }
    let below = sum(parts.iter().map(|part| part.standard.powi(4) / part.df));
    let df =
        if below > 0.0 { (variance * variance / below).floor().max(1.0) } else { f64::INFINITY };
    let combined = variance.sqrt();
    let factor = t_quantile_above(df.min(1e9), level.tail());
    let method = "JCGM 100:2008";
    let expanded = factor * combined;
    Ok(Budget { parts: parts.to_vec(), combined, df, expanded, level, method })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// GUM example H.1, end gauge: 25, 9.7, 2.9 and 16.6 nm with 18, 25.6, 50 and 2 degrees of
    /// freedom (values from memory of the table) combine to 32 nm with 16, U99 = 93 nm.
    #[test]
    fn end_gauge() {
        let part = |standard, df| Part { what: "part", kind: Kind::A, standard, df };
        let parts = [part(25.0, 18.0), part(9.7, 25.6), part(2.9, 50.0), part(16.6, 2.0)];
        let got = budget(&parts, Level::new(0.99).unwrap()).unwrap();
        near(got.combined, 31.671, 5e-4);
        near(got.df, 16.0, 0.0);
        near(got.expanded, 93.0, 0.6);
    }

    /// A calliper with a resolution of 0.01 mm and a permitted error of 0.03 mm, by the formulas of
    /// the guide.
    #[test]
    fn the_landmark_outweighs_the_calliper() {
        let calliper = [Part::even("step", 0.005), Part::even("permitted error", 0.03)];
        near(budget(&calliper, Level::P95).unwrap().combined, 0.017_559_4, 1e-7);
        let mut with = calliper.to_vec();
        with.push(Part::repeated("landmark", 0.35, 40.0, 1));
        near(budget(&with, Level::P95).unwrap().combined, 0.350_440_2, 1e-7);
        with[2] = Part::repeated("landmark", 0.35, 40.0, 3);
        near(budget(&with, Level::P95).unwrap().combined, 0.202_834_1, 1e-7);
    }

    #[test]
    fn a_jump_is_outside() {
        let mut readings = vec![75.00, 75.01, 75.00, 75.01, 75.00, 75.01, 75.00, 75.01, 75.00];
        readings.push(75.09);
        let got = chart(&readings).unwrap();
        assert_eq!(got.outside, [9]);
        assert!(chart(&readings[..5]).is_err());
    }
}
