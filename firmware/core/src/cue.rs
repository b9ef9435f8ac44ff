//! Cues: the handheld's answers, as values.
//!
//! ```text
//! Cue --steps--> [ tone or none, light, buzz, ms ] [ ... ] --> beeper, light, vibration motor
//! ```
//!
//! Distinguished by rhythm first and pitch second: hearing loss is common in the trade, and ear
//! defenders are worn. Tones are between 800 and 1,500 Hz, where ears and muffs let most through
//! (figures from memory of the danger-signal standard, ISO 7731). No two cues share a rhythm; a
//! test ensures that. The next dimension is counted: a trill, then its number.

/// A signal to be heard, seen and felt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cue {
    /// The handheld is on and ready.
    Ready,
    /// A key was taken; the sentence continues.
    KeyTaken,
    /// The sentence is in flash.
    Committed,
    /// The last sentence was taken back, in flash.
    Undone,
    /// An unfinished sentence was dropped.
    Dropped,
    /// Not a sentence, or there is no cow or claw for it. Nothing was stored.
    Refused,
    /// The outer claw of the foot is chosen.
    Lateral,
    /// The inner claw of the foot is chosen.
    Medial,
    /// The cow is on the list; nothing is due.
    CowKnown,
    /// Something is due on this cow.
    CowDue,
    /// The claw where work starts is chosen, on a foot that is due.
    FootDue,
    /// The cow is not on the list. She is stored anyway.
    CowUnknown,
    /// The length is in flash and shorter than usual.
    TooShort,
    /// The length is in flash and longer than usual.
    TooLong,
    /// The length is in flash, but no cow or claw was chosen: the office will ask.
    Unplaced,
    /// The calliper is silent or sends nonsense. No length was stored.
    CalliperFault,
    /// A key is stuck or was held down at start.
    KeyStuck,
    /// The log is nearly full.
    LogNearlyFull,
    /// The log is full: nothing was stored.
    LogFull,
    /// The flash cannot be used: nothing was stored.
    LogUnusable,
    /// The battery is low.
    BatteryLow,
    /// The clock has not been set since this boot.
    ClockUnknown,
    /// The office is pulling records.
    Pulling,
    /// The office has everything.
    PullDone,
    /// The cow is for the vet.
    Vet,
    /// The cow must not be trimmed.
    DoNotTrim,
    /// No farm was named, or the plan does not have it: numbers cannot be looked up.
    FarmUnknown,
    /// The gauge block read correctly.
    GaugePassed,
    /// The gauge block read wrong: clean the jaws, zero, and check again.
    GaugeFailed,
    /// The next clip is the dorsal wall length.
    Next1,
    /// The next clip is the heel height.
    Next2,
    /// The next clip is the claw width.
    Next3,
    /// The next clip is the claw length.
    Next4,
    /// The next clip is the toe height.
    Next5,
    /// The next clip is the sole thickness.
    Next6,
    /// The next clip is the horn regrown.
    Next7,
    /// The next clip is the lesion length.
    Next8,
    /// The next clip is the lesion width.
    Next9,
    /// This claw has all the measurements in the plan.
    OrderDone,
    /// The next clip is the gauge block.
    NextGauge,
}

/// Colour of the light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// Dark.
    Off,
    /// Done.
    Green,
    /// Attention.
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

/// Short, long and very long sounds and the gap between them: 1 to 3 to 8, so that they can be told
/// apart without a reference.
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

/// A tick of a trill, and the gap within it: four of them run together and mean "a count follows".
const T: Step = sound(HIGH, Light::Green, 25);
const TRILL: Step = Step { tone_hz: None, light: Light::Off, buzz: false, ms: 35 };
/// Between the sounds of a count: wider than [`GAP`], so that they can be counted.
const COUNT: Step = Step { tone_hz: None, light: Light::Off, buzz: false, ms: 120 };

/// Steps of a count: the trill and its gap, then sounds with gaps between.
const fn counted_steps(n: usize) -> usize {
    let sounds = if n < 5 { n } else { n - 4 };
    8 + 2 * sounds - 1
}

/// A trill, then a count: one to four short sounds; a very long one means five.
const fn counted<const N: usize>(n: usize) -> [Step; N] {
    let mut steps = [COUNT; N];
    let trill = [T, TRILL, T, TRILL, T, TRILL, T, GAP];
    let mut at = 0;
    while at < trill.len() {
        steps[at] = trill[at];
        at += 1;
    }
    if n >= 5 {
        steps[at] = x(MIDDLE, Light::Green);
        at += 2;
    }
    while at < N {
        steps[at] = s(HIGH, Light::Green);
        at += 2;
    }
    steps
}

