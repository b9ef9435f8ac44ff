//! A step curve with its band: what share has not healed, still holds, is still sound.

use std::fmt::Write;

use super::{Anchor, HUE, Svg, ticks};

/// From this time on the share is this.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Days.
    pub at: f64,
    /// The share, 0 to 1.
    pub share: f64,
    /// The band's ends, 0 to 1.
    pub range: (f64, f64),
}

const WIDE: f64 = 360.0;
const HIGH: f64 = 190.0;
const LEFT: f64 = 44.0;
const RIGHT: f64 = 12.0;
const TOP: f64 = 10.0;
const BOTTOM: f64 = 36.0;

/// Draws the curve from 0 to `until` days. `below` is written under the axis.
#[must_use]
pub fn steps(steps: &[Step], until: f64, below: &str, percent: impl Fn(f64) -> String) -> String {
    let mut svg = Svg::new(WIDE, HIGH);
    let days = ticks(0.0, until.max(1.0));
    let end = days[days.len() - 1];
    let x = |at: f64| LEFT + (WIDE - LEFT - RIGHT) * at / end;
    let y = |share: f64| HIGH - BOTTOM - (HIGH - TOP - BOTTOM) * share;
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        svg.rule((LEFT, y(share)), (WIDE - RIGHT, y(share)), 0.6, 0.25);
        svg.text((LEFT - 6.0, y(share) + 3.5), 10.0, Anchor::End, &percent(share));
    }
    for day in &days {
        svg.text((x(*day), HIGH - 22.0), 10.0, Anchor::Middle, &format!("{day:.0}"));
    }
    svg.text(((LEFT + WIDE - RIGHT) / 2.0, HIGH - 5.0), 10.0, Anchor::Middle, below);
    let path = |value: fn(&Step) -> f64| {
        let mut path = String::new();
        for (at, step) in steps.iter().enumerate() {
            let next = steps.get(at + 1).map_or(until, |next| next.at);
            // Writing to a string cannot fail.
            let _written = write!(
                path,
                "{}{:.1} {:.1} L{:.1} {:.1}",
                if at == 0 { "M" } else { " L" },
                x(step.at),
                y(value(step)),
                x(next),
                y(value(step))
            );
        }
        path
    };
    if !steps.is_empty() {
        let back: Vec<String> = steps
            .iter()
            .enumerate()
            .rev()
            .map(|(at, step)| {
                let next = steps.get(at + 1).map_or(until, |next| next.at);
                let low = y(step.range.0);
                format!("L{:.1} {low:.1} L{:.1} {low:.1}", x(next), x(step.at))
            })
            .collect();
        svg.add(format_args!(
            "<path d=\"{} {} Z\" fill=\"{HUE}\" fill-opacity=\"0.18\"/>",
            path(|step| step.range.1),
            back.join(" ")
        ));
        svg.add(format_args!(
            "<path d=\"{}\" fill=\"none\" stroke=\"{HUE}\" stroke-width=\"2\"/>",
            path(|step| step.share)
        ));
    }
    svg.finish()
}
