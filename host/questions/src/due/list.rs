//! The due list of all farms: by visit, round, farm, group and cow.
//!
//! ```text
//! Need + herd list --gather--> DueList --rows--> a row a cow and visit --> terminal, sheet, CSV
//!                                 |                                        calendar
//!                                 +--> lines, one a duty --> JSON
//! ```

use std::collections::{BTreeMap, BTreeSet};

use super::need::Need;
use super::visits::plan;
use crate::books::Books;
use hornrule_facts::{AnimalId, Closing, Day, Duty, Herd, HerdId, ListedAnimal, Who};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

/// So often not brought, and a cow is told once (common practice, no source).
pub const NEVER_BROUGHT: usize = 3;

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueLine {
    /// The farm's name.
    pub farm: String,
    /// Where the farm lies on the round; `None` comes last.
    pub route: Option<u16>,
    /// The cow's name in the herd list.
    pub name: Option<String>,
    /// Her group, from the herd list.
    pub pen: Option<String>,
    /// What is due.
    pub need: Need,
    /// The day of the visit on which it is to be done.
    pub visit: Day,
    /// Days overdue on the day that is asked about; 0 where it is not.
    pub overdue: u32,
    /// How often she was not brought since a recheck or block of hers was due.
    pub missed: usize,
}

impl DueLine {
    /// Whether she is told once, and not with the visits.
    #[must_use]
    pub const fn is_told_once(&self) -> bool {
        let at_the_chute = matches!(self.need.duty.who(), Who::Trimmer | Who::Farmer);
        at_the_chute && self.missed >= NEVER_BROUGHT
    }
}

/// A cow that was noted as sold or dead and was in the chute later.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Back {
    /// The farm's name.
    pub farm: String,
    /// The cow's name in the herd list.
    pub name: Option<String>,
    /// What was noted.
    pub note: Closing,
    /// The first later day on which she was there.
    pub seen: Day,
}

/// What is due from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueList {
    /// The day it is asked on: what was due before is overdue, what was said later does not count.
    pub day: Day,
    /// The last day it looks at.
    pub until: Day,
    /// By visit, round, farm, group, cow and place.
    pub lines: Vec<DueLine>,
    /// Cows that were noted as gone and are not, by farm and cow.
    pub back: Vec<Back>,
    /// How many more are due after `until`.
    pub later: usize,
}

/// Which part of what is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asking {
    /// Today, or another day to ask on.
    pub day: Day,
    /// The last day looked at.
    pub until: Day,
    /// One herd only; `None` for all.
    pub herd: Option<HerdId>,
}

/// What is known of a cow's visits.
struct Seen {
    stays: Vec<Day>,
    not_brought: Vec<Day>,
}

