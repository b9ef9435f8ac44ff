//! What rules over a herd's history look at: rows of all days and handhelds, as plain values.

use std::collections::BTreeMap;

use hornrule_protocol::{Action, DeviceId, Dimension, LogId, Nanometres, Place, Seq};

use super::rules::{Check, RULES};
use hornrule_facts::limits::Limits;
use hornrule_facts::remark::{Level, Remark};
use hornrule_facts::{AnimalId, Day, HerdId, ListedAnimal};

/// A cow at a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Met {
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// The record.
    pub seq: Seq,
    /// The day.
    pub day: Day,
    /// The cow.
    pub animal: AnimalId,
}

/// How often a handheld's calliper was set to which unit on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Units {
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// The day.
    pub day: Day,
    /// Readings in millimetres.
    pub millimetre: u32,
    /// Readings in inches.
    pub inch: u32,
    /// The first in millimetres.
    pub first_millimetre: Seq,
    /// The first in inches.
    pub first_inch: Seq,
}

/// How many lengths of a day were taken without a passed check of the calliper before them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Checks {
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// The day.
    pub day: Day,
    /// All lengths of cows.
    pub readings: u32,
    /// Those without a passed check.
    pub unchecked: u32,
    /// Those after a check that failed.
    pub failed: u32,
    /// The first without a passed check.
    pub first_unchecked: Seq,
}

/// Something said of a block or of healing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Acted {
    /// Where.
    pub met: Met,
    /// Which claw.
    pub place: Place,
    /// UTC milliseconds since 1970-01-01.
    pub at_ms: i64,
    /// What.
    pub action: Action,
}

/// A length of a claw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measure {
    /// Where.
    pub met: Met,
    /// Her stay in the chute: its record.
    pub presence: Seq,
    /// Which claw.
    pub place: Place,
    /// UTC milliseconds since 1970-01-01.
    pub at_ms: i64,
    /// What was measured.
    pub dimension: Dimension,
    /// The length.
    pub length: Nanometres,
    /// Whether the claw had been trimmed to form in this stay.
    pub trimmed: bool,
}

/// All of it.
pub struct History<'a> {
    /// The numbers that rules go by.
    pub limits: Limits,
    /// The herd list by number; empty where none was imported.
    pub list: &'a [ListedAnimal],
    /// Every stay in the chute.
    pub met: &'a [Met],
    /// Units by day.
    pub units: &'a [Units],
    /// Checks of the calliper by day.
    pub checks: &'a [Checks],
    /// Everything said of blocks and healing, in the order of time.
    pub acts: &'a [Acted],
    /// Every length of a claw, by cow, claw and dimension, then in the order of time.
    pub measures: &'a [Measure],
    /// When a lesion was first found, by cow and foot number.
    pub first_findings: &'a BTreeMap<(AnimalId, u8), i64>,
}

/// What a history rule has found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spotted {
    /// The record to which the remark belongs.
    pub key: (DeviceId, LogId, Seq),
    /// Its day.
    pub day: Day,
    /// The cow, where it is about one.
    pub animal: Option<AnimalId>,
    /// The claw or foot.
    pub place: Place,
    /// Why and what to do.
    pub sentence: String,
}

impl Spotted {
    /// Something about a cow.
    #[must_use]
    pub fn cow(met: &Met, sentence: String) -> Self {
        Self {
            key: (met.device, met.log, met.seq),
            day: met.day,
            animal: Some(met.animal),
            place: Place::Cow,
            sentence,
        }
    }

    /// Something about a day.
    #[must_use]
    pub fn of_day(key: (DeviceId, LogId, Seq), day: Day, sentence: String) -> Self {
        Self { key, day, animal: None, place: Place::Cow, sentence }
    }
}

/// Asks every history rule.
#[must_use]
pub fn check(herd: HerdId, history: &History<'_>) -> Vec<Remark> {
    let mut remarks = Vec::new();
    for rule in RULES {
        let Check::History(check) = rule.check else { continue };
        remarks.extend(check(history).into_iter().map(|spotted| {
            let (device, log, seq) = spotted.key;
            Remark {
                rule: rule.id,
                severity: rule.severity,
                level: Level::History,
                herd: Some(herd),
                device,
                log,
                seq,
                day: Some(spotted.day),
                animal: spotted.animal,
                place: spotted.place,
                sentence: spotted.sentence,
            }
        }));
    }
    remarks
}
