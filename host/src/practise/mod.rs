//! Exercises for the handheld's keys, and the judge of how they were said. Sans-IO: no terminal, no
//! clock, no simulator; strokes, cues and what is in flash come in, words go out.
//!
//! ```text
//! code tables, grammar --course--> Exercise { say, given, wants, answer }
//!                                     |
//! stroke, cue, what is in flash, ms --+--> Session --> notes in plain words, Done { took_ms }
//! ```
//!
//! Everything is told in the words of a language (`host/papers/src/words`: exercise.ftl, trainer.ftl).
//!
//! What counts is the entries that stand in flash, never the keys: whoever says it another way, or
//! takes a slip back, has said it.

mod bundles;
mod chance;
mod corrections;
mod course;
mod day;
mod exercise;
mod feet;
mod lessons;
mod meaning;
mod order;
mod refusal;
mod session;
mod slip;
mod speech;
#[cfg(test)]
mod tests;
mod times;

pub use course::{Course, course};
pub use day::{Kind, day};
pub use exercise::{Exercise, Lesson};
pub use session::{Event, Session, State};
pub use speech::entry;
pub use times::{CowTime, DayTimes, NOTEBOOK_S};
