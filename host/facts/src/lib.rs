//! Facts: what was said, checked and kept, as plain values. Every other room of the office speaks
//! in these words.
//!
//! ```text
//! Observation  one spoken thing as intake writes it
//! Fact         the same as it is read back, with its record, cow, place, time and trust
//! Remark       what a rule has to say about a record      Decision  what a person said about one
//! Herd, ListedAnimal, FarmSettings, Practice, Limits, DueRules      what the office was told
//! bill         bills as values
//! ```
//!
//! No SQL, no serial line, no clock, no page. Below it is `protocol` alone.

pub mod batch;
pub mod bill;
pub mod closing;
pub mod codes;
pub mod decimal;
pub mod decision;
pub mod due_rules;
pub mod fact;
pub mod field;
pub mod floors;
pub mod habits;
pub mod ids;
pub mod keys;
pub mod limits;
pub mod list;
pub mod lot;
pub mod observation;
pub mod plain;
pub mod practice;
pub mod remark;
pub mod settings;
pub mod spread;
pub mod text;
pub mod way;

pub use batch::Batch;
pub use bill::Signed;
pub use closing::{Closing, Duty, Gone, Told, Who};
pub use decision::{Decision, Verdict};
pub use due_rules::{DUE_RULES, DueRule, DueRules};
pub use fact::{Fact, Key, What};
pub use field::Field;
pub use floors::Floors;
pub use habits::Habits;
pub use ids::{AnimalId, Day, HerdId};
pub use keys::{KeptPlan, StandingKey, key_of, standing_at};
pub use limits::{Limits, THRESHOLDS, Threshold};
pub use list::{Handheld, Herd, ListedAnimal, Renumbered, TrimMark, number_after, number_before};
pub use lot::{KeptLot, Lot, LotNote};
pub use observation::{Certainty, Clip, When};
pub use practice::Practice;
pub use remark::{Level, Remark, Severity};
pub use settings::{FarmSettings, Language, LengthUnit, Paper};
pub use spread::spread;
pub use way::{WayFact, way_on};
