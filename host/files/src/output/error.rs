//! Why a file was not written.

use std::io;
use std::path::{Path, PathBuf};

/// Why a file was not written; what was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// A name that names nothing.
    #[error("that names no file; give a file name (`./-` for a file called -)")]
    NoName,
    /// The database that this program works on, or a file that belongs to it.
    #[error("{} belongs to the herd database in use and was left as it is; choose another file \
             name", path.display())]
    OpenDatabase {
        /// The file.
        path: PathBuf,
    },
    /// Another database, or a file that belongs to one.
    #[error("{} is a database or belongs to one and was left as it is; choose another file name",
            path.display())]
    Database {
        /// The file.
        path: PathBuf,
    },
    /// A folder, device, pipe or socket.
    #[error("{} is {what}, not a file; name a file to write", path.display())]
    NotAFile {
        /// The path.
        path: PathBuf,
        /// "a folder".
        what: &'static str,
    },
    /// A file where a folder is needed.
    #[error("{} is not a folder; name another", path.display())]
    NotAFolder {
        /// The path.
        path: PathBuf,
    },
    /// A link to something that is not there.
    #[error("{} is a link to a file that does not exist; remove the link, or name the file itself",
            path.display())]
    LinkToNothing {
        /// The link.
        path: PathBuf,
    },
    /// Nobody may write it.
    #[error("{} is marked read-only and was left as it is; choose another file name, or allow \
             writing", path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// It is there, and must not be replaced.
    #[error("{} already exists and was left as it is; choose another file name", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// Another program put something there meanwhile.
    #[error("{} was changed by another program meanwhile and was left as it is; try again",
            path.display())]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// No room left.
    #[error("the disk that {} is on is full; make room and try again, or name a file on another \
             disk. What was there before is as it was", path.display())]
    Full {
        /// The file.
        path: PathBuf,
    },
    /// Anything else.
    #[error("{}: {source}; check that the folder exists and that you may write there",
            path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
}

impl OutputError {
    pub(super) fn io(path: &Path) -> impl FnOnce(io::Error) -> Self + use<> {
        let path = path.to_owned();
        move |source| match source.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::Full { path },
            _ => Self::Io { path, source },
        }
    }
}
