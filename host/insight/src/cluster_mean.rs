//! Means of clustered values: the claws of a cow.

use serde::Serialize;

use super::distribution::t_quantile_above;
use super::estimate::{Estimate, Level, Refusal, all_finite, at_least};
use super::sums::sum;

/// A mean from clusters.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ClusteredMean {
    /// The mean, in the unit of the values; n is the number of values, not of clusters.
    pub mean: Estimate,
    /// How many clusters.
    pub clusters: u64,
    /// Standard error by the ratio estimator.
    pub standard_error: f64,
}

/// The mean of all values, each counted once, with a standard error from the differences between
/// clusters: the ratio estimator (Cochran 1977, *Sampling Techniques*, section 3.12), m / (m - 1)
/// sum((y - mean x)²) / X². The interval has Student's t on m - 1 degrees of freedom.
///
/// # Errors
/// [`Refusal`] with fewer than three clusters that have a value, for values that are not finite, and
/// where the clusters do not differ.
pub fn cluster_mean(clusters: &[Vec<f64>], level: Level) -> Result<ClusteredMean, Refusal> {
    let used: Vec<&Vec<f64>> = clusters.iter().filter(|one| !one.is_empty()).collect();
    let m = at_least("clusters", used.len(), 3)?;
    for values in &used {
        all_finite("a value", values)?;
    }
    let n: usize = used.iter().map(|one| one.len()).sum();
    let (many, members) = (m as f64, n as f64);
    let value = sum(used.iter().flat_map(|one| one.iter().copied())) / members;
    let off = used.iter().map(|one| sum(one.iter().map(|it| it - value)).powi(2));
    let variance = many / (many - 1.0) * sum(off) / (members * members);
    if variance == 0.0 {
        return Err(Refusal::NoSpread { of: "clusters" });
    }
    let reach = t_quantile_above(many - 1.0, level.tail()) * variance.sqrt();
    let method = "ratio estimator, clusters, t";
    let (low, high) = (value - reach, value + reach);
    let mean = Estimate { value, low, high, level, n: n as u64, method };
    Ok(ClusteredMean { mean, clusters: m, standard_error: variance.sqrt() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Thirteen values of six clusters. Mean, standard error and interval by Python's statsmodels
    /// 0.14 (ordinary least squares on a constant, errors clustered, small-sample correction, t).
    #[test]
    fn clustered_errors_are_statsmodels() {
        let clusters = vec![
            vec![48.2, 47.1, 49.9, 51.3],
            vec![46.0, 45.2],
            vec![50.4, 52.0],
            vec![],
            vec![49.1, 47.7, 46.9],
            vec![50.8],
            vec![44.3],
        ];
        let got = cluster_mean(&clusters, Level::P95).unwrap();
        assert_eq!((got.mean.n, got.clusters), (13, 6));
        near(got.mean.value, 48.376_923_08, 6e-9);
        near(got.standard_error, 0.826_561_44, 6e-9);
        near(got.mean.low, 46.252_179_26, 6e-9);
        near(got.mean.high, 50.501_666_89, 6e-9);
    }

    #[test]
    fn two_cows_or_no_difference_are_no_interval() {
        let two = cluster_mean(&[vec![48.0, 49.0], vec![], vec![50.0]], Level::P95);
        assert!(matches!(two, Err(Refusal::TooFew { have: 2, need: 3, .. })));
        let alike = cluster_mean(&[vec![48.0], vec![48.0], vec![48.0]], Level::P95);
        assert!(matches!(alike, Err(Refusal::NoSpread { .. })));
        assert!(cluster_mean(&[vec![48.0], vec![49.0], vec![f64::NAN]], Level::P95).is_err());
    }

    /// Every value twice tells no more than once.
    #[test]
    fn values_that_agree_count_once() {
        let once: Vec<Vec<f64>> = [47.0, 50.0, 52.0, 46.5].map(|it| vec![it]).to_vec();
        let twice: Vec<Vec<f64>> =
            once.iter().map(|it| [it.clone(), it.clone()].concat()).collect();
        let (once, twice) =
            (cluster_mean(&once, Level::P95).unwrap(), cluster_mean(&twice, Level::P95).unwrap());
        near(once.standard_error, twice.standard_error, 1e-12);
        assert_eq!((once.mean.n, twice.mean.n), (4, 8));
    }
}
