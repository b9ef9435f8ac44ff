//! The entry grammar: presses and readings in, entries and cues out.
//!
//! ```text
//! Key --Press--> (sentence, press) --step--> key taken | entry | refused
//!                                                          |
//!   device commits the entry in flash -- committed(seq) <--+   only now: cue, cow, undo list
//! ```
//!
//! `press` gives the entry; nothing in the chute changes for good until `committed` says that it is
//! in flash. Otherwise a cue could promise something that a power cut then takes back.

mod asking;
mod clips;
mod cow;
mod digits;
mod heels;
mod lot;
mod press;
mod seen;
mod sentence;
mod spoken;
mod undo;
mod walk;
mod warn;

pub use asking::Told;
pub use clips::Measured;
pub use cow::{DayPlan, Listing, NoPlan, Standing};
pub use press::Press;

use heapless::Vec;
use hornrule_protocol::bundle::MAX_PARTS;
use hornrule_protocol::codes::named::TRIMMED;
use hornrule_protocol::plan::{Need, Needs, Particulars};
use hornrule_protocol::record::Done;
use hornrule_protocol::{AnimalNumber, Claw, Dimension, Entry, Foot, Iso11784, Place, Seq, Side};

use crate::cue::Cue;
use crate::time::{Micros, Wake};
use asking::Asking;
use heels::Heels;
use lot::{Opened, as_drawn};
use seen::Seen;
use sentence::{Sentence, Step};
use spoken::{Before, Spoken};
use undo::{Effect, UndoList};
use walk::Walk;
use warn::Leaving;

/// An unfinished sentence is dropped after this long, so that a key brushed in passing does not
/// swallow the first key of the next sentence.
const FORGET_AFTER_MS: u64 = 15_000;

/// The chute's answer to a press or a clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// To be played at once; nothing to store.
    Cue(Cue),
    /// SIZE SIZE: [`Chute::tell`] has the answer.
    Asked,
    /// To be stored; the cue comes from [`Chute::committed`].
    /// Of a bundle, [`Chute::parts`] are to be stored after it.
    Entry(Entry),
}

/// Cues about one cow: vet, do not trim, due.
type CowCues = Vec<Cue, 3>;

/// What a bundle says of the claw in hand.
type Parts = Vec<Done, MAX_PARTS>;

