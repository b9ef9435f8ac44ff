//! Whether two groups differ in what is known only between looks, where claws come in cows.
//!
//! ```text
//! cow 1   usual            labels go from cow to cow as they are, between cows with as many claws
//! cow 2   usual, trial     of the same stratum: what a cow has in common stays with her
//! cow 3   trial
//! ```

use std::collections::BTreeMap;

use super::compare::{Compared, sun};
use super::estimate::{Refusal, at_least};
use super::interval::Between;
use super::luck::Luck;
use super::sums::sum;
use super::turnbull::turnbull;

/// What belongs together: a cow with her blocks or lesions.
#[derive(Clone, Debug, PartialEq)]
pub struct Bunch {
    /// Only bunches of one stratum are compared with each other: how bad a lesion was, for example.
    pub stratum: u32,
    /// What is known of each, and whether it is of the second group.
    pub seen: Vec<(Between, bool)>,
}

/// One bunch with its scores.
struct Scored {
    scores: Vec<f64>,
    second: Vec<bool>,
}

/// What a bunch's scores sum to with the labels of another.
fn with(scores: &[f64], second: &[bool]) -> f64 {
    scores.iter().zip(second).filter(|(_, second)| **second).map(|(score, _)| score).sum()
}

/// The interval-censored log-rank test of [`super::compare::compare`], stratified, with bunches for
/// what is shuffled: the labels of a bunch go as they are to another of its stratum with as many
/// observations. Where no bunch has two, and there is one stratum, it is that test. The normal
/// limit has the variance of such a permutation (Hoeffding 1951, Ann Math Stat 22:558-566). n is
/// observations.
///
/// # Errors
/// [`Refusal::TooFew`] with fewer than two in a group, [`Refusal::NoSpread`] where no shuffle
/// changes anything.
pub fn compare_bunches(bunches: &[Bunch], shuffles: u32, seed: u64) -> Result<Compared, Refusal> {
    let labels = || bunches.iter().flat_map(|bunch| bunch.seen.iter().map(|(_, second)| *second));
    let second = labels().filter(|second| *second).count();
    at_least("observations in the first group", labels().count() - second, 2)?;
    at_least("observations in the second group", second, 2)?;
    let classes = classes(bunches)?;
    let (mut score, mut variance) = (Vec::new(), Vec::new());
    for class in &classes {
        let (own, expected, spread) = moments(class);
        score.push(own - expected);
        variance.push(spread);
    }
    let (score, variance) = (sum(score), sum(variance));
    if variance <= 1e-12 {
        return Err(Refusal::NoSpread { of: "observations" });
    }
    let as_far = shuffled(&classes, score, shuffles, seed);
    let n = labels().count() as u64;
    Ok(Compared::of((score, variance), (as_far, shuffles, seed), n, METHOD))
}

const METHOD: &str = "interval-censored log-rank (Sun), permuted by cow";

/// Bunches that may exchange labels: of one stratum, with as many observations. Scores are from the
/// stratum's own curve and sum to nought in it.
fn classes(bunches: &[Bunch]) -> Result<Vec<Vec<Scored>>, Refusal> {
    let mut strata: BTreeMap<u32, Vec<&Bunch>> = BTreeMap::new();
    for bunch in bunches.iter().filter(|bunch| !bunch.seen.is_empty()) {
        strata.entry(bunch.stratum).or_default().push(bunch);
    }
    let mut classes: BTreeMap<(u32, usize), Vec<Scored>> = BTreeMap::new();
    for (stratum, own) in strata {
        let all: Vec<Between> =
            own.iter().flat_map(|bunch| bunch.seen.iter().map(|(seen, _)| *seen)).collect();
        let curve = turnbull(&all)?;
        // They sum to nought but for rounding.
        let drift = sum(all.iter().map(|seen| sun(&curve, *seen))) / all.len() as f64;
        for bunch in own {
            let scores = bunch.seen.iter().map(|(seen, _)| sun(&curve, *seen) - drift).collect();
            let second = bunch.seen.iter().map(|(_, second)| *second).collect();
            let class = classes.entry((stratum, bunch.seen.len())).or_default();
            class.push(Scored { scores, second });
        }
    }
    Ok(classes.into_values().collect())
}

