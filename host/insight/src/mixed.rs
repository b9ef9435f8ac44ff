//! How fast something grows, by a mixed model: cows differ, claws of a cow differ, readings have
//! errors.
//!
//! ```text
//! gained = (slope + cow + claw of the cow) * time + error      cow, claw, error: normal, mean zero
//!
//! claw: sums of t², t y, y² --> cow --> all: likelihood of two ratios of variances, by formula
//! ```
//!
//! No matrix is needed: the covariance of a claw is a diagonal plus a product of its times, and so
//! is that of a cow, so the inverse and the determinant follow from sums (Sherman and Morrison
//! 1950, twice).

use std::cell::Cell;
use std::ops::Range;

use super::distribution::{chi_squared_quantile, t_quantile_above};
use super::estimate::{Estimate, Level, Refusal, at_least};
use super::growth::{Gain, Growth, check, in_order};
use super::search::{crossing, lowest, lowest_about};

/// The fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixed {
    /// Slope, spread and error, as from the simpler method.
    pub growth: Growth,
    /// Standard deviation between slopes of claws of the same bearer; `None` where no bearer has
    /// two claws, so that it is part of the spread between bearers.
    pub claws: Option<f64>,
    /// The predicted slope of each bearer: the less is known of it, the closer to the mean.
    pub own: Vec<(u64, f64)>,
    /// The minimised criterion: minus twice the restricted log-likelihood.
    pub criterion: f64,
}

/// Sums over one claw, one cow or everything, weighted by the inverse of the covariance.
#[derive(Clone, Copy, Default)]
struct Sums {
    tt: f64,
    ty: f64,
    yy: f64,
}

impl Sums {
    /// Adds another whose slope is random with this variance, in units of the error variance.
    /// Returns the factor by which the determinant of the covariance grows.
    fn add(&mut self, one: Self, ratio: f64) -> f64 {
        let more = 1.0 + ratio * one.tt;
        let part = 1.0 / more;
        self.tt += one.tt * part;
        self.ty += one.ty * part;
        self.yy += one.yy - ratio * one.ty * one.ty * part;
        more
    }
}

/// The logarithm of a product, taken once for many factors.
struct Product {
    factors: f64,
    ln: f64,
}

impl Product {
    fn times(&mut self, factor: f64) {
        self.factors *= factor;
        if self.factors > 1e100 {
            self.ln += self.factors.ln();
            self.factors = 1.0;
        }
    }
}

/// Gains as sums.
struct Model {
    /// Each cow's number and the end of her claws.
    cows: Vec<(u64, usize)>,
    /// In order of cows.
    claws: Vec<Sums>,
    n: f64,
    nested: bool,
}

impl Model {
    fn of(gains: &[Gain]) -> Self {
        let claw = |gain: &Gain| (gain.bearer, gain.part);
        let (mut cows, mut claws): (Vec<(u64, usize)>, Vec<Sums>) = (Vec::new(), Vec::new());
        let order = in_order(gains, claw);
        for own in order.chunk_by(|a, b| claw(&gains[*a]) == claw(&gains[*b])) {
            let mut sums = Sums::default();
            for one in own.iter().map(|place| gains[*place]) {
                sums.tt += one.time * one.time;
                sums.ty += one.time * one.gained;
                sums.yy += one.gained * one.gained;
            }
            claws.push(sums);
            let bearer = gains[own[0]].bearer;
            match cows.last_mut() {
                Some(last) if last.0 == bearer => last.1 = claws.len(),
                _ => cows.push((bearer, claws.len())),
            }
        }
        let nested = claws.len() > cows.len();
        Self { cows, claws, n: gains.len() as f64, nested }
    }

    /// A range of cows: the number of each and the sums of her claws.
    fn by_cow(&self, places: Range<usize>) -> impl Iterator<Item = (u64, &[Sums])> {
        let mut from = if places.start == 0 { 0 } else { self.cows[places.start - 1].1 };
        self.cows[places].iter().map(move |(cow, end)| {
            let claws = &self.claws[from..*end];
            from = *end;
            (*cow, claws)
        })
    }

