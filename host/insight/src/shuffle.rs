//! Shuffling labels between cows: the mean and variance of the score, and how often chance takes it
//! as far.
//!
//! ```text
//!          scores       labels
//! cow 1    0.4  -0.2    usual  trial       with the labels of cow 2 her score is 0.4
//! cow 2   -0.7   0.1    trial  usual
//! cow 3    0.4  -0.2    trial  usual       of the same kind as cow 1
//! ```

use std::collections::BTreeMap;
use std::sync::Arc;

use super::kinds::runs;
use super::luck::{Luck, halves};
use super::sums::sum;

/// Below this many cows, each is dealt with by itself.
pub(crate) const MANY: usize = 5_000;
/// At most this many observations are given labels in all shuffles together, which takes a few
/// seconds. Where one shuffle needs many, fewer are made.
const MOST_DEALT: u64 = 400_000_000;
/// At least this many shuffles are made, so that a p of 1 in 400 remains possible.
const LEAST_SHUFFLES: u32 = 399;
/// Drawing a count takes about as long as dealing with this many cows.
const COUNT: usize = 16;

/// Clusters that may exchange labels: cows of one stratum with the same number of observations.
#[derive(Clone, Debug)]
pub(crate) struct Class {
    size: usize,
    /// Scores by kind of observation, for the whole stratum.
    scores: Arc<[f64]>,
    /// The kind of each observation, cow by cow.
    kinds: Vec<u32>,
    /// Whether it belongs to the second group.
    second: Vec<bool>,
}

impl Class {
    /// Empty, for cows with `size` observations each, at least one.
    pub(crate) fn new(size: usize, scores: Arc<[f64]>) -> Self {
        Self { size, scores, kinds: Vec::new(), second: Vec::new() }
    }

    /// Adds an observation; every `size` of them make a cow.
    pub(crate) fn push(&mut self, kind: u32, second: bool) {
        self.kinds.push(kind);
        self.second.push(second);
    }

    fn cows(&self) -> usize {
        self.kinds.len() / self.size
    }

    fn kinds(&self, cow: usize) -> &[u32] {
        &self.kinds[cow * self.size..][..self.size]
    }

    fn labels(&self, cow: usize) -> &[bool] {
        &self.second[cow * self.size..][..self.size]
    }

    fn score(&self, kind: u32) -> f64 {
        self.scores[kind as usize]
    }

    /// The sum of the scores of a cow that are labelled second.
    fn with(&self, cow: usize, labels: &[bool]) -> f64 {
        let pairs = self.kinds(cow).iter().zip(labels);
        pairs.filter(|(_, second)| **second).map(|(kind, _)| self.score(*kind)).sum()
    }

    /// The score with the labels as they are, and its mean and variance over all permutations of
    /// the cows (Hoeffding 1951, Ann Math Stat 22:558-566, for a score that is a sum of products).
    pub(crate) fn moments(&self) -> (f64, f64, f64) {
        let many = self.cows() as f64;
        let own = sum((0..self.cows()).map(|cow| self.with(cow, self.labels(cow))));
        let scores = self.places(|i| self.score(self.kinds[i]));
        let labels = self.places(|i| f64::from(u8::from(self.second[i])));
        let expected = sum(scores.iter().zip(&labels).map(|(score, label)| score * label)) / many;
        if self.cows() < 2 {
            return (own, expected, 0.0);
        }
        let middle = |sums: Vec<f64>| sums.into_iter().map(|one| one / many).collect::<Vec<_>>();
        let (scores, labels) = (middle(scores), middle(labels));
        let score = |i: usize| self.score(self.kinds[i]) - scores[i % self.size];
        let label = |i: usize| f64::from(u8::from(self.second[i])) - labels[i % self.size];
        // Both give the sum over pairs of cows of (centred scores of one times centred labels of
        // the other)²; the smaller table is the faster.
        let squares = if self.cows() < self.size {
            self.by_pairs(score, label)
        } else {
            self.by_places(score, label)
        };
        (own, expected, squares / (many - 1.0))
    }

    /// Sums over cows, one for each position within a cow.
    fn places(&self, of: impl Fn(usize) -> f64) -> Vec<f64> {
        let all = self.kinds.len();
        (0..self.size).map(|place| sum((place..all).step_by(self.size).map(&of))).collect()
    }

