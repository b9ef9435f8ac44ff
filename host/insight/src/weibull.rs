//! A smooth curve for events known only to lie between looks: the Weibull distribution.

use serde::Serialize;

use super::distribution::normal_quantile_above;
use super::estimate::{Estimate, Level, Refusal, at_least};
use super::interval::Between;
use super::kinds::Kinds;
use super::sums::sum;

/// The fit. P(later than t) = exp(-(t / scale)^shape).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Weibull {
    /// The time by which 63 % have happened, in the unit of the looks.
    pub scale: f64,
    /// Above 1 the risk rises with time, below 1 it falls.
    pub shape: f64,
    /// Logarithm of the likelihood.
    pub log_likelihood: f64,
    /// Observations.
    pub n: u64,
    /// Of them, seen to have happened.
    pub happened: u64,
    /// Location ln(scale) and logarithm of 1/shape.
    at: [f64; 2],
    /// Covariance of those two.
    covariance: [[f64; 2]; 2],
}

/// Different intervals and how often each was seen.
type Counted = [(Between, u64)];

const METHOD: &str = "Weibull, interval-censored, maximum likelihood";
const ROUNDS: u32 = 200;
/// At least this many must have been seen to happen: two parameters are fitted.
pub const LEAST: u64 = 3;

/// Fits by maximum likelihood: each observation adds ln(S(after) - S(by)) (for example Lawless
/// 2003, *Statistical Models and Methods for Lifetime Data*, section 5.2 on interval censoring).
/// Newton's method on (ln scale, -ln shape), with first derivatives by formula and second
/// derivatives by differences. Equal intervals are counted together.
///
/// # Errors
/// [`Refusal::TooFew`] where fewer than three were seen to happen, [`Refusal::Unsettled`].
pub fn weibull(seen: &[Between]) -> Result<Weibull, Refusal> {
    let happened = seen.iter().filter(|one| one.happened()).count();
    let happened = at_least("observed events", happened, LEAST)?;
    let kinds = Kinds::of(seen);
    let seen = kinds.counted();
    let mut at = start(seen);
    for _ in 0..ROUNDS {
        let (here, slope) = (log_likelihood(seen, at), slope(seen, at));
        let bend = curvature(seen, at);
        let newton = solve(bend, slope).filter(|_| definite(bend));
        // Far from the maximum the surface need not be concave: then go up the slope.
        let step = newton.unwrap_or([-0.1 * slope[0].signum(), -0.1 * slope[1].signum()]);
        let mut part = 1.0;
        let mut next = at;
        while part > 1e-8 {
            next = [at[0] - part * step[0], at[1] - part * step[1]];
            if log_likelihood(seen, next) >= here {
                break;
            }
            part /= 2.0;
        }
        let moved = (next[0] - at[0]).abs() + (next[1] - at[1]).abs();
        at = next;
        if newton.is_some() && moved < 1e-9 {
            return finish(seen, at, happened);
        }
    }
    Err(Refusal::Unsettled { of: "the Weibull curve", rounds: ROUNDS })
}

fn finish(seen: &Counted, at: [f64; 2], happened: u64) -> Result<Weibull, Refusal> {
    let bend = curvature(seen, at);
    let [[a, b], [_, d]] = bend;
    let below = a * d - b * b;
    if !definite(bend) || !below.is_finite() {
        return Err(Refusal::Unsettled { of: "the Weibull curve", rounds: ROUNDS });
    }
    // Minus the inverse of the second derivatives.
    let covariance = [[-d / below, b / below], [b / below, -a / below]];
    Ok(Weibull {
        scale: at[0].exp(),
        shape: (-at[1]).exp(),
        log_likelihood: log_likelihood(seen, at),
        n: seen.iter().map(|(_, many)| many).sum(),
        happened,
        at,
        covariance,
    })
}

/// Midpoints of the intervals, as if they were exact times: good enough to start from.
fn start(seen: &Counted) -> [f64; 2] {
    let middle = |one: Between| {
        if one.happened() { f64::midpoint(one.after(), one.by()) } else { one.after() * 1.3 }
    };
    let n = sum(seen.iter().map(|(_, many)| *many as f64));
    let mean = sum(seen.iter().map(|(one, many)| *many as f64 * middle(*one))) / n;
    [mean.max(1e-9).ln(), -0.3]
}

/// exp(-((t / scale)^shape)) and its derivatives with respect to location and ln(1 / shape).
fn still(t: f64, [location, ln_sigma]: [f64; 2]) -> (f64, [f64; 2]) {
    if t <= 0.0 {
        return (1.0, [0.0, 0.0]);
    }
    if t.is_infinite() {
        return (0.0, [0.0, 0.0]);
    }
    let sigma = ln_sigma.exp();
    let z = (t.ln() - location) / sigma;
    let hazard = z.exp();
    let still = (-hazard).exp();
    (still, [still * hazard / sigma, still * hazard * z])
}