    /// The sums over all cows and the logarithm of the determinant of the covariance, for standard
    /// deviations between cows and between claws in units of the error. With many cows a second
    /// thread takes half.
    fn sums(&self, cow: f64, claw: f64) -> (Sums, f64) {
        let many = self.cows.len();
        if many < MANY {
            return self.sums_of(0..many, cow, claw);
        }
        std::thread::scope(|scope| {
            let other = scope.spawn(|| self.sums_of(many / 2..many, cow, claw));
            let (mut all, ln) = self.sums_of(0..many / 2, cow, claw);
            let other = other.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault));
            all.add(other.0, 0.0);
            (all, ln + other.1)
        })
    }

    fn sums_of(&self, places: Range<usize>, cow: f64, claw: f64) -> (Sums, f64) {
        let (mut all, mut product) = (Sums::default(), Product { factors: 1.0, ln: 0.0 });
        for (_, claws) in self.by_cow(places) {
            let mut hers = Sums::default();
            for one in claws {
                product.times(hers.add(*one, claw * claw));
            }
            product.times(all.add(hers, cow * cow));
        }
        (all, product.ln + product.factors.ln())
    }

    /// The criterion and the error variance that minimises it, by the formula of lme4 (Bates,
    /// Maechler, Bolker and Walker 2015, J Stat Softw 67(1), eq. 42) with one fixed slope.
    fn profiled(&self, cow: f64, claw: f64) -> (f64, f64) {
        let (all, ln) = self.sums(cow, claw);
        let rest = (all.yy - all.ty * all.ty / all.tt).max(0.0);
        let df = self.n - 1.0;
        let error = rest / df;
        let two_pi = 2.0 * std::f64::consts::PI;
        (ln + all.tt.ln() + df * (1.0 + (two_pi * error).ln()), error)
    }

    /// The criterion at a standard deviation between cows and an error, both in the unit of the
    /// readings.
    fn at(&self, cow: f64, claw: f64, error: f64) -> f64 {
        let (all, ln) = self.sums(cow / error, claw);
        let rest = (all.yy - all.ty * all.ty / all.tt).max(0.0);
        let (df, two_pi) = (self.n - 1.0, 2.0 * std::f64::consts::PI);
        ln + all.tt.ln() + df * (two_pi * error * error).ln() + rest / (error * error)
    }

    /// The position between 0 and 1 of the ratio of claws that minimises something, and the
    /// minimum.
    fn over_claws(&self, guess: Option<f64>, criterion: impl Fn(f64) -> f64) -> (f64, f64) {
        let of = |at: f64| criterion(ratio(at));
        match guess {
            _ if !self.nested => (0.0, of(0.0)),
            None => lowest(0.0, NEARLY_ONE, NEAR, of),
            Some(guess) => lowest_about(guess, STEP, (0.0, NEARLY_ONE), NEAR, of),
        }
    }
}

/// How close a search comes to the minimum: closer than rounding shows.
const NEAR: f64 = 1e-7;
/// First step of a search that starts close to the minimum.
const STEP: f64 = 0.01;
/// From this many cows on, two threads are faster than one.
const MANY: usize = 10_000;
/// Ratios from zero to ten thousand, as a position from zero to below one.
const NEARLY_ONE: f64 = 0.9999;

fn ratio(at: f64) -> f64 {
    at / (1.0 - at)
}

/// The mixed model by restricted maximum likelihood (Patterson and Thompson 1971, Biometrika
/// 58:545-554): one slope for all, random slopes of bearers and, within them, of their parts, all
/// through zero. The interval of the slope is Student's t on bearers - 1 degrees of freedom; that
/// of the spread between bearers ends where the criterion has risen by the chi-squared quantile
/// (profile likelihood, Venzon and Moolgavkar 1988, Appl Stat 37:87-94).
///
/// # Errors
/// [`Refusal`] with fewer than six bearers or three repeated gains of a part, for times that are
/// not above zero, or for gains that lie exactly on one line.
pub fn mixed(gains: &[Gain], level: Level) -> Result<Mixed, Refusal> {
    check(gains)?;
    let model = Model::of(gains);
    let bearers = at_least("cows", model.cows.len(), 6)?;
    at_least("repeated gains of a claw", gains.len() - model.claws.len(), 3)?;
    let guess = Cell::new(None);
    let best = |cow: f64| {
        let best = model.over_claws(guess.get(), |claw| model.profiled(cow, claw).0);
        guess.set(Some(best.0));
        best
    };
    let (at, criterion) = lowest(0.0, NEARLY_ONE, NEAR, |at| best(ratio(at)).1);
    let (cow, at_claws) = (ratio(at), best(ratio(at)).0);
    let claw = ratio(at_claws);
    let (_, variance) = model.profiled(cow, claw);
    if !(variance.is_finite() && variance > 0.0) {
        return Err(Refusal::NoSpread { of: "gains" });
    }
    let (error, all) = (variance.sqrt(), model.sums(cow, claw).0);
    let (slope, slope_error) = (all.ty / all.tt, error / all.tt.sqrt());
    let t = t_quantile_above((bearers - 1) as f64, level.tail());
    let estimate =
        |value, low, high, method| Estimate { value, low, high, level, n: bearers, method };
    let spread = cow * error;
    let (low, high) = spread_ends(&model, (spread, error, at_claws), criterion, level);
    let ahead = t * spread.hypot(slope_error);
    let reach = t * slope_error;
    let own = model.by_cow(0..model.cows.len()).map(|(number, claws)| {
        let mut hers = Sums::default();
        for one in claws {
            hers.add(*one, claw * claw);
        }
        let off = cow * cow * (hers.ty - slope * hers.tt) / (1.0 + cow * cow * hers.tt);
        (number, slope + off)
    });
    Ok(Mixed {
        growth: Growth {
            slope: estimate(slope, slope - reach, slope + reach, METHOD),
            gains: gains.len() as u64,
            spread,
            spread_between: Some(estimate(spread, low, high, PROFILE)),
            error,
            next: (slope - ahead, slope + ahead),
        },
        claws: model.nested.then_some(claw * error),
        own: own.collect(),
        criterion,
    })
}

