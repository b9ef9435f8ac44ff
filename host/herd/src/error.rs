//! What can go wrong with the database file, each with what to try.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;
use rusqlite::ffi::SQLITE_IOERR_SHMSIZE;

/// Why the herd database did not do as asked. Whatever the reason, nothing was half written: every
/// change is one transaction.
#[derive(Debug, thiserror::Error)]
pub enum DatabaseError {
    /// No file there, and it was not to be made.
    #[error("there is no herd database at {}; check the path, or create one with a pull or \
             `hornrule herd import`", path.display())]
    Missing {
        /// The path asked for.
        path: PathBuf,
    },
    /// A file of no bytes.
    #[error("{} is empty, so what stood in it is gone; restore the last backup, or delete the file \
             and pull from the handheld again", path.display())]
    Emptied {
        /// The file.
        path: PathBuf,
    },
    /// The file cannot be made or opened.
    #[error("cannot create or open {}; check that its folder exists and that you may write there \
             (a database also needs two files beside it)", path.display())]
    CannotOpen {
        /// The path asked for.
        path: PathBuf,
    },
    /// Not an SQLite file.
    #[error("{} is not a database file and was left as it is; choose another path",
            path.display())]
    NotADatabase {
        /// The file.
        path: PathBuf,
    },
    /// An SQLite file of another program.
    #[error("{} is the database of another program and was left as it is; choose another path", path.display())]
    NotOurs {
        /// The file.
        path: PathBuf,
    },
    /// Made by a newer program.
    #[error("{} has database version {found}, and this program knows versions up to {known}; \
             update the program. The file was left as it is", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The latest version known here.
        known: i64,
    },
    /// Made by a program whose migration of that version said something else.
    #[error("version {version} of {} was made by a different build of this program; use the build \
             that made it. The file was left as it is", path.display())]
    Edited {
        /// The file.
        path: PathBuf,
        /// The version whose text differs.
        version: i64,
    },
    /// Tables, columns, indices or triggers are not those that the migrations make.
    #[error("{} is not as this program makes it: {what}. It was left as it is; undo the change with \
             the program that made it, or restore the last backup", path.display())]
    Schema {
        /// The file.
        path: PathBuf,
        /// What differs first, and how much else does.
        what: String,
    },
    /// A folder, device, pipe or socket.
    #[error("{} is {what}, not a database file; choose another path", path.display())]
    NotAFile {
        /// The path.
        path: PathBuf,
        /// "a folder".
        what: &'static str,
    },
    /// A name that stands for no file, such as `:memory:`.
    #[error("`{}` names no file, so nothing would be kept; name a file with --db", path.display())]
    NoFile {
        /// The name.
        path: PathBuf,
    },
    /// Only to be read, and of an older version.
    #[error("{} has database version {found} and cannot be written, so it cannot be brought to \
             version {known}; copy it to a place where you may write", path.display())]
    OldReadOnly {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The latest version known here.
        known: i64,
    },
    /// Only to be read, and changes wait beside it that cannot be folded in.
    #[error("changes wait in {}-wal, and its folder cannot be written; copy both files to a place \
             where you may write", path.display())]
    Waiting {
        /// The file.
        path: PathBuf,
    },
    /// The file or its folder cannot be written.
    #[error("{} cannot be written; check the permissions of the file and its folder, or copy it to \
             a place where you may write", path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// No room left.
    #[error("the disk that holds {} is full; make room and try again. What was stored before is \
             safe", path.display())]
    Full {
        /// The file.
        path: PathBuf,
    },
    /// Another program holds the file.
    #[error("{} is in use by another program; close that program and try again", path.display())]
    Busy {
        /// The file.
        path: PathBuf,
    },
    /// The file is damaged.
    #[error("{} is damaged: {what}; keep a copy, then restore the last backup or pull from the \
             handheld again", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What cannot be.
        what: String,
    },
    /// The disk or file system reported a fault.
    #[error("reading or writing {} failed; check the disk, cable or network drive", path.display())]
    Disk {
        /// The file.
        path: PathBuf,
        /// What SQLite says.
        source: rusqlite::Error,
    },
    /// Nothing of the above: a fault of this program.
    #[error("a fault in this program while working on {}; nothing was changed. Please report it",
            path.display())]
    Ours {
        /// The file.
        path: PathBuf,
        /// What SQLite says.
        source: rusqlite::Error,
    },
}

/// What goes wrong inside a transaction, before the file's name is known.
#[derive(Debug)]
pub enum Fault {
    /// SQLite said no.
    Sql(rusqlite::Error),
    /// A stored value that this program never stores.
    Stored(String),
}

impl From<rusqlite::Error> for Fault {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sql(error)
    }
}

fn extended(error: &rusqlite::Error) -> Option<std::ffi::c_int> {
    error.sqlite_error().map(|error| error.extended_code)
}

impl Fault {
    /// The same with the file's name.
    pub fn at(self, path: &Path) -> DatabaseError {
        let path = path.to_owned();
        let source = match self {
            Self::Stored(what) => return DatabaseError::Damaged { path, what },
            Self::Sql(error) => error,
        };
        match source.sqlite_error_code() {
            Some(ErrorCode::CannotOpen) => DatabaseError::CannotOpen { path },
            Some(ErrorCode::NotADatabase) => DatabaseError::NotADatabase { path },
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => {
                DatabaseError::ReadOnly { path }
            }
            Some(ErrorCode::DiskFull) => DatabaseError::Full { path },
            // The first thing that a full disk refuses is the file that readers share.
            Some(ErrorCode::SystemIoFailure) if extended(&source) == Some(SQLITE_IOERR_SHMSIZE) => {
                DatabaseError::Full { path }
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
                DatabaseError::Busy { path }
            }
            Some(ErrorCode::DatabaseCorrupt) => {
                DatabaseError::Damaged { path, what: source.to_string() }
            }
            Some(ErrorCode::SystemIoFailure | ErrorCode::FileLockingProtocolFailed) => {
                DatabaseError::Disk { path, source }
            }
            _ => DatabaseError::Ours { path, source },
        }
    }
}
