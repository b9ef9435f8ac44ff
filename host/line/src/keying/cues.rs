//! Cues as drawn rhythms, and their light as a word. Steps and meanings are the core's.

use hornrule_core::cue::{Cue, Light, Step};

/// The light that goes with a cue, as a word.
#[must_use]
pub fn light(cue: Cue) -> &'static str {
    let lit = cue.steps().map(|step| step.light).find(|light| *light != Light::Off);
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
pub fn bar(cue: Cue, cell_ms: u16) -> String {
    let cells = |step: &Step| usize::from(((step.ms + cell_ms / 2) / cell_ms.max(1)).max(1));
    let draw = |step: &Step| if step.tone_hz.is_some() { "\u{25ac}" } else { " " };
    cue.steps().map(|step| draw(&step).repeat(cells(&step))).collect()
}
