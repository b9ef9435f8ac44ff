//! One exercise being said: strokes, cues and flash in; state and notes out.
//!
//! ```text
//!            stroke               flash = wants
//!  Waiting ----------> Saying --------------------> Done
//!     | cue, flash: noted  | cue, flash: noted         | everything: nothing more
//! ```

use std::rc::Rc;

use hornrule_core::cue::{Cue, Signal};
use hornrule_core::keypad::Key;
use hornrule_protocol::{Entry, Nanometres, Seq};

use super::exercise::Exercise;
use super::{meaning, refusal, slip};
use hornrule_line::keying::{Stroke, standing};
use hornrule_papers::words::{Say, Words};

/// Where an exercise stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Nothing was keyed yet.
    Waiting,
    /// Since this time (ms).
    Saying {
        /// When the first key came.
        since_ms: u64,
    },
    /// It is in flash.
    Done {
        /// From the first key to the last entry in flash, milliseconds.
        took_ms: u64,
    },
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// A key or a clip.
    Stroke(Stroke),
    /// The handheld answered.
    Cue(Signal),
    /// All records in flash, as a power cut would leave them.
    Flash(Vec<(Seq, Entry)>),
}

/// An exercise, and how it goes.
#[derive(Clone, Debug)]
pub struct Session {
    exercise: Exercise,
    words: Rc<Words>,
    state: State,
    notes: Vec<String>,
    slips: u32,
    strokes: u32,
    /// Keys of the sentence that is being said.
    sentence: Vec<Key>,
    /// The key of the foot in hand.
    foot: Option<Key>,
    stands: Vec<Entry>,
    surplus: Vec<Entry>,
    missing: Vec<Entry>,
}

impl Session {
    /// Begins an exercise; `given` was said to the handheld already and `flash` is what it left.
    #[must_use]
    pub fn new(exercise: Exercise, words: &Rc<Words>, flash: &[(Seq, Entry)]) -> Self {
        let given: Vec<Key> = exercise.given.iter().filter_map(key).collect();
        let half = half_said(&given);
        let foot = foot_chosen(&given);
        let mut session = Self {
            state: State::Waiting,
            notes: Vec::new(),
            slips: 0,
            strokes: 0,
            sentence: half,
            foot,
            stands: Vec::new(),
            surplus: Vec::new(),
            missing: Vec::new(),
            exercise,
            words: Rc::clone(words),
        };
        session.weigh(flash);
        session
    }

    /// Takes what happened.
    pub fn on(&mut self, event: Event, now_ms: u64) {
        match (self.state, event) {
            (State::Waiting, Event::Stroke(stroke)) => {
                self.state = State::Saying { since_ms: now_ms };
                self.stroke(stroke);
            }
            (State::Saying { .. }, Event::Stroke(stroke)) => self.stroke(stroke),
            (State::Waiting | State::Saying { .. }, Event::Cue(signal)) => self.hear(signal),
            (State::Waiting, Event::Flash(flash)) => self.judge(&flash),
            (State::Saying { since_ms }, Event::Flash(flash)) => {
                self.judge(&flash);
                if self.surplus.is_empty() && self.missing.is_empty() {
                    self.state = State::Done { took_ms: now_ms.saturating_sub(since_ms) };
                }
            }
            (State::Done { .. }, Event::Stroke(_) | Event::Cue(_) | Event::Flash(_)) => {}
        }
    }

    /// The exercise.
    #[must_use]
    pub const fn exercise(&self) -> &Exercise {
        &self.exercise
    }

    /// Where it stands.
    #[must_use]
    pub const fn state(&self) -> State {
        self.state
    }

    /// What went wrong so far, newest last.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// How often something went wrong.
    #[must_use]
    pub const fn slips(&self) -> u32 {
        self.slips
    }

    /// What it is told in.
    #[must_use]
    pub fn words(&self) -> &Words {
        &self.words
    }

    /// Keys and clips so far.
    #[must_use]
    pub const fn strokes(&self) -> u32 {
        self.strokes
    }

    /// What is in flash.
    #[must_use]
    pub fn stands(&self) -> &[Entry] {
        &self.stands
    }

    /// What the calliper shows: the next length that is asked for, or 50.00 mm.
    #[must_use]
    pub fn jaws(&self) -> Nanometres {
        let asked = self.missing.iter().find_map(|entry| match entry {
            Entry::Reading(reading) => Some(reading.length),
            _ => None,
        });
        asked.unwrap_or(Nanometres::from_mm(50))
    }

    fn stroke(&mut self, stroke: Stroke) {
        self.strokes += 1;
        self.sentence.extend(key(&stroke));
    }

