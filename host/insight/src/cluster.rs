//! Shares of clustered observations: claws of a cow, cows of a herd.
//!
//! ```text
//! cow 1: 2 of 8 claws    what the claws of a cow share counts once;
//! cow 2: 0 of 8 claws    the plain interval treats every claw as if it
//! cow 3: 5 of 8 claws    came from another cow, and is too narrow
//! ```

use serde::Serialize;

use super::distribution::t_quantile_above;
use super::estimate::{Estimate, Level, Refusal, at_least};
use super::proportion::{Count, score_ends};
use super::sums::sum;

/// One cluster: its cases among its members.
pub type Cluster = Count;

/// A share from clusters.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Clustered {
    /// The share, 0 to 1; n is the number of members, not of clusters.
    pub share: Estimate,
    /// How many clusters.
    pub clusters: u64,
    /// Standard error by the ratio estimator.
    pub standard_error: f64,
    /// The variance divided by that of as many independent members; `None` where no member or every
    /// member is a case, so that clusters cannot differ.
    pub design_effect: Option<f64>,
}

/// All cases divided by all members, with a standard error from the differences between clusters:
/// the ratio estimator (Cochran 1977, *Sampling Techniques*, section 3.12), m / (m - 1) sum((y - p
/// x)²) / X². The interval is Wilson's at the effective sample size n / design effect (never above
/// n), with Student's t on m - 1 degrees of freedom (after Korn and Graubard 1998, Surv Methodol
/// 24:193-201, who do the same with the exact interval). Where no member or every member is a case,
/// each cluster counts as one observation, the most cautious reading.
///
/// # Errors
/// [`Refusal::TooFew`] with fewer than two clusters.
pub fn cluster_share(clusters: &[Cluster], level: Level) -> Result<Clustered, Refusal> {
    let m = at_least("clusters", clusters.len(), 2)?;
    let cases: u64 = clusters.iter().map(|one| one.cases()).sum();
    let n: u64 = clusters.iter().map(|one| one.of()).sum();
    let (many, members) = (m as f64, n as f64);
    let value = cases as f64 / members;
    let off = clusters.iter().map(|one| (one.cases() as f64 - value * one.of() as f64).powi(2));
    let variance = many / (many - 1.0) * sum(off) / (members * members);
    let naive = value * (1.0 - value) / members;
    let design_effect = (naive > 0.0).then(|| variance / naive);
    let effective = match design_effect {
        Some(effect) => members / effect.max(1.0),
        None => many,
    };
    let (low, high) = score_ends(value, effective, t_quantile_above(many - 1.0, level.tail()));
    let low = if cases == 0 { 0.0 } else { low };
    let high = if cases == n { 1.0 } else { high };
    let method = "ratio estimator, Wilson score at the effective sample size, t";
    let share = Estimate { value, low, high, level, n, method };
    Ok(Clustered { share, clusters: m, standard_error: variance.sqrt(), design_effect })
}

/// The members of a cluster in two groups; it may have none in one of them.
pub type Split = (Option<Cluster>, Option<Cluster>);

/// A difference between two shares from clusters.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ClusteredDifference {
    /// The first group's share minus the second's, -1 to 1; n is the members of both groups.
    pub difference: Estimate,
    /// Standard error from both ratio estimators and the correlation that clusters cause between
    /// them.
    pub standard_error: f64,
}

