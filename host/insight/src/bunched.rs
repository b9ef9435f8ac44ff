//! Whether two groups differ in events known only to lie between looks, where claws cluster in
//! cows.
//!
//! ```text
//! cow 1   usual            a cow's labels move as a set, to a cow of the same stratum with as
//! cow 2   usual, trial     many claws: what the claws of a cow share stays together
//! cow 3   trial
//! ```

use std::collections::BTreeMap;
use std::sync::Arc;

use super::compare::{Compared, scores};
use super::estimate::{Refusal, at_least};
use super::interval::Between;
use super::kinds::Kinds;
use super::shuffle::{Class, MANY, Score, as_far};
use super::sums::sum;
use super::turnbull::Search;

/// A cluster: a cow with her blocks or lesions.
#[derive(Clone, Debug, PartialEq)]
pub struct Bunch {
    /// Only clusters of the same stratum are compared with each other: lesions of the same
    /// severity, for example.
    pub stratum: u32,
    /// What is known of each observation, and whether it belongs to the second group.
    pub seen: Vec<(Between, bool)>,
}

/// The stratified interval-censored log-rank test, as in [`super::compare::compare`], with whole
/// clusters shuffled: the labels of a cluster move as a set to another cluster of its stratum with
/// as many observations. With one stratum and one observation in each cluster it is the same test.
/// The normal limit uses the variance of this permutation (Hoeffding 1951, Ann Math Stat
/// 22:558-566). n is observations. With 5,000 clusters or more it may make fewer shuffles than
/// asked for, though never fewer than 399 of them; [`Compared::shuffles`] says how many it made.
///
/// # Errors
/// [`Refusal::TooFew`] with fewer than two observations in a group, [`Refusal::NoSpread`] where
/// shuffling changes nothing.
pub fn compare_bunches(cows: &[Bunch], shuffles: u32, seed: u64) -> Result<Compared, Refusal> {
    let labels = || cows.iter().flat_map(|cow| cow.seen.iter().map(|(_, second)| *second));
    let all = labels().count();
    let second = labels().filter(|second| *second).count();
    at_least("observations in the first group", all - second, 2)?;
    at_least("observations in the second group", second, 2)?;
    let classes = classes(cows)?;
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

/// Clusters that may exchange labels: those of one stratum with as many observations. Scores come
/// from the curve of the stratum and sum to zero within it.
fn classes(cows: &[Bunch]) -> Result<Vec<Class>, Refusal> {
    let mut strata: BTreeMap<u32, Vec<&Bunch>> = BTreeMap::new();
    for cow in cows.iter().filter(|cow| !cow.seen.is_empty()) {
        strata.entry(cow.stratum).or_default().push(cow);
    }
    let search = Search::of(strata.values().map(Vec::len).sum(), MANY);
    let mut classes: BTreeMap<(u32, usize), Class> = BTreeMap::new();
    for (stratum, own) in strata {
        let (mut kinds, mut numbers) = (Kinds::default(), Vec::new());
        for cow in &own {
            numbers.extend(cow.seen.iter().map(|(seen, _)| kinds.add(*seen)));
        }
        let scores = scores(&kinds, &numbers, search)?;
        let mut numbers = numbers.into_iter();
        for cow in own {
            let size = cow.seen.len();
            let class = classes.entry((stratum, size));
            let class = class.or_insert_with(|| Class::new(size, Arc::clone(&scores)));
            for ((_, second), kind) in cow.seen.iter().zip(numbers.by_ref()) {
                class.push(kind, *second);
            }
        }
    }
    Ok(classes.into_values().collect())
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

    /// One to a cluster, patients are compared as by the R package interval (Z 2.6684, from memory
    /// of its vignette).
    #[test]
    fn breast_cosmesis_one_by_one() {
        let got = compare_bunches(&patients(1), 2000, 1).unwrap();
        let plain = compare(&cosmesis::radiation(), &cosmesis::both(), 2000, 1).unwrap();
        near(got.normal.statistic, 2.6684, 5e-5);
        near(got.normal.statistic, plain.normal.statistic, 1e-9);
        near(got.shuffled.p, plain.shuffled.p, 0.006);
    }

    /// A patient counted twice says no more than once; the plain test thinks otherwise.
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

    /// Sixty copies of the study, two observations a patient: Z grows as the square root of (5,640
    /// - 1) / (94 - 1).
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

    /// Two strata with the same patients: scores and variances add up.
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
