//! Referrals to the vet. They close by an answer and by nothing else.

use hornrule_facts::codes::{SEVERE, SWELLING, TOE_NECROSIS, VET_NOW, VET_TO_SEE};
use hornrule_facts::{Closing, Day, Duty, Fact, What};
use hornrule_protocol::Place;

use crate::case::seat_of;

/// How urgent the vet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// Now.
    Now,
    /// At the next occasion.
    ToSee,
}

/// What made it the vet's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// The trimmer keyed "vet now".
    VetNow,
    /// The trimmer keyed "vet to see".
    VetToSee,
    /// Rule: toe necrosis is the vet's.
    ToeNecrosis,
    /// Rule: a severe swelling above the horn is the vet's.
    Swelling,
}

impl Why {
    /// How urgent that is.
    #[must_use]
    pub const fn urgency(self) -> Urgency {
        match self {
            Self::VetToSee => Urgency::ToSee,
            Self::VetNow | Self::ToeNecrosis | Self::Swelling => Urgency::Now,
        }
    }
}

/// A cow for the vet, about one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Referral {
    /// Where; the cow for all of her.
    pub place: Place,
    /// How urgent.
    pub urgency: Urgency,
    /// Each day on which it was raised, and by what, in the order of time; never empty.
    pub raised: Vec<(Day, Why)>,
    /// The day of the vet's answer.
    pub answered: Option<Day>,
}

impl Referral {
    /// The day on which it was first raised.
    #[must_use]
    pub fn opened(&self) -> Day {
        self.raised.first().map_or(Day(0), |(day, _)| *day)
    }
}

/// What makes it the vet's, where something does.
fn why(fact: &Fact) -> Option<(Place, Why)> {
    match fact.what {
        What::Action(done) => match done.action.code() {
            VET_NOW => Some((fact.place, Why::VetNow)),
            VET_TO_SEE => Some((fact.place, Why::VetToSee)),
            _ => None,
        },
        What::Finding(finding) => match finding.lesion.code() {
            TOE_NECROSIS => Some((seat_of(&finding), Why::ToeNecrosis)),
            SWELLING if finding.grade == SEVERE => Some((seat_of(&finding), Why::Swelling)),
            _ => None,
        },
        What::Stay { .. } | What::Reading(_) | What::Score { .. } => None,
    }
}

/// Takes a day's facts.
pub(super) fn take<'a>(all: &mut Vec<Referral>, on: Day, facts: impl Iterator<Item = &'a Fact>) {
    for (place, why) in facts.filter_map(why) {
        let same = |one: &&mut Referral| {
            one.answered.is_none() && one.place == place && one.urgency == why.urgency()
        };
        match all.iter_mut().find(same) {
            Some(there) if there.raised.contains(&(on, why)) => {}
            Some(there) => there.raised.push((on, why)),
            None => all.push(Referral {
                place,
                urgency: why.urgency(),
                raised: vec![(on, why)],
                answered: None,
            }),
        }
    }
}

/// The vet has answered. Anything raised after that day is a new referral.
pub(super) fn close(all: &mut [Referral], closing: &Closing) {
    if closing.duty != Duty::Vet {
        return;
    }
    for one in all.iter_mut().filter(|one| one.answered.is_none()) {
        if closing.is_about(one.place, one.opened()) {
            one.answered = Some(closing.day);
        }
    }
}
