//! Shares as bars, with how far each can be trusted.
//!
//! ```text
//! 3 Mar 2026   ████████--|--      12 of 40
//! ```

use super::{Anchor, HUE, Svg, ticks};

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// What it is of.
    pub label: String,
    /// The share, 0 to 1.
    pub share: f64,
    /// The interval's ends, 0 to 1.
    pub range: (f64, f64),
    /// What is written behind it: the counts.
    pub note: String,
    /// Whether it is the one that the page is about.
    pub strong: bool,
}

const WIDE: f64 = 360.0;
const ROW: f64 = 24.0;
const LABELS: f64 = 96.0;
const NOTES: f64 = 66.0;

/// Draws bars from 0 to the highest end. `percent` writes a share.
#[must_use]
pub fn bars(bars: &[Bar], percent: impl Fn(f64) -> String) -> String {
    let most = bars.iter().fold(0.1f64, |most, bar| most.max(bar.range.1)).min(1.0);
    let marks = ticks(0.0, most);
    let end = marks.last().copied().unwrap_or(1.0).max(0.01);
    let plot = WIDE - LABELS - NOTES;
    let x = |share: f64| LABELS + plot * share / end;
    // Rows of a page: a handful.
    let bottom = 6.0 + ROW * bars.len() as f64;
    let mut svg = Svg::new(WIDE, bottom + 20.0);
    for mark in &marks {
        svg.rule((x(*mark), 4.0), (x(*mark), bottom), 0.6, 0.25);
        svg.text((x(*mark), bottom + 14.0), 10.0, Anchor::Middle, &percent(*mark));
    }
    for (row, bar) in (0u16..).zip(bars) {
        let top = 6.0 + ROW * f64::from(row);
        let middle = top + ROW / 2.0 - 1.0;
        let dense = if bar.strong { 0.75 } else { 0.3 };
        svg.add(format_args!(
            "<rect x=\"{LABELS:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"13\" fill=\"{HUE}\" \
             fill-opacity=\"{dense}\"/>",
            middle - 6.5,
            x(bar.share) - LABELS,
        ));
        let (low, high) = (x(bar.range.0), x(bar.range.1.min(end)));
        svg.rule((low, middle), (high, middle), 1.4, 1.0);
        svg.rule((low, middle - 4.0), (low, middle + 4.0), 1.4, 1.0);
        svg.rule((high, middle - 4.0), (high, middle + 4.0), 1.4, 1.0);
        let label = (LABELS - 7.0, middle + 4.0);
        if bar.strong {
            svg.strong(label, 11.0, Anchor::End, &bar.label);
        } else {
            svg.text(label, 11.0, Anchor::End, &bar.label);
        }
        svg.text((WIDE - NOTES + 10.0, middle + 4.0), 10.0, Anchor::Start, &bar.note);
    }
    svg.finish()
}
