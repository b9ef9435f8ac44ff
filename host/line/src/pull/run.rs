//! The loop that drives a [`Machine`]: reads, writes, stores and waits.

use std::io;
use std::time::{Duration, Instant};

use hornrule_protocol::Deframer;
use hornrule_protocol::Seq;
use hornrule_protocol::limits::MAX_RESPONSE_ON_WIRE;
use hornrule_protocol::message::Hello;

use super::error::PullError;
use super::machine::Machine;
use super::step::{Anchor, Batch, Do, Event, Finished, Run};
use crate::clock::Clock;
use crate::port::Port;

/// Silence after which a request is repeated. A page erase takes tens of milliseconds, a USB chip
/// sits on bytes for 16: half a second is neither.
const SILENCE: Duration = Duration::from_millis(500);
/// How long a line may bring bytes and no step forward. A step takes a tenth of a second; a line that
/// drips is never silent and takes days to be loud.
const STANDSTILL: Duration = Duration::from_secs(60);

/// Where a pull puts what it brings. The trait is the pull's, so that it knows no database.
pub trait Links {
    /// Why something could not be stored.
    type Error: std::error::Error + Send + Sync + 'static;

    /// A handheld was met. Gives the runs that would show which log this is, likely ones first; none
    /// where nothing is stored, or nothing of it is on flash any more.
    ///
    /// # Errors
    /// The store's own.
    fn meet(&mut self, hello: &Hello) -> Result<Vec<Run>, Self::Error>;

    /// The handheld holds this one of the runs. Gives the last number stored from that log.
    ///
    /// # Errors
    /// The store's own.
    fn proved(&mut self, at: usize) -> Result<Seq, Self::Error>;

    /// Compares what the handheld holds with what is stored.
    ///
    /// # Errors
    /// The store's own.
    fn compare(&mut self, batch: &Batch) -> Result<(), Self::Error>;

    /// Says from what was compared which log this is. Gives the last number stored from it.
    ///
    /// # Errors
    /// The store's own.
    fn judge(&mut self) -> Result<Seq, Self::Error>;

    /// Keeps a reading of the handheld's clock.
    ///
    /// # Errors
    /// The store's own.
    fn anchor(&mut self, anchor: &Anchor) -> Result<(), Self::Error>;

    /// Makes a batch durable before it returns (P3).
    ///
    /// # Errors
    /// The store's own.
    fn store(&mut self, batch: &Batch) -> Result<(), Self::Error>;

    /// Everything through this number is accounted for. Gives the runs of numbers to be read again,
    /// ascending: they are missing or damaged, and still on flash.
    ///
    /// # Errors
    /// The store's own.
    fn settle(&mut self, through: Seq) -> Result<Vec<(Seq, Seq)>, Self::Error>;

    /// Makes durable what a second reading brought.
    ///
    /// # Errors
    /// The store's own.
    fn fill(&mut self, batch: &Batch) -> Result<(), Self::Error>;

    /// What must be proved before the handheld may let go of everything through this number; `None`
    /// where it may not.
    ///
    /// # Errors
    /// The store's own.
    fn confirm(&mut self, through: Seq) -> Result<Option<Vec<Run>>, Self::Error>;

    /// Whether the handheld may let go, from what was compared since.
    ///
    /// # Errors
    /// The store's own.
    fn consent(&mut self) -> Result<bool, Self::Error>;

    /// Tells how far the pull is: last number stored, last number there is.
    fn progress(&mut self, stored: Seq, last: Seq);
}

/// Why a pull failed.
#[derive(Debug, thiserror::Error)]
pub enum RunError<E: std::error::Error + Send + Sync + 'static> {
    /// The handheld or the line.
    #[error(transparent)]
    Pull(#[from] PullError),
    /// The port itself.
    #[error("the port failed: {0}; check the plug and pull again. What arrived is stored")]
    Port(#[source] io::Error),
    /// The store.
    #[error(transparent)]
    Store(E),
}

/// What a pull brought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pulled {
    /// Who the handheld said it is.
    pub hello: Hello,
    /// First number asked for.
    pub from: Seq,
    /// Records received.
    pub records: u64,
    /// Bytes of sealed records received.
    pub sealed_bytes: u64,
    /// Bytes received in all.
    pub wire_bytes: u64,
    /// How it ended.
    pub finished: Finished,
}

/// Pulls everything that is not stored yet, then lets the handheld go of it.
///
/// # Errors
/// [`RunError`]. Every batch that was stored stays stored; a further pull goes on from there.
pub fn run<L: Links>(
    port: &mut dyn Port,
    links: &mut L,
    clock: &dyn Clock,
) -> Result<Pulled, RunError<L::Error>> {
    let machine = if port.answers() { Machine::new() } else { Machine::without_proof() };
    Pull { port, links, clock, machine, met: None, counts: Counts::default() }.run()
}

#[derive(Default)]
struct Counts {
    records: u64,
    sealed_bytes: u64,
    wire_bytes: u64,
}

struct Pull<'a, L> {
    port: &'a mut dyn Port,
    links: &'a mut L,
    clock: &'a dyn Clock,
    machine: Machine,
    met: Option<(Hello, Seq)>,
    counts: Counts,
}