    /// By pairs of cows: for few cows with many observations each.
    fn by_pairs(&self, score: impl Fn(usize) -> f64, label: impl Fn(usize) -> f64) -> f64 {
        let pair = |one: usize, other: usize| {
            let (one, other) = (one * self.size, other * self.size);
            sum((0..self.size).map(|place| score(one + place) * label(other + place)))
        };
        let cows = 0..self.cows();
        sum(cows.clone().flat_map(|one| cows.clone().map(move |other| pair(one, other).powi(2))))
    }

    /// By pairs of positions, products of scores times products of labels: for many cows.
    fn by_places(&self, score: impl Fn(usize) -> f64, label: impl Fn(usize) -> f64) -> f64 {
        let mut products = vec![(0.0, 0.0); self.size * self.size];
        for first in (0..self.kinds.len()).step_by(self.size) {
            for k in 0..self.size {
                let (by, of) = (score(first + k), label(first + k));
                for l in 0..=k {
                    let cell = &mut products[k * self.size + l];
                    *cell = (cell.0 + by * score(first + l), cell.1 + of * label(first + l));
                }
            }
        }
        let cell = |k: usize, l: usize| products[k * self.size + l];
        let square = |k: usize| (0..=k).map(move |l| if l == k { (l, 1.0) } else { (l, 2.0) });
        let cells = (0..self.size).flat_map(|k| square(k).map(move |(l, twice)| (k, l, twice)));
        sum(cells.map(|(k, l, twice)| twice * cell(k, l).0 * cell(k, l).1))
    }
}

/// A score, with its mean and standard deviation over all permutations.
#[derive(Clone, Copy)]
pub(crate) struct Score {
    /// As observed, minus the mean.
    pub(crate) off: f64,
    pub(crate) expected: f64,
    pub(crate) deviation: f64,
}

/// How many shuffles took the score as far from its mean as it is, and how many were made: as many
/// as asked for, or with thousands of cows as many as a few seconds allow, but at least 399.
///
/// Below 5,000 cows, every shuffle deals the labels to one cow after another. Above, cows with the
/// same scores are of one kind, and it draws how many of a kind get each set of labels: a table
/// with fixed margins, cell by cell (Patefield 1981, Appl Stat 30:91-97). The distribution is the
/// same and the cost grows with the number of kinds. Cows of rare kinds are still dealt to one by
/// one.
pub(crate) fn as_far(classes: &[Class], score: Score, shuffles: u32, seed: u64) -> (u32, u32) {
    if classes.iter().map(Class::cows).sum::<usize>() < MANY {
        return (one_by_one(classes, score, shuffles, &mut Luck::of(seed)), shuffles);
    }
    let deals: Vec<Deal> = classes.iter().map(Deal::of).collect();
    let cost: u64 = deals.iter().map(Deal::cost).sum();
    let allowed = u32::try_from(MOST_DEALT / cost.max(1)).unwrap_or(u32::MAX);
    let shuffles = shuffles.min(allowed.max(LEAST_SHUFFLES));
    // Equal scores differ by rounding, which grows with the sums.
    let seen = score.off.abs() - 1e-9 * score.deviation.max(1.0);
    let [one, other] = halves(shuffles, seed, |shuffles, mut luck| {
        let mut deals = deals.clone();
        let far = (0..shuffles).filter(|_| {
            let drawn: f64 = deals.iter_mut().map(|deal| deal.score(&mut luck)).sum();
            (drawn - score.expected).abs() >= seen
        });
        far.count() as u32
    });
    (one + other, shuffles)
}

fn one_by_one(classes: &[Class], score: Score, shuffles: u32, luck: &mut Luck) -> u32 {
    let mut orders: Vec<Vec<usize>> =
        classes.iter().map(|class| (0..class.cows()).collect()).collect();
    let mut as_far = 0u32;
    for _ in 0..shuffles {
        let mut drawn = -score.expected;
        for (class, order) in classes.iter().zip(&mut orders) {
            luck.shuffle(order);
            let pairs = order.iter().enumerate();
            drawn += pairs.map(|(cow, other)| class.with(cow, class.labels(*other))).sum::<f64>();
        }
        as_far += u32::from(drawn.abs() >= score.off.abs() - 1e-9);
    }
    as_far
}

