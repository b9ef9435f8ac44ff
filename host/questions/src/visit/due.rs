//! What follows from a visit: cows for the vet, and what is due.
//!
//! What is due is decided by [`crate::due`] over all that was ever said; this file chooses what a
//! visit tells. Every line names the rule that fired; the rules are the trade's rules of thumb, and a
//! farm may agree on other days.

pub use hornrule_casebook::Urgency;
use hornrule_casebook::{Case, Casebook};
use hornrule_facts::{Day, Duty};
use hornrule_protocol::Place;

use super::Name;
use crate::due::need::{days_late, days_of_harm};
use crate::due::{Because, Need, Window};

/// A cow for the vet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Vet {
    /// How urgent.
    pub urgency: Urgency,
    /// Who.
    pub name: Name,
    /// Which foot or claw; the cow for all of her.
    pub place: Place,
    /// Who or what says so.
    pub because: Because,
}

/// Something due on a cow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    /// On which day.
    pub day: Day,
    /// Who.
    pub name: Name,
    /// Which foot or claw.
    pub place: Place,
    /// What.
    pub duty: Duty,
    /// The rule that fired.
    pub because: Because,
    /// Days after the visit that it comes from.
    pub days: i32,
    /// When it may as well be done.
    pub window: Window,
    /// The cases it is about.
    pub cases: Vec<Case>,
}

impl Due {
    /// A need of a cow.
    #[must_use]
    pub fn of(name: Name, need: &Need) -> Self {
        let Need { day, place, duty, because, window, .. } = *need;
        let (days, cases) = (need.days(), need.cases.clone());
        Self { day, name, place, duty, because, days, window, cases }
    }

    /// Days that it is overdue on a day; 0 where it is not.
    #[must_use]
    pub fn overdue(&self, on: Day) -> u32 {
        days_late(self.day, on)
    }

    /// Days that a block or wrap has been on past its window; `None` where it does no harm.
    #[must_use]
    pub fn harm(&self, on: Day) -> Option<u32> {
        days_of_harm(self.duty, self.window, on)
    }

    /// What these lines are sorted by.
    #[must_use]
    pub fn order(&self) -> impl Ord + '_ {
        (self.day, &self.name, self.place, self.duty, self.because, self.days)
    }
}

/// The vet's list of a day: what was raised on it. One line a cow, place and reason.
#[must_use]
pub fn vet(name: &Name, book: &Casebook, day: Day) -> Vec<Vet> {
    let mut lines = Vec::new();
    for one in &book.referrals {
        for (_, why) in one.raised.iter().filter(|(raised, _)| *raised == day) {
            let (urgency, place, because) = (one.urgency, one.place, (*why).into());
            lines.push(Vet { urgency, name: name.clone(), place, because });
        }
    }
    lines
}

/// What of a herd's needs a visit tells: not when each cow is to be trimmed again, and of the vet only
/// what an earlier visit has left open, because this one's cows are on the vet's list.
#[must_use]
pub fn told_after(need: &Need, visit: Day) -> bool {
    match need.duty {
        Duty::Recheck | Duty::BlockOff | Duty::WrapOff => true,
        Duty::Vet => need.since < visit,
        Duty::Trim | Duty::Office => false,
    }
}
