//! What follows from a visit, in words: cows for the vet, and what is due.
//!
//! What is due is decided by [`crate::due`] over all that was ever said; this file gives it words.
//! Every line names the rule that fired. What the trimmer keyed goes before any rule. The rules are
//! the trade's rules of thumb, marked with a star that [`STARRED`] explains; a farm may agree on
//! other days.

use hornrule_protocol::Place;
use hornrule_protocol::codes::Seat;
use hornrule_protocol::record::Finding;

use super::visit::Name;
pub use crate::due::cow::is_lesion;
use crate::due::cow::{Told, why_vet};
use crate::due::{Because, Kind, Need};
use crate::herd::Day;

/// What the star behind a rule says.
pub const STARRED: &str =
    "* Common practice, no source. What the trimmer keyed goes before any rule.";

/// How urgent the vet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// Now.
    Now,
    /// At the next occasion.
    ToSee,
}

/// A cow for the vet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Vet {
    /// How urgent.
    pub urgency: Urgency,
    /// Who.
    pub name: Name,
    /// Which foot or claw; `Cow` for the whole cow.
    pub place: Place,
    /// Who or what says so.
    pub why: String,
}

/// Something due on a cow.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Due {
    /// On which day.
    pub day: Day,
    /// Who.
    pub name: Name,
    /// Which foot or claw.
    pub place: Place,
    /// What.
    pub what: String,
    /// The rule that fired.
    pub rule: String,
}

/// The vet's list: what was keyed, and what a rule says. One line a cow and place.
#[must_use]
pub fn vet(name: &Name, said: &[Told]) -> Vec<Vet> {
    let line = |told: &Told| {
        let because = why_vet(told)?;
        let urgency = if because == Because::VetToSee { Urgency::ToSee } else { Urgency::Now };
        let why = match because {
            Because::VetNow | Because::VetToSee => "keyed by the trimmer".to_owned(),
            _ => format!("rule: {}*", reason(because)),
        };
        Some(Vet { urgency, name: name.clone(), place: told.place(), why })
    };
    let mut lines: Vec<Vet> = said.iter().filter_map(line).collect();
    lines.sort();
    lines.dedup();
    lines
}

/// What of a herd's needs a visit's report tells: not when each cow is to be trimmed again, and of
/// the vet only what an earlier visit has left open, because this one's cows are on the vet's list.
#[must_use]
pub fn told_after(need: &Need, visit: Day) -> bool {
    match need.kind {
        Kind::Recheck | Kind::BlockOff | Kind::WrapOff => true,
        Kind::Vet => need.since < visit,
        Kind::Trim => false,
    }
}

/// A need in words.
#[must_use]
pub fn due(name: Name, need: &Need) -> Due {
    let days = if need.days() == 1 { "1 day".to_owned() } else { format!("{} days", need.days()) };
    let rule = if need.because.is_rule() {
        format!("rule: {}, {days}*", reason(need.because))
    } else {
        format!("keyed: in {days}")
    };
    Due { day: need.day, name, place: need.place, what: what(need).to_owned(), rule }
}

const fn what(need: &Need) -> &'static str {
    match (need.kind, need.because) {
        (Kind::Recheck, Because::Phlegmon) => "see again; vet if not better",
        (Kind::Recheck, _) => "see again",
        (Kind::BlockOff, _) => "take the block off",
        (Kind::WrapOff, _) => "take the wrap off",
        (Kind::Vet, _) => "ask what the vet found",
        (Kind::Trim, _) => "trim",
    }
}

const fn reason(because: Because) -> &'static str {
    match because {
        Because::Keyed => "keyed",
        Because::Phlegmon => "phlegmon",
        Because::Dermatitis => "active digital dermatitis",
        Because::TreatedLesion => "treated lesion",
        Because::NotHealed => "not healed yet",
        Because::BlockGlued => "block glued",
        Because::Wrapped => "wrap put on",
        Because::Trimmed => "trimmed to form",
        Because::VetNow => "vet now",
        Because::VetToSee => "vet to see",
        Because::ToeNecrosis => "toe necrosis",
        Because::Swelling => "severe swelling above the horn",
    }
}

/// Where a finding counts: its claw, or for skin lesions its foot.
#[must_use]
pub fn counted_place(finding: &Finding) -> Place {
    match (finding.lesion.seat, finding.place.foot()) {
        (Seat::Foot, Some(foot)) => Place::Foot(foot),
        _ => finding.place,
    }
}

#[cfg(test)]
mod tests {
    use hornrule_protocol::record::Done;
    use hornrule_protocol::{Action, Claw, Foot, Lesion, Side};

    use super::*;
    use crate::herd::AnimalId;

    #[test]
    fn the_vet_hears_what_was_keyed_and_what_cannot_wait() {
        let toe = Place::Claw(Claw { foot: Foot::RightHind, side: Side::Lateral });
        let found = |code, grade, place| {
            let lesion = Lesion::from_code(code).unwrap();
            Told::Found(Finding { lesion, place, grade, zone: None })
        };
        let action = Action::from_code(80).unwrap();
        let said = [
            found(16, 1, toe),
            found(61, 2, Place::Foot(Foot::LeftHind)),
            Told::Did(Done { action, place: Place::Cow, days: 0 }),
        ];
        let name = Name { animal: AnimalId(1), name: None };
        let lines: Vec<_> = vet(&name, &said).into_iter().map(|v| (v.urgency, v.place)).collect();
        assert_eq!(lines, [(Urgency::Now, toe), (Urgency::ToSee, Place::Cow)]);
    }
}
