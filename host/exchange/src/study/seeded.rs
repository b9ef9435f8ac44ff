//! Seeded random order, the same on every computer and easy to write again in any language:
//! SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators",
//! OOPSLA), the bits of [`Luck`], and the shuffle of Fisher and Yates. Steps in `STUDY.md`,
//! which rule: numbers below n and the shuffle are ours, because a library's may change with its
//! version.

use hornrule_insight::luck::Luck;

/// What a data set says of how its sample was drawn.
pub const GENERATOR: &str = "SplitMix64 from seed XOR FNV-1a-64(herd name); numbers below n by \
                             rejection; shuffle of Fisher and Yates from the end";

/// A stream of numbers.
#[derive(Clone, Debug)]
pub struct Seeded(Luck);

impl Seeded {
    /// The stream of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(Luck::of(seed))
    }

    /// A stream of its own for something that has a name.
    #[must_use]
    pub fn named(seed: u64, name: &str) -> Self {
        Self::new(seed ^ fnv1a(name.as_bytes()))
    }

    /// The next 64 bits.
    pub fn number(&mut self) -> u64 {
        self.0.bits()
    }

    /// A number from 0 to `n` - 1, each as likely as the others; 0 where `n` is 0.
    pub fn below(&mut self, n: u64) -> u64 {
        if n == 0 {
            return 0;
        }
        // 2^64 mod n: that many of the smallest values would make some results likelier.
        let excess = (u64::MAX % n + 1) % n;
        loop {
            let value = self.number();
            if value >= excess {
                return value % n;
            }
        }
    }

    /// Any order, each as likely as the others.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            // Below `last` + 1, which is a usize.
            #[expect(clippy::cast_possible_truncation, reason = "as above")]
            let other = self.below(last as u64 + 1) as usize;
            items.swap(last, other);
        }
    }
}

/// FNV-1a, 64 bits (RFC 9923).
fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xCBF2_9CE4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01B3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First five numbers of seed 1234567, as published for this generator (Rosetta Code,
    /// "Pseudo-random numbers/Splitmix64"; from memory). `host/exchange-check` draws whole samples
    /// again in Python.
    #[test]
    fn the_stream_is_the_published_one() {
        let mut stream = Seeded::new(1_234_567);
        let five: [u64; 5] = std::array::from_fn(|_| stream.number());
        let published = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(five, published);
    }

    /// Test vectors of the FNV authors: "" , "a", "foobar".
    #[test]
    fn names_are_hashed_by_fnv_1a() {
        assert_eq!(fnv1a(b""), 0xCBF2_9CE4_8422_2325);
        assert_eq!(fnv1a(b"a"), 0xAF63_DC4C_8601_EC8C);
        assert_eq!(fnv1a(b"foobar"), 0x8594_4171_F739_67E8);
    }

    /// Chi-square over the 24 orders of four things in 24,000 shuffles: 23 degrees of freedom, 49.7
    /// is its 0.999 quantile. Seeded, so it says the same every time.
    #[test]
    fn every_order_is_as_likely() {
        let mut counts = std::collections::BTreeMap::new();
        let mut stream = Seeded::new(7);
        for _ in 0..24_000 {
            let mut items = [0, 1, 2, 3];
            stream.shuffle(&mut items);
            *counts.entry(items).or_insert(0i64) += 1;
        }
        assert_eq!(counts.len(), 24);
        let chi: f64 = counts.values().map(|n| ((n - 1000) as f64).powi(2) / 1000.0).sum();
        assert!(chi < 49.7, "{chi}");
        assert!(chi > 7.5, "{chi}: too even to be random (0.001 quantile)");
    }

    #[test]
    fn the_smallest_numbers_are_thrown_away() {
        let mut stream = Seeded::new(3);
        assert_eq!((stream.below(0), stream.below(1)), (0, 0));
        for n in [2, 3, 10, u64::MAX, u64::MAX / 2 + 2] {
            for _ in 0..50 {
                assert!(stream.below(n) < n);
            }
        }
    }
}
