//! The loop that drives a [`Machine`]: reads, writes, stores and waits.

use std::io;
use std::time::Duration;

use hornrule_protocol::Deframer;
use hornrule_protocol::Seq;
use hornrule_protocol::limits::MAX_RESPONSE_ON_WIRE;
use hornrule_protocol::message::Hello;

use super::error::PullError;
use super::machine::Machine;
use super::step::{Anchor, Batch, Do, Event, Finished};
use crate::clock::Clock;
use crate::port::Port;

/// Silence after which a request is repeated. A page erase takes tens of milliseconds, a USB chip
/// sits on bytes for 16: half a second is neither.
const SILENCE: Duration = Duration::from_millis(500);

/// Where a pull puts what it brings. The trait is the pull's, so that it knows no database.
pub trait Links {
    /// Why something could not be stored.
    type Error: std::error::Error + Send + Sync + 'static;

    /// A handheld was met. Gives the last number stored from its log.
    ///
    /// # Errors
    /// The store's own.
    fn meet(&mut self, hello: &Hello) -> Result<Seq, Self::Error>;

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
    Run { port, links, clock, machine: Machine::new(), met: None, counts: Counts::default() }.run()
}

#[derive(Default)]
struct Counts {
    records: u64,
    sealed_bytes: u64,
    wire_bytes: u64,
}

struct Run<'a, L> {
    port: &'a mut dyn Port,
    links: &'a mut L,
    clock: &'a dyn Clock,
    machine: Machine,
    met: Option<(Hello, Seq)>,
    counts: Counts,
}

impl<L: Links> Run<'_, L> {
    fn run(mut self) -> Result<Pulled, RunError<L::Error>> {
        let mut deframer = Box::new(Deframer::<MAX_RESPONSE_ON_WIRE>::new());
        let mut buffer = [0u8; 4096];
        let first = self.machine.begin();
        if let Some(pulled) = self.obey(first)? {
            return Ok(pulled);
        }
        loop {
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
                    let stored = self.links.meet(&hello).map_err(RunError::Store)?;
                    queue.extend(self.machine.resume_after(stored, self.clock.unix_ms())?);
                    self.met = Some((hello, self.machine.expected()));
                }
                Do::Anchor(anchor) => self.links.anchor(&anchor).map_err(RunError::Store)?,
                Do::Store(batch) => {
                    self.links.store(&batch).map_err(RunError::Store)?;
                    self.counts.records += batch.sealed.len() as u64;
                    let bytes: usize = batch.sealed.iter().map(|one| one.as_bytes().len()).sum();
                    self.counts.sealed_bytes += bytes as u64;
                    if let Some((hello, _)) = &self.met {
                        let last = hello.next.previous().max(batch.through);
                        self.links.progress(batch.through, last);
                    }
                    queue.extend(self.machine.on(&Event::Stored, self.clock.unix_ms())?);
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
}