impl<L: Links> Pull<'_, L> {
    fn run(mut self) -> Result<Pulled, RunError<L::Error>> {
        let mut deframer = Box::new(Deframer::<MAX_RESPONSE_ON_WIRE>::new());
        let mut buffer = [0u8; 4096];
        let first = self.machine.begin();
        if let Some(pulled) = self.obey(first)? {
            return Ok(pulled);
        }
        let mut stepped = (self.machine.steps(), Instant::now());
        loop {
            if self.machine.steps() != stepped.0 {
                stepped = (self.machine.steps(), Instant::now());
            } else if stepped.1.elapsed() > STANDSTILL {
                let todo = self.machine.on(&Event::Drips, self.clock.unix_ms())?;
                if let Some(pulled) = self.obey(todo)? {
                    return Ok(pulled);
                }
            }
            let length = self.port.receive(&mut buffer, SILENCE).map_err(RunError::Port)?;
            if length == 0 {
                let todo = self.machine.on(&Event::Silence, self.clock.unix_ms())?;
                if let Some(pulled) = self.obey(todo)? {
                    return Ok(pulled);
                }
            }
            if length > 0 {
                let todo = self.machine.on(&Event::Bytes(length), self.clock.unix_ms())?;
                if let Some(pulled) = self.obey(todo)? {
                    return Ok(pulled);
                }
            }
            self.counts.wire_bytes += length as u64;
            for byte in &buffer[..length] {
                let now = self.clock.unix_ms();
                let todo = match deframer.push(*byte) {
                    None => continue,
                    Some(Ok(frame)) => self.machine.on(&Event::Frame(&frame), now)?,
                    Some(Err(error)) => self.machine.on(&Event::Bent(error), now)?,
                };
                if let Some(pulled) = self.obey(todo)? {
                    return Ok(pulled);
                }
            }
        }
    }

    /// Does what the machine says, and what follows from that.
    fn obey(&mut self, todo: Vec<Do>) -> Result<Option<Pulled>, RunError<L::Error>> {
        let mut queue = std::collections::VecDeque::from(todo);
        while let Some(next) = queue.pop_front() {
            match next {
                Do::Send(bytes) => self.port.send(&bytes).map_err(RunError::Port)?,
                Do::Meet(hello) => {
                    let runs = self.links.meet(&hello).map_err(RunError::Store)?;
                    self.met = Some((hello, Seq::FIRST));
                    queue.extend(self.machine.met(runs));
                }
                Do::Proved(at) => {
                    let stored = self.links.proved(at).map_err(RunError::Store)?;
                    queue.extend(self.resume_after(stored)?);
                }
                Do::Judge => {
                    let stored = self.links.judge().map_err(RunError::Store)?;
                    queue.extend(self.resume_after(stored)?);
                }
                Do::Compare(batch) => {
                    self.links.compare(&batch).map_err(RunError::Store)?;
                    queue.extend(self.machine.on(&Event::Stored, self.clock.unix_ms())?);
                }
                Do::Anchor(anchor) => self.links.anchor(&anchor).map_err(RunError::Store)?,
                Do::Store(batch) => {
                    self.store(&batch)?;
                    queue.extend(self.machine.on(&Event::Stored, self.clock.unix_ms())?);
                }
                Do::Settle(through) => {
                    let gaps = self.links.settle(through).map_err(RunError::Store)?;
                    queue.extend(self.machine.settled(gaps));
                }
                Do::Fill(batch) => {
                    self.links.fill(&batch).map_err(RunError::Store)?;
                    queue.extend(self.machine.on(&Event::Stored, self.clock.unix_ms())?);
                }
                Do::Confirm(through) => {
                    let runs = self.links.confirm(through).map_err(RunError::Store)?;
                    queue.extend(self.machine.confirmed(runs));
                }
                Do::Consent => {
                    let consents = self.links.consent().map_err(RunError::Store)?;
                    queue.extend(self.machine.consented(consents));
                }
                Do::Finish(finished) => {
                    let Some((hello, from)) = self.met else { continue };
                    let Counts { records, sealed_bytes, wire_bytes } = self.counts;
                    return Ok(Some(Pulled {
                        hello,
                        from,
                        records,
                        sealed_bytes,
                        wire_bytes,
                        finished,
                    }));
                }
            }
        }
        Ok(None)
    }
    fn resume_after(&mut self, stored: Seq) -> Result<Vec<Do>, RunError<L::Error>> {
        let todo = self.machine.resume_after(stored, self.clock.unix_ms())?;
        if let Some((_, from)) = &mut self.met {
            *from = self.machine.expected();
        }
        Ok(todo)
    }

    fn store(&mut self, batch: &Batch) -> Result<(), RunError<L::Error>> {
        self.links.store(batch).map_err(RunError::Store)?;
        self.counts.records += batch.sealed.len() as u64;
        let bytes: usize = batch.sealed.iter().map(|one| one.as_bytes().len()).sum();
        self.counts.sealed_bytes += bytes as u64;
        if let Some((hello, _)) = &self.met {
            let last = hello.next.previous().max(batch.through);
            self.links.progress(batch.through, last);
        }
        Ok(())
    }
}
