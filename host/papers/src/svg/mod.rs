//! Drawings: SVG strings of our own, the same in HTML and PDF.
//!
//! Presentation attributes only: no style sheet, no script, no link, so that a typesetter and a
//! browser draw alike. Text stays text. Ink is `currentColor`, so that a dark page can turn it; the
//! one hue is told by how dense it is and always by a number beside it, so that print in grey loses
//! nothing.
//!
//! ```text
//! bars, claw_map, ribbon, ..    small drawings inside a page
//! Sheet of Panels               a figure of its own, to print: black on white, size in millimetres
//! ```

mod bars;
mod chute;
mod claws;
mod dots;
mod line;
mod look;
mod panel;
mod ribbon;
mod sheet;
mod steps;

#[cfg(test)]
mod tests;

use std::fmt::Write;

pub use bars::{Bar, bars};
pub use chute::{keypad, rhythm_bar};
pub use claws::{ClawWords, claw_map, named_claw_map};
pub use dots::{Dot, dots};
pub use line::{Point, Series, line};
pub use look::{Look, Mark};
pub use panel::{Axis, Panel, Part, Row, Sign};
pub use ribbon::{Field, piece_of, ribbon};
pub use sheet::Sheet;
pub use steps::{Step, steps};

/// The one hue.
const HUE: &str = "#3f6f86";
const FONT: &str = "Inter, system-ui, sans-serif";

/// Where a text is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Anchor {
    Start,
    Middle,
    End,
}

/// A drawing that grows.
struct Svg {
    body: String,
    wide: f64,
    high: f64,
}

impl Svg {
    const fn new(wide: f64, high: f64) -> Self {
        Self { body: String::new(), wide, high }
    }

    fn add(&mut self, part: std::fmt::Arguments<'_>) {
        // Writing to a string cannot fail.
        let _written = self.body.write_fmt(part);
    }

    fn text(&mut self, (x, y): (f64, f64), size: f64, anchor: Anchor, text: &str) {
        self.weighted((x, y), size, anchor, 400, text);
    }

    fn strong(&mut self, (x, y): (f64, f64), size: f64, anchor: Anchor, text: &str) {
        self.weighted((x, y), size, anchor, 600, text);
    }

    fn weighted(&mut self, (x, y): (f64, f64), size: f64, anchor: Anchor, weight: u16, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let text = escaped(text);
        self.add(format_args!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" font-family=\"{FONT}\" font-size=\"{size}\" \
             font-weight=\"{weight}\" text-anchor=\"{anchor}\" fill=\"currentColor\">{text}</text>"
        ));
    }

    fn rule(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), wide: f64, dense: f64) {
        self.add(format_args!(
            "<line x1=\"{x1:.1}\" y1=\"{y1:.1}\" x2=\"{x2:.1}\" y2=\"{y2:.1}\" \
             stroke=\"currentColor\" stroke-width=\"{wide}\" stroke-opacity=\"{dense}\"/>"
        ));
    }

    /// Text read from below, for an upright axis.
    fn upwards(&mut self, (x, y): (f64, f64), size: f64, text: &str) {
        let text = escaped(text);
        self.add(format_args!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" font-family=\"{FONT}\" font-size=\"{size}\" \
             text-anchor=\"middle\" fill=\"currentColor\" \
             transform=\"rotate(-90 {x:.1} {y:.1})\">{text}</text>"
        ));
    }

    /// On white paper, black, with its width in millimetres, a title and what it tells.
    fn finish_sheet(self, mm: f64, title: &str, told: &str) -> String {
        let Self { body, wide, high } = self;
        let tall = mm * high / wide;
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{mm:.0}mm\" height=\"{tall:.1}mm\" \
             viewBox=\"0 0 {wide:.0} {high:.0}\" role=\"img\" color=\"#000000\">\
             <title>{title}</title><desc>{told}</desc>\
             <rect width=\"{wide:.0}\" height=\"{high:.0}\" fill=\"#ffffff\"/>{body}</svg>"
        )
    }

    fn finish(self) -> String {
        let Self { body, wide, high } = self;
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide:.0} {high:.0}\">{body}</svg>"
        )
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// A line that must not run out of its drawing takes this much of its room: a phone without our
/// face has a wider one.
const SPARE: f64 = 0.86;

/// Words in lines no wider than that, in units of the drawing; a line may end at a dash too.
fn lines_of(text: &str, size: f64, wide: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        for (at, part) in word.split_inclusive('–').enumerate() {
            let space = if at == 0 { " " } else { "" };
            match lines.last_mut() {
                Some(line) if panel::width(line, size) + panel::width(part, size) < wide => {
                    line.push_str(space);
                    line.push_str(part);
                }
                _ => lines.push(part.to_owned()),
            }
        }
    }
    lines
}

/// Round numbers from 0 or below `low` to `high` or above it, three to six of them.
fn ticks(low: f64, high: f64) -> Vec<f64> {
    let span = if high > low { high - low } else { 1.0 };
    let power = 10f64.powf((span / 4.0).log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| span / step <= 5.0)
        .unwrap_or(10.0 * power);
    let first = (low / step).floor();
    let mut all = Vec::new();
    let mut at = first;
    while at * step < high + step * 0.999 && all.len() < 12 {
        all.push(at * step);
        at += 1.0;
    }
    all
}
