//! Resampling cows, each with all her observations.
//!
//! ```text
//! kinds of cows    (13, 27]         120 cows     one random number says how many are drawn
//!                  (28, inf) * 2     85 cows     one random number
//!                  all others        40 cows     drawn one by one
//! ```

use super::kinds::runs;
use super::luck::Luck;

/// Below this many cows, all are drawn one by one.
pub(crate) const MANY: usize = 5_000;
/// A kind with this many cows is drawn by one number: about where that is faster.
const COMMON: usize = 24;
/// At most this many cows are drawn for all curves together, which takes some ten seconds.
const MOST_DRAWN: u64 = 400_000_000;
/// At least this many curves are drawn.
const LEAST: u32 = 99;

/// Cows, each as the kinds of her observations.
#[derive(Default)]
pub(crate) struct Herd {
    /// The kinds of all observations, cow by cow.
    pub(crate) kinds: Vec<u32>,
    /// Where those of each cow end.
    ends: Vec<usize>,
}

impl Herd {
    /// Adds a cow.
    pub(crate) fn push(&mut self, kinds: impl Iterator<Item = u32>) {
        self.kinds.extend(kinds);
        self.ends.push(self.kinds.len());
    }

    pub(crate) fn cows(&self) -> usize {
        self.ends.len()
    }

    fn of(&self, cow: usize) -> &[u32] {
        let from = if cow == 0 { 0 } else { self.ends[cow - 1] };
        &self.kinds[from..self.ends[cow]]
    }

    /// Sorts the kinds of each cow: the order does not matter for a curve.
    fn sort(&mut self) {
        let mut from = 0;
        for end in &self.ends {
            self.kinds[from..*end].sort_unstable();
            from = *end;
        }
    }
}

/// What cows are drawn from.
pub(crate) struct Urn {
    herd: Herd,
    /// Common kinds: one cow of each, and how many there are.
    common: Vec<(u32, u64)>,
    /// All other cows.
    rare: Vec<u32>,
}

impl Urn {
    pub(crate) fn of(mut herd: Herd) -> Self {
        let mut order: Vec<u32> = (0..herd.cows() as u32).collect();
        if herd.cows() < MANY {
            return Self { herd, common: Vec::new(), rare: order };
        }
        herd.sort();
        let (mut common, mut rare) = (Vec::new(), Vec::new());
        for (first, many) in runs(&mut order, |cow| herd.of(cow as usize)) {
            if many >= COMMON {
                common.push((order[first], many as u64));
            } else {
                rare.extend_from_slice(&order[first..][..many]);
            }
        }
        Self { herd, common, rare }
    }

    /// How many curves there is time for, at least 99.
    pub(crate) fn allowed(&self) -> u32 {
        let cost = self.rare.len() + self.common.len() * COMMON;
        u32::try_from(MOST_DRAWN / cost.max(1) as u64).unwrap_or(u32::MAX).max(LEAST)
    }

    /// Draws as many cows as there are, with replacement, and counts the kinds of their
    /// observations.
    ///
    /// The numbers drawn of each kind are multinomial: a binomial number of the first kind, of the
    /// draws left another of the second, and so on (Devroye 1986, *Non-Uniform Random Variate
    /// Generation*, XI.1.4, from memory). That is the same distribution as drawing cow by cow.
    pub(crate) fn draw(&self, luck: &mut Luck, counts: &mut [u64]) {
        let mut open = self.herd.cows() as u64;
        let mut left = open;
        for (cow, many) in &self.common {
            let got = luck.binomial(open, *many as f64 / left as f64);
            self.count(*cow, got, counts);
            (open, left) = (open - got, left - many);
        }
        for _ in 0..open {
            self.count(self.rare[luck.below(self.rare.len())], 1, counts);
        }
    }

    fn count(&self, cow: u32, many: u64, counts: &mut [u64]) {
        for kind in self.herd.of(cow as usize) {
            counts[*kind as usize] += many;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 6,000 cows of three common kinds, and 20 each of a kind of its own: over 400 draws the mean
    /// and variance of every kind are those of a multinomial within five standard errors.
    #[test]
    fn kinds_come_up_as_by_drawing_cow_by_cow() {
        let mut herd = Herd::default();
        let mut shares = [0.0; 24];
        for cow in 0..6_000u32 {
            let kind = match cow {
                0..20 => 3 + cow,
                20..1_020 => 0,
                1_020..3_020 => 1,
                _ => 2,
            };
            // Two observations, in either order: one of her kind and one that all have.
            let pair = if cow % 2 == 0 { [kind, 23] } else { [23, kind] };
            herd.push(pair.into_iter());
            shares[kind as usize] += 1.0 / 6_000.0;
        }
        let urn = Urn::of(herd);
        assert_eq!((urn.common.len(), urn.rare.len()), (3, 20));
        let mut luck = Luck::of(8);
        let draws: Vec<Vec<u64>> = (0..400)
            .map(|_| {
                let mut counts = vec![0; 24];
                urn.draw(&mut luck, &mut counts);
                assert_eq!(counts[23], 6_000);
                assert_eq!(counts[..23].iter().sum::<u64>(), 6_000);
                counts
            })
            .collect();
        for (kind, share) in shares[..23].iter().enumerate() {
            let seen: Vec<f64> = draws.iter().map(|counts| counts[kind] as f64).collect();
            let mean = seen.iter().sum::<f64>() / 400.0;
            let variance = seen.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / 399.0;
            let want = 6_000.0 * share * (1.0 - share);
            assert!((mean - 6_000.0 * share).abs() < 5.0 * (want / 400.0).sqrt(), "{kind}: {mean}");
            // A count with mean 1 has a kurtosis of 4, a normal variable one of 3.
            let error = want * ((2.0 + 1.0 / want) / 400.0).sqrt();
            assert!((variance - want).abs() < 5.0 * error, "{kind}: {variance} is not {want}");
        }
    }

    #[test]
    fn few_cows_are_drawn_one_by_one() {
        let mut herd = Herd::default();
        for cow in 0..100 {
            herd.push(std::iter::once(cow % 2));
        }
        let urn = Urn::of(herd);
        let (mut luck, mut again) = (Luck::of(1), Luck::of(1));
        let (mut counts, mut want) = (vec![0; 2], vec![0; 2]);
        urn.draw(&mut luck, &mut counts);
        for _ in 0..100 {
            want[again.below(100) % 2] += 1;
        }
        assert_eq!(counts, want);
    }
}
