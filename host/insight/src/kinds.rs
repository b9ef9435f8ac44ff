//! Intervals that occur many times, each kept once and counted.
//!
//! ```text
//! (13, 27]  (28, inf)  (13, 27]  -->  kind 0: (13, 27], 2    kind 1: (28, inf), 1
//! ```
//!
//! Days are whole numbers, so millions of observations have a few thousand different intervals:
//! time and memory grow with the kinds, not with the observations.

use std::collections::HashMap;

use super::interval::Between;

/// Kinds in the order in which they were first seen.
#[derive(Default)]
pub(crate) struct Kinds {
    /// Keyed by the bits of both ends.
    numbers: HashMap<(u64, u64), u32>,
    counted: Vec<(Between, u64)>,
}

impl Kinds {
    pub(crate) fn of(seen: &[Between]) -> Self {
        let mut kinds = Self::default();
        for one in seen {
            kinds.add(*one);
        }
        kinds
    }

    /// Counts one more and returns the number of its kind. 32 bits are enough: that many kinds
    /// would fill 100 GB.
    pub(crate) fn add(&mut self, one: Between) -> u32 {
        let next = self.counted.len() as u32;
        let bits = (one.after().to_bits(), one.by().to_bits());
        let number = *self.numbers.entry(bits).or_insert(next);
        if number == next {
            self.counted.push((one, 0));
        }
        self.counted[number as usize].1 += 1;
        number
    }

    /// Each kind and how often it occurs, in order of number.
    pub(crate) fn counted(&self) -> &[(Between, u64)] {
        &self.counted
    }
}

/// Sorts `order` by key and returns each run of equal keys: where it starts and how long it is.
pub(crate) fn runs<'a>(order: &mut [u32], key: impl Fn(u32) -> &'a [u32]) -> Vec<(usize, usize)> {
    // Equal keys are ordered by number, so that the same input always gives the same order.
    order.sort_unstable_by(|a, b| key(*a).cmp(key(*b)).then(a.cmp(b)));
    let mut from = 0;
    order
        .chunk_by(|a, b| key(*a) == key(*b))
        .map(|run| {
            let first = from;
            from += run.len();
            (first, run.len())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_intervals_are_one_kind() {
        let seen = [(1.0, 2.0), (1.0, 3.0), (1.0, 2.0), (0.0, 2.0), (1.0, 3.0), (1.0, 2.0)];
        let seen = seen.map(|(after, by)| Between::new(after, by).unwrap());
        let kinds = Kinds::of(&seen);
        assert_eq!(kinds.counted(), [(seen[0], 3), (seen[1], 2), (seen[3], 1)]);
        let mut again = Kinds::default();
        assert_eq!(seen.map(|one| again.add(one)), [0, 1, 0, 2, 1, 0]);
    }

    #[test]
    fn equal_keys_lie_together() {
        let keys: [&[u32]; 5] = [&[2, 1], &[1], &[2, 1], &[1, 9], &[1]];
        let mut order = [0, 1, 2, 3, 4];
        let runs = runs(&mut order, |place| keys[place as usize]);
        assert_eq!(order, [1, 4, 3, 0, 2]);
        assert_eq!(runs, [(0, 2), (2, 1), (3, 2)]);
    }
}
