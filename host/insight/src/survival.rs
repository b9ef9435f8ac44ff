//! Times known to the day: Kaplan-Meier and log-rank.

use serde::Serialize;

use super::distribution::{chi_squared_above, normal_quantile_above};
use super::estimate::{Estimate, Level, Refusal, Verdict, at_least};
use super::sums::sum;

/// How long something was followed, and whether the event happened at the end of that time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watched {
    /// Time, above zero, any unit.
    pub time: f64,
    /// Whether it happened then; if not, it had not happened by then.
    pub happened: bool,
}

/// One step of the curve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Fall {
    /// The time.
    pub time: f64,
    /// Number followed up to then.
    pub at_risk: u64,
    /// Events among them.
    pub events: u64,
    /// The share without the event after it, with an interval on the scale ln(-ln S); n is
    /// `at_risk`.
    pub still: Estimate,
    /// Greenwood's standard error.
    pub standard_error: f64,
}

/// A time with events.
struct Time {
    time: f64,
    /// Followed up to then: all, and those of the first group.
    at_risk: (u64, u64),
    /// Events among them: all, and those of the first group.
    events: (u64, u64),
}

/// Everything followed, in order of time: (time, whether it happened, whether it belongs to the
/// first group).
fn in_order(one: &[Watched], other: &[Watched]) -> Vec<(f64, bool, bool)> {
    let mut all = Vec::with_capacity(one.len() + other.len());
    all.extend(one.iter().map(|watched| (watched.time, watched.happened, true)));
    all.extend(other.iter().map(|watched| (watched.time, watched.happened, false)));
    all.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    all
}

/// The times with events, ascending, with numbers at risk and events.
fn table(all: &[(f64, bool, bool)]) -> impl Iterator<Item = Time> {
    let first = all.iter().filter(|one| one.2).count() as u64;
    let mut at_risk = (all.len() as u64, first);
    all.chunk_by(|a, b| a.0 == b.0).filter_map(move |same| {
        let count = |keep: fn(&(f64, bool, bool)) -> bool| {
            same.iter().filter(|one| keep(one)).count() as u64
        };
        let events = (count(|one| one.1), count(|one| one.1 && one.2));
        let time = Time { time: same[0].0, at_risk, events };
        at_risk = (at_risk.0 - same.len() as u64, at_risk.1 - count(|one| one.2));
        (events.0 > 0).then_some(time)
    })
}

fn check(watched: &[Watched]) -> Result<(), Refusal> {
    at_least("times", watched.len(), 1)?;
    match watched.iter().find(|w| !(w.time.is_finite() && w.time > 0.0)) {
        Some(bad) => Err(Refusal::Impossible { what: "a follow-up time", value: bad.time }),
        None => Ok(()),
    }
}

/// The product-limit curve (Kaplan and Meier 1958, J Am Stat Assoc 53:457-481) with Greenwood's
/// standard error and log-log intervals (Kalbfleisch and Prentice 1980).
///
/// # Errors
/// [`Refusal`] without times, or for times that are not above zero.
pub fn kaplan_meier(watched: &[Watched], level: Level) -> Result<Vec<Fall>, Refusal> {
    check(watched)?;
    let critical = normal_quantile_above(level.tail());
    let (mut still, mut greenwood) = (1.0f64, 0.0);
    let mut falls = Vec::new();
    let all = in_order(watched, &[]);
    for Time { time, at_risk: (at_risk, _), events: (events, _) } in table(&all) {
        let (n, d) = (at_risk as f64, events as f64);
        still *= 1.0 - d / n;
        greenwood += if at_risk > events { d / (n * (n - d)) } else { f64::INFINITY };
        let (low, high) = if still > 0.0 {
            let middle = (-still.ln()).ln();
            let reach = critical * greenwood.sqrt() / still.ln().abs();
            ((-(middle + reach).exp()).exp(), (-(middle - reach).exp()).exp())
        } else {
            (0.0, 1.0)
        };
        let method = "Kaplan-Meier, log-log";
        let standard_error = if still > 0.0 { still * greenwood.sqrt() } else { 0.0 };
        let still = Estimate { value: still, low, high, level, n: at_risk, method };
        falls.push(Fall { time, at_risk, events, still, standard_error });
    }
    Ok(falls)
}

