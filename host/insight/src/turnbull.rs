//! The curve of events known only to lie between looks: Turnbull's estimate.
//!
//! ```text
//! observations   (0,5]  (4,11]  (5,12]   ...
//! ends in order   ( 0  ( 4   5 ]  ( 5   11 ]   12 ]
//! steps                  (4,5]    (5,11]                mass only where a "(" meets a "]"
//! ```
//!
//! The likelihood determines the mass of each step, but not where within the step it lies: the
//! curve has no single value inside a step.

use serde::Serialize;

use super::estimate::{Refusal, at_least};
use super::interval::Between;
use super::kinds::Kinds;
use super::sums::sum;

/// How the ends of intervals are read. Ours are half open. The closed reading is for comparison
/// with programs that use it; it gives other steps and another curve from the same numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// (after, by].
    HalfOpen,
    /// [after, by].
    Closed,
}

/// A fall of the curve, somewhere in (after, by].
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Step {
    /// Start.
    pub after: f64,
    /// End; infinite for what nobody saw happen.
    pub by: f64,
    /// The share that falls here, 0 to 1.
    pub mass: f64,
}

/// The estimate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Turnbull {
    /// The steps with any mass, ascending.
    pub steps: Vec<Step>,
    /// Observations.
    pub n: u64,
    /// Logarithm of the likelihood reached.
    pub log_likelihood: f64,
    /// The most by which it can fall short of the maximum, per observation, on the log scale.
    pub gap: f64,
    /// Rounds of the search.
    pub rounds: u32,
    /// The method, for a table's foot.
    pub method: &'static str,
}

/// The optimum is reached when no shift of mass can gain more than this per observation.
const GAP: f64 = 1e-11;
const ROUNDS: u32 = 200_000;
/// From this many observations on, the faster search is tried first.
const MANY: usize = 5_000;
/// Less mass than this at the optimum counts as none.
const NOTHING: f64 = 1e-9;

/// The nonparametric maximum likelihood estimate (Turnbull 1976, J R Stat Soc B 38:290-295): mass
/// on the innermost intervals, by expectation-maximisation with squared extrapolation (Varadhan and
/// Roland 2008, Scand J Stat 35:335-353) or, from 5,000 observations on, by a constrained Newton
/// method (Wang 2008, Comput Stat Data Anal 52:2388-2402), until the Kuhn-Tucker conditions hold
/// (Gentleman and Geyer 1994, Biometrika 81:618-623). Times in any unit; n is observations. Equal
/// intervals are counted together, so that time and memory grow with the number of different ones.
///
/// # Errors
/// [`Refusal::TooFew`] without observations, [`Refusal::Unsettled`].
pub fn turnbull(seen: &[Between]) -> Result<Turnbull, Refusal> {
    turnbull_by(seen, Ends::HalfOpen)
}

/// The same with a given reading of the ends.
///
/// # Errors
/// As [`turnbull`].
pub fn turnbull_by(seen: &[Between], ends: Ends) -> Result<Turnbull, Refusal> {
    turnbull_of(Kinds::of(seen).counted(), ends, Search::of(seen.len(), MANY))
}

/// How to search for the best curve, and when to stop.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Search {
    /// Try Newton's method first: for many observations.
    newton: bool,
    /// Stop when no shift of mass gains more than this per observation on the log scale.
    near: f64,
}

impl Search {
    /// By Newton's method if there are at least `from`.
    pub(crate) const fn of(many: usize, from: usize) -> Self {
        Self { newton: many >= from, near: GAP }
    }

    /// The same, stopping sooner: for resampling.
    pub(crate) const fn within(self, near: f64) -> Self {
        Self { near, ..self }
    }
}

