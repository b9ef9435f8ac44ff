//! The envelope: sealed once, on the handheld; opened only by those who read what was said.
//!
//! ```text
//!  0        1        2..6       6..6+n            6+n..10+n
//! +--------+--------+----------+-----------------+---------------------------------+
//! | version| n      | seq, LE  | postcard Record | CRC-32, LE, over device, log    |
//! +--------+--------+----------+-----------------+ and everything before it        +
//! ```
//!
//! Device and log are in the checksum but not in the bytes: flash and wire name them once for many
//! records, and a record presented under another handheld's name does not open. Everything outside
//! the body is the same in all versions, for ever, so that an old office can keep a newer record.

use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

use crate::limits::{MAX_BODY, MAX_SEALED, SEAL_OVERHEAD};
use crate::{DeviceId, LogId, Record, Seq};

/// The checksum of seals, frames and flash. Without a table: 1 KiB of flash costs more than the
/// time.
pub const CRC: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);

/// Version of the records this crate seals.
pub const RECORD_VERSION: u8 = 1;

const HEAD: usize = SEAL_OVERHEAD - CHECK;
const CHECK: usize = 4;

/// A sealed record: bytes of valid shape (length, nothing more). Flash log, link, wire, pull and
/// inbox carry it verbatim; none of them looks inside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealed(heapless::Vec<u8, MAX_SEALED>);

/// Why bytes cannot be a sealed record, whatever they contain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShapeError {
    /// Fewer bytes than the length byte asks for.
    Short,
    /// A body length of zero or above [`MAX_BODY`].
    Length(u8),
    /// A complete sealed record with bytes after it.
    Surplus,
}

impl core::fmt::Display for ShapeError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Short => f.write_str("the bytes end inside a sealed record"),
            Self::Length(n) => write!(f, "a sealed record cannot have a body of {n} bytes"),
            Self::Surplus => f.write_str("bytes follow the sealed record"),
        }
    }
}

impl core::error::Error for ShapeError {}

/// Why a sealed record does not open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpenError {
    /// The checksum is wrong: damaged, or from another handheld or log.
    Damaged,
    /// Intact, but sealed in a version newer than this one knows.
    Newer {
        /// That version.
        version: u8,
    },
    /// Intact and of a known version, but the body is not a record.
    Malformed,
}

impl core::fmt::Display for OpenError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Damaged => f.write_str("damaged: its checksum does not hold"),
            Self::Newer { version } => {
                write!(f, "of version {version}, newer than this program knows ({RECORD_VERSION})")
            }
            Self::Malformed => f.write_str("whole, but not a record this program knows"),
        }
    }
}

impl core::error::Error for OpenError {}

/// The body would exceed [`MAX_BODY`]. No version 1 record can; the frozen tests seal the longest
/// ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLong;

impl core::fmt::Display for TooLong {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "a record's body is longer than {MAX_BODY} bytes")
    }
}

impl core::error::Error for TooLong {}

impl Sealed {
    /// Takes the first sealed record off a run and returns the rest.
    ///
    /// # Errors
    /// [`ShapeError`]; nothing is consumed then.
    pub fn split_first(run: &[u8]) -> Result<(Self, &[u8]), ShapeError> {
        let n = *run.get(1).ok_or(ShapeError::Short)?;
        if n == 0 || usize::from(n) > MAX_BODY {
            return Err(ShapeError::Length(n));
        }
        let (one, rest) =
            run.split_at_checked(usize::from(n) + SEAL_OVERHEAD).ok_or(ShapeError::Short)?;
        let bytes = heapless::Vec::from_slice(one).map_err(|_| ShapeError::Length(n))?;
        Ok((Self(bytes), rest))
    }

    /// Exactly one sealed record.
    ///
    /// # Errors
    /// [`ShapeError`], also if bytes are left over.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, ShapeError> {
        match Self::split_first(bytes)? {
            (sealed, []) => Ok(sealed),
            (_, _) => Err(ShapeError::Surplus),
        }
    }

    /// The bytes, verbatim.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8] {
        &self.0
    }

    /// The number written outside the body. Trust it only after [`open`].
    #[must_use]
    pub fn seq(&self) -> Seq {
        Seq(u32::from_le_bytes([self.0[2], self.0[3], self.0[4], self.0[5]]))
    }

    /// The version written outside the body. Trust it only after [`open`].
    #[must_use]
    pub fn version(&self) -> u8 {
        self.0[0]
    }

    /// Whether the checksum is right for this handheld and log.
    #[must_use]
    pub fn is_whole(&self, device: DeviceId, log: LogId) -> bool {
        let (covered, written) = self.0.split_at(self.0.len() - CHECK);
        checksum(device, log, covered).to_le_bytes() == written
    }
}

fn checksum(device: DeviceId, log: LogId, covered: &[u8]) -> u32 {
    let mut digest = CRC.digest();
    digest.update(&device.0.to_le_bytes());
    digest.update(&log.0.to_le_bytes());
    digest.update(covered);
    digest.finalize()
}

/// Numbers, encodes and checksums a record.
///
/// # Errors
/// [`TooLong`], which no version 1 record reaches.
pub fn seal(device: DeviceId, log: LogId, seq: Seq, record: &Record) -> Result<Sealed, TooLong> {
    let mut body = [0u8; MAX_BODY];
    let body = postcard::to_slice(record, &mut body).map_err(|_| TooLong)?;
    let mut bytes = heapless::Vec::new();
    let parts: [&[u8]; 4] = [&[RECORD_VERSION], &[body.len() as u8], &seq.0.to_le_bytes(), body];
    for part in parts {
        bytes.extend_from_slice(part).map_err(|_| TooLong)?;
    }
    let check = checksum(device, log, &bytes).to_le_bytes();
    bytes.extend_from_slice(&check).map_err(|_| TooLong)?;
    Ok(Sealed(bytes))
}

/// Checks and decodes a sealed record. Integrity comes before version, so that damage never looks
/// like a newer version.
///
/// # Errors
/// [`OpenError`].
pub fn open(device: DeviceId, log: LogId, sealed: &Sealed) -> Result<Record, OpenError> {
    if !sealed.is_whole(device, log) {
        return Err(OpenError::Damaged);
    }
    match sealed.version() {
        RECORD_VERSION => {
            let body = &sealed.0[HEAD..sealed.0.len() - CHECK];
            match postcard::take_from_bytes(body) {
                Ok((record, [])) => Ok(record),
                Ok(_) | Err(_) => Err(OpenError::Malformed),
            }
        }
        0 => Err(OpenError::Malformed),
        version => Err(OpenError::Newer { version }),
    }
}
