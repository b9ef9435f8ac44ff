//! Timing pictures, drawn from bit scripts: they show what the tests play.
//!
//! ```text
//! Script --svg--> clock line, data line, and a tick with the bit wherever data counts
//! ```

use std::fmt::Write as _;

use hornrule_core::calliper::{Edge, Level, Slope};
use hornrule_core::time::Micros;

use crate::bits::Script;

/// What goes around the lines.
#[derive(Clone, Copy, Debug)]
pub struct Legend<'a> {
    /// Above the picture.
    pub title: &'a str,
    /// Both lines before the first change.
    pub rest: Edge,
    /// The slope of the clock at which the data counts.
    pub slope: Slope,
    /// Bits per group: each has a label under it.
    pub group: usize,
    /// The label of each group, as many as there are groups.
    pub groups: &'a [&'a str],
}

const WIDTH: f64 = 1160.0;
const LEFT: f64 = 60.0;
const CLOCK_Y: f64 = 60.0;
const DATA_Y: f64 = 120.0;
const SWING: f64 = 34.0;

/// The lines' levels over time, as a scalable picture.
#[must_use]
pub fn svg(script: &Script, legend: Legend<'_>) -> String {
    let edges = script.edges();
    let first = edges.first().map_or(Micros(0), |(t, _)| *t);
    let span = script.end().since(first).max(1);
    let margin = span / 40 + 1;
    let whole = (span + 2 * margin) as f64;
    let x = |t: Micros| LEFT + (t.since(first) + margin) as f64 / whole * WIDTH;
    let mut out = String::new();
    // Writing to a String cannot fail.
    let mut line = |text: std::fmt::Arguments<'_>| {
        let _never = writeln!(out, "{text}");
    };
    line(format_args!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1240 216\" \
         font-family=\"sans-serif\" font-size=\"13\">"
    ));
    line(format_args!("<rect width=\"1240\" height=\"216\" fill=\"#ffffff\"/>"));
    line(format_args!("<text x=\"8\" y=\"22\" font-size=\"15\">{}</text>", legend.title));
    line(format_args!("<text x=\"8\" y=\"{}\">clock</text>", CLOCK_Y + 22.0));
    line(format_args!("<text x=\"8\" y=\"{}\">data</text>", DATA_Y + 22.0));
    for (top, pick) in [(CLOCK_Y, clock as fn(Edge) -> Level), (DATA_Y, data)] {
        line(format_args!(
            "<path d=\"{}\" fill=\"none\" stroke=\"#102030\" stroke-width=\"1.4\"/>",
            path(edges, legend.rest, pick, top, &x)
        ));
    }
    let mut group_from = LEFT;
    for (place, (t, bit)) in counted(edges, legend.slope).into_iter().enumerate() {
        let (x, digit) = (x(t), u8::from(bit == Level::High));
        line(format_args!(
            "<path d=\"M{x:.1} {CLOCK_Y:.0}V{:.0}\" stroke=\"#c03020\" stroke-width=\"0.7\"/>\
             <text x=\"{x:.1}\" y=\"174\" text-anchor=\"middle\" font-size=\"11\">{digit}</text>",
            DATA_Y + SWING,
        ));
        if place % legend.group == 0 {
            group_from = x;
        }
        if place % legend.group + 1 == legend.group {
            let said = legend.groups.get(place / legend.group).copied().unwrap_or("");
            line(format_args!(
                "<path d=\"M{group_from:.1} 182H{x:.1}\" stroke=\"#607080\"/>\
                 <text x=\"{:.1}\" y=\"200\" text-anchor=\"middle\">{said}</text>",
                f64::midpoint(group_from, x),
            ));
        }
    }
    line(format_args!(
        "<text x=\"1232\" y=\"22\" text-anchor=\"end\">{}.{:02} ms</text>",
        span / 1000,
        span % 1000 / 10
    ));
    line(format_args!("</svg>"));
    out
}

/// The places where data counts, and its value there.
#[must_use]
pub fn counted(edges: &[(Micros, Edge)], slope: Slope) -> Vec<(Micros, Level)> {
    let (before, after) = match slope {
        Slope::Falling => (Level::High, Level::Low),
        Slope::Rising => (Level::Low, Level::High),
    };
    let mut was = Level::High;
    let mut found = Vec::new();
    for (t, edge) in edges {
        if was == before && edge.clock == after {
            found.push((*t, edge.data));
        }
        was = edge.clock;
    }
    found
}

const fn clock(edge: Edge) -> Level {
    edge.clock
}

const fn data(edge: Edge) -> Level {
    edge.data
}

fn path(
    edges: &[(Micros, Edge)],
    rest: Edge,
    pick: fn(Edge) -> Level,
    top: f64,
    x: &dyn Fn(Micros) -> f64,
) -> String {
    let y = |level| if level == Level::High { top } else { top + SWING };
    let mut was = pick(rest);
    let mut path = format!("M{LEFT:.0} {:.0}", y(was));
    for (t, edge) in edges {
        let level = pick(*edge);
        if level != was {
            let _never = write!(path, "H{:.1}V{:.0}", x(*t), y(level));
            was = level;
        }
    }
    let _never = write!(path, "H{:.0}", LEFT + WIDTH);
    path
}
