//! How a board rests until a contact closes.
//!
//! ```text
//! Looks   polls the pins every few milliseconds: works with any pin, but costs sleep
//! Wakes   asleep until a pin is low: for pins that can wake the chip
//! ```
//!
//! Either way a contact is only reported; the caller decides whether it is real.

use embassy_futures::select::select_array;
use embassy_time::{Duration, Timer};
use embedded_hal::digital::InputPin;
use embedded_hal_async::digital::Wait;

/// How often resting pins are polled: well below the shortest press.
const LOOK: Duration = Duration::from_millis(10);
/// Delay after a pin that cannot be waited for, so that a persistent error does not keep the chip
/// awake.
const PAUSE: Duration = Duration::from_millis(10);

/// Waits for a contact.
pub trait Rest<P> {
    /// Returns when any of these pulled-up pins is low or has just been low.
    fn until_low<const N: usize>(&mut self, pins: &mut [P; N]) -> impl Future<Output = ()>;
}

/// By polling.
#[derive(Clone, Copy, Debug)]
pub struct Looks;

impl<P: InputPin> Rest<P> for Looks {
    async fn until_low<const N: usize>(&mut self, pins: &mut [P; N]) {
        loop {
            Timer::after(LOOK).await;
            // A pin that cannot be read counts as an open contact.
            if pins.iter_mut().any(|pin| pin.is_low().unwrap_or(false)) {
                return;
            }
        }
    }
}

/// By pins that wake the chip.
#[derive(Clone, Copy, Debug)]
pub struct Wakes;

impl<P: Wait> Rest<P> for Wakes {
    async fn until_low<const N: usize>(&mut self, pins: &mut [P; N]) {
        let low = pins.each_mut().map(async |pin| {
            if pin.wait_for_low().await.is_err() {
                Timer::after(PAUSE).await;
            }
        });
        select_array(low).await;
    }
}
