//! A band around the curve of events known only to lie between looks, where claws cluster in cows.
//!
//! ```text
//! cows         1  2  3  4  5 ...     each with all its blocks
//! resampled    4  1  1  5  4 ...  -> a curve of its own
//! ... 999 times: the middle 95 % of the curves, day by day
//! ```

use serde::Serialize;

use super::distribution::{normal_above, t_quantile_above};
use super::estimate::{Estimate, Level, Refusal, at_least};
use super::interval::Between;
use super::kinds::Kinds;
use super::luck::{Luck, halves};
use super::proportion::{Count, wilson};
use super::turnbull::{Ends, Search, Turnbull, turnbull_of};
use super::urn::{Herd, MANY, Urn};

/// The band at one time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Edge {
    /// The time.
    pub at: f64,
    /// The curve there: its lower and upper value, equal outside the steps.
    pub still: (f64, f64),
    /// Lower end of the band.
    pub low: f64,
    /// Upper end of the band.
    pub high: f64,
}

/// The band, at whole units of time from 0.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Band {
    /// Ascending from 0.
    pub edges: Vec<Edge>,
    /// Clusters resampled: cows.
    pub bunches: u64,
    /// Observations in them: blocks or lesions.
    pub n: u64,
    /// Curves resampled: as many as asked for, but fewer, at least 99, where there are more than a
    /// million cows that all differ.
    pub resamples: u32,
    /// Seed of the resampling.
    pub seed: u64,
    /// The level.
    pub level: Level,
    /// The method, for a table's foot.
    pub method: &'static str,
}

/// With fewer clusters than this, resampling them says little about others.
const LEAST: u64 = 10;
/// A resampled curve is good enough this near its best, per observation on the log scale. At 1e-4
/// there is still mass where none belongs, and the ends of the band are off by 2 percentage points.
const GAP: f64 = 1e-6;

/// The pointwise percentile band of the cluster bootstrap: cows are resampled with all their
/// observations (Efron and Tibshirani 1993, *An Introduction to the Bootstrap*, 13.3; for clusters,
/// Davison and Hinkley 1997, *Bootstrap Methods and their Application*, 3.8). With few clusters the
/// tails are a little shorter, as Student's t is wider than the normal distribution (expanded
/// percentiles; Hesterberg 2015, Am Stat 69:371-386). Inside a step the curve has two values: the
/// lower end of the band comes from the lower ones, the upper end from the upper ones. Where
/// nothing has happened yet, or everything has, resampling cannot show any spread, and the band
/// extends as far as Wilson's interval with each cluster counted once.
///
/// The bootstrap of this curve is valid where looks fall on few days, as they do on visits; for
/// looks at arbitrary times that is not known (Sen and Xu 2015, Comput Stat Data Anal 81:121-129,
/// from memory). `tests/coverage.rs` simulates how often the band covers.
///
/// # Errors
/// [`Refusal`] with fewer than ten clusters or 39 resamples, or where the curve itself is refused.
pub fn band(
    cows: &[Vec<Between>],
    until: u32,
    (resamples, seed): (u32, u64),
    level: Level,
) -> Result<Band, Refusal> {
    let (mut herd, mut kinds) = (Herd::default(), Kinds::default());
    for cow in cows.iter().filter(|cow| !cow.is_empty()) {
        herd.push(cow.iter().map(|seen| kinds.add(*seen)));
    }
    let many = at_least("cows", herd.cows(), LEAST)?;
    at_least("draws", resamples as usize, 39)?;
    let search = Search::of(herd.cows(), MANY);
    let curve = turnbull_of(kinds.counted(), Ends::HalfOpen, search)?;
    let times: Vec<f64> = (0..=until).map(f64::from).collect();
    let n = herd.kinds.len() as u64;
    let urn = Urn::of(herd);
    let resamples = resamples.min(urn.allowed());
    let (kinds, within) = (kinds.counted(), search.within(GAP));
    let drawn = |curves: u32, mut luck: Luck| -> Result<Drawn, Refusal> {
        let mut drawn = Drawn::at(&times);
        let mut counts = vec![0; kinds.len()];
        for _ in 0..curves {
            counts.fill(0);
            urn.draw(&mut luck, &mut counts);
            let again = kinds.iter().zip(&counts).filter(|(_, many)| **many > 0);
            let again: Vec<_> = again.map(|((seen, _), many)| (*seen, *many)).collect();
            drawn.add(&turnbull_of(&again, Ends::HalfOpen, within)?, &times);
        }
        Ok(drawn)
    };
    let mut drawn = if (many as usize) < MANY {
        drawn(resamples, Luck::of(seed))?
    } else {
        let [one, other] = halves(resamples, seed, drawn);
        one?.and(other?)
    };
    let alike = wilson(Count::new(many, many)?, level).low;
    let tail = expanded(many as f64, level);
    let edges = times
        .iter()
        .zip(drawn.lows.iter_mut().zip(&mut drawn.highs))
        .map(|(time, (low, high))| edge(&curve, *time, (low, high), alike, tail))
        .collect();
    let method = "Turnbull, percentile bootstrap of cows";
    Ok(Band { edges, bunches: many, n, resamples, seed, level, method })
}