/// The same from different intervals and how often each was seen.
///
/// # Errors
/// As [`turnbull`].
pub(crate) fn turnbull_of(
    counted: &[(Between, u64)],
    ends: Ends,
    search: Search,
) -> Result<Turnbull, Refusal> {
    at_least("observations", counted.len(), 1)?;
    let n: u64 = counted.iter().map(|(_, many)| many).sum();
    let places = innermost(counted, ends);
    let problem = Problem::of(counted, &places);
    let quick = if search.newton { problem.newton(n as f64, search.near) } else { None };
    let (masses, gap, rounds) = match quick {
        Some(found) => found,
        None => problem.solve(n as f64, search.near)?,
    };
    let log_likelihood = problem.log_likelihood(&masses);
    let steps = places
        .iter()
        .zip(&masses)
        .filter(|(_, mass)| **mass > NOTHING)
        .map(|(&(after, by), &mass)| Step { after, by, mass })
        .collect();
    let method = "Turnbull NPMLE, intervals (after, by]";
    Ok(Turnbull { steps, n, log_likelihood, gap, rounds, method })
}

impl Turnbull {
    /// The share still without the event at a time, as a lower and an upper value, which are equal
    /// outside the steps.
    #[must_use]
    pub fn still(&self, time: f64) -> (f64, f64) {
        let sure = self.steps.iter().filter(|step| step.by <= time).map(|step| step.mass);
        let perhaps = self.steps.iter().filter(|step| step.after < time).map(|step| step.mass);
        ((1.0 - sum(perhaps)).max(0.0), (1.0 - sum(sure)).max(0.0))
    }

    /// The step in which a share of events has been reached; `None` where it never is.
    #[must_use]
    pub fn time_of(&self, share: f64) -> Option<(f64, f64)> {
        let mut gone = 0.0;
        for step in &self.steps {
            gone += step.mass;
            if gone >= share - 1e-12 {
                return step.by.is_finite().then_some((step.after, step.by));
            }
        }
        None
    }
}

/// Places that can have mass: a left end directly followed by a right end.
fn innermost(counted: &[(Between, u64)], ends: Ends) -> Vec<(f64, f64)> {
    // Right ends sort before left ones at the same time, unless ends are closed.
    let (left, right) = match ends {
        Ends::HalfOpen => (1u8, 0u8),
        Ends::Closed => (0, 1),
    };
    let mut all: Vec<(f64, u8)> =
        counted.iter().flat_map(|(one, _)| [(one.after(), left), (one.by(), right)]).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let pairs = all.windows(2).filter(|two| two[0].1 == left && two[1].1 == right);
    let mut places: Vec<(f64, f64)> = pairs.map(|two| (two[0].0, two[1].0)).collect();
    places.dedup();
    places
}

/// Observations as runs of places, with equal ones counted together.
pub(crate) struct Problem {
    pub(crate) places: usize,
    /// (first place, one past the last place, how many).
    pub(crate) runs: Vec<(usize, usize, f64)>,
}

impl Problem {
    fn of(counted: &[(Between, u64)], places: &[(f64, f64)]) -> Self {
        let run = |(one, many): &(Between, u64)| {
            let first = places.partition_point(|place| place.0 < one.after());
            let last = places.partition_point(|place| place.1 <= one.by());
            (first, last, *many as f64)
        };
        let mut runs: Vec<(usize, usize, f64)> = counted.iter().map(run).collect();
        runs.sort_unstable_by_key(|(first, last, _)| (*first, *last));
        runs.dedup_by(|again, kept| {
            let same = (again.0, again.1) == (kept.0, kept.1);
            kept.2 += if same { again.2 } else { 0.0 };
            same
        });
        Self { places: places.len(), runs }
    }

    /// Sums of masses before each place.
    pub(crate) fn before(masses: &[f64]) -> Vec<f64> {
        let mut total = 0.0;
        let mut before = vec![0.0];
        before.extend(masses.iter().map(|mass| {
            total += mass;
            total
        }));
        before
    }

    pub(crate) fn log_likelihood(&self, masses: &[f64]) -> f64 {
        let before = Self::before(masses);
        sum(self
            .runs
            .iter()
            .map(|(first, last, many)| many * (before[*last] - before[*first]).ln()))
    }

