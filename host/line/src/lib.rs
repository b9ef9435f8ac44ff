//! Bytes and the handheld: how the office reaches one, pulls it, loads a plan into it and proves its
//! calliper; and what its keys and cues mean in words.
//!
//! ```text
//! port --> pull --Batch--> (inbox)      plan --> handheld      calliper <--> handheld
//! keying: sentences, spellings, rhythms, from the handheld's own tables
//! ```
//!
//! No database, no rule, no page.

pub mod calliper;
pub mod clock;
pub mod keying;
pub mod plan;
pub mod port;
pub mod pull;
