//! The due list of all farms: overdue first, then by day, round and cow.
//!
//! ```text
//! Need + herd list --gather--> DueList --> terminal, sheet, CSV, JSON, calendar
//! ```

use std::collections::BTreeMap;

use super::need::Need;
use super::needs_of;
use hornrule_facts::{AnimalId, Day, Herd, HerdId};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

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
    /// Whether its day has gone by.
    pub overdue: bool,
}

/// What is due from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueList {
    /// The day it is asked on: what was due before is overdue, what was said later does not count.
    pub day: Day,
    /// The last day it looks at.
    pub until: Day,
    /// Overdue lines first, by round, farm, cow and place; then the others by day, round, farm, cow
    /// and place.
    pub lines: Vec<DueLine>,
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

impl DueList {
    /// Gathers the list.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(herd: &Database, asking: Asking) -> Result<Self, DatabaseError> {
        herd.read(|rows| {
            let mut list =
                Self { day: asking.day, until: asking.until, lines: Vec::new(), later: 0 };
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
        for need in needs_of(rows, listed.herd, self.day)? {
            if need.day > self.until {
                self.later += 1;
                continue;
            }
            let cow = cows.get(&need.animal);
            self.lines.push(DueLine {
                farm: listed.name.clone(),
                route: listed.settings.route,
                name: cow.and_then(|cow| cow.name.clone()),
                pen: None,
                overdue: need.day < self.day,
                need,
            });
        }
        Ok(())
    }

    /// The lines in groups that belong under one heading: all that is overdue at a farm, or all of a
    /// day and farm.
    pub fn groups(&self) -> impl Iterator<Item = &[DueLine]> {
        self.lines.chunk_by(|a, b| {
            let same_day = a.overdue || a.need.day == b.need.day;
            a.overdue == b.overdue && a.need.herd == b.need.herd && same_day
        })
    }
}

/// What lines are sorted by.
fn order(line: &DueLine) -> impl Ord + use<'_> {
    let need = &line.need;
    let day = (!line.overdue).then_some(need.day);
    let route = line.route.unwrap_or(u16::MAX);
    (day, route, line.farm.as_str(), need.herd, need.animal, need.place, need.day, need.duty)
}
