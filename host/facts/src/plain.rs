//! Places and lengths in plain words, the same in remarks and reports.

use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::codes::About;
use hornrule_protocol::record::{Done, Entry, UnitMode};
use hornrule_protocol::{AnimalNumber, Foot, Nanometres, Place, Side};

/// "left hind".
#[must_use]
pub const fn foot(foot: Foot) -> &'static str {
    match foot {
        Foot::LeftFore => "left fore",
        Foot::RightFore => "right fore",
        Foot::LeftHind => "left hind",
        Foot::RightHind => "right hind",
    }
}

/// "outer claw" or "inner claw".
#[must_use]
pub const fn side(side: Side) -> &'static str {
    match side {
        Side::Lateral => "outer claw",
        Side::Medial => "inner claw",
    }
}

/// "left hind, outer claw"; "left hind foot"; "the cow".
#[must_use]
pub fn place(place: Place) -> String {
    match place {
        Place::Cow => "the cow".to_owned(),
        Place::Foot(one) => format!("{} foot", foot(one)),
        Place::Claw(claw) => format!("{}, {}", foot(claw.foot), side(claw.side)),
    }
}

/// "82.35 mm": as fine as the calliper shows.
#[must_use]
pub fn length(length: Nanometres) -> String {
    format!("{:.2} mm", length.as_mm())
}

/// What an entry says, in one line.
#[must_use]
pub fn entry(entry: &Entry) -> String {
    match entry {
        Entry::Started(started) => format!("the handheld started ({:?})", started.cause),
        Entry::Clock { .. } => "the office told the time".to_owned(),
        Entry::Gap { refused } => format!("the log was full and refused {refused} entries"),
        Entry::Void { seq } => format!("UNDO of entry {}", seq.0),
        Entry::CalliperFault(fault) => format!("a clip without a length ({fault:?})"),
        Entry::PlanLoaded { animals, .. } => format!("a plan of {animals} numbers was loaded"),
        Entry::Visit { farm } => format!("visit to farm {farm}"),
        Entry::Animal(AnimalNumber::Herd(number)) => format!("cow {}", number.get()),
        Entry::Animal(AnimalNumber::Tag(tag)) => format!("cow with tag {:015}", tag.decimal()),
        Entry::AnimalLeft => "the cow left".to_owned(),
        Entry::Reading(reading) => format!(
            "{} {}, {}{}",
            reading.dimension.name,
            length(reading.length),
            place(reading.place),
            if reading.unit == UnitMode::Inch { ", calliper set to inches" } else { "" }
        ),
        Entry::Finding(finding) => {
            let grade = finding.lesion.grades.word(finding.grade);
            let grade = grade.map_or_else(|| format!("grade {}", finding.grade), str::to_owned);
            let zone =
                finding.zone.map_or_else(String::new, |zone| format!(", zone {}", zone.number()));
            format!("{}, {grade}, {}{zone}", finding.lesion.name, place(finding.place))
        }
        Entry::Action(done) if done.action.takes_days => {
            format!("{} in {} days, {}", done.action.name, done.days, place(done.place))
        }
        Entry::Action(done) => format!("{}, {}", done.action.name, acted(done)),
        Entry::Score { scale, value } => format!("{} score {value}", scale.name),
        Entry::Bundle { bundle, parts } => {
            format!("bundle {bundle} of the plan, {}", count(usize::from(*parts), "part", "parts"))
        }
    }
}

/// The place of an action, and of one that is said wider, what it is said of.
fn acted(done: &Done) -> String {
    match done.place {
        Place::Cow if done.action.spreads() => "all four feet".to_owned(),
        Place::Foot(one) if done.action.spreads() && done.action.about == About::Claw => {
            format!("both claws of the {} foot", foot(one))
        }
        other => place(other),
    }
}

/// "block glued on, the usual way, partner claw": a part of a bundle, seen from the claw in hand.
#[must_use]
pub fn bundle_part(part: &BundlePart) -> String {
    let at = match part.at() {
        At::ThisClaw => "this claw",
        At::Partner => "partner claw",
        At::Foot => "the foot",
        At::Cow => "the cow",
    };
    match part.days() {
        0 => format!("{}, {at}", part.action().name),
        days => format!("{} in {days} days, {at}", part.action().name),
    }
}

/// "2 h 05 min", "3 min 20 s", "850 ms"; without its sign.
#[must_use]
pub fn duration(ms: i64) -> String {
    let ms = ms.unsigned_abs();
    let (s, min, h) = (ms / 1000, ms / 60_000, ms / 3_600_000);
    match (s, min, h) {
        (0, ..) => format!("{ms} ms"),
        (_, 0, _) => format!("{s} s"),
        (_, _, 0) => format!("{min} min {:02} s", s % 60),
        _ if h < 48 => format!("{h} h {:02} min", min % 60),
        _ => format!("{} days {} h", h / 24, h % 24),
    }
}

/// "1 cow", "2 cows".
#[must_use]
pub fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}
