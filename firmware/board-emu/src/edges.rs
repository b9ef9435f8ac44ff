//! Calliper edges, from the interrupt raised by a change of the clock pin.
//!
//! The emulator has the interrupt line but not the block behind it, so a test raises it. Whoever
//! sends edges waits for `TAKEN` to change before the next one, so that none is lost on a slow
//! computer.

use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::channel::Channel;
use hornrule_core::calliper::{Edge, Level};
use hornrule_core::time::Micros;
use hornrule_shell::EdgeSource;
use nrf51_pac::{Interrupt, interrupt};

use crate::pins::{CLOCK, DATA, Input, Output, TAKEN};
use crate::register::{GPIO_IN, GPIOTE_PORT};
use crate::{chip, clock};

/// Edges that may wait: more than a 52-bit packet produces between two polls of the core at 115,200
/// baud.
const WAITING: usize = 16;

static EDGES: Channel<CriticalSectionRawMutex, (Edge, Micros), WAITING> = Channel::new();

#[interrupt]
fn GPIOTE() {
    GPIOTE_PORT.write(0);
    let pins = GPIO_IN.read();
    let level = |pin: u8| if pins >> pin & 1 == 1 { Level::High } else { Level::Low };
    let edge = Edge { clock: level(CLOCK), data: level(DATA) };
    // One edge too many spoils its packet, which the core sees from its length.
    let _lost = EDGES.try_send((edge, clock::now()));
}

/// The edges of this board.
pub(crate) struct Edges {
    taken: Output,
    level: bool,
    given: bool,
}

impl Edges {
    pub(crate) fn new() -> Self {
        for pin in [CLOCK, DATA] {
            Input::new(pin);
        }
        chip::listen(Interrupt::GPIOTE);
        Self { taken: Output::new(TAKEN, false), level: false, given: false }
    }
}

impl EdgeSource for Edges {
    async fn next(&mut self) -> (Edge, Micros) {
        // Being called again means that the last edge was taken.
        if self.given {
            self.level = !self.level;
            self.taken.set(self.level);
        }
        self.given = true;
        EDGES.receive().await
    }
}
