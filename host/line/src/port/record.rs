//! Recording a session, for later and for tests.
//!
//! ```text
//! hornrule session 1
//! > 00 0c 01 51 ...        sent to the handheld
//! < 00 1f 01 52 ...        received from it
//! ```
//!
//! Text, two hexadecimal digits a byte, a line for each send and each receive, in order. Times are
//! not kept: a replay goes as fast as it can.

use std::fmt::Write as _;
use std::io::{self, Write};
use std::time::Duration;

use super::Port;

/// First line of a recorded session.
pub(super) const TITLE: &str = "hornrule session 1";

/// A port that writes down what passes through it.
pub struct Recording<'a> {
    port: Box<dyn Port>,
    file: &'a mut dyn Write,
}

impl<'a> Recording<'a> {
    /// Records everything that passes through `port` from now on.
    ///
    /// # Errors
    /// The file's own.
    pub fn new(port: Box<dyn Port>, file: &'a mut dyn Write) -> io::Result<Self> {
        writeln!(file, "{TITLE}")?;
        Ok(Self { port, file })
    }

    fn note(&mut self, sign: char, bytes: &[u8]) -> io::Result<()> {
        let mut line = String::from(sign);
        for byte in bytes {
            // Writing to a string cannot fail.
            let _ok = write!(line, " {byte:02x}");
        }
        line.push('\n');
        // In one piece: a session that is cut off ends with a whole line.
        self.file.write_all(line.as_bytes())
    }
}

impl Port for Recording<'_> {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.note('>', bytes)?;
        self.port.send(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let length = self.port.receive(buffer, wait)?;
        if length > 0 {
            self.note('<', &buffer[..length])?;
        }
        Ok(length)
    }
    fn answers(&self) -> bool {
        self.port.answers()
    }
}
