//! The office at the end of the day: finds the handheld, pulls it, stores, checks.
//!
//! The only room that knows port, pull, inbox and intake together.

use std::time::Duration;

use hornrule_protocol::message::{Hello, Request, Response};
use hornrule_protocol::{Boot, DeviceId, LogId, Record, Sealed, Seq};

use hornrule_herd::inbox;
use hornrule_herd::inbox::{InboxError, PullId, PullStart, Stored};
use hornrule_herd::{Database, DatabaseError};
use hornrule_intake as intake;
use hornrule_intake::Intake;
use hornrule_line::clock::Clock;
use hornrule_line::port;
use hornrule_line::port::{Address, Port};
use hornrule_line::pull::{Anchor, AskError, Batch, Links, Pulled, RunError, ask, run};

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
    let mut desk = Desk {
        herd,
        source,
        started_ms: clock.unix_ms(),
        met: None,
        anchor: None,
        stored: Stored::default(),
        progress,
    };
    let pulled = run(port, &mut desk, clock);
    let Desk { met, stored, .. } = desk;
    let intake = match met {
        // Also after a pull that was cut off: what is in the inbox is in the herd tables.
        Some(met) => intake::run(herd, met.device, met.log, met.from)?,
        None => Intake::default(),
    };
    let pulled = pulled?;
    if let Some(met) = met {
        herd.end_pull(met.pull, clock.unix_ms())?;
    }
    Ok(PulledDay { pulled, stored, intake })
}

/// Whether any record of this batch was made in this boot.
fn says_boot(batch: &Batch, boot: Boot) -> bool {
    let mut records = batch.sealed.iter().filter_map(|one| open_record(batch, one));
    records.any(|record| record.boot == boot)
}

fn open_record(batch: &Batch, sealed: &Sealed) -> Option<Record> {
    hornrule_protocol::open(batch.device, batch.log, sealed).ok()
}

/// Where a pull puts what it brings.
struct Desk<'a> {
    herd: &'a mut Database,
    source: &'a str,
    started_ms: i64,
    met: Option<Met>,
    /// Waits for the first new record of its own boot: a boot that leaves none gives its number to
    /// the next one, whose records it would place at the time of this pull.
    anchor: Option<inbox::Anchor>,
    stored: Stored,
    progress: &'a mut dyn FnMut(Seq, Seq),
}

#[derive(Clone, Copy)]
struct Met {
    pull: PullId,
    device: DeviceId,
    log: LogId,
    /// First number that was not stored before.
    from: Seq,
}

impl Desk<'_> {
    fn met(&self) -> Result<Met, InboxError> {
        // The machine meets before it stores; a store without a meeting belongs to no pull.
        self.met.ok_or(InboxError::OtherPull { device: DeviceId(0), log: LogId(0) })
    }
}

impl Links for Desk<'_> {
    type Error = InboxError;

    fn meet(&mut self, hello: &Hello) -> Result<Seq, InboxError> {
        let Hello { device, log, firmware, first, .. } = *hello;
        let start = PullStart {
            device,
            log,
            firmware,
            source: self.source.to_owned(),
            started_ms: self.started_ms,
        };
        let pull = self.herd.begin_pull(&start)?;
        let cursor = self.herd.cursor(device, log)?;
        self.met = Some(Met { pull, device, log, from: cursor.next() });
        if first > cursor.next() {
            // Another office has released these; this database will never see them, and says so.
            let (from, through) = (cursor.next(), first.previous());
            self.herd.store(pull, &Batch { device, log, from, through, sealed: Vec::new() })?;
        }
        Ok(cursor.max(first.previous()))
    }

    fn anchor(&mut self, anchor: &Anchor) -> Result<(), InboxError> {
        let round_trip = anchor.round_trip_ms();
        self.anchor = Some(inbox::Anchor {
            boot: anchor.boot,
            uptime: anchor.uptime,
            unix_ms: anchor.asked_ms.saturating_add(round_trip / 2),
            round_trip_ms: u32::try_from(round_trip).unwrap_or(u32::MAX),
        });
        Ok(())
    }

    fn store(&mut self, batch: &Batch) -> Result<(), InboxError> {
        let pull = self.met()?.pull;
        let anchor = self.anchor.filter(|anchor| says_boot(batch, anchor.boot));
        let stored = self.herd.store_anchored(pull, batch, anchor.as_ref())?;
        if anchor.is_some() && stored.new > 0 {
            self.anchor = None;
        }
        self.stored.new += stored.new;
        self.stored.known += stored.known;
        self.stored.conflicts += stored.conflicts;
        Ok(())
    }

    fn progress(&mut self, stored: Seq, last: Seq) {
        (self.progress)(stored, last);
    }
}
