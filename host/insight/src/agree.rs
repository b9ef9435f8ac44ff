//! How well repeated lengths agree: two readings of the same thing.

use serde::Serialize;

use super::distribution::{chi_squared_quantile, normal_quantile_above, t_quantile_above};
use super::estimate::{Estimate, Level, Refusal, all_finite, at_least};
use super::sums::{mean, squares, standard_deviation, sum};

/// How well repeated readings of one claw agree.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Repeat {
    /// Technical error of measurement: the standard deviation of readings about the mean of their
    /// claw, in the unit of the readings; n is claws.
    pub tem: Estimate,
    /// The same, as a percentage of the mean of all readings.
    pub relative_percent: f64,
    /// Two readings of one claw differ by less than this as often as the level says: 2.77 times the
    /// error at 95 %. It is also the smallest change between two single readings that means
    /// anything.
    pub repeatability: f64,
    /// Readings.
    pub readings: u64,
}

/// Technical error of measurement from groups of two or more readings of one claw: the square root
/// of the pooled variance within groups (for pairs sqrt(sum(d²) / 2n), Dahlberg 1940), with a
/// chi-squared interval. Repeatability is as in Bland and Altman 1986 (Lancet 327:307-310), with
/// the normal quantile in place of 2.
///
/// # Errors
/// [`Refusal`] with fewer than five repeated readings: readings beyond the first of each claw.
pub fn repeat(groups: &[Vec<f64>], level: Level) -> Result<Repeat, Refusal> {
    let used: Vec<&Vec<f64>> = groups.iter().filter(|group| group.len() > 1).collect();
    let readings: usize = used.iter().map(|group| group.len()).sum();
    let spare = at_least("repeated readings", readings - used.len(), 5)?;
    let mut within = Vec::new();
    for group in &used {
        within.push(squares(group)?);
    }
    let within = sum(within);
    if within == 0.0 {
        return Err(Refusal::NoSpread { of: "repeated readings" });
    }
    let df = spare as f64;
    let end = |p: f64| (within / chi_squared_quantile(df, p)).sqrt();
    let tem = Estimate {
        value: (within / df).sqrt(),
        low: end(1.0 - level.tail()),
        high: end(level.tail()),
        level,
        n: used.len() as u64,
        method: "technical error of measurement, chi-squared interval",
    };
    let middle = sum(used.iter().flat_map(|group| group.iter().copied())) / readings as f64;
    Ok(Repeat {
        tem,
        relative_percent: 100.0 * tem.value / middle,
        repeatability: normal_quantile_above(level.tail()) * std::f64::consts::SQRT_2 * tem.value,
        readings: readings as u64,
    })
}

/// How two people, or two instruments, differ on the same claws.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BlandAltman {
    /// Mean of first minus second, with a Student t interval; n is pairs.
    pub bias: Estimate,
    /// Standard deviation of the differences.
    pub spread: f64,
    /// Lower limit of agreement with its interval.
    pub lower: Estimate,
    /// Upper limit of agreement with its interval.
    pub upper: Estimate,
}

/// Limits of agreement (Bland and Altman 1986, Lancet 327:307-310): the bias plus or minus 1.96
/// standard deviations at 95 %. The standard error of a limit is sqrt(3 s² / n). All in the unit of
/// the readings.
///
/// # Errors
/// [`Refusal`] for fewer than three pairs or slices of unequal length.
pub fn bland_altman(one: &[f64], other: &[f64], level: Level) -> Result<BlandAltman, Refusal> {
    let n = pairs(one, other, 3)?;
    let differences: Vec<f64> = one.iter().zip(other).map(|(a, b)| a - b).collect();
    let (middle, spread) = (mean(&differences)?, standard_deviation(&differences)?);
    let t = t_quantile_above((n - 1) as f64, level.tail());
    let about = |value: f64, error: f64, method| {
        let (low, high) = (value - t * error, value + t * error);
        Estimate { value, low, high, level, n, method }
    };
    let reach = normal_quantile_above(level.tail()) * spread;
    let limit_error = spread * (3.0 / n as f64).sqrt();
    Ok(BlandAltman {
        bias: about(middle, spread / (n as f64).sqrt(), "mean difference"),
        spread,
        lower: about(middle - reach, limit_error, "limit of agreement"),
        upper: about(middle + reach, limit_error, "limit of agreement"),
    })
}

fn pairs(one: &[f64], other: &[f64], need: u64) -> Result<u64, Refusal> {
    if one.len() != other.len() {
        return Err(Refusal::Unequal { one: one.len(), other: other.len() });
    }
    all_finite("a reading", one)?;
    all_finite("a reading", other)?;
    at_least("pairs", one.len(), need)
}

