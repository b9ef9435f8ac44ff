//! Where a file would be written, and what must never be written over.

use std::fs::{self, Metadata};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use super::{OutputError, folder_of};
use crate::kind::{Kind, SIDES, base_of, is_sqlite, is_wal, with_end};

/// The databases of this run of the program: opened, or named to be.
static PROTECTED: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// From now on, nothing is written over this database or a file that belongs to it. It need not be
/// there yet.
pub fn protect(database: &Path) {
    let mut all = PROTECTED.lock().unwrap_or_else(PoisonError::into_inner);
    if !all.iter().any(|one| one == database) {
        all.push(database.to_owned());
    }
}

/// Where bytes go.
pub(super) struct Place {
    /// The file itself, behind all links.
    pub(super) real: PathBuf,
    /// What is there now.
    pub(super) before: Option<Metadata>,
}

/// Looks at a path, and refuses what must stay: every database, and what belongs to one.
pub(super) fn place(path: &Path) -> Result<Place, OutputError> {
    let place = place_of_copy(path)?;
    if is_sqlite(&place.real) || is_wal(&place.real) {
        return Err(OutputError::Database { path: path.to_owned() });
    }
    Ok(place)
}

/// The same for a copy of a database, which may replace an earlier copy.
pub(super) fn place_of_copy(path: &Path) -> Result<Place, OutputError> {
    let own = || path.to_owned();
    if path.as_os_str().is_empty() || path == Path::new("-") {
        return Err(OutputError::NoName);
    }
    let (real, before) = match fs::metadata(path) {
        Ok(there) => (fs::canonicalize(path).map_err(OutputError::io(path))?, Some(there)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => (missing(path)?, None),
        Err(error) => return Err(OutputError::io(path)(error)),
    };
    if let Some(there) = &before {
        let kind = Kind::of(there.file_type());
        if kind != Kind::File {
            return Err(OutputError::NotAFile { path: own(), what: kind.words() });
        }
    }
    if is_open(&real) {
        return Err(OutputError::OpenDatabase { path: own() });
    }
    // Never opened by another of its names: closing it would give up the locks of this program.
    if base_of(&real).is_some_and(|base| is_open(&base) || is_sqlite(&base)) {
        return Err(OutputError::Database { path: own() });
    }
    if before.as_ref().is_some_and(|there| there.permissions().readonly()) {
        return Err(OutputError::ReadOnly { path: own() });
    }
    Ok(Place { real, before })
}

/// Whether a file is a protected database or belongs to one.
fn is_open(real: &Path) -> bool {
    let protected = PROTECTED.lock().unwrap_or_else(PoisonError::into_inner);
    protected.iter().any(|database| {
        let ends = ["", SIDES[0], SIDES[1], SIDES[2]];
        ends.iter().any(|end| same(&with_end(database, end), real))
    })
}

/// The place of a file that is not there.
fn missing(path: &Path) -> Result<PathBuf, OutputError> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(OutputError::LinkToNothing { path: path.to_owned() });
    }
    let folder = OutputError::NotAFile { path: path.to_owned(), what: Kind::Folder.words() };
    let text = path.as_os_str().as_encoded_bytes();
    if text.last().is_some_and(|last| std::path::is_separator(char::from(*last))) {
        return Err(folder);
    }
    let Some(name) = path.file_name() else { return Err(folder) };
    let folder = fs::canonicalize(folder_of(path)).map_err(OutputError::io(path))?;
    Ok(folder.join(name))
}

/// Whether two names are of one file, also where it is not there yet.
pub(super) fn same(one: &Path, other: &Path) -> bool {
    match (fs::metadata(one), fs::metadata(other)) {
        (Ok(there), Ok(here)) => same_number(&there, &here) || real(one) == real(other),
        (Err(_), Err(_)) => missing(one).ok().is_some_and(|one| Some(one) == missing(other).ok()),
        _ => false,
    }
}

fn real(path: &Path) -> Option<PathBuf> {
    fs::canonicalize(path).ok()
}

#[cfg(unix)]
fn same_number(one: &Metadata, other: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

#[cfg(not(unix))]
fn same_number(_one: &Metadata, _other: &Metadata) -> bool {
    false
}
