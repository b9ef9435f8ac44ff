//! The way of gluing that was drawn for each claw of the cow in the chute.
//!
//! ```text
//! DO 10 on a claw with way 2 --> DO 12 sealed --committed--> "in flash", then way 2 by count
//! ```
//!
//! A way is told when a block is in flash, and not before: whoever knows it first may choose another
//! cow. What was told stays told, also after UNDO. The page of the rules is
//! `host/questions/src/lot/LOT.md`.

use heapless::Vec;
use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::codes::named::BLOCK_USUAL;
use hornrule_protocol::plan::{Particulars, place};
use hornrule_protocol::record::Done;
use hornrule_protocol::{Action, Claw, Entry, Place};

use super::Chute;
use crate::cue::Cue;

/// Ways told of one sentence: those of the two claws of a foot.
pub(super) type Ways = Vec<Cue, 2>;

/// What was drawn, and of which claws it has been told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lot {
    /// A nibble a claw, 0 for none.
    ways: u32,
    /// A bit a claw: a block was said of it.
    told: u8,
}

impl Lot {
    /// Nothing drawn.
    pub(super) const NONE: Self = Self { ways: 0, told: 0 };

    /// Of a cow who comes in.
    pub(super) fn of(hers: &Particulars) -> Self {
        let way = |claw| u32::from(hers.way(claw).unwrap_or(0)) << (4 * place(claw));
        Self { ways: Claw::all().map(way).sum(), told: 0 }
    }

    const fn way(self, claw: Claw) -> u8 {
        (self.ways >> (4 * place(claw)) & 0xF) as u8
    }

    /// The usual way on a drawn claw is the one that was drawn.
    pub(super) fn as_drawn(self, done: Done) -> Done {
        let Place::Claw(claw) = done.place else { return done };
        match self.way(claw) {
            way if way > 0 && done.action.code == BLOCK_USUAL => {
                let action = Action::from_code(BLOCK_USUAL + way).unwrap_or(done.action);
                Done { action, ..done }
            }
            _ => done,
        }
    }

    /// Notes that a block was said, in flash.
    pub(super) fn say(&mut self, done: &Done) {
        if let (ActionKind::BlockOn, Place::Claw(claw)) = (done.action.kind, done.place) {
            self.told |= 1 << place(claw);
        }
    }

    /// The way of a claw, if it may be told.
    pub(super) fn told(self, claw: Claw) -> Option<Cue> {
        let said = self.told >> place(claw) & 1 == 1;
        Cue::drawn_way(self.way(claw)).filter(|_| said)
    }
}

impl Chute {
    /// The ways to be told of a sentence that is in flash, after its cue.
    pub fn drawn(&self, entry: &Entry) -> impl Iterator<Item = Cue> + use<> {
        let mut ways = Ways::new();
        let mut add = |done: &Done| {
            let way = match (done.action.kind, done.place) {
                (ActionKind::BlockOn, Place::Claw(claw)) => self.lot.told(claw),
                _ => None,
            };
            if let Some(way) = way.filter(|way| !ways.contains(way)) {
                // Blocks of a bundle are on the two claws of a foot.
                let _fits = ways.push(way);
            }
        };
        match entry {
            Entry::Action(done) => add(done),
            Entry::Bundle { .. } => self.parts.iter().for_each(add),
            _ => {}
        }
        ways.into_iter()
    }

    /// The way of the claw in hand, if a block was said of it.
    pub(super) fn drawn_in_hand(&self) -> Option<Cue> {
        self.claw.and_then(|claw| self.lot.told(claw))
    }
}