impl DueList {
    /// Gathers the list.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(herd: &Database, asking: Asking) -> Result<Self, DatabaseError> {
        herd.read(|rows| {
            let Asking { day, until, .. } = asking;
            let mut list = Self { day, until, lines: Vec::new(), back: Vec::new(), later: 0 };
            for listed in rows.herds()? {
                if asking.herd.is_none_or(|herd| herd == listed.herd) {
                    list.add(rows, &listed)?;
                }
            }
            list.lines.sort_by(|a, b| order(a).cmp(&order(b)));
            Ok(list)
        })
    }

    fn add(&mut self, rows: &Rows<'_>, listed: &Herd) -> Result<(), Fault> {
        let cows = rows.animals(listed.herd)?;
        let cows: BTreeMap<AnimalId, _> = cows.into_iter().map(|cow| (cow.animal, cow)).collect();
        let books = Books::of(rows, listed.herd, self.day)?;
        let mut needs: Vec<Need> = Vec::new();
        let (mut seen, mut visits) = (BTreeMap::new(), BTreeSet::new());
        books.each(rows, |animal, book| {
            visits.extend(book.stays.iter().copied());
            let hers = books.needs(animal, book);
            if let Some((note, seen)) = books.back(animal, book).filter(|_| !hers.is_empty()) {
                let name = cows.get(&animal).and_then(|cow| cow.name.clone());
                let (farm, note) = (listed.name.clone(), note.clone());
                self.back.push(Back { farm, name, note, seen });
            }
            if !hers.is_empty() {
                let not_brought = books.not_brought(animal).collect();
                seen.insert(animal, Seen { stays: book.stays.clone(), not_brought });
            }
            needs.extend(hers);
        })?;
        needs.sort_by_key(Need::order);
        let missed = missed(&needs, &seen, &visits);
        let (needs, later): (Vec<Need>, Vec<Need>) =
            needs.into_iter().partition(|need| need.day <= self.until);
        self.later += later.len();
        self.lines_of(needs, listed, &cows, &missed);
        Ok(())
    }

    fn lines_of(
        &mut self,
        needs: Vec<Need>,
        listed: &Herd,
        cows: &BTreeMap<AnimalId, ListedAnimal>,
        missed: &BTreeMap<AnimalId, usize>,
    ) {
        let line = |need: Need| {
            let cow = cows.get(&need.animal);
            DueLine {
                farm: listed.name.clone(),
                route: listed.settings.route,
                name: cow.and_then(|cow| cow.name.clone()),
                pen: cow.and_then(|cow| cow.pen.clone()),
                visit: need.day,
                overdue: need.overdue(self.day),
                missed: missed.get(&need.animal).copied().unwrap_or_default(),
                need,
            }
        };
        let (mut told, mut planned): (Vec<DueLine>, Vec<DueLine>) =
            needs.into_iter().map(line).partition(DueLine::is_told_once);
        told.iter_mut().for_each(|line| line.visit = line.need.day.max(self.day));
        let needs: Vec<Need> = planned.iter().map(|line| line.need.clone()).collect();
        for (line, visit) in planned.iter_mut().zip(plan(&needs, self.day)) {
            line.visit = visit;
        }
        self.lines.extend(told);
        self.lines.extend(planned);
    }

    /// The lines of visits that belong under one heading: all of a farm and day, cow by cow.
    pub fn groups(&self) -> Vec<Vec<&DueLine>> {
        let lines: Vec<&DueLine> = self.lines.iter().filter(|line| !line.is_told_once()).collect();
        let same = |a: &&DueLine, b: &&DueLine| (a.visit, a.need.herd) == (b.visit, b.need.herd);
        lines.chunk_by(same).map(<[&DueLine]>::to_vec).collect()
    }

    /// The cows that are told once, each with her lines, by round, farm, group and cow.
    pub fn told_once(&self) -> Vec<Vec<&DueLine>> {
        let mut lines: Vec<&DueLine> =
            self.lines.iter().filter(|line| line.is_told_once()).collect();
        lines.sort_by(|a, b| where_she_is(a).cmp(&where_she_is(b)));
        cow_by_cow(&lines)
    }

    /// The list of each farm in it by itself, by round and farm.
    #[must_use]
    pub fn by_farm(&self) -> Vec<(HerdId, Self)> {
        let mut farms: Vec<(Option<u16>, &str, HerdId)> = self
            .lines
            .iter()
            .map(|line| (line.route, line.farm.as_str(), line.need.herd))
            .collect();
        farms.sort_by_key(|(route, farm, herd)| (route.unwrap_or(u16::MAX), *farm, *herd));
        farms.dedup();
        let of = |(_, farm, herd): (Option<u16>, &str, HerdId)| {
            let lines = self.lines.iter().filter(|line| line.need.herd == herd).cloned().collect();
            let back = self.back.iter().filter(|one| one.farm == farm).cloned().collect();
            (herd, Self { day: self.day, until: self.until, lines, back, later: 0 })
        };
        farms.into_iter().map(of).collect()
    }
}

/// Sorted lines in runs of one cow.
#[must_use]
pub fn cow_by_cow<'a>(lines: &[&'a DueLine]) -> Vec<Vec<&'a DueLine>> {
    let cow = |line: &DueLine| (line.need.herd, line.need.animal);
    lines.chunk_by(|a, b| cow(a) == cow(b)).map(<[&DueLine]>::to_vec).collect()
}

/// How often each cow was not brought since the first day on which a recheck or block of hers was due.
fn missed(
    needs: &[Need],
    seen: &BTreeMap<AnimalId, Seen>,
    visits: &BTreeSet<Day>,
) -> BTreeMap<AnimalId, usize> {
    let mut due: BTreeMap<AnimalId, Day> = BTreeMap::new();
    for need in needs.iter().filter(|need| matches!(need.duty, Duty::Recheck | Duty::BlockOff)) {
        let first = due.entry(need.animal).or_insert(need.day);
        *first = need.day.min(*first);
    }
    let count = |(animal, due): (AnimalId, Day)| {
        let hers = seen.get(&animal)?;
        let without = visits.iter().filter(|day| **day > due && !hers.stays.contains(day));
        let noted = hers.not_brought.iter().filter(|day| **day >= due);
        Some((animal, without.chain(noted).collect::<BTreeSet<_>>().len()))
    };
    due.into_iter().filter_map(count).collect()
}

/// Round, farm, group, cow.
fn where_she_is(line: &DueLine) -> impl Ord + use<'_> {
    let (route, pen) = (line.route.unwrap_or(u16::MAX), line.pen.as_deref());
    (route, line.farm.as_str(), line.need.herd, pen.is_none(), pen, line.need.animal)
}

/// What lines are sorted by.
fn order(line: &DueLine) -> impl Ord + use<'_> {
    let need = &line.need;
    (line.visit, where_she_is(line), need.place, need.day, need.duty)
}
