//! How much of the variation in readings is between claws and not between people: six coefficients.

use serde::Serialize;

use super::distribution::f_quantile;
use super::estimate::{Estimate, Level, Refusal, all_finite, at_least};
use super::sums::sum;

/// Mean squares of a table of targets by judges.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MeanSquares {
    /// Between targets.
    pub targets: f64,
    /// Within targets.
    pub within: f64,
    /// Between judges.
    pub judges: f64,
    /// Residual.
    pub error: f64,
}

/// The six intraclass correlations; n is targets.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Icc {
    /// The mean squares behind them.
    pub squares: MeanSquares,
    /// (1,1): each target read by different judges; one reading.
    pub one_way: Estimate,
    /// (2,1): judges are a sample of many, absolute agreement; one reading.
    pub agreement: Estimate,
    /// (3,1): these judges only, consistency; one reading.
    pub consistency: Estimate,
    /// (1,k): mean of the readings.
    pub one_way_mean: Estimate,
    /// (2,k).
    pub agreement_mean: Estimate,
    /// (3,k).
    pub consistency_mean: Estimate,
}

/// Intraclass correlations (1,1), (2,1), (3,1) and those of means, with F intervals (Shrout and
/// Fleiss 1979, Psychol Bull 86:420-428; McGraw and Wong 1996, Psychol Methods 1:30-46). `rows`:
/// one for each target, with a reading by every judge, judges in the same order.
///
/// # Errors
/// [`Refusal`] with fewer than three targets or two judges, or rows of unequal length.
pub fn icc(rows: &[Vec<f64>], level: Level) -> Result<Icc, Refusal> {
    let n = at_least("targets", rows.len(), 3)?;
    let k = at_least("judges", rows[0].len(), 2)? as usize;
    for row in rows {
        if row.len() != k {
            return Err(Refusal::Unequal { one: k, other: row.len() });
        }
        all_finite("a reading", row)?;
    }
    let squares = mean_squares(rows, k);
    if squares.targets == 0.0 || squares.within == 0.0 || squares.error == 0.0 {
        return Err(Refusal::NoSpread { of: "readings" });
    }
    let (many, judges) = (n as f64, k as f64);
    let upper = 1.0 - level.tail();
    let (d1, d2) = (many - 1.0, many * (judges - 1.0));
    let dw = (many - 1.0) * (judges - 1.0);
    let estimate = |value, (low, high), method| Estimate { value, low, high, level, n, method };
    // For one reading (F - 1) / (F + k - 1); for a mean 1 - 1 / F.
    let single = |f: f64| (f - 1.0) / (f + judges - 1.0);
    let of_mean = |f: f64| 1.0 - 1.0 / f;
    let ends =
        |f: f64, below: f64| (f / f_quantile(d1, below, upper), f * f_quantile(below, d1, upper));
    let (f1, f3) = (squares.targets / squares.within, squares.targets / squares.error);
    let (e1, e3) = (ends(f1, d2), ends(f3, dw));
    let (two, two_ends) = absolute(squares, many, judges, upper);
    let stepped = |r: f64| judges * r / (1.0 + (judges - 1.0) * r);
    let below = squares.targets + (squares.judges - squares.error) / many;
    Ok(Icc {
        squares,
        one_way: estimate(single(f1), (single(e1.0), single(e1.1)), "ICC(1,1)"),
        agreement: estimate(two, two_ends, "ICC(2,1)"),
        consistency: estimate(single(f3), (single(e3.0), single(e3.1)), "ICC(3,1)"),
        one_way_mean: estimate(of_mean(f1), (of_mean(e1.0), of_mean(e1.1)), "ICC(1,k)"),
        agreement_mean: estimate(
            (squares.targets - squares.error) / below,
            (stepped(two_ends.0), stepped(two_ends.1)),
            "ICC(2,k)",
        ),
        consistency_mean: estimate(of_mean(f3), (of_mean(e3.0), of_mean(e3.1)), "ICC(3,k)"),
    })
}

fn mean_squares(rows: &[Vec<f64>], k: usize) -> MeanSquares {
    let (n, judges) = (rows.len() as f64, k as f64);
    let all = sum(rows.iter().flatten().copied()) / (n * judges);
    let row_means: Vec<f64> = rows.iter().map(|row| sum(row.iter().copied()) / judges).collect();
    let columns = (0..k).map(|j| sum(rows.iter().map(|row| row[j])) / n);
    let between = judges * sum(row_means.iter().map(|mean| (mean - all).powi(2)));
    let by_judge = n * sum(columns.map(|mean| (mean - all).powi(2)));
    let inside = rows.iter().zip(&row_means);
    let within =
        sum(inside.flat_map(|(row, mean)| row.iter().map(move |value| (value - mean).powi(2))));
    MeanSquares {
        targets: between / (n - 1.0),
        within: within / (n * (judges - 1.0)),
        judges: by_judge / (judges - 1.0),
        error: (within - by_judge).max(0.0) / ((n - 1.0) * (judges - 1.0)),
    }
}

/// ICC(2,1) with the Satterthwaite degrees of freedom of Shrout and Fleiss.
fn absolute(squares: MeanSquares, n: f64, k: f64, upper: f64) -> (f64, (f64, f64)) {
    let MeanSquares { targets, judges, error, .. } = squares;
    let value = (targets - error) / (targets + (k - 1.0) * error + k * (judges - error) / n);
    let fj = judges / error;
    let term = n * (1.0 + (k - 1.0) * value) - k * value;
    let degrees = (k - 1.0) * (n - 1.0) * (k * value * fj + term).powi(2)
        / ((n - 1.0) * (k * value * fj).powi(2) + term.powi(2));
    let (above, below) = (f_quantile(n - 1.0, degrees, upper), f_quantile(degrees, n - 1.0, upper));
    let rest = k * judges + (k * n - k - n) * error;
    let low = n * (targets - above * error) / (above * rest + n * targets);
    let high = n * (below * targets - error) / (rest + n * below * targets);
    (value, (low, high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Shrout and Fleiss 1979, table 2: six targets, four judges; values by the Python package
    /// pingouin, ends to four places by the R package psych.
    #[test]
    fn shrout_and_fleiss() {
        let rows: Vec<Vec<f64>> =
            [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
                .iter()
                .map(|row| row.iter().map(|value| f64::from(*value)).collect())
                .collect();
        let got = icc(&rows, Level::P95).unwrap();
        near(got.squares.targets, 11.241_667, 1e-6);
        near(got.squares.within, 6.263_889, 1e-6);
        near(got.squares.judges, 32.486_111, 1e-6);
        near(got.squares.error, 1.019_444, 1e-6);
        for (one, value, low, high) in [
            (got.one_way, 0.165_742, -0.1329, 0.7226),
            (got.agreement, 0.289_764, 0.0188, 0.7611),
            (got.consistency, 0.714_841, 0.3425, 0.9459),
            (got.one_way_mean, 0.442_797, -0.8844, 0.9124),
            (got.agreement_mean, 0.620_051, 0.0711, 0.9272),
            (got.consistency_mean, 0.909_316, 0.6757, 0.9859),
        ] {
            near(one.value, value, 1e-6);
            near(one.low, low, 1e-4);
            near(one.high, high, 1e-4);
            assert_eq!(one.n, 6);
        }
        assert!(icc(&rows[..2], Level::P95).is_err());
    }
}
