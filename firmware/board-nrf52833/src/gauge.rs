//! The battery, through a divider of 2.2 to 1 megohm that stays connected: 1.3 microamperes.

use embassy_nrf::Peri;
use embassy_nrf::peripherals::{P0_02, SAADC};
use embassy_nrf::saadc::{ChannelConfig, Config, Saadc, Time};
use hornrule_shell::Gauge;

use crate::Irqs;

/// Full scale with the driver's default channel: a reference of 600 mV and a gain of 1/6.
const FULL_SCALE_MV: u32 = 3_600;
/// The driver's default resolution: 12 bits.
const STEPS: u32 = 4_096;
/// Ohms of the whole divider per ohm of its lower part, in tenths.
const RATIO_TENTHS: u32 = 32;

/// The pin in the middle of the divider, and the converter, which is on only when needed.
pub(crate) struct Divider {
    adc: Peri<'static, SAADC>,
    pin: Peri<'static, P0_02>,
}

impl Divider {
    pub(crate) const fn new(adc: Peri<'static, SAADC>, pin: Peri<'static, P0_02>) -> Self {
        Self { adc, pin }
    }
}

impl Gauge for Divider {
    async fn millivolts(&mut self) -> u16 {
        let mut channel = ChannelConfig::single_ended(self.pin.reborrow());
        // The divider is slow: the longest time available, 40 us, and a capacitor at the pin.
        channel.time = Time::_40US;
        let mut adc = Saadc::new(self.adc.reborrow(), Irqs, Config::default(), [channel]);
        let mut steps = [0_i16];
        adc.sample(&mut steps).await;
        // Below zero is noise.
        let steps = u32::try_from(steps[0]).unwrap_or(0);
        u16::try_from(steps * FULL_SCALE_MV / STEPS * RATIO_TENTHS / 10).unwrap_or(u16::MAX)
    }
}
