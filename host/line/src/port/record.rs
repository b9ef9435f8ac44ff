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
use std::fs::File;
use std::io::{self, BufWriter, Write as _};
use std::path::Path;
use std::time::Duration;

use super::Port;

/// First line of a recorded session.
pub(super) const TITLE: &str = "hornrule session 1";

/// A port that writes down what passes through it.
pub struct Recording {
    port: Box<dyn Port>,
    file: BufWriter<File>,
}

impl Recording {
    /// Records everything that passes through `port` from now on.
    ///
    /// # Errors
    /// The file's own.
    pub fn new(port: Box<dyn Port>, path: &Path) -> io::Result<Self> {
        let mut file = BufWriter::new(File::create(path)?);
        writeln!(file, "{TITLE}")?;
        Ok(Self { port, file })
    }

    fn note(&mut self, sign: char, bytes: &[u8]) -> io::Result<()> {
        let mut line = String::from(sign);
        for byte in bytes {
            // Writing to a string cannot fail.
            let _ok = write!(line, " {byte:02x}");
        }
        writeln!(self.file, "{line}")?;
        self.file.flush()
    }
}

impl Port for Recording {
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
