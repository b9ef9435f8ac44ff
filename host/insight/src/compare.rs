//! Whether two groups differ in events known only to lie between looks, and how large groups must
//! be to show it.

use std::sync::Arc;

use serde::Serialize;

use super::distribution::{normal_above, normal_both, normal_quantile_above};
use super::estimate::{Level, Refusal, Verdict, at_least};
use super::interval::Between;
use super::kinds::Kinds;
use super::luck::Luck;
use super::shuffle::{Class, MANY, Score, as_far};
use super::sums::sum;
use super::turnbull::{Ends, Search, Turnbull, turnbull_of};

/// The answer by two methods: the normal limit, and shuffling the groups.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Compared {
    /// Sum of the second group's scores: below zero where it lasts longer than the first group,
    /// above zero where it lasts less long.
    pub score: f64,
    /// By the normal limit of the permutation distribution; the statistic is Z.
    pub normal: Verdict,
    /// By random shuffles.
    pub shuffled: Verdict,
    /// How many shuffles were made: with thousands of observations perhaps fewer than asked for.
    pub shuffles: u32,
    /// Seed of the shuffles.
    pub seed: u64,
}

impl Compared {
    /// From a score and its variance, the number of shuffles that went as far with the seed they
    /// had, and the number of observations.
    pub(super) fn of(
        (score, variance): (f64, f64),
        (as_far, shuffles, seed): (u32, u32, u64),
        n: u64,
        method: &'static str,
    ) -> Self {
        let z = score / variance.sqrt();
        let p = f64::from(as_far + 1) / f64::from(shuffles + 1);
        Self {
            score,
            normal: Verdict { statistic: z, df: None, p: normal_both(z), n, method },
            shuffled: Verdict { statistic: z, df: None, p, n, method },
            shuffles,
            seed,
        }
    }
}

/// The log-rank test for interval-censored times in its permutation form, with Sun's scores (Sun
/// 1996, Stat Med 15:1387-1395; Fay and Shaw 2010, J Stat Softw 36(2)): each observation is scored
/// from the pooled Turnbull curve, and the group labels are shuffled. Both groups must have been
/// looked at in the same way. n is both groups together.
///
/// # Errors
/// [`Refusal::TooFew`] with fewer than two observations in a group, [`Refusal::NoSpread`] where
/// nothing happened.
pub fn compare(
    one: &[Between],
    other: &[Between],
    shuffles: u32,
    seed: u64,
) -> Result<Compared, Refusal> {
    at_least("observations in the first group", one.len(), 2)?;
    at_least("observations in the second group", other.len(), 2)?;
    let all = one.len() + other.len();
    let mut kinds = Kinds::default();
    let numbers: Vec<u32> = one.iter().chain(other).map(|seen| kinds.add(*seen)).collect();
    let by_kind = scores(&kinds, &numbers, Search::of(all, MANY))?;
    let score_of = |kind: &u32| by_kind[*kind as usize];
    let (n, m) = (all as f64, other.len() as f64);
    let score = sum(numbers[one.len()..].iter().map(score_of));
    let squares = sum(numbers.iter().map(|kind| score_of(kind) * score_of(kind)));
    let variance = squares * m * (n - m) / (n * (n - 1.0));
    if variance <= 0.0 {
        return Err(Refusal::NoSpread { of: "observations" });
    }
    let (far, made) = if all < MANY {
        let mut scores: Vec<f64> = numbers.iter().map(score_of).collect();
        let mut luck = Luck::of(seed);
        let drawn = (0..shuffles).map(|_| draw(&mut luck, &mut scores, other.len()));
        let far = drawn.filter(|drawn| drawn.abs() >= score.abs() - 1e-9).count();
        (far as u32, shuffles)
    } else {
        let mut class = Class::new(1, by_kind);
        for (place, kind) in numbers.iter().enumerate() {
            class.push(*kind, place >= one.len());
        }
        let expected = class.moments().1;
        let score = Score { off: score - expected, expected, deviation: variance.sqrt() };
        as_far(&[class], score, shuffles, seed)
    };
    let method = "interval-censored log-rank (Sun), permutation form";
    Ok(Compared::of((score, variance), (far, made, seed), all as u64, method))
}

