//! The interrupt executor that stamps calliper edges, with priority over everything but the flash.

use embassy_executor::{InterruptExecutor, SendSpawner};
use embassy_rp::gpio::Input;
use embassy_rp::interrupt;
use embassy_rp::interrupt::{InterruptExt, Priority};
use hornrule_shell::{Edges, Stamped};

static EXECUTOR: InterruptExecutor = InterruptExecutor::new();
static EDGES: Edges = Edges::new();

#[embassy_rp::interrupt]
unsafe fn SWI_IRQ_0() {
    // SAFETY: this is the interrupt that `executor` starts the executor on, and its only caller.
    unsafe { EXECUTOR.on_interrupt() }
}

/// Starts the executor. Call once.
pub(crate) fn executor() -> SendSpawner {
    interrupt::SWI_IRQ_0.set_priority(Priority::P1);
    EXECUTOR.start(interrupt::SWI_IRQ_0)
}

/// Stamps for ever.
#[embassy_executor::task]
pub(crate) async fn stamp(clock: Input<'static>, data: Input<'static>) -> ! {
    hornrule_shell::stamp(clock, data, &EDGES).await
}

/// The stamped edges.
pub(crate) const fn stamped() -> Stamped<'static> {
    Stamped(&EDGES)
}
