//! What is open on which foot: rechecks, blocks, wraps, the vet, the next trim.
//!
//! ```text
//! facts of a cow --Casebook--> decide::open --> what is open at the end of a day --> Need
//!                                 ^     ^                                             |
//!                        DueRules (days) closings            visit report, due list, plan
//! ```
//!
//! One decider for all of them; `DUTIES.md` has its rules. It looks at the whole history and not at
//! one visit, so a block that was glued on weeks ago stays due until somebody says what became of it.

pub mod decide;
pub mod list;
pub mod need;

pub use list::{Asking, DueLine, DueList};
pub use need::{Because, Need};

use hornrule_facts::{Day, HerdId};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

use crate::books::{Books, duties};

/// All that is open at the end of a day, in every herd: by day, then herd, cow and place.
///
/// What was said on later days does not count. A cow that has left her herd by that day has no
/// needs. It also has things due long after that day; the caller cuts them off.
///
/// # Errors
/// [`DatabaseError`].
pub fn open_needs(database: &Database, day: Day) -> Result<Vec<Need>, DatabaseError> {
    database.read(|rows| {
        let mut needs = Vec::new();
        for listed in rows.herds()? {
            needs.extend(needs_of(rows, listed.herd, day)?);
        }
        needs.sort_by_key(Need::order);
        Ok(needs)
    })
}

/// The same of one herd.
///
/// # Errors
/// [`Fault`].
pub fn needs_of(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Vec<Need>, Fault> {
    let books = Books::of(rows, herd, day)?;
    let mut needs = Vec::new();
    books.each(rows, duties(), |animal, book| needs.extend(books.needs(animal, book)))?;
    needs.sort_by_key(Need::order);
    Ok(needs)
}

#[cfg(test)]
mod tests;
