//! Flash in a file: pages of 1 KiB, words of 4 bytes, bits that only an erase can set.
//!
//! Every program and erase is in the file before the call returns, so a killed simulator leaves
//! what a power cut would leave. The file is locked while it is open: two handhelds on one flash
//! would write over each other's records.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashError, NorFlashErrorKind, ReadNorFlash, check_erase, check_read,
    check_write,
};

/// Bytes per page: as on the smallest chip this project runs on.
pub const PAGE: usize = 1024;

/// A flash stored in a file.
#[derive(Debug)]
pub struct FlashFile {
    /// `None`: in memory only.
    file: Option<File>,
    image: Vec<u8>,
}

/// What can go wrong with a flash in a file.
#[derive(Debug, thiserror::Error)]
pub enum FlashFileError {
    /// A request that no flash can fulfil.
    #[error("flash was addressed wrongly: {0:?}")]
    Asked(NorFlashErrorKind),
    /// The file.
    #[error("flash file: {0}")]
    File(#[from] io::Error),
}

impl NorFlashError for FlashFileError {
    fn kind(&self) -> NorFlashErrorKind {
        match self {
            Self::Asked(kind) => *kind,
            Self::File(_) => NorFlashErrorKind::Other,
        }
    }
}

impl FlashFile {
    /// Opens a flash, or makes a blank one with this many pages.
    ///
    /// # Errors
    /// The file's own, one that another handheld has open, and a size that is not a whole number of
    /// pages.
    pub fn open(path: &Path, pages: usize) -> io::Result<Self> {
        let mut file =
            OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(io::Error::other(
                    "another virtual handheld runs on this flash file; end that one, or name another \
                     file",
                ));
            }
            // A file system that knows no locks is used without.
            Err(TryLockError::Error(error)) if error.kind() == io::ErrorKind::Unsupported => {}
            Err(TryLockError::Error(error)) => return Err(error),
        }
        let mut image = Vec::new();
        file.read_to_end(&mut image)?;
        if image.is_empty() {
            image = vec![0xFF; pages * PAGE];
            file.write_all(&image)?;
        }
        if image.len() % PAGE != 0 {
            return Err(io::Error::other("its size is no number of 1 KiB pages: not a flash file"));
        }
        Ok(Self { file: Some(file), image })
    }

    /// A blank flash with this many pages that disappears with the program.
    #[must_use]
    pub fn in_memory(pages: usize) -> Self {
        Self { file: None, image: vec![0xFF; pages * PAGE] }
    }

    /// What is on it now, in memory alone: as a power cut would leave it.
    #[must_use]
    pub fn copy(&self) -> Self {
        Self { file: None, image: self.image.clone() }
    }

    fn keep(&mut self, from: usize, to: usize) -> io::Result<()> {
        let Some(file) = &mut self.file else { return Ok(()) };
        file.seek(SeekFrom::Start(from as u64))?;
        file.write_all(&self.image[from..to])
    }
}

impl ErrorType for FlashFile {
    type Error = FlashFileError;
}

impl ReadNorFlash for FlashFile {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), FlashFileError> {
        check_read(self, offset, bytes.len()).map_err(FlashFileError::Asked)?;
        let from = offset as usize;
        bytes.copy_from_slice(&self.image[from..from + bytes.len()]);
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.image.len()
    }
}

impl NorFlash for FlashFile {
    const WRITE_SIZE: usize = 4;
    const ERASE_SIZE: usize = PAGE;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), FlashFileError> {
        check_erase(self, from, to).map_err(FlashFileError::Asked)?;
        let (from, to) = (from as usize, to as usize);
        self.image[from..to].fill(0xFF);
        Ok(self.keep(from, to)?)
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), FlashFileError> {
        check_write(self, offset, bytes.len()).map_err(FlashFileError::Asked)?;
        let from = offset as usize;
        for (place, byte) in self.image[from..].iter_mut().zip(bytes) {
            *place &= byte;
        }
        Ok(self.keep(from, from + bytes.len())?)
    }
}
