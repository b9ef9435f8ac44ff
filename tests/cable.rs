//! A cable in memory between a virtual handheld and the office, clean or dirty, in virtual time.

use std::cell::Cell;
use std::io;
use std::rc::Rc;
use std::time::Duration;

use embedded_storage::nor_flash::NorFlash;
use hornrule_board_sim::Handheld;
use hornrule_line::clock::Clock;
use hornrule_line::port::Port;
use hornrule_testkit::dirty_wire::{Dirt, DirtyWire};

/// The cable, with the handheld at its other end.
pub struct Cable<F: NorFlash> {
    handheld: Handheld<F>,
    to_handheld: DirtyWire,
    to_office: DirtyWire,
    now_ms: Rc<Cell<i64>>,
    /// Port calls left until the plug is pulled.
    calls_left: Option<u32>,
    calls: u32,
}

/// Shows the true time of the handheld's world.
pub struct TrueClock(Rc<Cell<i64>>);

impl Clock for TrueClock {
    fn unix_ms(&self) -> i64 {
        self.0.get()
    }
}

impl<F: NorFlash> Cable<F> {
    /// A clean cable.
    #[must_use]
    pub fn clean(handheld: Handheld<F>) -> Self {
        Self::dirty(handheld, Dirt::default(), 0)
    }

    /// A dirty cable.
    #[must_use]
    pub fn dirty(handheld: Handheld<F>, dirt: Dirt, seed: u64) -> Self {
        let now_ms = Rc::new(Cell::new(i64::try_from(handheld.now_ms()).unwrap()));
        Self {
            handheld,
            to_handheld: DirtyWire::new(dirt, seed),
            to_office: DirtyWire::new(dirt, seed ^ 0x5A5A),
            now_ms,
            calls_left: None,
            calls: 0,
        }
    }

    /// The plug is pulled after this many calls.
    #[must_use]
    pub const fn pulled_after(mut self, calls: u32) -> Self {
        self.calls_left = Some(calls);
        self
    }

    /// The true time.
    #[must_use]
    pub fn clock(&self) -> TrueClock {
        TrueClock(Rc::clone(&self.now_ms))
    }

    /// Port calls so far.
    #[must_use]
    pub const fn calls(&self) -> u32 {
        self.calls
    }

    /// Line faults so far.
    #[must_use]
    pub const fn spoiled(&self) -> u64 {
        self.to_handheld.spoiled() + self.to_office.spoiled()
    }

    /// Unplugs it.
    #[must_use]
    pub fn unplug(self) -> Handheld<F> {
        self.handheld
    }

    fn call(&mut self) -> io::Result<()> {
        self.calls += 1;
        match &mut self.calls_left {
            Some(0) => Err(io::Error::from(io::ErrorKind::BrokenPipe)),
            Some(left) => {
                *left -= 1;
                Ok(())
            }
            None => Ok(()),
        }
    }

    fn exchange(&mut self) {
        let mut buffer = [0u8; 64];
        loop {
            match self.to_handheld.take(&mut buffer) {
                0 => break,
                length => self.handheld.receive(&buffer[..length]),
            }
        }
        while let Some(frame) = self.handheld.transmit() {
            self.to_office.put(&frame);
        }
    }
}

impl<F: NorFlash> Port for Cable<F> {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.call()?;
        self.to_handheld.put(bytes);
        self.exchange();
        Ok(())
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        self.call()?;
        let length = self.to_office.take(buffer);
        if length > 0 {
            return Ok(length);
        }
        let wait_us = u64::try_from(wait.as_micros()).unwrap();
        self.handheld.run_until(self.handheld.now_us() + wait_us);
        self.now_ms.set(i64::try_from(self.handheld.now_ms()).unwrap());
        self.exchange();
        Ok(self.to_office.take(buffer))
    }
}
