//! A pseudo-terminal. The office opens its other end like any serial port.

use std::fs::File;
use std::io::{self, Read, Write};
use std::os::fd::{AsFd, OwnedFd};
use std::time::Duration;

use nix::poll::{PollFd, PollFlags, PollTimeout, poll};
use nix::pty::openpty;
use nix::sys::termios::{SetArg, cfmakeraw, tcgetattr, tcsetattr};
use nix::unistd::ttyname;

use super::Wire;

/// The handheld's end.
pub struct Pty {
    master: File,
    /// Kept open: with no office end open, the master would read errors as soon as one office hangs
    /// up, and the cable would be dead for the next.
    _office_end: OwnedFd,
    address: String,
}

impl Pty {
    /// Opens a pair of ends.
    ///
    /// # Errors
    /// The system's own.
    pub fn open() -> io::Result<Self> {
        let pair = openpty(None, None)?;
        let mut raw = tcgetattr(&pair.slave)?;
        cfmakeraw(&mut raw);
        tcsetattr(&pair.slave, SetArg::TCSANOW, &raw)?;
        let address = ttyname(&pair.slave)?.display().to_string();
        Ok(Self { master: File::from(pair.master), _office_end: pair.slave, address })
    }

    fn ready(&self, flags: PollFlags, wait: Duration) -> io::Result<bool> {
        let wait = PollTimeout::try_from(wait).unwrap_or(PollTimeout::MAX);
        let mut fds = [PollFd::new(self.master.as_fd(), flags)];
        match poll(&mut fds, wait) {
            Ok(count) => Ok(count > 0),
            Err(nix::errno::Errno::EINTR) => Ok(false),
            Err(error) => Err(error.into()),
        }
    }
}

impl Wire for Pty {
    fn address(&self) -> String {
        self.address.clone()
    }

    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        if !self.ready(PollFlags::POLLIN, wait)? {
            return Ok(0);
        }
        match self.master.read(buffer) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => Ok(0),
            read => read,
        }
    }

    fn write(&mut self, mut bytes: &[u8]) -> io::Result<()> {
        while !bytes.is_empty() {
            // Nobody reads, and the terminal's queue is full: the bytes are lost on the cable.
            if !self.ready(PollFlags::POLLOUT, Duration::from_secs(1))? {
                return Ok(());
            }
            let sent = self.master.write(bytes)?;
            bytes = &bytes[sent..];
        }
        Ok(())
    }
}
