//! NOR flash in memory that fails on purpose.
//!
//! ```text
//! write, erase --steps--> power fails at step n --> every call fails until revive()
//!                |
//!                +--> Fault at the nth write or erase: refused, torn, false error, false success
//! ```
//!
//! It enforces what error-correcting flash does: a word is programmed once between two erases, even
//! if all its bits are still set.

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashError, NorFlashErrorKind, ReadNorFlash,
};

use crate::seeded::Seeded;

const WORD: usize = 4;
/// Steps that an erase counts for, with a written byte counting as one.
pub const ERASE_STEPS: u64 = 8;

/// Flash with erase pages of `PAGE` bytes, written in words of 4.
#[derive(Clone, Debug)]
pub struct Flash<const PAGE: usize> {
    bytes: Vec<u8>,
    programmed: Vec<bool>,
    erases: Vec<u32>,
    programs: u64,
    reads: u64,
    steps: u64,
    dies_at: Option<u64>,
    power: Power,
    half_erase: HalfErase,
    fault: Option<(u64, Fault)>,
    deaf_reads: u32,
    random: Seeded,
}

/// Flash with pages of 1 KiB.
pub type SmallPages = Flash<1024>;
/// Flash with pages of 4 KiB.
pub type LargePages = Flash<4096>;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Power {
    On,
    Off,
}

/// What an erase leaves if power fails during it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HalfErase {
    /// The first part of the page erased, the rest as it was.
    Front,
    /// The last part of the page erased, the rest as it was: the old header is still there.
    Back,
    /// Random bits risen to one.
    Scattered,
    /// Programmed to zero first, as some flash does, with random bits then risen.
    FromZero,
}

impl HalfErase {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::Front, Self::Back, Self::Scattered, Self::FromZero];
}

/// How one write or erase goes wrong with the power on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// An error, and nothing done.
    Refused,
    /// An error, and the last word or the page left half done.
    Torn,
    /// An error, though everything was done.
    SaidToFail,
    /// No error, though only half done.
    SaidToWork,
}

/// Why the fake refuses or fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlashError {
    /// Outside the flash.
    OutOfBounds,
    /// Not aligned to a word or page.
    NotAligned,
    /// A word already programmed since its page was erased.
    ProgrammedTwice {
        /// Its byte offset.
        at: u32,
    },
    /// The power is off.
    PowerOff,
    /// A requested [`Fault`].
    Faulted,
}

impl NorFlashError for FlashError {
    fn kind(&self) -> NorFlashErrorKind {
        match self {
            Self::OutOfBounds => NorFlashErrorKind::OutOfBounds,
            Self::NotAligned => NorFlashErrorKind::NotAligned,
            Self::ProgrammedTwice { .. } | Self::PowerOff | Self::Faulted => {
                NorFlashErrorKind::Other
            }
        }
    }
}

impl<const PAGE: usize> Flash<PAGE> {
    /// Erased flash with this many pages.
    #[must_use]
    pub fn blank(pages: usize) -> Self {
        Self::load(&vec![0xFF; pages * PAGE])
    }

    /// Flash with this many pages as an emulator provides it: all zero, nothing erased.
    #[must_use]
    pub fn zeroed(pages: usize) -> Self {
        Self::load(&vec![0; pages * PAGE])
    }

    /// Flash with these contents; bytes after the last whole page are ignored. Words that are not
    /// all ones count as programmed.
    #[must_use]
    pub fn load(image: &[u8]) -> Self {
        let pages = image.len() / PAGE;
        let bytes = image[..pages * PAGE].to_vec();
        let programmed = bytes.chunks(WORD).map(|w| w.iter().any(|b| *b != 0xFF)).collect();
        Self {
            bytes,
            programmed,
            erases: vec![0; pages],
            programs: 0,
            reads: 0,
            steps: 0,
            dies_at: None,
            power: Power::On,
            half_erase: HalfErase::Scattered,
            fault: None,
            deaf_reads: 0,
            random: Seeded::new(1),
        }
    }

