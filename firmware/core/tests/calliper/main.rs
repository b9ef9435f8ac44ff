//! The calliper module on a bench: scripts of pin changes in, results of clips out.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]
#![expect(clippy::panic, reason = "a failed step is a failed test")]

mod bench;
mod clips;
mod model;
mod quick;
mod trouble;
