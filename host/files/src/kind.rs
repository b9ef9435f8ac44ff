//! What stands at a path.

use std::ffi::OsString;
use std::fs::{self, File, FileType};
use std::io::Read;
use std::path::{Path, PathBuf};

/// How every SQLite file begins (the file format's own page, "Database File Format", 1.3).
const SQLITE: &[u8; 16] = b"SQLite format 3\0";
/// How its write-ahead log begins, in either byte order (the same page, 4.1).
const WAL: [[u8; 4]; 2] = [[0x37, 0x7F, 0x06, 0x82], [0x37, 0x7F, 0x06, 0x83]];

/// What SQLite keeps beside a database: its name with one of these.
pub const SIDES: [&str; 3] = ["-wal", "-shm", "-journal"];

/// What stands at a path, in the words of an error message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Bytes with a name.
    File,
    /// A folder.
    Folder,
    /// A disk, a terminal, `/dev/null`.
    Device,
    /// A pipe with a name, or one that a shell made.
    Pipe,
    /// A socket.
    Socket,
}

impl Kind {
    /// Of an open or named thing; links are followed before.
    #[must_use]
    pub fn of(kind: FileType) -> Self {
        #[cfg(unix)]
        {
            use std::os::unix::fs::FileTypeExt;
            if kind.is_fifo() {
                return Self::Pipe;
            }
            if kind.is_socket() {
                return Self::Socket;
            }
            if kind.is_block_device() || kind.is_char_device() {
                return Self::Device;
            }
        }
        if kind.is_dir() { Self::Folder } else { Self::File }
    }

    /// "a folder".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::File => "a file",
            Self::Folder => "a folder",
            Self::Device => "a device",
            Self::Pipe => "a pipe",
            Self::Socket => "a socket",
        }
    }
}

/// Whether a file begins as every SQLite file does. No for one that cannot be read.
#[must_use]
pub fn is_sqlite(file: &Path) -> bool {
    begins(file).is_some_and(|start| start == *SQLITE)
}

/// Whether a file begins as a write-ahead log does.
pub(crate) fn is_wal(file: &Path) -> bool {
    begins(file).is_some_and(|start| WAL.iter().any(|magic| start.starts_with(magic)))
}

/// The first sixteen bytes of a file; of nothing else, so that no pipe is waited for.
fn begins(file: &Path) -> Option<[u8; 16]> {
    if Kind::of(fs::metadata(file).ok()?.file_type()) != Kind::File {
        return None;
    }
    let mut start = [0; 16];
    File::open(file).ok()?.read_exact(&mut start).ok()?;
    Some(start)
}

/// A name with an ending behind it.
#[must_use]
pub(crate) fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name: OsString = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

/// The database that a file would stand beside, where its name ends like a side file's.
pub(crate) fn base_of(path: &Path) -> Option<PathBuf> {
    let name = path.as_os_str().to_str()?;
    SIDES.iter().find_map(|end| name.strip_suffix(end)).map(PathBuf::from)
}
