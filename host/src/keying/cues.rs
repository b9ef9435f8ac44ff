//! Cues in words and as drawn rhythms. The steps are the core's; only the words are here.

use hornrule_core::cue::{Cue, Light, Step};

/// What a cue means, for somebody who wears gloves and ear defenders.
#[must_use]
pub const fn meaning(cue: Cue) -> &'static str {
    match cue {
        Cue::Ready => "on and ready",
        Cue::KeyTaken => "key taken, go on",
        Cue::Committed => "stored in flash",
        Cue::Undone => "taken back",
        Cue::Dropped => "half a sentence dropped",
        Cue::Refused => "refused: nothing stored",
        Cue::Lateral => "outer claw",
        Cue::Medial => "inner claw",
        Cue::CowKnown => "cow listed, nothing due",
        Cue::CowDue => "this cow is due",
        Cue::FootDue => "this foot is due",
        Cue::CowUnknown => "cow not listed; stored",
        Cue::TooShort => "shorter than usual; stored",
        Cue::TooLong => "longer than usual; stored",
        Cue::Unplaced => "stored, but no cow or claw",
        Cue::CalliperFault => "calliper gave no length",
        Cue::KeyStuck => "a key is stuck",
        Cue::LogNearlyFull => "memory nearly full",
        Cue::LogFull => "memory full: NOT stored",
        Cue::LogUnusable => "memory broken: NOT stored",
        Cue::BatteryLow => "battery low",
        Cue::ClockUnknown => "clock not set today",
        Cue::Pulling => "office is pulling",
        Cue::PullDone => "office has everything",
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
