//! Rates: events per unit of time, cows or claw-months.

use super::distribution::{beta_quantile, gamma_quantile, ln_choose};
use super::estimate::{Estimate, Level, Refusal, Verdict};

/// Events, and the time or number of animals in which they were seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposure {
    events: u64,
    over: f64,
}

impl Exposure {
    /// `over` above zero, in any unit; the rate is per that unit.
    ///
    /// # Errors
    /// [`Refusal::Impossible`].
    pub fn new(events: u64, over: f64) -> Result<Self, Refusal> {
        if over.is_finite() && over > 0.0 {
            Ok(Self { events, over })
        } else {
            Err(Refusal::Impossible { what: "time at risk", value: over })
        }
    }

    /// Events per unit.
    #[must_use]
    pub fn per_unit(self) -> f64 {
        self.events as f64 / self.over
    }
}

/// A rate with exact Poisson ends (Garwood 1936, Biometrika 28:437-442), in events per unit of
/// exposure; n is the number of events. Events must be independent of each other: in an outbreak
/// they are not.
#[must_use]
pub fn rate(seen: Exposure, level: Level) -> Estimate {
    let (x, tail) = (seen.events as f64, level.tail());
    let low = if seen.events == 0 { 0.0 } else { gamma_quantile(x, tail) };
    let high = gamma_quantile(x + 1.0, 1.0 - tail);
    Estimate {
        value: seen.per_unit(),
        low: low / seen.over,
        high: high / seen.over,
        level,
        n: seen.events,
        method: "Poisson exact (Garwood)",
    }
}

/// One rate divided by another with exact ends: given the total number of events, those of the
/// first group are binomial, and the Clopper-Pearson ends of their share become those of the ratio
/// (Przyborowski and Wilenski 1940, Biometrika 31:313-323). The test adds up all outcomes that are
/// no more likely than the one seen.
///
/// # Errors
/// [`Refusal::TooFew`] without events.
pub fn rate_ratio(
    one: Exposure,
    other: Exposure,
    level: Level,
) -> Result<(Estimate, Verdict), Refusal> {
    let n = one.events + other.events;
    if n == 0 {
        return Err(Refusal::TooFew { of: "events", have: 0, need: 1 });
    }
    let (x, rest, tail) = (one.events as f64, other.events as f64, level.tail());
    let odds = |share: f64| share / (1.0 - share) * other.over / one.over;
    let low = if one.events == 0 { 0.0 } else { odds(beta_quantile(x, rest + 1.0, tail)) };
    let high = if other.events == 0 {
        f64::INFINITY
    } else {
        odds(beta_quantile(x + 1.0, rest, 1.0 - tail))
    };
    let value = one.per_unit() / other.per_unit();
    let method = "rate ratio, exact given the total number of events";
    let share = one.over / (one.over + other.over);
    let verdict =
        Verdict { statistic: value, df: None, p: binomial_both(one.events, n, share), n, method };
    Ok((Estimate { value, low, high, level, n, method }, verdict))
}

/// The two-sided exact binomial test: all outcomes no more likely than the one seen.
pub(crate) fn binomial_both(cases: u64, of: u64, share: f64) -> f64 {
    let chance = |k: u64| {
        (ln_choose(of, k) + k as f64 * share.ln() + (of - k) as f64 * (1.0 - share).ln()).exp()
    };
    // Equal probabilities differ in their last digits; R uses the same tolerance.
    let most = chance(cases) * (1.0 + 1e-7);
    let p: f64 = (0..=of).map(chance).filter(|p| *p <= most).sum();
    p.min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Garwood's limits as given by R `poisson.test` and scipy, to six places.
    #[test]
    fn limits_are_garwoods() {
        for (events, low, high) in [
            (0, 0.0, 3.688_879),
            (1, 0.025_318, 5.571_643),
            (2, 0.242_209, 7.224_688),
            (3, 0.618_672, 8.767_273),
            (5, 1.623_486, 11.668_332),
            (10, 4.795_389, 18.390_356),
            (20, 12.216_520, 30.888_378),
            (100, 81.363_991, 121.626_794),
        ] {
            let got = rate(Exposure::new(events, 1.0).unwrap(), Level::P95);
            near(got.low, low, 6e-7);
            near(got.high, high, 6e-7);
            assert_eq!(got.n, events);
        }
    }

    /// The examples of R's `poisson.test`: 137 events in 24.19893, and 11/800 against 21/3011
    /// (cancer after fluoroscopy, from its help page).
    #[test]
    fn rates_and_their_ratio_are_rs() {
        let got = rate(Exposure::new(137, 24.198_93).unwrap(), Level::P95);
        near(got.value, 5.661_407, 6e-7);
        near(got.low, 4.753_125, 6e-7);
        near(got.high, 6.692_709, 6e-7);
        let one = Exposure::new(11, 800.0).unwrap();
        let other = Exposure::new(21, 3011.0).unwrap();
        let (ratio, test) = rate_ratio(one, other, Level::P95).unwrap();
        near(ratio.value, 1.971_488, 6e-7);
        near(ratio.low, 0.858_426_4, 6e-8);
        near(ratio.high, 4.277_265_9, 6e-8);
        near(test.p, 0.079_67, 5e-6);
    }

    #[test]
    fn no_time_and_no_event_are_refused() {
        assert!(matches!(Exposure::new(1, 0.0), Err(Refusal::Impossible { .. })));
        let none = Exposure::new(0, 10.0).unwrap();
        assert!(matches!(rate_ratio(none, none, Level::P95), Err(Refusal::TooFew { .. })));
    }
}
