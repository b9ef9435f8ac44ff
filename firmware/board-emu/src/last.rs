//! What the last run left behind: kept in memory that a reset does not clear.
//!
//! ```text
//! LAST   mark | fault | mark xor fault, every bit inverted
//!        invalid: memory lost power       fault 0: reset       otherwise: it stopped itself
//! ```
//!
//! The fault of a panic is the sum of its file's name and its line, 16 bits each; that of a
//! processor fault is the address where it stopped, 16 bits, odd.

use core::panic::PanicInfo;
use core::sync::atomic::{AtomicU32, Ordering};

use cortex_m::peripheral::SCB;
use cortex_m_rt::{ExceptionFrame, exception};
use hornrule_protocol::record::StartCause;

use crate::register::POWER_RESETREAS;

const MARK: u32 = 0x4C41_5354;
// RESETREAS.
const BY_WATCHDOG: u32 = 1 << 1;
const BY_LOCKUP: u32 = 1 << 3;

// SAFETY: `.uninit` is a section that the start-up code leaves alone; a `u32` is valid whatever
// bits power-on left there.
#[unsafe(link_section = ".uninit.last")]
static LAST: [AtomicU32; 3] = [const { AtomicU32::new(0) }; 3];

fn leave(fault: u32) {
    for (place, word) in LAST.iter().zip([MARK, fault, !(MARK ^ fault)]) {
        place.store(word, Ordering::Relaxed);
    }
}

/// Why this run began, and where the last one stopped. Call once, at the start.
pub(crate) fn take() -> (StartCause, u32) {
    let [mark, fault, check] = LAST.each_ref().map(|word| word.load(Ordering::Relaxed));
    let kept = mark == MARK && check == !(mark ^ fault);
    leave(0);
    let reasons = POWER_RESETREAS.read();
    // The chip accumulates reasons until they are cleared by writing ones.
    POWER_RESETREAS.write(reasons);
    match (kept, fault) {
        (false, _) => (StartCause::PowerOn, 0),
        (true, 0) if reasons & BY_WATCHDOG != 0 => (StartCause::Watchdog, 0),
        (true, 0) if reasons & BY_LOCKUP != 0 => (StartCause::Panic, 0),
        (true, 0) => (StartCause::Reset, 0),
        (true, fault) => (StartCause::Panic, fault),
    }
}

#[panic_handler]
fn panic(panic: &PanicInfo<'_>) -> ! {
    let place = panic.location().map_or(1, |place| {
        let name =
            place.file().bytes().fold(0_u32, |sum, byte| (sum * 31 + u32::from(byte)) & 0xFFFF);
        name << 16 | place.line() & 0xFFFF
    });
    leave(place);
    SCB::sys_reset()
}

// SAFETY: it stores a number and resets the chip; it uses nothing that the faulting code may have
// left half done.
#[exception]
unsafe fn HardFault(frame: &ExceptionFrame) -> ! {
    leave(frame.pc() & 0xFFFF | 1);
    SCB::sys_reset()
}
