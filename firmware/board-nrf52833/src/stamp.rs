//! Calliper edges, stamped in an interrupt executor that comes before everything but the flash.
//!
//! ```text
//! clock pin ‾|__|‾‾   wait for the other level, stamp, read data --> queue --> the shell's task
//! ```
//!
//! The wait is for a level and not for an edge: an edge that comes while the last one is stamped
//! is then still seen, only later.

use embassy_executor::{InterruptExecutor, SendSpawner};
use embassy_nrf::gpio::Input;
use embassy_nrf::interrupt;
use embassy_nrf::interrupt::{InterruptExt, Priority};
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::channel::Channel;
use embassy_time::Instant;
use hornrule_core::calliper::{Edge, Level};
use hornrule_core::time::Micros;
use hornrule_shell::EdgeSource;

/// Two packets of the longest kind, 2 x 52 x 2 edges: what can come while a cue is decided on.
const QUEUE: usize = 208;

static EXECUTOR: InterruptExecutor = InterruptExecutor::new();
static EDGES: Channel<CriticalSectionRawMutex, (Edge, Micros), QUEUE> = Channel::new();

#[embassy_nrf::interrupt]
unsafe fn EGU0_SWI0() {
    // SAFETY: this is the interrupt that `executor` starts the executor on, and its only caller.
    unsafe { EXECUTOR.on_interrupt() }
}

/// Starts the executor. To be called once.
pub(crate) fn executor() -> SendSpawner {
    interrupt::EGU0_SWI0.set_priority(Priority::P3);
    EXECUTOR.start(interrupt::EGU0_SWI0)
}

/// Stamps for ever.
#[embassy_executor::task]
pub(crate) async fn stamp(mut clock: Input<'static>, data: Input<'static>) -> ! {
    let mut high = clock.is_high();
    loop {
        if high {
            clock.wait_for_low().await
        } else {
            clock.wait_for_high().await
        }
        let at = Micros(Instant::now().as_micros());
        high = !high;
        let edge = Edge { clock: level(high), data: level(data.is_high()) };
        // A full queue: the core sees a packet with too few bits and says so.
        let _lost = EDGES.try_send((edge, at));
    }
}

const fn level(high: bool) -> Level {
    if high { Level::High } else { Level::Low }
}

/// The queue's other end.
pub(crate) struct Stamped;

impl EdgeSource for Stamped {
    async fn next(&mut self) -> (Edge, Micros) {
        EDGES.receive().await
    }
}
