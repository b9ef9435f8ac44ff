//! Why no copy was made.

use std::path::{Path, PathBuf};

use hornrule_files::output::OutputError;
use rusqlite::ErrorCode;
use rusqlite::ffi::{SQLITE_IOERR_READ, SQLITE_IOERR_SHORT_READ};

use crate::{DatabaseError, Fault};

/// Why no copy was made. What was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum CopyError {
    /// One of the two databases did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// The file may not be written.
    #[error(transparent)]
    Output(#[from] OutputError),
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
    /// A file could not be renamed or removed.
    #[error("{}: {source}; check the disk and the permissions of the folder", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
}

pub(super) fn file(path: &Path) -> impl FnOnce(std::io::Error) -> CopyError + use<> {
    let path = path.to_owned();
    move |source| match source.kind() {
        std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => {
            OutputError::Full { path }.into()
        }
        _ => CopyError::File { path, source },
    }
}

/// Whether a fault of copying is of the file that was written, and not of what was copied.
pub(super) fn is_of_target(error: &rusqlite::Error) -> bool {
    let read = [SQLITE_IOERR_READ, SQLITE_IOERR_SHORT_READ];
    match error.sqlite_error_code() {
        Some(ErrorCode::SystemIoFailure) => {
            !error.sqlite_error().is_some_and(|error| read.contains(&error.extended_code))
        }
        Some(
            ErrorCode::DiskFull
            | ErrorCode::CannotOpen
            | ErrorCode::ReadOnly
            | ErrorCode::PermissionDenied,
        ) => true,
        _ => false,
    }
}

/// A fault of copying with the name of the file that it is of.
pub(super) fn told(fault: Fault, (from, to): (&Path, &Path)) -> CopyError {
    match fault {
        Fault::Sql(error) if is_of_target(&error) => match Fault::Sql(error).at(to) {
            DatabaseError::Full { path } => OutputError::Full { path }.into(),
            other => other.into(),
        },
        other => other.at(from).into(),
    }
}
