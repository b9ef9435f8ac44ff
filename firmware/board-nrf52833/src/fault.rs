//! Why the firmware started, and what it leaves behind when it stops itself.
//!
//! ```text
//! LEFT: mark, line in its source file     in memory that a reset does not clear
//! ```

use core::panic::PanicInfo;
use core::sync::atomic::{AtomicU32, Ordering};

use embassy_nrf::pac;
use hornrule_protocol::record::StartCause;

/// Marks the line as ours: after power-on, memory holds anything.
const MARK: u32 = 0x6852_2101;

// SAFETY: `.uninit` is memory that the start-up code leaves alone; a `u32` is valid whatever bits
// power-on left there.
#[unsafe(link_section = ".uninit.left")]
static LEFT: [AtomicU32; 2] = [const { AtomicU32::new(0) }; 2];

/// Why the firmware started, and where it stopped before, if it stopped itself. Call once.
pub(crate) fn last() -> (StartCause, u32) {
    let [mark, line] = LEFT.each_ref().map(|word| word.load(Ordering::Relaxed));
    LEFT[0].store(0, Ordering::Relaxed);
    let reasons = pac::POWER.resetreas().read();
    // The chip accumulates reasons until they are cleared by writing ones.
    pac::POWER.resetreas().write_value(reasons);
    if reasons.0 == 0 {
        // This chip cannot tell power-on from brown-out.
        (StartCause::PowerOn, 0)
    } else if reasons.sreq() && mark == MARK {
        (StartCause::Panic, line)
    } else if reasons.dog() {
        (StartCause::Watchdog, 0)
    } else if reasons.resetpin() || reasons.sreq() {
        (StartCause::Reset, 0)
    } else {
        (StartCause::Unknown, 0)
    }
}

/// Stops and restarts the firmware; `line` goes into the next boot's first record.
pub(crate) fn stop(line: u32) -> ! {
    LEFT[1].store(line, Ordering::Relaxed);
    LEFT[0].store(MARK, Ordering::Relaxed);
    cortex_m::peripheral::SCB::sys_reset()
}

#[panic_handler]
fn panicked(info: &PanicInfo<'_>) -> ! {
    stop(info.location().map_or(0, |place| place.line()))
}
