//! A share that knows its denominator, and when it is too small to tell anything.

use hornrule_insight::{Count, Estimate, Level, cluster_share, wilson};

/// Fewer cows than this, and there is a count but no share: with four, the interval of a half
/// reaches from 15 to 85 %.
pub const LEAST: u64 = 5;

/// Cases, and the number they are among.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Share {
    /// Cases.
    pub cases: u64,
    /// Among how many.
    pub of: u64,
    /// The share with its interval; `None` with fewer than [`LEAST`] cows.
    pub estimate: Option<Estimate>,
}

impl Share {
    /// Of cows, each counted once: Wilson's interval.
    #[must_use]
    pub fn of_cows(cases: u64, of: u64) -> Self {
        let count = Count::new(cases, of).ok().filter(|_| of >= LEAST);
        Self { cases, of, estimate: count.map(|count| wilson(count, Level::P95)) }
    }

    /// Of claws, which come in cows: claws of one cow are alike, so the interval is wider than that of
    /// as many claws of different cows.
    #[must_use]
    pub fn of_claws(cows: &[Count]) -> Self {
        let (cases, of) = cows.iter().fold((0, 0), |(cases, of), one| {
            let one: &Count = one;
            (cases + one.cases(), of + one.of())
        });
        let enough = cows.len() as u64 >= LEAST;
        let clustered = enough.then(|| cluster_share(cows, Level::P95).ok()).flatten();
        Self { cases, of, estimate: clustered.map(|clustered| clustered.share) }
    }
}
