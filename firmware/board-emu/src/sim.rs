//! What a test may set in memory, found by symbol. Untouched, none of it has any effect.
//!
//! ```text
//! SIM_IDENTITY  mark, device (low, high), log, battery (mV)    before the start; not zeroed
//! SIM_NOW_US    the handheld's clock in microseconds; 0: TIMER0's, as on a chip
//! SIM_SHOWN_US  when the voice changed, the last 32 times; lowest bit: the cue was over then
//! SIM_ROWS      0x100 + the row levels that the columns now answer to; 0: real columns; not zeroed
//! SIM_SHOWN     how often it changed; a reset does not clear it
//! SIM_LOOKED_US when a column was last read
//! SIM_TOOK_US   from there until the voice changed; only while 0, so that a test picks the moment
//! SIM_PANIC     not 0: panics at the next read of a column
//! ```
//!
//! The emulator runs neither at the chip's speed nor evenly. Calliper bits need times accurate to
//! 30 microseconds, so the test sets the time while it sends a packet.

use core::sync::atomic::{AtomicU32, Ordering};

use hornrule_core::time::Micros;
use hornrule_protocol::{DeviceId, LogId};

/// Marks the words after it as written by a test.
const MARK: u32 = 0x5137_1D00;

#[unsafe(no_mangle)]
// SAFETY: `.uninit` is a section that the start-up code leaves alone; a `u32` is valid whatever
// bits power-on left there.
#[unsafe(link_section = ".uninit.sim")]
static SIM_IDENTITY: [AtomicU32; 5] = [const { AtomicU32::new(0) }; 5];

#[unsafe(no_mangle)]
static SIM_NOW_US: AtomicU32 = AtomicU32::new(0);

#[unsafe(no_mangle)]
// SAFETY: as for `SIM_IDENTITY`.
#[unsafe(link_section = ".uninit.sim")]
static SIM_ROWS: AtomicU32 = AtomicU32::new(0);

#[unsafe(no_mangle)]
static SIM_PANIC: AtomicU32 = AtomicU32::new(0);

#[unsafe(no_mangle)]
static SIM_SHOWN_US: [AtomicU32; 32] = [const { AtomicU32::new(0) }; 32];

#[unsafe(no_mangle)]
// SAFETY: as for `SIM_IDENTITY`.
#[unsafe(link_section = ".uninit.sim")]
static SIM_SHOWN: AtomicU32 = AtomicU32::new(0);

#[unsafe(no_mangle)]
static SIM_LOOKED_US: AtomicU32 = AtomicU32::new(0);

#[unsafe(no_mangle)]
static SIM_TOOK_US: AtomicU32 = AtomicU32::new(0);

/// Records that a column was read: between the last of a scan and a cue lies all that the firmware
/// does about a key.
pub(crate) fn looked(at_us: u32) {
    SIM_LOOKED_US.store(at_us, Ordering::Relaxed);
}

/// Records when the voice changed, and whether that ended a cue: from outside, the length of a tone
/// or rest can be measured only as precisely as the computer happens to be responsive.
pub(crate) fn shown(at: Micros, over: bool) {
    let turn = SIM_SHOWN.load(Ordering::Relaxed);
    SIM_SHOWN.store(turn.wrapping_add(1), Ordering::Relaxed);
    // Tests are shorter than the 71 minutes after which 32 bits wrap.
    let word = at.0 as u32 & !1 | u32::from(over);
    if SIM_TOOK_US.load(Ordering::Relaxed) == 0 {
        let looked = SIM_LOOKED_US.load(Ordering::Relaxed);
        SIM_TOOK_US.store((at.0 as u32).wrapping_sub(looked), Ordering::Relaxed);
    }
    SIM_SHOWN_US[turn as usize % SIM_SHOWN_US.len()].store(word, Ordering::Relaxed);
}

/// Who the test says we are, and the id for a fresh log.
pub(crate) fn identity() -> Option<(DeviceId, LogId)> {
    let [mark, low, high, log, _] =
        SIM_IDENTITY.each_ref().map(|word| word.load(Ordering::Relaxed));
    let device = u64::from(high) << 32 | u64::from(low);
    (mark == MARK).then_some((DeviceId(device), LogId(log)))
}

/// The battery as set by the test, millivolts; zero means none. The emulated chip has nothing to
/// measure with.
pub(crate) fn battery_mv() -> u16 {
    let [mark, .., battery] = SIM_IDENTITY.each_ref().map(|word| word.load(Ordering::Relaxed));
    u16::try_from(battery).ok().filter(|_| mark == MARK).unwrap_or(0)
}

/// Waits until the test has set the columns for these rows: contacts answer at once, a test on a
/// busy computer does not.
pub(crate) fn wait_for_columns(rows: u32) {
    // From the very first row: a key held down at the start must be seen in the first scan.
    let answers_to = || SIM_ROWS.load(Ordering::Relaxed);
    while identity().is_some() && answers_to() != 0 && answers_to() != 0x100 | rows {}
}

/// Stops the firmware as any broken invariant would, when a test wants to see what that leads to.
#[expect(clippy::panic, reason = "it is what the test asks for")]
pub(crate) fn panic_if_asked() {
    if SIM_PANIC.load(Ordering::Relaxed) != 0 {
        panic!("a test asked for it");
    }
}

/// The time as set by the test.
pub(crate) fn now() -> Option<Micros> {
    match SIM_NOW_US.load(Ordering::Relaxed) {
        0 => None,
        us => Some(Micros(u64::from(us))),
    }
}
