//! A copy takes the name of what was there.
//!
//! ```text
//! what is there     in use by another program: refused      of another program: refused
//!                   well: what waits beside it is folded in, and it is held until it is replaced
//!                   broken, or gone: what waits beside it is kept under a name of its own
//! ```
//!
//! A write-ahead log or a journal that stays beside another database than its own is replayed into
//! it when it is next opened, and breaks it ("How To Corrupt An SQLite Database File", 1.4).

use std::fs;
use std::path::{Path, PathBuf};

use hornrule_files::{SIDES, is_sqlite, output};
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use tempfile::NamedTempFile;

use super::error::{CopyError, file};
use crate::migrations::APPLICATION_ID;
use crate::{DatabaseError, Fault, PATIENCE};

/// What was replaced is kept under names that end so.
pub(super) const RESTORED: &str = ".before-restore";
/// And what waited beside a backup's name.
pub(super) const BACKED_UP: &str = ".before-backup";

pub(super) fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

/// Gives a whole copy its name. What was there is kept under a name with this ending, where asked
/// for; gives that name.
pub(super) fn replace(
    part: NamedTempFile,
    to: &Path,
    (end, keeps): (&str, bool),
) -> Result<Option<PathBuf>, CopyError> {
    let before = fs::metadata(to).ok();
    if let Some(before) = &before {
        part.as_file().set_permissions(before.permissions()).map_err(file(to))?;
    }
    part.as_file().sync_all().map_err(file(to))?;
    let held = held(to)?;
    let keep = unused(to, end);
    let kept = keeps && before.is_some();
    if kept {
        // The old one keeps its name until the new one takes it.
        output::keep_as(to, &keep).map_err(file(&keep))?;
    }
    aside(to, &keep)?;
    let named = match before {
        Some(_) => part.persist(to),
        None => part.persist_noclobber(to),
    };
    named.map_err(|error| file(to)(error.error))?;
    drop(held);
    output::sync_folder_of(to).map_err(file(to))?;
    Ok(kept.then_some(keep))
}

/// Folds what waits beside a database into it, and keeps every other program out of it. `None`
/// where nothing is there, or nothing that can be opened.
fn held(to: &Path) -> Result<Option<Connection>, CopyError> {
    if !is_sqlite(to) {
        return Ok(None);
    }
    let hold = || -> Result<(Connection, i32), Fault> {
        let conn = Connection::open_with_flags(to, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        conn.busy_timeout(PATIENCE)?;
        let id = conn.query_row("PRAGMA application_id", [], |row| row.get(0))?;
        conn.pragma_update(None, "journal_mode", "DELETE")?;
        let mut alone =
            rusqlite::Transaction::new_unchecked(&conn, TransactionBehavior::Exclusive)?;
        alone.set_drop_behavior(rusqlite::DropBehavior::Ignore);
        drop(alone);
        Ok((conn, id))
    };
    match hold() {
        Ok((conn, APPLICATION_ID)) => Ok(Some(conn)),
        Ok(_) => Err(DatabaseError::NotOurs { path: to.to_owned() }.into()),
        Err(fault) => match fault.at(to) {
            // It is kept as it is.
            DatabaseError::NotADatabase { .. } | DatabaseError::Damaged { .. } => Ok(None),
            error => Err(error.into()),
        },
    }
}

/// The first name with this ending that is free, also for what belongs to it.
fn unused(to: &Path, end: &str) -> PathBuf {
    let name = |number: u32| match number {
        1 => beside(to, end),
        number => beside(to, &format!("{end}-{number}")),
    };
    let taken = |name: &Path| {
        let ends = ["", SIDES[0], SIDES[1], SIDES[2]];
        ends.iter().any(|end| fs::symlink_metadata(beside(name, end)).is_ok())
    };
    let mut number = 1;
    while taken(&name(number)) {
        number += 1;
    }
    name(number)
}

/// Puts away what still waits beside a name.
fn aside(to: &Path, keep: &Path) -> Result<(), CopyError> {
    for end in SIDES {
        let waits = beside(to, end);
        if fs::symlink_metadata(&waits).is_err() {
            continue;
        }
        // What is shared by programs that have it open holds nothing of its own.
        let away = match end {
            "-shm" => fs::remove_file(&waits),
            _ => fs::rename(&waits, beside(keep, end)),
        };
        away.map_err(file(&waits))?;
    }
    Ok(())
}
