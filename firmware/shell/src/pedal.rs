//! The foot pedal: a plain contact to ground.

use embassy_time::{Duration, Timer};
use embedded_hal::digital::InputPin;
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::device::{Input, Plan};

use crate::{Rest, Shell};

/// How often it is polled while it is down or may have gone down.
const LOOK: Duration = Duration::from_millis(5);
/// Consecutive polls that must agree: 15 ms, longer than a contact bounces.
const LOOKS: u8 = 3;

/// Runs for ever. `pin` is pulled up; low means pressed.
pub async fn pedal<F: NorFlash, P: Plan, C: InputPin>(
    shell: &Shell<'_, F, P>,
    pin: C,
    mut rest: impl Rest<C>,
) -> ! {
    let mut pin = [pin];
    let mut pressed = false;
    let mut differs = 0;
    loop {
        if !pressed && differs == 0 {
            rest.until_low(&mut pin).await;
        }
        Timer::after(LOOK).await;
        // A pin that cannot be read counts as an open contact.
        let low = pin[0].is_low().unwrap_or(false);
        differs = if low == pressed { 0 } else { differs + 1 };
        if differs == LOOKS {
            differs = 0;
            pressed = low;
            if pressed {
                shell.input(Input::Clip);
            }
        }
    }
}