/// A class prepared for shuffling.
#[derive(Clone)]
struct Deal<'a> {
    class: &'a Class,
    /// The score if every cow had the most common labels.
    base: f64,
    /// The other labels.
    hands: Vec<Hand>,
    /// Common kinds: one cow of each, and how many there are.
    common: Vec<(u32, u64)>,
    /// All other cows.
    rare: Vec<u32>,
    /// Cows of each common kind still without labels.
    left: Vec<u64>,
}

/// A set of labels for the observations of a cow.
#[derive(Clone)]
struct Hand {
    /// Where it differs from the most common one: the position, and 1 or -1.
    turns: Vec<(usize, f64)>,
    /// How many cows have it.
    many: u64,
}

impl Hand {
    /// How much higher the score of a cow is with these labels than with the most common ones.
    fn more(&self, class: &Class, cow: u32) -> f64 {
        let kinds = class.kinds(cow as usize);
        self.turns.iter().map(|(place, turn)| turn * class.score(kinds[*place])).sum()
    }
}

impl<'a> Deal<'a> {
    fn of(class: &'a Class) -> Self {
        let mut labels: BTreeMap<&[bool], u64> = BTreeMap::new();
        for cow in 0..class.cows() {
            *labels.entry(class.labels(cow)).or_default() += 1;
        }
        let commonest = labels.iter().max_by_key(|(_, many)| **many).map_or(&[][..], |one| one.0);
        labels.remove(commonest);
        let base = sum((0..class.cows()).map(|cow| class.with(cow, commonest)));
        let hand = |(labels, many): (&[bool], u64)| {
            let both = labels.iter().zip(commonest).enumerate();
            let turns = both.filter(|(_, (label, usual))| label != usual);
            let turns = turns.map(|(place, (label, _))| (place, if *label { 1.0 } else { -1.0 }));
            Hand { turns: turns.collect(), many }
        };
        let hands: Vec<Hand> = labels.into_iter().map(hand).collect();
        let mut order: Vec<u32> = (0..class.cows() as u32).collect();
        let (mut common, mut rare) = (Vec::new(), Vec::new());
        for (first, many) in runs(&mut order, |cow| class.kinds(cow as usize)) {
            if many > COUNT * hands.len() {
                common.push((order[first], many as u64));
            } else {
                rare.extend_from_slice(&order[first..][..many]);
            }
        }
        Self { class, base, hands, left: Vec::with_capacity(common.len()), common, rare }
    }

    /// The most observations that a shuffle gives labels to, counting each count drawn as `COUNT`.
    fn cost(&self) -> u64 {
        let dealt: u64 = self.hands.iter().map(|hand| hand.many).sum();
        let counts = self.common.len() * self.hands.len() * COUNT;
        dealt.min(self.rare.len() as u64) * self.class.size as u64 + counts as u64
    }

