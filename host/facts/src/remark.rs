//! Remarks: what a check has to say about a record.

use hornrule_protocol::{DeviceId, LogId, Place, Seq};

use crate::{AnimalId, Day, HerdId};

/// What becomes of the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// It is in the herd tables and carries the remark.
    Flagged,
    /// It is not in the herd tables; only the remark is.
    Held,
    /// A person has decided; the remark says what, who and why.
    Settled,
}

impl Severity {
    /// 0 flagged, 1 held, 2 settled, as in the database.
    #[must_use]
    pub const fn number(self) -> u8 {
        self as u8
    }

    /// "flagged", "held" or "decided".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Flagged => "flagged",
            Self::Held => "held",
            Self::Settled => "decided",
        }
    }
}

/// At which level a rule looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// At a log, record by record.
    Log,
    /// At a herd's whole history.
    History,
}

/// One remark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// The rule that fired, see `hornrule_intake::RULES`; or what a person decided.
    pub rule: &'static str,
    /// What becomes of the record.
    pub severity: Severity,
    /// At which level it was found.
    pub level: Level,
    /// The herd, where it is known.
    pub herd: Option<HerdId>,
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// The record.
    pub seq: Seq,
    /// The day, where it is known.
    pub day: Option<Day>,
    /// The cow, where she is known.
    pub animal: Option<AnimalId>,
    /// The claw or foot.
    pub place: Place,
    /// Why it fired and what to do, in plain words.
    pub sentence: String,
}
