//! Seeded random numbers: the same seed gives the same numbers everywhere.
//!
//! The bits are those of SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom
//! number generators") from `rand_xoshiro`: 64 bits of state, full period, enough for permutations,
//! simulations and invented farms. Never for secrets. The distributions are our own code, because a
//! library's may change between versions and a published figure must not.

use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use super::distribution::normal_quantile_above;

/// A stream of random numbers.
#[derive(Clone, Debug)]
pub struct Luck(SplitMix64);

impl Luck {
    /// The stream of a seed.
    #[must_use]
    pub fn of(seed: u64) -> Self {
        Self(SplitMix64::seed_from_u64(seed))
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// Uniform, above 0 and below 1.
    pub fn part(&mut self) -> f64 {
        // 53 bits, half a step away from zero so that its logarithm exists.
        ((self.bits() >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    /// True with this probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.part() < probability
    }

    /// Uniform from 0 to below `many` (to 1 in 2^53); 0 where `many` is 0.
    pub fn below(&mut self, many: usize) -> usize {
        ((self.part() * many as f64) as usize).min(many.saturating_sub(1))
    }

    /// Normal with mean 0 and standard deviation 1.
    pub fn normal(&mut self) -> f64 {
        normal_quantile_above(self.part())
    }

    /// Weibull: P(above t) = exp(-(t / scale)^shape).
    pub fn weibull(&mut self, shape: f64, scale: f64) -> f64 {
        scale * (-self.part().ln()).powf(1.0 / shape)
    }

    /// Shuffles in place (Fisher and Yates, as in Durstenfeld 1964).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}

/// Shares a number of turns between two threads, each with a stream of its own: the same result on
/// any number of cores.
pub(crate) fn halves<T: Send>(
    turns: u32,
    seed: u64,
    share: impl Fn(u32, Luck) -> T + Sync,
) -> [T; 2] {
    let half = turns / 2;
    std::thread::scope(|scope| {
        let other = scope.spawn(|| share(half, Luck::of(!seed)));
        let one = share(turns - half, Luck::of(seed));
        let other = other.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault));
        [one, other]
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// The first numbers of the generator from seed 1234567, as published with its reference code.
    #[test]
    fn the_stream_is_the_published_one() {
        let mut luck = Luck::of(1_234_567);
        for bits in
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        {
            assert_eq!(luck.bits(), bits);
        }
    }

    /// Means within five standard errors of 20,000 draws: 0 and 1 of a normal, and of a Weibull
    /// scale times gamma(1 + 1/shape), which for shape 2 is half the square root of pi.
    #[test]
    fn draws_have_their_means() {
        let mut luck = Luck::of(7);
        let many = 20_000;
        let draws: Vec<f64> = (0..many).map(|_| luck.normal()).collect();
        let mean = draws.iter().sum::<f64>() / f64::from(many);
        let square = draws.iter().map(|x| x * x).sum::<f64>() / f64::from(many);
        near(mean, 0.0, 5.0 / 141.0);
        near(square, 1.0, 5.0 * 0.01);
        let mean = (0..many).map(|_| luck.weibull(2.0, 10.0)).sum::<f64>() / f64::from(many);
        near(mean, 8.862_269, 5.0 * 4.633 / 141.0);
        let mut cards: Vec<u8> = (0..52).collect();
        luck.shuffle(&mut cards);
        assert_ne!(cards, (0..52).collect::<Vec<u8>>());
        cards.sort_unstable();
        assert_eq!(cards, (0..52).collect::<Vec<u8>>());
    }
}
