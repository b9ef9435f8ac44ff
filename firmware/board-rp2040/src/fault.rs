//! Why the firmware started, and what it leaves behind when it stops itself.
//!
//! ```text
//! scratch 0: "hR!" and a kind   scratch 1: line in its source file     both survive a reset
//! ```

use core::panic::PanicInfo;

use embassy_rp::peripherals::WATCHDOG;
use embassy_rp::watchdog::{ResetReason, Watchdog};
use hornrule_protocol::record::StartCause;

/// Marks scratch 1 as ours: after power-on the scratch registers are zero.
const MARK: u32 = 0x6852_2101;

/// Why the firmware started, and where it stopped before, if it stopped itself.
pub(crate) fn last(dog: &mut Watchdog) -> (StartCause, u32) {
    let mark = dog.get_scratch(0);
    let line = dog.get_scratch(1);
    dog.set_scratch(0, 0);
    match dog.reset_reason() {
        // This chip's watchdog cannot tell power-on, brown-out and the reset pin apart.
        None => (StartCause::PowerOn, 0),
        Some(_) if mark == MARK => (StartCause::Panic, line),
        Some(ResetReason::TimedOut) => (StartCause::Watchdog, 0),
        Some(ResetReason::Forced) => (StartCause::Reset, 0),
    }
}

/// Stops and restarts the firmware; `line` goes into the next boot's first record.
pub(crate) fn stop(line: u32) -> ! {
    // SAFETY: nothing runs after this; the chip is reset.
    let mut dog = Watchdog::new(unsafe { WATCHDOG::steal() });
    dog.set_scratch(0, MARK);
    dog.set_scratch(1, line);
    dog.trigger_reset();
    loop {
        cortex_m::asm::nop();
    }
}

#[panic_handler]
fn panicked(info: &PanicInfo<'_>) -> ! {
    stop(info.location().map_or(0, |place| place.line()))
}
