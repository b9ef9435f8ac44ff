//! Every size in one place; that they are consistent is checked at compile time.

use crate::part::MAX_PART;

/// Longest postcard body of a record, bytes. The longest of version 1, `Clock`, takes 24.
pub const MAX_BODY: usize = 30;
/// Bytes of a sealed record in addition to its body: version, length, number, checksum.
pub const SEAL_OVERHEAD: usize = 1 + 1 + 4 + 4;
/// Longest sealed record, bytes.
pub const MAX_SEALED: usize = MAX_BODY + SEAL_OVERHEAD;

/// Longest run of sealed records in one batch, bytes. Payloads of this size leave 98 % of the line
/// for records; twice the size would cost the handheld another kibibyte for half a per cent more.
pub const MAX_BATCH: usize = 1024;

/// Most records that a handheld digests for one request: about as many bytes as two batches, so that
/// the answer takes no longer than they do.
pub const MAX_DIGESTED: u32 = 64;

/// Header and checksum of a frame before COBS: version, kind, request id, CRC-32.
pub const FRAME_OVERHEAD: usize = 1 + 1 + 2 + 4;
/// Longest postcard body of a request, bytes: a piece of a plan with tag, position and length.
pub const MAX_REQUEST: usize = MAX_PART + 1 + 3 + 1;
/// Longest postcard body of a response, bytes: a batch with tag, two numbers and its length.
pub const MAX_RESPONSE: usize = MAX_BATCH + 1 + 5 + 5 + 2;

/// Bytes on the wire for a plain frame of `n` bytes: COBS adds one byte plus one per 254, and there
/// is a zero before and after.
#[must_use]
pub const fn on_wire(n: usize) -> usize {
    n + 1 + n / 254 + 2
}

/// Longest request on the wire, zeros included. A handheld's receive queue holds two of these.
pub const MAX_REQUEST_ON_WIRE: usize = on_wire(MAX_REQUEST + FRAME_OVERHEAD);
/// Longest response on the wire, zeros included.
pub const MAX_RESPONSE_ON_WIRE: usize = on_wire(MAX_RESPONSE + FRAME_OVERHEAD);

/// Kind, number and checksum of a trace frame before COBS.
pub const TRACE_OVERHEAD: usize = 1 + 1 + 4;
/// Most log bytes in a trace frame: 5 ms of a line at 115,200 baud, so as not to hold up an answer.
pub const MAX_TRACE: usize = 48;
/// Longest trace frame on the wire, zeros included.
pub const MAX_TRACE_ON_WIRE: usize = on_wire(MAX_TRACE + TRACE_OVERHEAD);

const _: () = assert!(MAX_BODY <= u8::MAX as usize, "the length byte holds every body");
const _: () = assert!(MAX_SEALED <= 40, "a sealed record fits a flash slot of 48 bytes");
const _: () = assert!(MAX_BATCH >= MAX_SEALED, "a batch holds at least one record");
const _: () = assert!(MAX_TRACE + TRACE_OVERHEAD < 254, "a trace frame is one block of COBS");
const _: () = assert!(2 * MAX_REQUEST_ON_WIRE <= 128, "two requests fit the receive queue");
