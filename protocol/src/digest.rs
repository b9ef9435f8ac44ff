//! The digest of a run of sealed records: whether two sides hold the same ones.
//!
//! CRC-64/XZ over the sealed bytes, record after record. It tells accident from identity (a copied
//! flash, an id given twice), not an attacker from an honest handheld: `DESIGN.md` says why that is
//! enough and why CRC-32 is not.

use crc::{CRC_64_XZ, Crc, Digest, NoTable};

use crate::Sealed;

/// Without a table: 2 KiB of flash cost more than the time.
static CRC: Crc<u64, NoTable> = Crc::<u64, NoTable>::new(&CRC_64_XZ);

/// A digest that is being computed.
#[derive(Clone)]
pub struct RunDigest {
    count: u32,
    digest: Digest<'static, u64, NoTable>,
}

impl Default for RunDigest {
    fn default() -> Self {
        Self::new()
    }
}

impl RunDigest {
    /// Of no record yet.
    #[must_use]
    pub fn new() -> Self {
        Self { count: 0, digest: CRC.digest() }
    }

    /// Takes the next record.
    pub fn add(&mut self, sealed: &Sealed) {
        self.count = self.count.saturating_add(1);
        self.digest.update(sealed.as_bytes());
    }

    /// How many records were taken.
    #[must_use]
    pub const fn count(&self) -> u32 {
        self.count
    }

    /// The digest of what was taken.
    #[must_use]
    pub fn finish(self) -> u64 {
        self.digest.finalize()
    }
}
