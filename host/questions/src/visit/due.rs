//! What follows from a visit, in words: cows for the vet, and what is due.
//!
//! What is due is decided by [`crate::due`] over all that was ever said; this file chooses what a visit's report tells.
//! Every line names the rule that fired. What the trimmer keyed goes before any rule. The rules are
//! the trade's rules of thumb, marked with a star that the page explains; a farm may agree on
//! other days.

use hornrule_protocol::Place;
use hornrule_protocol::codes::Seat;
use hornrule_protocol::record::Finding;

use super::terms;
use super::visit::Name;
pub use crate::due::cow::is_lesion;
use crate::due::cow::{Told, why_vet};
use crate::due::{Because, Kind, Need};
use hornrule_facts::Day;
use hornrule_papers::words::Words;

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
    pub because: Because,
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
    pub kind: Kind,
    /// The rule that fired.
    pub because: Because,
    /// Days after the visit that it comes from.
    pub days: i32,
}

impl Due {
    /// What is due, and which rule says so, in words.
    #[must_use]
    pub fn in_words(&self, words: &Words) -> (String, String) {
        (terms::what(words, self), terms::why(words, self))
    }

    /// A need of a cow.
    #[must_use]
    pub fn of(name: Name, need: &Need) -> Self {
        let Need { day, place, kind, because, .. } = *need;
        Self { day, name, place, kind, because, days: need.days() }
    }
}

/// The vet's list: what was keyed, and what a rule says. One line a cow and place.
#[must_use]
pub fn vet(name: &Name, said: &[Told]) -> Vec<Vet> {
    let line = |told: &Told| {
        let because = why_vet(told)?;
        let urgency = if because == Because::VetToSee { Urgency::ToSee } else { Urgency::Now };
        Some(Vet { urgency, name: name.clone(), place: told.place(), because })
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
    use hornrule_facts::AnimalId;

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
