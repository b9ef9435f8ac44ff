//! Whether 95 % intervals cover 95 times in 100. With `HORNRULE_LONG=1` 2,000 seeded worlds each: a
//! count of 2,000 at 95 % has a standard error of 0.5 %, so bounds of 93 and 97 % are four of those
//! away. Without it 200 worlds, standard error 1.5 %, and bounds as much wider.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule::insight::growth::{Gain, growth};
use hornrule::insight::icc::icc;
use hornrule::insight::interval::Between;
use hornrule::insight::luck::Luck;
use hornrule::insight::weibull::weibull;
use hornrule::insight::{Count, Exposure, Level, cluster_share, difference, rate, wilson};

fn long() -> bool {
    std::env::var("HORNRULE_LONG").is_ok_and(|value| value == "1")
}

/// Counts the worlds whose interval covers; each has its own seed.
fn covered(what: &str, low: f64, high: f64, mut world: impl FnMut(&mut Luck) -> bool) {
    let (worlds, wider) = if long() { (2000, 0.0) } else { (200, 0.043) };
    let hits = (0..worlds).filter(|seed| world(&mut Luck::of(seed + 1))).count();
    let share = hits as f64 / worlds as f64;
    println!("{what}: {:.1} %", share * 100.0);
    assert!((low - wider..=high + wider).contains(&share), "{what} covers {share}");
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
    covered("growth, 40 cows", 0.93, 0.97, |luck| {
        let mut gains = Vec::new();
        for bearer in 0..40 {
            let slope = 4.0 + 0.7 * luck.normal();
            for _ in 0..3 {
                let time = 3.0 + 2.0 * luck.part();
                gains.push(Gain { bearer, time, gained: slope * time + 0.7 * luck.normal() });
            }
        }
        growth(&gains, p95).unwrap().slope.covers(4.0)
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

/// Blocks looked at every two weeks or so, taken off from day 26 on: as at the chute.
#[test]
fn retention_intervals_cover_as_they_say() {
    let still = (-(28.0f64 / 50.0).powf(1.6)).exp();
    covered("Weibull share after 28 days, 80 blocks", 0.93, 0.97, |luck| {
        let seen: Vec<Between> = (0..80).map(|_| looked_at(luck)).collect();
        weibull(&seen).is_ok_and(|curve| curve.still(28.0, Level::P95).covers(still))
    });
}

fn looked_at(luck: &mut Luck) -> Between {
    let lasts = luck.weibull(1.6, 50.0);
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
