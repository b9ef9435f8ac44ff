//! Cues as drawn rhythms, and their light as a word. Steps and meanings are the core's.

use hornrule_core::cue::{Cue, Signal, Step};

/// The light that goes with a cue, as a word.
#[must_use]
pub const fn light(cue: Cue) -> &'static str {
    cue.family().light().name()
}

/// A signal as a bar: a block for each `cell_ms` of sound, blanks for silence; each step at least
/// one.
///
/// With 60 ms a cell the longest takes 46 cells at most.
#[must_use]
pub fn bar(signal: impl Into<Signal>, cell_ms: u16) -> String {
    let cells = |step: &Step| usize::from(((step.ms + cell_ms / 2) / cell_ms.max(1)).max(1));
    let draw = |step: &Step| if step.tone_hz.is_some() { "\u{25ac}" } else { " " };
    signal.into().steps().map(|step| draw(&step).repeat(cells(&step))).collect()
}