    /// The contents.
    #[must_use]
    pub fn image(&self) -> &[u8] {
        &self.bytes
    }

    /// A different seed for what cuts and faults leave behind.
    pub fn seed(&mut self, seed: u64) {
        self.random = Seeded::new(seed);
    }

    /// What interrupted erases leave behind from now on.
    pub fn half_erase(&mut self, half_erase: HalfErase) {
        self.half_erase = half_erase;
    }

    /// Power fails in the `steps`th step from now: a step is a byte written, or an eighth of an
    /// erase. The word or page under way is left half done. With 0, before the next step.
    pub fn dies_after(&mut self, steps: u64) {
        self.dies_at = Some(self.steps + steps);
    }

    /// Power is back, and stays on.
    pub fn revive(&mut self) {
        self.power = Power::On;
        self.dies_at = None;
    }

    /// Whether power has failed.
    #[must_use]
    pub fn is_dead(&self) -> bool {
        self.power == Power::Off
    }

    /// The `nth` write or erase from now goes wrong (1 is the next one), with power on.
    pub fn faults_in(&mut self, nth: u64, fault: Fault) {
        self.fault = Some((nth, fault));
    }

    /// The next `count` reads fail, with power on, after the next fault has occurred.
    pub fn deaf_after_fault(&mut self, count: u32) {
        self.deaf_reads = count;
    }

    /// Flips one bit.
    pub fn flip_bit(&mut self, byte: usize, bit: u8) {
        self.bytes[byte] ^= 1 << (bit % 8);
    }

    /// How often each page was erased.
    #[must_use]
    pub fn erases(&self) -> &[u32] {
        &self.erases
    }

    /// Words programmed so far.
    #[must_use]
    pub fn programs(&self) -> u64 {
        self.programs
    }

    /// Reads so far.
    #[must_use]
    pub fn reads(&self) -> u64 {
        self.reads
    }

    /// Steps so far, as [`Self::dies_after`] counts them.
    #[must_use]
    pub fn steps(&self) -> u64 {
        self.steps
    }

    fn check(&self, from: usize, length: usize, grain: usize) -> Result<(), FlashError> {
        if self.is_dead() {
            return Err(FlashError::PowerOff);
        }
        if !from.is_multiple_of(grain) || !length.is_multiple_of(grain) {
            return Err(FlashError::NotAligned);
        }
        match from.checked_add(length) {
            Some(end) if end <= self.bytes.len() => Ok(()),
            _ => Err(FlashError::OutOfBounds),
        }
    }

    /// Takes up to `wanted` steps and returns how many there was power for.
    fn step(&mut self, wanted: u64) -> u64 {
        let left = self.dies_at.map_or(wanted, |at| at.saturating_sub(self.steps));
        let taken = wanted.min(left);
        self.steps += taken;
        if taken < wanted {
            self.power = Power::Off;
        }
        taken
    }

    /// The fault due now, if any.
    fn fault_now(&mut self) -> Option<Fault> {
        match self.fault.take() {
            Some((0 | 1, fault)) => Some(fault),
            Some((n, fault)) => {
                self.fault = Some((n - 1, fault));
                None
            }
            None => None,
        }
    }

    /// Programs a word for `done` of the time its 4 bytes take: each bit with that probability.
    fn program(&mut self, at: usize, word: &[u8], done: u64) {
        for (i, meant) in word.iter().enumerate() {
            let mut kept = 0;
            for bit in 0..8 {
                if self.random.below(WORD as u64) >= done {
                    kept |= 1 << bit;
                }
            }
            self.bytes[at + i] &= *meant | kept;
        }
        self.programmed[at / WORD] = true;
        self.programs += 1;
    }

