//! The day's plan: built from the herd database before the day, loaded into the handheld.
//!
//! ```text
//! herds, herd lists --+
//! open needs (due) ---+--> Planned --bytes--> load: begin, pieces, commit --> read back
//! order, limits, gauge+       |
//!                             table
//! ```

pub mod gather;
pub mod load;
pub mod planned;

pub use gather::{Asked, gather};
pub use load::{LoadError, load, state};
pub use planned::{PlanError, Planned, PlannedCow};
