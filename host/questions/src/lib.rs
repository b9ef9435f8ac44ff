//! What the office asks of its records, and the answers as plain values.
//!
//! ```text
//! herd --facts--> casebook --> due      what is open on which foot
//!                          --> visit    one farm, one day        --> papers, exchange
//!                          --> farm     a farm over time
//!                          --> notices  what the office sees before the farm goes home
//!                          --> vet      what the vet is told of the cows that a visit refers
//!                          --> cow      one cow's history
//!                          --> derived  angles, differences and soles worked out from lengths
//!                          --> bill     what was done, times the price list
//!                          --> evidence blocks, healing, growth, agreement
//!                          --> lot      which way of gluing was drawn for which claw
//!                          --> plan     the day's plan for a handheld
//! ```
//!
//! Cases come only from the casebook. No SQL, no page, no terminal.

pub mod bill;
mod books;
pub mod cow;
pub mod derived;
pub mod due;
pub mod evidence;
pub mod farm;
pub mod lot;
pub mod notices;
pub mod plan;
pub mod toml_text;
pub mod vet;
pub mod visit;

#[cfg(test)]
mod wide_tests;
