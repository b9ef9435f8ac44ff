//! How the handheld is keyed and what it answers, in words: one place for the trainer, the code card
//! and lists.
//!
//! ```text
//! Entry --spell--> strokes --legend--> "COW 27 COW RH FIND 13 2"
//! Cue --light, bar--> "green", "▬▬  ▬▬"
//! sentence table: what may be keyed, each row with an example that the tests say to the real core
//! ```
//!
//! Nothing here is a second table of codes: names, grades and zones are the protocol's, steps and meaning
//! of a cue are the core's.

mod cues;
mod legend;
mod sentences;
mod spell;
mod standing;
#[cfg(test)]
mod tests;

pub use cues::{bar, light};
pub use legend::{NotAKey, Stroke, legend, read_strokes, show_strokes};
pub use sentences::{SENTENCES, SentenceRow};
pub use spell::Spelling;
pub use standing::standing;
