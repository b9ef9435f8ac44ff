//! Bytes of a bank: its mark, and the positions in it.
//!
//! ```text
//! mark  magic 2 | version 1 | 0 | turn 4 | length 4 | plan 4 | CRC-32 4      64 bytes reserved
//! ```

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::seal::CRC;

/// How many banks there are.
pub(super) const BANKS: u32 = 2;
/// Where a plan's own bytes begin in its bank.
pub(super) const BODY: u32 = 64;

/// Format version of a bank. The plan has its own.
const VERSION: u8 = 1;
const MAGIC: [u8; 2] = *b"HP";
const MARK: usize = 20;
/// Where the mark's checksum is: a separate program operation.
const CHECK: usize = 16;
/// Bytes read at once for a checksum.
const SIP: usize = 64;

/// The contents of an intact mark: this bank holds a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Mark {
    /// Which load this was, from 1: the higher is the newer.
    pub(super) turn: u32,
    /// Bytes of the plan.
    pub(super) length: u16,
    /// Its checksum.
    pub(super) plan: u32,
}

impl Mark {
    fn to_bytes(self) -> [u8; MARK] {
        let mut bytes = [0; MARK];
        bytes[..2].copy_from_slice(&MAGIC);
        bytes[2] = VERSION;
        bytes[4..8].copy_from_slice(&self.turn.to_le_bytes());
        bytes[8..12].copy_from_slice(&u32::from(self.length).to_le_bytes());
        bytes[12..16].copy_from_slice(&self.plan.to_le_bytes());
        let check = CRC.checksum(&bytes[..CHECK]);
        bytes[CHECK..].copy_from_slice(&check.to_le_bytes());
        bytes
    }

    /// `None` for blank, torn, foreign and newer: to this firmware none of them is a plan.
    fn from_bytes(bytes: &[u8; MARK]) -> Option<Self> {
        let word = |at: usize| {
            u32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]])
        };
        let mark = Self { turn: word(4), length: u16::try_from(word(8)).ok()?, plan: word(12) };
        (mark.to_bytes() == *bytes).then_some(mark)
    }
}

/// Two banks side by side on a flash.
#[derive(Debug)]
pub(super) struct Banks<F: NorFlash> {
    flash: F,
}

impl<F: NorFlash> Banks<F> {
    const SIZES: () = assert!(
        F::ERASE_SIZE >= 1024
            && F::WRITE_SIZE <= 4
            && 4 % F::WRITE_SIZE == 0
            && 4 % F::READ_SIZE == 0,
        "marks, rows and pieces are whole words within pages"
    );

    pub(super) const fn new(flash: F) -> Self {
        let () = Self::SIZES;
        Self { flash }
    }

    pub(super) fn into_flash(self) -> F {
        self.flash
    }

    pub(super) const fn flash(&self) -> &F {
        &self.flash
    }

    /// Bytes per bank: half of the flash, in whole pages.
    fn size(&self) -> u32 {
        let pages = self.flash.capacity() / F::ERASE_SIZE / BANKS as usize;
        // Flash on a small chip is far below 4 GiB.
        (pages * F::ERASE_SIZE) as u32
    }

    /// Longest plan, in whole words and within 16 bits.
    pub(super) fn room(&self) -> usize {
        let most = usize::from(u16::MAX) & !3;
        (self.size().saturating_sub(BODY) as usize).min(most)
    }

    const fn first(&self, bank: u32, size: u32) -> u32 {
        bank * size
    }

    pub(super) fn read(&mut self, bank: u32, at: u32, bytes: &mut [u8]) -> Result<(), F::Error> {
        let first = self.first(bank, self.size());
        self.flash.read(first + at, bytes)
    }

    /// Writes whole words, and erases each page on first entering it.
    pub(super) fn write(&mut self, bank: u32, at: u32, bytes: &[u8]) -> Result<(), F::Error> {
        let first = self.first(bank, self.size());
        let page = F::ERASE_SIZE as u32;
        let end = at + bytes.len() as u32;
        for start in (at.next_multiple_of(page)..end).step_by(F::ERASE_SIZE) {
            self.flash.erase(first + start, first + start + page)?;
        }
        self.flash.write(first + at, bytes)
    }

    /// The mark of a bank; `None` if there is none.
    pub(super) fn mark(&mut self, bank: u32) -> Result<Option<Mark>, F::Error> {
        if self.size() < BODY {
            return Ok(None);
        }
        let mut bytes = [0; MARK];
        self.read(bank, 0, &mut bytes)?;
        Ok(Mark::from_bytes(&bytes))
    }

    /// Removes the mark of a bank, and with it the plan.
    pub(super) fn clear(&mut self, bank: u32) -> Result<(), F::Error> {
        let first = self.first(bank, self.size());
        self.flash.erase(first, first + F::ERASE_SIZE as u32)
    }

    /// Writes a mark: its checksum last, as a separate program operation.
    pub(super) fn set(&mut self, bank: u32, mark: Mark) -> Result<(), F::Error> {
        let bytes = mark.to_bytes();
        let first = self.first(bank, self.size());
        self.flash.write(first, &bytes[..CHECK])?;
        self.flash.write(first + CHECK as u32, &bytes[CHECK..])
    }

    /// CRC-32 of the first `length` bytes of a bank's plan.
    pub(super) fn checksum(&mut self, bank: u32, length: u16) -> Result<u32, F::Error> {
        let mut digest = CRC.digest();
        let mut sip = [0; SIP];
        let mut at = 0;
        while at < length {
            let part = usize::from(length - at).min(SIP);
            // Whole words, since some flash reads nothing smaller; a plan's length is whole words.
            let read = part.next_multiple_of(4);
            self.read(bank, BODY + u32::from(at), &mut sip[..read])?;
            digest.update(&sip[..part]);
            // At most SIP.
            at += part as u16;
        }
        Ok(digest.finalize())
    }
}
