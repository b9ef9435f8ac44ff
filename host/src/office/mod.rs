//! The office at the end of the day: finds the handheld, pulls it, stores, checks.
//!
//! The only room that knows port, pull, inbox and intake together.

mod desk;
mod standing;

use std::time::Duration;

use hornrule_protocol::Seq;
use hornrule_protocol::message::{Hello, Request, Response};

use desk::Desk;
use hornrule_herd::inbox::aside::Aside;
use hornrule_herd::inbox::{InboxError, Stored};
use hornrule_herd::{Database, DatabaseError};
use hornrule_intake as intake;
use hornrule_intake::Intake;
use hornrule_line::clock::Clock;
use hornrule_line::port;
use hornrule_line::port::{Address, Port};
use hornrule_line::pull::{AskError, Pulled, RunError, ask, run};
pub use standing::{Held, holds};

/// How long a port that may have a handheld behind it gets to answer.
const GREETING: (u16, Duration) = (2, Duration::from_millis(300));
/// How long a handheld that has answered before gets.
pub const ANSWER: (u16, Duration) = (4, Duration::from_millis(500));

/// What a pull brought and what became of it.
#[derive(Clone, Debug)]
pub struct PulledDay {
    /// The pull.
    pub pulled: Pulled,
    /// What the inbox did.
    pub stored: Stored,
    /// What intake made of it.
    pub intake: Intake,
    /// Records that were missing or damaged and that a second reading brought.
    pub mended: u32,
    /// How the handheld stands to what is stored.
    pub standing: Standing,
}

/// How a handheld stands to what is stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Nothing was stored of this log.
    New,
    /// It holds what is stored.
    Same,
    /// Nothing of what is stored is on it any more, or a recorded session cannot be asked; its records
    /// follow on by start and time.
    Follows,
    /// It gives the device and log of records that are stored, and holds others: they are kept aside.
    /// `None` where it then held nothing that differs.
    Aside(Option<Aside>),
    /// It sent, or said before the release that it holds, something else than what was stored a moment
    /// before.
    Contradicts,
}

/// Why a pull failed.
#[derive(Debug, thiserror::Error)]
pub enum OfficeError {
    /// Handheld, line or inbox.
    #[error(transparent)]
    Run(#[from] RunError<InboxError>),
    /// The database.
    #[error(transparent)]
    Database(#[from] DatabaseError),
}

/// Why no handheld was found.
#[derive(Debug, thiserror::Error)]
pub enum FindError {
    /// There is no serial port at all.
    #[error("there is no serial port; plug in the cable, or name the port with --port")]
    NoPorts,
    /// Ports, but none of them answers as a handheld.
    #[error("no handheld answers on {0}; switch it on, or name its port with --port")]
    NoneAnswers(String),
}

/// Asks each serial port whether a handheld is behind it, USB ports first.
///
/// # Errors
/// [`FindError`].
pub fn find() -> Result<(Address, Box<dyn Port>, Hello), FindError> {
    let found = port::found_ports();
    if found.is_empty() {
        return Err(FindError::NoPorts);
    }
    for one in &found {
        let address = Address::Serial(one.path.clone());
        let Ok(mut port) = port::open(&address) else { continue };
        if let Ok(hello) = greet(&mut *port) {
            return Ok((address, port, hello));
        }
    }
    let asked: Vec<&str> = found.iter().map(|one| one.path.as_str()).collect();
    Err(FindError::NoneAnswers(asked.join(", ")))
}

/// Asks who is there.
///
/// # Errors
/// [`AskError`].
pub fn greet(port: &mut dyn Port) -> Result<Hello, AskError> {
    ask(port, &Request::Hello, GREETING, |response| match response {
        Response::Hello(hello) => Some(*hello),
        _ => None,
    })
}

/// Pulls everything new, stores it, lets the handheld go of it, and derives the herd tables.
///
/// # Errors
/// [`OfficeError`]. What was stored before the error stays stored and is derived all the same.
pub fn pull(
    port: &mut dyn Port,
    herd: &mut Database,
    clock: &dyn Clock,
    source: &str,
    progress: &mut dyn FnMut(Seq, Seq),
) -> Result<PulledDay, OfficeError> {
    let mut desk = Desk::new(herd, source, clock.unix_ms(), progress);
    let pulled = run(port, &mut desk, clock);
    let left = desk.leave();
    // Also after a pull that was cut off: what is in the inbox is in the herd tables.
    let intake = match left.pull {
        Some((_, device, log)) if herd.logs()?.contains(&(device, log)) => {
            intake::run(herd, device, log, left.from)?
        }
        _ => Intake::default(),
    };
    let pulled = pulled?;
    if let Some((pull, ..)) = left.pull {
        herd.end_pull(pull, clock.unix_ms())?;
    }
    let standing = standing::told(herd, &left)?;
    Ok(PulledDay { pulled, stored: left.stored, intake, mended: left.mended, standing })
}
