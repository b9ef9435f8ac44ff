//! Exercises for the handheld's keys, and the judge of how they were said. Sans-IO: no terminal, no
//! clock, no simulator; strokes, cues and what is in flash come in, words go out.
//!
//! ```text
//! code tables, grammar --course--> Exercise { say, given, wants, answer }
//!                                     |
//! stroke, cue, what is in flash, ms --+--> Session --> notes in plain words, Done { took_ms }
//! ```
//!
//! What counts is the entries that stand in flash, never the keys: whoever says it another way, or
//! takes a slip back, has said it.

mod bundles;
mod chance;
mod corrections;
mod course;
mod exercise;
mod feet;
mod lessons;
mod refusal;
mod session;
mod slip;
#[cfg(test)]
mod tests;

pub use course::{Course, course};
pub use exercise::{Exercise, Lesson};
pub use session::{Event, Session, State};