    /// Shuffles once and returns the score.
    fn score(&mut self, luck: &mut Luck) -> f64 {
        self.left.clear();
        self.left.extend(self.common.iter().map(|(_, many)| *many));
        let mut total = self.base;
        // Rare cows before this index have their labels.
        let mut dealt = 0;
        for hand in &self.hands {
            let mut open = hand.many;
            let mut others = self.left.iter().sum::<u64>() + (self.rare.len() - dealt) as u64;
            for ((cow, _), left) in self.common.iter().zip(&mut self.left) {
                if open == 0 {
                    break;
                }
                others -= *left;
                let got = luck.hypergeometric(*left, others, open);
                (*left, open) = (*left - got, open - got);
                total += got as f64 * hand.more(self.class, *cow);
            }
            for _ in 0..open {
                let other = dealt + luck.below(self.rare.len() - dealt);
                self.rare.swap(dealt, other);
                total += hand.more(self.class, self.rare[dealt]);
                dealt += 1;
            }
        }
        total
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::near::near;

    /// The moments by definition, from the table of the scores of every cow with the labels of
    /// every other.
    fn by_table(class: &Class) -> (f64, f64, f64) {
        let cows = 0..class.cows();
        let k = class.cows() as f64;
        let row = |i| cows.clone().map(|j| class.with(i, class.labels(j))).collect::<Vec<f64>>();
        let table: Vec<Vec<f64>> = cows.clone().map(row).collect();
        let own = sum(table.iter().enumerate().map(|(i, row)| row[i]));
        let rows: Vec<f64> = table.iter().map(|row| sum(row.iter().copied()) / k).collect();
        let columns: Vec<f64> =
            cows.clone().map(|j| sum(table.iter().map(|row| row[j])) / k).collect();
        let all = sum(rows.iter().copied()) / k;
        let off = table.iter().zip(&rows).flat_map(|(row, mean)| {
            row.iter().zip(&columns).map(move |(cell, column)| (cell - mean - column + all).powi(2))
        });
        let variance = if class.cows() > 1 { sum(off) / (k - 1.0) } else { 0.0 };
        (own, all * k, variance)
    }

    fn class(size: usize, scores: &[f64], seen: &[(u32, bool)]) -> Class {
        let mut class = Class::new(size, scores.into());
        for (kind, second) in &seen[..seen.len() / size * size] {
            class.push(*kind % scores.len() as u32, *second);
        }
        class
    }

    proptest! {
        #[test]
        fn moments_are_those_of_the_table(
            size in 1usize..9,
            scores in prop::collection::vec(-3.0f64..3.0, 1..12),
            seen in prop::collection::vec((any::<u32>(), any::<bool>()), 9..200),
        ) {
            let class = class(size, &scores, &seen);
            let (got, want) = (class.moments(), by_table(&class));
            for (got, want) in [(got.0, want.0), (got.1, want.1), (got.2, want.2)] {
                prop_assert!((got - want).abs() <= 1e-10 * (1.0 + want.abs()), "{got} {want}");
            }
        }
    }

    /// Cows with `size` observations each: kinds that many cows share, except for the first `alone`
    /// cows, each of which is of a kind of its own.
    fn herd(size: usize, cows: usize, alone: usize, luck: &mut Luck) -> Class {
        let scores: Vec<f64> = (0..40 + cows).map(|_| luck.normal()).collect();
        let mut class = Class::new(size, scores.into());
        for cow in 0..cows {
            let often = luck.below(8) as u32;
            for _ in 0..size {
                let kind = if cow < alone { 40 + cow as u32 } else { often };
                // Labels that depend on the scores, so that the observed score is far from its
                // mean.
                class.push(kind, luck.chance(if often < 4 { 0.3 } else { 0.6 }));
            }
        }
        class
    }

    /// 6,000 cows, by drawing counts and cow by cow: the mean and variance of the shuffles are the
    /// exact ones within five standard errors.
    #[test]
    fn shuffles_have_their_exact_moments() {
        let mut luck = Luck::of(2);
        for (size, alone) in [(1, 0), (1, 6_000), (3, 700), (2, 3_000)] {
            let class = herd(size, 6_000, alone, &mut luck);
            let (_, expected, variance) = class.moments();
            let mut deal = Deal::of(&class);
            assert_eq!(deal.rare.is_empty(), alone == 0);
            assert_eq!(deal.common.is_empty(), alone == 6_000);
            let draws: Vec<f64> = (0..1_000).map(|_| deal.score(&mut luck)).collect();
            let mean = draws.iter().sum::<f64>() / 1e3;
            let spread = draws.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / 999.0;
            near(mean, expected, 5.0 * (variance / 1e3).sqrt());
            near(spread / variance, 1.0, 5.0 * (2.0 / 1e3f64).sqrt());
        }
    }

    #[test]
    fn the_same_seed_the_same_shuffles_and_no_more_than_there_is_time_for() {
        let mut luck = Luck::of(3);
        let classes = [herd(1, 3_000, 0, &mut luck), herd(2, 3_000, 0, &mut luck)];
        let moments: Vec<_> = classes.iter().map(Class::moments).collect();
        let deviation = moments.iter().map(|one| one.2).sum::<f64>().sqrt();
        let expected = moments.iter().map(|one| one.1).sum();
        let score = Score { off: 1.5 * deviation, expected, deviation };
        let got = as_far(&classes, score, 1_001, 7);
        assert_eq!(got, as_far(&classes, score, 1_001, 7));
        assert_eq!(got.1, 1_001);
        // Of a normal distribution 13.4 % lies beyond 1.5 standard deviations on either side; five
        // standard errors of 1,001 shuffles are 5.4 %.
        near(f64::from(got.0) / 1_001.0, 0.1336, 0.054);
        let alone = [herd(2, 6_000, 6_000, &mut luck)];
        assert!(Deal::of(&alone[0]).cost() > 6_000);
        assert_eq!(as_far(&alone, score, 399, 7).1, 399);
    }
}
