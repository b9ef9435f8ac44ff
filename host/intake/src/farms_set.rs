//! What the office says of a farm: its name, its zone, its standing key; and what that would change.

use std::collections::BTreeMap;

use hornrule_facts::{Day, Herd, HerdId, Key, StandingKey, standing_at};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

use super::run::rebuild_rows;

/// What is to become of a farm. What is `None` stays as it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FarmChange {
    /// Another name.
    pub name: Option<String>,
    /// Another time zone, an IANA name.
    pub zone: Option<String>,
    /// Another standing key.
    pub key: Option<KeyChange>,
}

/// A standing key for a farm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KeyChange {
    /// The key, 1 to 9, or none.
    pub key: Option<u8>,
    /// The farm's own day from which on; `None`: always.
    pub since: Option<Day>,
    /// Today, from which on at the earliest the farm gives up the key that it has.
    pub today: Day,
}

/// Cows that are read as at another farm or day than before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Move {
    /// The farm and day before; `None`: held.
    pub from: Option<(HerdId, Day)>,
    /// The farm and day after; `None`: held.
    pub to: Option<(HerdId, Day)>,
}

/// What a change does to what is on record: how many cows go from where to where.
pub type Moves = BTreeMap<Move, usize>;

/// Why a farm stays as it was.
#[derive(Debug, thiserror::Error)]
pub enum FarmError {
    /// The database did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// A farm needs a name.
    #[error("a farm needs a name")]
    NoName,
    /// Another farm has it.
    #[error("there is already a farm called {0}; choose another name")]
    NameTaken(String),
    /// Not a time zone that this computer knows.
    #[error(
        "this computer has no time zone `{0}`; give an IANA name such as Europe/Berlin or \
         America/Chicago"
    )]
    Zone(String),
}

/// What a change would do; changes nothing.
///
/// # Errors
/// [`FarmError`].
pub fn preview_farm(
    database: &mut Database,
    herd: &Herd,
    change: &FarmChange,
) -> Result<Moves, FarmError> {
    // The answer comes out as the reason not to keep it.
    enum Answer {
        Moves(Moves),
        Refused(FarmError),
    }
    impl From<DatabaseError> for Answer {
        fn from(error: DatabaseError) -> Self {
            Self::Refused(error.into())
        }
    }
    let asked = database.write_or_not(|rows| {
        let done = changed(rows, herd, change)?;
        Ok(Err::<(), _>(done.map_or_else(Answer::Refused, Answer::Moves)))
    });
    match asked {
        Ok(()) => Ok(Moves::new()),
        Err(Answer::Moves(moves)) => Ok(moves),
        Err(Answer::Refused(error)) => Err(error),
    }
}

/// Changes a farm, and derives the herd tables again. Gives what that did.
///
/// # Errors
/// [`FarmError`]; all is then as before.
pub fn set_farm(
    database: &mut Database,
    herd: &Herd,
    change: &FarmChange,
) -> Result<Moves, FarmError> {
    database.write_or_not(|rows| changed(rows, herd, change))
}

fn changed(
    rows: &Rows<'_>,
    herd: &Herd,
    change: &FarmChange,
) -> Result<Result<Moves, FarmError>, Fault> {
    let name = change.name.as_deref().unwrap_or(&herd.name).trim();
    let zone = change.zone.as_deref().unwrap_or(&herd.zone);
    if name.is_empty() {
        return Ok(Err(FarmError::NoName));
    }
    if rows.herds()?.iter().any(|other| other.herd != herd.herd && other.name == name) {
        return Ok(Err(FarmError::NameTaken(name.to_owned())));
    }
    if jiff::tz::TimeZone::get(zone).is_err() {
        return Ok(Err(FarmError::Zone(zone.to_owned())));
    }
    let before = stays(rows)?;
    rows.update_herd(herd.herd, name, zone)?;
    if let Some(KeyChange { key, since, today }) = change.key {
        rows.give_key(herd.herd, key, since, today)?;
    }
    // Names stand in remarks, zones make days, keys say which farm: all is derived from them.
    rebuild_rows(rows)?;
    Ok(Ok(moves(&before, &stays(rows)?)))
}

/// Gives a farm the key that a list was imported with. A key that no farm ever had stands for it always,
/// so that what was held comes in; one that another farm had before, from a day on.
pub fn give_key_with_list(
    rows: &Rows<'_>,
    herd: HerdId,
    key: u8,
    today: Option<Day>,
) -> Result<(), Fault> {
    let said = rows.standing_keys()?;
    if standing_at(&said, key, |_| None) == Some(herd) {
        return Ok(());
    }
    let fresh = !said.iter().any(|one| one.key == key && one.herd != herd);
    let since = today.filter(|_| !fresh);
    match today {
        Some(today) => rows.give_key(herd, Some(key), since, today),
        None => rows.insert_standing_key(&StandingKey { key, herd, since, holds: true }),
    }
}

pub(super) type Stays = BTreeMap<Key, (HerdId, Day)>;

pub(super) fn stays(rows: &Rows<'_>) -> Result<Stays, Fault> {
    let all = rows.stays_of_all()?;
    Ok(all.into_iter().map(|(key, herd, day)| (key, (herd, day))).collect())
}

pub(super) fn moves(before: &Stays, after: &Stays) -> Moves {
    let keys = before.keys().chain(after.keys().filter(|key| !before.contains_key(*key)));
    let mut moves = Moves::new();
    for key in keys {
        let one = Move { from: before.get(key).copied(), to: after.get(key).copied() };
        if one.from != one.to {
            *moves.entry(one).or_default() += 1;
        }
    }
    moves
}
