//! What UNDO can take back: the current cow's sentences, newest last.

use heapless::Deque;
use hornrule_protocol::{AnimalNumber, Claw, Seq};

use super::spoken::Before;
use super::walk::Walk;

/// What a sentence changed in the chute, to be reversed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Effect {
    Nothing,
    /// The cow came in.
    Entered,
    /// The cow left.
    Left(Option<AnimalNumber>),
    /// A clip that advanced the measuring order of its claw.
    Walked(Claw),
    /// A clip on a claw that SIZE had named.
    Sized(Claw),
    /// Claws were trimmed and their order started again. How far all had been.
    BeganAnew(Walk),
    /// Work began at another farm; the one before it.
    Visited(Option<u8>),
}

/// Sentences remembered. If a cow has more, the newest are kept; older ones can be corrected in the
/// office. Eight claws with three lengths, a finding and an action each make 40.
const REMEMBERED: usize = 48;

#[derive(Debug)]
pub(super) struct UndoList(Deque<(Seq, Effect, Before), REMEMBERED>);

impl UndoList {
    pub(super) const fn new() -> Self {
        Self(Deque::new())
    }

    pub(super) fn clear(&mut self) {
        self.0.clear();
    }

    pub(super) fn last(&self) -> Option<Seq> {
        self.0.back().map(|(seq, ..)| *seq)
    }

    pub(super) fn push(&mut self, seq: Seq, effect: Effect, before: Before) {
        if self.0.is_full() {
            let _oldest = self.0.pop_front();
        }
        // There is room: the oldest was just removed if there was none.
        let _fits = self.0.push_back((seq, effect, before));
    }

    pub(super) fn pop(&mut self) -> Option<(Effect, Before)> {
        self.0.pop_back().map(|(_, effect, before)| (effect, before))
    }
}
