//! Intake: sealed records in, rows and remarks out.
//!
//! ```text
//! inbox --sealed--> open --> wall clock --> walk with the rules --> rows --> herd tables
//!                                                |                             |
//!                                                +--> remarks <-- rules over history
//! ```
//!
//! The herd tables are a function of inbox, herd lists, what is known of the handhelds, and rules
//! (promise P6). Bringing in new records therefore means: find the boot from which they could
//! change anything, take out its rows, derive it again. What it gives is what a rebuild from
//! nothing gives.
//!
//! [`walk`], [`clock`], [`stretch`] and the [`rules`] are pure. Only this file and `run`
//! ask the database.

pub mod chute;
pub mod clock;
pub mod decide;
pub mod decision;
mod farms_set;
mod gathered;
pub mod history;
pub mod office;
mod put_at;
mod rebuild;
mod row;
pub mod rules;
mod run;
pub mod stretch;
pub mod walk;

// The kit's farms, built against this very crate: its own name then means the one under test.
#[cfg(test)]
extern crate self as hornrule_intake;
#[cfg(test)]
#[path = "../../kit/src/farms.rs"]
pub mod farms;

#[cfg(test)]
mod again;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod which_farm;
#[cfg(test)]
mod year;

pub use decide::{DecideError, decide, take_back};
pub use farms_set::{
    FarmChange, FarmError, KeyChange, Move, Moves, give_key_with_list, preview_farm, set_farm,
};
pub use put_at::{PutAt, Visit, preview_put_at, put_at};
pub use rebuild::{courses, rebuild, rebuild_and_compare, rule_on_aside, would_change};
pub use rules::{RULES, Rule, checksum};
pub use run::{GaugeBlock, Intake, in_force, run, set_gauge, set_limits, set_works_at};
pub use run::{rebuild_rows, recheck_rows};
