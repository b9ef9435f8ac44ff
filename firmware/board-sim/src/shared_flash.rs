//! A flash that outlives the handheld using it: the plan stays while the power is off.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use embedded_storage::nor_flash::{ErrorType, NorFlash, ReadNorFlash};

use crate::flash_file::{FlashFile, FlashFileError, PAGE};

/// One flash, held by everything that needs it.
#[derive(Clone, Debug)]
pub struct SharedFlash(Arc<Mutex<FlashFile>>);

impl SharedFlash {
    /// Shares a flash.
    #[must_use]
    pub fn new(flash: FlashFile) -> Self {
        Self(Arc::new(Mutex::new(flash)))
    }

    /// A flash is consistent after every call, even one that panicked in between.
    fn flash(&self) -> MutexGuard<'_, FlashFile> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl ErrorType for SharedFlash {
    type Error = FlashFileError;
}

impl ReadNorFlash for SharedFlash {
    const READ_SIZE: usize = FlashFile::READ_SIZE;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), FlashFileError> {
        self.flash().read(offset, bytes)
    }

    fn capacity(&self) -> usize {
        self.flash().capacity()
    }
}

impl NorFlash for SharedFlash {
    const WRITE_SIZE: usize = FlashFile::WRITE_SIZE;
    const ERASE_SIZE: usize = PAGE;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), FlashFileError> {
        self.flash().erase(from, to)
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), FlashFileError> {
        self.flash().write(offset, bytes)
    }
}