/// The resampled curves at each time.
struct Drawn {
    lows: Vec<Vec<f64>>,
    highs: Vec<Vec<f64>>,
}

impl Drawn {
    fn at(times: &[f64]) -> Self {
        Self { lows: vec![Vec::new(); times.len()], highs: vec![Vec::new(); times.len()] }
    }

    fn add(&mut self, curve: &Turnbull, times: &[f64]) {
        let both = self.lows.iter_mut().zip(&mut self.highs);
        for ((low, high), still) in both.zip(along(curve, times)) {
            low.push(still.0);
            high.push(still.1);
        }
    }

    fn and(mut self, other: Self) -> Self {
        for (all, more) in [(&mut self.lows, other.lows), (&mut self.highs, other.highs)] {
            all.iter_mut().zip(more).for_each(|(all, more)| all.extend(more));
        }
        self
    }
}

/// The curve's lower and upper values at ascending times: [`Turnbull::still`] in one sweep.
fn along(curve: &Turnbull, times: &[f64]) -> Vec<(f64, f64)> {
    let steps = &curve.steps;
    let (mut lower, mut upper) = ((0, 1.0f64), (0, 1.0f64));
    let mut stills = Vec::with_capacity(times.len());
    for time in times {
        while lower.0 < steps.len() && steps[lower.0].after < *time {
            lower = (lower.0 + 1, lower.1 - steps[lower.0].mass);
        }
        while upper.0 < steps.len() && steps[upper.0].by <= *time {
            upper = (upper.0 + 1, upper.1 - steps[upper.0].mass);
        }
        stills.push((lower.1.max(0.0), upper.1.max(0.0)));
    }
    stills
}

fn edge(
    curve: &Turnbull,
    at: f64,
    (lows, highs): (&mut [f64], &mut [f64]),
    alike: f64,
    tail: f64,
) -> Edge {
    let still = curve.still(at);
    let (mut low, mut high) = (from_below(lows, tail), from_above(highs, tail));
    if still.0 >= 1.0 && at > 0.0 {
        low = low.min(alike);
    }
    if still.1 <= 0.0 {
        high = high.max(1.0 - alike);
    }
    // The band always contains the curve: a step that few resamples have would otherwise stick out.
    Edge { at, still, low: low.min(still.0), high: high.max(still.1) }
}

/// The tail to use for the level with this many clusters: P(Z < -sqrt(m / (m - 1)) t).
fn expanded(many: f64, level: Level) -> f64 {
    let t = t_quantile_above(many - 1.0, level.tail());
    normal_above((many / (many - 1.0)).sqrt() * t)
}

/// The value that cuts off the tail: the k-th smallest of R, k = tail * (R + 1), at least the
/// first.
fn from_below(values: &mut [f64], tail: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let rank = (tail * (values.len() + 1) as f64).floor() as usize;
    values.get(rank.max(1) - 1).copied().unwrap_or(0.0)
}

fn from_above(values: &mut [f64], tail: f64) -> f64 {
    values.sort_by(|a, b| b.total_cmp(a));
    let rank = (tail * (values.len() + 1) as f64).floor() as usize;
    values.get(rank.max(1) - 1).copied().unwrap_or(1.0)
}

impl Band {
    /// The band at a whole unit of time; `None` beyond its end.
    #[must_use]
    pub fn at(&self, time: u32) -> Option<&Edge> {
        self.edges.get(time as usize)
    }

    /// The same as an estimate. Inside a step its value is midway between the two.
    #[must_use]
    pub fn estimate(&self, time: u32) -> Option<Estimate> {
        let edge = self.at(time)?;
        let value = f64::midpoint(edge.still.0, edge.still.1);
        let (low, high, level) = (edge.low, edge.high, self.level);
        Some(Estimate { value, low, high, level, n: self.n, method: self.method })
    }
}

#[cfg(test)]
mod tests {
    use super::super::interval::cosmesis;
    use super::super::turnbull::turnbull;
    use super::*;
    use crate::near::near;

    fn alone(seen: Vec<Between>) -> Vec<Vec<Between>> {
        seen.into_iter().map(|one| vec![one]).collect()
    }

