//! Sentences that both renderers say alike.

use hornrule_protocol::codes::Seat;
use hornrule_protocol::{Claw, Foot, Lesion, Nanometres, Place, Side};

use super::due::{STARRED, Vet};
use super::visit::{Found, GaugeLine, LesionLine, RemarkLine, VisitReport};
use crate::intake::words;

pub(super) fn long_date(report: &VisitReport) -> String {
    report.day.date().strftime("%A, %-d %B %Y").to_string()
}

/// The visit's main counts in one sentence.
pub(super) fn counts(report: &VisitReport) -> String {
    let summary = &report.summary;
    format!(
        "{} seen, {} trimmed to form, {} glued on.",
        words::count(summary.cows, "cow", "cows"),
        words::count(summary.claws_trimmed, "claw", "claws"),
        words::count(summary.blocks, "block", "blocks"),
    )
}

/// What there is to say beside the counts.
pub(super) fn shares(report: &VisitReport) -> Vec<String> {
    let summary = &report.summary;
    let mut lines = Vec::new();
    if let Some((seen, size)) = summary.listed {
        lines.push(format!(
            "{seen} of {} in the herd list were seen ({}).",
            words::count(size, "cow", "cows"),
            share(seen, size)
        ));
    }
    lines.push(format!(
        "{} with at least one lesion ({} of those seen).",
        words::count(summary.cows_with_lesion, "cow", "cows"),
        share(summary.cows_with_lesion, summary.cows)
    ));
    if summary.scored > 0 {
        lines.push(format!(
            "{} scored for gait, {} of them lame.",
            words::count(summary.scored, "cow", "cows"),
            summary.lame
        ));
    }
    if summary.times_estimated {
        lines.push(
            "Some times of this day are estimated, because the handheld had not been told the \
             time."
                .to_owned(),
        );
    }
    lines
}

/// Claws by foot: what `foot` calls it, and "both claws" or the side's name.
pub(super) fn by_foot(claws: &[Claw], foot: impl Fn(Foot) -> &'static str) -> Vec<String> {
    let feet = Foot::ALL.into_iter().filter_map(|of| {
        let sides: Vec<Side> =
            claws.iter().filter(|claw| claw.foot == of).map(|claw| claw.side).collect();
        match sides.as_slice() {
            [] => None,
            [one] => Some(format!("{}, {}", foot(of), words::side(*one))),
            _ => Some(format!("{}, both claws", foot(of))),
        }
    });
    feet.collect()
}

fn share(part: usize, whole: usize) -> String {
    if whole == 0 {
        return "no share".to_owned();
    }
    // Rounded half up, in whole per cent.
    format!("{} %", (200 * part + whole) / (2 * whole))
}

pub(super) fn gauge_lines(report: &VisitReport) -> Vec<String> {
    if report.gauges.is_empty() {
        return vec![
            "No gauge block was measured on this day, so nobody can say how far the lengths can \
             be trusted. Measure one before work and after a fall."
                .to_owned(),
        ];
    }
    let mut lines: Vec<String> = report.gauges.iter().map(gauge_line).collect();
    if report.unchecked_readings > 0 {
        lines.push(format!(
            "{} without a passed check before {} on that day.",
            words::count(report.unchecked_readings, "reading was taken", "readings were taken"),
            if report.unchecked_readings == 1 { "it" } else { "them" }
        ));
    }
    lines
}

fn gauge_line(line: &GaugeLine) -> String {
    let read: Vec<String> =
        line.readings.iter().map(|(length, _)| words::length(*length)).collect();
    let failed = line.readings.iter().any(|(_, passed)| *passed == Some(false));
    let unknown = line.readings.iter().any(|(_, passed)| passed.is_none());
    let verdict = if failed {
        "not every check passed; clean the jaws, set zero and check again before trusting lengths"
    } else if unknown {
        "the size of the block was not told to the office, so nobody can say whether that is right"
    } else {
        "passed"
    };
    format!(
        "Handheld {:016x} read its gauge block as {}: {verdict}.",
        line.device.0,
        read.join(", ")
    )
}

