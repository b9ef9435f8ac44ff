//! One cow's history: what was found, done and measured on her feet, day by day. Plain values.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{Claw, Nanometres};

use hornrule_casebook::Casebook;
use hornrule_facts::{AnimalId, Day, FarmSettings, HerdId, ListedAnimal};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

use crate::books::Books;
use crate::derived::{self, Line};
use crate::visit::due::Due;
use crate::visit::{CowLine, CowSaid, Name};

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
#[derive(Clone, Debug, PartialEq)]
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
    /// What is derived from her lengths, the oldest first.
    pub derived: Vec<Line>,
    /// What is due on her after the last day.
    pub due: Vec<Due>,
    /// Her cases, blocks, wraps and referrals.
    pub book: Casebook,
}

impl CowHistory {
    /// Gathers a cow's history. `None` where there is no such herd, or nothing is known of the cow.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(
        herd: &Database,
        of: HerdId,
        animal: AnimalId,
    ) -> Result<Option<Self>, DatabaseError> {
        Self::gather_through(herd, of, animal, Day(i32::MAX))
    }

    /// The same as it was known at the end of a day.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather_through(
        herd: &Database,
        of: HerdId,
        animal: AnimalId,
        day: Day,
    ) -> Result<Option<Self>, DatabaseError> {
        herd.read(|rows| gather(rows, of, animal, day))
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

fn gather(
    rows: &Rows<'_>,
    herd: HerdId,
    animal: AnimalId,
    day: Day,
) -> Result<Option<CowHistory>, Fault> {
    let Some(farm) = rows.herds()?.into_iter().find(|one| one.herd == herd) else {
        return Ok(None);
    };
    let listed = rows.animals(herd)?.into_iter().find(|one| one.animal == animal);
    let books = Books::of(rows, herd, day)?;
    let facts = books.facts_of_cow(rows, animal)?;
    let book = books.fold(animal, &facts);
    if facts.is_empty() && listed.is_none() {
        return Ok(None);
    }
    let name = Name { animal, name: listed.as_ref().and_then(|one| one.name.clone()) };
    let derived = derived::of_facts(&facts, &derived::repeats_for(&facts, rows, (herd, day))?);
    let due = books.needs(animal, &book).iter().map(|need| Due::of(name.clone(), need)).collect();
    let days = facts.chunk_by(|one, other| one.day == other.day).filter_map(|of_day| {
        let day = of_day.first()?.day;
        let cases = book.present_on(day).map(|(case, _)| case.clone()).collect();
        let said = CowSaid { name: name.clone(), facts: of_day.to_vec() };
        Some(CowDay { day, line: said.line(book.class_on(day), cases) })
    });
    Ok(Some(CowHistory {
        farm: farm.name,
        days: days.collect(),
        name,
        listed,
        settings: farm.settings,
        walls: walls(&book),
        derived,
        due,
        book,
    }))
}

fn walls(book: &Casebook) -> BTreeMap<u8, Walls> {
    let mut walls: BTreeMap<u8, Walls> = BTreeMap::new();
    for one in book.claws.iter().filter(|one| one.before.is_some() || one.after.is_some()) {
        let key = one.claw.foot.number() * 4 + one.claw.side.number();
        let (claw, before, after) = (one.claw, Vec::new(), Vec::new());
        let here = walls.entry(key).or_insert(Walls { claw, before, after });
        here.before.extend(one.before.map(|wall| (one.day, wall.last)));
        here.after.extend(one.after.map(|wall| (one.day, wall.last)));
    }
    walls
}
