//! Beeper, light and motor.

use embassy_rp::Peri;
use embassy_rp::gpio::{Level, Output};
use embassy_rp::peripherals::{PIN_16, PIN_17, PIN_18, PIN_19, PWM_SLICE0};
use embassy_rp::pwm::{Config, Pwm};
use hornrule_core::cue::{Light, Step};
use hornrule_shell::Voice;

/// The beeper's counter: 125 MHz / 64, so that 30 Hz to 20 kHz fit its 16 bits.
const DIVIDER: u8 = 64;
const COUNTS_PER_SECOND: u32 = 125_000_000 / DIVIDER as u32;

/// Everything that can be heard, seen and felt.
pub(crate) struct Horn {
    beeper: Pwm<'static>,
    green: Output<'static>,
    red: Output<'static>,
    motor: Output<'static>,
}

impl Horn {
    pub(crate) fn new(
        slice: Peri<'static, PWM_SLICE0>,
        beeper: Peri<'static, PIN_16>,
        green: Peri<'static, PIN_17>,
        red: Peri<'static, PIN_18>,
        motor: Peri<'static, PIN_19>,
    ) -> Self {
        Self {
            beeper: Pwm::new_output_a(slice, beeper, tone(None)),
            green: Output::new(green, Level::Low),
            red: Output::new(red, Level::Low),
            motor: Output::new(motor, Level::Low),
        }
    }
}

impl Voice for Horn {
    fn show(&mut self, step: &Step) {
        self.beeper.set_config(&tone(step.tone_hz));
        let (green, red) = match step.light {
            Light::Off => (false, false),
            Light::Green => (true, false),
            Light::Amber => (true, true),
            Light::Red => (false, true),
        };
        self.green.set_level(green.into());
        self.red.set_level(red.into());
        self.motor.set_level(step.buzz.into());
    }
}

/// A square wave, or a pin that stays low.
fn tone(hz: Option<u16>) -> Config {
    let mut config = Config::default();
    config.divider = DIVIDER.into();
    config.compare_a = 0;
    if let Some(hz) = hz {
        let period = COUNTS_PER_SECOND / u32::from(hz.max(1));
        config.top = u16::try_from(period.saturating_sub(1)).unwrap_or(u16::MAX);
        config.compare_a = config.top / 2 + 1;
    }
    config
}