const METHOD: &str = "mixed model, random slopes of cows and claws, REML, t";
const PROFILE: &str = "REML, profile likelihood";

/// Where the criterion, minimised over everything else, has risen by the quantile.
fn spread_ends(
    model: &Model,
    (spread, error, at_claws): (f64, f64, f64),
    criterion: f64,
    level: Level,
) -> (f64, f64) {
    let most = criterion + chi_squared_quantile(1.0, level.get());
    let guess = Cell::new((0.0, at_claws));
    let least = |cow: f64| {
        // Errors from a quarter of the fitted one to four times it.
        let over_errors = |ln: f64| {
            let error = error * ln.exp();
            let at_claws = Some(guess.get().1);
            let best = model.over_claws(at_claws, |claw| model.at(cow, claw, error));
            guess.set((guess.get().0, best.0));
            best.1
        };
        let (ln, least) = lowest_about(guess.get().0, STEP, (-1.4, 1.4), NEAR, over_errors);
        guess.set((ln, guess.get().1));
        least
    };
    let above = |cow: f64| least(cow) - most;
    let (fitted, at_zero) = ((spread, criterion - most), above(0.0));
    let end = |far: (f64, f64)| crossing(fitted, far, CROSSED, above);
    let low = if at_zero <= 0.0 { 0.0 } else { end((0.0, at_zero)) };
    let mut far = spread.max(error * 1e-3) * 2.0;
    let mut at_far = above(far);
    // Sixty doublings reach any length there is.
    for _ in 0..60 {
        if at_far > 0.0 {
            break;
        }
        far *= 2.0;
        at_far = above(far);
    }
    (low, end((far, at_far)))
}

