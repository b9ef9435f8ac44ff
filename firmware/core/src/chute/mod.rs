//! The entry grammar: presses and readings in, entries and cues out.
//!
//! ```text
//! Key --Press--> (sentence, press) --step--> key taken | entry | refused
//!                                                          |
//!   device commits the entry in flash -- committed(seq) <--+   only now: cue, cow, undo list
//! ```
//!
//! `press` gives the entry; nothing of the chute changes for good until `committed` says that it is
//! in flash. Without that a cue could promise what a power cut then takes back.

mod cow;
mod digits;
mod press;
mod sentence;
mod undo;

pub use cow::{DayPlan, Feet, NoPlan, Standing};
pub use press::Press;

use hornrule_protocol::record::{CalliperKind, Reading, UnitMode};
use hornrule_protocol::{
    AnimalNumber, Claw, Dimension, Entry, Foot, Iso11784, Nanometres, Place, Seq, Side,
};

use crate::cue::Cue;
use crate::time::{Micros, Wake};
use sentence::{Sentence, Step};
use undo::{Effect, UndoList};

/// A sentence left half said for this long is dropped, so that a key brushed in passing does not
/// swallow the first key of the next sentence.
const FORGET_AFTER_MS: u64 = 15_000;

/// What the chute answers to a press or a clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// To be heard at once; nothing to store.
    Cue(Cue),
    /// To be stored; the cue comes from [`Chute::committed`].
    Entry(Entry),
}

/// One clip of the calliper, as the calliper room measured it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measured {
    /// What it showed.
    pub length: Nanometres,
    /// How it was set.
    pub unit: UnitMode,
    /// Which kind it is.
    pub kind: CalliperKind,
}

/// The cow, foot and claw that are being spoken of, and the sentence that is being said.
#[derive(Debug)]
pub struct Chute {
    sentence: Sentence,
    last_press: Micros,
    cow: Option<AnimalNumber>,
    due: Feet,
    claw: Option<Claw>,
    /// Chosen by SIZE; holds until claw or cow changes.
    dimension: Option<Dimension>,
    /// How far clips have walked through the measuring order on this claw.
    walked: u8,
    undo: UndoList,
}

impl Default for Chute {
    fn default() -> Self {
        Self::new()
    }
}

