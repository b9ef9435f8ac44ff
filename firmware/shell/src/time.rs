//! Calls the core when it wants to be called, and drives the calliper's request line.

use embassy_futures::select::{Either, select};
use embassy_time::{Duration, Timer};
use embedded_hal::digital::OutputPin;
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::device::{Input, Plan};
use hornrule_core::time::Wake;

use crate::Shell;

/// The shortest nap, in microseconds: nothing in the core asks for less, and a wake time in the
/// past must not keep the chip awake.
const NAP_US: u64 = 1_000;

/// Runs for ever. A low `request` asks the calliper for a packet.
pub async fn time<F: NorFlash, P: Plan>(shell: &Shell<'_, F, P>, mut request: impl OutputPin) -> ! {
    loop {
        // A pin that does not move cannot be reported: the clip ends as a silent calliper.
        let _moved = if shell.request() { request.set_low() } else { request.set_high() };
        let now = shell.now();
        let nap_us = match shell.next_wake(now) {
            Wake::OnInput => {
                shell.changed.wait().await;
                continue;
            }
            Wake::Now => NAP_US,
            Wake::At(at) => at.since(now).max(NAP_US),
        };
        let nap = Timer::after(Duration::from_micros(nap_us));
        match select(nap, shell.changed.wait()).await {
            Either::First(()) => shell.input(Input::Time),
            Either::Second(()) => {}
        }
    }
}
