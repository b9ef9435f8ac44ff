//! A serial port, 115,200 baud, 8 data bits, no parity, 1 stop bit.

use std::io::{self, ErrorKind, Read, Write};
use std::time::Duration;

use serialport::{ClearBuffer, SerialPort};

use super::{Port, PortError};

/// The handheld's rate.
const BAUD: u32 = 115_200;

/// An open serial port, ours alone.
pub struct Serial(Box<dyn SerialPort>);

impl Serial {
    /// Opens a port by its path or name.
    ///
    /// # Errors
    /// `Unknown`, `Busy`, `Denied`, `Other`.
    pub fn open(path: &str) -> Result<Self, PortError> {
        let port = serialport::new(path, BAUD)
            .timeout(Duration::from_millis(100))
            .open()
            .map_err(|error| why(path, &error))?;
        // What a former program left in the queue is not an answer to us. A line that cannot be
        // cleared is still a line.
        let _cleared = port.clear(ClearBuffer::Input);
        Ok(Self(port))
    }
}

fn why(path: &str, error: &serialport::Error) -> PortError {
    let text = error.to_string().to_lowercase();
    match error.kind() {
        // serialport says "no device" both for no such device and for one that is locked.
        serialport::ErrorKind::NoDevice if text.contains("lock") || text.contains("busy") => {
            PortError::Busy(path.to_owned())
        }
        serialport::ErrorKind::NoDevice | serialport::ErrorKind::Io(ErrorKind::NotFound) => {
            PortError::Unknown(path.to_owned())
        }
        serialport::ErrorKind::Io(ErrorKind::PermissionDenied) => {
            PortError::Denied(path.to_owned())
        }
        serialport::ErrorKind::Io(ErrorKind::ResourceBusy) => PortError::Busy(path.to_owned()),
        serialport::ErrorKind::Io(kind) => {
            PortError::Other { address: path.to_owned(), source: io::Error::new(kind, text) }
        }
        serialport::ErrorKind::InvalidInput | serialport::ErrorKind::Unknown => {
            PortError::Other { address: path.to_owned(), source: io::Error::other(text) }
        }
    }
}

impl Port for Serial {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        self.0.set_timeout(wait).map_err(io::Error::from)?;
        match self.0.read(buffer) {
            Ok(0) => Err(io::Error::from(ErrorKind::BrokenPipe)),
            Ok(length) => Ok(length),
            Err(error) if error.kind() == ErrorKind::TimedOut => Ok(0),
            Err(error) if error.kind() == ErrorKind::Interrupted => Ok(0),
            Err(error) => Err(error),
        }
    }
}
