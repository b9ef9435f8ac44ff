//! Whether two groups differ in what is known only between looks, where claws cluster in cows.
//!
//! ```text
//! cow 1   usual            labels go from cow to cow as they are, between cows with as many claws
//! cow 2   usual, trial     of the same stratum: what a cow has in common stays with her
//! cow 3   trial
//! ```

use std::collections::BTreeMap;
use std::sync::Arc;

use super::compare::{Compared, sun};
use super::estimate::{Refusal, at_least};
use super::interval::Between;
use super::kinds::Kinds;
use super::shuffle::{Class, MANY, Score, as_far};
use super::sums::sum;
use super::turnbull::{Ends, Search, turnbull_of};

/// A cluster: a cow with her blocks or lesions.
#[derive(Clone, Debug, PartialEq)]
pub struct Bunch {
    /// Only clusters of one stratum are compared with each other: how bad a lesion was, for example.
    pub stratum: u32,
    /// What is known of each observation, and whether it is of the second group.
    pub seen: Vec<(Between, bool)>,
}

/// The interval-censored log-rank test of [`super::compare::compare`], stratified, with whole clusters
/// shuffled: a cluster's labels go as they are to another cluster of its stratum with as many
/// observations. Where no cluster has two, and there is one stratum, it is that test. The normal
/// limit has the variance of such a permutation (Hoeffding 1951, Ann Math Stat 22:558-566). n is
/// observations. Where there are 5,000 clusters or more, fewer shuffles may be made than asked for,
/// never fewer than 399 of them: [`Compared::shuffles`] tells how many.
///
/// # Errors
/// [`Refusal::TooFew`] with fewer than two in a group, [`Refusal::NoSpread`] where no shuffle
/// changes anything.
pub fn compare_bunches(bunches: &[Bunch], shuffles: u32, seed: u64) -> Result<Compared, Refusal> {
    let labels = || bunches.iter().flat_map(|bunch| bunch.seen.iter().map(|(_, second)| *second));
    let all = labels().count();
    let second = labels().filter(|second| *second).count();
    at_least("observations in the first group", all - second, 2)?;
    at_least("observations in the second group", second, 2)?;
    let classes = classes(bunches)?;
    let moments: Vec<(f64, f64, f64)> = classes.iter().map(Class::moments).collect();
    let off = sum(moments.iter().map(|(own, expected, _)| own - expected));
    let expected: f64 = moments.iter().map(|(_, expected, _)| expected).sum();
    let variance = sum(moments.iter().map(|(.., variance)| *variance));
    if variance <= 1e-12 {
        return Err(Refusal::NoSpread { of: "observations" });
    }
    let score = Score { off, expected, deviation: variance.sqrt() };
    let (far, made) = as_far(&classes, score, shuffles, seed);
    Ok(Compared::of((off, variance), (far, made, seed), all as u64, METHOD))
}

const METHOD: &str = "interval-censored log-rank (Sun), permuted by cow";

/// Clusters that may exchange labels: of one stratum, with as many observations. Scores are from the
/// stratum's own curve and sum to zero in it.
fn classes(bunches: &[Bunch]) -> Result<Vec<Class>, Refusal> {
    let mut strata: BTreeMap<u32, Vec<&Bunch>> = BTreeMap::new();
    for bunch in bunches.iter().filter(|bunch| !bunch.seen.is_empty()) {
        strata.entry(bunch.stratum).or_default().push(bunch);
    }
    let search = Search::of(strata.values().map(Vec::len).sum(), MANY);
    let mut classes: BTreeMap<(u32, usize), Class> = BTreeMap::new();
    for (stratum, own) in strata {
        let (mut kinds, mut numbers) = (Kinds::default(), Vec::new());
        for bunch in &own {
            numbers.extend(bunch.seen.iter().map(|(seen, _)| kinds.add(*seen)));
        }
        let scores = scores(&kinds, &numbers, search)?;
        let mut numbers = numbers.into_iter();
        for bunch in own {
            let size = bunch.seen.len();
            let class = classes.entry((stratum, size));
            let class = class.or_insert_with(|| Class::new(size, Arc::clone(&scores)));
            for ((_, second), kind) in bunch.seen.iter().zip(numbers.by_ref()) {
                class.push(kind, *second);
            }
        }
    }
    Ok(classes.into_values().collect())
}

/// Sun's scores by kind, from the curve of all; over the observations, whose kinds are given, they
/// sum to zero.
pub(super) fn scores(
    kinds: &Kinds,
    numbers: &[u32],
    search: Search,
) -> Result<Arc<[f64]>, Refusal> {
    let curve = turnbull_of(kinds.counted(), Ends::HalfOpen, search)?;
    let mut scores: Vec<f64> = kinds.counted().iter().map(|(seen, _)| sun(&curve, *seen)).collect();
    // They sum to zero but for rounding.
    let drift = sum(numbers.iter().map(|kind| scores[*kind as usize])) / numbers.len() as f64;
    scores.iter_mut().for_each(|score| *score -= drift);
    Ok(scores.into())
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

    /// 5,640 patients with two observations each: sixty times as much, but for n - 1 (compared
    /// among 94 and among 5,640).
    #[test]
    fn many_cows_are_compared_as_few_are() {
        let one = compare_bunches(&patients(2), 100, 1).unwrap();
        let many: Vec<Bunch> = (0..60).flat_map(|_| patients(2)).collect();
        let many = compare_bunches(&many, 999, 1).unwrap();
        let more = (5639f64 / 93.0).sqrt();
        near(many.normal.statistic, one.normal.statistic * more, 1e-6);
        near(many.shuffled.p, 1.0 / 1000.0, 1e-9);
        assert_eq!((many.normal.n, many.shuffles), (11_280, 999));
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
