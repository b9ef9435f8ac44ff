//! Sums that do not lose digits, and statistics built on them.

use super::estimate::{Refusal, all_finite, at_least};

/// The sum, with the rounding error carried along (Neumaier 1974, "Rundungsfehleranalyse einiger
/// Verfahren zur Summation endlicher Summen").
#[must_use]
pub fn sum(values: impl IntoIterator<Item = f64>) -> f64 {
    let (mut total, mut lost) = (0.0f64, 0.0f64);
    for value in values {
        let next = total + value;
        lost += if total.abs() >= value.abs() {
            (total - next) + value
        } else {
            (value - next) + total
        };
        total = next;
    }
    total + lost
}

/// The arithmetic mean, in the unit of the values.
///
/// # Errors
/// [`Refusal`] without values.
pub fn mean(values: &[f64]) -> Result<f64, Refusal> {
    let n = at_least("values", values.len(), 1)?;
    all_finite("a value", values)?;
    Ok(sum(values.iter().copied()) / n as f64)
}

/// The sum of squared deviations from the mean, in two passes with the correction of Chan, Golub
/// and LeVeque 1983 ("Algorithms for computing the sample variance", eq. 1.7).
///
/// # Errors
/// [`Refusal`] without values.
pub fn squares(values: &[f64]) -> Result<f64, Refusal> {
    let middle = mean(values)?;
    let drift = sum(values.iter().map(|value| value - middle));
    let raw = sum(values.iter().map(|value| (value - middle).powi(2)));
    Ok((raw - drift * drift / values.len() as f64).max(0.0))
}

/// The standard deviation with divisor n - 1, in the unit of the values.
///
/// # Errors
/// [`Refusal`] with fewer than two values.
pub fn standard_deviation(values: &[f64]) -> Result<f64, Refusal> {
    let n = at_least("values", values.len(), 2)?;
    Ok((squares(values)? / (n - 1) as f64).sqrt())
}

/// Correlation of each value with the one before it: NIST's lag-1 autocorrelation.
///
/// # Errors
/// [`Refusal`] with fewer than two values, or where all are equal.
pub fn lag_one(values: &[f64]) -> Result<f64, Refusal> {
    at_least("values", values.len(), 2)?;
    let middle = mean(values)?;
    let below = squares(values)?;
    if below == 0.0 {
        return Err(Refusal::NoSpread { of: "values" });
    }
    let above = sum(values.windows(2).map(|two| (two[0] - middle) * (two[1] - middle)));
    Ok(above / below)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Data sets in the style of NIST's Statistical Reference Datasets, NumAcc1 to NumAcc4: the
    /// certified mean, standard deviation and lag-1 autocorrelation are exact by construction.
    #[test]
    fn hard_sums_keep_their_digits() {
        let first = [10_000_001.0, 10_000_003.0, 10_000_002.0];
        near(mean(&first).unwrap(), 10_000_002.0, 0.0);
        near(standard_deviation(&first).unwrap(), 1.0, 1e-15);
        // The values of the last set are themselves rounded to 2e-9 when stored, hence its
        // tolerance.
        for (centre, mean_within, within) in
            [(1.2, 1e-14, 1e-14), (1_000_000.2, 1e-9, 1e-9), (10_000_000.2, 1e-8, 1e-8)]
        {
            let mut values = vec![centre];
            for _ in 0..500 {
                values.extend([centre - 0.1, centre + 0.1]);
            }
            near(mean(&values).unwrap(), centre, mean_within);
            near(standard_deviation(&values).unwrap(), 0.1, within);
            near(lag_one(&values).unwrap(), -0.999, within);
        }
    }

    #[test]
    fn nothing_has_no_mean_and_one_no_spread() {
        assert!(matches!(mean(&[]), Err(Refusal::TooFew { have: 0, need: 1, .. })));
        assert!(matches!(standard_deviation(&[1.0]), Err(Refusal::TooFew { need: 2, .. })));
        assert!(matches!(mean(&[1.0, f64::NAN]), Err(Refusal::Impossible { .. })));
    }
}