use Light::{Amber, Green, Red};

impl Cue {
    /// Every cue, for tables and tests. The `match` in [`Cue::steps`] keeps it complete: a test
    /// counts.
    pub const ALL: [Self; 40] = [
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
        Self::Vet,
        Self::DoNotTrim,
        Self::FarmUnknown,
        Self::GaugePassed,
        Self::GaugeFailed,
        Self::Next1,
        Self::Next2,
        Self::Next3,
        Self::Next4,
        Self::Next5,
        Self::Next6,
        Self::Next7,
        Self::Next8,
        Self::Next9,
        Self::OrderDone,
        Self::NextGauge,
    ];

    /// The next clip is this dimension, 1 to 9.
    #[must_use]
    pub const fn next_dimension(code: u8) -> Option<Self> {
        Some(match code {
            1 => Self::Next1,
            2 => Self::Next2,
            3 => Self::Next3,
            4 => Self::Next4,
            5 => Self::Next5,
            6 => Self::Next6,
            7 => Self::Next7,
            8 => Self::Next8,
            9 => Self::Next9,
            _ => return None,
        })
    }

    /// How it sounds, looks and feels.
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
            Self::Vet => const { &[x(HIGH, Amber), GAP, s(HIGH, Amber), GAP, x(HIGH, Amber)] },
            Self::DoNotTrim => const { &[s(LOW, Red), GAP, x(LOW, Red), GAP, s(LOW, Red)] },
            Self::FarmUnknown => {
                const {
                    &[
                        l(MIDDLE, Amber),
                        GAP,
                        s(MIDDLE, Amber),
                        GAP,
                        s(MIDDLE, Amber),
                        GAP,
                        s(LOW, Amber),
                    ]
                }
            }
            Self::GaugePassed => {
                const { &[s(HIGH, Green), GAP, s(HIGH, Green), GAP, l(HIGH, Green), GAP, l(HIGH, Green)] }
            }
            Self::GaugeFailed => const { &[x(LOW, Red), GAP, l(LOW, Red), GAP, l(LOW, Red)] },
            Self::Next1 => const { &counted::<{ counted_steps(1) }>(1) },
            Self::Next2 => const { &counted::<{ counted_steps(2) }>(2) },
            Self::Next3 => const { &counted::<{ counted_steps(3) }>(3) },
            Self::Next4 => const { &counted::<{ counted_steps(4) }>(4) },
            Self::Next5 => const { &counted::<{ counted_steps(5) }>(5) },
            Self::Next6 => const { &counted::<{ counted_steps(6) }>(6) },
            Self::Next7 => const { &counted::<{ counted_steps(7) }>(7) },
            Self::Next8 => const { &counted::<{ counted_steps(8) }>(8) },
            Self::Next9 => const { &counted::<{ counted_steps(9) }>(9) },
            Self::OrderDone => const { &[T, TRILL, T, TRILL, T, TRILL, T, GAP, l(HIGH, Amber)] },
            Self::NextGauge => {
                const {
                    &[
                        T,
                        TRILL,
                        T,
                        TRILL,
                        T,
                        TRILL,
                        T,
                        GAP,
                        l(MIDDLE, Green),
                        COUNT,
                        l(MIDDLE, Green),
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
            | Self::CalliperFault
            | Self::Vet
            | Self::DoNotTrim
            | Self::FarmUnknown
            | Self::GaugePassed
            | Self::GaugeFailed => true,
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
            | Self::PullDone
            | Self::Next1
            | Self::Next2
            | Self::Next3
            | Self::Next4
            | Self::Next5
            | Self::Next6
            | Self::Next7
            | Self::Next8
            | Self::Next9
            | Self::OrderDone
            | Self::NextGauge => false,
        }
    }

    /// What it tells the trimmer, in a few words.
    #[must_use]
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Ready => "on and ready",
            Self::KeyTaken => "key taken; go on",
            Self::Committed => "in flash",
            Self::Undone => "the last sentence is taken back",
            Self::Dropped => "the half-said sentence is dropped",
            Self::Refused => "no such sentence, or no cow or claw for it; say it again",
            Self::Lateral => "outer claw chosen",
            Self::Medial => "inner claw chosen",
            Self::CowKnown => "cow on the list, nothing due",
            Self::CowDue => "something is due on this cow",
            Self::FootDue => "this foot is due (its first claw chosen)",
            Self::CowUnknown => "cow not on the list; stored all the same",
            Self::TooShort => "length in flash, shorter than usual",
            Self::TooLong => "length in flash, longer than usual",
            Self::Unplaced => "length in flash, but no cow or claw; the office will ask",
            Self::CalliperFault => "calliper silent or speaking nonsense; no length stored",
            Self::KeyStuck => "a key is stuck",
            Self::LogNearlyFull => "room for one record in ten; pull soon",
            Self::LogFull => "full: nothing was stored",
            Self::LogUnusable => "flash cannot be used: nothing was stored",
            Self::BatteryLow => "battery low",
            Self::ClockUnknown => "nobody has set the clock",
            Self::Pulling => "the office is pulling",
            Self::PullDone => "the office has everything",
            Self::Vet => "this cow is for the vet",
            Self::DoNotTrim => "do not trim this cow",
            Self::FarmUnknown => "which farm? COW 0 and its digit, COW",
            Self::GaugePassed => "gauge block read right",
            Self::GaugeFailed => "gauge block read wrongly: clean, zero, check again",
            Self::Next1 => "next clip: 1, dorsal wall length",
            Self::Next2 => "next clip: 2, heel height",
            Self::Next3 => "next clip: 3, claw width",
            Self::Next4 => "next clip: 4, claw length",
            Self::Next5 => "next clip: 5, toe height",
            Self::Next6 => "next clip: 6, sole thickness",
            Self::Next7 => "next clip: 7, horn regrown",
            Self::Next8 => "next clip: 8, lesion length",
            Self::Next9 => "next clip: 9, lesion width",
            Self::OrderDone => "this claw is measured",
            Self::NextGauge => "next clip: 0, gauge block",
        }
    }

    /// The rhythm in print: `·` short, `–` long, `—` very long, `'` a tick.
    pub fn rhythm(self) -> impl Iterator<Item = char> {
        let sounds = self.steps().iter().filter(|step| step.tone_hz.is_some());
        sounds.map(|step| match step.ms {
            0..=40 => '\'',
            41..=100 => '\u{b7}',
            101..=300 => '\u{2013}',
            _ => '\u{2014}',
        })
    }

    /// Total length, milliseconds.
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

    /// Lengths of the sounds, without their pitch.
    fn sounds(cue: Cue) -> Vec<u16> {
        cue.steps().iter().filter(|step| step.tone_hz.is_some()).map(|step| step.ms).collect()
    }

    /// Distinct in rhythm, not only in pitch: a different number of sounds, or one that lasts at
    /// least twice as long as its counterpart, so that no reference is needed to tell them apart.
    #[test]
    fn any_two_cues_differ_in_rhythm() {
        let mut pairs = 0;
        for (at, one) in Cue::ALL.into_iter().enumerate() {
            for other in &Cue::ALL[..at] {
                let (a, b) = (sounds(one), sounds(*other));
                let differs = a.len() != b.len()
                    || a.iter().zip(&b).any(|(a, b)| *a >= 2 * *b || *b >= 2 * *a);
                assert!(differs, "{one:?} sounds like {other:?}");
                pairs += 1;
            }
        }
        assert_eq!(pairs, 40 * 39 / 2);
    }

    #[test]
    fn rhythms_on_paper_are_told_apart_too() {
        let written: BTreeSet<std::string::String> =
            Cue::ALL.into_iter().map(|cue| cue.rhythm().collect()).collect();
        assert_eq!(written.len(), Cue::ALL.len());
        assert_eq!(
            Cue::Next7.rhythm().collect::<std::string::String>(),
            "''''\u{2014}\u{b7}\u{b7}"
        );
    }

    /// The cue of a dimension gives its number and its name.
    #[test]
    fn next_cues_name_their_dimension() {
        for dimension in hornrule_protocol::Dimension::all().skip(1) {
            let cue = Cue::next_dimension(dimension.code).unwrap();
            let expected = std::format!("next clip: {}, {}", dimension.code, dimension.name);
            assert_eq!(cue.meaning(), expected);
        }
        assert_eq!(Cue::next_dimension(0), None);
        assert_eq!(Cue::next_dimension(10), None);
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
        // The last variant's index is the count less one: a cue missing from ALL shows up here.
        assert_eq!(Cue::ALL.len(), Cue::NextGauge as usize + 1);
        for (place, cue) in Cue::ALL.iter().enumerate() {
            assert_eq!(*cue as usize, place);
        }
    }
}
