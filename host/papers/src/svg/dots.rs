//! Shares over time as dots, with how far each can be trusted.
//!
//! ```text
//! 40 % |     |
//! 20 % |  o  o     |
//!  0 % |  |        o
//!        Jan Feb  Mar
//!   cows  31  28   24
//! ```

use super::{Anchor, HUE, Svg, ticks};

/// One share.
#[derive(Clone, Debug, PartialEq)]
pub struct Dot {
    /// What is written below it.
    pub label: String,
    /// The share and its interval's ends, 0 to 1; `None` where nothing can be said.
    pub share: Option<(f64, (f64, f64))>,
    /// Of how many.
    pub of: u64,
    /// Whether they are so few that it is drawn hollow.
    pub few: bool,
}

const WIDE: f64 = 360.0;
const HIGH: f64 = 168.0;
const LEFT: f64 = 44.0;
const RIGHT: f64 = 6.0;
const TOP: f64 = 10.0;
const BOTTOM: f64 = 40.0;
const RADIUS: f64 = 4.0;
/// So many labels stand side by side; of more only some are written.
const LABELS: usize = 13;

/// Draws the dots from 0 to the highest end. `below` says what the row of numbers counts, `percent`
/// writes a share.
#[must_use]
pub fn dots(dots: &[Dot], below: &str, percent: impl Fn(f64) -> String) -> String {
    let mut svg = Svg::new(WIDE, HIGH);
    let ends = dots.iter().filter_map(|dot| dot.share.map(|(_, range)| range.1));
    let marks = ticks(0.0, ends.fold(0.1f64, f64::max).min(1.0));
    let end = marks.last().copied().unwrap_or(1.0).max(0.01);
    let y = |share: f64| HIGH - BOTTOM - (HIGH - TOP - BOTTOM) * share / end;
    for mark in &marks {
        svg.rule((LEFT, y(*mark)), (WIDE - RIGHT, y(*mark)), 0.6, 0.25);
        svg.text((LEFT - 6.0, y(*mark) + 3.5), 10.0, Anchor::End, &percent(*mark));
    }
    svg.text((LEFT - 6.0, HIGH - 6.0), 9.0, Anchor::End, below);
    // Months of a few years.
    let step = (WIDE - LEFT - RIGHT) / dots.len().max(1) as f64;
    let every = dots.len().div_ceil(LABELS).max(1);
    for (at, dot) in dots.iter().enumerate() {
        let x = LEFT + step * (at as f64 + 0.5);
        if at % every == 0 {
            svg.text((x, HIGH - 24.0), 9.0, Anchor::Middle, &dot.label);
            svg.text((x, HIGH - 6.0), 9.0, Anchor::Middle, &dot.of.to_string());
        }
        let Some((share, (low, high))) = dot.share else { continue };
        let (low, middle, high) = (y(low), y(share), y(high.min(end)));
        // Up to the dot's edge, so that a hollow one is empty.
        svg.rule((x, low), (x, (middle + RADIUS).min(low)), 1.4, 1.0);
        svg.rule((x, high), (x, (middle - RADIUS).max(high)), 1.4, 1.0);
        for reach in [low, high] {
            svg.rule((x - 3.5, reach), (x + 3.5, reach), 1.4, 1.0);
        }
        let fill = if dot.few { "none" } else { HUE };
        svg.add(format_args!(
            "<circle cx=\"{x:.1}\" cy=\"{middle:.1}\" r=\"{RADIUS}\" fill=\"{fill}\" stroke=\"{HUE}\" \
             stroke-width=\"1.6\"/>"
        ));
    }
    svg.finish()
}
