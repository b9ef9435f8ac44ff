//! The day's plan on its way to a handheld: as values, and its loading.

pub mod load;
pub mod planned;

pub use load::{LoadError, load, state};
pub use planned::{LeftOut, PlanError, Planned, PlannedCow};
