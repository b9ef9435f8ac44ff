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
mod office;
mod referral;
mod sign;
mod wrap;

#[cfg(test)]
mod histories;
#[cfg(test)]
mod properties;

use hornrule_facts::codes::{CLAW_LOWERED, HORN_OPENED, SEE_AGAIN, WRAP_ON};
use hornrule_facts::{AnimalId, Closing, Day, Fact, HerdId, What};
use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::record::Done;
use hornrule_protocol::{Foot, Place, Scale};

pub use block::{Block, Off, Reason};
pub use case::{
    Case, CaseId, End, Ended, FORGOTTEN_DAYS, Look, Size, State, Word, is_lesion, seat_of,
};
pub use class::{Class, Examined};
pub use claw_day::{ClawDay, Wall};
pub use office::OfficeAsk;
pub use referral::{Referral, Urgency, Why};
pub use sign::Sign;
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

/// "See again", as keyed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeeAgain {
    /// When it was keyed.
    pub day: Day,
    /// For which foot; the cow for all of her.
    pub place: Place,
    /// In how many days.
    pub days: u8,
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
    /// What was seen or felt and is no lesion, by day, place and number.
    pub signs: Vec<Sign>,
    /// What was left to the office, in the order of time.
    pub office: Vec<OfficeAsk>,
    /// What was keyed to be seen again, in the order of time.
    pub again: Vec<SeeAgain>,
    /// Days on which she was examined, in the order of time.
    pub examined: Vec<Examined>,
    /// Days on which she came into the chute, in the order of time.
    pub stays: Vec<Day>,
    /// Days on which a foot was treated, in the order of time.
    treated: Vec<(Day, Foot)>,
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
        let mut closings: Vec<&Closing> = closings.iter().collect();
        closings.sort_by_key(|one| one.day);
        let mut told = closings.into_iter().peekable();
        for day in facts.chunk_by(|one, other| one.day == other.day) {
            // What the office was told of a day counts after the chute's own words of that day, and
            // before those of the next.
            while let Some(closing) = told.next_if(|one| one.day < day[0].day) {
                self.close(closing);
            }
            self.take_day(day);
        }
        told.for_each(|closing| self.close(closing));
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
                What::Action(done) if is_treatment(&done) => {
                    self.treated.extend(done.place.foot().map(|foot| (on, foot)));
                }
                What::Action(done) if done.action.code() == SEE_AGAIN => {
                    let (place, days) = (done.place, done.days);
                    self.again.push(SeeAgain { day: on, place, days });
                }
                _ => {}
            }
        }
        class::take(&mut self.examined, on, said());
        day::take(&mut self.cases, on, facts);
        sign::take(&mut self.signs, on, said());
        block::take(&mut self.blocks, on, said());
        wrap::take(&mut self.wraps, on, said());
        claw_day::take(&mut self.claws, on, said());
        referral::take(&mut self.referrals, on, said(), &self.cases);
        office::take(&mut self.office, on, said());
    }

    /// What the office was told ends what the chute never heard of.
    fn close(&mut self, closing: &Closing) {
        block::close(&mut self.blocks, closing);
        wrap::close(&mut self.wraps, closing);
        referral::close(&mut self.referrals, closing);
        office::close(&mut self.office, closing);
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

    /// Whether the foot of a place was treated on a day: block, wrap, horn opened, claw lowered,
    /// cleaned, a topical product.
    #[must_use]
    pub fn treated_on(&self, place: Place, day: Day) -> bool {
        place.foot().is_some_and(|foot| self.treated.contains(&(day, foot)))
    }

    /// What was examined on a day; `None` where nothing was.
    #[must_use]
    pub fn examined_on(&self, day: Day) -> Option<&Examined> {
        self.examined.iter().find(|one| one.day == day)
    }
}

/// Work on a lesion, beyond trimming to form.
fn is_treatment(done: &Done) -> bool {
    let code = done.action.code();
    matches!(done.action.kind, ActionKind::BlockOn | ActionKind::Topical)
        || matches!(code, WRAP_ON | HORN_OPENED | CLAW_LOWERED)
}

/// Feet in the order of their numbers, the foot before its claws; the cow last.
#[must_use]
pub fn place_key(place: Place) -> (u8, u8) {
    let foot = place.foot().map_or(u8::MAX, |foot| foot.number());
    (foot, place.side().map_or(0, |side| side.number()))
}
