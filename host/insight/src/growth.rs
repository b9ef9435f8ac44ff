//! How fast something grows: one slope for all, and how much cows or lesions differ.
//!
//! ```text
//! cow 1   claw after trimming ----3.1 months---- before the next: +11.9 mm
//! cow 1   other claw          ----3.1 months----                  +12.6 mm
//! cow 2   ...             a slope through zero for each cow, then their mean and spread
//! ```

use serde::Serialize;

use super::distribution::t_quantile_above;
use super::estimate::{Estimate, Level, Refusal, at_least};
use super::sums::sum;

/// A gain over some time, of one bearer: a cow or a lesion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gain {
    /// Which bearer: any number.
    pub bearer: u64,
    /// Which part of the bearer, any number: a cow has claws, a lesion is one part.
    pub part: u64,
    /// Time, above zero.
    pub time: f64,
    /// The gain, which may be negative.
    pub gained: f64,
}

/// The answer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Growth {
    /// Mean slope over bearers, gained per unit of time; n is bearers.
    pub slope: Estimate,
    /// Gains it is based on.
    pub gains: u64,
    /// Standard deviation between the slopes of bearers.
    pub spread: f64,
    /// The same with an interval, if the method gives one.
    pub spread_between: Option<Estimate>,
    /// Standard deviation of single gains about the line of their bearer.
    pub error: f64,
    /// Prediction interval for the slope of another bearer, at the same level.
    pub next: (f64, f64),
}

/// Two-stage random slopes. First the slope of each bearer through zero, sum(gained * time) /
/// sum(time²), with the error of a gain pooled over bearers that have two or more. Then the mean of
/// the slopes, weighted by 1 / (error² / sum(time²) + spread²), where the spread is Paule and
/// Mandel's (1982, J Res Natl Bur Stand 87:377-385) and the interval of the mean is Hartung and
/// Knapp's (2001, Stat Med 20:3875-3889), with Student's t on bearers - 1 degrees of freedom. For
/// lesions, and where there are too few gains for the mixed model ([`super::mixed::mixed`]); for
/// balanced data the two differ little.
///
/// # Errors
/// [`Refusal`] with fewer than three bearers or three repeated gains, or for times that are not
/// above zero.
pub fn growth(gains: &[Gain], level: Level) -> Result<Growth, Refusal> {
    check(gains)?;
    let order = in_order(gains, |gain| gain.bearer);
    let by_bearer = || order.chunk_by(|a, b| gains[*a].bearer == gains[*b].bearer);
    let mut lines = Vec::new();
    for own in by_bearer() {
        let own = || own.iter().map(|place| gains[*place]);
        let squares = sum(own().map(|gain| gain.time * gain.time));
        lines.push((sum(own().map(|gain| gain.time * gain.gained)) / squares, squares));
    }
    let bearers = at_least("cows or lesions", lines.len(), 3)?;
    let spare = gains.len() - lines.len();
    at_least("repeated gains", spare, 3)?;
    let off = by_bearer().zip(&lines).flat_map(|(own, line)| {
        let off = |place: &usize| gains[*place].gained - line.0 * gains[*place].time;
        own.iter().map(move |place| off(place).powi(2))
    });
    let error = (sum(off) / spare as f64).sqrt();
    lines.iter_mut().for_each(|line| line.1 = error * error / line.1);
    let own = lines;
    let (mean, spread, slope_error) = pool(&own)?;
    let df = (bearers - 1) as f64;
    let t = t_quantile_above(df, level.tail());
    let reach = t * slope_error;
    let method = "two-stage random slopes (Paule-Mandel, Hartung-Knapp)";
    let (low, high) = (mean - reach, mean + reach);
    let ahead = t * spread.hypot(slope_error);
    Ok(Growth {
        slope: Estimate { value: mean, low, high, level, n: bearers, method },
        gains: gains.len() as u64,
        spread,
        spread_between: None,
        error,
        next: (mean - ahead, mean + ahead),
    })
}

