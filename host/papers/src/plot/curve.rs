//! A curve of shares over days, with its band and the number followed below it.
//!
//! ```text
//! 1 ────┐ ....     a line where the share is known, dots from one value to the next inside a step:
//!        ...  ───  somewhere between two looks it fell
//! ```

use crate::svg::{Axis, Look, Part, Row};
use crate::words::{Say, Words};
use hornrule_insight::band::Band;
use hornrule_insight::interval::Between;
use hornrule_insight::turnbull::Turnbull;
use hornrule_questions::evidence::{HORIZON_DAYS, followed};

const WEEK: u32 = 7;

fn horizon() -> f64 {
    f64::from(HORIZON_DAYS)
}

/// Weeks of days.
pub(super) fn days(label: String) -> Axis {
    let marks = (0..=HORIZON_DAYS / WEEK).map(|week| week * WEEK);
    Axis { label, marks: marks.map(|day| (f64::from(day), day.to_string())).collect() }
}

/// Shares from none to all.
pub(super) fn shares(label: String, words: &Words) -> Axis {
    let marks = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| (share, words.percent(share)));
    Axis { label, marks: marks.to_vec() }
}

/// The band, a step a day.
pub(super) fn band(look: Look, band: &Band) -> Part {
    let days = band.edges.windows(2);
    let edges = days.flat_map(|two| {
        // Between two days the share has at most the value of the first, at least that of the
        // second.
        let (low, high) = (two[1].low, two[0].high);
        [(two[0].at, low, high), (two[1].at, low, high)]
    });
    Part::Band(look, edges.collect())
}

/// The curve: lines where the share is known, dots inside the steps.
pub(super) fn line(look: Look, curve: &Turnbull) -> Vec<Part> {
    let unknown = Look { hue: look.hue, wide: look.wide.min(1.4), ..Look::UNKNOWN };
    let (mut at, mut still) = (0.0, 1.0);
    let mut parts = Vec::new();
    for step in curve.steps.iter().filter(|step| step.after < horizon()) {
        parts.push(Part::Line(look, vec![(at, still), (step.after, still)]));
        if step.by.is_infinite() {
            return parts;
        }
        let end = step.by.min(horizon());
        let fallen = step.mass * (end - step.after) / (step.by - step.after);
        parts.push(Part::Line(unknown, vec![(step.after, still), (end, still - fallen)]));
        (at, still) = (step.by, still - step.mass);
    }
    if at < horizon() {
        parts.push(Part::Line(look, vec![(at, still), (horizon(), still)]));
    }
    parts
}

/// A mark a week, where the share is known.
pub(super) fn marks(look: Look, curve: &Turnbull) -> Part {
    let last = curve.steps.iter().filter(|step| step.by.is_infinite()).map(|step| step.after);
    let end = last.fold(horizon(), f64::min);
    let weeks = (1..=HORIZON_DAYS / WEEK).map(|week| f64::from(week * WEEK));
    let known = weeks.filter(|day| *day <= end).filter_map(|day| {
        let (low, high) = curve.still(day);
        (high - low < 1e-9).then_some((day, low))
    });
    Part::Points(look, 3.2, known.collect())
}

/// How many were followed, by week.
pub(super) fn followed_by(seen: &[Between], words: &Words) -> Row {
    let weeks = (0..=HORIZON_DAYS / WEEK).map(|week| f64::from(week * WEEK));
    let numbers = weeks.map(|day| (day, followed(seen, day).to_string())).collect();
    Row { label: words.say(Say::FigureRowFollowed), numbers }
}