    /// Leaves the page erased for `done` out of [`ERASE_STEPS`].
    fn erase_partly(&mut self, page: usize, done: u64) {
        let all = page * PAGE..(page + 1) * PAGE;
        let part = PAGE * done as usize / ERASE_STEPS as usize;
        match self.half_erase {
            HalfErase::Front => self.bytes[all][..part].fill(0xFF),
            HalfErase::Back => self.bytes[all][PAGE - part..].fill(0xFF),
            HalfErase::Scattered | HalfErase::FromZero => {
                if self.half_erase == HalfErase::FromZero {
                    self.bytes[all.clone()].fill(0);
                }
                for at in all {
                    for bit in 0..8 {
                        if self.random.below(ERASE_STEPS) < done {
                            self.bytes[at] |= 1 << bit;
                        }
                    }
                }
            }
        }
        // Half erased is not erased: no word may be programmed, not even one that reads blank.
        self.programmed[page * PAGE / WORD..(page + 1) * PAGE / WORD].fill(true);
    }

    fn erase_page(&mut self, page: usize) -> Result<(), FlashError> {
        match self.fault_now() {
            Some(Fault::Refused) => return Err(FlashError::Faulted),
            Some(Fault::Torn) => {
                self.erase_partly(page, ERASE_STEPS / 2);
                return Err(FlashError::Faulted);
            }
            Some(Fault::SaidToWork) => {
                self.erase_partly(page, ERASE_STEPS / 2);
                return Ok(());
            }
            Some(Fault::SaidToFail) => {
                self.erase_wholly(page);
                return Err(FlashError::Faulted);
            }
            None => {}
        }
        let done = self.step(ERASE_STEPS);
        if done == ERASE_STEPS {
            self.erase_wholly(page);
            return Ok(());
        }
        if done > 0 {
            self.erase_partly(page, done);
        }
        Err(FlashError::PowerOff)
    }

    fn erase_wholly(&mut self, page: usize) {
        self.bytes[page * PAGE..(page + 1) * PAGE].fill(0xFF);
        self.programmed[page * PAGE / WORD..(page + 1) * PAGE / WORD].fill(false);
        self.erases[page] += 1;
    }

    fn program_words(&mut self, at: usize, bytes: &[u8]) -> Result<(), FlashError> {
        for (i, word) in bytes.chunks(WORD).enumerate() {
            let at = at + i * WORD;
            if self.programmed[at / WORD] {
                return Err(FlashError::ProgrammedTwice { at: at as u32 });
            }
            let done = self.step(WORD as u64);
            if done > 0 {
                self.program(at, word, done);
            }
            if done < WORD as u64 {
                return Err(FlashError::PowerOff);
            }
        }
        Ok(())
    }
}

impl<const PAGE: usize> ErrorType for Flash<PAGE> {
    type Error = FlashError;
}

impl<const PAGE: usize> ReadNorFlash for Flash<PAGE> {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), FlashError> {
        let at = offset as usize;
        self.check(at, bytes.len(), Self::READ_SIZE)?;
        self.reads += 1;
        if self.fault.is_none() && self.deaf_reads > 0 {
            self.deaf_reads -= 1;
            return Err(FlashError::Faulted);
        }
        bytes.copy_from_slice(&self.bytes[at..at + bytes.len()]);
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.bytes.len()
    }
}

impl<const PAGE: usize> NorFlash for Flash<PAGE> {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = PAGE;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), FlashError> {
        let (from, to) = (from as usize, to as usize);
        let length = to.checked_sub(from).ok_or(FlashError::OutOfBounds)?;
        self.check(from, length, PAGE)?;
        (from / PAGE..to / PAGE).try_for_each(|page| self.erase_page(page))
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), FlashError> {
        let at = offset as usize;
        self.check(at, bytes.len(), WORD)?;
        let fault = match self.fault_now() {
            None => return self.program_words(at, bytes),
            Some(Fault::Refused) => return Err(FlashError::Faulted),
            Some(fault) => fault,
        };
        if fault == Fault::SaidToFail {
            self.program_words(at, bytes)?;
            return Err(FlashError::Faulted);
        }
        let (whole, last) = bytes.split_at(bytes.len().saturating_sub(WORD));
        self.program_words(at, whole)?;
        self.program(at + whole.len(), last, WORD as u64 / 2);
        if fault == Fault::SaidToWork { Ok(()) } else { Err(FlashError::Faulted) }
    }
}