fn log_likelihood(seen: &Counted, at: [f64; 2]) -> f64 {
    sum(seen
        .iter()
        .map(|(one, many)| *many as f64 * (still(one.after(), at).0 - still(one.by(), at).0).ln()))
}

fn slope(seen: &Counted, at: [f64; 2]) -> [f64; 2] {
    let mut by = [0.0; 2];
    for (one, many) in seen {
        let (above, da) = still(one.after(), at);
        let (below, db) = still(one.by(), at);
        for i in 0..2 {
            by[i] += *many as f64 * (da[i] - db[i]) / (above - below);
        }
    }
    by
}

/// Second derivatives by central differences of the first.
fn curvature(seen: &Counted, at: [f64; 2]) -> [[f64; 2]; 2] {
    const H: f64 = 1e-5;
    let mut bend = [[0.0; 2]; 2];
    for i in 0..2 {
        let (mut up, mut down) = (at, at);
        up[i] += H;
        down[i] -= H;
        let (above, below) = (slope(seen, up), slope(seen, down));
        for j in 0..2 {
            bend[i][j] = (above[j] - below[j]) / (2.0 * H);
        }
    }
    let both = f64::midpoint(bend[0][1], bend[1][0]);
    (bend[0][1], bend[1][0]) = (both, both);
    bend
}

fn definite([[a, b], [_, d]]: [[f64; 2]; 2]) -> bool {
    a < 0.0 && a * d - b * b > 0.0
}

fn solve([[a, b], [c, d]]: [[f64; 2]; 2], [x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let below = a * d - b * c;
    (below.is_finite() && below != 0.0).then(|| [(d * x - b * y) / below, (a * y - c * x) / below])
}

impl Weibull {
    /// The share still without the event at a time above zero, with an interval by the delta method
    /// on the scale ln(-ln S), which keeps it between 0 and 1.
    #[must_use]
    pub fn still(&self, time: f64, level: Level) -> Estimate {
        let sigma = self.at[1].exp();
        // ln(-ln S) = (ln t - location) / sigma.
        let z = (time.ln() - self.at[0]) / sigma;
        let error = self.error([-1.0 / sigma, -z]);
        let reach = normal_quantile_above(level.tail()) * error;
        let share = |z: f64| (-z.exp()).exp();
        Estimate {
            value: share(z),
            low: share(z + reach),
            high: share(z - reach),
            level,
            n: self.n,
            method: METHOD,
        }
    }

    /// The time by which a share (above 0, below 1) has happened, in the unit of the looks, with an
    /// interval on the log scale.
    #[must_use]
    pub fn time_of(&self, share: f64, level: Level) -> Estimate {
        let sigma = self.at[1].exp();
        let w = (-(1.0 - share).ln()).ln();
        let ln_time = self.at[0] + sigma * w;
        let reach = normal_quantile_above(level.tail()) * self.error([1.0, sigma * w]);
        Estimate {
            value: ln_time.exp(),
            low: (ln_time - reach).exp(),
            high: (ln_time + reach).exp(),
            level,
            n: self.n,
            method: METHOD,
        }
    }

    fn error(&self, by: [f64; 2]) -> f64 {
        let mut variance = 0.0;
        for (row, one) in self.covariance.iter().zip(by) {
            for (cell, other) in row.iter().zip(by) {
                variance += one * cell * other;
            }
        }
        variance.max(0.0).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::super::interval::cosmesis;
    use super::*;
    use crate::near::near;

    /// R survival's `survreg(Surv(left, right, type = "interval2") ~ 1)` and Python's lifelines
    /// agree.
    #[test]
    fn breast_cosmesis() {
        let got = weibull(&cosmesis::radiation()).unwrap();
        near(got.scale, 57.5131, 1e-3);
        near(got.shape, 1.121_61, 1e-5);
        near(got.log_likelihood, -64.731_47, 1e-5);
        let got = weibull(&cosmesis::both()).unwrap();
        near(got.scale, 28.0425, 1e-4);
        near(got.shape, 2.030_24, 1e-5);
        near(got.log_likelihood, -75.715_07, 1e-5);
        // The median under radiation by R's predict, with its standard error on the log scale.
        let got = weibull(&cosmesis::radiation()).unwrap().time_of(0.5, Level::P95);
        near(got.value, 41.481_169, 1e-4);
        near((got.high / got.value).ln(), 1.959_964 * 0.199_831_7, 1e-5);
        near((got.value / got.low).ln(), 1.959_964 * 0.199_831_7, 1e-5);
    }

    #[test]
    fn two_events_are_too_few() {
        let seen = [Between::new(1.0, 2.0).unwrap(), Between::new(2.0, 3.0).unwrap()];
        assert!(matches!(weibull(&seen), Err(Refusal::TooFew { have: 2, need: 3, .. })));
    }
}