    /// For each place, the factor for its mass: the derivative of the log-likelihood per
    /// observation. At the optimum it is 1 where there is mass and at most 1 elsewhere.
    pub(crate) fn pulls(&self, masses: &[f64], n: f64) -> Vec<f64> {
        let before = Self::before(masses);
        let mut change = vec![0.0; self.places + 1];
        for (first, last, many) in &self.runs {
            let part = many / (before[*last] - before[*first]) / n;
            change[*first] += part;
            change[*last] -= part;
        }
        let mut pull = 0.0;
        change
            .iter()
            .take(self.places)
            .map(|part| {
                pull += part;
                pull
            })
            .collect()
    }

    fn step(&self, masses: &[f64], n: f64) -> (Vec<f64>, f64) {
        let pulls = self.pulls(masses, n);
        let gap = pulls.iter().fold(0.0f64, |most, pull| most.max(pull - 1.0));
        let next: Vec<f64> = masses.iter().zip(&pulls).map(|(mass, pull)| mass * pull).collect();
        let all = sum(next.iter().copied());
        (next.into_iter().map(|mass| mass / all).collect(), gap)
    }

    fn solve(&self, n: f64, near: f64) -> Result<(Vec<f64>, f64, u32), Refusal> {
        let mut masses = vec![1.0 / self.places as f64; self.places];
        let mut least = f64::INFINITY;
        for round in 1..=ROUNDS {
            let (once, gap) = self.step(&masses, n);
            least = least.min(gap);
            if gap < near {
                return Ok((masses, gap, round));
            }
            let (twice, _) = self.step(&once, n);
            masses = self.extrapolated(&masses, &once, twice);
        }
        // Precision is exhausted long before this many rounds; a looser end is still an answer.
        if least < 1e-7 {
            Ok((masses, least, ROUNDS))
        } else {
            Err(Refusal::Unsettled { of: "the curve", rounds: ROUNDS })
        }
    }

