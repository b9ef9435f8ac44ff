//! A cue as it is played: its family's rhythm and, where it is told, its count.
//!
//! ```text
//! sound  |‾‾‾‾|_|‾‾‾‾|________|‾|__|‾|________|‾‾‾‾‾‾‾‾|__|‾|
//!        look out       300   2          300   6
//! ```

use super::family::{LONG, SHORT, TICK, VERY_LONG};
use super::{Count, Cue, Family, Light};

/// Silence between the sounds of a family, milliseconds.
const GAP: u16 = 80;
/// The same between ticks: they run together.
const TICK_GAP: u16 = 35;
/// Between the sounds of a digit: wider than [`GAP`], so that they can be counted.
const COUNT_GAP: u16 = 120;
/// Before each digit of a count.
const PAUSE: u16 = 300;

/// A cue to be played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Signal {
    /// What it means.
    pub cue: Cue,
    /// Whether its count is told.
    pub counted: bool,
}

impl From<Cue> for Signal {
    fn from(cue: Cue) -> Self {
        cue.signal()
    }
}

/// One step of a signal.
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

impl Signal {
    /// A family as it is learned: with no count.
    #[must_use]
    pub const fn of(family: Family) -> Self {
        let cue = match family {
            Family::Taken => Cue::KeyTaken,
            Family::InFlash => Cue::Committed,
            Family::LookOut => Cue::Ready,
            Family::Due => Cue::CowDue,
            Family::NotDone => Cue::Refused,
            Family::Vet => Cue::Vet,
            Family::DoNotTrim => Cue::DoNotTrim,
            Family::Calliper => Cue::GaugePassed,
        };
        Self { cue, counted: false }
    }

    /// How it sounds, looks and feels.
    #[must_use]
    pub const fn steps(self) -> Steps {
        Steps { signal: self, at: 0 }
    }

    /// Its count, if it is told.
    #[must_use]
    pub const fn count(self) -> Option<u8> {
        match self.cue.count() {
            Count::Asked(count) | Count::AtOnce(count) if self.counted => Some(count),
            Count::Asked(_) | Count::AtOnce(_) | Count::Untold => None,
        }
    }

    /// Length of a sound, and of the silence before it, milliseconds; `None` after the last.
    fn sound(self, at: usize) -> Option<(u16, u16)> {
        let family = self.cue.family().sounds();
        if let Some(ms) = family.get(at) {
            let gap = if *ms == TICK { TICK_GAP } else { GAP };
            // A longer tick: the inner claw, and the end of a pull.
            let longer = matches!(self.cue, Cue::Medial | Cue::PullDone);
            return Some((if longer { SHORT } else { *ms }, if at == 0 { 0 } else { gap }));
        }
        let count = self.count()?;
        let (tens, ones) = (count / 10, count % 10);
        let at = at - family.len();
        let of_tens = if tens == 0 { 0 } else { digit_sounds(tens) };
        let (digit, at) = if at < of_tens { (tens, at) } else { (ones, at - of_tens) };
        if at >= digit_sounds(digit) {
            return None;
        }
        let ms = match digit {
            0 => LONG,
            5..=9 if at == 0 => VERY_LONG,
            _ => SHORT,
        };
        Some((ms, if at == 0 { PAUSE } else { COUNT_GAP }))
    }

    /// The rhythm in print: `·` short, `–` long, `—` very long, `'` a tick; a blank before each
    /// digit of a count.
    pub fn rhythm(self) -> impl Iterator<Item = char> {
        let sounds = (0..).map_while(move |at| self.sound(at));
        sounds.flat_map(|(ms, before)| {
            let mark = match ms {
                TICK => '\'',
                SHORT => '\u{b7}',
                LONG => '\u{2013}',
                _ => '\u{2014}',
            };
            (before == PAUSE).then_some(' ').into_iter().chain([mark])
        })
    }

    /// Total length, milliseconds.
    #[must_use]
    pub fn length_ms(self) -> u32 {
        self.steps().map(|step| u32::from(step.ms)).sum()
    }
}

/// One to four short sounds; a very long one means five; nought is a long one.
const fn digit_sounds(digit: u8) -> usize {
    match digit {
        0 => 1,
        1..=4 => digit as usize,
        _ => digit as usize - 4,
    }
}

/// The steps of a signal, in order: sound and silence in turn, sound first and last.
#[derive(Clone, Copy, Debug)]
pub struct Steps {
    signal: Signal,
    at: u8,
}

impl Iterator for Steps {
    type Item = Step;

    fn next(&mut self) -> Option<Step> {
        let at = usize::from(self.at);
        let (tone_hz, light, ms) = if at % 2 == 0 {
            let family = self.signal.cue.family();
            let (ms, _) = self.signal.sound(at / 2)?;
            (Some(family.tone_hz()), family.light(), ms)
        } else {
            let (_, before) = self.signal.sound(at / 2 + 1)?;
            (None, Light::Off, before)
        };
        self.at += 1;
        Some(Step { tone_hz, light, buzz: tone_hz.is_some(), ms })
    }
}
