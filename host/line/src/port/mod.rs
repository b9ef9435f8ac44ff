//! Ways to a handheld: a serial port, a TCP bridge, a recorded session.
//!
//! ```text
//! --port /dev/ttyUSB0 | COM3      serial, 115,200 baud 8N1
//! --port tcp:HOST:PORT            serial bridges; systems without pseudo-terminals
//! --port replay:FILE              a recorded session
//! ```

mod find;
mod record;
mod replay;
mod serial;
mod tcp;

pub use find::{Found, found_ports};
pub use record::Recording;
pub use replay::Replay;
pub use serial::Serial;
pub use tcp::Tcp;

use std::io;
use std::path::PathBuf;
use std::str::FromStr;
use std::time::Duration;

/// A line to a handheld.
pub trait Port {
    /// Sends all of these bytes.
    ///
    /// # Errors
    /// The line's own; the peer is gone then.
    fn send(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Waits for bytes and gives how many came; 0 after `wait` without any.
    ///
    /// # Errors
    /// The line's own; the peer is gone then.
    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize>;

    /// Whether a handheld is at the other end, which can be asked what it holds. A recorded session
    /// gives only what was asked when it was recorded.
    fn answers(&self) -> bool {
        true
    }
}

/// How a handheld is reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Address {
    /// A serial device.
    Serial(String),
    /// HOST:PORT.
    Tcp(String),
    /// A recorded session.
    Replay(PathBuf),
}

impl FromStr for Address {
    type Err = std::convert::Infallible;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Ok(match text.split_once(':') {
            Some(("tcp", address)) => Self::Tcp(address.to_owned()),
            Some(("replay", file)) => Self::Replay(PathBuf::from(file)),
            _ => Self::Serial(text.to_owned()),
        })
    }
}

impl std::fmt::Display for Address {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Serial(path) => f.write_str(path),
            Self::Tcp(address) => write!(f, "tcp:{address}"),
            Self::Replay(file) => write!(f, "replay:{}", file.display()),
        }
    }
}

/// Why a port cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum PortError {
    /// No such thing.
    #[error("there is no port {0}; `hornrule ports` lists all ports")]
    Unknown(String),
    /// Somebody else has it.
    #[error("port {0} is in use by another program; close that program and try again")]
    Busy(String),
    /// We may not.
    #[error("no permission to open port {0}; on Linux, join the group `dialout`")]
    Denied(String),
    /// The bridge does not answer.
    #[error(
        "tcp:{address} does not answer ({source}); check that the bridge is on and that the \
             address is right"
    )]
    Bridge {
        /// HOST:PORT.
        address: String,
        /// Why.
        source: io::Error,
    },
    /// A recorded session cannot be read.
    #[error("recorded session {file}: {why}")]
    Session {
        /// The file.
        file: String,
        /// What is wrong, and in which line.
        why: String,
    },
    /// The file of a recorded session cannot be read.
    #[error("recorded session: {0}")]
    Unread(#[from] hornrule_files::input::InputError),
    /// Anything else.
    #[error("port {address} cannot be opened: {source}; check the plug")]
    Other {
        /// The port.
        address: String,
        /// Why.
        source: io::Error,
    },
}

/// Opens a line.
///
/// # Errors
/// [`PortError`].
pub fn open(address: &Address) -> Result<Box<dyn Port>, PortError> {
    Ok(match address {
        Address::Serial(path) => Box::new(Serial::open(path)?),
        Address::Tcp(address) => Box::new(Tcp::open(address)?),
        Address::Replay(file) => Box::new(Replay::open(file)?),
    })
}
