//! The calliper's proved setting, on a flash region of its own: two pages, one of which is in
//! force. `PLAN.md` in this crate's folder gives the format.
//!
//! ```text
//! magic 2 | version 1 | 0 | turn 4 | setting 6 | 0 0 | CRC-32 4, written last  at each page start
//! ```

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::calliper::CalliperSetting;
use hornrule_protocol::message::Refusal;
use hornrule_protocol::seal::CRC;

const VERSION: u8 = 1;
const MAGIC: [u8; 2] = *b"HC";
const SLOT: usize = 20;
/// Where the checksum is: a separate program operation.
const CHECK: usize = 16;

/// The contents of one page, if intact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Slot {
    /// Which store this was, from 1: the higher is the newer.
    turn: u32,
    setting: CalliperSetting,
}

impl Slot {
    fn to_bytes(self) -> [u8; SLOT] {
        let mut bytes = [0; SLOT];
        bytes[..2].copy_from_slice(&MAGIC);
        bytes[2] = VERSION;
        bytes[4..8].copy_from_slice(&self.turn.to_le_bytes());
        bytes[8..14].copy_from_slice(&self.setting.to_bytes());
        let check = CRC.checksum(&bytes[..CHECK]);
        bytes[CHECK..].copy_from_slice(&check.to_le_bytes());
        bytes
    }

    /// `None` for blank, torn, foreign and newer: to this firmware none of them is a setting.
    fn from_bytes(bytes: &[u8; SLOT]) -> Option<Self> {
        let turn = u32::from_le_bytes([bytes[4], bytes[5], bytes[6], bytes[7]]);
        let setting = [bytes[8], bytes[9], bytes[10], bytes[11], bytes[12], bytes[13]];
        let slot = Self { turn, setting: CalliperSetting::from_bytes(setting)? };
        (slot.to_bytes() == *bytes).then_some(slot)
    }
}

/// The setting on its flash.
#[derive(Debug)]
pub(super) struct Proved<F: NorFlash> {
    flash: F,
    in_force: Option<(u32, Slot)>,
}

impl<F: NorFlash> Proved<F> {
    const SIZES: () = assert!(
        F::ERASE_SIZE >= 32 && 4 % F::WRITE_SIZE == 0 && 4 % F::READ_SIZE == 0,
        "a slot is whole words within a page"
    );

    /// The newest intact setting; a flash that cannot be read has none.
    pub(super) fn mount(flash: F) -> Self {
        let () = Self::SIZES;
        let mut proved = Self { flash, in_force: None };
        for page in 0..2 {
            let Some(slot) = proved.slot(page) else { continue };
            if proved.in_force.is_none_or(|(_, other)| slot.turn > other.turn) {
                proved.in_force = Some((page, slot));
            }
        }
        proved
    }

    pub(super) fn into_flash(self) -> F {
        self.flash
    }

    pub(super) fn setting(&self) -> Option<CalliperSetting> {
        self.in_force.map(|(_, slot)| slot.setting)
    }

    fn slot(&mut self, page: u32) -> Option<Slot> {
        let mut bytes = [0; SLOT];
        self.flash.read(page * F::ERASE_SIZE as u32, &mut bytes).ok()?;
        Slot::from_bytes(&bytes)
    }

    /// Puts a setting in force. Until its checksum is written the old one stays in force: only the
    /// other page is touched.
    ///
    /// # Errors
    /// `NotKept` if there is nowhere to keep it; `FlashFault`: the old one stays in force.
    pub(super) fn store(&mut self, setting: CalliperSetting) -> Result<(), Refusal> {
        if self.flash.capacity() < 2 * F::ERASE_SIZE {
            return Err(Refusal::NotKept);
        }
        if self.setting() == Some(setting) {
            return Ok(());
        }
        let (page, turn) =
            self.in_force.map_or((0, 1), |(page, slot)| (1 - page, slot.turn.saturating_add(1)));
        let slot = Slot { turn, setting };
        // The flash's own report is not trusted: what it holds decides.
        let _said = self.write(page, slot);
        if self.slot(page) != Some(slot) {
            return Err(Refusal::FlashFault);
        }
        self.in_force = Some((page, slot));
        Ok(())
    }

    fn write(&mut self, page: u32, slot: Slot) -> Result<(), F::Error> {
        let first = page * F::ERASE_SIZE as u32;
        let bytes = slot.to_bytes();
        self.flash.erase(first, first + F::ERASE_SIZE as u32)?;
        self.flash.write(first, &bytes[..CHECK])?;
        self.flash.write(first + CHECK as u32, &bytes[CHECK..])
    }
}
