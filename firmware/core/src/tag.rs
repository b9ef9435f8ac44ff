//! The tag reader's line: bytes in, a cow's number out.
//!
//! ```text
//!           byte               CR, LF, ETX
//!  Empty ---------> Collecting ------------> read --> Empty
//!    ^                | STX: restart           too long --> Spoiled --CR, LF, ETX--> refused
//!    |                | silence of 500 ms: restart
//!    +----------------+
//! ```
//!
//! The protocol defines what a line may hold (`tag::read_line`).

use heapless::Vec;
use hornrule_protocol::Iso11784;
use hornrule_protocol::tag::{LineError, read_line};

use crate::time::Micros;

/// Longest line kept: 16 digits, blanks between, and enough to notice that it is too long.
const LONGEST: usize = 24;
/// Silence within a line after which it is abandoned, microseconds: a line of 18 bytes takes 19 ms
/// at 9600 baud; a reader that pauses for half a second has started another.
const SILENCE_US: u64 = 500_000;

const STX: u8 = 0x02;
const ETX: u8 = 0x03;
const LF: u8 = 0x0A;
const CR: u8 = 0x0D;

/// Whether what has come so far may still be a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fit {
    Fits,
    Spoiled,
}

/// What a line turned out to be: a number, or why it was not one.
pub type Read = Result<Iso11784, LineError>;

/// The line being received.
#[derive(Clone, Debug)]
pub struct TagLine {
    bytes: Vec<u8, LONGEST>,
    fit: Fit,
    last: Micros,
}

impl Default for TagLine {
    fn default() -> Self {
        Self::new()
    }
}

impl TagLine {
    /// Nothing received yet.
    #[must_use]
    pub const fn new() -> Self {
        Self { bytes: Vec::new(), fit: Fit::Fits, last: Micros(0) }
    }

    /// Takes one byte; at the end of a line returns what it was. Empty lines, as CR LF makes, are
    /// ignored.
    pub fn on_byte(&mut self, byte: u8, now: Micros) -> Option<Read> {
        if now.since(self.last) > SILENCE_US {
            self.begin();
        }
        self.last = now;
        match byte {
            STX => {
                self.begin();
                None
            }
            ETX | LF | CR => self.end(),
            other => {
                if self.bytes.push(other).is_err() {
                    self.fit = Fit::Spoiled;
                }
                None
            }
        }
    }

    fn begin(&mut self) {
        self.bytes.clear();
        self.fit = Fit::Fits;
    }

    fn end(&mut self) -> Option<Read> {
        let read = match self.fit {
            Fit::Fits => read_line(&self.bytes),
            Fit::Spoiled => Err(LineError::Digits(17)),
        };
        self.begin();
        (read != Err(LineError::Empty)).then_some(read)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::vec::Vec;

    const COW: u64 = 999_000_000_000_027;

    fn read(lines: &[(u64, &[u8])]) -> Vec<Option<u64>> {
        let mut line = TagLine::new();
        let mut said = Vec::new();
        for (ms, bytes) in lines {
            for byte in *bytes {
                let read = line.on_byte(*byte, Micros(ms * 1000));
                said.extend(read.map(|read| read.ok().map(Iso11784::decimal)));
            }
        }
        said
    }

    #[test]
    fn lines_end_by_any_of_three_bytes_and_once() {
        for bytes in [
            &b"\x02999000000000027\r\n"[..],
            b"999000000000027\r\n",
            b"999000000000027\n",
            b"\x02999000000000027\x03",
            b"\r\n\r\n999000000000027\r\n\r\n",
        ] {
            assert_eq!(read(&[(0, bytes)]), [Some(COW)], "{bytes:?}");
        }
    }

    #[test]
    fn a_torn_line_is_given_up_and_the_next_is_taken() {
        assert_eq!(read(&[(0, b"\x02999000"), (10, b"\x02999000000000027\r")]), [Some(COW)]);
        assert_eq!(read(&[(0, b"999000"), (501, b"999000000000027\r")]), [Some(COW)]);
        // Without STX and within half a second there is no way to tell: refused, rather than
        // another cow.
        assert_eq!(read(&[(0, b"999000"), (10, b"999000000000027\r")]), [None]);
    }

    #[test]
    fn endless_noise_is_refused_once_and_the_next_line_is_taken() {
        let noise = [b'7'; 10_000];
        assert_eq!(read(&[(0, &noise), (1, b"\r\n999000000000027\r")]), [None, Some(COW)]);
        assert_eq!(read(&[(0, &[0xFF; 30]), (1, b"\n")]), [None]);
    }
}
