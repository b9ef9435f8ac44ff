//! What the office was told, as intake needs it: farms, tags, the handheld. Plain values.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{AnimalNumber, Nanometres};
use jiff::tz::TimeZone;

use hornrule_facts::limits::Limits;
use hornrule_facts::{
    AnimalId, Day, HerdId, KeptPlan, Renumbered, StandingKey, number_after, standing_at,
};

/// A farm as intake knows it.
#[derive(Clone, Debug)]
pub struct Farm {
    /// Its herd.
    pub herd: HerdId,
    /// Its name.
    pub name: String,
    /// Its time zone.
    pub zone: TimeZone,
}

/// All of it.
#[derive(Clone, Debug, Default)]
pub struct Office {
    /// The farms.
    pub farms: Vec<Farm>,
    /// The standing keys, by day and in the order in which they were said.
    pub keys: Vec<StandingKey>,
    /// The plans that this office made, by the names that handhelds seal.
    pub plans: BTreeMap<u32, KeptPlan>,
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
    /// A visit was keyed, and the key stood for no herd on that day.
    UnknownFarm(u8),
    /// A visit was keyed, and the plan in force has no such key.
    NotInPlan {
        /// The key.
        key: u8,
        /// The day of the plan.
        plan: Day,
    },
    /// No visit was keyed, and more or fewer than one herd could be meant.
    NoVisit,
    /// No visit was keyed since a plan of several farms was loaded.
    NoVisitOf {
        /// The day of the plan.
        plan: Day,
    },
}

/// Where the work is, as far as a log says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct At {
    /// The key in force.
    pub key: Option<u8>,
    /// The herd that it meant where it was keyed.
    pub herd: Option<HerdId>,
    /// The name of the plan in the handheld.
    pub plan: Option<u32>,
    /// Whether no visit was keyed since that plan was loaded.
    pub unkeyed: bool,
}

impl Whose {
    /// The herd, where it is known.
    #[must_use]
    pub const fn herd(self) -> Option<HerdId> {
        match self {
            Self::Herd(herd) => Some(herd),
            Self::UnknownFarm(_)
            | Self::NotInPlan { .. }
            | Self::NoVisit
            | Self::NoVisitOf { .. } => None,
        }
    }
}

impl Office {
    /// The herd after what was keyed and loaded. Without any of it: the handheld's own, or the only
    /// one.
    #[must_use]
    pub fn whose(&self, at: At) -> Whose {
        let plan = self.plan(at);
        match (at.herd, at.key, plan) {
            (Some(herd), ..) => Whose::Herd(herd),
            (None, Some(key), Some(plan)) => Whose::NotInPlan { key, plan: plan.day },
            (None, Some(key), None) => Whose::UnknownFarm(key),
            (None, None, Some(plan)) => Whose::NoVisitOf { plan: plan.day },
            (None, None, None) => match (self.fallback, self.farms.as_slice()) {
                (Some(herd), _) => Whose::Herd(herd),
                (None, [only]) => Whose::Herd(only.herd),
                (None, _) => Whose::NoVisit,
            },
        }
    }

    /// The plan in the handheld, where this office made it.
    #[must_use]
    pub fn plan(&self, at: At) -> Option<&KeptPlan> {
        at.plan.and_then(|name| self.plans.get(&name))
    }

    /// A visit was keyed at a time, UTC milliseconds; `None` for nobody knows when. The plan says
    /// which herd is meant, and without one that is known the standing keys of that day.
    #[must_use]
    pub fn visit(&self, at: At, key: u8, at_ms: Option<i64>) -> At {
        let herd = match self.plan(at) {
            Some(plan) => plan.herd(key),
            None => standing_at(&self.keys, key, |herd| {
                at_ms.and_then(|at_ms| Day::of(at_ms, &self.zone(Some(herd))))
            }),
        };
        At { key: Some(key), herd, unkeyed: false, ..at }
    }

    /// A plan was loaded. Where it has one farm, the work is there; where it has the farm of the work
    /// under the same key, the work goes on; else nobody knows where it is until a visit is keyed. A
    /// plan of another office says nothing.
    #[must_use]
    pub fn load(&self, at: At, name: u32) -> At {
        let at = At { plan: Some(name), ..at };
        match self.plan(at).map(|plan| plan.farms.as_slice()) {
            None => at,
            Some([(key, herd)]) => At { key: Some(*key), herd: Some(*herd), unkeyed: true, ..at },
            Some(farms) => match at.key.zip(at.herd) {
                Some(same) if farms.contains(&same) => At { unkeyed: true, ..at },
                _ => At { key: None, herd: None, unkeyed: true, ..at },
            },
        }
    }

    /// A herd's name.
    #[must_use]
    pub fn name(&self, herd: HerdId) -> &str {
        let found = self.farms.iter().find(|farm| farm.herd == herd);
        found.map_or("a farm that is not there", |farm| farm.name.as_str())
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
