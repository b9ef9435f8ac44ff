//! Frames: one message each, on a line that may lose, duplicate or corrupt bytes.
//!
//! ```text
//! 00 | COBS( version 1 | kind 1 | request id 2, LE | postcard message | CRC-32, LE ) | 00
//! ```
//!
//! The zero before lets the reader drop line noise; the zero after ends the frame. The checksum is
//! checked before the version, and header and checksum never change in any version.

use cobs::CobsEncoder;
use postcard::ser_flavors::Flavor;
use serde::{Deserialize, Serialize};

use crate::limits::FRAME_OVERHEAD;
use crate::message::{Request, Response};
use crate::seal::CRC;

/// Version of the messages that this crate speaks.
pub const WIRE_VERSION: u8 = 1;

/// Identifies a request; its answers carry the same number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct RequestId(pub u16);

impl RequestId {
    /// The next one; after 65,535 comes 0.
    #[must_use]
    pub const fn next(self) -> Self {
        Self(self.0.wrapping_add(1))
    }
}

/// A message with a kind byte. There are two kinds, so that a cable that echoes is noticed.
pub trait Message {
    /// Second byte of the frame.
    const KIND: u8;
}

impl Message for Request {
    /// 'Q'
    const KIND: u8 = 0x51;
}

impl Message for Response<'_> {
    /// 'R'
    const KIND: u8 = 0x52;
}

/// What is wrong with a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrameError {
    /// Longer than the reader's buffer; dropped up to the next zero.
    TooLong,
    /// Bytes lost, duplicated or changed.
    Damaged,
    /// Intact, but of another version.
    Version {
        /// The version the other side speaks.
        theirs: u8,
    },
    /// Intact, but a request where an answer was expected, or the reverse: an echo.
    Kind,
    /// Intact and of our version, but not one of its messages.
    Malformed,
}

impl core::fmt::Display for FrameError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::TooLong => f.write_str("a frame is too long"),
            Self::Damaged => f.write_str("a frame is damaged"),
            Self::Version { theirs } => write!(
                f,
                "the other side speaks version {theirs} of the wire, this one {WIRE_VERSION}"
            ),
            Self::Kind => f.write_str("the line echoes what is sent"),
            Self::Malformed => f.write_str("a frame is whole, but not a message of this version"),
        }
    }
}

impl core::error::Error for FrameError {}

/// A frame whose checksum is right; its message has not been read yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frame<'a> {
    version: u8,
    kind: u8,
    /// The request it is or answers.
    pub id: RequestId,
    body: &'a [u8],
}

impl<'a> Frame<'a> {
    /// Checks the bytes between two zeros, with COBS undone.
    ///
    /// # Errors
    /// `Damaged` if there are too few bytes or the checksum is wrong.
    pub fn check(plain: &'a [u8]) -> Result<Self, FrameError> {
        let [version, kind, low, high, rest @ ..] = plain else {
            return Err(FrameError::Damaged);
        };
        let (body, check) = rest.split_last_chunk().ok_or(FrameError::Damaged)?;
        let covered = &plain[..plain.len() - check.len()];
        if CRC.checksum(covered).to_le_bytes() != *check {
            return Err(FrameError::Damaged);
        }
        let id = RequestId(u16::from_le_bytes([*low, *high]));
        Ok(Self { version: *version, kind: *kind, id, body })
    }

    /// Reads the message.
    ///
    /// # Errors
    /// `Version`, `Kind`, `Malformed`; bytes left over are malformed.
    pub fn message<M: Message + Deserialize<'a>>(&self) -> Result<M, FrameError> {
        if self.version != WIRE_VERSION {
            return Err(FrameError::Version { theirs: self.version });
        }
        if self.kind != M::KIND {
            return Err(FrameError::Kind);
        }
        match postcard::take_from_bytes(self.body) {
            Ok((message, [])) => Ok(message),
            Ok(_) | Err(_) => Err(FrameError::Malformed),
        }
    }
}

/// Where postcard's bytes go: through the checksum into COBS, without a buffer in between.
struct ToLine<'a> {
    cobs: CobsEncoder<'a>,
    digest: crc::Digest<'static, u32, crc::NoTable>,
}

/// Static, because a digest borrows its algorithm.
static LINE_CRC: crc::Crc<u32, crc::NoTable> = CRC;

impl Flavor for ToLine<'_> {
    type Output = usize;

    fn try_push(&mut self, byte: u8) -> postcard::Result<()> {
        self.try_extend(&[byte])
    }

    fn try_extend(&mut self, bytes: &[u8]) -> postcard::Result<()> {
        self.digest.update(bytes);
        self.cobs.push(bytes).map_err(|_| postcard::Error::SerializeBufferFull)
    }

    fn finalize(mut self) -> postcard::Result<usize> {
        let check = self.digest.finalize().to_le_bytes();
        self.cobs.push(&check).map_err(|_| postcard::Error::SerializeBufferFull)?;
        Ok(self.cobs.finalize())
    }
}

/// Encodes a message into `line`, zeros included, and returns what to send.
///
/// # Errors
/// `TooLong` if `line` is shorter than the frame; [`crate::limits`] has sizes that always fit.
pub fn encode<'a, M: Message + Serialize>(
    id: RequestId,
    message: &M,
    line: &'a mut [u8],
) -> Result<&'a [u8], FrameError> {
    let (first, rest) = line.split_first_mut().ok_or(FrameError::TooLong)?;
    *first = 0;
    let room = rest.len().checked_sub(1).ok_or(FrameError::TooLong)?;
    // The COBS encoder needs at least its own first byte.
    if room < FRAME_OVERHEAD {
        return Err(FrameError::TooLong);
    }
    let mut sink = ToLine { cobs: CobsEncoder::new(&mut rest[..room]), digest: LINE_CRC.digest() };
    let [low, high] = id.0.to_le_bytes();
    let written = sink
        .try_extend(&[WIRE_VERSION, M::KIND, low, high])
        .and_then(|()| postcard::serialize_with_flavor(message, sink))
        .map_err(|_| FrameError::TooLong)?;
    // The COBS encoder counts its last length byte without checking that it has room for it, so a
    // frame whose checksum ends in zero can claim one byte more than there is.
    if written > room {
        return Err(FrameError::TooLong);
    }
    line[1 + written] = 0;
    Ok(&line[..written + 2])
}
