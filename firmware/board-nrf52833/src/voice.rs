//! Beeper, light and motor.

use embassy_nrf::Peri;
use embassy_nrf::gpio::{AnyPin, Level, Output, OutputDrive};
use embassy_nrf::peripherals::{P0_13, P0_14, P0_15, P0_16, PWM0};
use embassy_nrf::pwm::{DutyCycle, Prescaler, SimpleConfig, SimplePwm};
use hornrule_core::cue::{Light, Step};
use hornrule_shell::Voice;

/// Everything that can be heard, seen and felt.
pub(crate) struct Horn {
    beeper: SimplePwm<'static>,
    green: Output<'static>,
    red: Output<'static>,
    motor: Output<'static>,
}

impl Horn {
    pub(crate) fn new(
        pwm: Peri<'static, PWM0>,
        beeper: Peri<'static, P0_13>,
        green: Peri<'static, P0_14>,
        red: Peri<'static, P0_15>,
        motor: Peri<'static, P0_16>,
    ) -> Self {
        // 1 MHz: 31 Hz to 20 kHz fit the counter's 15 bits.
        let mut config = SimpleConfig::default();
        config.prescaler = Prescaler::Div16;
        let beeper = SimplePwm::new_1ch(pwm, beeper, &config);
        beeper.disable();
        let pin = |pin: Peri<'static, AnyPin>| Output::new(pin, Level::Low, OutputDrive::Standard);
        Self { beeper, green: pin(green.into()), red: pin(red.into()), motor: pin(motor.into()) }
    }
}

impl Voice for Horn {
    fn show(&mut self, step: &Step) {
        match step.tone_hz {
            Some(hz) => {
                self.beeper.set_period(u32::from(hz.max(31)));
                self.beeper.enable();
                self.beeper.set_duty(0, DutyCycle::normal(self.beeper.max_duty() / 2));
            }
            // Off rather than silent: a running counter keeps the fast clock awake.
            None => self.beeper.disable(),
        }
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
