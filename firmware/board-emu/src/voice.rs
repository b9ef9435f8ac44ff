//! Beeper with its own oscillator, two-coloured light, motor.

use hornrule_core::cue::{Light, Step};
use hornrule_shell::Voice;

use crate::pins::{GREEN, MOTOR, Output, RED, TONE};
use crate::{clock, sim};

/// Boundary between the low, the middle and the high tone, hertz.
const MIDDLE_FROM: u16 = 1_000;
const HIGH_FROM: u16 = 1_300;

/// The board's voice.
pub(crate) struct Pins {
    tone: [Output; 2],
    red: Output,
    green: Output,
    motor: Output,
}

impl Pins {
    pub(crate) fn new() -> Self {
        let low = |pin| Output::new(pin, false);
        Self { tone: TONE.map(low), red: low(RED), green: low(GREEN), motor: low(MOTOR) }
    }
}

impl Voice for Pins {
    fn show(&mut self, step: &Step) {
        let tone: u8 = match step.tone_hz {
            None => 0,
            Some(0..MIDDLE_FROM) => 1,
            Some(MIDDLE_FROM..HIGH_FROM) => 2,
            Some(HIGH_FROM..) => 3,
        };
        let (red, green) = match step.light {
            Light::Off => (false, false),
            Light::Green => (false, true),
            Light::Amber => (true, true),
            Light::Red => (true, false),
        };
        sim::shown(clock::counted(), step.ms == 0);
        for (at, pin) in self.tone.iter_mut().enumerate() {
            pin.set(tone >> at & 1 == 1);
        }
        self.red.set(red);
        self.green.set(green);
        // Last, so that whoever notices it finds the others set.
        self.motor.set(step.buzz);
    }
}
