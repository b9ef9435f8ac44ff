//! Cues in words and as drawn rhythms. The steps are the core's; only the words are here.

use hornrule_core::cue::{Cue, Light, Step};

/// What a cue means, for somebody who wears gloves and ear defenders.
#[must_use]
pub const fn meaning(cue: Cue) -> &'static str {
    match cue {
        Cue::Ready => "on and ready",
        Cue::KeyTaken => "key taken; go on",
        Cue::Committed => "in flash",
        Cue::Undone => "the last sentence is taken back",
        Cue::Dropped => "the half-said sentence is dropped",
        Cue::Refused => "no such sentence, or no cow or claw for it; say it again",
        Cue::Lateral => "outer claw chosen",
        Cue::Medial => "inner claw chosen",
        Cue::CowKnown => "cow on the list, nothing due",
        Cue::CowDue => "something is due on this cow",
        Cue::FootDue => "this foot is due (outer claw chosen)",
        Cue::CowUnknown => "cow not on the list; stored all the same",
        Cue::TooShort => "length in flash, shorter than usual",
        Cue::TooLong => "length in flash, longer than usual",
        Cue::Unplaced => "length in flash, but no cow or claw; the office will ask",
        Cue::CalliperFault => "calliper silent or speaking nonsense; no length stored",
        Cue::KeyStuck => "a key is stuck",
        Cue::LogNearlyFull => "room for one record in ten; pull soon",
        Cue::LogFull => "full: nothing was stored",
        Cue::LogUnusable => "flash cannot be used: nothing was stored",
        Cue::BatteryLow => "battery low",
        Cue::ClockUnknown => "nobody has set the clock",
        Cue::Pulling => "the office is pulling",
        Cue::PullDone => "the office has everything",
    }
}

/// The light that goes with a cue, as a word.
#[must_use]
pub fn light(cue: Cue) -> &'static str {
    let lit = cue.steps().iter().map(|step| step.light).find(|light| *light != Light::Off);
    match lit {
        Some(Light::Green) => "green",
        Some(Light::Amber) => "amber",
        Some(Light::Red) => "red",
        Some(Light::Off) | None => "dark",
    }
}

/// A cue as a bar: a block for each `cell_ms` of sound, blanks for silence; each step at least one.
///
/// With 40 ms a cell the longest cue takes 40 cells.
#[must_use]
pub fn rhythm(cue: Cue, cell_ms: u16) -> String {
    let cells = |step: &Step| usize::from(((step.ms + cell_ms / 2) / cell_ms.max(1)).max(1));
    let draw = |step: &Step| if step.tone_hz.is_some() { "\u{25ac}" } else { " " };
    cue.steps().iter().map(|step| draw(step).repeat(cells(step))).collect()
}
