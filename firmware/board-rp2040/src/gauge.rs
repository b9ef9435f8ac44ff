//! The battery, through a divider of two equal resistors.

use embassy_rp::Peri;
use embassy_rp::adc::{Adc, Blocking, Channel, Config};
use embassy_rp::gpio::Pull;
use embassy_rp::peripherals::{ADC, PIN_26};
use hornrule_shell::Gauge;

/// Full scale: the reference is the 3.3 V supply, and the divider halves.
const FULL_SCALE_MV: u32 = 2 * 3_300;
const STEPS: u32 = 4_096;

/// The pin in the middle of the divider.
pub(crate) struct Divider {
    adc: Adc<'static, Blocking>,
    pin: Channel<'static>,
}

impl Divider {
    pub(crate) fn new(adc: Peri<'static, ADC>, pin: Peri<'static, PIN_26>) -> Self {
        let adc = Adc::new_blocking(adc, Config::default());
        Self { adc, pin: Channel::new_pin(pin, Pull::None) }
    }
}

impl Gauge for Divider {
    /// Blocks for 2 microseconds.
    async fn millivolts(&mut self) -> u16 {
        // A failed conversion is zero: not measured.
        let steps = u32::from(self.adc.blocking_read(&mut self.pin).unwrap_or(0));
        u16::try_from(steps * FULL_SCALE_MV / STEPS).unwrap_or(u16::MAX)
    }
}
