//! Calliper edges on a board whose pins can wait: stamped above all other tasks, queued for the
//! shell.
//!
//! ```text
//! clock pin ‾|__|‾‾   wait for the other level, stamp, read data --> queue --> Stamped, an EdgeSource
//! ```
//!
//! It waits for a level, not an edge: an edge that comes while the last one is being stamped is
//! then still seen, only later.

use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::channel::Channel;
use embassy_time::Instant;
use embedded_hal::digital::InputPin;
use embedded_hal_async::digital::Wait;
use hornrule_core::calliper::{Edge, Level};
use hornrule_core::time::Micros;

use crate::EdgeSource;

/// Two packets of the longest kind, 2 x 52 x 2 edges: what can arrive while a cue is being decided.
const QUEUE: usize = 208;

/// From the stamping task to the shell's, across executors.
pub type Edges = Channel<CriticalSectionRawMutex, (Edge, Micros), QUEUE>;

/// Stamps for ever. Run this on an executor with priority over everything but the flash.
pub async fn stamp(mut clock: impl InputPin + Wait, mut data: impl InputPin, edges: &Edges) -> ! {
    // A pin that cannot be read counts as high, its pulled-up level.
    let mut high = clock.is_high().unwrap_or(true);
    loop {
        let _seen = if high { clock.wait_for_low().await } else { clock.wait_for_high().await };
        let at = Micros(Instant::now().as_micros());
        high = !high;
        let edge = Edge { clock: level(high), data: level(data.is_high().unwrap_or(true)) };
        // If the queue is full, the core sees a packet with too few bits and reports it.
        let _lost = edges.try_send((edge, at));
    }
}

const fn level(high: bool) -> Level {
    if high { Level::High } else { Level::Low }
}

/// The other end of the queue.
#[derive(Clone, Copy)]
pub struct Stamped<'q>(pub &'q Edges);

impl EdgeSource for Stamped<'_> {
    async fn next(&mut self) -> (Edge, Micros) {
        self.0.receive().await
    }
}
