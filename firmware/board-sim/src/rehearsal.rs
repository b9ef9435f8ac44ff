//! A handheld to practise with: in memory, keyed by a person or a test, one key at a time.
//!
//! ```text
//! key, clip --Player--> Handheld (real core) --> cues heard
//!                          |
//!                   flash, shared --copy--> a second mount --> what a power cut would leave
//! ```
//!
//! What counts as recorded is read from a copy of the flash, never from the handheld's own state: a
//! cue that promises too much shows up here (P1).

use std::cell::RefCell;
use std::rc::Rc;

use embedded_storage::nor_flash::{ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash};
use hornrule_core::cue::Signal;
use hornrule_core::keypad::Key;
use hornrule_core::log::Log;
use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{DeviceId, LogId, Nanometres, Record, Seq, open};

use crate::flash_file::FlashFile;
use crate::handheld::{Handheld, Identity};
use crate::player::Player;
use crate::story::{Event, Line};

/// Pages of 1 KiB: some 300 records, more than anyone keys in one exercise.
const PAGES: usize = 16;
const IDENTITY: Identity = Identity { device: DeviceId(0x5EED), fresh_log: LogId(1) };
/// A morning in 2026, milliseconds since 1970: any time will do.
const MORNING_MS: u64 = 1_772_521_200_000;

/// The flash, seen from two sides.
#[derive(Clone)]
struct Shared(Rc<RefCell<FlashFile>>);

impl ErrorType for Shared {
    type Error = NorFlashErrorKind;
}

impl ReadNorFlash for Shared {
    const READ_SIZE: usize = FlashFile::READ_SIZE;
    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        self.0.borrow_mut().read(offset, bytes).map_err(|_| NorFlashErrorKind::Other)
    }
    fn capacity(&self) -> usize {
        self.0.borrow().capacity()
    }
}

impl NorFlash for Shared {
    const WRITE_SIZE: usize = FlashFile::WRITE_SIZE;
    const ERASE_SIZE: usize = FlashFile::ERASE_SIZE;
    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        self.0.borrow_mut().erase(from, to).map_err(|_| NorFlashErrorKind::Other)
    }
    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        self.0.borrow_mut().write(offset, bytes).map_err(|_| NorFlashErrorKind::Other)
    }
}

/// A handheld that is switched on and knows the time.
pub struct Rehearsal {
    handheld: Handheld<Shared>,
    flash: Shared,
    player: Player,
    told: usize,
}

impl Rehearsal {
    /// Switched on, with blank flash and the clock set.
    ///
    /// # Errors
    /// As text, if even a blank flash in memory does not work.
    pub fn new() -> Result<Self, String> {
        let flash = Shared(Rc::new(RefCell::new(FlashFile::in_memory(PAGES))));
        let handheld = Handheld::new(flash.clone(), IDENTITY, MORNING_MS);
        let mut rehearsal = Self { handheld, flash, player: Player::new(1), told: 0 };
        rehearsal.play(Event::PowerOn)?;
        rehearsal.play(Event::OfficeClock)?;
        Ok(rehearsal)
    }

    /// The same with this plan in force; without one, if there are no bytes.
    ///
    /// # Errors
    /// As text, also if these bytes are no plan.
    pub fn with_plan(plan: &[u8]) -> Result<Self, String> {
        let mut rehearsal = Self::new()?;
        if !plan.is_empty() {
            rehearsal.play(Event::OfficePlan(plan.to_vec()))?;
        }
        Ok(rehearsal)
    }

    /// One key, with contact bounce.
    ///
    /// # Errors
    /// As text, as from a story.
    pub fn press(&mut self, key: Key) -> Result<(), String> {
        self.play(Event::Keys(vec![key]))
    }

    /// The calliper shows this and the pedal is pressed; it goes over the lines as bits.
    ///
    /// # Errors
    /// As text: a length that the calliper cannot show.
    pub fn clip(&mut self, length: Nanometres, unit: UnitMode) -> Result<(), String> {
        self.play(Event::Clip(length, unit))
    }

    /// Advances time to this many milliseconds since it was switched on; never back.
    pub fn run_until_ms(&mut self, ms: u64) {
        self.handheld.run_until((MORNING_MS + ms) * 1000);
    }

    /// Milliseconds since it was switched on.
    #[must_use]
    pub const fn now_ms(&self) -> u64 {
        self.handheld.now_ms() - MORNING_MS
    }

    /// Cues played since the last call.
    pub fn heard(&mut self) -> Vec<Signal> {
        let news = self.handheld.heard().get(self.told..).unwrap_or_default();
        let news: Vec<Signal> = news.iter().map(|heard| heard.signal()).collect();
        self.told += news.len();
        news
    }

    /// Every record that a power cut at this moment would leave, with its number.
    #[must_use]
    pub fn in_flash(&self) -> Vec<(Seq, Record)> {
        let copy = self.flash.0.borrow().copy();
        let mut records = Vec::new();
        let Ok(mut log) = Log::mount(copy, IDENTITY.fresh_log) else { return records };
        let mut from = log.first();
        while let Ok(Some(sealed)) = log.read_from(from) {
            if let Ok(record) = open(IDENTITY.device, log.id(), &sealed) {
                records.push((sealed.seq(), record));
            }
            from = sealed.seq().next();
        }
        records
    }

    fn play(&mut self, event: Event) -> Result<(), String> {
        let played = self.player.play(&mut self.handheld, &Line { number: 1, event });
        played.map(|_done| ()).map_err(|error| error.why)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_core::cue::Cue;
    use hornrule_protocol::Entry;

    #[test]
    fn what_is_said_is_in_flash_and_what_is_half_said_is_not() {
        let mut handheld = Rehearsal::new().unwrap();
        handheld.heard();
        for key in [Key::Cow, Key::Two, Key::Seven] {
            handheld.press(key).unwrap();
        }
        assert_eq!(handheld.heard(), [Cue::KeyTaken.signal(); 3]);
        let before = handheld.in_flash().len();
        handheld.press(Key::Cow).unwrap();
        assert_eq!(handheld.heard(), [Cue::Committed.signal()]);
        let records = handheld.in_flash();
        assert_eq!(records.len(), before + 1);
        assert!(matches!(records.last().unwrap().1.entry, Entry::Animal(_)));
        handheld.press(Key::Find).unwrap();
        handheld.run_until_ms(handheld.now_ms() + 16_000);
        let heard = [Cue::KeyTaken, Cue::Dropped].map(Cue::signal);
        assert_eq!(handheld.heard(), heard, "left half said for 16 s");
    }
}
