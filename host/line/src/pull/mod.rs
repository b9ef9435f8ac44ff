//! Pulling the day: a state machine without a port, and the loop that drives it.
//!
//! ```text
//! Hello --> Now, Now, Now --> Read --> Batch.. (Credit..) --> End --> Release --> Released
//!   |           |               ^        |                                |
//!   |           anchor          +- gap --+ store, commit                  only after the commit (P3)
//!   who, which log, from where
//! ```
//!
//! [`machine::Machine`] decides; [`run::run`] reads, writes, stores and waits.

pub mod ask;
pub mod error;
pub mod machine;
pub mod run;
pub mod step;
#[cfg(test)]
mod tests;

pub use ask::{AskError, ask};
pub use error::PullError;
pub use machine::Machine;
pub use run::{Links, Pulled, RunError, run};
pub use step::{Anchor, Batch};
