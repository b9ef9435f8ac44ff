//! The foot pedal: a plain contact to ground.

use embassy_time::{Duration, Timer};
use embedded_hal::digital::InputPin;
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::device::{Input, Plan};

use crate::Shell;

/// How often it is looked at.
const LOOK: Duration = Duration::from_millis(5);
/// Looks in a row that must agree: 15 ms, longer than a contact bounces.
const LOOKS: u8 = 3;

/// Runs for ever. `pin` is pulled up; low means pressed.
pub async fn pedal<F: NorFlash, P: Plan>(shell: &Shell<'_, F, P>, mut pin: impl InputPin) -> ! {
    let mut pressed = false;
    let mut differs = 0;
    loop {
        Timer::after(LOOK).await;
        // A pin that cannot be read is an open contact.
        let low = pin.is_low().unwrap_or(false);
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
