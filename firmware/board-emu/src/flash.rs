//! Regions of the chip's own flash, through its controller: pages of 1 KiB, words of 4 bytes.
//!
//! The processor is halted while a word is programmed (46 µs) or a page erased (22 ms; data sheet,
//! from memory), so nothing here has to wait.

use core::ptr::addr_of;

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};

use crate::register::{NVMC_CONFIG, NVMC_ERASEPAGE, NVMC_READY};

const PAGE: usize = 1024;
const WORD: usize = 4;

// What the controller allows.
const READ_ONLY: u32 = 0;
const PROGRAM: u32 = 1;
const ERASE: u32 = 2;

unsafe extern "C" {
    // From `memory.x`: the ends of each region.
    static _calliper_start: u32;
    static _calliper_end: u32;
    static _log_start: u32;
    static _log_end: u32;
    static _plan_start: u32;
    static _plan_end: u32;
}

/// A region of the flash. Each is made once, by `main`.
pub(crate) struct PartOfFlash {
    start: usize,
    length: usize,
}

impl PartOfFlash {
    /// The log: the flash after the code.
    pub(crate) fn log() -> Self {
        Self::between(addr_of!(_log_start), addr_of!(_log_end))
    }

    /// The plan: the flash after the log.
    pub(crate) fn plan() -> Self {
        Self::between(addr_of!(_plan_start), addr_of!(_plan_end))
    }

    /// The calliper's setting: the flash before the log.
    pub(crate) fn calliper() -> Self {
        Self::between(addr_of!(_calliper_start), addr_of!(_calliper_end))
    }

    fn between(start: *const u32, end: *const u32) -> Self {
        Self { start: start as usize, length: end as usize - start as usize }
    }

    fn mode(mode: u32) {
        NVMC_CONFIG.write(mode);
        Self::settle();
    }

    fn settle() {
        while NVMC_READY.read() == 0 {}
    }
}

impl ErrorType for PartOfFlash {
    type Error = NorFlashErrorKind;
}

impl ReadNorFlash for PartOfFlash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(self, offset, bytes.len())?;
        let mut from = (self.start + offset as usize) as *const u8;
        for byte in bytes {
            // SAFETY: `check_read` keeps the address within this region, which is mapped and which
            // no reference points to.
            *byte = unsafe { from.read_volatile() };
            from = from.wrapping_add(1);
        }
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.length
    }
}

impl NorFlash for PartOfFlash {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = PAGE;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(self, from, to)?;
        for page in (from..to).step_by(PAGE) {
            Self::mode(ERASE);
            NVMC_ERASEPAGE.write(self.start as u32 + page);
            Self::settle();
            Self::mode(READ_ONLY);
        }
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(self, offset, bytes.len())?;
        Self::mode(PROGRAM);
        let mut to = (self.start + offset as usize) as *mut u32;
        // `check_write` accepts whole words only: there is no remainder.
        for word in bytes.as_chunks::<WORD>().0 {
            // SAFETY: `check_write` keeps the address within this region and word-aligned; the
            // controller is set to program, and no reference points there.
            unsafe { to.write_volatile(u32::from_le_bytes(*word)) };
            Self::settle();
            to = to.wrapping_add(1);
        }
        Self::mode(READ_ONLY);
        Ok(())
    }
}
