//! Places and lengths in plain words, the same in remarks and reports.

use hornrule_protocol::{Foot, Nanometres, Place, Side};

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

/// "1 cow", "2 cows".
#[must_use]
pub fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}