/// Concordance of pairs: 1 where all lie on the line of equality (Lin 1989, Biometrics 45:255-268,
/// variances divided by n; interval by the z transform, with the variance as corrected in 2000,
/// Biometrics 56:324).
///
/// # Errors
/// [`Refusal`] for fewer than four pairs, or no spread.
pub fn concordance(one: &[f64], other: &[f64], level: Level) -> Result<Estimate, Refusal> {
    let n = pairs(one, other, 4)?;
    let many = n as f64;
    let (a, b) = (mean(one)?, mean(other)?);
    let (va, vb) = (squares(one)? / many, squares(other)? / many);
    if va == 0.0 || vb == 0.0 {
        return Err(Refusal::NoSpread { of: "readings" });
    }
    let together = sum(one.iter().zip(other).map(|(x, y)| (x - a) * (y - b))) / many;
    let value = 2.0 * together / (va + vb + (a - b).powi(2));
    let (r, c) = (together / (va * vb).sqrt(), value);
    let u = (a - b).powi(2) / (va * vb).sqrt();
    let open = 1.0 - c * c;
    let variance = ((1.0 - r * r) * c * c / (open * r * r)
        + 2.0 * c.powi(3) * (1.0 - c) * u / (r * open * open)
        - c.powi(4) * u * u / (2.0 * r * r * open * open))
        / (many - 2.0);
    let reach = normal_quantile_above(level.tail()) * variance.max(0.0).sqrt();
    let (low, high) = ((c.atanh() - reach).tanh(), (c.atanh() + reach).tanh());
    Ok(Estimate { value, low, high, level, n, method: "Lin's concordance" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    // Peak expiratory flow by two meters, twice each (Bland and Altman 1986, table 1).
    const LARGE: [f64; 17] = [
        494.0, 395.0, 516.0, 434.0, 476.0, 557.0, 413.0, 442.0, 650.0, 433.0, 417.0, 656.0, 267.0,
        478.0, 178.0, 423.0, 427.0,
    ];
    const LARGE_AGAIN: [f64; 17] = [
        490.0, 397.0, 512.0, 401.0, 470.0, 611.0, 415.0, 431.0, 638.0, 429.0, 420.0, 633.0, 275.0,
        492.0, 165.0, 372.0, 421.0,
    ];
    const MINI: [f64; 17] = [
        512.0, 430.0, 520.0, 428.0, 500.0, 600.0, 364.0, 380.0, 658.0, 445.0, 432.0, 626.0, 260.0,
        477.0, 259.0, 350.0, 451.0,
    ];
    const MINI_AGAIN: [f64; 17] = [
        525.0, 415.0, 508.0, 444.0, 500.0, 625.0, 460.0, 390.0, 642.0, 432.0, 420.0, 605.0, 227.0,
        467.0, 268.0, 370.0, 443.0,
    ];

    fn twice(one: &[f64], again: &[f64]) -> Vec<Vec<f64>> {
        one.iter().zip(again).map(|(a, b)| vec![*a, *b]).collect()
    }

    /// Figures recomputed in Python; the paper prints -79.7 and 75.5 (from rounded values, two
    /// standard deviations) and repeatabilities of 43.2 and 56.4 (likewise).
    #[test]
    fn peak_flow() {
        let got = bland_altman(&LARGE, &MINI, Level::P95).unwrap();
        near(got.bias.value, -2.117_647, 1e-6);
        near(got.spread, 38.765_130, 1e-6);
        near(got.lower.value, -78.097, 2e-3);
        near(got.upper.value, 73.862, 2e-3);
        near(got.bias.low, -22.05, 5e-3);
        near(got.bias.high, 17.81, 5e-3);
        // The source puts the limits at two standard deviations; the width of their intervals is
        // the same.
        near(got.lower.high - got.lower.low, 114.17 - 45.13, 1e-2);
        near(got.upper.high - got.upper.low, 109.93 - 40.89, 1e-2);
        let large = repeat(&twice(&LARGE, &LARGE_AGAIN), Level::P95).unwrap();
        near(large.tem.value, 15.306_669, 1e-6);
        // The source uses 1.96 for the normal quantile.
        near(large.repeatability, 42.4279, 1e-3);
        near(large.relative_percent, 3.4176, 1e-4);
        assert_eq!((large.tem.n, large.readings), (17, 34));
        let mini = repeat(&twice(&MINI, &MINI_AGAIN), Level::P95).unwrap();
        near(mini.tem.value, 19.910_831, 1e-6);
        near(mini.repeatability, 55.1900, 1.1e-3);
        near(mini.relative_percent, 4.3865, 1e-4);
    }

    /// R's epiR (`epi.ccc`) prints 0.9427 (0.8505 to 0.9787).
    #[test]
    fn peak_flow_concordance() {
        let got = concordance(&LARGE, &MINI, Level::P95).unwrap();
        near(got.value, 0.942_742, 1e-6);
        near(got.low, 0.8505, 5e-4);
        near(got.high, 0.9787, 5e-4);
    }

    #[test]
    fn too_few_and_unpaired_are_refused() {
        assert!(matches!(
            bland_altman(&[1.0, 2.0], &[1.0], Level::P95),
            Err(Refusal::Unequal { one: 2, other: 1 })
        ));
        assert!(repeat(&[vec![1.0, 1.1], vec![2.0]], Level::P95).is_err());
        assert!(concordance(&[1.0; 5], &[2.0; 5], Level::P95).is_err());
    }
}
