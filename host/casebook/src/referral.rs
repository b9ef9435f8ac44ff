//! Referrals to the vet. They close by an answer and by nothing else.

use hornrule_facts::codes::{
    BONE_OR_JOINT, NOT_TRIMMED, PHLEGMON, SEVERE, SWELLING, SWELLING_OF_ONE_CLAW, TOE_NECROSIS,
    UNCHANGED, VET_HAS_SEEN, VET_NOW, VET_TO_SEE, WORSE,
};
use hornrule_facts::{Closing, Day, Duty, Fact, Told, What};
use hornrule_protocol::Place;
use hornrule_protocol::codes::Grades;
use hornrule_protocol::record::Finding;

use crate::case::{Case, Word, seat_of};

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
    /// Rule: a swelling above one claw only is the vet's.
    OneSided,
    /// Rule: bone or joint in sight.
    BoneOrJoint,
    /// Rule: the last value of a scale of gait.
    Gait,
    /// Rule: phlegmon is the vet's to see.
    Phlegmon,
    /// Rule: "worse" about a severe case, or for the second time.
    Worse,
    /// Rule: unanswered, and unchanged, worse or looked at on a later day.
    Unanswered,
}

impl Why {
    /// How urgent that is; `None` for what only raises again what is open.
    const fn urgency(self) -> Option<Urgency> {
        match self {
            Self::VetToSee | Self::Phlegmon | Self::Worse => Some(Urgency::ToSee),
            Self::VetNow
            | Self::ToeNecrosis
            | Self::Swelling
            | Self::OneSided
            | Self::BoneOrJoint
            | Self::Gait => Some(Urgency::Now),
            Self::Unanswered => None,
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

    const fn is_open(&self) -> bool {
        self.answered.is_none()
    }
}

/// The locomotion score that makes a cow the vet's, and the mobility score: the last of each scale
/// (common practice, no source).
const LAST_OF_GAIT: [(u8, u8); 2] = [(1, 5), (2, 3)];

/// "Worse" so often makes a case the vet's, however slight it is.
const WORSE_TIMES: usize = 2;

/// What makes it the vet's by itself, where something does.
fn why(fact: &Fact) -> Option<(Place, Why)> {
    let found = |finding: &Finding| match finding.lesion.code() {
        TOE_NECROSIS => Some(Why::ToeNecrosis),
        SWELLING if finding.grade == SEVERE => Some(Why::Swelling),
        SWELLING_OF_ONE_CLAW => Some(Why::OneSided),
        BONE_OR_JOINT => Some(Why::BoneOrJoint),
        PHLEGMON => Some(Why::Phlegmon),
        _ => None,
    };
    match fact.what {
        What::Action(done) => match done.action.code() {
            VET_NOW => Some((fact.place, Why::VetNow)),
            VET_TO_SEE => Some((fact.place, Why::VetToSee)),
            _ => None,
        },
        What::Finding(finding) => Some((seat_of(&finding), found(&finding)?)),
        What::Score { scale, value } => {
            LAST_OF_GAIT.contains(&(scale.code(), value)).then_some((Place::Cow, Why::Gait))
        }
        What::Stay { .. } | What::Reading(_) => None,
    }
}

/// Whether a case is the vet's because of what was said of it on a day: worse though severe, or worse
/// once more.
fn is_worse(case: &Case, on: Day) -> bool {
    let first = (case.found, case.word, case.grade);
    let later = case.looks.iter().map(|look| (look.day, look.word, look.grade));
    let worse = || std::iter::once(first).chain(later.clone()).filter(|one| one.1 == Word::Worse);
    let severe = |grade| case.lesion.grades == Grades::Severity && grade == SEVERE;
    worse().any(|(day, _, grade)| day == on && (severe(grade) || worse().count() >= WORSE_TIMES))
}

/// The action that a fact is.
fn action(fact: &Fact) -> Option<u8> {
    match fact.what {
        What::Action(done) => Some(done.action.code()),
        What::Stay { .. } | What::Finding(_) | What::Reading(_) | What::Score { .. } => None,
    }
}

/// Whether what was said at a place is about a referral, which may be the whole cow's.
fn speaks_of(said: Place, referral: Place) -> bool {
    let here = match said {
        Place::Cow => return true,
        Place::Foot(_) => referral.foot() == said.foot(),
        Place::Claw(_) => referral == said || referral == said.foot().map_or(said, Place::Foot),
    };
    here || referral == Place::Cow
}

/// Takes a day's facts, in the order of time, and her cases as they are after them.
pub(super) fn take<'a>(
    all: &mut Vec<Referral>,
    on: Day,
    facts: impl Iterator<Item = &'a Fact> + Clone,
    cases: &[Case],
) {
    let last_worse = |here: Place| {
        let worse = facts.clone().filter(|fact| action(fact) == Some(WORSE));
        worse.filter(|fact| fact.place.foot() == here.foot()).last()
    };
    for fact in facts.clone() {
        if let Some((place, why)) = why(fact) {
            raise(all, place, on, why);
        }
        if action(fact) == Some(WORSE)
            && last_worse(fact.place).is_some_and(|last| last.key == fact.key)
        {
            let here = |case: &&Case| case.place.foot() == fact.place.foot() && is_worse(case, on);
            for case in cases.iter().filter(here) {
                raise(all, case.place, on, Why::Worse);
            }
        }
        if action(fact) == Some(VET_HAS_SEEN) {
            for one in all.iter_mut().filter(|one| one.is_open()) {
                if speaks_of(fact.place, one.place) {
                    one.answered = Some(on);
                }
            }
        }
    }
    let spoken = |fact: &Fact| matches!(action(fact), Some(UNCHANGED | WORSE | NOT_TRIMMED));
    for one in all.iter_mut().filter(|one| one.is_open()) {
        let about = |fact: &Fact| spoken(fact) && speaks_of(fact.place, one.place);
        if one.raised.iter().all(|(day, _)| *day < on) && facts.clone().any(about) {
            one.raised.push((on, Why::Unanswered));
        }
    }
}

fn raise(all: &mut Vec<Referral>, place: Place, on: Day, why: Why) {
    let Some(urgency) = why.urgency() else { return };
    let same = |one: &&mut Referral| one.is_open() && (one.place, one.urgency) == (place, urgency);
    match all.iter_mut().find(same) {
        Some(there) if there.raised.contains(&(on, why)) => {}
        Some(there) => there.raised.push((on, why)),
        None => {
            all.push(Referral { place, urgency, raised: vec![(on, why)], answered: None });
        }
    }
}

/// The vet has answered. Anything raised after that day is a new referral.
pub(super) fn close(all: &mut [Referral], closing: &Closing) {
    if closing.what != Told::Done(Duty::Vet) {
        return;
    }
    for one in all.iter_mut().filter(|one| one.is_open()) {
        if closing.is_about(one.place, one.opened()) {
            one.answered = Some(closing.day);
        }
    }
}
