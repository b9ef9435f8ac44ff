//! Copies of the database: made while it is in use, looked at before they are believed.
//!
//! ```text
//! back up:  database --SQLite's backup, one view--> RANDOM.part --looked at--> FILE --opened anew
//! restore:  FILE --looked at--> RANDOM.part --looked at--> database --opened anew
//!                                       what was there --> database.before-restore, -2, -3
//! ```
//!
//! A copy takes its name only when it is whole: a rename, which is there or not. Then it is opened
//! by its name and looked at again: what is said of it is said of the file that is there.

mod error;
mod replace;

use std::path::{Path, PathBuf};
use std::time::Duration;

use hornrule_files::output;
use rusqlite::Connection;
use rusqlite::backup::Backup;

use super::{Database, DatabaseError, Fault, Rows, open};

pub use error::CopyError;
use error::{file, told};
use replace::{BACKED_UP, RESTORED, replace};

/// Pages copied at once: 4 MB.
const PAGES: std::ffi::c_int = 1024;
/// How long to wait for another program that writes.
const PAUSE: Duration = Duration::from_millis(20);

/// A copy that was made and verified.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Copied {
    /// Tables in it.
    pub tables: usize,
    /// Rows of all tables.
    pub rows: u64,
    /// Bytes of the file.
    pub bytes: u64,
    /// Where the database that was replaced is kept.
    pub kept: Option<PathBuf>,
}

/// Rows of each table.
type Counts = Vec<(String, u64)>;

/// Copies an open database to a file; whatever other programs write meanwhile is not in it.
///
/// # Errors
/// [`CopyError`].
pub fn back_up(herd: &Database, to: &Path, force: bool) -> Result<Copied, CopyError> {
    free(herd.path(), to, force)?;
    output::check_copy(to)?;
    copy(herd, to, (BACKED_UP, false))
}

/// Puts a backup in the place of a database. One that is there is replaced only by force, and kept
/// beside, under a name that nothing had before.
///
/// # Errors
/// [`CopyError`].
pub fn restore(from: &Path, to: &Path, force: bool) -> Result<Copied, CopyError> {
    free(from, to, force)?;
    // Looked at and not written to: opening it as a database would bring it to the newest version.
    let backup = Database::open_to_read(from)?;
    copy(&backup, to, (RESTORED, true))
}

fn free(from: &Path, to: &Path, force: bool) -> Result<(), CopyError> {
    open::is_file(to)?;
    if output::same_file(from, to) {
        return Err(CopyError::Same { path: to.to_owned() });
    }
    if to.exists() && !force {
        return Err(CopyError::Exists { path: to.to_owned() });
    }
    Ok(())
}

/// Copies, looks at the copy, gives it its name, and looks at what is there then.
fn copy(herd: &Database, to: &Path, keeps: (&str, bool)) -> Result<Copied, CopyError> {
    let part = output::private_beside(to)?;
    let counts = fill(herd, part.path(), to)?;
    held_to(part.path(), to, &counts)?;
    let kept = replace(part, to, keeps)?;
    held_to(to, to, &counts)?;
    let bytes = std::fs::metadata(to).map_err(file(to))?.len();
    let rows = counts.iter().map(|(_, rows)| rows).sum();
    Ok(Copied { tables: counts.len(), rows, bytes, kept })
}

/// Copies one view of the database, and counts its rows in the same view.
fn fill(herd: &Database, part: &Path, to: &Path) -> Result<Counts, CopyError> {
    let copied = herd.view(|rows| {
        let counts = rows.row_counts()?;
        let mut copy = Connection::open(part)?;
        Backup::new(rows.conn, &mut copy)?.run_to_completion(PAGES, PAUSE, None)?;
        copy.pragma_update(None, "journal_mode", "DELETE")?;
        copy.close().map_err(|(_, error)| error)?;
        Ok(counts)
    });
    copied.map_err(|fault| told(fault, (herd.path(), to)))
}

/// Opens a copy and holds it to what was copied: a file without damage, of a schema that is ours,
/// with the same tables of as many rows.
fn held_to(copy: &Path, to: &Path, counts: &Counts) -> Result<(), CopyError> {
    let named = |error: DatabaseError| match error {
        DatabaseError::Damaged { what, .. } => CopyError::NotWhole { path: to.to_owned(), what },
        other => other.into(),
    };
    let copied = Database::open_to_read(copy).map_err(named)?;
    let look = |rows: &Rows<'_>| -> Result<_, Fault> { Ok((rows.damage()?, rows.row_counts()?)) };
    let (damage, found) = copied.read(look).map_err(named)?;
    let differs = counts.iter().zip(&found).find(|(there, here)| there != here);
    let what = match (damage.first(), differs) {
        (Some(damage), _) => Some(damage.clone()),
        (None, Some(((table, there), (_, here)))) => {
            Some(format!("table {table} has {here} rows and not {there}"))
        }
        (None, None) if counts.len() != found.len() => Some("tables are missing".to_owned()),
        (None, None) => None,
    };
    what.map_or(Ok(()), |what| Err(CopyError::NotWhole { path: to.to_owned(), what }))
}

#[cfg(test)]
mod tests;
