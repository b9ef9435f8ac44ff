//! The handheld's tasks: pins and line in, pins and line out, and the core in the middle.
//!
//! ```text
//!  matrix --keys--+                          +--cues--> Voice: beeper, light, motor
//!  pedal ---------+                          |
//!  EdgeSource ----+--Input--> Device (core) -+--time--> request line
//!  Gauge ---------+              ^           |
//!  UART ---line::receive---------+           +--line::send--> UART
//!  tag reader ---line::tag-------+
//! ```
//!
//! Uses `embedded-hal`, `embedded-io-async` and three traits of its own; the only clocks are
//! `embassy-time`'s and the one the board provides. Every task runs on one executor, and none holds
//! the core across an await, so a plain cell is enough and nothing is ever locked out.
#![no_std]

mod battery;
mod cues;
mod edges;
mod keys;
pub mod line;
mod pedal;
mod rest;
mod stamp;
mod time;

pub use battery::{Gauge, battery};
pub use cues::{Voice, cues, unusable};
pub use edges::{EdgeSource, edges};
pub use keys::{Matrix, keys};
pub use pedal::pedal;
pub use rest::{Looks, Rest, Wakes};
pub use stamp::{Edges, Stamped, stamp};
pub use time::time;

use core::cell::RefCell;

use embassy_sync::blocking_mutex::raw::NoopRawMutex;
use embassy_sync::channel::Channel;
use embassy_sync::signal::Signal;
use embedded_storage::nor_flash::NorFlash;
use heapless::Vec;
use hornrule_core::cue::{self, Cue};
use hornrule_core::device::{Device, Input, Plan};
use hornrule_core::time::{Micros, Wake};
use hornrule_protocol::limits::MAX_RESPONSE_ON_WIRE;

/// Cues that may wait to be played. More than this could not be told apart.
const CUES: usize = 10;

/// A frame being sent.
type Frame = Vec<u8, MAX_RESPONSE_ON_WIRE>;

/// The core, and the signals between the tasks.
pub struct Shell<'d, F: NorFlash, P> {
    /// Borrowed for one call, never across an await. Lives elsewhere, because it is large and each
    /// move of it would take as much of a small chip's stack.
    device: RefCell<&'d mut Device<F, P>>,
    clock: fn() -> Micros,
    cues: Channel<NoopRawMutex, cue::Signal, CUES>,
    /// There may be something to send.
    news: Signal<NoopRawMutex, ()>,
    /// The next wake or the request line may have changed.
    changed: Signal<NoopRawMutex, ()>,
}

impl<'d, F: NorFlash, P: Plan> Shell<'d, F, P> {
    /// A handheld that has started. `clock` gives microseconds since then.
    pub fn new(device: &'d mut Device<F, P>, clock: fn() -> Micros) -> Self {
        let shell = Self {
            device: RefCell::new(device),
            clock,
            cues: Channel::new(),
            news: Signal::new(),
            changed: Signal::new(),
        };
        shell.play(Cue::Ready.signal());
        shell
    }

    fn now(&self) -> Micros {
        (self.clock)()
    }

    fn input(&self, input: Input<'_>) {
        self.input_at(input, self.now());
    }

    fn input_at(&self, input: Input<'_>, at: Micros) {
        let received = matches!(input, Input::Received(_));
        let (out, wake) = {
            let mut device = self.device.borrow_mut();
            (device.on(input, at), device.next_wake(at))
        };
        for signal in out.cues {
            self.play(signal);
        }
        if received || wake == Wake::Now {
            self.news.signal(());
        }
        self.changed.signal(());
    }

    fn play(&self, signal: cue::Signal) {
        let _newest_dropped = self.cues.try_send(signal);
    }

    fn next_wake(&self, at: Micros) -> Wake {
        self.device.borrow().next_wake(at)
    }

    fn request(&self) -> bool {
        self.device.borrow().request()
    }

    /// Copies out the next frame, so that the core is free while it is being sent.
    fn next_frame(&self, frame: &mut Frame) -> bool {
        frame.clear();
        let mut device = self.device.borrow_mut();
        // A frame never exceeds its buffer: the same constant sizes both.
        device.transmit().is_some_and(|bytes| frame.extend_from_slice(bytes).is_ok())
    }
}
