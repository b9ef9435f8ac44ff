//! What intake makes of records: who was in the chute, and what was said of her, on the wall clock.

use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_protocol::{Boot, Dimension, Nanometres, Place, Seq};

use crate::fact::What;
use crate::ids::{AnimalId, Day, HerdId};

/// How a moment got onto the wall clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// Its boot was seen beside the office's clock.
    Anchored,
    /// Its boot lies somewhere between its neighbours.
    Bounded,
}

impl Certainty {
    /// Both, in the order of their numbers.
    pub const ALL: [Self; 2] = [Self::Anchored, Self::Bounded];

    /// 0 anchored, 1 bounded, as in the database.
    #[must_use]
    pub const fn number(self) -> u8 {
        self as u8
    }
}

/// A moment on the wall clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct When {
    /// UTC milliseconds since 1970-01-01.
    pub at_ms: i64,
    /// The true moment lies within ± this many milliseconds; `None` where nobody can say.
    pub uncertainty_ms: Option<i64>,
    /// How it was found.
    pub certainty: Certainty,
}

/// Where a row stands: its herd, its record, its time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// The herd.
    pub herd: HerdId,
    /// The record.
    pub seq: Seq,
    /// Its boot.
    pub boot: Boot,
    /// When it was said.
    pub when: When,
    /// The day, in the farm's time zone.
    pub day: Day,
}

/// A cow in the chute.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Presence {
    /// Where her `Animal` record stands.
    pub spot: Spot,
    /// Who.
    pub animal: AnimalId,
    /// The last thing known of her stay, UTC milliseconds.
    pub until_ms: i64,
}

/// One keyed thing in the herd tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Observation {
    /// Where its record stands.
    pub spot: Spot,
    /// The cow; `None` for gauge blocks.
    pub animal: Option<AnimalId>,
    /// Her `Animal` record.
    pub presence: Option<Seq>,
    /// Which claw or foot.
    pub place: Place,
    /// What.
    pub what: What,
}

/// A length and what is known about its trust.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clip {
    /// The length.
    pub length: Nanometres,
    /// What was measured.
    pub dimension: Dimension,
    /// How the calliper was set.
    pub unit: UnitMode,
    /// Which calliper it was.
    pub kind: CalliperKind,
    /// Whether this claw had been trimmed to form before, in the same stay.
    pub trimmed: bool,
    /// Whether the last gauge check of this day and boot passed; `None` where there was none, or
    /// where the office was not told the block's size.
    pub gauge_ok: Option<bool>,
}
