//! Checks of the gauge block in the order of time, with control limits.

use super::signed;
use super::unit::Unit;
use crate::svg::{Axis, Look, Panel, Part, Sheet, Sign};
use crate::words::{Say, Words};
use hornrule_facts::Day;
use hornrule_questions::evidence::{Agreement, GaugeChart};

/// Plots that a sheet has room for.
const MOST: usize = 3;

/// The figure, a plot a handheld, those with the most checks first; `None` where no block was
/// clipped twice.
#[must_use]
pub fn gauge(agreement: &Agreement, farms: &str, words: &Words) -> Option<Sheet> {
    let mut drawn: Vec<&GaugeChart> =
        agreement.gauges.iter().filter(|gauge| gauge.readings.len() > 1).collect();
    drawn.sort_by_key(|gauge| std::cmp::Reverse(gauge.readings.len()));
    drawn.truncate(MOST);
    if drawn.is_empty() {
        return None;
    }
    let mut notes: Vec<String> = drawn.iter().map(|gauge| counted(gauge, words)).collect();
    notes.push(words.say(Say::FigureMethodGauge));
    Some(Sheet {
        title: words.say(Say::FigureGaugeTitle),
        subtitle: farms.to_owned(),
        told: words.say(Say::FigureGaugeTold),
        panels: drawn.iter().map(|gauge| panel(gauge, words)).collect(),
        columns: 1,
        notes,
    })
}

fn panel(gauge: &GaugeChart, words: &Words) -> Panel {
    let unit = Unit::of(words);
    // Checks of a gauge block: a few a day.
    let shown = gauge.readings.iter().map(|(_, mm)| unit.length(*mm));
    let points: Vec<(f64, f64)> =
        shown.enumerate().map(|(at, one)| (at as f64 + 1.0, one)).collect();
    let (reading, outside) = (Look::of(0).thin(), Look::of(2));
    let (limit, block) = (Look::of(1), Look::of(3));
    let mut span = points
        .iter()
        .fold((f64::MAX, f64::MIN), |(low, high), point| (low.min(point.1), high.max(point.1)));
    let mut parts = vec![Part::Line(reading, points.clone())];
    let mut key = vec![(Sign::Both(reading), words.say(Say::FigureKeyCheck))];
    let mut level = |look, at: f64, what: String| {
        span = (span.0.min(at), span.1.max(at));
        Part::Level(look, at, format!("{what} {}", words.decimal(at, unit.places(3))))
    };
    let (mut inside, mut strange) = (points.clone(), Vec::new());
    if let Some(chart) = gauge.chart.told().map(|chart| unit.chart(chart)) {
        parts.push(level(limit, chart.low, words.say(Say::FigureLowerControl)));
        parts.push(level(limit, chart.high, words.say(Say::FigureUpperControl)));
        parts.push(level(Look::QUIET, chart.centre, words.say(Say::FigureMean)));
        key.push((Sign::Line(limit), words.say(Say::FigureKeyControl)));
        key.push((Sign::Mark(outside), words.say(Say::FigureKeyOutside)));
        let out = |at: usize| chart.outside.contains(&at);
        inside = points.iter().enumerate().filter(|(at, _)| !out(*at)).map(|(_, p)| *p).collect();
        strange = points.iter().enumerate().filter(|(at, _)| out(*at)).map(|(_, p)| *p).collect();
    }
    if let Some((size, tolerance)) = gauge.block {
        let (size, tolerance) = (unit.length(size), unit.length(tolerance));
        parts.push(level(block, size - tolerance, words.say(Say::FigureMayBe)));
        parts.push(level(block, size + tolerance, words.say(Say::FigureMayBe)));
        key.push((Sign::Line(block), words.say(Say::FigureKeyTolerance)));
    }
    parts.push(Part::Points(reading, 2.6, inside));
    parts.push(Part::Points(outside, 4.2, strange));
    let date = |at: Option<&(i32, f64)>| at.map_or_else(String::new, |one| words.date(Day(one.0)));
    let across = words.say(Say::FigureChecks {
        first: date(gauge.readings.first()).into(),
        last: date(gauge.readings.last()).into(),
    });
    let count = points.len() as f64;
    Panel {
        title: words.say(Say::FigureHandheld { handheld: gauge.handheld.as_str().into() }),
        across: Axis::over(across, (0.0, count), |value, _| words.decimal(value, 0)),
        up: Axis::over(
            words.say(Say::FigureShown { unit: unit.sign.into() }),
            span,
            |value, decimals| signed(words, value, decimals),
        ),
        parts,
        key,
        rows: Vec::new(),
    }
}

fn counted(gauge: &GaugeChart, words: &Words) -> String {
    let (handheld, unit) = (gauge.handheld.as_str(), Unit::of(words));
    match gauge.chart.told().map(|chart| unit.chart(chart)) {
        Some(chart) => words.say(Say::FigureGaugeN {
            handheld: handheld.into(),
            n: chart.n.into(),
            unit: unit.sign.into(),
            mean: words.decimal(chart.centre, unit.places(3)).into(),
            low: words.decimal(chart.low, unit.places(3)).into(),
            high: words.decimal(chart.high, unit.places(3)).into(),
            outside: chart.outside.len().into(),
        }),
        None => words
            .say(Say::FigureGaugeFew { handheld: handheld.into(), n: gauge.readings.len().into() }),
    }
}
