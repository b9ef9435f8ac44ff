//! The office tool, as a library. `hornrule`, the command, is its skin.
//!
//! ```text
//! line --> office --> herd --> intake        questions --> papers, exchange
//!          joins the first three                  cli prints
//! ```

pub mod cli;
pub mod office;
#[cfg(feature = "virtual")]
pub mod practise;
#[cfg(feature = "virtual")]
pub mod season;
