//! Trace frames: the firmware developers' log lines, on the office's line but not for the office.
//!
//! ```text
//! 00 | COBS( kind 'T' | number 1 | log bytes 1 to 48 | CRC-32 inverted, LE ) | 00
//! ```
//!
//! An inverted checksum never equals the checksum, so a trace frame is never a valid frame: every
//! office drops it as damaged, whatever its version.

use cobs::CobsEncoder;

use crate::frame::FrameError;
use crate::limits::{MAX_TRACE, TRACE_OVERHEAD};
use crate::seal::CRC;

/// First byte of a trace frame: 'T'.
pub const KIND: u8 = 0x54;

/// An intact trace frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trace<'a> {
    /// Counts up by one per frame, 0 after 255: a gap means a lost frame.
    pub number: u8,
    /// Log bytes: a piece of the log, cut anywhere.
    pub bytes: &'a [u8],
}

/// Reads what came between two zeros on the line; undoes COBS in place. `None` for anything that is
/// not an intact trace frame.
#[must_use]
pub fn decode(between_zeros: &mut [u8]) -> Option<Trace<'_>> {
    let length = cobs::decode_in_place(between_zeros).ok()?;
    let (covered, check) = between_zeros[..length].split_last_chunk()?;
    let [KIND, number, bytes @ ..] = covered else { return None };
    let whole = !CRC.checksum(covered) == u32::from_le_bytes(*check);
    (whole && !bytes.is_empty() && bytes.len() <= MAX_TRACE)
        .then_some(Trace { number: *number, bytes })
}

/// Encodes a trace frame into `line`, zeros included, and returns what to send.
///
/// # Errors
/// `Malformed` if there are no log bytes; `TooLong` for more than [`MAX_TRACE`] of them, or if
/// `line` is shorter than the frame ([`crate::limits::MAX_TRACE_ON_WIRE`] always fits).
pub fn encode<'a>(trace: &Trace<'_>, line: &'a mut [u8]) -> Result<&'a [u8], FrameError> {
    if trace.bytes.is_empty() {
        return Err(FrameError::Malformed);
    }
    // A zero at each end and the first byte of the only block of COBS.
    let whole = trace.bytes.len() + TRACE_OVERHEAD + 3;
    if trace.bytes.len() > MAX_TRACE || line.len() < whole {
        return Err(FrameError::TooLong);
    }
    let head = [KIND, trace.number];
    let crc = CRC;
    let mut digest = crc.digest();
    digest.update(&head);
    digest.update(trace.bytes);
    let check = (!digest.finalize()).to_le_bytes();
    let mut cobs = CobsEncoder::new(&mut line[1..whole - 1]);
    for part in [&head[..], trace.bytes, &check] {
        cobs.push(part).map_err(|_| FrameError::TooLong)?;
    }
    let end = 1 + cobs.finalize();
    line[0] = 0;
    line[end] = 0;
    Ok(&line[..=end])
}
