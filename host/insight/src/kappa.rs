//! Whether people give the same thing the same name or grade: kappa.

use serde::Serialize;

use super::distribution::{normal_quantile_above, t_quantile_above};
use super::estimate::{Estimate, Level, Refusal, at_least};
use super::sums::sum;

/// How near misses count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Weights {
    /// Any difference is a full miss: for names.
    Plain,
    /// In proportion to the number of steps: for grades.
    Linear,
    /// In proportion to its square.
    Quadratic,
}

impl Weights {
    fn of(self, i: usize, j: usize, k: usize) -> f64 {
        let far = i.abs_diff(j) as f64 / (k - 1) as f64;
        match self {
            Self::Plain => f64::from(u8::from(i == j)),
            Self::Linear => 1.0 - far,
            Self::Quadratic => 1.0 - far * far,
        }
    }
}

/// Agreement beyond chance between two observers (Cohen 1960, 1968): 1 is perfect, 0 is chance.
/// Standard error of Fleiss, Cohen and Everitt 1969 (Psychol Bull 72:323-327). `counts`: a square
/// table, first observer down, second across, grades in order. n is things judged.
///
/// # Errors
/// [`Refusal`] where the table is not square or is empty, or every judgement is the same.
pub fn kappa(counts: &[Vec<u64>], weights: Weights, level: Level) -> Result<Estimate, Refusal> {
    let k = at_least("categories", counts.len(), 2)? as usize;
    if let Some(row) = counts.iter().find(|row| row.len() != k) {
        return Err(Refusal::Unequal { one: k, other: row.len() });
    }
    let n: u64 = counts.iter().flatten().sum();
    at_least("things judged", usize::try_from(n).unwrap_or(usize::MAX), 2)?;
    let all = n as f64;
    let p: Vec<Vec<f64>> =
        counts.iter().map(|row| row.iter().map(|count| *count as f64 / all).collect()).collect();
    let rows: Vec<f64> = p.iter().map(|row| sum(row.iter().copied())).collect();
    let columns: Vec<f64> = (0..k).map(|j| sum(p.iter().map(|row| row[j]))).collect();
    let over = |f: &dyn Fn(usize, usize) -> f64| {
        sum((0..k).flat_map(|i| (0..k).map(move |j| (i, j))).map(|(i, j)| f(i, j)))
    };
    let seen = over(&|i, j| weights.of(i, j, k) * p[i][j]);
    let chance = over(&|i, j| weights.of(i, j, k) * rows[i] * columns[j]);
    if chance >= 1.0 - 1e-12 {
        return Err(Refusal::NoSpread { of: "judgements" });
    }
    let value = (seen - chance) / (1.0 - chance);
    let by_row: Vec<f64> =
        (0..k).map(|i| sum((0..k).map(|j| columns[j] * weights.of(i, j, k)))).collect();
    let by_column: Vec<f64> =
        (0..k).map(|j| sum((0..k).map(|i| rows[i] * weights.of(i, j, k)))).collect();
    let squares = over(&|i, j| {
        p[i][j] * (weights.of(i, j, k) - (by_row[i] + by_column[j]) * (1.0 - value)).powi(2)
    });
    let variance =
        (squares - (value - chance * (1.0 - value)).powi(2)) / (all * (1.0 - chance).powi(2));
    let reach = normal_quantile_above(level.tail()) * variance.max(0.0).sqrt();
    let method = match weights {
        Weights::Plain => "Cohen's kappa",
        Weights::Linear => "weighted kappa, linear",
        Weights::Quadratic => "weighted kappa, quadratic",
    };
    Ok(Estimate { value, low: value - reach, high: (value + reach).min(1.0), level, n, method })
}

