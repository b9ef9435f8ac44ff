//! What was said of a whole foot or of all four, read as its claws or feet.
//!
//! ```text
//! a cow's facts of one day --spread--> the same, each "trimmed" at a claw, each "not trimmed" at a foot
//! ```
//!
//! Nobody downstream knows that a trimming can be keyed for more than one claw. `CASES.md` in the
//! casebook's folder has the rule.

use hornrule_protocol::record::Done;
use hornrule_protocol::{Claw, Foot, Place};

use crate::codes::{AMPUTATED, BLOCK_STILL_ON, NOT_TRIMMED, TRIMMED};
use crate::fact::{Fact, What};

/// What a day says of a claw or foot by itself, and the claws that were gone before it.
struct Own<'a>(&'a [Fact], &'a [Claw]);

/// The claw that a fact says is no longer there.
#[must_use]
pub fn amputated(fact: &Fact) -> Option<Claw> {
    match (fact.what, fact.place) {
        (What::Finding(finding), Place::Claw(claw)) if finding.lesion.code() == AMPUTATED => {
            Some(claw)
        }
        _ => None,
    }
}

fn action(fact: &Fact) -> Option<Done> {
    match fact.what {
        What::Action(done) => Some(done),
        What::Stay { .. } | What::Reading(_) | What::Finding(_) | What::Score { .. } => None,
    }
}

/// Trimmed, or looked at and not trimmed, of more than its own place.
fn is_wide(done: Done) -> bool {
    match done.action.code() {
        TRIMMED => !matches!(done.place, Place::Claw(_)),
        NOT_TRIMMED => done.place == Place::Cow,
        _ => false,
    }
}

impl Own<'_> {
    fn says(&self, says: impl Fn(Done) -> bool) -> bool {
        self.0.iter().filter(|fact| !fact.doubted).filter_map(action).any(says)
    }

    fn says_at(&self, code: u8, place: Place) -> bool {
        self.says(|done| done.action.code() == code && done.place == place)
    }

    /// The claws that "trimmed" at a foot or the cow speaks of.
    fn trimmed(&self, at: Place) -> Vec<Place> {
        let elsewhere = |claw: Claw| {
            let own = Place::Claw(claw);
            let left_out = at == Place::Cow
                && (self.says_at(NOT_TRIMMED, Place::Foot(claw.foot))
                    || self.says_at(TRIMMED, Place::Foot(claw.foot)));
            let gone = self.1.contains(&claw) || self.0.iter().any(|f| amputated(f) == Some(claw));
            left_out || gone || self.says_at(TRIMMED, own) || self.says_at(BLOCK_STILL_ON, own)
        };
        let claws = Claw::all().filter(|claw| at.covers(*claw) && !elsewhere(*claw));
        claws.map(Place::Claw).collect()
    }

    /// The feet that "looked at, not trimmed" at the cow speaks of.
    fn not_trimmed(&self) -> Vec<Place> {
        let trimmed = |foot: Foot| {
            self.says(|done| {
                let here = done.place.foot().is_none_or(|other| other == foot);
                done.action.code() == TRIMMED && here
            })
        };
        let own = |foot: Foot| self.says_at(NOT_TRIMMED, Place::Foot(foot));
        Foot::ALL
            .into_iter()
            .filter(|foot| !trimmed(*foot) && !own(*foot))
            .map(Place::Foot)
            .collect()
    }
}

/// Replaces what was said wider by what it says of each claw or foot. The facts are those of one cow
/// on one day, in their order, which they keep; a second word of the same width that no rule doubts
/// adds nothing. `gone` are the claws that she had lost before that day.
pub fn spread(day: &mut Vec<Fact>, gone: &[Claw]) {
    if !day.iter().filter_map(action).any(is_wide) {
        return;
    }
    let own = Own(day, gone);
    let mut all = Vec::with_capacity(day.len() + 8);
    let mut told: Vec<(u8, Place)> = Vec::new();
    for fact in day.iter() {
        let Some(done) = action(fact).filter(|done| is_wide(*done)) else {
            all.push(*fact);
            continue;
        };
        let wide = (done.action.code(), done.place);
        if !fact.doubted {
            if told.contains(&wide) {
                continue;
            }
            told.push(wide);
        }
        let places = match done.action.code() {
            TRIMMED => own.trimmed(done.place),
            _ => own.not_trimmed(),
        };
        all.extend(places.into_iter().map(|place| Fact {
            place,
            what: What::Action(Done { place, ..done }),
            whole: true,
            ..*fact
        }));
    }
    *day = all;
}