/// The sum of this many scores drawn without replacement.
fn draw(luck: &mut Luck, scores: &mut [f64], many: usize) -> f64 {
    let all = scores.len();
    let mut total = 0.0;
    for i in 0..many {
        scores.swap(i, i + luck.below(all - i));
        total += scores[i];
    }
    total
}

/// Sun's score of each kind of interval, from the curve of all observations. `numbers` gives the
/// kind of each observation; over them the scores sum to zero.
pub(super) fn scores(
    kinds: &Kinds,
    numbers: &[u32],
    search: Search,
) -> Result<Arc<[f64]>, Refusal> {
    let curve = turnbull_of(kinds.counted(), Ends::HalfOpen, search)?;
    let mut scores: Vec<f64> = kinds.counted().iter().map(|(seen, _)| sun(&curve, *seen)).collect();
    // They sum to zero except for rounding.
    let drift = sum(numbers.iter().map(|kind| scores[*kind as usize])) / numbers.len() as f64;
    scores.iter_mut().for_each(|score| *score -= drift);
    Ok(scores.into())
}

/// Sun's score of an observation: (S(after) ln E(after) - S(by) ln E(by)) / (S(after) - S(by)),
/// where ln E is minus the sum over steps of the mass divided by what was left before it.
fn sun(curve: &Turnbull, seen: Between) -> f64 {
    let (mut left, mut ln) = (1.0f64, 0.0);
    let (mut at_after, mut at_by) = ((1.0, 0.0), None);
    for step in &curve.steps {
        if at_by.is_none() && step.by > seen.by() {
            at_by = Some((left, ln));
        }
        if step.by <= seen.after() {
            ln -= step.mass / left;
            left -= step.mass;
            at_after = (left, ln);
            continue;
        }
        ln -= step.mass / left;
        left -= step.mass;
    }
    // Where no later step follows, nothing is left by then.
    let by = at_by.unwrap_or((0.0, 0.0));
    let product = |(left, ln): (f64, f64)| if left > 0.0 { left * ln } else { 0.0 };
    (product(at_after) - product(by)) / (at_after.0 - by.0)
}

/// How many observations each of two groups of equal size needs to show a difference between shares
/// with a given power, by a two-sided test at a given level: the normal approximation without
/// continuity correction (Fleiss, Levin and Paik 2003, *Statistical Methods for Rates and
/// Proportions*, 4.2; R's `power.prop.test`). Shares 0 to 1.
///
/// # Errors
/// [`Refusal::Impossible`] for shares or power outside 0 to 1, [`Refusal::NoSpread`] for equal
/// shares.
pub fn needed_per_group(one: f64, other: f64, power: f64, level: Level) -> Result<f64, Refusal> {
    check_share(one)?;
    check_share(other)?;
    if !(power > level.tail() && power < 1.0) {
        return Err(Refusal::Impossible { what: "a power", value: power });
    }
    if one == other {
        return Err(Refusal::NoSpread { of: "shares" });
    }
    let (null, each) = deviations(one, other);
    let z = normal_quantile_above(level.tail()) * null + normal_quantile_above(1.0 - power) * each;
    Ok((z / (one - other)).powi(2))
}

/// The power with this many observations in each of two groups, by the same formula; rejection in
/// the wrong direction is not counted.
///
/// # Errors
/// [`Refusal::Impossible`] for shares outside 0 to 1.
pub fn power(one: f64, other: f64, per_group: u64, level: Level) -> Result<f64, Refusal> {
    check_share(one)?;
    check_share(other)?;
    at_least("in each group", usize::try_from(per_group).unwrap_or(usize::MAX), 1)?;
    let (null, each) = deviations(one, other);
    let reach = (per_group as f64).sqrt() * (one - other).abs();
    if each == 0.0 {
        return Err(Refusal::NoSpread { of: "shares" });
    }
    Ok(normal_above((normal_quantile_above(level.tail()) * null - reach) / each))
}