/// Indices of the gains in order of a key, equal ones in the order given.
pub(super) fn in_order<K: Ord>(gains: &[Gain], key: impl Fn(&Gain) -> K) -> Vec<usize> {
    let mut order: Vec<usize> = (0..gains.len()).collect();
    order.sort_unstable_by_key(|place| (key(&gains[*place]), *place));
    order
}

/// Refuses times that are not above zero and gains that are not finite.
pub(super) fn check(gains: &[Gain]) -> Result<(), Refusal> {
    if let Some(bad) = gains.iter().find(|gain| !(gain.time.is_finite() && gain.time > 0.0)) {
        return Err(Refusal::Impossible { what: "a growth period", value: bad.time });
    }
    match gains.iter().find(|gain| !gain.gained.is_finite()) {
        Some(bad) => Err(Refusal::Impossible { what: "a gain", value: bad.gained }),
        None => Ok(()),
    }
}

/// Mean, spread and standard error of the mean, from estimates with their variances.
fn pool(own: &[(f64, f64)]) -> Result<(f64, f64, f64), Refusal> {
    let df = at_least("cows or lesions", own.len(), 2)? as f64 - 1.0;
    let at = |between: f64| {
        let weighted = || own.iter().map(|(value, own)| (*value, 1.0 / (own + between)));
        let all = sum(weighted().map(|(_, weight)| weight));
        let mean = sum(weighted().map(|(value, weight)| value * weight)) / all;
        let off = sum(weighted().map(|(value, weight)| weight * (value - mean).powi(2)));
        (mean, off, all)
    };
    // The weighted sum of squares falls as the spread grows; the spread sought makes it equal to
    // its degrees of freedom.
    let between = if at(0.0).1 <= df {
        0.0
    } else {
        super::distribution::rising_root_from_zero(-df, |between| -at(between).1)
    };
    let (mean, off, all) = at(between);
    Ok((mean, between.sqrt(), (off / df / all).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::luck::Luck;
    use crate::near::near;

    /// Log risk ratios of thirteen trials of BCG vaccine (Colditz and others 1994) and their
    /// variances; spread, mean and error by Python's statsmodels (`combine_effects`, "iterated").
    #[test]
    fn pooling_is_statsmodels() {
        let trials = [
            (-0.889_311_333_9, 0.325_584_765_0),
            (-1.585_388_657_2, 0.194_581_121_4),
            (-1.348_073_148_3, 0.415_367_965_4),
            (-1.441_551_190_0, 0.020_010_031_9),
            (-0.217_547_322_2, 0.051_210_172_2),
            (-0.786_115_585_8, 0.006_905_618_5),
            (-1.620_898_223_6, 0.223_017_247_6),
            (0.011_952_333_5, 0.003_961_579_3),
            (-0.469_417_648_7, 0.056_434_210_5),
            (-1.371_344_803_5, 0.073_024_793_6),
            (-0.339_358_828_3, 0.012_412_214_0),
            (0.445_913_400_6, 0.532_505_845_2),
            (-0.017_313_948_2, 0.071_404_659_7),
        ];
        let (mean, spread, error) = pool(&trials).unwrap();
        near(spread * spread, 0.318_068_452, 1e-7);
        near(mean, -0.714_968_153, 1e-7);
        near(error, 0.180_892_192, 1e-7);
    }

    #[test]
    fn a_known_growth_comes_back() {
        let mut luck = Luck::of(11);
        let mut gains = Vec::new();
        for bearer in 0..200 {
            let slope = 4.0 + 0.7 * luck.normal();
            for _ in 0..4 {
                let time = 3.0 + 2.0 * luck.part();
                gains.push(Gain {
                    bearer,
                    part: 0,
                    time,
                    gained: slope * time + 0.7 * luck.normal(),
                });
            }
        }
        let got = growth(&gains, Level::P95).unwrap();
        assert!(got.slope.covers(4.0), "{got:?}");
        // The standard error of a standard deviation from 200 values is a twentieth of it.
        near(got.spread, 0.7, 4.0 * 0.7 / 20.0);
        near(got.error, 0.7, 4.0 * 0.7 / 1200f64.sqrt());
        assert_eq!((got.slope.n, got.gains), (200, 800));
        assert!(growth(&gains[..8], Level::P95).is_err());
    }
}
