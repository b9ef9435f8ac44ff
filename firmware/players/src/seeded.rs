//! Repeatable chance: the same seed gives the same run.

<<<<<<< HEAD:firmware/players/src/seeded.rs
use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// A stream of numbers. Good enough to shake tests, nothing else.
=======
/// A small generator (xorshift64*, Vigna 2016, written from memory). Good enough to vary tests, and
/// nothing else.
>>>>>>> english-fw:firmware/testkit/src/seeded.rs
#[derive(Clone, Debug)]
pub struct Seeded(SplitMix64);

impl Seeded {
    /// Any seed will do; neighbouring seeds give different runs.
    #[must_use]
<<<<<<< HEAD:firmware/players/src/seeded.rs
    pub fn new(seed: u64) -> Self {
        Self(SplitMix64::seed_from_u64(seed))
    }

    /// Any 64-bit number.
    pub fn next(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A number from 0 to `limit` - 1; 0 where `limit` is 0.
    pub fn below(&mut self, limit: u64) -> u64 {
=======
    pub const fn new(seed: u64) -> Self {
        // Zero would stay zero; multiplying by an odd number keeps seeds distinct.
        let mixed = seed.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        Self(if mixed == 0 { 1 } else { mixed })
    }

    /// Any 64-bit number except the generator's own zero.
    pub const fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A number from 0 to `limit` - 1; 0 if `limit` is 0.
    pub const fn below(&mut self, limit: u64) -> u64 {
>>>>>>> english-fw:firmware/testkit/src/seeded.rs
        if limit == 0 { 0 } else { (self.next() >> 16) % limit }
    }

    /// True once in `times`.
    pub fn once_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }
}

#[cfg(test)]
mod tests {
    use super::Seeded;

    #[test]
    fn repeats_and_spreads() {
        let draw = |seed| {
            let mut seeded = Seeded::new(seed);
            let mut counts = [0_u32; 8];
            for _ in 0..8_000 {
                counts[usize::try_from(seeded.below(8)).unwrap()] += 1;
            }
            counts
        };
        assert_eq!(draw(7), draw(7));
        assert_ne!(draw(7), draw(8));
        // A fair die of eight: 1000 each, standard deviation 30; five of them allowed.
        for seed in 0..20 {
            assert!(draw(seed).iter().all(|n| n.abs_diff(1_000) < 150), "{seed}");
        }
    }
}
