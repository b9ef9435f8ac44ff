//! A TCP bridge to a serial line, or a virtual handheld.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::time::Duration;

use super::{Port, PortError};

/// Patience with a bridge that does not answer at all.
const CONNECT: Duration = Duration::from_secs(5);

/// An open connection.
pub struct Tcp(TcpStream);

impl Tcp {
    /// Connects to HOST:PORT.
    ///
    /// # Errors
    /// `Bridge`.
    pub fn open(address: &str) -> Result<Self, PortError> {
        let connect = || -> io::Result<TcpStream> {
            let mut last = io::Error::from(ErrorKind::NotFound);
            for one in address.to_socket_addrs()? {
                match TcpStream::connect_timeout(&one, CONNECT) {
                    Ok(stream) => {
                        // A request is a few bytes: holding it back would cost a round trip.
                        stream.set_nodelay(true)?;
                        // A bridge that takes nothing any more is gone.
                        stream.set_write_timeout(Some(CONNECT))?;
                        return Ok(stream);
                    }
                    Err(error) => last = error,
                }
            }
            Err(last)
        };
        connect()
            .map(Self)
            .map_err(|source| PortError::Bridge { address: address.to_owned(), source })
    }
}

impl Port for Tcp {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        self.0.set_read_timeout(Some(wait.max(Duration::from_millis(1))))?;
        match self.0.read(buffer) {
            Ok(0) => Err(io::Error::from(ErrorKind::UnexpectedEof)),
            Ok(length) => Ok(length),
            Err(error)
                if matches!(
                    error.kind(),
                    ErrorKind::WouldBlock | ErrorKind::TimedOut | ErrorKind::Interrupted
                ) =>
            {
                Ok(0)
            }
            Err(error) => Err(error),
        }
    }
}
