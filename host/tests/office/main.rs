//! The office's verbs as a person or a script meets them: the whole program, good and bad input.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

mod bad_input;
mod bill;
mod calliper;
mod card;
mod demo;
mod due;
mod evening;
mod evidence;
mod exchange;
mod farm;
mod farms;
mod files;
mod identity;
mod inputs;
mod kit;
mod lists;
mod office_day;
mod pages;
mod plan;
mod practise;
mod terminal;
mod trial;
mod warnings;
mod which_farm;
