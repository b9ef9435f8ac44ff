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
pub mod visits;

pub use hornrule_casebook::Case;
pub use list::{Asking, Back, DueLine, DueList, cow_by_cow};
pub use need::{Because, Need, Window};

use hornrule_facts::{AnimalId, Closing, Day, Duty, HerdId, Key, number_before};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

use crate::books::Books;

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
    books.each(rows, |animal, book| needs.extend(books.needs(animal, book)))?;
    needs.sort_by_key(Need::order);
    Ok(needs)
}

/// A cow that the trimmer asked the office to look at, and whom it has not looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Whose cow.
    pub herd: HerdId,
    /// Which cow.
    pub animal: AnimalId,
    /// The record that asked first.
    pub id: Key,
    /// The days on which it was asked, in the order of time.
    pub days: Vec<Day>,
}

/// What was left to the office and waits, by herd and cow.
///
/// # Errors
/// [`DatabaseError`].
pub fn left_to_office(database: &Database) -> Result<Vec<Asked>, DatabaseError> {
    database.read(|rows| {
        let mut all = Vec::new();
        for listed in rows.herds()? {
            let herd = listed.herd;
            let books = Books::of(rows, herd, Day(i32::MAX))?;
            books.each(rows, |animal, book| {
                if !books.needs(animal, book).iter().any(|need| need.duty == Duty::Office) {
                    return;
                }
                let open = book.office.iter().filter(|one| one.answered.is_none());
                all.extend(open.map(|one| {
                    let (id, days) = (one.id, one.asked.clone());
                    Asked { herd, animal, id, days }
                }));
            })?;
        }
        Ok(all)
    })
}

/// What is open on a cow at the end of a day, and what of it a note of the office would end.
///
/// # Errors
/// [`DatabaseError`].
pub fn ended_by(
    database: &Database,
    note: &Closing,
    day: Day,
) -> Result<(Vec<Need>, Vec<Need>), DatabaseError> {
    database.read(|rows| {
        let mut books = Books::of(rows, note.herd, day)?;
        let facts = books.facts_of_cow(rows, note.animal)?;
        let open = |books: &Books| books.needs(note.animal, &books.fold(note.animal, &facts));
        let before = open(&books);
        // She is named by the number that she has now. One that was another cow's on the note's day
        // would be taken for that one.
        if number_before(&rows.renumbered(note.herd)?, note.animal, note.day).is_none() {
            return Ok((before, Vec::new()));
        }
        books.note(note.clone());
        let after = open(&books);
        let ended = before.iter().filter(|need| !after.contains(need)).cloned().collect();
        Ok((before, ended))
    })
}

#[cfg(test)]
mod tests;
