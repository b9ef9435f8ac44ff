//! The chip itself: its number, entropy, oscillator and interrupts.

use cortex_m::peripheral::NVIC;
use hornrule_protocol::{DeviceId, LogId};
use nrf51_pac::Interrupt;

use crate::register::{
    CLOCK_HFCLKSTART, CLOCK_HFCLKSTARTED, FICR_DEVICEID_HIGH, FICR_DEVICEID_LOW, RNG_START,
    RNG_VALRDY, RNG_VALUE,
};
use crate::sim;

/// Starts the crystal: the internal oscillator is too inaccurate for a serial line.
pub(crate) fn start_crystal() {
    CLOCK_HFCLKSTART.write(1);
    while CLOCK_HFCLKSTARTED.read() == 0 {}
}

/// Enables an interrupt.
pub(crate) fn listen(interrupt: Interrupt) {
    NVIC::unpend(interrupt);
    // SAFETY: no code here relies on interrupts being masked: what an interrupt shares is guarded
    // by `critical_section`.
    unsafe { NVIC::unmask(interrupt) }
}

/// The handheld's number, and an id for a log about to be formatted.
pub(crate) fn identity() -> (DeviceId, LogId) {
    sim::identity().unwrap_or_else(|| {
        let (low, high) = (FICR_DEVICEID_LOW.read(), FICR_DEVICEID_HIGH.read());
        (DeviceId(u64::from(high) << 32 | u64::from(low)), LogId(noise()))
    })
}

fn noise() -> u32 {
    RNG_START.write(1);
    (0..4).fold(0, |noise, _| {
        RNG_VALRDY.write(0);
        while RNG_VALRDY.read() == 0 {}
        noise << 8 | RNG_VALUE.read() & 0xFF
    })
}
