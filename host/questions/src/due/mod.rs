//! What is open on which foot: rechecks, blocks, wraps, the vet, the next trim.
//!
//! ```text
//! all that was ever said of a cow --cow::open--> what is open at the end of a day --> Need
//!   (findings and actions by day)     ^                                                |
//!                              DueRules (days)                    visit report, due list, plan
//! ```
//!
//! One decider for all of them. It looks at the whole history and not at one visit, so a block that
//! was glued on weeks ago stays due until somebody says what became of it.

pub mod cow;
pub mod list;
pub mod need;
pub mod rules;

use std::collections::BTreeMap;

pub use list::{DueLine, DueList, Span};
pub use need::{Because, Kind, Need};
pub use rules::{DUE_RULES, DueRule, DueRules};

use hornrule_facts::{AnimalId, Day, HerdId};
use hornrule_herd::{Fault, Database, DatabaseError, Rows};
use cow::Told;

/// All that is open at the end of a day, in every herd: by day, then herd, cow and place.
///
/// What was said on later days does not count. A cow that has left her herd by that day has no
/// needs. Things due long after that day are in it; whoever asks cuts them off.
///
/// # Errors
/// [`DatabaseError`].
pub fn open_needs(herd: &Database, day: Day) -> Result<Vec<Need>, DatabaseError> {
    herd.read(|rows| {
        let mut needs = Vec::new();
        for listed in rows.herds()? {
            needs.extend(needs_of(rows, listed.herd, day)?);
        }
        needs.sort();
        Ok(needs)
    })
}

/// The same of one herd.
pub(crate) fn needs_of(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Vec<Need>, Fault> {
    let rules = rows.due_rules()?;
    let mut told: BTreeMap<AnimalId, Vec<(Day, Told)>> = BTreeMap::new();
    for (animal, on, what) in rows.told_through(herd, day)? {
        told.entry(animal).or_default().push((on, what));
    }
    for gone in rows.animals(herd)?.iter().filter(|one| !one.in_herd) {
        told.remove(&gone.animal);
    }
    let mut needs: Vec<Need> = told
        .iter()
        .flat_map(|(animal, told)| {
            cow::open(told, &rules).into_iter().map(|open| open.of(herd, *animal))
        })
        .collect();
    needs.sort();
    Ok(needs)
}

#[cfg(test)]
mod tests;
