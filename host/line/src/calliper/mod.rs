//! The calliper on the handheld's plug: how it is read, proved by a person with a gauge block.
//!
//! ```text
//! handheld --hear--> raw packets --Proof (step by step)--> one setting left --store--> handheld
//!                                     |
//!                     every setting there is, tried on every packet; what does not fit goes
//! ```
//!
//! No calliper says how it is to be read, and no packet shows it: only known lengths do. So nothing is
//! guessed. What fits zero, the block, minus the block and inches is what the calliper is; where nothing
//! fits, or the packets disagree, nothing is stored.

mod candidates;
mod hear;
mod proof;
mod words;

#[cfg(test)]
mod tests;

pub use candidates::candidates;
pub use hear::{hear, setting, step, store};
pub use proof::{Doubt, Proof, Seen, Step};
pub use words::{kind_code, setting_words};