/// How closely the rise of the criterion is matched to the quantile.
const CROSSED: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::luck::Luck;
    use crate::near::near;

    /// Strength of a paste: ten batches, three casks of each, two tests of a cask (Davies and
    /// Goldsmith 1972; `Pastes` of the R package lme4). With every time equal to one, slopes are
    /// levels.
    const PASTES: [[f64; 6]; 10] = [
        [62.8, 62.6, 60.1, 62.3, 62.7, 63.1],
        [60.0, 61.4, 57.5, 56.9, 61.1, 58.9],
        [58.7, 57.5, 63.9, 63.1, 65.4, 63.7],
        [57.1, 56.4, 56.9, 58.6, 64.7, 64.5],
        [55.1, 55.1, 54.7, 54.2, 58.8, 57.5],
        [63.4, 64.9, 59.3, 58.1, 60.5, 60.0],
        [62.5, 62.6, 61.0, 58.7, 56.9, 57.7],
        [59.2, 59.4, 65.2, 66.0, 64.8, 64.1],
        [54.8, 54.8, 64.0, 64.0, 57.7, 56.8],
        [58.3, 59.3, 59.2, 59.2, 58.9, 56.6],
    ];

    /// Reaction times of 18 people on days 1 to 9 without sleep, ms (Belenky and others 2003;
    /// `sleepstudy` of lme4, without the first day, whose time is zero).
    const SLEEP: [[f64; 9]; 18] = [
        [
            258.704_7, 250.800_6, 321.439_8, 356.851_9, 414.690_1, 382.203_8, 290.148_6, 430.585_3,
            466.353_5,
        ],
        [
            205.265_8, 202.977_8, 204.707, 207.716_1, 215.961_8, 213.630_3, 217.727_2, 224.295_7,
            237.314_2,
        ],
        [
            194.332_2, 234.32, 232.841_6, 229.307_4, 220.457_9, 235.420_8, 255.751_1, 261.012_5,
            247.515_3,
        ],
        [
            300.400_2, 283.856_5, 285.133, 285.797_3, 297.585_5, 280.239_6, 318.261_3, 305.349_5,
            354.048_7,
        ],
        [
            285.0, 301.820_6, 320.115_3, 316.277_3, 293.318_7, 290.075, 334.817_7, 293.746_9,
            371.581_1,
        ],
        [
            242.811_8, 272.961_3, 309.768_8, 317.462_9, 309.997_6, 454.161_9, 346.831_1, 330.300_3,
            253.864_4,
        ],
        [
            289.555, 276.769_3, 299.809_7, 297.171, 338.166_5, 332.026_5, 348.839_9, 333.36,
            362.042_8,
        ],
        [
            276.201_2, 243.364_7, 254.672_3, 279.024_4, 284.191_2, 305.524_8, 331.522_9, 335.746_9,
            377.299,
        ],
        [
            273.947_2, 254.490_7, 270.802_1, 251.451_9, 254.636_2, 245.452_3, 235.311, 235.754_1,
            237.246_6,
        ],
        [
            313.805_8, 291.611_2, 346.122_2, 365.732_4, 391.838_5, 404.260_1, 416.692_3, 455.864_3,
            458.916_7,
        ],
        [
            230.316_7, 238.925_6, 254.922, 250.710_3, 269.774_4, 281.564_8, 308.102, 336.280_6,
            351.645_1,
        ],
        [
            243.454_3, 256.204_6, 255.527_1, 268.916_5, 329.724_7, 379.444_5, 362.918_4, 394.487_2,
            389.052_7,
        ],
        [
            300.057_6, 269.893_9, 280.589_1, 271.827_4, 304.633_6, 287.746_6, 266.595_5, 321.541_8,
            347.565_5,
        ],
        [
            298.193_9, 326.878_5, 346.855_5, 348.740_2, 352.828_7, 354.426_6, 360.432_6, 375.640_6,
            388.541_7,
        ],
        [
            268.436_9, 257.242_4, 277.656_6, 314.822_2, 317.213_5, 298.135_3, 348.122_9, 340.28,
            366.513_1,
        ],
        [
            234.523_5, 238.900_8, 240.473, 267.537_3, 344.193_7, 281.148_1, 347.585_5, 365.163,
            372.228_8,
        ],
        [
            272.442_8, 277.898_9, 281.789_5, 279.170_5, 284.512, 259.265_8, 304.630_6, 350.780_7,
            369.469_2,
        ],
        [
            273.474, 297.596_8, 310.631_6, 287.172_6, 329.607_6, 334.481_8, 343.219_9, 369.141_7,
            364.123_6,
        ],
    ];

    fn pastes() -> Vec<Gain> {
        let mut gains = Vec::new();
        for (bearer, batch) in (0..).zip(PASTES) {
            for (test, gained) in (0..).zip(batch) {
                gains.push(Gain { bearer, part: test / 2, time: 1.0, gained });
            }
        }
        gains
    }

    /// In excess of 250 ms, and altered by formula so that odd and even days differ: by 3 ms a day,
    /// with sign and size changing from one person to the next.
    fn sleep() -> Vec<Gain> {
        let mut gains = Vec::new();
        for (bearer, person) in (0u64..).zip(SLEEP) {
            for (day, reaction) in (1u64..).zip(person) {
                let turn = [1.0, -1.0, 0.5][(bearer % 3) as usize];
                let odd = if day % 2 == 1 { 3.0 } else { -3.0 };
                let time = day as f64;
                let gained = reaction - 250.0 + odd * turn * time;
                gains.push(Gain { bearer, part: day % 2, time, gained });
            }
        }
        gains
    }

    /// lme4 1.1-31 in R 4.2, `strength ~ 1 + (1 | batch/cask)`, REML, optimiser tolerance 1e-12;
    /// the ends of the spread by optim and uniroot on the deviance function of lme4.
    #[test]
    fn pastes_are_lme4s() {
        let got = mixed(&pastes(), Level::P95).unwrap();
        near(got.criterion, 246.990_745_9, 1e-6);
        near(got.growth.slope.value, 60.053_333_33, 1e-6);
        near(got.growth.spread, 1.287_365_881, 1e-4);
        near(got.claws.unwrap(), 2.904_077_467, 1e-4);
        near(got.growth.error, 0.823_407_523_4, 1e-5);
        // t on 9 degrees of freedom (2.262157, scipy) times the standard error.
        near(got.growth.slope.high - got.growth.slope.value, 2.262_157 * 0.676_870_2, 1e-4);
        near(got.own[0].1, 60.053_333 + 0.800_645_0, 1e-4);
        near(got.own[4].1, 60.053_333 - 1.502_415_2, 1e-4);
        let between = got.growth.spread_between.unwrap();
        near(between.low, 0.0, 0.0);
        near(between.high, 3.286_595_933, 1e-4);
    }

    /// A thousand copies of the batches have the same mean, error and spread between casks. So many
    /// are fitted on two threads.
    #[test]
    fn many_bearers_are_fitted_as_few_are() {
        let once = pastes();
        let often = (0..1_000u64).flat_map(|turn| {
            once.iter().map(move |gain| Gain { bearer: gain.bearer + 10 * turn, ..*gain })
        });
        let got = mixed(&often.collect::<Vec<_>>(), Level::P95).unwrap();
        assert_eq!(got.own.len(), 10_000);
        near(got.growth.slope.value, 60.053_333_33, 1e-6);
        near(got.growth.error, 0.823_407_523_4, 1e-5);
        near(got.claws.unwrap(), 2.904_077_467, 1e-4);
        // The variance between batches is divided by n - 1: by 9 for 10 batches, by 9,999 for
        // 10,000.
        let (one, all) = (mixed(&once, Level::P95).unwrap().growth.spread, got.growth.spread);
        let within = (2.904_077_467f64.powi(2) + 0.823_407_523_4f64.powi(2) / 2.0) / 3.0;
        near(all * all + within, 0.9 / 0.999_9 * (one * one + within), 1e-3);
    }

    /// The same, `G ~ 0 + Days + (0 + Days | Subject) + (0 + Days | Subject:odd)`.
    #[test]
    fn slopes_are_lme4s() {
        let got = mixed(&sleep(), Level::P95).unwrap();
        near(got.criterion, 1_613.523_436, 1e-5);
        near(got.growth.slope.value, 10.694_393_2, 1e-5);
        near(got.growth.spread, 6.977_750_971, 1e-3);
        near(got.claws.unwrap(), 3.249_608_724, 1e-3);
        near(got.growth.error, 28.494_800_454, 1e-3);
        near(got.own[0].1, 10.694_393_2 + 8.941_495_6, 1e-3);
        near(got.own[2].1, 10.694_393_2 - 10.116_110_9, 1e-3);
        let between = got.growth.spread_between.unwrap();
        near(between.low, 4.660_302_295, 1e-3);
        near(between.high, 10.638_727_653, 1e-3);
    }

    /// With one part each, the model is `Reaction ~ 0 + Days + (0 + Days | Subject)`.
    #[test]
    fn without_parts_only_bearers_differ() {
        let mut gains = Vec::new();
        for (bearer, person) in (0..).zip(SLEEP) {
            for (day, gained) in (1u8..).zip(person) {
                gains.push(Gain { bearer, part: 0, time: f64::from(day), gained });
            }
        }
        let got = mixed(&gains, Level::P95).unwrap();
        near(got.criterion, 2_018.848_639, 1e-5);
        near(got.growth.slope.value, 50.162_828_83, 1e-4);
        near(got.growth.spread, 1.196_387_047, 1e-2);
        near(got.growth.error, 124.321_598_585, 1e-2);
        assert_eq!(got.claws, None);
    }

    #[test]
    fn a_known_growth_comes_back() {
        let mut luck = Luck::of(5);
        let mut gains = Vec::new();
        for bearer in 0..150 {
            let own = 4.0 + 0.7 * luck.normal();
            for part in 0..2 {
                let claw = own + 0.3 * luck.normal();
                for _ in 0..3 {
                    let time = 3.0 + 2.0 * luck.part();
                    let gained = claw * time + 0.7 * luck.normal();
                    gains.push(Gain { bearer, part, time, gained });
                }
            }
        }
        let got = mixed(&gains, Level::P95).unwrap();
        assert!(got.growth.slope.covers(4.0), "{got:?}");
        assert!(got.growth.spread_between.unwrap().covers(0.7), "{got:?}");
        near(got.claws.unwrap(), 0.3, 0.06);
        near(got.growth.error, 0.7, 0.06);
        assert!(mixed(&gains[..30], Level::P95).is_err());
    }
}
