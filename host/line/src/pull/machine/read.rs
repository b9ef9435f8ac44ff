//! Batches: for the inbox, to be compared with it, or to fill what was missing in it.

use hornrule_protocol::message::{Hello, Request};
use hornrule_protocol::{Sealed, Seq};

use super::super::error::PullError;
use super::super::step::{Batch, Do};
use super::{Goal, MOST_MEANWHILE, MOST_REREADS, Machine, State, Stream, WINDOW};

impl Goal {
    /// Last number wanted; `None` for all there is.
    const fn through(self) -> Option<Seq> {
        match self {
            Self::News => None,
            Self::Compare(through) | Self::Again(through) => Some(through),
        }
    }
}

impl Machine {
    pub(super) fn on_batch(
        &mut self,
        stream: Stream,
        (from, through): (Seq, Seq),
        bytes: &[u8],
    ) -> Result<Vec<Do>, PullError> {
        if from > through {
            return Err(PullError::Contradiction("a batch ends before it begins"));
        }
        let hello = self.greeted()?;
        if through.0 >= hello.next.0.saturating_add(MOST_MEANWHILE) {
            return Err(PullError::Contradiction("it sends records that it said it has not"));
        }
        if from > self.expected {
            return self.reread();
        }
        if through < self.expected {
            return Ok(Vec::new());
        }
        let mut sealed = split(bytes, from, through)?;
        let Hello { device, log, .. } = hello;
        let (mut first, mut last) = (from, through);
        if let Some(goal) = stream.goal.through() {
            // No more than was asked for.
            (first, last) = (self.expected, through.min(goal));
            sealed.retain(|one| first <= one.seq() && one.seq() <= last);
        }
        self.step();
        self.expected = last.next();
        self.state = State::Storing(Stream { batches: stream.batches + 1, ..stream });
        let batch = Batch { device, log, from: first, through: last, sealed };
        Ok(vec![match stream.goal {
            Goal::News => Do::Store(batch),
            Goal::Compare(_) => Do::Compare(batch),
            Goal::Again(_) => Do::Fill(batch),
        }])
    }

    pub(super) fn on_stored(&mut self) -> Result<Vec<Do>, PullError> {
        let State::Storing(stream) = self.state else { return Ok(Vec::new()) };
        let Stream { goal, batches, granted } = stream;
        if goal.through().is_some_and(|through| self.expected > through) {
            return Ok(self.reached(goal));
        }
        // One batch at a time where few are wanted: what is not wanted is not sent.
        let (low, window) = if goal == Goal::News { (WINDOW / 2, WINDOW) } else { (0, 1) };
        if granted - batches > low {
            self.state = State::Reading(stream);
            return Ok(Vec::new());
        }
        let granted = batches + window;
        self.state = State::Reading(Stream { goal, batches, granted });
        Ok(vec![self.send(Request::Credit { batches: granted })])
    }

    pub(super) fn on_end(&mut self, goal: Goal, next: Seq) -> Result<Vec<Do>, PullError> {
        if next > self.expected {
            // The last batch did not arrive.
            return self.reread();
        }
        self.step();
        if goal != Goal::News {
            return Ok(self.reached(goal));
        }
        self.end = self.expected.previous();
        self.ended = true;
        self.state = State::Waiting;
        Ok(vec![Do::Settle(self.end)])
    }

    /// Everything that was to be read for this is read.
    fn reached(&mut self, goal: Goal) -> Vec<Do> {
        if let Goal::Again(_) = goal {
            return self.next_gap();
        }
        self.state = State::Waiting;
        vec![if self.ended { Do::Consent } else { Do::Judge }]
    }

    /// Something before this is missing: it is asked for again.
    fn reread(&mut self) -> Result<Vec<Do>, PullError> {
        self.repeats = self.repeats.saturating_add(1);
        self.rereads += 1;
        if self.rereads >= MOST_REREADS {
            return Err(PullError::Stuck);
        }
        Ok(vec![self.read()])
    }

    /// Reads from this number on.
    pub(super) fn read_from(&mut self, from: Seq, goal: Goal) -> Do {
        (self.expected, self.goal) = (from, goal);
        self.read()
    }

    /// Reads on from the number that is wanted next.
    pub(super) fn read(&mut self) -> Do {
        let goal = self.goal;
        let credit = if goal == Goal::News { WINDOW } else { 1 };
        self.state = State::Reading(Stream { goal, batches: 0, granted: credit });
        let log = self.log();
        self.ask(Request::Read { log, from: self.expected, credit })
    }
}

/// Cuts a batch into records and checks that their numbers rise within the batch.
fn split(mut bytes: &[u8], from: Seq, through: Seq) -> Result<Vec<Sealed>, PullError> {
    let mut sealed = Vec::new();
    let mut least = from;
    while !bytes.is_empty() {
        let (one, rest) = Sealed::split_first(bytes)
            .map_err(|_| PullError::Contradiction("a batch holds something else than records"))?;
        if one.seq() < least || one.seq() > through {
            return Err(PullError::Contradiction("a record's number is out of its batch"));
        }
        least = one.seq().next();
        sealed.push(one);
        bytes = rest;
    }
    Ok(sealed)
}
