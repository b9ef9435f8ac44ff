//! One plot of a figure: two axes with units, and what is drawn between them.
//!
//! ```text
//! title
//! ──●── what   - ■ - what else          the key: pattern, mark, words
//! │ .......
//! │       ..........   a label at a level
//! +--+--+--+--+--+
//! 0  7  14 ...       days since gluing
//! followed 120 118 ...                  a row below: numbers by place on the axis
//! ```

use super::look::{Look, joined};
use super::{Anchor, Svg, ticks};

/// An axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// What is on it, with its unit.
    pub label: String,
    /// Its marks, ascending: where, and what is written there. The first and the last are its ends.
    pub marks: Vec<(f64, String)>,
}

impl Axis {
    /// Over these ends, with round marks written by `number`, which is given the decimals of the step.
    #[must_use]
    pub fn over(
        label: String,
        (low, high): (f64, f64),
        number: impl Fn(f64, usize) -> String,
    ) -> Self {
        let at = ticks(low, high);
        let step = at.get(1).map_or(1.0, |second| second - at[0]);
        // 0.5 has one decimal, 0.02 two.
        let decimals = (-(step * 1.000_001).log10().floor()).clamp(0.0, 6.0) as usize;
        Self { label, marks: at.into_iter().map(|at| (at, number(at, decimals))).collect() }
    }

    fn ends(&self) -> (f64, f64) {
        let first = self.marks.first().map_or(0.0, |mark| mark.0);
        let last = self.marks.last().map_or(1.0, |mark| mark.0);
        (first, if last > first { last } else { first + 1.0 })
    }
}

/// Something drawn between the axes.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// Filled between two ends: place, low, high.
    Band(Look, Vec<(f64, f64, f64)>),
    /// A line through points.
    Line(Look, Vec<(f64, f64)>),
    /// Marks alone, with their size.
    Points(Look, f64, Vec<(f64, f64)>),
    /// A line across at a height, with words at its right end.
    Level(Look, f64, String),
}

/// What the key shows before its words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sign {
    /// The line.
    Line(Look),
    /// The mark.
    Mark(Look),
    /// The line with its mark.
    Both(Look),
}

impl Sign {
    fn draw(self, svg: &mut Svg, (x, y): (f64, f64)) {
        match self {
            Self::Line(look) | Self::Both(look) => look.line(svg, &[(x, y), (x + 30.0, y)]),
            Self::Mark(_) => {}
        }
        match self {
            Self::Mark(look) | Self::Both(look) => look.mark(svg, (x + 15.0, y), 3.0),
            Self::Line(_) => {}
        }
    }
}

/// A row of numbers below the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What they are.
    pub label: String,
    /// Where on the axis, and the number.
    pub numbers: Vec<(f64, String)>,
}

/// A plot.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Above it.
    pub title: String,
    /// Across.
    pub across: Axis,
    /// Upwards.
    pub up: Axis,
    /// Drawn in this order.
    pub parts: Vec<Part>,
    /// The key: how it looks, what it is.
    pub key: Vec<(Sign, String)>,
    /// Below the axis.
    pub rows: Vec<Row>,
}

const TITLE: f64 = 18.0;
const KEY: f64 = 15.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 16.0;
/// Room for words at the right ends of levels.
const WORDS: f64 = 96.0;
const ROW: f64 = 14.0;
const SMALL: f64 = 10.0;
const BODY: f64 = 11.5;

/// Roughly how wide a text is, in units of the drawing: Inter's letters are half their size on
/// average (measured on English sentences: 0.49).
pub(super) fn width(text: &str, size: f64) -> f64 {
    0.51 * size * text.chars().count() as f64
}

/// Where the plot of a panel lies and what its axes span.
struct Frame {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    fn x(&self, value: f64) -> f64 {
        let part = ((value - self.x.0) / (self.x.1 - self.x.0)).clamp(0.0, 1.0);
        self.left + (self.right - self.left) * part
    }

    fn y(&self, value: f64) -> f64 {
        let part = ((value - self.y.0) / (self.y.1 - self.y.0)).clamp(0.0, 1.0);
        self.bottom - (self.bottom - self.top) * part
    }

    fn points(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        points.iter().map(|(x, y)| (self.x(*x), self.y(*y))).collect()
    }
}

impl Panel {
    /// The key's lines for a width: indices of its entries.
    fn key_lines(&self, wide: f64) -> Vec<Vec<usize>> {
        let mut lines: Vec<Vec<usize>> = Vec::new();
        let mut free = 0.0;
        for (i, (_, words)) in self.key.iter().enumerate() {
            let need = 36.0 + width(words, SMALL) + 14.0;
            match lines.last_mut() {
                Some(line) if need <= free => line.push(i),
                _ => {
                    lines.push(vec![i]);
                    free = wide - LEFT;
                }
            }
            free -= need;
        }
        lines
    }

    /// How high title and key are.
    pub(super) fn head(&self, wide: f64) -> f64 {
        TITLE + self.key_lines(wide).len() as f64 * KEY + 8.0
    }

    /// How high it is below them, with a plot of this height.
    pub(super) fn foot(&self, plot: f64) -> f64 {
        plot + 34.0 + self.rows.len() as f64 * ROW + 12.0
    }

