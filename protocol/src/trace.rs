//! Trace frames: log lines of the firmware's makers, on the office's line but not for the office.
//!
//! ```text
//! 00 | COBS( kind 'T' | number 1 | log bytes 1 to 48 | CRC-32 turned over, LE ) | 00
//! ```
//!
//! The checksum with every bit turned over never equals the checksum, so no trace frame is ever a
//! frame whose checksum holds: every office drops it as damaged, whatever its version.

use cobs::CobsEncoder;

use crate::frame::FrameError;
use crate::limits::{MAX_TRACE, TRACE_OVERHEAD};
use crate::seal::CRC;

/// First byte of a trace frame: 'T'.
pub const KIND: u8 = 0x54;

/// A trace frame that is whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trace<'a> {
    /// Rises by one from frame to frame, 0 after 255: a hole is a frame lost.
    pub number: u8,
    /// Bytes of the log, a part of it cut anywhere.
    pub bytes: &'a [u8],
}

/// Reads what stood between two zeros on the line; undoes COBS in place. `None` for everything that
/// is no whole trace frame.
#[must_use]
pub fn decode(between_zeros: &mut [u8]) -> Option<Trace<'_>> {
    let length = cobs::decode_in_place(between_zeros).ok()?;
    let (covered, check) = between_zeros[..length].split_last_chunk()?;
    let [KIND, number, bytes @ ..] = covered else { return None };
    let whole = !CRC.checksum(covered) == u32::from_le_bytes(*check);
    (whole && !bytes.is_empty() && bytes.len() <= MAX_TRACE)
        .then_some(Trace { number: *number, bytes })
}

/// Encodes a trace frame into `line`, zeros included, and gives what is to be sent.
///
/// # Errors
/// `Malformed` without log bytes; `TooLong` for more than [`MAX_TRACE`] of them and where `line` is
/// shorter than [`crate::limits::MAX_TRACE_ON_WIRE`] though the frame needs it.
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
