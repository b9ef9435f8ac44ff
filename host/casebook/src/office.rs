//! What the trimmer left to the office: "look at this cow in the office".

use hornrule_facts::codes::LOOK_IN_OFFICE;
use hornrule_facts::{Closing, Day, Duty, Fact, Key, Told, What};

/// A cow to be looked at in the office.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfficeAsk {
    /// The record that asked first.
    pub id: Key,
    /// Each day on which it was asked, in the order of time; never empty.
    pub asked: Vec<Day>,
    /// The day on which the office noted that it had looked.
    pub answered: Option<Day>,
}

impl OfficeAsk {
    /// The day on which it was first asked.
    #[must_use]
    pub fn opened(&self) -> Day {
        self.asked.first().copied().unwrap_or(Day(0))
    }
}

/// Takes a day's facts.
pub(super) fn take<'a>(
    all: &mut Vec<OfficeAsk>,
    on: Day,
    mut facts: impl Iterator<Item = &'a Fact>,
) {
    let asks = |fact: &Fact| match fact.what {
        What::Action(done) => done.action.code() == LOOK_IN_OFFICE,
        What::Stay { .. } | What::Finding(_) | What::Reading(_) | What::Score { .. } => false,
    };
    let Some(first) = facts.find(|fact| asks(fact)) else { return };
    match all.last_mut().filter(|one| one.answered.is_none()) {
        Some(open) => open.asked.push(on),
        None => all.push(OfficeAsk { id: first.key, asked: vec![on], answered: None }),
    }
}

/// The office has looked. Anything asked after that day is a new one.
pub(super) fn close(all: &mut [OfficeAsk], closing: &Closing) {
    if closing.what != Told::Done(Duty::Office) {
        return;
    }
    for one in all.iter_mut().filter(|one| one.answered.is_none()) {
        // What is asked of the office is about the cow.
        if one.opened() <= closing.day {
            one.answered = Some(closing.day);
        }
    }
}
