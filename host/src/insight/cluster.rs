//! Shares where observations come in bunches: claws of a cow, cows of a herd.
//!
//! ```text
//! cow 1: 2 of 8 claws    one bunch counts once for what its members share;
//! cow 2: 0 of 8 claws    the plain interval counts every claw as if it were
//! cow 3: 5 of 8 claws    of another cow, and is too narrow
//! ```

use serde::Serialize;

use super::distribution::t_quantile_above;
use super::estimate::{Estimate, Level, Refusal, at_least};
use super::proportion::{Count, score_ends};
use super::sums::sum;

/// One bunch: its cases among its members.
pub type Cluster = Count;

/// A share from bunches.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Clustered {
    /// The share, 0 to 1; n is the number of members, not of bunches.
    pub share: Estimate,
    /// How many bunches.
    pub clusters: u64,
    /// Standard error by the ratio estimator.
    pub standard_error: f64,
    /// How many times the variance of as many independent members; `None` where none or all were
    /// cases, so that the bunches cannot tell.
    pub design_effect: Option<f64>,
}

/// All cases over all members, with a standard error from the differences between bunches: the
/// ratio estimator (Cochran 1977, *Sampling Techniques*, section 3.12), m / (m - 1) sum((y - p x)²)
/// / X². Its interval is Wilson's at the effective number n / design effect (never above n), at
/// Student's t with m - 1 degrees (after Korn and Graubard 1998, Surv Methodol 24:193-201, who do
/// the same to the exact interval). Where none or all were cases, each bunch counts as one
/// observation, the most cautious reading.
///
/// # Errors
/// [`Refusal::TooFew`] with fewer than two bunches.
pub fn cluster_share(clusters: &[Cluster], level: Level) -> Result<Clustered, Refusal> {
    let m = at_least("bunches", clusters.len(), 2)?;
    let cases: u64 = clusters.iter().map(|one| one.cases()).sum();
    let n: u64 = clusters.iter().map(|one| one.of()).sum();
    let (bunches, members) = (m as f64, n as f64);
    let value = cases as f64 / members;
    let off = clusters.iter().map(|one| (one.cases() as f64 - value * one.of() as f64).powi(2));
    let variance = bunches / (bunches - 1.0) * sum(off) / (members * members);
    let naive = value * (1.0 - value) / members;
    let design_effect = (naive > 0.0).then(|| variance / naive);
    let effective = match design_effect {
        Some(effect) => members / effect.max(1.0),
        None => bunches,
    };
    let (low, high) = score_ends(value, effective, t_quantile_above(bunches - 1.0, level.tail()));
    let low = if cases == 0 { 0.0 } else { low };
    let high = if cases == n { 1.0 } else { high };
    let method = "ratio estimator, Wilson score at the effective number, t";
    let share = Estimate { value, low, high, level, n, method };
    Ok(Clustered { share, clusters: m, standard_error: variance.sqrt(), design_effect })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::insight::near::near;

    /// Contagious bovine pleuropneumonia by herd (`cbpp` of the R package lme4: Lesnoff and others
    /// 2004); share, standard error and design effect recomputed in Python by the same
    /// formula, seven places.
    #[test]
    fn cattle_in_fifteen_herds() {
        let herds = [
            (9, 40),
            (5, 61),
            (12, 74),
            (4, 35),
            (6, 71),
            (4, 72),
            (12, 40),
            (12, 34),
            (2, 29),
            (4, 84),
            (9, 96),
            (3, 29),
            (3, 87),
            (11, 26),
            (3, 64),
        ];
        let herds = herds.map(|(cases, of)| Count::new(cases, of).unwrap());
        let got = cluster_share(&herds, Level::P95).unwrap();
        assert_eq!((got.share.n, got.clusters), (842, 15));
        near(got.share.value, 0.117_577_2, 6e-8);
        near(got.standard_error, 0.023_148_3, 6e-8);
        near(got.design_effect.unwrap(), 4.348_59, 6e-6);
        // Wider than 1.96 plain standard errors of 0.0111 on either side.
        assert!(got.share.high - got.share.low > 2.0 * 1.96 * 0.0111);
    }

    #[test]
    fn members_that_agree_count_once() {
        let all_or_none: Vec<Count> = (0..20).map(|i| Count::new(i % 2 * 8, 8).unwrap()).collect();
        let got = cluster_share(&all_or_none, Level::P95).unwrap();
        // Eight alike count as one, times m / (m - 1).
        near(got.design_effect.unwrap(), 8.0 * 20.0 / 19.0, 1e-12);
    }

    #[test]
    fn one_herd_tells_nothing_about_herds() {
        let one = [Count::new(3, 40).unwrap()];
        assert!(matches!(cluster_share(&one, Level::P95), Err(Refusal::TooFew { need: 2, .. })));
        let none = [Count::new(0, 40).unwrap(), Count::new(0, 60).unwrap()];
        let got = cluster_share(&none, Level::P95).unwrap();
        assert_eq!((got.design_effect, got.share.low), (None, 0.0));
        assert!(got.share.high > 0.8);
    }
}
