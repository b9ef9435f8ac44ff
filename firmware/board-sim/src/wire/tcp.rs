//! A TCP port. One office at a time.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::thread;
use std::time::{Duration, Instant};

use super::Wire;

/// The handheld's end.
pub struct Tcp {
    listener: TcpListener,
    office: Option<TcpStream>,
}

impl Tcp {
    /// Listens, for example on `127.0.0.1:0`.
    ///
    /// # Errors
    /// The system's own.
    pub fn listen(address: &str) -> io::Result<Self> {
        let listener = TcpListener::bind(address)?;
        listener.set_nonblocking(true)?;
        Ok(Self { listener, office: None })
    }
}

impl Wire for Tcp {
    fn address(&self) -> String {
        self.listener.local_addr().map_or_else(|_| "tcp:?".to_owned(), |at| format!("tcp:{at}"))
    }

    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let until = Instant::now() + wait;
        loop {
            if self.office.is_none() {
                match self.listener.accept() {
                    Ok((office, _)) => {
                        office.set_nonblocking(false)?;
                        office.set_nodelay(true)?;
                        self.office = Some(office);
                    }
                    Err(error) if error.kind() == ErrorKind::WouldBlock => {}
                    Err(error) => return Err(error),
                }
            }
            let Some(office) = self.office.as_mut() else {
                if Instant::now() >= until {
                    return Ok(0);
                }
                thread::sleep(Duration::from_millis(1));
                continue;
            };
            office.set_read_timeout(Some(wait.max(Duration::from_millis(1))))?;
            return match office.read(buffer) {
                Ok(0) => {
                    self.office = None;
                    Ok(0)
                }
                Ok(length) => Ok(length),
                Err(error)
                    if matches!(
                        error.kind(),
                        ErrorKind::WouldBlock | ErrorKind::TimedOut | ErrorKind::Interrupted
                    ) =>
                {
                    Ok(0)
                }
                Err(_) => {
                    self.office = None;
                    Ok(0)
                }
            };
        }
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        if let Some(office) = self.office.as_mut()
            && office.write_all(bytes).is_err()
        {
            self.office = None;
        }
        Ok(())
    }
}