/// One share minus another where clusters may have members in both groups. Each share has the
/// interval of [`cluster_share`]; the ends of the difference combine these by squaring and adding
/// (Newcombe 1998, Stat Med 17:873-890, method 10), less a term for the correlation of the two
/// shares (Zou 2007, Psychol Methods 12:399-413), which is that of the clusters' deviations from
/// both ratios. Where no cluster has two members it is Newcombe's interval with Student's t.
///
/// # Errors
/// [`Refusal::TooFew`] with fewer than two clusters in a group.
pub fn cluster_difference(
    clusters: &[Split],
    level: Level,
) -> Result<ClusteredDifference, Refusal> {
    let group = |of: fn(&Split) -> Option<Cluster>| {
        let own: Vec<Cluster> = clusters.iter().filter_map(of).collect();
        cluster_share(&own, level)
    };
    let (first, second) = (group(|one| one.0)?, group(|one| one.1)?);
    let off = |one: Option<Cluster>, share: f64| {
        one.map_or(0.0, |one| one.cases() as f64 - share * one.of() as f64)
    };
    let (one, other) = (first.share, second.share);
    let both = clusters.iter().map(|split| (off(split.0, one.value), off(split.1, other.value)));
    let product = sum(both.clone().map(|(a, b)| a * b));
    let squares = sum(both.clone().map(|(a, _)| a * a)) * sum(both.map(|(_, b)| b * b));
    let alike = if squares > 0.0 { product / squares.sqrt() } else { 0.0 };
    // The square is at least (a - b)²; only rounding could take it below zero.
    let side = |a: f64, b: f64| (a * a + b * b - 2.0 * alike * a * b).max(0.0).sqrt();
    let value = one.value - other.value;
    let difference = Estimate {
        value,
        low: value - side(one.value - one.low, other.high - other.value),
        high: value + side(one.high - one.value, other.value - other.low),
        level,
        n: one.n + other.n,
        method: "Newcombe difference (method 10), clusters",
    };
    let standard_error = side(first.standard_error, second.standard_error);
    Ok(ClusteredDifference { difference, standard_error })
}

#[cfg(test)]
mod tests {
    use super::super::proportion::difference;
    use super::*;
    use crate::near::near;

    /// Contagious bovine pleuropneumonia by herd (`cbpp` of the R package lme4: Lesnoff and others
    /// 2004); share, standard error and design effect recomputed in Python by the same formula, to
    /// seven places.
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
    /// Twelve cows with blocks glued both ways. Standard error by R's survey 4.1.1 (`svyby`,
    /// `svycontrast`, cows as clusters, Taylor linearisation), recomputed for this test.
    #[test]
    fn a_difference_within_cows_is_that_of_the_survey_package() {
        let one = [1, 2, 1, 3, 0, 2, 1, 2, 3, 1, 0, 2].into_iter();
        let of_one = [2, 2, 1, 3, 1, 3, 2, 2, 3, 2, 2, 2];
        let other = [1, 1, 0, 2, 0, 1, 1, 2, 1, 1, 0, 1].into_iter();
        let of_other = [2, 1, 2, 2, 1, 2, 1, 2, 2, 1, 3, 2];
        let cows: Vec<Split> = one
            .zip(of_one)
            .zip(other.zip(of_other))
            .map(|(one, other)| (Count::new(one.0, one.1).ok(), Count::new(other.0, other.1).ok()))
            .collect();
        let got = cluster_difference(&cows, Level::P95).unwrap();
        near(got.difference.value, 0.196_190_476, 1e-9);
        near(got.standard_error, 0.104_965_789_189, 1e-11);
        assert_eq!(got.difference.n, 46);
        // Sharing cows makes it narrower than with separate cows for each way.
        let apart: Vec<Split> =
            cows.iter().flat_map(|(one, other)| [(*one, None), (None, *other)]).collect();
        let apart = cluster_difference(&apart, Level::P95).unwrap();
        assert!(got.difference.low > apart.difference.low);
        assert!(got.difference.high < apart.difference.high);
    }

    /// Newcombe 1998, method 10, four places (0.0524 to 0.3339 for 56 of 70 against 48 of 80), but
    /// with t on 69 and 79 degrees of freedom and n - 1: within 0.005.
    #[test]
    fn one_member_each_is_newcombes_difference() {
        let each =
            |cases: u64, of: u64| (0..of).map(move |i| Count::new(u64::from(i < cases), 1).ok());
        let clusters: Vec<Split> = each(56, 70)
            .map(|one| (one, None))
            .chain(each(48, 80).map(|one| (None, one)))
            .collect();
        let got = cluster_difference(&clusters, Level::P95).unwrap().difference;
        near(got.low, 0.0524, 0.005);
        near(got.high, 0.3339, 0.005);
        let plain =
            difference(Count::new(56, 70).unwrap(), Count::new(48, 80).unwrap(), Level::P95);
        assert!(got.low < plain.low && got.high > plain.high, "never narrower");
    }
}
