//! A farm's drawings.

use super::tables::way_named;
use crate::page::{Figure, Width};
use crate::svg;
use crate::svg::{Dot, Step};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_insight::Level;
use hornrule_insight::interval::Between;
use hornrule_insight::weibull::weibull;
use hornrule_questions::evidence::{Answer, BlockWay};
use hornrule_questions::farm::{FarmTrend, SMALL, Share, Tally};

/// Lesions that are drawn.
const DRAWN: usize = 2;
/// The end of a block's curve: six weeks.
const BLOCK_DAYS: f64 = 42.0;
/// With fewer blocks still followed the curve is not drawn: one more lost would halve it.
const LEAST_BLOCKS: usize = 5;

/// Cows with any lesion, and claws with one of the horn.
pub(super) fn overall(trend: &FarmTrend, words: &Words) -> Vec<Figure> {
    let (cows, claws) = (words.say(Say::BelowCows), words.say(Say::BelowClaws));
    vec![
        by_month(trend, words, words.say(Say::CaptionCowsByMonth), &cows, |it| it.with_lesion),
        by_month(trend, words, words.say(Say::CaptionClawsByMonth), &claws, |it| it.claws),
    ]
}

/// The most frequent lesions.
pub(super) fn frequent(trend: &FarmTrend, words: &Words) -> Vec<Figure> {
    let below = words.say(Say::BelowCows);
    let drawn = trend.lesions.iter().take(DRAWN).enumerate();
    let figure = |(at, lesion): (usize, &hornrule_protocol::Lesion)| {
        let lesion = terms::lesion(words, *lesion).into();
        let caption = words.say(Say::CaptionLesionByMonth { lesion });
        let share = |it: &Tally| it.lesions.get(at).map(|it| it.cows).unwrap_or_default();
        by_month(trend, words, caption, &below, share)
    };
    drawn.map(figure).collect()
}

fn by_month(
    trend: &FarmTrend,
    words: &Words,
    caption: String,
    below: &str,
    share: impl Fn(&Tally) -> Share,
) -> Figure {
    let mut said = Vec::new();
    let mut dots = Vec::new();
    for month in &trend.months {
        let name = words.month(month.first);
        let share = share(&month.tally);
        if let Some(it) = share.estimate {
            let (share, counts) = (words.percent(it.value), terms::counts_of(words, share));
            let (share, counts) = (share.into(), counts.into());
            said.push(words.say(Say::VisitShare { date: name.as_str().into(), share, counts }));
        }
        dots.push(Dot {
            // The month alone: the years are in the table.
            label: name.split(' ').next().unwrap_or_default().to_owned(),
            share: share.estimate.map(|it| (it.value, (it.low, it.high))),
            of: share.of,
            few: month.tally.with_lesion.of < SMALL,
        });
    }
    let alt = format!("{caption} {}", said.join("; "));
    let svg = svg::dots(&dots, below, |share| words.percent(share));
    Figure { svg, caption: Some(caption), alt, lines: Vec::new(), width: Width::Half }
}

/// How long blocks stay on, by way; only those that a curve was found for.
pub(super) fn blocks(trend: &FarmTrend, words: &Words) -> Vec<Figure> {
    trend.blocks.ways.iter().filter_map(|way| block(way, words)).collect()
}

/// Blocks that are known to be on after so many days, or were found lost only later.
fn followed(way: &BlockWay, days: f64) -> usize {
    let still = |one: &&Between| if one.happened() { one.by() > days } else { one.after() >= days };
    way.intervals.iter().filter(still).count()
}

fn block(way: &BlockWay, words: &Words) -> Option<Figure> {
    let (Answer::Told(curve), Ok(smooth)) = (&way.curve, weibull(&way.intervals)) else {
        return None;
    };
    let mut steps = vec![Step { at: 0.0, share: 1.0, range: (1.0, 1.0) }];
    let mut until = 1.0;
    while until < BLOCK_DAYS && followed(way, until) >= LEAST_BLOCKS {
        let band = smooth.still(until, Level::P95);
        steps.push(Step { at: until, share: curve.still(until).1, range: (band.low, band.high) });
        until += 1.0;
    }
    let caption = words.say(Say::CaptionBlockCurve { way: way_named(words, way.action).into() });
    let lines = [7.0, 14.0, 21.0, 28.0].into_iter().filter(|day| *day < until).map(|day| {
        let days = words.say(Say::DaysN { n: (day as u64).into() });
        format!("{days}: {}", words.percent(smooth.still(day, Level::P95).value))
    });
    let alt = format!("{caption} {}", lines.collect::<Vec<_>>().join("; "));
    let below = words.say(Say::BelowGlued);
    let svg = svg::steps(&steps, until, &below, |share| words.percent(share));
    Some(Figure { svg, caption: Some(caption), alt, lines: Vec::new(), width: Width::Half })
}
