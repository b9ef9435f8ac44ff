//! A port with one fault at one byte.
//!
//! ```text
//! office --send--> [ byte n of what goes to the handheld ] --> Cable --> handheld
//!        <-recv--- [ byte n of what comes to the office  ] <--
//! ```

use std::collections::VecDeque;
use std::io;
use std::time::Duration;

use hornrule_line::port::Port;

/// Which direction the fault is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Bytes that the office receives.
    ToOffice,
    /// Bytes that the office sends.
    ToHandheld,
}

/// What happens to the byte.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It is lost.
    Drop,
    /// This bit of it is flipped.
    Flip(u8),
    /// It arrives by a later read or goes with a later write than those before it.
    Split,
    /// It arrives twice.
    Repeat,
    /// It and everything after it wait for this many of the office's time-outs, then all continue.
    Stall(u8),
    /// It and everything after it, in both directions, never arrive.
    Dead,
}

/// The port.
pub struct Faulty<'a> {
    port: &'a mut dyn Port,
    way: Way,
    at: usize,
    fault: Fault,
    /// Bytes passed so far: received, sent.
    passed: [usize; 2],
    /// Everything that has passed to the office and to the handheld.
    tape: [Vec<u8>; 2],
    /// Ready for the office.
    ready: VecDeque<u8>,
    /// Waiting until the stall is over.
    held: Vec<u8>,
    stalled: u8,
    dead: bool,
    struck: bool,
}

impl<'a> Faulty<'a> {
    /// A line on which byte `at` in direction `way` meets `fault`.
    pub fn new(port: &'a mut dyn Port, way: Way, at: usize, fault: Fault) -> Self {
        Self {
            port,
            way,
            at,
            fault,
            passed: [0; 2],
            tape: [Vec::new(), Vec::new()],
            ready: VecDeque::new(),
            held: Vec::new(),
            stalled: 0,
            dead: false,
            struck: false,
        }
    }

    /// A line without a fault, for recording.
    pub fn sound(port: &'a mut dyn Port) -> Self {
        Self::new(port, Way::ToOffice, usize::MAX, Fault::Drop)
    }

    /// Whether the fault has happened.
    #[must_use]
    pub const fn struck(&self) -> bool {
        self.struck
    }

    /// What arrived at the office and what it sent, before any fault.
    #[must_use]
    pub fn tape(self) -> [Vec<u8>; 2] {
        self.tape
    }

    /// Where in these bytes the fault is, if it is there.
    fn strikes(&mut self, way: Way, bytes: &[u8]) -> Option<usize> {
        let passed = &mut self.passed[way as usize];
        let before = *passed;
        *passed += bytes.len();
        self.tape[way as usize].extend_from_slice(bytes);
        let at = self.at.checked_sub(before).filter(|at| *at < bytes.len());
        at.filter(|_| way == self.way && !self.struck)
    }

    /// The bytes after a fault that only changes them.
    fn spoil(&self, bytes: &mut Vec<u8>, at: usize) {
        match self.fault {
            Fault::Drop => {
                bytes.remove(at);
            }
            Fault::Flip(bit) => bytes[at] ^= 1 << bit,
            Fault::Repeat => bytes.insert(at, bytes[at]),
            Fault::Split | Fault::Stall(_) | Fault::Dead => {}
        }
    }

    /// From here on, `rest` waits for the stall or never arrives.
    fn stop(&mut self, rest: &[u8]) {
        match self.fault {
            Fault::Stall(time_outs) => {
                self.stalled = time_outs;
                self.held.extend_from_slice(rest);
            }
            Fault::Dead => self.dead = true,
            Fault::Drop | Fault::Flip(_) | Fault::Split | Fault::Repeat => {}
        }
    }

    fn sent_on(&mut self, bytes: &[u8]) -> io::Result<()> {
        if self.stalled > 0 && self.way == Way::ToHandheld {
            self.held.extend_from_slice(bytes);
            return Ok(());
        }
        if bytes.is_empty() { Ok(()) } else { self.port.send(bytes) }
    }

    fn take(&mut self, buffer: &mut [u8]) -> usize {
        let length = buffer.len().min(self.ready.len());
        for (place, byte) in buffer.iter_mut().zip(self.ready.drain(..length)) {
            *place = byte;
        }
        length
    }

    /// One of the office's time-outs while the line stalls.
    fn wait_out(&mut self) -> io::Result<()> {
        self.stalled -= 1;
        if self.stalled == 0 {
            let held = std::mem::take(&mut self.held);
            match self.way {
                Way::ToOffice => self.ready.extend(held),
                Way::ToHandheld => self.port.send(&held)?,
            }
        }
        Ok(())
    }
}

impl Port for Faulty<'_> {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        let at = self.strikes(Way::ToHandheld, bytes);
        if self.dead {
            return Ok(());
        }
        let Some(at) = at else { return self.sent_on(bytes) };
        self.struck = true;
        let mut bytes = bytes.to_vec();
        self.spoil(&mut bytes, at);
        match self.fault {
            Fault::Drop | Fault::Flip(_) | Fault::Repeat => self.sent_on(&bytes),
            Fault::Split => {
                self.sent_on(&bytes[..at])?;
                self.sent_on(&bytes[at..])
            }
            Fault::Stall(_) | Fault::Dead => {
                self.sent_on(&bytes[..at])?;
                self.stop(&bytes[at..]);
                Ok(())
            }
        }
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let there = self.take(buffer);
        if there > 0 {
            return Ok(there);
        }
        let mut fresh = [0u8; 256];
        let length = self.port.receive(&mut fresh, wait)?;
        let mut bytes = fresh[..length].to_vec();
        if let Some(at) = self.strikes(Way::ToOffice, &bytes) {
            self.struck = true;
            self.spoil(&mut bytes, at);
            match self.fault {
                Fault::Drop | Fault::Flip(_) | Fault::Repeat => self.ready.extend(&bytes),
                Fault::Split => {
                    self.ready.extend(&bytes[at..]);
                    if at > 0 {
                        buffer[..at].copy_from_slice(&bytes[..at]);
                        return Ok(at);
                    }
                }
                Fault::Stall(_) | Fault::Dead => {
                    self.ready.extend(&bytes[..at]);
                    self.stop(&bytes[at..]);
                }
            }
            return Ok(self.take(buffer));
        }
        if self.dead {
            return Ok(0);
        }
        if self.stalled > 0 && self.way == Way::ToOffice {
            self.held.extend(&bytes);
            self.wait_out()?;
            return Ok(0);
        }
        if bytes.is_empty() && self.stalled > 0 {
            self.wait_out()?;
        }
        self.ready.extend(&bytes);
        Ok(self.take(buffer))
    }
}
