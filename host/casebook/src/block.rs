//! Blocks: glued, seen on, taken off, lost.

use hornrule_facts::codes::{
    BLOCK_LOST, BLOCK_OFF_DONE, BLOCK_OFF_LOOSE, BLOCK_OFF_SORE, BLOCK_OFF_TWISTED, BLOCK_OFF_WORN,
    BLOCK_STILL_ON, CLAW_COLD, CLAW_WET, TRIMMED,
};
use hornrule_facts::spread::amputated;
use hornrule_facts::{AnimalId, Closing, Day, Duty, Fact, HerdId, Key, Told, What};
use hornrule_protocol::Place;
use hornrule_protocol::codes::ActionKind;

/// How a block ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Off {
    /// Taken off by us.
    TakenOff,
    /// Found lost.
    Lost,
    /// Another one was glued there, and nobody said what became of this one.
    Replaced,
    /// The claw was trimmed to form, which nobody does with a block on.
    Trimmed,
    /// The office was told that it is off.
    Told,
    /// The digit is gone, and the block with it.
    Amputated,
}

/// Why we took a block off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// Its work is done.
    Done,
    /// It is worn down.
    Worn,
    /// It was loose.
    Loose,
    /// It had twisted.
    Twisted,
    /// The claw under it was sore.
    Sore,
}

impl Reason {
    /// Every reason.
    pub const ALL: [Self; 5] = [Self::Done, Self::Worn, Self::Loose, Self::Twisted, Self::Sore];

    /// The reason that an action gives; `None` where it gives none.
    #[must_use]
    pub fn of(action: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|reason| reason.action() == action)
    }

    /// The action that gives it.
    #[must_use]
    pub const fn action(self) -> u8 {
        match self {
            Self::Done => BLOCK_OFF_DONE,
            Self::Worn => BLOCK_OFF_WORN,
            Self::Loose => BLOCK_OFF_LOOSE,
            Self::Twisted => BLOCK_OFF_TWISTED,
            Self::Sore => BLOCK_OFF_SORE,
        }
    }

    /// Whether the glue had let go: the block would have been lost, and counts as lost that day.
    #[must_use]
    pub const fn let_go(self) -> bool {
        matches!(self, Self::Loose | Self::Twisted)
    }
}

/// A block on a claw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// The record that glued it, or first saw it.
    pub id: Key,
    /// Whose herd.
    pub herd: HerdId,
    /// Which cow.
    pub animal: AnimalId,
    /// Its claw.
    pub place: Place,
    /// The way it was glued: the action keyed, 10 to 19; `None` where nobody recorded that.
    pub way: Option<u8>,
    /// The claws of the foot were cold when it was glued.
    pub cold: bool,
    /// They were wet.
    pub wet: bool,
    /// When it was glued, or first seen.
    pub on: Day,
    /// Later days on which it was seen on.
    pub seen: Vec<Day>,
    /// Whether it was on when it was first looked at 10 to 20 days after gluing; `None` where nobody
    /// looked then.
    pub at_recheck: Option<bool>,
    /// Its end; `None` while it is on.
    pub off: Option<(Day, Off)>,
    /// Why we took it off, where that was said.
    pub reason: Option<Reason>,
}

/// The first recheck: about two weeks (common practice, no source), and what still counts as it.
const RECHECK_DAYS: std::ops::RangeInclusive<i32> = 10..=20;

impl Block {
    fn looked_at(&mut self, day: Day, on: bool) {
        if RECHECK_DAYS.contains(&(day.0 - self.on.0)) && self.at_recheck.is_none() {
            self.at_recheck = Some(on);
        }
    }

    /// The last day on which it was known to be on.
    #[must_use]
    pub fn known_on(&self) -> Day {
        match self.off {
            Some((day, Off::TakenOff)) if !self.let_go() => day,
            _ => self.seen.last().copied().unwrap_or(self.on),
        }
    }

    fn let_go(&self) -> bool {
        self.reason.is_some_and(Reason::let_go)
    }

    /// The day on which it was found lost, or so loose or twisted that it was taken off.
    #[must_use]
    pub fn failed(&self) -> Option<Day> {
        let failed = |(_, how): &(Day, Off)| *how == Off::Lost || self.let_go();
        self.off.filter(failed).map(|(day, _)| day)
    }

