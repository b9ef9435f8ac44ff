//! The cable: a pseudo-terminal, or a TCP port on systems without them.

#[cfg(unix)]
mod pty;
mod tcp;

#[cfg(unix)]
pub use pty::Pty;
pub use tcp::Tcp;

use std::io;
use std::time::Duration;

/// The handheld's end of a cable.
pub trait Wire {
    /// What the office gives to `--port` to reach this end.
    fn address(&self) -> String;

    /// Waits for bytes and returns how many came; 0 after `wait` without any. An office that hangs
    /// up counts as silence: it may come back.
    ///
    /// # Errors
    /// The line's own.
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize>;

    /// Sends all of these bytes; if nobody listens they are lost, as on a cable.
    ///
    /// # Errors
    /// The line's own.
    fn write(&mut self, bytes: &[u8]) -> io::Result<()>;
}
