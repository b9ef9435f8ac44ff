//! What the office was told, as intake needs it: farms, tags, the handheld. Plain values.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{AnimalNumber, Nanometres};
use jiff::tz::TimeZone;

use hornrule_facts::limits::Limits;
use hornrule_facts::{AnimalId, Day, HerdId, Renumbered, number_after};

/// A farm as intake knows it.
#[derive(Clone, Debug)]
pub struct Farm {
    /// Its herd.
    pub herd: HerdId,
    /// Its name.
    pub name: String,
    /// The digit keyed to start a visit.
    pub digit: Option<u8>,
    /// Its time zone.
    pub zone: TimeZone,
}

/// All of it.
#[derive(Clone, Debug, Default)]
pub struct Office {
    /// The farms.
    pub farms: Vec<Farm>,
    /// The cows on each herd's list, where it has any.
    pub listed: BTreeMap<HerdId, BTreeSet<AnimalId>>,
    /// The numbers that rules go by.
    pub limits: Limits,
    /// Who has another number since when, by herd; by day and old number.
    pub renumbered: BTreeMap<HerdId, Vec<Renumbered>>,
    /// Whose electronic tag it is: (herd, 15 digits) to herd number.
    pub tags: BTreeMap<(HerdId, i64), AnimalId>,
    /// The herd meant where no visit was keyed.
    pub fallback: Option<HerdId>,
    /// The size of the gauge block that goes with this handheld.
    pub gauge: Option<Nanometres>,
    /// How far off a reading of it may be.
    pub gauge_tolerance: Nanometres,
}

/// The herd of a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// This one.
    Herd(HerdId),
    /// A visit was keyed to a farm that no herd has as its digit.
    UnknownFarm(u8),
    /// No visit was keyed, and more or fewer than one herd could be meant.
    NoVisit,
}

impl Whose {
    /// The herd, where it is known.
    #[must_use]
    pub const fn herd(self) -> Option<HerdId> {
        match self {
            Self::Herd(herd) => Some(herd),
            Self::UnknownFarm(_) | Self::NoVisit => None,
        }
    }
}

impl Office {
    /// The herd after the last visit keyed. Without any: the handheld's own, or the only one.
    #[must_use]
    pub fn whose(&self, farm: Option<u8>) -> Whose {
        if let Some(digit) = farm {
            let found = self.farms.iter().find(|farm| farm.digit == Some(digit));
            return found.map_or(Whose::UnknownFarm(digit), |farm| Whose::Herd(farm.herd));
        }
        match (self.fallback, self.farms.as_slice()) {
            (Some(herd), _) => Whose::Herd(herd),
            (None, [only]) => Whose::Herd(only.herd),
            (None, _) => Whose::NoVisit,
        }
    }

    /// The time zone of a herd; UTC where it is not known.
    #[must_use]
    pub fn zone(&self, herd: Option<HerdId>) -> TimeZone {
        let found = self.farms.iter().find(|farm| Some(farm.herd) == herd);
        found.map_or(TimeZone::UTC, |farm| farm.zone.clone())
    }

    /// Who is meant: a tag that the herd list knows is its cow's herd number. `None` for a tag that
    /// no animal carries. A number keyed on a day before the cow was renumbered is hers all the
    /// same.
    #[must_use]
    pub fn animal(
        &self,
        herd: Option<HerdId>,
        number: AnimalNumber,
        day: Option<Day>,
    ) -> Option<AnimalId> {
        let animal = AnimalId::from_number(number)?;
        let listed = herd.and_then(|herd| self.tags.get(&(herd, animal.number())));
        Some(listed.copied().unwrap_or_else(|| self.known_as(herd, animal, day)))
    }

    /// The number that a cow has now who had this one on a day. A day that nobody knows is today.
    #[must_use]
    pub fn known_as(&self, herd: Option<HerdId>, animal: AnimalId, day: Option<Day>) -> AnimalId {
        let steps = herd.and_then(|herd| self.renumbered.get(&herd));
        let (Some(steps), Some(day)) = (steps, day) else { return animal };
        number_after(steps, animal, day, Day(i32::MAX))
    }

    /// Another farm whose list has a cow that this herd's list has not.
    #[must_use]
    pub fn elsewhere(&self, herd: HerdId, animal: AnimalId) -> Option<&str> {
        if self.listed.get(&herd).is_none_or(|list| list.contains(&animal)) {
            return None;
        }
        let has = |farm: &&Farm| {
            let tagged = self.tags.contains_key(&(farm.herd, animal.number()));
            tagged || self.listed.get(&farm.herd).is_some_and(|list| list.contains(&animal))
        };
        self.farms.iter().find(has).map(|farm| farm.name.as_str())
    }

    /// Whether a reading of the gauge block is near enough; `None` where its size is not known.
    #[must_use]
    pub fn gauge_passes(&self, length: Nanometres) -> Option<bool> {
        let tolerance = self.gauge_tolerance.distance(Nanometres(0));
        self.gauge.map(|gauge| gauge.distance(length) <= tolerance)
    }
}
