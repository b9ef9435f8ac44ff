//! Stories: a day at the chute, one event per line. `STORY.md` in this crate's folder is the
//! reference.

mod parse;
mod particulars;
mod plan;

pub use parse::StoryError;
pub(crate) use parse::length;

use hornrule_core::cue::Cue;
use hornrule_core::keypad::Key;
use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperKind, UnitMode};

/// A story: numbered lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Story {
    /// The events in order.
    pub lines: Vec<Line>,
}

/// One event of a story.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// From 1.
    pub number: usize,
    /// What happens.
    pub event: Event,
}

/// What happens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// True time, milliseconds since 1970.
    At(i64),
    /// Milliseconds.
    Wait(u64),
    /// A new boot.
    PowerOn,
    /// Off, or without power.
    PowerOff,
    /// Keys one after another.
    Keys(Vec<Key>),
    /// One key for this many milliseconds.
    Hold(Key, u64),
    /// The calliper shows this and the pedal is pressed.
    Clip(Nanometres, UnitMode),
    /// Which calliper, or none that answers.
    Calliper(Option<CalliperKind>),
    /// Whether the calliper's plug is loose.
    PlugLoose(bool),
    /// Millivolts.
    Battery(u16),
    /// The office sets the clock.
    OfficeClock,
    /// The tag reader sends a line.
    Tag(String),
    /// The office loads this plan.
    OfficePlan(Vec<u8>),
    /// The cable, until the office has everything.
    PlugIn,
    /// The last cue played.
    Expect(Cue),
}

impl std::str::FromStr for Story {
    type Err = StoryError;
    fn from_str(text: &str) -> Result<Self, StoryError> {
        parse::story(text)
    }
}
