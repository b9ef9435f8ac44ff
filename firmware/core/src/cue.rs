//! Cues: what the handheld answers, as values.
//!
//! ```text
//! Cue --steps--> [ tone or none, light, buzz, ms ] [ ... ] --> beeper, light, vibration motor
//! ```
//!
//! Told by rhythm first and pitch second: hearing loss is common in the trade, and ear defenders are
//! worn. Tones lie between 800 and 1,500 Hz, where ears and muffs let most through (figures from
//! memory of the danger-signal standard, ISO 7731). No two cues share a rhythm; a test holds that.

/// What is to be heard, seen and felt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cue {
    /// The handheld is on and ready.
    Ready,
    /// A key was taken; the sentence goes on.
    KeyTaken,
    /// The sentence is in flash.
    Committed,
    /// The last sentence is taken back, in flash.
    Undone,
    /// A half-said sentence was dropped.
    Dropped,
    /// That is no sentence, or there is no cow or claw for it. Nothing was stored.
    Refused,
    /// The outer claw of the foot is chosen.
    Lateral,
    /// The inner claw of the foot is chosen.
    Medial,
    /// The cow is on the list; nothing is due.
    CowKnown,
    /// Something is due on this cow.
    CowDue,
    /// The outer claw of a foot that is due is chosen.
    FootDue,
    /// The cow is not on the list. She is stored all the same.
    CowUnknown,
    /// The length is in flash and shorter than usual.
    TooShort,
    /// The length is in flash and longer than usual.
    TooLong,
    /// The length is in flash, but no cow or claw was chosen: the office will ask.
    Unplaced,
    /// The calliper is silent or speaks nonsense. No length was stored.
    CalliperFault,
    /// A key is stuck or was held down at the start.
    KeyStuck,
    /// The log is nearly full.
    LogNearlyFull,
    /// The log is full: nothing was stored.
    LogFull,
    /// The flash cannot be used: nothing was stored.
    LogUnusable,
    /// The battery is low.
    BatteryLow,
    /// Nobody has told this boot the time.
    ClockUnknown,
    /// The office is pulling records.
    Pulling,
    /// The office has everything.
    PullDone,
}

/// Colour of the light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// Dark.
    Off,
    /// Done.
    Green,
    /// Mind.
    Amber,
    /// Not done.
    Red,
}

/// One step of a cue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Hertz, or silence.
    pub tone_hz: Option<u16>,
    /// The light.
    pub light: Light,
    /// Whether the motor runs.
    pub buzz: bool,
    /// How long, in milliseconds.
    pub ms: u16,
}

const HIGH: u16 = 1480;
const MIDDLE: u16 = 1175;
const LOW: u16 = 830;

const fn sound(hz: u16, light: Light, ms: u16) -> Step {
    Step { tone_hz: Some(hz), light, buzz: true, ms }
}

/// Short, long, very long sound and the gap between: 1 to 3 to 8, so that they are told apart
/// without a reference.
const fn s(hz: u16, light: Light) -> Step {
    sound(hz, light, 60)
}
const fn l(hz: u16, light: Light) -> Step {
    sound(hz, light, 180)
}
const fn x(hz: u16, light: Light) -> Step {
    sound(hz, light, 480)
}
const GAP: Step = Step { tone_hz: None, light: Light::Off, buzz: false, ms: 80 };

use Light::{Amber, Green, Red};

impl Cue {
    /// Every cue, for tables and tests. The `match` of [`Cue::steps`] keeps it honest: a test counts.
    pub const ALL: [Self; 24] = [
        Self::Ready,
        Self::KeyTaken,
        Self::Committed,
        Self::Undone,
        Self::Dropped,
        Self::Refused,
        Self::Lateral,
        Self::Medial,
        Self::CowKnown,
        Self::CowDue,
        Self::FootDue,
        Self::CowUnknown,
        Self::TooShort,
        Self::TooLong,
        Self::Unplaced,
        Self::CalliperFault,
        Self::KeyStuck,
        Self::LogNearlyFull,
        Self::LogFull,
        Self::LogUnusable,
        Self::BatteryLow,
        Self::ClockUnknown,
        Self::Pulling,
        Self::PullDone,
    ];

