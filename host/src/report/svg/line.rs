//! A small plot of something measured over time.

use super::{Anchor, HUE, Svg, ticks};

/// One measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The day.
    pub day: i32,
    /// What was measured.
    pub value: f64,
}

const WIDE: f64 = 300.0;
const HIGH: f64 = 130.0;
const LEFT: f64 = 40.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 10.0;
const BOTTOM: f64 = 24.0;

/// Draws the points, joined in the order of their days. `number` writes a value, `date` a day.
/// `target` is a line that is aimed at.
#[must_use]
pub fn line(
    points: &[Point],
    target: Option<f64>,
    number: impl Fn(f64) -> String,
    date: impl Fn(i32) -> String,
) -> String {
    let mut svg = Svg::new(WIDE, HIGH);
    let values = || points.iter().map(|point| point.value).chain(target);
    let (low, high) = (values().fold(f64::MAX, f64::min), values().fold(f64::MIN, f64::max));
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return svg.finish() };
    // A quarter of a millimetre of nothing but noise must not fill the plot.
    let marks = ticks((low - 1.0).max(0.0), high + 1.0);
    let (floor, roof) = (marks[0], marks[marks.len() - 1]);
    let days = f64::from((last.day - first.day).max(1));
    let x = |day: i32| LEFT + (WIDE - LEFT - RIGHT) * f64::from(day - first.day) / days;
    let y = |value: f64| HIGH - BOTTOM - (HIGH - TOP - BOTTOM) * (value - floor) / (roof - floor);
    for mark in &marks {
        svg.rule((LEFT, y(*mark)), (WIDE - RIGHT, y(*mark)), 0.6, 0.25);
        svg.text((LEFT - 6.0, y(*mark) + 3.5), 10.0, Anchor::End, &number(*mark));
    }
    if let Some(target) = target {
        svg.add(format_args!(
            "<line x1=\"{LEFT}\" y1=\"{0:.1}\" x2=\"{1:.1}\" y2=\"{0:.1}\" stroke=\"currentColor\" \
             stroke-width=\"1\" stroke-dasharray=\"4 3\"/>",
            y(target),
            WIDE - RIGHT,
        ));
    }
    let path: Vec<String> =
        points.iter().map(|p| format!("{:.1} {:.1}", x(p.day), y(p.value))).collect();
    svg.add(format_args!(
        "<path d=\"M{}\" fill=\"none\" stroke=\"{HUE}\" stroke-width=\"1.8\"/>",
        path.join(" L")
    ));
    for point in points {
        svg.add(format_args!(
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"3\" fill=\"{HUE}\"/>",
            x(point.day),
            y(point.value)
        ));
    }
    svg.text((LEFT, HIGH - 6.0), 10.0, Anchor::Start, &date(first.day));
    if last.day > first.day {
        svg.text((WIDE - RIGHT, HIGH - 6.0), 10.0, Anchor::End, &date(last.day));
    }
    svg.finish()
}