    /// Draws it with its upper left corner at a place; `head`: where the plot begins below that.
    pub(super) fn draw(
        &self,
        svg: &mut Svg,
        (x, y): (f64, f64),
        wide: f64,
        (head, plot): (f64, f64),
    ) {
        svg.strong((x + LEFT, y + 12.0), BODY, Anchor::Start, &self.title);
        let mut top = y + TITLE;
        for line in self.key_lines(wide) {
            let mut at = x + LEFT;
            for (sign, words) in line.into_iter().map(|i| &self.key[i]) {
                sign.draw(svg, (at, top + 6.0));
                svg.text((at + 36.0, top + 9.5), SMALL, Anchor::Start, words);
                at += 36.0 + width(words, SMALL) + 14.0;
            }
            top += KEY;
        }
        let spoken = self
            .parts
            .iter()
            .any(|part| matches!(part, Part::Level(_, _, words) if !words.is_empty()));
        let frame = Frame {
            left: x + LEFT,
            right: x + wide - if spoken { WORDS } else { RIGHT },
            top: y + head,
            bottom: y + head + plot,
            x: self.across.ends(),
            y: self.up.ends(),
        };
        self.axes(svg, &frame, x);
        for part in &self.parts {
            drawn(svg, &frame, part);
        }
        self.spoken(svg, &frame);
        let mut below = frame.bottom + 46.0;
        for row in &self.rows {
            svg.text((frame.left - 17.0, below), SMALL, Anchor::End, &row.label);
            for (at, number) in &row.numbers {
                svg.text((frame.x(*at), below), SMALL, Anchor::Middle, number);
            }
            below += ROW;
        }
    }

    /// Words at the right ends of levels, moved apart where they would lie on each other.
    fn spoken(&self, svg: &mut Svg, frame: &Frame) {
        let levels = self.parts.iter().filter_map(|part| match part {
            Part::Level(_, at, words) if !words.is_empty() => Some((frame.y(*at), words)),
            Part::Level(..) | Part::Band(..) | Part::Line(..) | Part::Points(..) => None,
        });
        let mut levels: Vec<(f64, &String)> = levels.collect();
        levels.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut free = f64::MIN;
        for (y, words) in levels {
            let y = y.max(free);
            svg.text((frame.right + 5.0, y + 3.6), SMALL, Anchor::Start, words);
            free = y + 11.5;
        }
    }

    fn axes(&self, svg: &mut Svg, frame: &Frame, x: f64) {
        for (at, words) in &self.up.marks {
            svg.rule((frame.left, frame.y(*at)), (frame.right, frame.y(*at)), 0.5, 0.18);
            svg.rule((frame.left - 4.0, frame.y(*at)), (frame.left, frame.y(*at)), 1.0, 1.0);
            svg.text((frame.left - 7.0, frame.y(*at) + 3.6), SMALL, Anchor::End, words);
        }
        for (at, words) in &self.across.marks {
            svg.rule((frame.x(*at), frame.bottom), (frame.x(*at), frame.bottom + 4.0), 1.0, 1.0);
            svg.text((frame.x(*at), frame.bottom + 15.0), SMALL, Anchor::Middle, words);
        }
        svg.rule((frame.left, frame.bottom), (frame.right, frame.bottom), 1.0, 1.0);
        svg.rule((frame.left, frame.top), (frame.left, frame.bottom), 1.0, 1.0);
        let middle = f64::midpoint(frame.left, frame.right);
        svg.text((middle, frame.bottom + 29.0), SMALL, Anchor::Middle, &self.across.label);
        let middle = f64::midpoint(frame.top, frame.bottom);
        svg.upwards((x + 12.0, middle), SMALL, &self.up.label);
    }
}

fn drawn(svg: &mut Svg, frame: &Frame, part: &Part) {
    match part {
        Part::Band(look, edges) if edges.len() > 1 => {
            let upper: Vec<(f64, f64)> = edges.iter().map(|(x, _, high)| (*x, *high)).collect();
            let lower: Vec<(f64, f64)> = edges.iter().map(|(x, low, _)| (*x, *low)).collect();
            let (upper, lower) = (frame.points(&upper), frame.points(&lower));
            let back: Vec<(f64, f64)> = lower.iter().rev().copied().collect();
            let hue = look.hue;
            svg.add(format_args!(
                "<path d=\"M{} L{} Z\" fill=\"{hue}\" fill-opacity=\"0.14\"/>",
                joined(&upper),
                joined(&back)
            ));
            // An edge, so that the band is seen where grey is not printed.
            let edge = Look { dash: "", wide: 0.5, ..*look };
            edge.line(svg, &upper);
            edge.line(svg, &lower);
        }
        Part::Band(..) => {}
        Part::Line(look, points) => look.line(svg, &frame.points(points)),
        Part::Points(look, size, points) => {
            for point in frame.points(points) {
                look.mark(svg, point, *size);
            }
        }
        Part::Level(look, at, _) => {
            let y = frame.y(*at);
            look.line(svg, &[(frame.left, y), (frame.right, y)]);
        }
    }
}
