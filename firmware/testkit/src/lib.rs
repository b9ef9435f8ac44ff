//! Fakes that fail on purpose, and the day that presses are counted by; shared by all tests.

pub mod day;
pub mod dirty_wire;
pub mod flash;
pub mod keyed;
pub mod model_log;
pub mod old_bits;
pub mod page;
pub mod picture;

pub use hornrule_players::{bits, contacts, seeded};