/// The score of a class, and its mean and variance over all permutations.
fn moments(class: &[Scored]) -> (f64, f64, f64) {
    let k = class.len() as f64;
    let table: Vec<Vec<f64>> = class
        .iter()
        .map(|one| class.iter().map(|other| with(&one.scores, &other.second)).collect())
        .collect();
    let own = sum(table.iter().enumerate().map(|(i, row)| row[i]));
    let rows: Vec<f64> = table.iter().map(|row| sum(row.iter().copied()) / k).collect();
    let columns: Vec<f64> =
        (0..class.len()).map(|j| sum(table.iter().map(|row| row[j])) / k).collect();
    let all = sum(rows.iter().copied()) / k;
    let off = table.iter().zip(&rows).flat_map(|(row, mean)| {
        row.iter().zip(&columns).map(move |(cell, column)| (cell - mean - column + all).powi(2))
    });
    let variance = if class.len() > 1 { sum(off) / (k - 1.0) } else { 0.0 };
    (own, all * k, variance)
}

fn shuffled(classes: &[Vec<Scored>], score: f64, shuffles: u32, seed: u64) -> u32 {
    let expected: f64 = classes.iter().map(|class| moments(class).1).sum();
    let mut orders: Vec<Vec<usize>> =
        classes.iter().map(|class| (0..class.len()).collect()).collect();
    let (mut luck, mut as_far) = (Luck::of(seed), 0u32);
    for _ in 0..shuffles {
        let mut drawn = -expected;
        for (class, order) in classes.iter().zip(&mut orders) {
            luck.shuffle(order);
            let pairs = class.iter().zip(order.iter());
            drawn += pairs.map(|(one, j)| with(&one.scores, &class[*j].second)).sum::<f64>();
        }
        as_far += u32::from(drawn.abs() >= score.abs() - 1e-9);
    }
    as_far
}

#[cfg(test)]
mod tests {
    use super::super::compare::compare;
    use super::super::interval::cosmesis;
    use super::*;
    use crate::near::near;

    fn patients(each: usize) -> Vec<Bunch> {
        let of = |seen: Vec<Between>, second| {
            seen.into_iter().map(move |one| Bunch { stratum: 0, seen: vec![(one, second); each] })
        };
        of(cosmesis::radiation(), false).chain(of(cosmesis::both(), true)).collect()
    }

    /// Alone in their bunches, patients are compared as by the R package interval (Z 2.6684, from
    /// memory of its vignette).
    #[test]
    fn breast_cosmesis_one_by_one() {
        let got = compare_bunches(&patients(1), 2000, 1).unwrap();
        let plain = compare(&cosmesis::radiation(), &cosmesis::both(), 2000, 1).unwrap();
        near(got.normal.statistic, 2.6684, 5e-5);
        near(got.normal.statistic, plain.normal.statistic, 1e-9);
        near(got.shuffled.p, plain.shuffled.p, 0.006);
    }

    /// Counted twice, a patient tells no more than once; the plain test believes it does.
    #[test]
    fn doubling_every_patient_changes_nothing() {
        let one = compare_bunches(&patients(1), 1000, 1).unwrap();
        let two = compare_bunches(&patients(2), 1000, 1).unwrap();
        near(two.normal.statistic, one.normal.statistic, 1e-6);
        assert_eq!(two.normal.n, 188);
        let doubled = |seen: Vec<Between>| seen.iter().chain(&seen).copied().collect::<Vec<_>>();
        let (radiation, both) = (doubled(cosmesis::radiation()), doubled(cosmesis::both()));
        let plain = compare(&radiation, &both, 100, 1).unwrap();
        assert!(plain.normal.statistic > one.normal.statistic * 1.4);
    }

    /// Two strata of the same patients: scores and variances add up.
    #[test]
    fn strata_add_up() {
        let mut all = patients(1);
        all.extend(patients(1).into_iter().map(|bunch| Bunch { stratum: 1, ..bunch }));
        let one = compare_bunches(&patients(1), 100, 1).unwrap();
        let two = compare_bunches(&all, 100, 1).unwrap();
        near(two.normal.statistic, one.normal.statistic * 2f64.sqrt(), 1e-6);
    }

    #[test]
    fn what_cannot_be_shuffled_is_refused() {
        let kept = Between::later_than(28.0).unwrap();
        let alike = Bunch { stratum: 0, seen: vec![(kept, false), (kept, true)] };
        assert!(compare_bunches(&vec![alike; 5], 10, 1).is_err());
        assert!(compare_bunches(&[], 10, 1).is_err());
    }
}
