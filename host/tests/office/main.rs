//! The office's verbs as a person or a script meets them: the whole program, good and bad input.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

mod bad_input;
mod card;
mod demo;
mod due;
mod evidence;
mod exchange;
mod farms;
mod kit;
mod office_day;
mod plan;
mod practise;
