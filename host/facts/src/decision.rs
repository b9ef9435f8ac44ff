//! Decisions: what a person said about a record. They are only ever added.

use hornrule_protocol::{DeviceId, LogId, Seq};

use crate::field::Field;
use crate::ids::{AnimalId, HerdId};

/// What was decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It stands as it is, whatever rules say of it.
    Accept,
    /// One field was another.
    Correct(Field, i64),
    /// It was said of this cow.
    Reassign(AnimalId),
    /// From this record on the work was at this farm, whatever was keyed.
    At(HerdId),
    /// It is as if not said.
    Discard,
    /// An earlier decision no longer holds.
    TakeBack(i64),
}

/// One decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decision {
    /// Its number in the database.
    pub decision: i64,
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// The record.
    pub seq: Seq,
    /// What.
    pub verdict: Verdict,
    /// Who decided.
    pub who: String,
    /// When: UTC milliseconds since 1970-01-01.
    pub at_ms: i64,
    /// Why.
    pub why: String,
}
