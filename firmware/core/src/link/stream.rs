//! One run of batches, from a `Read` to its second END.

use hornrule_protocol::Seq;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::message::Refusal;

use super::shelf::Shelf;

/// END is sent this many times, because nobody answers it.
const ENDS: u8 = 2;

/// A running stream.
#[derive(Debug)]
pub(super) struct Stream {
    id: RequestId,
    next: Seq,
    sent: u32,
    credit: u32,
    ends: u8,
}

/// What a stream sends next.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Next {
    /// No credit: the office has to send some first.
    Wait,
    /// `sealed` bytes of the buffer.
    Batch { from: Seq, through: Seq, sealed: usize },
    /// The end; `last` for the second time.
    End { next: Seq, last: bool },
    /// The log could not be read.
    Failed(Refusal),
}

impl Stream {
    pub(super) const fn new(id: RequestId, from: Seq, credit: u32) -> Self {
        Self { id, next: from, sent: 0, credit, ends: 0 }
    }

    pub(super) const fn id(&self) -> RequestId {
        self.id
    }

    /// Credit counts from the start of the stream and never falls.
    pub(super) fn credit(&mut self, batches: u32) {
        self.credit = self.credit.max(batches);
    }

    /// Whether there is something to send, given that the next record will get number `end`. END
    /// costs no credit.
    pub(super) fn has_news(&self, end: Seq) -> bool {
        self.sent < self.credit || self.next == end
    }

    /// The next batch, filling `buffer` with as many whole records as fit.
    pub(super) fn next(&mut self, shelf: &mut impl Shelf, buffer: &mut [u8]) -> Next {
        if !self.has_news(shelf.next()) {
            return Next::Wait;
        }
        let from = self.next;
        let mut sealed = 0;
        loop {
            match shelf.read_from(self.next) {
                Err(refusal) => return Next::Failed(refusal),
                // The end; numbers missing before it were lost on flash and are accounted for.
                Ok(None) => {
                    self.next = shelf.next();
                    break;
                }
                Ok(Some(record)) => {
                    let bytes = record.as_bytes();
                    let Some(place) = buffer.get_mut(sealed..sealed + bytes.len()) else { break };
                    place.copy_from_slice(bytes);
                    sealed += bytes.len();
                    self.next = record.seq().next();
                }
            }
        }
        if self.next == from {
            self.ends += 1;
            return Next::End { next: from, last: self.ends == ENDS };
        }
        self.ends = 0;
        self.sent = self.sent.saturating_add(1);
        Next::Batch { from, through: self.next.previous(), sealed }
    }
}