/// The log-rank test of two groups (Mantel 1966, Cancer Chemother Rep 50:163-170), hypergeometric
/// variance; n is both groups together.
///
/// # Errors
/// [`Refusal`] where a group is empty or nothing happened.
pub fn log_rank(one: &[Watched], other: &[Watched]) -> Result<Verdict, Refusal> {
    check(one)?;
    check(other)?;
    let all = in_order(one, other);
    let off = sum(table(&all).map(|Time { at_risk, events, .. }| {
        events.1 as f64 - events.0 as f64 * at_risk.1 as f64 / at_risk.0 as f64
    }));
    let parts =
        table(&all).filter(|time| time.at_risk.0 > 1).map(|Time { at_risk, events, .. }| {
            let (n, d, ours) = (at_risk.0 as f64, events.0 as f64, at_risk.1 as f64);
            d * (ours / n) * (1.0 - ours / n) * (n - d) / (n - 1.0)
        });
    let variance: f64 = parts.sum();
    if variance == 0.0 {
        return Err(Refusal::NoSpread { of: "times" });
    }
    let statistic = off.powi(2) / variance;
    let (n, p) = (all.len() as u64, chi_squared_above(1.0, statistic));
    Ok(Verdict { statistic, df: Some(1.0), p, n, method: "log-rank" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    fn watched(happened: &[u8], not: &[u8]) -> Vec<Watched> {
        let made = |times: &[u8], happened| -> Vec<Watched> {
            times.iter().map(|t| Watched { time: f64::from(*t), happened }).collect()
        };
        [made(happened, true), made(not, false)].concat()
    }

    /// Remission under 6-mercaptopurine and placebo, weeks (Freireich and others 1963; Gehan 1965);
    /// R survival, lifelines and scikit-survival agree on the figures.
    #[test]
    fn remission() {
        let drug = watched(
            &[6, 6, 6, 7, 10, 13, 16, 22, 23],
            &[6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35],
        );
        let placebo =
            watched(&[1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23], &[]);
        let falls = kaplan_meier(&drug, Level::P95).unwrap();
        for (fall, want) in falls.iter().zip([
            (6.0, 21, 0.857_143, 0.076_360, 0.619_718, 0.951_552),
            (7.0, 17, 0.806_723, 0.086_935, 0.563_147, 0.922_809),
            (10.0, 15, 0.752_941, 0.096_350, 0.503_200, 0.889_362),
            (13.0, 12, 0.690_196, 0.106_815, 0.431_610, 0.849_066),
            (16.0, 11, 0.627_451, 0.114_054, 0.367_511, 0.804_912),
            (22.0, 7, 0.537_815, 0.128_234, 0.267_779, 0.746_791),
            (23.0, 6, 0.448_179, 0.134_591, 0.188_052, 0.680_143),
        ]) {
            assert_eq!((fall.time, fall.at_risk), (want.0, want.1));
            near(fall.still.value, want.2, 6e-7);
            near(fall.standard_error, want.3, 6e-7);
            near(fall.still.low, want.4, 6e-7);
            near(fall.still.high, want.5, 6e-7);
        }
        assert_eq!(falls.len(), 7);
        let last = kaplan_meier(&placebo, Level::P95).unwrap();
        near(last[5].still.value, 0.380_952, 6e-7);
        near(last[11].still.value, 0.0, 1e-12);
        let test = log_rank(&drug, &placebo).unwrap();
        near(test.statistic, 16.792_941, 6e-7);
        near(test.p, 4.1688e-5, 6e-10);
        assert!(kaplan_meier(&[], Level::P95).is_err());
    }
}
