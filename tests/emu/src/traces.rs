//! An image's log lines, extracted from what came over its line.
//!
//! ```text
//! bytes --between zeros--> trace frames --log bytes--> defmt, with the image --> lines
//!             otherwise: the office's, dropped
//! ```

use std::fmt;

use defmt_decoder::{DecodeError, StreamDecoder, Table};
use hornrule_protocol::trace;

/// Longest run between two zeros that is examined: far more than a trace frame.
const LONGEST: usize = 4096;

/// Why an image's lines cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoLines(String);

impl fmt::Display for NoLines {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NoLines {}

/// What one image's lines mean.
pub struct Meaning(Table);

impl Meaning {
    /// From the image's ELF file.
    ///
    /// # Errors
    /// If it is not an ELF file, or the image was built without the feature `defmt`.
    pub fn of(elf: &[u8]) -> Result<Self, NoLines> {
        match Table::parse(elf) {
            Ok(Some(table)) => Ok(Self(table)),
            Ok(None) => Err(NoLines("the image was built without the feature `defmt`".to_owned())),
            Err(error) => Err(NoLines(format!("the image cannot be read: {error:#}"))),
        }
    }

    /// A reader at the start of a line.
    #[must_use]
    pub fn reader(&self) -> Reader<'_> {
        let decoder = self.0.new_stream_decoder();
        Reader { meaning: self, decoder, between: Vec::new(), next: None, torn: true }
    }
}

/// Takes the bytes of a line as they arrive.
pub struct Reader<'m> {
    meaning: &'m Meaning,
    decoder: Box<dyn StreamDecoder + Send + Sync + 'm>,
    between: Vec<u8>,
    next: Option<u8>,
    /// A log line may have begun in a missing frame: the rest of it is skipped.
    torn: bool,
}

impl Reader<'_> {
    /// The log lines completed by these bytes.
    pub fn take(&mut self, bytes: &[u8]) -> Vec<String> {
        let mut lines = Vec::new();
        for byte in bytes {
            if *byte != 0 {
                self.between.truncate(LONGEST);
                self.between.push(*byte);
                continue;
            }
            let mut between = std::mem::take(&mut self.between);
            if let Some(trace) = trace::decode(&mut between) {
                self.frame(trace.number, trace.bytes, &mut lines);
            }
        }
        lines
    }

    fn frame(&mut self, number: u8, mut log: &[u8], lines: &mut Vec<String>) {
        if self.next.is_some_and(|next| next != number) {
            lines.push("(log lines are missing here)".to_owned());
            self.decoder = self.meaning.0.new_stream_decoder();
            self.torn = true;
        }
        self.next = Some(number.wrapping_add(1));
        // The very first frame begins with a line: only a later one is torn.
        if self.torn && number != 0 {
            let Some(end) = log.iter().position(|byte| *byte == 0) else { return };
            log = &log[end + 1..];
        }
        self.torn = false;
        self.decoder.received(log);
        loop {
            match self.decoder.decode() {
                Ok(frame) => lines.push(frame.display(false).to_string()),
                Err(DecodeError::UnexpectedEof) => return,
                Err(DecodeError::Malformed) => lines.push("(a line that is none)".to_owned()),
            }
        }
    }
}
