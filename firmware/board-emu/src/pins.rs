//! Pins, and what is connected to them.
//!
//! ```text
//! P0.00-04 rows, low: driven       P0.13-14 tone: 0 none, 1 low, 2 middle, 3 high
//! P0.05-08 columns, pulled up      P0.15 red, P0.16 green; both: amber
//! P0.09 calliper clock             P0.17 motor
//! P0.10 calliper data              P0.24 to the office, P0.25 from the office
//! P0.11 calliper request, low      P0.30 changes with each calliper edge that was taken
//! P0.12 pedal, low: pressed
//! ```

use core::convert::Infallible;

use embedded_hal::digital::{ErrorType, InputPin, OutputPin};

use crate::register::{GPIO_IN, GPIO_OUT, GPIO_OUTCLR, GPIO_OUTSET, gpio_pin_cnf};
use crate::{clock, sim};

pub(crate) const ROWS: [u8; 5] = [0, 1, 2, 3, 4];
pub(crate) const COLUMNS: [u8; 4] = [5, 6, 7, 8];
pub(crate) const CLOCK: u8 = 9;
pub(crate) const DATA: u8 = 10;
pub(crate) const REQUEST: u8 = 11;
pub(crate) const PEDAL: u8 = 12;
pub(crate) const TONE: [u8; 2] = [13, 14];
pub(crate) const RED: u8 = 15;
pub(crate) const GREEN: u8 = 16;
pub(crate) const MOTOR: u8 = 17;
pub(crate) const TO_OFFICE: u8 = 24;
pub(crate) const FROM_OFFICE: u8 = 25;
pub(crate) const TAKEN: u8 = 30;

/// An input pin. Pulled up.
pub(crate) struct Input(u8);

/// A column of the matrix: an input pin, read after whatever drives the rows has responded.
pub(crate) struct Column(Input);

/// An output pin.
pub(crate) struct Output(u8);

impl Input {
    pub(crate) fn new(pin: u8) -> Self {
        gpio_pin_cnf(pin).write(0b1100);
        Self(pin)
    }

    pub(crate) fn is_high(&self) -> bool {
        GPIO_IN.read() >> self.0 & 1 == 1
    }
}

impl Column {
    pub(crate) fn new(pin: u8) -> Self {
        Self(Input::new(pin))
    }

    fn is_high(&self) -> bool {
        let rows: u32 = ROWS.iter().map(|row| 1 << row).sum();
        sim::panic_if_asked();
        sim::wait_for_columns(GPIO_OUT.read() & rows);
        sim::looked(clock::counter());
        self.0.is_high()
    }
}

impl Output {
    pub(crate) fn new(pin: u8, high: bool) -> Self {
        let mut output = Self(pin);
        output.set(high);
        gpio_pin_cnf(pin).write(0b0011);
        output
    }

    pub(crate) fn set(&mut self, high: bool) {
        let register = if high { GPIO_OUTSET } else { GPIO_OUTCLR };
        register.write(1 << self.0);
    }
}

impl ErrorType for Input {
    type Error = Infallible;
}

impl InputPin for Input {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(Self::is_high(self))
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        Ok(!Self::is_high(self))
    }
}

impl ErrorType for Column {
    type Error = Infallible;
}

impl InputPin for Column {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(Self::is_high(self))
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        Ok(!Self::is_high(self))
    }
}

impl ErrorType for Output {
    type Error = Infallible;
}

impl OutputPin for Output {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.set(false);
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.set(true);
        Ok(())
    }
}
