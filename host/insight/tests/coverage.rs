//! Whether 95 % intervals cover 95 times in 100. With `HORNRULE_LONG=1`, 2,000 seeded worlds each:
//! at 95 % the share of 2,000 has a standard error of 0.5 %, so the bounds of 93 and 97 % are four
//! standard errors away. Without it, 200 worlds with a standard error of 1.5 % and bounds that are
//! as much wider.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_insight::band::band;
use hornrule_insight::growth::{Gain, growth};
use hornrule_insight::icc::icc;
use hornrule_insight::interval::Between;
use hornrule_insight::luck::Luck;
use hornrule_insight::mixed::mixed;
use hornrule_insight::weibull::weibull;
use hornrule_insight::{
    Count, Exposure, Level, Split, cluster_difference, cluster_share, difference, rate, wilson,
};

fn long() -> bool {
    std::env::var("HORNRULE_LONG").is_ok_and(|value| value == "1")
}

/// Counts the worlds whose interval covers; each world has its own seed.
fn covered(what: &str, low: f64, high: f64, mut world: impl FnMut(&mut Luck) -> bool) {
    let (worlds, wider) = if long() { (2000, 0.0) } else { (200, 0.043) };
    let hits = (0..worlds).filter(|seed| world(&mut Luck::of(seed + 1))).count();
    is_within(what, share(hits, worlds), (low, high), wider);
}

fn share(hits: usize, worlds: u64) -> f64 {
    hits as f64 / worlds as f64
}

fn is_within(what: &str, share: f64, (low, high): (f64, f64), wider: f64) {
    println!("{what}: {:.1} %", share * 100.0);
    assert!((low - wider..=high + wider).contains(&share), "{what} covers {share}");
}

/// The number of worlds for slow fits, and how much wider the bounds are in a short run: with 40
/// worlds the standard error is 3.4 %.
fn slow() -> (u64, f64) {
    if long() { (2000, 0.0) } else { (40, 0.12) }
}

#[test]
fn intervals_cover_as_they_say() {
    let p95 = Level::P95;
    let cases = |luck: &mut Luck, of: u64, share: f64| {
        Count::new((0..of).filter(|_| luck.chance(share)).count() as u64, of).unwrap()
    };
    covered("Wilson, 60 at 0.3", 0.93, 0.97, |luck| wilson(cases(luck, 60, 0.3), p95).covers(0.3));
    covered("Newcombe, 50 and 60", 0.93, 0.97, |luck| {
        difference(cases(luck, 50, 0.8), cases(luck, 60, 0.55), p95).covers(0.25)
    });
    // Exact intervals cover at least as often as they say.
    covered("Garwood, mean 12", 0.94, 1.0, |luck| {
        let mut at = 0.0;
        let events = std::iter::from_fn(|| {
            at -= luck.part().ln();
            (at < 12.0).then_some(())
        });
        rate(Exposure::new(events.count() as u64, 1.0).unwrap(), p95).covers(12.0)
    });
    covered("share of claws, 60 cows", 0.93, 0.97, |luck| {
        let cows: Vec<Count> = (0..60)
            .map(|_| {
                // Cows differ: half at 0.1, half at 0.5.
                let own = if luck.chance(0.5) { 0.1 } else { 0.5 };
                cases(luck, 8, own)
            })
            .collect();
        cluster_share(&cows, p95).unwrap().share.covers(0.3)
    });
    covered("difference of shares, 40 cows with blocks of both ways", 0.93, 0.97, |luck| {
        let cows: Vec<Split> = (0..40)
            .map(|_| {
                // A cow has the same effect on the blocks of both ways.
                let own = 0.15 * luck.normal().clamp(-1.0, 1.0);
                (Some(cases(luck, 2, 0.8 + own)), Some(cases(luck, 2, 0.6 + own)))
            })
            .collect();
        cluster_difference(&cows, p95).unwrap().difference.covers(0.2)
    });
    covered("growth in two stages, 40 cows", 0.93, 0.97, |luck| {
        growth(&grown(luck, 40, 1), p95).unwrap().slope.covers(4.0)
    });
    covered("ICC(3,1), 30 claws by 2", 0.93, 0.97, |luck| {
        let rows: Vec<Vec<f64>> = (0..30)
            .map(|_| {
                let claw = 2.0 * luck.normal();
                vec![claw + luck.normal(), claw + 0.5 + luck.normal()]
            })
            .collect();
        icc(&rows, p95).unwrap().consistency.covers(0.8)
    });
}

