//! What the office was told: herds, herd lists, handhelds, marks.

use hornrule_protocol::{Iso11784, Nanometres};

use crate::ids::{AnimalId, Day, HerdId};
use crate::settings::FarmSettings;

/// A herd.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Herd {
    /// Its number in this database.
    pub herd: HerdId,
    /// The farm's name.
    pub name: String,
    /// The digit keyed to start a visit there, 1 to 9.
    pub farm: Option<u8>,
    /// IANA name of its time zone.
    pub zone: String,
    /// How its papers look, and where it lies on the round.
    pub settings: FarmSettings,
}

/// A cow of the herd list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedAnimal {
    /// Her herd number.
    pub animal: AnimalId,
    /// Her electronic tag.
    pub tag: Option<Iso11784>,
    /// Her name.
    pub name: Option<String>,
    /// When she was born.
    pub born: Option<Day>,
    /// Her official ear tag number, without blanks.
    pub official: Option<String>,
    /// Her breed.
    pub breed: Option<String>,
    /// Her lactation number.
    pub lactation: Option<u8>,
    /// When she last calved.
    pub calved: Option<Day>,
    /// Her group.
    pub pen: Option<String>,
    /// The day since which she is in no list; `None` while she is in it, and where nobody knows.
    pub left_on: Option<Day>,
    /// Whether she stood in the last list.
    pub in_herd: bool,
}

impl ListedAnimal {
    /// A cow in the herd known by her number only.
    #[must_use]
    pub const fn numbered(animal: AnimalId) -> Self {
        Self {
            animal,
            tag: None,
            name: None,
            born: None,
            official: None,
            breed: None,
            lactation: None,
            calved: None,
            pen: None,
            left_on: None,
            in_herd: true,
        }
    }
}

/// From a day on the cow that had one number has another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Renumbered {
    /// From this day on.
    pub since: Day,
    /// The number keyed on days before.
    pub was: AnimalId,
    /// The number she has.
    pub now: AnimalId,
}

/// What the office knows about a handheld.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Handheld {
    /// The herd meant where no visit was keyed.
    pub herd: Option<HerdId>,
    /// The size of its gauge block, where the office was told.
    pub gauge: Option<Nanometres>,
    /// How far off a reading of the gauge block may be.
    pub gauge_tolerance: Nanometres,
}

impl Default for Handheld {
    fn default() -> Self {
        // 0.03 mm: the largest error usually allowed to a calliper of 0.01 mm step up to 200 mm
        // (from memory of tolerance tables, not read in a source).
        Self { herd: None, gauge: None, gauge_tolerance: Nanometres(30_000) }
    }
}

/// What somebody said of whether a cow may be trimmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrimMark {
    /// Her number on that day.
    pub animal: AnimalId,
    /// The farm's own day.
    pub day: Day,
    /// Whether she is not to be trimmed; else that is taken back.
    pub holds: bool,
    /// Who said so.
    pub who: String,
    /// When.
    pub at_ms: i64,
    /// Why.
    pub why: String,
}