    /// Further in the direction of two steps, if that is allowed and better.
    fn extrapolated(&self, from: &[f64], once: &[f64], twice: Vec<f64>) -> Vec<f64> {
        let step: Vec<f64> = once.iter().zip(from).map(|(a, b)| a - b).collect();
        let bend: Vec<f64> =
            twice.iter().zip(once).zip(&step).map(|((a, b), r)| a - b - r).collect();
        let norm = |v: &[f64]| v.iter().map(|x| x * x).sum::<f64>().sqrt();
        let bent = norm(&bend);
        if bent == 0.0 {
            return twice;
        }
        let mut reach = (norm(&step) / bent).max(1.0);
        let goal = self.log_likelihood(&twice);
        while reach > 1.01 {
            let far: Vec<f64> = from
                .iter()
                .zip(&step)
                .zip(&bend)
                .map(|((p, r), v)| p + 2.0 * reach * r + reach * reach * v)
                .collect();
            // Rounding would accumulate over rounds: masses that sum to more than one look better.
            let all = sum(far.iter().copied());
            let far: Vec<f64> = far.into_iter().map(|mass| mass / all).collect();
            if far.iter().all(|mass| *mass >= 0.0) && self.log_likelihood(&far) >= goal {
                return far;
            }
            reach = f64::midpoint(reach, 1.0);
        }
        twice
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::interval::cosmesis;
    use super::*;
    use crate::near::near;

    fn same(got: &Turnbull, want: &[(f64, f64, f64)]) {
        let ends: Vec<(f64, f64)> = got.steps.iter().map(|step| (step.after, step.by)).collect();
        assert_eq!(ends, want.iter().map(|w| (w.0, w.1)).collect::<Vec<_>>());
        for (step, want) in got.steps.iter().zip(want) {
            near(step.mass, want.2, 1e-6);
        }
        assert!(got.gap < 1e-9, "{}", got.gap);
    }

    const NEVER: f64 = f64::INFINITY;

    /// Masses and log-likelihoods from an independent EM to 1e-13; the Turnbull of the Python
    /// package greenwood agrees to six digits, R's `survfit(interval2)` to about 1e-4.
    #[test]
    fn breast_cosmesis_half_open() {
        let radiation = turnbull(&cosmesis::radiation()).unwrap();
        let want = [
            (4.0, 5.0, 0.046_347),
            (6.0, 7.0, 0.033_363),
            (7.0, 8.0, 0.088_667),
            (11.0, 12.0, 0.070_753),
            (24.0, 25.0, 0.092_646),
            (33.0, 34.0, 0.081_786),
            (38.0, 40.0, 0.120_880),
            (46.0, 48.0, 0.465_558),
        ];
        same(&radiation, &want);
        near(radiation.log_likelihood, -58.060_022, 1e-6);
        // S(5) = 0.9537 in the vignette of the R package interval.
        near(radiation.still(5.0).0, 0.9537, 5e-5);
        assert_eq!(radiation.n, 46);
        let both = turnbull(&cosmesis::both()).unwrap();
        let want = [
            (4.0, 5.0, 0.043_283),
            (5.0, 8.0, 0.043_283),
            (11.0, 12.0, 0.069_206),
            (16.0, 17.0, 0.145_398),
            (18.0, 19.0, 0.141_095),
            (19.0, 20.0, 0.115_746),
            (24.0, 25.0, 0.099_865),
            (30.0, 31.0, 0.070_881),
            (35.0, 36.0, 0.160_831),
            (44.0, 48.0, 0.055_206),
            (48.0, 60.0, 0.055_206),
        ];
        same(&both, &want);
        near(both.log_likelihood, -65.636_965, 1e-6);
        let mut all = cosmesis::radiation();
        all.extend(cosmesis::both());
        near(turnbull(&all).unwrap().log_likelihood, -136.963_804, 1e-6);
    }

    /// The trap: with closed ends, the same numbers give other steps and another likelihood.
    #[test]
    fn breast_cosmesis_read_as_closed_is_another_curve() {
        let closed = turnbull_by(&cosmesis::radiation(), Ends::Closed).unwrap();
        let want = [
            (5.0, 5.0, 0.049_297),
            (7.0, 7.0, 0.102_569),
            (11.0, 11.0, 0.087_264),
            (25.0, 25.0, 0.107_154),
            (34.0, 34.0, 0.054_809),
            (37.0, 37.0, 0.091_660),
            (40.0, 40.0, 0.047_218),
            (46.0, 48.0, 0.460_028),
        ];
        same(&closed, &want);
        near(closed.log_likelihood, -54.272_818, 1e-6);
    }

    #[test]
    fn a_curve_is_not_read_inside_a_step() {
        let seen = [Between::new(10.0, 20.0).unwrap(), Between::later_than(30.0).unwrap()];
        let curve = turnbull(&seen).unwrap();
        assert_eq!(curve.still(10.0), (1.0, 1.0));
        assert_eq!(curve.still(15.0), (0.5, 1.0));
        assert_eq!(curve.still(20.0), (0.5, 0.5));
        assert_eq!(curve.time_of(0.5), Some((10.0, 20.0)));
        assert_eq!(curve.time_of(0.6), None);
        assert_eq!(curve.steps.last().map(|step| step.by), Some(NEVER));
        assert!(turnbull(&[]).is_err());
    }

    proptest! {
        /// Where all looks are on the same days, Turnbull's estimate is plain counting (a life
        /// table).
        #[test]
        fn with_common_looks_it_counts(first in 1u32..20, second in 1u32..20, never in 1u32..20) {
            let mut seen = vec![Between::new(0.0, 14.0).unwrap(); first as usize];
            seen.extend(vec![Between::new(14.0, 28.0).unwrap(); second as usize]);
            seen.extend(vec![Between::later_than(28.0).unwrap(); never as usize]);
            let curve = turnbull(&seen).unwrap();
            let all = f64::from(first + second + never);
            prop_assert!((curve.still(14.0).0 - (1.0 - f64::from(first) / all)).abs() < 1e-8);
            prop_assert!((curve.still(28.0).0 - f64::from(never) / all).abs() < 1e-8);
        }
    }
}