impl Chute {
    /// An empty chute.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            sentence: Sentence::Idle,
            last_press: Micros(0),
            cow: None,
            due: Feet::NONE,
            claw: None,
            dimension: None,
            walked: 0,
            undo: UndoList::new(),
        }
    }

    /// Takes one press.
    pub fn press(&mut self, press: Press, now: Micros) -> Answer {
        self.last_press = now;
        let step = sentence::step(self.sentence, press);
        self.sentence = Sentence::Idle;
        match step {
            Step::Go(sentence) => {
                self.sentence = sentence;
                Answer::Cue(Cue::KeyTaken)
            }
            Step::Foot(foot) => Answer::Cue(self.choose(foot)),
            Step::Dimension(dimension) => {
                self.dimension = Some(dimension);
                Answer::Cue(Cue::KeyTaken)
            }
            Step::Say(said) => match said.entry(self.cow, self.claw) {
                Some(entry) => Answer::Entry(entry),
                None => Answer::Cue(Cue::Refused),
            },
            Step::TakeBack => match self.undo.last() {
                Some(seq) => Answer::Entry(Entry::Void { seq }),
                None => Answer::Cue(Cue::Refused),
            },
            Step::Drop => Answer::Cue(Cue::Dropped),
            Step::Refuse => Answer::Cue(Cue::Refused),
        }
    }

    /// Takes what the tag reader said: a cow's number, or `None` for what is no number. The cow is
    /// in the chute, as if her number had been keyed; what was half said is dropped, because it was
    /// about the cow before. Readers stutter: the cow that is in the chute already is only heard.
    pub fn tag(&mut self, number: Option<Iso11784>) -> Answer {
        let Some(number) = number else { return Answer::Cue(Cue::Refused) };
        if self.cow == Some(AnimalNumber::Tag(number)) {
            return Answer::Cue(Cue::KeyTaken);
        }
        self.sentence = Sentence::Idle;
        Answer::Entry(Entry::Animal(AnimalNumber::Tag(number)))
    }

    /// Takes a clip. It is always stored, even with no cow or claw chosen: the jaws are off the
    /// claw by now, and the office can still place it.
    pub fn clip(&mut self, measured: Measured, plan: &impl DayPlan) -> Entry {
        let dimension = self.dimension.unwrap_or_else(|| {
            let order = plan.order();
            let last = order.len().saturating_sub(1);
            order.get(usize::from(self.walked).min(last)).copied().unwrap_or(Dimension::DORSAL_WALL)
        });
        let place = match self.claw {
            Some(claw) if !dimension.is_gauge() => Place::Claw(claw),
            _ => Place::Cow,
        };
        let Measured { length, unit, kind } = measured;
        Entry::Reading(Reading { length, dimension, place, unit, kind })
    }

    /// The entry is in flash under this number: the chute takes it for said. Gives what to sound.
    pub fn committed(&mut self, seq: Seq, entry: &Entry, plan: &impl DayPlan) -> Cue {
        let (effect, cue) = match *entry {
            Entry::Animal(number) => return self.enter(seq, number, plan),
            Entry::AnimalLeft => {
                let left = self.cow.take();
                self.leave_claw();
                (Effect::Left(left), Cue::Committed)
            }
            Entry::Void { .. } => {
                self.take_back();
                return Cue::Undone;
            }
            Entry::Reading(reading) => {
                let walks = self.dimension.is_none();
                if walks {
                    self.walked = self.walked.saturating_add(1);
                }
                (Effect::Walked(walks), self.length_cue(&reading, plan))
            }
            Entry::Visit { .. } | Entry::Finding(_) | Entry::Action(_) | Entry::Score { .. } => {
                (Effect::Nothing, Cue::Committed)
            }
            // Said by the device or the office, not by the trimmer: nothing to take back.
            Entry::Started(_)
            | Entry::Clock { .. }
            | Entry::Gap { .. }
            | Entry::CalliperFault(_)
            | Entry::PlanLoaded { .. } => return Cue::Committed,
        };
        self.undo.push(seq, effect);
        cue
    }

    /// Drops a sentence that was left half said.
    pub fn on_time(&mut self, now: Micros) -> Option<Cue> {
        if self.sentence == Sentence::Idle || now < self.last_press.after_ms(FORGET_AFTER_MS) {
            return None;
        }
        self.sentence = Sentence::Idle;
        Some(Cue::Dropped)
    }

    /// When [`Self::on_time`] has something to do.
    #[must_use]
    pub fn next_wake(&self) -> Wake {
        match self.sentence {
            Sentence::Idle => Wake::OnInput,
            _ => Wake::At(self.last_press.after_ms(FORGET_AFTER_MS)),
        }
    }

    fn choose(&mut self, foot: Foot) -> Cue {
        let side = match self.claw {
            Some(claw) if claw.foot == foot => claw.side.partner(),
            _ => Side::Lateral,
        };
        let new_foot = self.claw.is_none_or(|claw| claw.foot != foot);
        self.leave_claw();
        self.claw = Some(Claw { foot, side });
        match side {
            Side::Lateral if new_foot && self.due.has(foot) => Cue::FootDue,
            Side::Lateral => Cue::Lateral,
            Side::Medial => Cue::Medial,
        }
    }

    fn enter(&mut self, seq: Seq, number: AnimalNumber, plan: &impl DayPlan) -> Cue {
        self.cow = Some(number);
        self.leave_claw();
        // UNDO reaches back to the cow's own number and no further.
        self.undo.clear();
        self.undo.push(seq, Effect::Entered);
        let (due, cue) = match plan.standing(number) {
            Standing::NoPlan => (Feet::NONE, Cue::Committed),
            Standing::NotListed => (Feet::NONE, Cue::CowUnknown),
            Standing::Listed(Feet::NONE) => (Feet::NONE, Cue::CowKnown),
            Standing::Listed(due) => (due, Cue::CowDue),
        };
        self.due = due;
        cue
    }

    fn take_back(&mut self) {
        match self.undo.pop() {
            Some(Effect::Entered) => {
                self.cow = None;
                self.due = Feet::NONE;
                self.leave_claw();
            }
            Some(Effect::Left(cow)) => self.cow = cow,
            Some(Effect::Walked(true)) => self.walked = self.walked.saturating_sub(1),
            Some(Effect::Walked(false) | Effect::Nothing) | None => {}
        }
    }

    fn leave_claw(&mut self) {
        self.claw = None;
        self.dimension = None;
        self.walked = 0;
    }

    fn length_cue(&self, reading: &Reading, plan: &impl DayPlan) -> Cue {
        if reading.dimension.is_gauge() {
            return Cue::Committed;
        }
        if self.cow.is_none() || reading.place == Place::Cow {
            return Cue::Unplaced;
        }
        let (low, high) = plan.limits_mm(reading.dimension);
        if reading.length < Nanometres::from_mm(i32::from(low)) {
            Cue::TooShort
        } else if reading.length > Nanometres::from_mm(i32::from(high)) {
            Cue::TooLong
        } else {
            Cue::Committed
        }
    }
}