    fn ends(&mut self, day: Day, how: Off) {
        match how {
            Off::TakenOff => self.looked_at(day, !self.let_go()),
            Off::Lost => self.looked_at(day, false),
            Off::Replaced | Off::Trimmed | Off::Told | Off::Amputated => {}
        }
        self.off = Some((day, how));
    }
}

/// The last block on a claw that is not off.
fn on_claw(blocks: &mut [Block], place: Place) -> Option<&mut Block> {
    blocks.iter_mut().rev().find(|block| block.off.is_none() && block.place == place)
}

/// Takes a day's facts, which are in the order of time.
pub(super) fn take<'a>(
    blocks: &mut Vec<Block>,
    on: Day,
    facts: impl Iterator<Item = &'a Fact> + Clone,
) {
    for fact in facts.clone() {
        let What::Action(done) = fact.what else { continue };
        match (done.action.kind, done.action.code()) {
            (ActionKind::BlockOn, way) => {
                if let Some(block) = on_claw(blocks, fact.place) {
                    block.ends(on, Off::Replaced);
                }
                blocks.push(new(fact, Some(way)));
            }
            (_, BLOCK_STILL_ON) => match on_claw(blocks, fact.place) {
                Some(block) => {
                    block.looked_at(on, true);
                    if on > block.on && !block.seen.contains(&on) {
                        block.seen.push(on);
                    }
                }
                None => blocks.push(new(fact, None)),
            },
            (_, code) if code == BLOCK_LOST || done.action.takes_block_off() => {
                let how = if code == BLOCK_LOST { Off::Lost } else { Off::TakenOff };
                for block in blocks.iter_mut().filter(|block| block.off.is_none()) {
                    // Said of a foot it is about both of its claws.
                    let whole = matches!(fact.place, Place::Foot(_));
                    let same_foot = whole && block.place.foot() == fact.place.foot();
                    if block.place == fact.place || same_foot {
                        block.reason = Reason::of(code);
                        block.ends(on, how);
                    }
                }
            }
            _ => {}
        }
    }
    glued_in(blocks, on, facts.clone());
    for claw in facts.clone().filter_map(amputated) {
        if let Some(block) = on_claw(blocks, Place::Claw(claw)) {
            block.ends(on, Off::Amputated);
        }
    }
    // Last of the day: what was said of the block itself goes before what trimming implies.
    for fact in facts {
        let What::Action(done) = fact.what else { continue };
        // "All four feet" is said in passing: a block ends by a word about it or its claw.
        if done.action.code() == TRIMMED
            && !fact.whole
            && let Some(block) = on_claw(blocks, fact.place)
            && block.on < on
        {
            block.ends(on, Off::Trimmed);
        }
    }
}

/// How the claws were when blocks were glued: said of the foot, before or after the block.
fn glued_in<'a>(blocks: &mut [Block], on: Day, facts: impl Iterator<Item = &'a Fact>) {
    for fact in facts {
        let What::Finding(finding) = fact.what else { continue };
        let code = finding.lesion.code();
        let glued = |block: &&mut Block| block.on == on && block.way.is_some();
        let here = |block: &&mut Block| block.place.foot() == fact.place.foot();
        for block in blocks.iter_mut().filter(glued).filter(here) {
            block.cold |= code == CLAW_COLD;
            block.wet |= code == CLAW_WET;
        }
    }
}

fn new(fact: &Fact, way: Option<u8>) -> Block {
    Block {
        id: fact.key,
        herd: fact.herd,
        // An action is some cow's.
        animal: fact.animal.unwrap_or(AnimalId(0)),
        place: fact.place,
        way,
        cold: false,
        wet: false,
        on: fact.day,
        seen: Vec::new(),
        at_recheck: None,
        off: None,
        reason: None,
    }
}

/// The office was told that a block is off.
pub(super) fn close(blocks: &mut [Block], closing: &Closing) {
    if closing.what != Told::Done(Duty::BlockOff) {
        return;
    }
    for block in blocks.iter_mut().filter(|block| block.off.is_none()) {
        if closing.is_about(block.place, block.on) {
            block.ends(closing.day, Off::Told);
        }
    }
}
