//! The digest of a run of sealed records: whether two sides hold the same ones.
//!
//! CRC-64/XZ over the sealed bytes, record after record. It tells accident from identity (a copied
//! flash, an id given twice), not an attacker from an honest handheld: `DESIGN.md` says why that is
//! enough and why CRC-32 is not.

use crate::Sealed;

/// CRC-64/XZ: the polynomial of ECMA-182, reflected.
const POLYNOMIAL: u64 = 0xC96C_5795_D787_0F42;

/// A digest that is being computed.
///
/// Bit by bit: a table takes 2 KiB of flash, and the library's loop for 64 bits 600 bytes more than
/// this one on a Cortex-M0, whose image then has no room.
#[derive(Clone, Copy, Debug)]
pub struct RunDigest {
    count: u32,
    crc: u64,
}

impl Default for RunDigest {
    fn default() -> Self {
        Self::new()
    }
}

impl RunDigest {
    /// Of no record yet.
    #[must_use]
    pub const fn new() -> Self {
        Self { count: 0, crc: u64::MAX }
    }

    /// Takes the next record.
    pub fn add(&mut self, sealed: &Sealed) {
        self.count = self.count.saturating_add(1);
        for byte in sealed.as_bytes() {
            self.crc ^= u64::from(*byte);
            for _ in 0..8 {
                let odd = self.crc & 1 == 1;
                self.crc >>= 1;
                if odd {
                    self.crc ^= POLYNOMIAL;
                }
            }
        }
    }

    /// How many records were taken.
    #[must_use]
    pub const fn count(&self) -> u32 {
        self.count
    }

    /// The digest of what was taken.
    #[must_use]
    pub const fn finish(self) -> u64 {
        !self.crc
    }
}
