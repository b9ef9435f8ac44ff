//! Drawing lots: permuted blocks of random size, from a seed, so that anyone can make the list again.
//!
//! ```text
//! seed --SHA-256 in counter mode--> numbers --below--> size of a block --shuffle--> ways
//! ```
//!
//! The rules with worked numbers are in `host/questions/src/lot/LOT.md`. Not SplitMix64 as elsewhere
//! in this room ([`super::luck`]): its 64 bits of state could be searched by whoever has seen a few
//! ways, and a list of lots is a secret until the trial is closed.

use sha2::{Digest, Sha256};

/// A stream of 32-bit numbers: SHA-256 over the seed, one zero byte and a counter of eight bytes, the
/// highest first (FIPS 180-4).
#[derive(Clone, Debug)]
pub struct Stream {
    seed: Vec<u8>,
    counter: u64,
    /// What is left of the last digest.
    left: Vec<u8>,
}

impl Stream {
    /// The stream of a seed.
    #[must_use]
    pub fn of(seed: &str) -> Self {
        Self { seed: seed.as_bytes().to_vec(), counter: 0, left: Vec::new() }
    }

    /// The next number.
    pub fn number(&mut self) -> u32 {
        if self.left.is_empty() {
            let mut digest = Sha256::new();
            digest.update(&self.seed);
            digest.update([0]);
            digest.update(self.counter.to_be_bytes());
            self.counter += 1;
            self.left = digest.finalize().to_vec();
        }
        // A digest has eight times four bytes.
        self.left.drain(..4).fold(0, |number, byte| number << 8 | u32::from(byte))
    }

    /// Uniform from 0 to below `many`, without bias; 0 where `many` is 0 or beyond 32 bits.
    pub fn below(&mut self, many: usize) -> usize {
        let Some(many) = u32::try_from(many).ok().filter(|many| *many > 0) else { return 0 };
        let top = (1u64 << 32) / u64::from(many) * u64::from(many);
        loop {
            let number = self.number();
            if u64::from(number) < top {
                return (number % many) as usize;
            }
        }
    }
}

/// A way for each of so many units, in blocks in which every way stands equally often: as often as one
/// of `sizes` says, drawn anew for each block. Empty where there is no way or no size, or a size
/// is 0.
#[must_use]
pub fn permuted_blocks(seed: &str, ways: &[u8], sizes: &[u8], units: usize) -> Vec<u8> {
    let mut drawn = Vec::with_capacity(units);
    if ways.is_empty() || sizes.is_empty() || sizes.contains(&0) {
        return drawn;
    }
    let mut stream = Stream::of(seed);
    while drawn.len() < units {
        let each = usize::from(sizes[stream.below(sizes.len())]);
        let row = ways.iter().flat_map(|way| std::iter::repeat_n(*way, each));
        let mut block: Vec<u8> = row.collect();
        // Fisher and Yates, as in Durstenfeld 1964 (Commun ACM 7:420).
        for last in (1..block.len()).rev() {
            block.swap(last, stream.below(last + 1));
        }
        drawn.extend(block);
    }
    drawn.truncate(units);
    drawn
}

/// SHA-256 of a text, hexadecimal in small letters.
#[must_use]
pub fn sha256(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::distribution::chi_squared_above;

    /// The example of one block in FIPS 180-4's companion (NIST, "SHA256" examples), and that of no
    /// bytes at all.
    #[test]
    fn digests_are_the_published_ones() {
        assert_eq!(
            sha256("abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert_eq!(sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }

    /// Worked out with Python's hashlib.
    #[test]
    fn the_stream_is_that_of_the_page() {
        let mut stream = Stream::of("00112233445566778899aabbccddeeff");
        let numbers: Vec<u32> = (0..10).map(|_| stream.number()).collect();
        assert_eq!(
            numbers,
            [
                2_360_829_804,
                652_124_166,
                1_842_409_061,
                3_258_554_664,
                2_905_504_336,
                2_264_708_410,
                3_447_910_267,
                267_033_713,
                3_970_377_609,
                738_905_471
            ]
        );
    }

    proptest! {
        /// However it is drawn: every block is whole and balanced, so two ways never differ by more
        /// than the largest size, at any point of the list.
        #[test]
        fn two_ways_never_differ_by_more_than_the_largest_size(
            seed in "[ -~]{1,64}",
            ways in prop::collection::btree_set(1u8..=9, 2..=9),
            sizes in prop::collection::vec(1u8..=9, 1..=4),
            units in 0usize..600,
        ) {
            let ways: Vec<u8> = ways.into_iter().collect();
            let drawn = permuted_blocks(&seed, &ways, &sizes, units);
            prop_assert_eq!(drawn.len(), units);
            let largest = usize::from(*sizes.iter().max().unwrap());
            let mut counts = [0usize; 10];
            for way in &drawn {
                counts[usize::from(*way)] += 1;
                let of: Vec<usize> = ways.iter().map(|way| counts[usize::from(*way)]).collect();
                prop_assert!(of.iter().max().unwrap() - of.iter().min().unwrap() <= largest);
            }
            prop_assert!(drawn.iter().all(|way| ways.contains(way)));
            prop_assert_eq!(&drawn, &permuted_blocks(&seed, &ways, &sizes, units));
            // More units are the same list, further.
            let more = permuted_blocks(&seed, &ways, &sizes, units + 40);
            prop_assert_eq!(&more[..units], &drawn[..]);
        }
    }

    /// Two ways, each twice in a block: the six orders come equally often over 6,000 seeds, and both
    /// numbers below two. The seeds are fixed: a p below 0.001 is a fault and not bad luck.
    #[test]
    fn all_orders_and_sizes_come_equally_often() {
        let fits = |seen: &std::collections::BTreeMap<Vec<u8>, u32>, cells: u32| {
            let all: u32 = seen.values().sum();
            let expected = f64::from(all) / f64::from(cells);
            let far = seen.values().map(|seen| (f64::from(*seen) - expected).powi(2) / expected);
            let p = chi_squared_above(f64::from(cells - 1), far.sum());
            assert!(seen.len() == cells as usize && p > 0.001, "{seen:?}: p = {p}");
        };
        let mut orders = std::collections::BTreeMap::new();
        let mut sizes = std::collections::BTreeMap::new();
        for seed in 0..6_000 {
            let seed = seed.to_string();
            *orders.entry(permuted_blocks(&seed, &[1, 2], &[2], 4)).or_default() += 1;
            let first = Stream::of(&seed).below(2) as u8;
            *sizes.entry(vec![first]).or_default() += 1;
        }
        fits(&orders, 6);
        fits(&sizes, 2);
    }

    #[test]
    fn nothing_to_draw_from_draws_nothing() {
        assert!(permuted_blocks("a", &[], &[1], 5).is_empty());
        assert!(permuted_blocks("a", &[1, 2], &[], 5).is_empty());
        assert!(permuted_blocks("a", &[1, 2], &[1, 0], 5).is_empty());
        let mut stream = Stream::of("a");
        assert_eq!((stream.below(0), stream.below(1)), (0, 0));
    }
}
