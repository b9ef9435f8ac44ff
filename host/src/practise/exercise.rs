//! One exercise: what to key, and what must then be in flash.

use hornrule_protocol::Entry;

use hornrule_line::keying::{Spelling, Stroke};

/// A group of exercises that train the same thing, from easy to whole cows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lesson {
    /// A cow comes and goes.
    Cows,
    /// What was found.
    Findings,
    /// What was found, away from its usual zone.
    Zones,
    /// What was done.
    Actions,
    /// Lengths.
    Lengths,
    /// Scores of the cow.
    Scores,
    /// Slips put right.
    Corrections,
    /// Everything that belongs to one cow.
    WholeCows,
}

impl Lesson {
    /// All, from easy to whole cows.
    pub const ALL: [Self; 8] = [
        Self::Cows,
        Self::Findings,
        Self::Zones,
        Self::Actions,
        Self::Lengths,
        Self::Scores,
        Self::Corrections,
        Self::WholeCows,
    ];

    /// Its name on the command line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cows => "cows",
            Self::Findings => "findings",
            Self::Zones => "zones",
            Self::Actions => "actions",
            Self::Lengths => "lengths",
            Self::Scores => "scores",
            Self::Corrections => "corrections",
            Self::WholeCows => "whole-cows",
        }
    }

    /// What it trains.
    #[must_use]
    pub const fn about(self) -> &'static str {
        match self {
            Self::Cows => "a cow comes and goes; a farm begins",
            Self::Findings => "each lesion with its grade, on claw or foot; sound claws",
            Self::Zones => "lesions away from their usual zone",
            Self::Actions => "each action, on claw, foot or cow",
            Self::Lengths => "each dimension with the calliper",
            Self::Scores => "each scale",
            Self::Corrections => "UNDO inside and after a sentence, a wrong claw",
            Self::WholeCows => "everything that belongs to one cow",
        }
    }
}

/// One exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exercise {
    /// Which lesson it belongs to.
    pub lesson: Lesson,
    /// What is the matter, in words.
    pub say: String,
    /// Strokes made before the trainee begins.
    pub given: Vec<Stroke>,
    /// Everything that must be in flash at the end, including what was given.
    pub wants: Vec<Entry>,
    /// The shortest way, for whoever asks.
    pub answer: Vec<Stroke>,
}

impl Exercise {
    /// An exercise in which `given` was said before and `said` is to be said.
    pub(super) fn new(lesson: Lesson, say: String, given: &[Entry], said: &[Entry]) -> Self {
        let mut spelling = Spelling::default();
        let mut spell = |entries: &[Entry]| -> Vec<Stroke> {
            entries.iter().flat_map(|entry| spelling.spell(entry)).collect()
        };
        let (given_strokes, answer) = (spell(given), spell(said));
        let wants = given.iter().chain(said).copied().collect();
        Self { lesson, say, given: given_strokes, wants, answer }
    }
}
