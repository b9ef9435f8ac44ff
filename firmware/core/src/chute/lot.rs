//! The way of gluing that was drawn for each claw of the cow in hand.
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
type Ways = Vec<Cue, 2>;

/// Claws of the cow in hand of which a block was said, in flash: only their ways may be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Opened(u8);

impl Opened {
    /// None.
    pub(super) const NONE: Self = Self(0);

    /// Something was done, and is in flash.
    pub(super) fn done(&mut self, done: &Done) {
        if let Some(claw) = claw_of_block(done) {
            self.0 |= 1 << place(claw);
        }
    }

    const fn has(self, claw: Claw) -> bool {
        self.0 >> place(claw) & 1 == 1
    }
}

/// The claw that a block was glued on.
fn claw_of_block(done: &Done) -> Option<Claw> {
    match (done.action.kind, done.place) {
        (ActionKind::BlockOn, Place::Claw(claw)) => Some(claw),
        _ => None,
    }
}

/// The usual way on a drawn claw is the one that was drawn.
pub(super) fn as_drawn(hers: &Particulars, done: Done) -> Done {
    let way = claw_of_block(&done).and_then(|claw| hers.way(claw));
    match way {
        Some(way) if done.action.code == BLOCK_USUAL => {
            let action = Action::from_code(BLOCK_USUAL + way).unwrap_or(done.action);
            Done { action, ..done }
        }
        _ => done,
    }
}

impl Chute {
    /// The ways to be told of a sentence that is in flash, after its cue.
    pub fn drawn(&self, entry: &Entry) -> impl Iterator<Item = Cue> + use<> {
        let mut ways = Ways::new();
        let mut add = |done: &Done| {
            let way = claw_of_block(done).and_then(|claw| self.way_told(claw));
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

    /// The way of the claw in hand, if it may be told.
    pub(super) fn drawn_in_hand(&self) -> Option<Cue> {
        self.claw.and_then(|claw| self.way_told(claw))
    }

    fn way_told(&self, claw: Claw) -> Option<Cue> {
        self.hers.way(claw).filter(|_| self.opened.has(claw)).and_then(Cue::drawn_way)
    }
}
