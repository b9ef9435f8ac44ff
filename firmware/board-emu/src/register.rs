//! The chip's registers, each by its address.
//!
//! Addresses are from the nRF51 Series Reference Manual, version 3.0. Only what this image uses is
//! listed, so that every address can be checked.

/// A 32-bit register. Only this file creates any.
#[derive(Clone, Copy)]
pub(crate) struct Register(u32);

impl Register {
    pub(crate) fn read(self) -> u32 {
        // SAFETY: the address is one of the constants below: a register of this chip, aligned, that
        // may be read at any time. Reading RXD takes a byte; only the UART's interrupt does that.
        unsafe { (self.0 as *const u32).read_volatile() }
    }

    pub(crate) fn write(self, value: u32) {
        // SAFETY: the address is one of the constants below: a register of this chip, aligned. None
        // of them remaps memory; those of the flash controller are written only by `flash`, which
        // keeps them off the code.
        unsafe { (self.0 as *mut u32).write_volatile(value) }
    }

    /// Register `n` of a series.
    const fn at(self, n: u8) -> Self {
        Self(self.0 + 4 * n as u32)
    }
}

pub(crate) const POWER_RESETREAS: Register = Register(0x4000_0400);
pub(crate) const CLOCK_HFCLKSTART: Register = Register(0x4000_0000);
pub(crate) const CLOCK_HFCLKSTARTED: Register = Register(0x4000_0100);

pub(crate) const UART_STARTRX: Register = Register(0x4000_2000);
pub(crate) const UART_STARTTX: Register = Register(0x4000_2008);
pub(crate) const UART_RXDRDY: Register = Register(0x4000_2108);
pub(crate) const UART_TXDRDY: Register = Register(0x4000_211C);
pub(crate) const UART_INTENSET: Register = Register(0x4000_2304);
pub(crate) const UART_ENABLE: Register = Register(0x4000_2500);
pub(crate) const UART_PSELTXD: Register = Register(0x4000_250C);
pub(crate) const UART_PSELRXD: Register = Register(0x4000_2514);
pub(crate) const UART_RXD: Register = Register(0x4000_2518);
pub(crate) const UART_TXD: Register = Register(0x4000_251C);
pub(crate) const UART_BAUDRATE: Register = Register(0x4000_2524);

pub(crate) const GPIOTE_PORT: Register = Register(0x4000_617C);

pub(crate) const TIMER_START: Register = Register(0x4000_8000);
pub(crate) const TIMER_CLEAR: Register = Register(0x4000_800C);
pub(crate) const TIMER_INTENSET: Register = Register(0x4000_8304);
pub(crate) const TIMER_INTENCLR: Register = Register(0x4000_8308);
pub(crate) const TIMER_MODE: Register = Register(0x4000_8504);
pub(crate) const TIMER_BITMODE: Register = Register(0x4000_8508);
pub(crate) const TIMER_PRESCALER: Register = Register(0x4000_8510);

pub(crate) const fn timer_capture(channel: u8) -> Register {
    Register(0x4000_8040).at(channel)
}
pub(crate) const fn timer_compare(channel: u8) -> Register {
    Register(0x4000_8140).at(channel)
}
pub(crate) const fn timer_cc(channel: u8) -> Register {
    Register(0x4000_8540).at(channel)
}

pub(crate) const RNG_START: Register = Register(0x4000_D000);
pub(crate) const RNG_VALRDY: Register = Register(0x4000_D100);
pub(crate) const RNG_VALUE: Register = Register(0x4000_D508);

pub(crate) const NVMC_READY: Register = Register(0x4001_E400);
pub(crate) const NVMC_CONFIG: Register = Register(0x4001_E504);
pub(crate) const NVMC_ERASEPAGE: Register = Register(0x4001_E508);

pub(crate) const FICR_DEVICEID_LOW: Register = Register(0x1000_0060);
pub(crate) const FICR_DEVICEID_HIGH: Register = Register(0x1000_0064);

pub(crate) const GPIO_OUT: Register = Register(0x5000_0504);
pub(crate) const GPIO_OUTSET: Register = Register(0x5000_0508);
pub(crate) const GPIO_OUTCLR: Register = Register(0x5000_050C);
pub(crate) const GPIO_IN: Register = Register(0x5000_0510);

pub(crate) const fn gpio_pin_cnf(pin: u8) -> Register {
    Register(0x5000_0700).at(pin)
}