    #[test]
    fn a_cluster_counts_once_however_large() {
        // Twenty cows, half of which lose all their blocks: with eight blocks each the band is
        // still that of twenty.
        let cow = |lost: bool, blocks: usize| {
            let one = if lost { Between::new(0.0, 14.0) } else { Between::later_than(28.0) };
            vec![one.unwrap(); blocks]
        };
        let herd = |blocks: usize| (0..20).map(|i| cow(i % 2 == 0, blocks)).collect::<Vec<_>>();
        let one = band(&herd(1), 28, (499, 3), Level::P95).unwrap();
        let eight = band(&herd(8), 28, (499, 3), Level::P95).unwrap();
        let (one, eight) = (one.at(20).unwrap(), eight.at(20).unwrap());
        near(one.low, eight.low, 1e-6);
        near(one.high, eight.high, 1e-6);
        // The 2.5 and 97.5 % points of a binomial of 20 at one half, divided by 20: 6 and 14 (scipy
        // 1.17, `binom.ppf`); a percentile of resampled counts may be one off.
        near(one.low, 0.3, 0.051);
        near(one.high, 0.7, 0.051);
    }

    /// The same with 8,000 cows of two kinds, where the number of each kind is drawn at once.
    #[test]
    fn many_cows_have_a_band_as_narrow_as_it_should_be() {
        let lost = Between::new(0.0, 14.0).unwrap();
        let on = Between::later_than(28.0).unwrap();
        let cows: Vec<Vec<Between>> =
            (0..8_000).map(|i| vec![if i % 2 == 0 { lost } else { on }; 2]).collect();
        let got = band(&cows, 28, (399, 3), Level::P95).unwrap();
        let edge = got.at(20).unwrap();
        near(edge.still.0, 0.5, 1e-9);
        // The standard error is 0.005 59; an end from 399 resamples has an error of a seventh of
        // that.
        near(edge.low, 0.5 - 1.96 * 0.005_59, 0.003);
        near(edge.high, 0.5 + 1.96 * 0.005_59, 0.003);
        assert_eq!((got.bunches, got.n, got.resamples), (8_000, 16_000, 399));
        assert_eq!(got, band(&cows, 28, (399, 3), Level::P95).unwrap());
    }

    #[test]
    fn where_nothing_happened_the_band_is_not_a_line() {
        let mut seen = vec![Between::later_than(28.0).unwrap(); 18];
        seen.extend([Between::new(14.0, 28.0).unwrap(), Between::new(14.0, 28.0).unwrap()]);
        let got = band(&alone(seen), 28, (199, 1), Level::P95).unwrap();
        let edge = got.at(10).unwrap();
        near(edge.still.0, 1.0, 1e-9);
        // Wilson for 20 of 20: 1 - 0.161125 (statsmodels, as 0 of 20).
        near(edge.low, 1.0 - 0.161_125, 1e-6);
        near(got.at(0).unwrap().low, 1.0, 1e-9);
        assert!(
            band(&alone(vec![Between::later_than(28.0).unwrap(); 9]), 28, (9, 1), Level::P95)
                .is_err()
        );
    }

    /// 30 clusters: t with 29 degrees of freedom is 2.045230, so the tail is beyond 2.080196:
    /// 0.018754 (scipy).
    #[test]
    fn tails_are_shorter_for_few() {
        near(expanded(30.0, Level::P95), 0.018_754, 2e-6);
        near(expanded(1e6, Level::P95), 0.025, 1e-6);
    }

    /// A bootstrap of the 46 patients in R 4.2 with an EM algorithm written for it, 9,999
    /// resamples, the 208th from either end: S(12), S(24), S(36), S(45). With 999 resamples the
    /// ends themselves have a standard error of about 0.007.
    #[test]
    fn breast_cosmesis_drawn_again() {
        let got = band(&alone(cosmesis::radiation()), 48, (999, 1), Level::P95).unwrap();
        for (time, value, low, high) in [
            (12, 0.760_870, 0.630_435, 0.930_434),
            (24, 0.760_870, 0.571_429, 0.869_565),
            (36, 0.586_438, 0.425_038, 0.762_304),
            (45, 0.465_558, 0.271_820, 0.652_127),
        ] {
            let edge = got.at(time).unwrap();
            near(edge.still.0, value, 1e-5);
            near(edge.low, low, 0.025);
            near(edge.high, high, 0.025);
        }
    }

    #[test]
    fn a_sweep_reads_the_curve() {
        let curve = turnbull(&cosmesis::both()).unwrap();
        let times: Vec<f64> = (0..=60).map(f64::from).collect();
        for (time, (low, high)) in times.iter().zip(along(&curve, &times)) {
            let (below, above) = curve.still(*time);
            near(low, below, 1e-12);
            near(high, above, 1e-12);
        }
    }

    #[test]
    fn the_same_seed_the_same_band() {
        let seen = alone(cosmesis::radiation());
        let one = band(&seen, 48, (99, 5), Level::P95).unwrap();
        assert_eq!(one, band(&seen, 48, (99, 5), Level::P95).unwrap());
        assert!(one.edges.iter().all(|edge| edge.low <= edge.still.0 && edge.still.1 <= edge.high));
        assert_eq!((one.bunches, one.n, one.edges.len()), (46, 46, 49));
    }
}