fn check_share(share: f64) -> Result<(), Refusal> {
    if (0.0..=1.0).contains(&share) {
        Ok(())
    } else {
        Err(Refusal::Impossible { what: "a share", value: share })
    }
}

/// Standard deviations of a difference between one observation of each group: if the shares were
/// equal, and as they are.
fn deviations(one: f64, other: f64) -> (f64, f64) {
    let middle = f64::midpoint(one, other);
    let each = (one * (1.0 - one) + other * (1.0 - other)).sqrt();
    ((2.0 * middle * (1.0 - middle)).sqrt(), each)
}

#[cfg(test)]
mod tests {
    use super::super::interval::cosmesis;
    use super::*;
    use crate::near::near;

    /// Z and p as printed in the vignette of the R package interval for its `bcos` (from memory);
    /// score and Z by an independent calculation in Python.
    #[test]
    fn breast_cosmesis() {
        let got = compare(&cosmesis::radiation(), &cosmesis::both(), 2000, 1).unwrap();
        near(got.score, 9.141_846, 1e-6);
        near(got.normal.statistic, 2.6684, 5e-5);
        near(got.normal.p, 0.007_622, 1e-6);
        assert_eq!(got.normal.n, 94);
        // With 2,000 shuffles a p of 0.0076 has a standard error of about 0.002.
        near(got.shuffled.p, 0.0076, 0.006);
        let again = compare(&cosmesis::radiation(), &cosmesis::both(), 2000, 1).unwrap();
        assert_eq!(got, again, "the same seed, the same answer");
    }

    /// Sixty copies of the study: Z grows as the square root of (5,640 - 1) / (94 - 1). With the
    /// groups mixed at random, shuffles and the normal limit agree.
    #[test]
    fn many_are_compared_as_few_are() {
        let often = |seen: Vec<Between>| seen.repeat(60);
        let (one, other) = (often(cosmesis::radiation()), often(cosmesis::both()));
        let got = compare(&one, &other, 999, 1).unwrap();
        near(got.normal.statistic, 2.6684 * (5639f64 / 93.0).sqrt(), 0.01);
        near(got.shuffled.p, 1.0 / 1000.0, 1e-9);
        let cut = one.len() / 5;
        let mut all = [one, other].concat();
        let mut luck = Luck::of(12);
        luck.shuffle(&mut all);
        let got = compare(&all[..cut], &all[cut..], 999, 1).unwrap();
        // Five standard errors of 999 shuffles at most.
        near(got.shuffled.p, got.normal.p, 5.0 * 0.016);
        assert_eq!(got.shuffles, 999);
    }

    #[test]
    fn the_same_group_twice_does_not_differ() {
        let got = compare(&cosmesis::both(), &cosmesis::both(), 500, 3).unwrap();
        near(got.score, 0.0, 1e-9);
        near(got.shuffled.p, 1.0, 1e-9);
        let kept = vec![Between::later_than(28.0).unwrap(); 5];
        assert!(compare(&kept, &kept, 10, 1).is_err());
    }

    /// The examples of the help page of R's `power.prop.test`; computed with R 4.2.
    #[test]
    fn power_is_rs() {
        near(needed_per_group(0.5, 0.75, 0.9, Level::P95).unwrap(), 76.706_930, 1e-4);
        near(power(0.5, 0.75, 50, Level::P95).unwrap(), 0.740_165_9, 1e-6);
        near(needed_per_group(0.54, 0.79, 0.8, Level::P95).unwrap(), 54.759_165, 1e-4);
        assert!(needed_per_group(0.5, 0.5, 0.9, Level::P95).is_err());
        assert!(needed_per_group(0.5, 1.5, 0.9, Level::P95).is_err());
    }
}
