//! Pulling the day: a state machine without a port, and the loop that drives it.
//!
//! ```text
//! Hello --> Digest --> Now, Now, Now --> Read --> Batch.. (Credit..) --> End --> Digest --> Release
//!   |         |             |             ^        |                      |       |           |
//!   |         |             anchor        +- gap --+ store, commit        |       |  only after the
//!   who       the same log?                                   what is missing    still the     commit
//!   is it                                                     is read again      same log?     (P3)
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
pub use step::{Anchor, Batch, Run};
