//! The only reader of files that a person names: a file and nothing else, and only so much of it.

use std::fs::{self, File};
use std::io::{self, BufRead, Read};
use std::path::{Path, PathBuf};

use crate::kind::Kind;

/// Most bytes of a file that people write by hand: limits of rules, prices, a study's protocol.
pub const BY_HAND: u64 = 1 << 20;
/// Most bytes of a herd list: a line of 160 bytes for each of 100,000 cows.
pub const LIST: u64 = 16 << 20;
/// Most bytes of what a program wrote: animals, an earlier export, a sample, a recorded session.
pub const BY_PROGRAM: u64 = 256 << 20;
/// Most bytes of a line typed or piped in.
pub const LINE: usize = 4096;

/// Why a file was not read.
#[derive(Debug, thiserror::Error)]
pub enum InputError {
    /// A folder, device, pipe or socket.
    #[error("{} is {what}, not a file; save what you want read to a file first", path.display())]
    NotAFile {
        /// The path.
        path: PathBuf,
        /// "a pipe".
        what: &'static str,
    },
    /// More than such a file ever has.
    #[error("{} is larger than {most} bytes, the most that is read of such a file; check that it \
             is the right one", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Bytes.
        most: u64,
    },
    /// Not UTF-8.
    #[error("{} is no text: line {line} is not UTF-8; save it as UTF-8", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// From 1.
        line: usize,
    },
    /// Anything else.
    #[error("{}: {source}; check the path", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
}

impl InputError {
    /// Whether there is no such file.
    #[must_use]
    pub fn is_missing(&self) -> bool {
        matches!(self, Self::Io { source, .. } if source.kind() == io::ErrorKind::NotFound)
    }
}

/// Reads a file of at most so many bytes.
///
/// # Errors
/// [`InputError`].
pub fn read(path: &Path, most: u64) -> Result<Vec<u8>, InputError> {
    let io = |source| InputError::Io { path: path.to_owned(), source };
    // Before it is opened: opening a pipe waits for whoever writes to it.
    is_file(path, &fs::metadata(path).map_err(io)?)?;
    let file = File::open(path).map_err(io)?;
    is_file(path, &file.metadata().map_err(io)?)?;
    let mut bytes = Vec::new();
    file.take(most.saturating_add(1)).read_to_end(&mut bytes).map_err(io)?;
    if bytes.len() as u64 > most {
        return Err(InputError::TooLarge { path: path.to_owned(), most });
    }
    Ok(bytes)
}

fn is_file(path: &Path, there: &fs::Metadata) -> Result<(), InputError> {
    match Kind::of(there.file_type()) {
        Kind::File => Ok(()),
        other => Err(InputError::NotAFile { path: path.to_owned(), what: other.words() }),
    }
}

/// Reads a file of text, with or without a byte order mark.
///
/// # Errors
/// [`InputError`].
pub fn text(path: &Path, most: u64) -> Result<String, InputError> {
    let mut bytes = read(path, most)?;
    if bytes.starts_with(b"\xEF\xBB\xBF") {
        bytes.drain(..3);
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        let line = good.iter().filter(|byte| **byte == b'\n').count() + 1;
        InputError::NotText { path: path.to_owned(), line }
    })
}

/// One line, without its end, of at most [`LINE`] bytes; `None` at the end.
///
/// # Errors
/// The reader's own, and a line that is longer or not UTF-8.
pub fn line(from: &mut impl BufRead) -> io::Result<Option<String>> {
    let mut bytes = Vec::new();
    let read = from.take(LINE as u64 + 2).read_until(b'\n', &mut bytes)?;
    if read == 0 {
        return Ok(None);
    }
    while bytes.last().is_some_and(|last| matches!(last, b'\n' | b'\r')) {
        bytes.pop();
    }
    if bytes.len() > LINE {
        return Err(io::Error::new(
            io::ErrorKind::InvalidData,
            format!("a line is longer than {LINE} bytes"),
        ));
    }
    String::from_utf8(bytes)
        .map(Some)
        .map_err(|_| io::Error::new(io::ErrorKind::InvalidData, "a line is not UTF-8"))
}

#[cfg(test)]
mod tests;
