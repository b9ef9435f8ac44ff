//! One cow's history: what was found, done and measured on her feet, day by day. Plain values.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{Claw, Nanometres, Place};

use super::due::{self, Due};
use super::gather::Spoke;
use super::visit::{CowLine, Name};
use hornrule_facts::codes::DORSAL_WALL;
use crate::due::needs_of;
use hornrule_facts::{AnimalId, Day, FarmSettings, HerdId, ListedAnimal};
use hornrule_herd::{Fault, Database, DatabaseError, Rows};

/// What was recorded of a cow on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CowDay {
    /// When.
    pub day: Day,
    /// What.
    pub line: CowLine,
}

/// A claw's dorsal wall over time: the last reading of each day in each state. What grew since the last
/// trimming and what was left by it are two things and never one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Walls {
    /// Which claw.
    pub claw: Claw,
    /// Before trimming, or where nothing was trimmed.
    pub before: Vec<(Day, Nanometres)>,
    /// After trimming to form on that day.
    pub after: Vec<(Day, Nanometres)>,
}

/// A cow's history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CowHistory {
    /// Her farm.
    pub farm: String,
    /// Who.
    pub name: Name,
    /// As the herd list has her.
    pub listed: Option<ListedAnimal>,
    /// How the farm wants its papers, and which dorsal wall length it aims at.
    pub settings: FarmSettings,
    /// Days in the chute, the oldest first.
    pub days: Vec<CowDay>,
    /// Dorsal wall length of each claw.
    pub walls: BTreeMap<u8, Walls>,
    /// What is due on her after the last day.
    pub due: Vec<Due>,
}

impl CowHistory {
    /// Gathers a cow's history. `None` where there is no such herd, or nothing is known of the cow.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(herd: &Database, of: HerdId, animal: AnimalId) -> Result<Option<Self>, DatabaseError> {
        herd.read(|rows| gather(rows, of, animal))
    }

    /// Her electronic tag: of the list, or her number itself where she was keyed by it.
    #[must_use]
    pub fn tag(&self) -> Option<String> {
        let listed = self.listed.as_ref().and_then(|one| one.tag);
        let keyed = || self.name.animal.is_tag().then(|| self.name.animal.to_string());
        listed.map(|tag| tag.to_string()).or_else(keyed)
    }
}

impl Walls {
    /// Days with a reading.
    #[must_use]
    pub fn days(&self) -> usize {
        let days = self.before.iter().chain(&self.after).map(|(day, _)| *day);
        days.collect::<BTreeSet<_>>().len()
    }
}

fn gather(rows: &Rows<'_>, herd: HerdId, animal: AnimalId) -> Result<Option<CowHistory>, Fault> {
    let Some(farm) = rows.herds()?.into_iter().find(|one| one.herd == herd) else {
        return Ok(None);
    };
    let listed = rows.animals(herd)?.into_iter().find(|one| one.animal == animal);
    let mut days: BTreeMap<Day, Spoke> =
        rows.cow_days(herd, animal)?.into_iter().map(|day| (day, Spoke::default())).collect();
    let cow = (herd, animal);
    for (day, one) in rows.cow_found(cow)? {
        days.entry(day).or_default().findings.push(one);
    }
    for (day, one) in rows.cow_done(cow)? {
        days.entry(day).or_default().actions.push(one);
    }
    for (day, one) in rows.cow_measured(cow)? {
        days.entry(day).or_default().readings.push(one);
    }
    for (day, one) in rows.cow_scored(cow)? {
        days.entry(day).or_default().scores.push(one);
    }
    if days.is_empty() && listed.is_none() {
        return Ok(None);
    }
    let name = Name { animal, name: listed.as_ref().and_then(|one| one.name.clone()) };
    let mut due = Vec::new();
    if let Some(last) = days.keys().last() {
        let hers = needs_of(rows, herd, *last)?.into_iter().filter(|need| need.animal == animal);
        due.extend(hers.map(|need| due::Due::of(name.clone(), &need)));
    }
    Ok(Some(CowHistory {
        farm: farm.name,
        name,
        listed,
        settings: farm.settings,
        walls: walls(&days),
        days: days.iter().map(|(day, said)| CowDay { day: *day, line: said.cow(animal) }).collect(),
        due,
    }))
}

fn walls(days: &BTreeMap<Day, Spoke>) -> BTreeMap<u8, Walls> {
    let mut walls: BTreeMap<u8, Walls> = BTreeMap::new();
    for (day, said) in days {
        for one in &said.readings {
            let Place::Claw(claw) = one.place else { continue };
            if one.what.dimension.code() != DORSAL_WALL {
                continue;
            }
            let key = claw.foot.number() * 4 + claw.side.number();
            let (before, after) = (Vec::new(), Vec::new());
            let here = walls.entry(key).or_insert(Walls { claw, before, after });
            let series = if one.what.trimmed { &mut here.after } else { &mut here.before };
            // The last of a day is what counts.
            series.retain(|(earlier, _)| earlier != day);
            series.push((*day, one.what.length));
        }
    }
    walls
}