/// Cows that grow 4 mm a month with a standard deviation of 0.7, claws that differ by 0.4 (not if
/// there is one), three gains each.
fn grown(luck: &mut Luck, cows: u64, claws: u64) -> Vec<Gain> {
    let mut gains = Vec::new();
    for bearer in 0..cows {
        let cow = 4.0 + 0.7 * luck.normal();
        for part in 0..claws {
            let slope = if claws == 1 { cow } else { cow + 0.4 * luck.normal() };
            for _ in 0..3 {
                let time = 3.0 + 2.0 * luck.part();
                let gained = slope * time + 0.7 * luck.normal();
                gains.push(Gain { bearer, part, time, gained });
            }
        }
    }
    gains
}

/// The mixed model with fewer cows than a herd has: slope and spread between cows.
#[test]
fn the_mixed_model_covers_as_it_says() {
    let (worlds, wider) = slow();
    let (mut slopes, mut spreads) = (0, 0);
    for seed in 1..=worlds {
        let fit = mixed(&grown(&mut Luck::of(seed), 20, 2), Level::P95).unwrap().growth;
        slopes += usize::from(fit.slope.covers(4.0));
        spreads += usize::from(fit.spread_between.unwrap().covers(0.7));
    }
    for (what, hits) in [("slope", slopes), ("spread", spreads)] {
        let what = format!("mixed model, 20 cows, {what}");
        is_within(&what, share(hits, worlds), (0.93, 0.97), wider);
    }
}

/// Blocks looked at about every two weeks and taken off from day 26 on, as at the chute.
#[test]
fn retention_intervals_cover_as_they_say() {
    let still = (-(28.0f64 / 50.0).powf(1.6)).exp();
    covered("Weibull share after 28 days, 80 blocks", 0.93, 0.97, |luck| {
        let seen: Vec<Between> = (0..80).map(|_| looked_at(luck)).collect();
        weibull(&seen).is_ok_and(|curve| curve.still(28.0, Level::P95).covers(still))
    });
}

/// The band around the nonparametric curve: 30 cows with two blocks each, whose fates are linked,
/// 199 resamples in each world. Where looks leave gaps the curve has two values, and the band spans
/// both: it may cover more often than it says, but not less.
#[test]
fn the_band_covers_as_it_says() {
    let (worlds, wider) = slow();
    let days = [14, 21, 28];
    let mut hits = [0_usize; 3];
    let truth = days.map(|day| still_on(f64::from(day)));
    for seed in 1..=worlds {
        let mut luck = Luck::of(seed);
        let cows: Vec<Vec<Between>> = (0..30).map(|_| cow(&mut luck)).collect();
        let band = band(&cows, 28, (199, seed), Level::P95).unwrap();
        for (hit, (day, truth)) in hits.iter_mut().zip(days.into_iter().zip(truth)) {
            let edge = band.at(day).unwrap();
            *hit += usize::from(edge.low <= truth && truth <= edge.high);
        }
    }
    for (day, hit) in days.iter().zip(hits) {
        is_within(&format!("band at day {day}"), share(hit, worlds), (0.93, 1.0), wider);
    }
}

/// Two kinds of cows, half of them each, whose blocks last about 35 and 65 days.
const SCALES: [f64; 2] = [35.0, 65.0];

fn still_on(day: f64) -> f64 {
    SCALES.iter().map(|scale| (-(day / scale).powf(1.6)).exp()).sum::<f64>() / 2.0
}

fn cow(luck: &mut Luck) -> Vec<Between> {
    let scale = SCALES[luck.below(2)];
    (0..2).map(|_| looked_at_of(luck, scale)).collect()
}

fn looked_at(luck: &mut Luck) -> Between {
    looked_at_of(luck, 50.0)
}

fn looked_at_of(luck: &mut Luck, scale: f64) -> Between {
    let lasts = luck.weibull(1.6, scale);
    let (mut on, mut day) = (0.0, 0.0);
    loop {
        day += 12.0 + luck.below(6) as f64;
        if day >= lasts {
            return Between::new(on, day).unwrap();
        }
        on = day;
        if day >= 26.0 {
            return Between::later_than(day).unwrap();
        }
    }
}
