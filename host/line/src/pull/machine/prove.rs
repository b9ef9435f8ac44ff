//! Whether the handheld holds what is stored: before anything is read, and before the release.
//!
//! ```text
//! runs --Digest--> the same: Proved      --> read the news
//!         |  |
//!         |  +---> another, or unknown --> read the run again: Compare.. --> Judge
//! after the news:  Settle --> gaps, read again: Fill.. --> Confirm --> runs --Digest--> Release
//!                                                                      other: Compare.. --> Consent
//! ```

use hornrule_protocol::message::Request;
use hornrule_protocol::{LogId, Seq};

use super::super::step::{Do, Run};
use super::{Goal, Machine, State};

impl Machine {
    /// Answers [`Do::Meet`]: the runs that are stored and would show which log this is, likely ones
    /// first; none where there is nothing to prove it by.
    pub fn met(&mut self, runs: Vec<Run>) -> Vec<Do> {
        if self.state != State::Waiting || self.ended {
            return Vec::new();
        }
        self.runs = runs;
        if self.runs.is_empty() || !self.provable {
            return vec![Do::Judge];
        }
        vec![self.prove(0)]
    }

    /// Answers [`Do::Settle`]: runs of numbers to be read again, ascending.
    pub fn settled(&mut self, mut gaps: Vec<(Seq, Seq)>) -> Vec<Do> {
        if self.state != State::Waiting || !self.ended {
            return Vec::new();
        }
        gaps.reverse();
        self.gaps = gaps;
        self.next_gap()
    }

    /// Answers [`Do::Confirm`]: the runs to be proved before the release; `None` where nothing is to
    /// be released.
    pub fn confirmed(&mut self, runs: Option<Vec<Run>>) -> Vec<Do> {
        if self.state != State::Waiting || !self.ended {
            return Vec::new();
        }
        let Some(runs) = runs else { return vec![self.finish(None, true)] };
        self.runs = runs;
        if !self.provable || !self.digests {
            return self.release();
        }
        self.confirm(0)
    }

    /// Answers [`Do::Consent`]: whether what was compared allows the release.
    pub fn consented(&mut self, consents: bool) -> Vec<Do> {
        if self.state != State::Waiting || !self.ended {
            return Vec::new();
        }
        if !consents {
            return vec![self.finish(None, true)];
        }
        self.runs.remove(0);
        self.confirm(0)
    }

    pub(super) fn on_proof(&mut self, at: usize, said: Run) -> Vec<Do> {
        self.step();
        if self.runs.get(at) == Some(&said) {
            self.state = State::Waiting;
            return vec![Do::Proved(at)];
        }
        if at + 1 < self.runs.len() {
            return vec![self.prove(at + 1)];
        }
        self.compare()
    }

    pub(super) fn on_confirmation(&mut self, at: usize, said: Run) -> Vec<Do> {
        self.step();
        match self.runs.get(at) {
            Some(run) if *run != said => {
                let Run { from, through, .. } = *run;
                // What was confirmed is done with.
                self.runs.drain(..at);
                vec![self.read_from(from, Goal::Compare(through))]
            }
            _ => self.confirm(at + 1),
        }
    }

    /// Reads all that is to be proved again, to be compared byte by byte.
    pub(super) fn compare(&mut self) -> Vec<Do> {
        let from = self.runs.iter().map(|run| run.from).min();
        let through = self.runs.iter().map(|run| run.through).max();
        match from.zip(through) {
            Some((from, through)) => vec![self.read_from(from, Goal::Compare(through))],
            None => vec![Do::Judge],
        }
    }

    pub(super) fn next_gap(&mut self) -> Vec<Do> {
        match self.gaps.pop() {
            Some((from, through)) => vec![self.read_from(from, Goal::Again(through))],
            None => {
                self.state = State::Waiting;
                vec![Do::Confirm(self.end)]
            }
        }
    }

    pub(super) fn release(&mut self) -> Vec<Do> {
        self.state = State::Releasing;
        let log = self.log();
        vec![self.ask(Request::Release { log, through: self.end })]
    }

    fn prove(&mut self, at: usize) -> Do {
        self.state = State::Proving { at };
        self.ask_digest(at)
    }

    fn confirm(&mut self, at: usize) -> Vec<Do> {
        if at >= self.runs.len() {
            return self.release();
        }
        self.state = State::Confirming { at };
        vec![self.ask_digest(at)]
    }

    fn ask_digest(&mut self, at: usize) -> Do {
        let log = self.log();
        // Both callers have looked whether there is such a run.
        let run = self.runs.get(at);
        let (from, through) = run.map_or((Seq::FIRST, Seq::FIRST), |run| (run.from, run.through));
        self.ask(Request::Digest { log, from, through })
    }

    /// Without a hello there is no log; the greeting comes first by construction.
    pub(super) fn log(&self) -> LogId {
        self.hello.map_or(LogId(0), |hello| hello.log)
    }
}
