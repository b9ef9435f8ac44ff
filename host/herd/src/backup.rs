//! Copies of the database: made while it is in use, looked at before they are believed.
//!
//! ```text
//! back up:  database --SQLite's backup, one view--> FILE.part --verified, on disk--> FILE
//! restore:  FILE --verified--> database.part --verified, on disk--> database
//!                                       what was there --> database.before-restore
//! ```
//!
//! A copy takes its name only when it is whole: a rename, which is there or not.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags};

use super::{Database, DatabaseError, Fault, Rows};

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

/// Why no copy was made. What was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum CopyError {
    /// One of the two databases did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// The target is there.
    #[error("{} already exists; choose another name, or use --force to replace it",
            path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// From and to are one file.
    #[error("{} cannot be copied onto itself; choose another name", path.display())]
    Same {
        /// The file.
        path: PathBuf,
    },
    /// The copy is not what was copied.
    #[error("the copy {} is incomplete: {what}; check the disk and try again", path.display())]
    NotWhole {
        /// The file.
        path: PathBuf,
        /// What differs.
        what: String,
    },
    /// A file could not be written, renamed or removed.
    #[error("{}: {source}; check the disk and the permissions of the folder", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
}

fn file(path: &Path) -> impl FnOnce(std::io::Error) -> CopyError + use<> {
    let path = path.to_owned();
    move |source| CopyError::File { path, source }
}

fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

/// Copies an open database to a file; whatever other programs write meanwhile is not in it.
///
/// # Errors
/// [`CopyError`].
pub fn back_up(herd: &Database, to: &Path, force: bool) -> Result<Copied, CopyError> {
    free(herd.path(), to, force)?;
    let part = beside(to, ".part");
    let copied = copy(herd, &part)?;
    fs::rename(&part, to).map_err(file(to))?;
    settle(to)?;
    Ok(copied)
}

/// Puts a backup in the place of a database. One that is there is replaced only by force, and kept
/// beside.
///
/// # Errors
/// [`CopyError`].
pub fn restore(from: &Path, to: &Path, force: bool) -> Result<Copied, CopyError> {
    free(from, to, force)?;
    let part = beside(to, ".part");
    // Looked at and not written to: opening it as a database would bring it to the newest version.
    let copied = {
        let backup = Database::open_to_read(from)?;
        copy(&backup, &part)?
    };
    let mut kept = None;
    if to.exists() {
        close(to)?;
        let keep = beside(to, ".before-restore");
        let _gone = fs::remove_file(&keep);
        // The old one keeps its name until the new one takes it.
        fs::hard_link(to, &keep).or_else(|_| fs::copy(to, &keep).map(drop)).map_err(file(&keep))?;
        kept = Some(keep);
    }
    fs::rename(&part, to).map_err(file(to))?;
    settle(to)?;
    Ok(Copied { kept, ..copied })
}

fn free(from: &Path, to: &Path, force: bool) -> Result<(), CopyError> {
    let real = |path: &Path| fs::canonicalize(path).ok();
    if real(from).is_some_and(|from| Some(from) == real(to)) {
        return Err(CopyError::Same { path: to.to_owned() });
    }
    if to.exists() && !force {
        return Err(CopyError::Exists { path: to.to_owned() });
    }
    Ok(())
}

/// Folds what waits beside a database into it, so that nothing of it is left beside the next one.
/// Fails where another program has it open.
fn close(path: &Path) -> Result<(), CopyError> {
    let close = || {
        let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        conn.busy_timeout(super::PATIENCE)?;
        conn.pragma_update(None, "journal_mode", "DELETE")
    };
    match close() {
        Ok(()) => Ok(()),
        Err(error) => match Fault::Sql(error).at(path) {
            // What was there is no database, or a broken one: it is kept as it is.
            DatabaseError::NotADatabase { .. } | DatabaseError::Damaged { .. } => {
                for end in ["-wal", "-shm"] {
                    let waits = beside(path, end);
                    if waits.exists() {
                        let keep = beside(path, &format!(".before-restore{end}"));
                        fs::rename(&waits, &keep).map_err(file(&waits))?;
                    }
                }
                Ok(())
            }
            error => Err(error.into()),
        },
    }
}

/// Copies and verifies: the same tables with as many rows, and a file without damage.
fn copy(herd: &Database, part: &Path) -> Result<Copied, CopyError> {
    match fs::remove_file(part) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            return Err(file(part)(error));
        }
        _ => {}
    }
    // One view of the database for copy and counts.
    let counts = herd.read(|rows| {
        let counts = rows.row_counts()?;
        let mut to = Connection::open(part)?;
        Backup::new(rows.conn, &mut to)?.run_to_completion(PAGES, PAUSE, None)?;
        to.pragma_update(None, "journal_mode", "DELETE")?;
        Ok(counts)
    })?;
    let conn = Connection::open_with_flags(part, OpenFlags::SQLITE_OPEN_READ_ONLY)
        .map_err(|error| Fault::Sql(error).at(part))?;
    let rows = Rows { conn: &conn };
    let looked = (|| Ok((rows.damage()?, rows.row_counts()?)))();
    let (damage, copied) = looked.map_err(|fault: Fault| fault.at(part))?;
    let differs = counts.iter().zip(&copied).find(|(there, here)| there != here);
    let what = match (damage.first(), differs) {
        (Some(damage), _) => Some(damage.clone()),
        (None, Some(((table, there), (_, here)))) => {
            Some(format!("table {table} has {here} rows and not {there}"))
        }
        (None, None) if counts.len() != copied.len() => Some("tables are missing".to_owned()),
        (None, None) => None,
    };
    if let Some(what) = what {
        return Err(CopyError::NotWhole { path: part.to_owned(), what });
    }
    drop(conn);
    // Opened to write: some systems sync no file that is only read.
    let written = fs::OpenOptions::new().write(true).open(part).map_err(file(part))?;
    written.sync_all().map_err(file(part))?;
    let bytes = written.metadata().map_err(file(part))?.len();
    let rows = counts.iter().map(|(_, rows)| rows).sum();
    Ok(Copied { tables: counts.len(), rows, bytes, kept: None })
}

/// The rename itself, durable.
fn settle(path: &Path) -> Result<(), CopyError> {
    // Only Unix lets a folder be synced.
    if cfg!(unix) {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
        let folder = folder.unwrap_or(Path::new("."));
        File::open(folder).and_then(|folder| folder.sync_all()).map_err(file(folder))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests;
