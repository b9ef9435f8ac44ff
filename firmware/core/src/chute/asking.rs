//! SIZE SIZE: what the moment raises, told as counts.
//!
//! ```text
//! cues heard --> raised: [ look out 21 ] --1st--> its count
//!                claw in hand            --2nd--> the next clip
//!                foot or cow due         --3rd--> why, or which feet     then the 1st again
//! ```

use heapless::Vec;
use hornrule_protocol::Foot;
use hornrule_protocol::plan::{Need, Needs, Particulars};

use super::{Chute, DayPlan};
use crate::cue::{Count, Cue, Signal};

/// Most cues remembered of one moment: the newest are dropped, they can be asked for when they
/// sound again.
const RAISED: usize = 6;

/// The answers to one question.
pub type Told = Vec<Signal, 8>;

/// What was heard last, and how often it was asked about.
#[derive(Debug)]
pub(super) struct Asking {
    raised: Vec<Cue, RAISED>,
    asked: u8,
    /// The cues that come next are the answer itself.
    telling: bool,
}

impl Asking {
    pub(super) const fn new() -> Self {
        Self { raised: Vec::new(), asked: 0, telling: false }
    }

    /// Something was chosen that only a tick tells of: what was heard before is no longer asked for.
    pub(super) fn forget(&mut self) {
        self.raised.clear();
        self.asked = 0;
    }

    /// Takes what one input was answered with. A key's tick raises nothing and ends nothing.
    fn heard(&mut self, signals: &[Signal]) {
        if core::mem::take(&mut self.telling) {
            return;
        }
        let mut new = signals.iter().map(|signal| signal.cue).filter(|cue| *cue != Cue::KeyTaken);
        let Some(first) = new.next() else { return };
        self.asked = 0;
        self.raised =
            core::iter::once(first).chain(new).filter(|cue| raises(*cue)).take(RAISED).collect();
    }
}

/// Whether there is more to tell about it.
fn raises(cue: Cue) -> bool {
    matches!(cue, Cue::CowKnown | Cue::CowDue | Cue::FootDue) || cue.count() != Count::Untold
}

/// Adds a cue to an answer. One that is longer than anybody listens to loses its end.
fn add(told: &mut Told, cue: Cue) {
    let _end_lost = told.push(cue.told());
}

impl Chute {
    /// Takes what one input was answered with, in the order in which it is played.
    pub fn heard(&mut self, signals: &[Signal]) {
        self.asking.heard(signals);
    }

    /// Answers SIZE SIZE: asked again at once, with the next thing that there is to tell.
    pub fn tell(&mut self, plan: &impl DayPlan) -> Told {
        let mut answers: Vec<Told, 4> = Vec::new();
        let drawn = self.drawn_in_hand().map(Cue::told).into_iter().collect();
        for answer in [self.tell_raised(), drawn, self.tell_next_clip(plan), self.tell_due()] {
            if !answer.is_empty() && !answers.contains(&answer) {
                // Four at most.
                let _fits = answers.push(answer);
            }
        }
        self.asking.telling = true;
        let at = usize::from(self.asking.asked).checked_rem(answers.len());
        let Some(at) = at else {
            let why = self.why_not();
            self.asking.raised = core::iter::once(why).collect();
            return core::iter::once(why.signal()).collect();
        };
        self.asking.asked = (at as u8 + 1) % answers.len() as u8;
        answers.swap_remove(at)
    }

    fn tell_raised(&self) -> Told {
        let mut told = Told::new();
        for cue in &self.asking.raised {
            match cue {
                Cue::CowKnown => add(&mut told, Cue::DueNothing),
                Cue::CowDue | Cue::FootDue => told.extend(self.tell_due()),
                Cue::NotSpokenOf => {
                    add(&mut told, *cue);
                    let feet = self.not_spoken_of();
                    let silent = |foot: Foot| feet >> foot.number() & 1 == 1;
                    feet_where(silent).for_each(|cue| add(&mut told, cue));
                }
                _ => add(&mut told, *cue),
            }
        }
        told
    }

    fn tell_next_clip(&self, plan: &impl DayPlan) -> Told {
        self.next_clip(plan).map(Cue::told).into_iter().collect()
    }

    /// Why the foot in hand is due; with none in hand, which feet of the cow are.
    fn tell_due(&self) -> Told {
        let mut told = Told::new();
        match self.claw {
            Some(claw) => {
                why(self.needs, &self.hers, claw.foot).for_each(|cue| add(&mut told, cue))
            }
            None => which(self.needs).for_each(|cue| add(&mut told, cue)),
        }
        told
    }

    /// What is missing for a sentence that could not be taken.
    pub(super) const fn why_not(&self) -> Cue {
        match (self.cow, self.claw) {
            (None, _) => Cue::NoCow,
            (Some(_), _) => Cue::NoClaw,
        }
    }
}

fn holding(said: impl IntoIterator<Item = (bool, Cue)>) -> impl Iterator<Item = Cue> {
    said.into_iter().filter(|(holds, _)| *holds).map(|(_, cue)| cue)
}

fn why(needs: Needs, hers: &Particulars, foot: Foot) -> impl Iterator<Item = Cue> {
    // A plan before version 3 does not hold blocks and wraps apart.
    let apart = hers.has_wrap(foot);
    holding([
        (needs.has(Need::Recheck(foot)), Cue::DueRecheck),
        (needs.has(Need::BlockOff(foot)) && (!apart || hers.has_block(foot)), Cue::DueBlockOff),
        (needs.has(Need::BlockOff(foot)) && apart, Cue::DueWrapOff),
        (needs.has(Need::TrimFoot(foot)), Cue::DueTrim),
    ])
}

fn which(needs: Needs) -> impl Iterator<Item = Cue> {
    holding([(needs.has(Need::WholeCow), Cue::DueWhole)])
        .chain(feet_where(move |foot| needs.is_due(foot)))
}

fn feet_where(holds: impl Fn(Foot) -> bool) -> impl Iterator<Item = Cue> {
    let feet = [
        (Foot::LeftFore, Cue::DueLf),
        (Foot::RightFore, Cue::DueRf),
        (Foot::LeftHind, Cue::DueLh),
        (Foot::RightHind, Cue::DueRh),
    ];
    feet.into_iter().filter(move |(foot, _)| holds(*foot)).map(|(_, cue)| cue)
}