/// The current cow, foot and claw, and the sentence being keyed.
#[derive(Debug)]
pub struct Chute {
    sentence: Sentence,
    last_press: Micros,
    farm: Option<u8>,
    cow: Option<AnimalNumber>,
    needs: Needs,
    claw: Option<Claw>,
    /// Chosen by SIZE; holds until the claw or the cow changes.
    dimension: Option<Dimension>,
    walk: Walk,
    /// Of the bundle keyed last.
    parts: Parts,
    undo: UndoList,
    asking: Asking,
    /// What the plan knows of the cow in hand; also of one who has just left.
    hers: Particulars,
    spoken: Spoken,
    heels: Heels,
    seen: Seen,
    /// Her row, if she was not seen before: not seen again once her number is taken back.
    first_seen: Option<u16>,
    leaving: Leaving,
    opened: Opened,
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
            farm: None,
            cow: None,
            needs: Needs::NONE,
            claw: None,
            dimension: None,
            walk: Walk::new(),
            parts: Parts::new(),
            undo: UndoList::new(),
            asking: Asking::new(),
            hers: Particulars::NONE,
            spoken: Spoken::new(),
            heels: Heels::new(),
            seen: Seen::new(),
            first_seen: None,
            leaving: Leaving::NOBODY,
            opened: Opened::NONE,
        }
    }

    /// Takes one press.
    pub fn press(&mut self, press: Press, now: Micros, plan: &mut impl DayPlan) -> Answer {
        self.last_press = now;
        let step = sentence::step(self.sentence, press);
        self.sentence = Sentence::Idle;
        match step {
            Step::Go(sentence) => {
                self.sentence = sentence;
                Answer::Cue(Cue::KeyTaken)
            }
            Step::Foot(foot) => Answer::Cue(self.choose(foot, plan)),
            Step::Dimension(dimension) => {
                self.dimension = Some(dimension);
                self.asking.forget();
                Answer::Cue(Cue::KeyTaken)
            }
            Step::Ask => Answer::Asked,
            Step::Bundle(number) => match self.bundle(number, plan) {
                Some(entry) => Answer::Entry(entry),
                None if self.cow.is_some() && plan.bundle(number).is_none() => {
                    Answer::Cue(Cue::NoBundle)
                }
                None => Answer::Cue(self.why_not()),
            },
            Step::Say(said) => match said.entry(self.cow, self.claw) {
                Some(Entry::Action(done)) => {
                    Answer::Entry(Entry::Action(as_drawn(&self.hers, done)))
                }
                Some(entry) => Answer::Entry(entry),
                None => Answer::Cue(self.why_not()),
            },
            Step::TakeBack => match self.undo.last() {
                Some(seq) => Answer::Entry(Entry::Void { seq }),
                None => Answer::Cue(Cue::NothingToUndo),
            },
            Step::Drop => Answer::Cue(Cue::Dropped),
            Step::Refuse => Answer::Cue(Cue::Refused),
        }
    }

    /// Takes what the tag reader sent: a cow's number, or `None` if it was not a number. The cow
    /// counts as in the chute, as if her number had been keyed; an unfinished sentence is dropped,
    /// because it was about the previous cow. Readers stutter: a cow already in the chute only gets
    /// her cue.
    pub fn tag(&mut self, number: Option<Iso11784>) -> Answer {
        let Some(number) = number else { return Answer::Cue(Cue::Refused) };
        if self.cow == Some(AnimalNumber::Tag(number)) {
            return Answer::Cue(Cue::KeyTaken);
        }
        self.sentence = Sentence::Idle;
        Answer::Entry(Entry::Animal(AnimalNumber::Tag(number)))
    }

    /// What the bundle keyed last says, in the order in which it is stored.
    #[must_use]
    pub fn parts(&self) -> &[Done] {
        &self.parts
    }

    /// What else to signal about the cow that has just come in, after the cue for her number.
    pub fn more_of_cow(&self) -> impl Iterator<Item = Cue> + use<> {
        cow_cues(self.needs).into_iter().skip(1)
    }

    /// The entry is in flash under this number: the chute takes it as done. Gives the cue to play;
    /// where it is not itself of the family "in flash", [`Cue::Committed`] is played before it.
    pub fn committed(&mut self, seq: Seq, entry: &Entry, plan: &mut impl DayPlan) -> Cue {
        let (before, warning) = self.note(entry, plan);
        let (effect, cue) = match *entry {
            Entry::Animal(number) => return self.enter(seq, number, plan),
            Entry::AnimalLeft => {
                self.leave();
                let left = self.cow.take();
                self.leave_claw();
                (Effect::Left(left), Cue::Committed)
            }
            Entry::Void { .. } => {
                self.take_back();
                return Cue::Undone;
            }
            Entry::Reading(reading) => (self.walk_on(&reading), self.length_cue(&reading, plan)),
            Entry::Visit { farm } => {
                self.leave();
                (self.seen, self.first_seen) = (Seen::new(), None);
                let before = self.farm.replace(farm);
                let known = plan.has_farm(farm);
                (Effect::Visited(before), if known { Cue::Committed } else { Cue::FarmUnknown })
            }
            Entry::Action(done) if done.action.spreads() => {
                let before = self.walk;
                self.restart(done);
                self.let_go(done.place);
                (Effect::BeganAnew(before), Cue::Committed)
            }
            Entry::Bundle { .. } => {
                let before = self.walk;
                for part in self.parts.clone() {
                    self.restart(part);
                    self.opened.done(&part);
                }
                (Effect::BeganAnew(before), Cue::Committed)
            }
            Entry::Action(done) => {
                self.opened.done(&done);
                (Effect::Nothing, Cue::Committed)
            }
            Entry::Finding(_) | Entry::Score { .. } => (Effect::Nothing, Cue::Committed),
            // Recorded by the device or the office, not by the trimmer: nothing to take back.
            Entry::Started(_)
            | Entry::Clock { .. }
            | Entry::Gap { .. }
            | Entry::CalliperFault(_)
            | Entry::PlanLoaded { .. } => return Cue::Committed,
        };
        self.undo.push(seq, effect, before);
        warning.unwrap_or(cue)
    }

    /// Drops an unfinished sentence.
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

    fn choose(&mut self, foot: Foot, plan: &impl DayPlan) -> Cue {
        let in_hand = self.claw.filter(|claw| claw.foot == foot);
        let side = in_hand.map_or_else(|| plan.first_claw(foot), |claw| claw.side.partner());
        self.leave_claw();
        self.claw = Some(Claw { foot, side });
        match side {
            _ if in_hand.is_none() && self.needs.is_due(foot) => Cue::FootDue,
            Side::Lateral => Cue::Lateral,
            Side::Medial => Cue::Medial,
        }
    }

    /// A bundle of the plan, and its parts of the claw in hand; `None` if the plan has none of this
    /// number, or if there is no cow or claw for it.
    fn bundle(&mut self, number: u8, plan: &mut impl DayPlan) -> Option<Entry> {
        self.cow?;
        let bundle = plan.bundle(number)?;
        let said = bundle.parts().map(|part| part.done(self.claw));
        let done = said.map(|done| done.map(|done| as_drawn(&self.hers, done)));
        let parts: Option<Parts> = done.collect();
        self.parts = parts?;
        // At most MAX_PARTS.
        Some(Entry::Bundle { bundle: number, parts: self.parts.len() as u8 })
    }

    /// Measuring starts from its first step on what was trimmed.
    fn restart(&mut self, done: Done) {
        if done.action.code == TRIMMED {
            self.walk.restart(done.place);
            self.heels.forget(done.place);
        }
    }

    /// After a word about a foot that is not in hand, or about all, no claw is in hand: the next
    /// foot key means the claw where work starts, and a finding cannot go to a claw left behind.
    fn let_go(&mut self, place: Place) {
        if self.claw.is_some_and(|claw| place.foot() != Some(claw.foot)) {
            self.leave_claw();
        }
    }

    fn enter(&mut self, seq: Seq, number: AnimalNumber, plan: &mut impl DayPlan) -> Cue {
        self.come_in(number, plan);
        self.leave_claw();
        self.walk = Walk::new();
        // UNDO reaches back to the cow's own number and no further.
        self.undo.clear();
        self.undo.push(seq, Effect::Entered, Before::NOTHING);
        let (needs, cue) = match plan.standing(self.farm, number) {
            Standing::NoPlan => (Needs::NONE, Cue::Committed),
            Standing::FarmUnknown => (Needs::NONE, Cue::FarmUnknown),
            Standing::NotListed => (Needs::NONE, Cue::CowUnknown),
            Standing::Listed(needs) => {
                (needs, cow_cues(needs).first().copied().unwrap_or(Cue::CowKnown))
            }
        };
        self.needs = needs;
        cue
    }

    fn take_back(&mut self) {
        let Some((effect, before)) = self.undo.pop() else { return };
        match effect {
            Effect::Entered => {
                self.cow = None;
                self.needs = Needs::NONE;
                self.leave_claw();
                self.was_never_in();
            }
            Effect::Left(cow) => self.cow = cow,
            Effect::Walked(claw) => {
                self.walk.back(claw);
                self.heels.bring_back(claw, before);
            }
            Effect::Sized(claw) => self.heels.bring_back(claw, before),
            Effect::BeganAnew(walk) => {
                self.walk = walk;
                self.spoken.bring_back(before);
            }
            Effect::Visited(farm) => self.farm = farm,
            Effect::Nothing => self.spoken.bring_back(before),
        }
    }

    fn leave_claw(&mut self) {
        self.claw = None;
        self.dimension = None;
    }
}

/// What to signal about a cow, most urgent first; nothing if nothing is due.
fn cow_cues(needs: Needs) -> CowCues {
    let said = [
        (needs.has(Need::Vet), Cue::Vet),
        (needs.has(Need::DoNotTrim), Cue::DoNotTrim),
        (needs.is_any_due(), Cue::CowDue),
    ];
    said.into_iter().filter(|(holds, _)| *holds).map(|(_, cue)| cue).collect()
}
