//! A virtual handheld and the exercise that is being said to it.

use std::rc::Rc;

use hornrule_board_sim::Rehearsal;
use hornrule_core::cue::Signal;
use hornrule_core::keypad::Key;
use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{Entry, Seq};

use super::super::Failure;
use crate::practise::{Event, Exercise, Session};
use hornrule_line::keying::Stroke;
use hornrule_papers::words::Words;

/// A cue that was heard so many times in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Answer {
    pub(super) signal: Signal,
    pub(super) times: u32,
}

/// The handheld, its trainee, and what was answered.
pub(super) struct Stage {
    handheld: Rehearsal,
    session: Session,
    answers: Vec<Answer>,
    /// Cues not yet played.
    unplayed: Vec<Signal>,
    last: Option<Stroke>,
    /// Whether the answer is shown.
    pub(super) shows_keys: bool,
    /// Whether it ever was.
    pub(super) was_shown: bool,
    /// Which part of the table of sentences is shown.
    pub(super) sentences: Option<usize>,
}

impl Stage {
    /// A fresh handheld to which what the exercise gives was said.
    pub(super) fn new(exercise: Exercise, words: &Rc<Words>) -> Result<Self, Failure> {
        let mut handheld = Rehearsal::with_plan(&exercise.plan).map_err(Failure::Said)?;
        for stroke in &exercise.given {
            let jaws = Session::new(exercise.clone(), words, &flash(&handheld)).jaws();
            let struck = match stroke {
                Stroke::Key(key) => handheld.press(*key),
                Stroke::Clip => handheld.clip(jaws, UnitMode::Millimetre),
            };
            struck.map_err(Failure::Said)?;
        }
        handheld.heard();
        Ok(Self {
            session: Session::new(exercise, words, &flash(&handheld)),
            handheld,
            answers: Vec::new(),
            unplayed: Vec::new(),
            last: None,
            shows_keys: false,
            was_shown: false,
            sentences: None,
        })
    }

    /// Shows the keys, or hides them.
    pub(super) fn turn_keys(&mut self) {
        self.shows_keys = !self.shows_keys;
        self.was_shown |= self.shows_keys;
    }

    /// One stroke, and what comes of it.
    pub(super) fn strike(&mut self, stroke: Stroke) -> Result<(), Failure> {
        self.last = Some(stroke);
        self.session.on(Event::Stroke(stroke), self.handheld.now_ms());
        let struck = match stroke {
            Stroke::Key(key) => self.handheld.press(key),
            Stroke::Clip => self.handheld.clip(self.session.jaws(), UnitMode::Millimetre),
        };
        struck.map_err(Failure::Said)?;
        self.settle();
        Ok(())
    }

    /// Time goes on, in milliseconds since the handheld was switched on.
    pub(super) fn run_until_ms(&mut self, ms: u64) {
        self.handheld.run_until_ms(ms);
        self.settle();
    }

    pub(super) const fn now_ms(&self) -> u64 {
        self.handheld.now_ms()
    }

    pub(super) const fn session(&self) -> &Session {
        &self.session
    }

    pub(super) fn answers(&self) -> &[Answer] {
        &self.answers
    }

    /// The key that was pressed last.
    pub(super) const fn last_key(&self) -> Option<Key> {
        match self.last {
            Some(Stroke::Key(key)) => Some(key),
            Some(Stroke::Clip) | None => None,
        }
    }

    /// Cues since this was last asked, to be played.
    pub(super) fn take_cues(&mut self) -> Vec<Signal> {
        std::mem::take(&mut self.unplayed)
    }

    fn settle(&mut self) {
        let (now_ms, cues) = (self.handheld.now_ms(), self.handheld.heard());
        if cues.is_empty() {
            return;
        }
        for signal in &cues {
            self.session.on(Event::Cue(*signal), now_ms);
            match self.answers.last_mut() {
                Some(last) if last.signal == *signal => last.times += 1,
                _ => self.answers.push(Answer { signal: *signal, times: 1 }),
            }
        }
        self.unplayed.extend(cues);
        // Nothing comes into flash without a cue.
        self.session.on(Event::Flash(flash(&self.handheld)), now_ms);
    }
}

fn flash(handheld: &Rehearsal) -> Vec<(Seq, Entry)> {
    handheld.in_flash().into_iter().map(|(seq, record)| (seq, record.entry)).collect()
}
