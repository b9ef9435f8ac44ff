//! Growth of the dorsal wall: every time of growing with the mean, and cow by cow.

use super::unit::Unit;
use super::{estimate, signed};
use crate::svg::{Axis, Look, Mark, Panel, Part, Sheet, Sign};
use crate::words::{Say, Words};
use hornrule_insight::growth::Growth;
use hornrule_questions::evidence::{CowGrowth, Horn};

/// A claw: small and pale, for there are hundreds.
const CLAW: Look = Look { hue: "#777777", dash: "", mark: Mark::Ring, wide: 0.6 };

/// The figure; `None` where growth is refused.
#[must_use]
pub fn growth(horn: &Horn, farms: &str, words: &Words) -> Option<Sheet> {
    let unit = Unit::of(words);
    let growth = &unit.growth(horn.growth.told()?);
    let notes = vec![
        words.say(Say::FigureGrowthN {
            unit: unit.sign.into(),
            slope: estimate(words, &growth.slope, unit.places(2)).into(),
            cows: growth.slope.n.into(),
            gains: growth.gains.into(),
            spread: growth
                .spread_between
                .map_or_else(
                    || words.decimal(growth.spread, unit.places(2)),
                    |one| estimate(words, &one, unit.places(2)),
                )
                .into(),
            low: words.decimal(growth.next.0, unit.places(1)).into(),
            high: words.decimal(growth.next.1, unit.places(1)).into(),
        }),
        words.say(Say::FigureMethodGrowth { method: growth.slope.method.into() }),
        words.say(Say::FigureCautionGrowth { n: horn.doubted.into() }),
    ];
    Some(Sheet {
        title: words.say(Say::FigureGrowthTitle),
        subtitle: farms.to_owned(),
        told: words.say(Say::FigureGrowthTold),
        panels: vec![slopes(horn, growth, words), cows(horn, growth, words)],
        columns: 2,
        notes,
    })
}

fn slopes(horn: &Horn, growth: &Growth, words: &Words) -> Panel {
    let unit = Unit::of(words);
    let gains = horn.cows.iter().flat_map(|cow| &cow.gains);
    let points: Vec<(f64, f64)> =
        gains.map(|(months, gained)| (*months, unit.length(*gained))).collect();
    let most = points.iter().fold(1.0f64, |most, point| most.max(point.0));
    let ends = points
        .iter()
        .map(|point| point.1)
        .fold((0.0f64, 0.0f64), |(low, high), value| (low.min(value), high.max(value)));
    let across = Axis::over(words.say(Say::FigureMonths), (0.0, most), |value, decimals| {
        words.decimal(value, decimals)
    });
    let end = across.marks.last().map_or(most, |mark| mark.0);
    let ray = |slope: f64| vec![(0.0, 0.0), (end, slope * end)];
    let (mean, spread) = (Look::of(0), Look::of(1).thin());
    let sides = (growth.slope.low * end, growth.slope.high * end);
    Panel {
        title: words.say(Say::FigureGrowthEach),
        across,
        up: Axis::over(
            words.say(Say::FigureGained { unit: unit.sign.into() }),
            ends,
            |value, decimals| signed(words, value, decimals),
        ),
        parts: vec![
            Part::Points(CLAW, 1.8, points),
            Part::Line(spread, ray(growth.next.0)),
            Part::Line(spread, ray(growth.next.1)),
            Part::Band(mean, vec![(0.0, 0.0, 0.0), (end, sides.0, sides.1)]),
            Part::Line(mean, ray(growth.slope.value)),
        ],
        key: vec![
            (Sign::Mark(CLAW), words.say(Say::FigureKeyGain)),
            (Sign::Line(mean), words.say(Say::FigureKeyMean)),
            (Sign::Line(spread), words.say(Say::FigureKeySpread)),
        ],
        rows: Vec::new(),
    }
}

fn cows(horn: &Horn, growth: &Growth, words: &Words) -> Panel {
    let unit = Unit::of(words);
    let mut sorted: Vec<&CowGrowth> = horn.cows.iter().collect();
    sorted.sort_by(|a, b| a.slope.total_cmp(&b.slope));
    // Cows of a herd count in hundreds.
    let points: Vec<(f64, f64)> = sorted
        .iter()
        .enumerate()
        .map(|(at, cow)| (at as f64 + 1.0, unit.length(cow.slope)))
        .collect();
    let ends = points
        .iter()
        .map(|point| point.1)
        .fold((growth.next.0.min(0.0), growth.next.1), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    let (mean, spread) = (Look::of(0), Look::of(1).thin());
    let level = |look, value: f64| Part::Level(look, value, signed(words, value, unit.places(2)));
    Panel {
        title: words.say(Say::FigureGrowthCows),
        across: Axis::over(words.say(Say::FigureCows), (0.0, points.len() as f64), |value, _| {
            words.decimal(value, 0)
        }),
        up: Axis::over(
            words.say(Say::FigureSlope { unit: unit.sign.into() }),
            ends,
            |value, decimals| signed(words, value, decimals),
        ),
        parts: vec![
            Part::Points(CLAW, 1.8, points),
            level(spread, growth.next.0),
            level(spread, growth.next.1),
            level(mean, growth.slope.value),
        ],
        key: vec![
            (Sign::Mark(CLAW), words.say(Say::FigureKeyCow)),
            (Sign::Line(mean), words.say(Say::FigureKeyMeanOnly)),
            (Sign::Line(spread), words.say(Say::FigureKeySpread)),
        ],
        rows: Vec::new(),
    }
}
