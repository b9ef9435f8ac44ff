//! A small plot of something measured over time.

use super::{Anchor, HUE, Svg, ticks};

/// Measurements that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// What they are, written above the plot; empty where there is only one series.
    pub name: String,
    /// In the order of their days.
    pub points: Vec<Point>,
    /// Drawn with hollow marks and a thin line, to be told from its sister.
    pub hollow: bool,
}

/// One measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The day.
    pub day: i32,
    /// What was measured.
    pub value: f64,
}

const WIDE: f64 = 300.0;
const HIGH: f64 = 142.0;
const LEFT: f64 = 40.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 22.0;
const BOTTOM: f64 = 24.0;

/// Draws each series, its points joined. `number` writes a value, `date` a day. `target` is a line
/// that is aimed at.
#[must_use]
pub fn line(
    series: &[Series],
    target: Option<f64>,
    number: impl Fn(f64) -> String,
    date: impl Fn(i32) -> String,
) -> String {
    let mut svg = Svg::new(WIDE, HIGH);
    let points = || series.iter().flat_map(|one| &one.points);
    let values = || points().map(|point| point.value).chain(target);
    let (low, high) = (values().fold(f64::MAX, f64::min), values().fold(f64::MIN, f64::max));
    let (first, last) = (points().map(|it| it.day).min(), points().map(|it| it.day).max());
    let (Some(first), Some(last)) = (first, last) else { return svg.finish() };
    // A quarter of a millimetre of nothing but noise must not fill the plot.
    let marks = ticks((low - 1.0).max(0.0), high + 1.0);
    let (floor, roof) = (marks[0], marks[marks.len() - 1]);
    let days = f64::from((last - first).max(1));
    let x = |day: i32| LEFT + (WIDE - LEFT - RIGHT) * f64::from(day - first) / days;
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
    for (at, one) in (0u8..).zip(series) {
        draw(&mut svg, one, |point| (x(point.day), y(point.value)));
        if series.len() > 2 {
            // Too many for one line above: each name begins where its line does.
            if let Some(first) = one.points.first() {
                let (x, y) = (x(first.day), y(first.value));
                svg.text((x + 5.0, y - 5.0), 9.0, Anchor::Start, &one.name);
            }
        } else if !one.name.is_empty() {
            // Two names stand side by side.
            let left = LEFT + f64::from(at) * (WIDE - LEFT) / 2.0;
            mark(&mut svg, (left + 4.0, 9.0), one.hollow);
            svg.text((left + 12.0, 12.5), 10.0, Anchor::Start, &one.name);
        }
    }
    svg.text((LEFT, HIGH - 6.0), 10.0, Anchor::Start, &date(first));
    if last > first {
        svg.text((WIDE - RIGHT, HIGH - 6.0), 10.0, Anchor::End, &date(last));
    }
    svg.finish()
}

fn draw(svg: &mut Svg, series: &Series, at: impl Fn(&Point) -> (f64, f64)) {
    let wide = if series.hollow { 0.8 } else { 1.8 };
    let corner = |point: &Point| {
        let (x, y) = at(point);
        format!("{x:.1} {y:.1}")
    };
    let path: Vec<String> = series.points.iter().map(corner).collect();
    if path.len() > 1 {
        svg.add(format_args!(
            "<path d=\"M{}\" fill=\"none\" stroke=\"{HUE}\" stroke-width=\"{wide}\"/>",
            path.join(" L")
        ));
    }
    series.points.iter().for_each(|point| mark(svg, at(point), series.hollow));
}

fn mark(svg: &mut Svg, (x, y): (f64, f64), hollow: bool) {
    // White within, so that the line behind it does not fill it.
    let fill = if hollow { "#fff" } else { HUE };
    svg.add(format_args!(
        "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\" fill=\"{fill}\" stroke=\"{HUE}\" \
         stroke-width=\"1.4\"/>"
    ));
}