pub(super) fn remark(line: &RemarkLine) -> String {
    if line.times == 1 {
        line.sentence.clone()
    } else {
        format!("{} ({} times)", line.sentence, line.times)
    }
}

pub(super) fn unplaced(report: &VisitReport) -> Option<String> {
    (report.unplaced > 0).then(|| {
        format!(
            "Besides, {} in the database to no known farm. Import the missing herd lists.",
            words::count(report.unplaced, "remark belongs", "remarks belong")
        )
    })
}

/// How many entries are held, and how many a person has decided about; `None` where none.
pub(super) fn judged(report: &VisitReport) -> Option<String> {
    let sum = |lines: &[RemarkLine]| lines.iter().map(|line| line.times).sum::<usize>();
    let (held, decided) = (sum(&report.held), sum(&report.settled));
    if held + decided == 0 {
        return None;
    }
    let mut parts = vec![format!(
        "{} held until a person decides (`hornrule review`)",
        words::count(held, "entry is", "entries are")
    )];
    for word in ["corrected", "reassigned", "accepted", "discarded"] {
        let count = report.settled.iter().filter(|line| line.rule == word);
        match count.map(|line| line.times).sum() {
            0 => {}
            n => parts.push(format!("{} {word}", words::count(n, "was", "were"))),
        }
    }
    Some(format!("{}.", parts.join(", ")))
}

pub(super) fn places(line: &LesionLine) -> String {
    match line.lesion.seat {
        Seat::Claw => words::count(line.places, "claw", "claws"),
        Seat::Foot => words::count(line.places, "foot", "feet"),
    }
}

pub(super) fn grades(line: &LesionLine) -> String {
    let all: Vec<String> =
        line.grades.iter().map(|(word, count)| format!("{count} {word}")).collect();
    all.join(", ")
}

/// One decimal is as fine as landmarks can be found.
pub(super) fn mm(length: Nanometres) -> String {
    format!("{:.1}", length.as_mm())
}

/// "84.1 → 76.9", or which of the two it is.
pub(super) fn walls(before: Option<Nanometres>, after: Option<Nanometres>) -> String {
    match (before, after) {
        (None, None) => String::new(),
        (Some(before), None) => format!("{} before", mm(before)),
        (None, Some(after)) => format!("{} after", mm(after)),
        (Some(before), Some(after)) => format!("{} → {}", mm(before), mm(after)),
    }
}

/// "sole ulcer (SU)".
pub(super) fn lesion(lesion: Lesion) -> String {
    if lesion.code == 0 {
        lesion.name.to_owned()
    } else {
        format!("{} ({})", lesion.name, lesion.letters)
    }
}

/// The zone, in brackets where it was not keyed but is the usual one.
pub(super) fn zone(found: &Found) -> String {
    match (found.zone, found.zone_keyed) {
        (None, _) => String::new(),
        (Some(zone), true) => zone.to_string(),
        (Some(zone), false) => format!("({zone})"),
    }
}

/// The star explained, where any line has one.
pub(super) fn starred(report: &VisitReport) -> Option<&'static str> {
    let mut lines =
        report.vet.iter().map(|vet| &vet.why).chain(report.due.iter().map(|due| &due.rule));
    lines.any(|line| line.ends_with('*')).then_some(STARRED)
}

/// "312 Berta, left hind foot"; the name alone where it is about the cow.
pub(super) fn vet(vet: &Vet) -> String {
    match vet.place {
        Place::Cow => vet.name.to_string(),
        place => format!("{}, {}", vet.name, words::place(place)),
    }
}

pub(super) const COW_TABLE: &str = "Wall: dorsal wall length in millimetres, the last reading \
                                    before and after trimming to form. A zone in brackets was not \
                                    keyed; it is the lesion's usual one.";