/// Agreement beyond chance between three or more observers, who need not be the same for each thing
/// (Fleiss 1971, Psychol Bull 76:378-382). Standard error by leaving out each thing in turn
/// (jackknife, Efron and Tibshirani 1993, 11), Student's t on things - 1 degrees of freedom.
/// `counts`: a row for each thing, with the number of observers who put it in each category. n is
/// things judged.
///
/// # Errors
/// [`Refusal`] with fewer than three things or observers, rows with different sums or lengths, or
/// every judgement the same.
pub fn fleiss(counts: &[Vec<u64>], level: Level) -> Result<Estimate, Refusal> {
    let n = at_least("things judged", counts.len(), 3)?;
    let (categories, observers) = (counts[0].len(), counts[0].iter().sum::<u64>());
    at_least("observers", usize::try_from(observers).unwrap_or(usize::MAX), 3)?;
    for row in counts {
        if row.len() != categories {
            return Err(Refusal::Unequal { one: categories, other: row.len() });
        }
        let sum: u64 = row.iter().sum();
        if sum != observers {
            let (sum, of) = (usize::try_from(sum), usize::try_from(observers));
            let (one, other) = (of.unwrap_or(usize::MAX), sum.unwrap_or(usize::MAX));
            return Err(Refusal::Unequal { one, other });
        }
    }
    let m = observers as f64;
    let own = |row: &Vec<u64>| {
        let squares: u64 = row.iter().map(|count| count * count).sum();
        (squares as f64 - m) / (m * (m - 1.0))
    };
    let seen = sum(counts.iter().map(own));
    let totals: Vec<f64> =
        (0..categories).map(|j| counts.iter().map(|row| row[j]).sum::<u64>() as f64).collect();
    // From the agreement seen and the total of each category, over this many things.
    let of = |seen: f64, totals: &[f64], things: f64| {
        let chance = sum(totals.iter().map(|total| (total / (things * m)).powi(2)));
        if chance >= 1.0 - 1e-12 { f64::NAN } else { (seen / things - chance) / (1.0 - chance) }
    };
    let things = n as f64;
    let value = of(seen, &totals, things);
    let without = counts.iter().map(|row| {
        let rest: Vec<f64> =
            totals.iter().zip(row).map(|(total, count)| total - *count as f64).collect();
        of(seen - own(row), &rest, things - 1.0)
    });
    let without: Vec<f64> = without.collect();
    let middle = sum(without.iter().copied()) / things;
    let off = sum(without.iter().map(|one| (one - middle).powi(2)));
    if !(value.is_finite() && off.is_finite()) {
        return Err(Refusal::NoSpread { of: "judgements" });
    }
    let error = ((things - 1.0) / things * off).sqrt();
    let reach = t_quantile_above(things - 1.0, level.tail()) * error;
    let method = "Fleiss' kappa, jackknife, t";
    Ok(Estimate { value, low: value - reach, high: (value + reach).min(1.0), level, n, method })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Ten subjects, fourteen raters, five categories: the worked example that encyclopaedias print
    /// as 0.210; the value from statsmodels (`fleiss_kappa`), the jackknife from ten lines of
    /// Python.
    #[test]
    fn fleiss_example() {
        let counts = [
            [0, 0, 0, 0, 14],
            [0, 2, 6, 4, 2],
            [0, 0, 3, 5, 6],
            [0, 3, 9, 2, 0],
            [2, 2, 8, 1, 1],
            [7, 7, 0, 0, 0],
            [3, 2, 6, 3, 0],
            [2, 5, 3, 2, 2],
            [6, 5, 2, 1, 0],
            [0, 2, 2, 3, 7],
        ]
        .map(|row| row.to_vec());
        let got = fleiss(&counts, Level::P95).unwrap();
        near(got.value, 0.209_931, 1e-6);
        // t with 9 degrees: 2.262157.
        near((got.high - got.value) / 2.262_157, 0.100_557_0, 1e-6);
        assert_eq!(got.n, 10);
        assert!(fleiss(&counts[..2], Level::P95).is_err());
        assert!(fleiss(&[vec![3, 0], vec![3, 0], vec![3, 0]], Level::P95).is_err());
        assert!(fleiss(&[vec![3, 0], vec![2, 0], vec![3, 0]], Level::P95).is_err());
    }

    /// Cohen 1968 (200 judgements); kappas and asymptotic standard errors from statsmodels and the
    /// R packages vcd and psych.
    #[test]
    fn cohens_table() {
        let counts = [vec![88, 14, 18], vec![10, 40, 10], vec![2, 6, 12]];
        for (weights, value, error) in [
            (Weights::Plain, 0.491_525, 0.051_002),
            (Weights::Linear, 0.473_684, 0.054_432),
            (Weights::Quadratic, 0.454_545, 0.066_454),
        ] {
            let got = kappa(&counts, weights, Level::P95).unwrap();
            near(got.value, value, 1e-6);
            near((got.high - got.value) / 1.959_964, error, 1e-6);
            assert_eq!(got.n, 200);
        }
        let small = [vec![20, 5], vec![10, 15]];
        near(kappa(&small, Weights::Plain, Level::P95).unwrap().value, 0.4, 1e-12);
        assert!(kappa(&[vec![5, 0], vec![0, 0]], Weights::Plain, Level::P95).is_err());
    }
}
