//! Bytes and meaning of page headers and slots: the tables of `FLASH.md`, without any flash access.
//!
//! ```text
//! header  magic 2 | version 1 | lap 1 | log id 4 | first number 4 | CRC-32 4
//! slot    kind 1 | length 1 | both inverted 2 | content 40 | commit word 4
//! ```

use hornrule_protocol::seal::CRC;
use hornrule_protocol::{LogId, Sealed, Seq};

/// Format version that this code writes and reads.
pub(super) const VERSION: u8 = 1;
/// Bytes of a page header.
pub(super) const HEADER: usize = 16;
/// Bytes of a slot.
pub(super) const SLOT: usize = 48;
/// Where a header's checksum and a slot's commit word start; each is a separate program operation.
pub(super) const HEADER_CHECK: usize = 12;
pub(super) const COMMIT: usize = 44;

const MAGIC: [u8; 2] = *b"HR";
const RECORD: u8 = b'R';
const MARK: u8 = b'M';
const WORD: usize = 4;

const _: () = assert!(WORD + hornrule_protocol::limits::MAX_SEALED <= COMMIT);

/// The contents of an intact page header of this version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Header {
    pub(super) log: LogId,
    pub(super) lap: u8,
    pub(super) first: Seq,
}

/// What 16 bytes at the start of a page are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HeaderView {
    /// All `ff` or all `00`.
    Blank,
    Ours(Header),
    Newer(u8),
    /// Starts like a header of this version, but is not intact.
    Torn,
    Foreign,
}

impl Header {
    pub(super) fn to_bytes(self) -> [u8; HEADER] {
        let mut bytes = [0; HEADER];
        bytes[..2].copy_from_slice(&MAGIC);
        bytes[2] = VERSION;
        bytes[3] = self.lap;
        bytes[4..8].copy_from_slice(&self.log.0.to_le_bytes());
        bytes[8..12].copy_from_slice(&self.first.0.to_le_bytes());
        let check = CRC.checksum(&bytes[..HEADER_CHECK]);
        bytes[HEADER_CHECK..].copy_from_slice(&check.to_le_bytes());
        bytes
    }
}

fn word(bytes: &[u8], at: usize) -> u32 {
    u32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]])
}

/// Integrity before version: damage must not look like a newer version.
pub(super) fn view_header(bytes: &[u8; HEADER]) -> HeaderView {
    if is_uniform(bytes) {
        return HeaderView::Blank;
    }
    let magic = bytes[..2] == MAGIC;
    let whole = CRC.checksum(&bytes[..HEADER_CHECK]) == word(bytes, HEADER_CHECK);
    match (magic, whole, bytes[2]) {
        (true, true, VERSION) => HeaderView::Ours(Header {
            log: LogId(word(bytes, 4)),
            lap: bytes[3],
            first: Seq(word(bytes, 8)),
        }),
        (true, true, version) if version > VERSION => HeaderView::Newer(version),
        (true, false, VERSION) => HeaderView::Torn,
        _ => HeaderView::Foreign,
    }
}

/// Whether these bytes can be what an interruption left of a log's very first header: in the first
/// word, bits not yet cleared by a program or set again by an erase can only be extra ones.
pub(super) fn begins_first_header(bytes: &[u8; HEADER]) -> bool {
    let [m0, m1] = MAGIC;
    let first_word = u32::from_le_bytes([m0, m1, VERSION, 0]);
    word(bytes, 0) & first_word == first_word
}

/// All `ff` or all `00`.
pub(super) fn is_uniform(bytes: &[u8]) -> bool {
    bytes.iter().all(|b| *b == 0xFF) || bytes.iter().all(|b| *b == 0)
}

/// The position of a slot; part of its commit word, not of its bytes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) log: LogId,
    pub(super) lap: u8,
    pub(super) page: u32,
    pub(super) slot: u16,
}

/// What to write to a slot.
#[derive(Clone, Copy, Debug)]
pub(super) enum Content<'a> {
    Record(&'a Sealed),
    Mark(Seq),
}

/// What a slot holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Slot {
    Blank,
    /// Not committed. `PerhapsRecord` if a commit word is written and the slot is not labelled a
    /// mark: it may once have been an acknowledged record.
    Torn(Was),
    Record(Sealed),
    /// Released through this number.
    Mark(Seq),
}

/// What a torn slot may have been.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Was {
    NoRecord,
    PerhapsRecord,
}

impl Slot {
    pub(super) fn is(&self, content: Content<'_>) -> bool {
        match (self, content) {
            (Self::Record(found), Content::Record(meant)) => found == meant,
            (Self::Mark(found), Content::Mark(meant)) => *found == meant,
            _ => false,
        }
    }
}

fn commit_word(place: Place, written: &[u8]) -> u32 {
    let mut digest = CRC.digest();
    digest.update(&place.log.0.to_le_bytes());
    digest.update(&[place.lap]);
    digest.update(&place.page.to_le_bytes());
    digest.update(&place.slot.to_le_bytes());
    digest.update(written);
    match digest.finalize() {
        u32::MAX => 0,
        sum => sum,
    }
}

/// The slot's bytes, and how many of those before the commit word to program. 167t at most
/// MAX_SEALED, checked above at compile time
pub(super) fn encode_slot(place: Place, content: Content<'_>) -> ([u8; SLOT], usize) {
    let mark;
    let (kind, body) = match content {
        Content::Record(sealed) => (RECORD, sealed.as_bytes()),
        Content::Mark(through) => {
            mark = through.0.to_le_bytes();
            (MARK, mark.as_slice())
        }
    };
    let mut bytes = [0xFF; SLOT];
    let length = body.len() as u8; // at most MAX_SEALED, checked above when compiling
    bytes[..WORD].copy_from_slice(&[kind, length, !kind, !length]);
    bytes[WORD..WORD + body.len()].copy_from_slice(body);
    let written = WORD + body.len().next_multiple_of(WORD);
    let commit = commit_word(place, &bytes[..written]);
    bytes[COMMIT..].copy_from_slice(&commit.to_le_bytes());
    (bytes, written)
}

pub(super) fn decode_slot(place: Place, bytes: &[u8; SLOT]) -> Slot {
    if bytes.iter().all(|b| *b == 0xFF) {
        return Slot::Blank;
    }
    let [kind, length, not_kind, not_length] = [bytes[0], bytes[1], bytes[2], bytes[3]];
    let length = usize::from(length);
    let shaped = kind == !not_kind && bytes[1] == !not_length && length <= COMMIT - WORD;
    let torn = match (shaped && kind == MARK, word(bytes, COMMIT)) {
        (true, _) | (false, u32::MAX) => Slot::Torn(Was::NoRecord),
        (false, _) => Slot::Torn(Was::PerhapsRecord),
    };
    if !shaped {
        return torn;
    }
    let written = WORD + length.next_multiple_of(WORD);
    if commit_word(place, &bytes[..written]) != word(bytes, COMMIT) {
        return torn;
    }
    let body = &bytes[WORD..WORD + length];
    match kind {
        RECORD => Sealed::from_bytes(body).map_or(torn, Slot::Record),
        MARK if length == WORD => Slot::Mark(Seq(word(body, 0))),
        _ => torn,
    }
}
