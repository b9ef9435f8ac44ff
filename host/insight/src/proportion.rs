//! Shares: cases among observations.

use serde::Serialize;

use super::distribution::{beta_quantile, normal_quantile_above};
use super::estimate::{Estimate, Level, Refusal};

/// A number of cases among a number of observations, never more cases than observations.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Count {
    cases: u64,
    of: u64,
}

impl Count {
    /// # Errors
    /// [`Refusal::MoreThanAll`], or [`Refusal::TooFew`] without observations.
    pub const fn new(cases: u64, of: u64) -> Result<Self, Refusal> {
        if of == 0 {
            return Err(Refusal::TooFew { of: "observations", have: 0, need: 1 });
        }
        if cases > of { Err(Refusal::MoreThanAll { cases, of }) } else { Ok(Self { cases, of }) }
    }

    /// Number of cases.
    #[must_use]
    pub const fn cases(self) -> u64 {
        self.cases
    }

    /// Number of observations.
    #[must_use]
    pub const fn of(self) -> u64 {
        self.of
    }

    /// The share, 0 to 1.
    #[must_use]
    pub fn share(self) -> f64 {
        self.cases as f64 / self.of as f64
    }

    const fn others(self) -> u64 {
        self.of - self.cases
    }
}

/// A share with the score interval (Wilson 1927, J Am Stat Assoc 22:209-212, without continuity
/// correction; recommended by Newcombe 1998, Stat Med 17:857-872, and Brown, Cai and DasGupta
/// 2001). Shares 0 to 1; n is the number of observations, which must be independent: claws of one
/// cow are not, see [`cluster_share`](super::cluster_share).
#[must_use]
pub fn wilson(count: Count, level: Level) -> Estimate {
    let (low, high) =
        score_ends(count.share(), count.of as f64, normal_quantile_above(level.tail()));
    // Rounding must not push an end past the share.
    let low = if count.cases == 0 { 0.0 } else { low };
    let high = if count.others() == 0 { 1.0 } else { high };
    Estimate { value: count.share(), low, high, level, n: count.of, method: "Wilson score" }
}

/// The ends of Wilson's interval for a share of n observations, at a critical value.
pub(crate) fn score_ends(share: f64, n: f64, critical: f64) -> (f64, f64) {
    let square = critical * critical;
    let middle = share + square / (2.0 * n);
    let half = critical * (share * (1.0 - share) / n + square / (4.0 * n * n)).sqrt();
    let below = 1.0 + square / n;
    (((middle - half) / below).max(0.0), ((middle + half) / below).min(1.0))
}

/// A share with the exact interval (Clopper and Pearson 1934, Biometrika 26:404-413), which covers
/// at least as often as it says, and usually more often. Shares 0 to 1; n independent observations.
#[must_use]
pub fn clopper_pearson(count: Count, level: Level) -> Estimate {
    let (x, rest, tail) = (count.cases as f64, count.others() as f64, level.tail());
    let low = if count.cases == 0 { 0.0 } else { beta_quantile(x, rest + 1.0, tail) };
    let high = if count.others() == 0 { 1.0 } else { beta_quantile(x + 1.0, rest, 1.0 - tail) };
    Estimate {
        value: count.share(),
        low,
        high,
        level,
        n: count.of,
        method: "Clopper-Pearson exact",
    }
}

