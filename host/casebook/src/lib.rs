//! The casebook: what a cow's facts make of her. `CASES.md` has the rules; this room carries them out.
//!
//! ```text
//! facts of one cow --fold, day by day--> cases, blocks, wraps, walls, scores, referrals, examined
//!                                                     |
//!                     due, visit, farm, cow, vet, healing, blocks, growth, exports
//! ```
//!
//! One fold for every question, so that no two pages count another case. It knows no clock and no
//! database, and takes the facts in any order.

mod block;
mod case;
mod class;
mod claw_day;
mod day;
mod referral;
mod wrap;

#[cfg(test)]
mod histories;
#[cfg(test)]
mod properties;

use hornrule_facts::{AnimalId, Closing, Day, Fact, HerdId, What};
use hornrule_protocol::{Place, Scale};

pub use block::{Block, Off};
pub use case::{
    Case, CaseId, End, Ended, FORGOTTEN_DAYS, Look, Size, State, Word, is_lesion, seat_of,
};
pub use class::{Class, Examined};
pub use claw_day::{ClawDay, Wall};
pub use referral::{Referral, Urgency, Why};
pub use wrap::{Unwrapped, Wrap};

/// A score on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scored {
    /// When.
    pub day: Day,
    /// The scale.
    pub scale: Scale,
    /// The value.
    pub value: u8,
}

/// Everything that is known of one cow.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Casebook {
    /// Her cases, by the day found, place and lesion.
    pub cases: Vec<Case>,
    /// Her blocks, in the order of time.
    pub blocks: Vec<Block>,
    /// Her wraps, in the order of time.
    pub wraps: Vec<Wrap>,
    /// What was done to and measured of each claw's wall on each day, in the order of time.
    pub claws: Vec<ClawDay>,
    /// Her scores, in the order of time.
    pub scores: Vec<Scored>,
    /// Her referrals to the vet, in the order of time.
    pub referrals: Vec<Referral>,
    /// Days on which she was examined, in the order of time.
    pub examined: Vec<Examined>,
    /// Days on which she came into the chute, in the order of time.
    pub stays: Vec<Day>,
}

/// Which cow.
pub type Cow = (HerdId, AnimalId);

impl Casebook {
    /// Of one cow's facts, in any order, and of what the office was told of her duties.
    #[must_use]
    pub fn of(facts: &[Fact], closings: &[Closing]) -> Self {
        let mut book = Self::default();
        if facts.is_sorted_by_key(Fact::order) {
            book.read(facts, closings);
        } else {
            let mut sorted = facts.to_vec();
            sorted.sort_by_key(Fact::order);
            book.read(&sorted, closings);
        }
        book
    }

    fn read(&mut self, facts: &[Fact], closings: &[Closing]) {
        for day in facts.chunk_by(|one, other| one.day == other.day) {
            self.take_day(day);
        }
        self.close(closings);
        self.cases.sort_by_key(|case| (case.found, place_key(case.place), case.lesion.code()));
    }

    fn take_day(&mut self, facts: &[Fact]) {
        let Some(on) = facts.first().map(|fact| fact.day) else { return };
        // A sentence said twice was said once.
        let said = || facts.iter().filter(|f| !f.doubted || matches!(f.what, What::Reading(_)));
        for fact in said() {
            match fact.what {
                What::Stay { .. } if self.stays.last() != Some(&on) => self.stays.push(on),
                What::Score { scale, value } => self.scores.push(Scored { day: on, scale, value }),
                _ => {}
            }
        }
        class::take(&mut self.examined, on, said());
        day::take(&mut self.cases, on, facts);
        block::take(&mut self.blocks, on, said());
        wrap::take(&mut self.wraps, on, said());
        claw_day::take(&mut self.claws, on, said());
        referral::take(&mut self.referrals, on, said());
    }

    /// What the office was told ends what the chute never heard of.
    fn close(&mut self, closings: &[Closing]) {
        for closing in closings {
            block::close(&mut self.blocks, closing);
            wrap::close(&mut self.wraps, closing);
            referral::close(&mut self.referrals, closing);
        }
    }

    /// The cases that are new or open on a day, each with its state.
    pub fn present_on(&self, day: Day) -> impl Iterator<Item = (&Case, State)> {
        self.cases.iter().filter_map(move |case| Some((case, case.state_on(day)?))).filter(
            |(_, state)| match state {
                State::New | State::Open => true,
                State::OutOfSight => false,
            },
        )
    }

    /// The class she is in at a visit on a day.
    #[must_use]
    pub fn class_on(&self, day: Day) -> Class {
        let mut open = false;
        for (_, state) in self.present_on(day) {
            if state == State::New {
                return Class::New;
            }
            open = true;
        }
        match (open, self.examined_on(day)) {
            (true, _) => Class::Open,
            (false, Some(_)) => Class::Sound,
            (false, None) => Class::NotExamined,
        }
    }

    /// What was examined on a day; `None` where nothing was.
    #[must_use]
    pub fn examined_on(&self, day: Day) -> Option<&Examined> {
        self.examined.iter().find(|one| one.day == day)
    }
}

/// Feet in the order of their numbers, the foot before its claws; the cow last.
#[must_use]
pub fn place_key(place: Place) -> (u8, u8) {
    let foot = place.foot().map_or(u8::MAX, |foot| foot.number());
    (foot, place.side().map_or(0, |side| side.number()))
}
