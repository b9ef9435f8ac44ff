//! The office tool, as a library. `hornrule`, the command, is its skin.
//!
//! ```text
//! port --> pull --> inbox --> intake --> herd --> report
//!            office joins the first four; exchange reads foreign files; cli prints
//! ```

pub mod bill;
pub mod calliper;
pub mod cli;
pub mod clock;
mod codes;
pub mod due;
pub mod evidence;
pub mod exchange;
pub mod herd;
pub mod inbox;
pub mod intake;
pub mod keying;
pub mod office;
pub mod plan;
pub mod port;
pub mod practise;
pub mod pull;
pub mod report;
pub mod season;
pub mod study;
#[cfg(test)]
mod near;
pub mod words;