    /// What it sounds, looks and feels like.
    #[must_use]
    pub const fn steps(self) -> &'static [Step] {
        const KEY: Step = sound(HIGH, Green, 25);
        match self {
            Self::Ready => const { &[l(MIDDLE, Green), GAP, l(HIGH, Green)] },
            Self::KeyTaken => const { &[KEY] },
            Self::Committed => const { &[s(HIGH, Green), GAP, s(HIGH, Green)] },
            Self::Undone => const { &[s(HIGH, Amber), GAP, s(MIDDLE, Amber), GAP, l(LOW, Amber)] },
            Self::Dropped => const { &[l(LOW, Amber)] },
            Self::Refused => const { &[x(LOW, Red)] },
            Self::Lateral => const { &[s(MIDDLE, Green)] },
            Self::Medial => const { &[s(MIDDLE, Green), GAP, l(MIDDLE, Green)] },
            Self::CowKnown => const { &[s(HIGH, Green), GAP, s(HIGH, Green), GAP, s(HIGH, Green)] },
            Self::CowDue => const { &[l(HIGH, Amber), GAP, s(HIGH, Amber), GAP, l(HIGH, Amber)] },
            Self::FootDue => const { &[l(HIGH, Amber), GAP, s(HIGH, Amber)] },
            Self::CowUnknown => {
                const { &[l(MIDDLE, Amber), GAP, s(LOW, Amber), GAP, s(LOW, Amber)] }
            }
            Self::TooShort => const { &[s(LOW, Red), GAP, x(LOW, Red)] },
            Self::TooLong => const { &[x(HIGH, Amber), GAP, s(HIGH, Amber)] },
            Self::Unplaced => {
                const { &[s(MIDDLE, Amber), GAP, l(LOW, Amber), GAP, s(MIDDLE, Amber)] }
            }
            Self::CalliperFault => const { &[x(LOW, Red), GAP, s(LOW, Red), GAP, s(LOW, Red)] },
            Self::KeyStuck => const { &[l(LOW, Amber), GAP, l(LOW, Amber), GAP, s(LOW, Amber)] },
            Self::LogNearlyFull => const { &[x(MIDDLE, Amber), GAP, l(MIDDLE, Amber)] },
            Self::LogFull => const { &[x(LOW, Red), GAP, x(LOW, Red)] },
            Self::LogUnusable => const { &[x(LOW, Red), GAP, x(LOW, Red), GAP, x(LOW, Red)] },
            Self::BatteryLow => const { &[l(MIDDLE, Amber), GAP, x(LOW, Amber)] },
            Self::ClockUnknown => {
                const { &[s(LOW, Amber), GAP, l(LOW, Amber), GAP, l(LOW, Amber)] }
            }
            Self::Pulling => {
                const { &[l(HIGH, Green), GAP, l(MIDDLE, Green), GAP, l(HIGH, Green)] }
            }
            Self::PullDone => {
                const {
                    &[
                        s(MIDDLE, Green),
                        GAP,
                        s(MIDDLE, Green),
                        GAP,
                        s(HIGH, Green),
                        GAP,
                        l(HIGH, Green),
                    ]
                }
            }
        }
    }

    /// Whether the cue says that something is in flash (P1).
    #[must_use]
    pub const fn is_promise(self) -> bool {
        match self {
            Self::Committed
            | Self::Undone
            | Self::CowKnown
            | Self::CowDue
            | Self::CowUnknown
            | Self::TooShort
            | Self::TooLong
            | Self::Unplaced
            | Self::CalliperFault => true,
            Self::Ready
            | Self::KeyTaken
            | Self::Dropped
            | Self::Refused
            | Self::Lateral
            | Self::Medial
            | Self::FootDue
            | Self::KeyStuck
            | Self::LogNearlyFull
            | Self::LogFull
            | Self::LogUnusable
            | Self::BatteryLow
            | Self::ClockUnknown
            | Self::Pulling
            | Self::PullDone => false,
        }
    }

    /// Whole length, milliseconds.
    #[must_use]
    pub fn length_ms(self) -> u32 {
        self.steps().iter().map(|step| u32::from(step.ms)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use std::vec::Vec;

    #[test]
    fn no_two_cues_share_a_rhythm() {
        let mut heard = BTreeSet::new();
        for cue in Cue::ALL {
            let rhythm: Vec<(bool, u16)> =
                cue.steps().iter().map(|step| (step.tone_hz.is_some(), step.ms)).collect();
            assert!(heard.insert(rhythm), "{cue:?} sounds like another");
        }
        assert_eq!(heard.len(), Cue::ALL.len());
    }

    #[test]
    fn tones_lie_where_ears_and_muffs_let_them_through() {
        for cue in Cue::ALL {
            for step in cue.steps() {
                if let Some(hz) = step.tone_hz {
                    assert!((800..=1500).contains(&hz), "{cue:?}");
                    assert!(step.buzz && step.light != Light::Off, "{cue:?} is only heard");
                }
            }
            assert!(cue.length_ms() <= 1700, "{cue:?} is too long to wait for");
        }
    }

    #[test]
    fn all_lists_every_cue_once() {
        // The last variant's place is the count less one: a cue left out of ALL shows here.
        assert_eq!(Cue::ALL.len(), Cue::PullDone as usize + 1);
        for (place, cue) in Cue::ALL.iter().enumerate() {
            assert_eq!(*cue as usize, place);
        }
    }
}