    fn hear(&mut self, signal: Signal) {
        let answers_a_question = signal.counted;
        match signal.cue {
            _ if answers_a_question => {}
            Cue::KeyTaken => {
                // SIZE d ends with the same tick as a key in the middle.
                if let [Key::Size, _] = self.sentence.as_slice() {
                    self.sentence.clear();
                }
                return;
            }
            Cue::Refused | Cue::NoCow | Cue::NoClaw | Cue::NothingToUndo | Cue::NoBundle => {
                let cow = self.cow_in_chute();
                let spoken = refusal::Spoken { cow, claw: self.foot.is_some() && cow };
                let why = refusal::why(&self.words, &self.sentence, spoken);
                self.slip(why);
            }
            Cue::Dropped if self.sentence.last() != Some(&Key::Undo) => {
                self.slip(self.words.say(Say::WrongLeftHalf));
            }
            Cue::CalliperFault => self.slip(self.words.say(Say::WrongNoLength)),
            _ => {}
        }
        match self.sentence.as_slice() {
            [foot] if is_foot(*foot) => self.foot = Some(*foot),
            // A word about all feet, or about another one, leaves none in hand.
            [Key::Do, Key::Do] => self.foot = None,
            [Key::Do, foot] if is_foot(*foot) && self.foot != Some(*foot) => self.foot = None,
            _ => {}
        }
        self.sentence.clear();
    }

    fn slip(&mut self, note: String) {
        self.slips += 1;
        self.notes.push(note);
    }

    fn cow_in_chute(&self) -> bool {
        let last = self.stands.iter().rev().find_map(|entry| match entry {
            Entry::Animal(_) => Some(true),
            Entry::AnimalLeft => Some(false),
            _ => None,
        });
        last == Some(true)
    }

    fn judge(&mut self, flash: &[(Seq, Entry)]) {
        let animals = |entries: &[Entry]| {
            entries.iter().filter(|e| matches!(e, Entry::Animal(_) | Entry::AnimalLeft)).count()
        };
        let (before, known) = (animals(&self.stands), self.surplus.len());
        self.weigh(flash);
        if animals(&self.stands) != before {
            // A cow that came or went took the claw with her.
            self.foot = None;
        }
        // Each surplus entry is reported when it comes, and not again while it stands.
        if self.surplus.len() > known
            && let Some(newest) = self.surplus.last().copied()
        {
            let note = slip::words(&self.words, &newest, &self.missing);
            self.slip(note);
        }
    }

    /// What stands beside what is asked for. Order counts only where a cow comes or goes: within
    /// one cow a trimmer may say things in any order.
    fn weigh(&mut self, flash: &[(Seq, Entry)]) {
        self.stands = standing(flash);
        if self.exercise.kind.is_some() {
            (self.surplus, self.missing) = meaning::weighed(&self.stands, &self.exercise.wants);
            return;
        }
        let mut missing = by_cow(&self.exercise.wants);
        let mut surplus = Vec::new();
        for said in by_cow(&self.stands) {
            match missing.iter().position(|wanted| *wanted == said) {
                Some(at) => {
                    missing.remove(at);
                }
                None => surplus.push(said.1),
            }
        }
        self.surplus = surplus;
        self.missing = missing.into_iter().map(|(_, entry)| entry).collect();
    }
}

/// Each entry with the number of cows and goings before and at it.
pub(super) fn by_cow(entries: &[Entry]) -> Vec<(usize, Entry)> {
    let mut cows = 0;
    entries
        .iter()
        .map(|entry| {
            cows += usize::from(matches!(entry, Entry::Animal(_) | Entry::AnimalLeft));
            (cows, *entry)
        })
        .collect()
}

const fn key(stroke: &Stroke) -> Option<Key> {
    match stroke {
        Stroke::Key(key) => Some(*key),
        Stroke::Clip => None,
    }
}

/// What a given run of keys leaves half said: only exercises that begin inside a sentence have it,
/// and they begin with FIND and at most one digit.
fn half_said(given: &[Key]) -> Vec<Key> {
    match given {
        [.., Key::Find, digit] if digit.digit().is_some() => vec![Key::Find, *digit],
        [.., Key::Find] => vec![Key::Find],
        _ => Vec::new(),
    }
}

/// The foot chosen last since the last cow came.
fn foot_chosen(given: &[Key]) -> Option<Key> {
    let last = given.iter().rposition(|key| *key == Key::Cow).map_or(0, |at| at + 1);
    let feet = given.get(last..).unwrap_or_default();
    feet.iter().rev().copied().find(|key| is_foot(*key))
}

const fn is_foot(key: Key) -> bool {
    matches!(key, Key::Lf | Key::Rf | Key::Lh | Key::Rh)
}