/// One share minus another, independent groups, from their score intervals (Newcombe 1998, Stat Med
/// 17:873-890, method 10). -1 to 1; n is both groups together.
#[must_use]
pub fn difference(one: Count, other: Count, level: Level) -> Estimate {
    let (a, b) = (wilson(one, level), wilson(other, level));
    let value = a.value - b.value;
    let low = value - (a.value - a.low).hypot(b.high - b.value);
    let high = value + (a.high - a.value).hypot(b.value - b.low);
    let n = one.of + other.of;
    Estimate { value, low, high, level, n, method: "Newcombe difference (method 10)" }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::near::near;

    fn count(cases: u64, of: u64) -> Count {
        Count::new(cases, of).unwrap()
    }

    /// First four: Newcombe 1998 table I; all recomputed with statsmodels and R (`prop.test`
    /// without correction, `binom.test`), to six places.
    #[test]
    fn wilson_and_exact_are_the_published_ones() {
        type Row = ((u64, u64), (f64, f64), (f64, f64));
        let rows: [Row; 10] = [
            ((81, 263), (0.255_289, 0.366_210), (0.252_737, 0.367_622)),
            ((15, 148), (0.062_386, 0.160_487), (0.057_844, 0.161_650)),
            ((0, 20), (0.0, 0.161_125), (0.0, 0.168_433)),
            ((1, 29), (0.006_113, 0.171_755), (0.000_873, 0.177_644)),
            ((29, 29), (0.883_030, 1.0), (0.880_555, 1.0)),
            ((5, 50), (0.043_476, 0.213_602), (0.033_275, 0.218_135)),
            ((3, 7), (0.158_220, 0.749_542), (0.098_988, 0.815_948)),
            ((0, 1), (0.0, 0.793_451), (0.0, 0.975)),
            ((1, 1), (0.206_549, 1.0), (0.025, 1.0)),
            ((10, 10), (0.722_467, 1.0), (0.691_503, 1.0)),
        ];
        for ((cases, of), score, exact) in rows {
            let got = wilson(count(cases, of), Level::P95);
            near(got.low, score.0, 6e-7);
            near(got.high, score.1, 6e-7);
            assert_eq!(got.n, of);
            let got = clopper_pearson(count(cases, of), Level::P95);
            near(got.low, exact.0, 6e-7);
            near(got.high, exact.1, 6e-7);
        }
    }

    /// Recovery of newly lame cows by treatment (Thomas and others 2015, J Dairy Sci 98:4477-4486);
    /// ends from statsmodels, to four places.
    #[test]
    fn shares_of_a_claw_trial() {
        for (cases, of, low, high) in [
            (11, 45, 0.1424, 0.3867),
            (14, 39, 0.2274, 0.5158),
            (12, 42, 0.1717, 0.4357),
            (23, 41, 0.4104, 0.7011),
        ] {
            let got = wilson(count(cases, of), Level::P95);
            near(got.low, low, 6e-5);
            near(got.high, high, 6e-5);
        }
        let two = difference(count(23, 41), count(11, 45), Level::P95);
        near(two.low, 0.1094, 6e-5);
        near(two.high, 0.4899, 6e-5);
        assert_eq!(two.n, 86);
    }

    /// Newcombe 1998, method 10, four places.
    #[test]
    fn differences_are_newcombes() {
        for (one, other, low, high) in
            [((56, 70), (48, 80), 0.0524, 0.3339), ((9, 10), (3, 10), 0.1705, 0.8090)]
        {
            let got = difference(count(one.0, one.1), count(other.0, other.1), Level::P95);
            near(got.low, low, 6e-5);
            near(got.high, high, 6e-5);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        assert!(matches!(Count::new(3, 2), Err(Refusal::MoreThanAll { cases: 3, of: 2 })));
        assert!(matches!(Count::new(0, 0), Err(Refusal::TooFew { need: 1, .. })));
    }

    proptest! {
        #[test]
        fn the_share_is_inside_and_the_mirror_image_mirrors(of in 1u64..3000, part in 0.0f64..=1.0) {
            let cases = ((of as f64) * part) as u64;
            let mirror = count(of - cases, of);
            for method in [wilson, clopper_pearson] {
                let got = method(count(cases, of), Level::P95);
                prop_assert!(0.0 <= got.low && got.low <= got.value);
                prop_assert!(got.value <= got.high && got.high <= 1.0);
                let seen = method(mirror, Level::P95);
                prop_assert!((seen.low - (1.0 - got.high)).abs() < 1e-9);
            }
        }
    }
}
