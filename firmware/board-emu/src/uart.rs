//! The serial line: 115,200 baud, a queue each way, an interrupt between queue and line.

use core::convert::Infallible;
use core::sync::atomic::{AtomicBool, Ordering};

use cortex_m::peripheral::NVIC;
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::pipe::Pipe;
use embassy_time::{Duration, with_timeout};
use embedded_io_async::{ErrorType, Read, Write};
use hornrule_protocol::limits::MAX_REQUEST_ON_WIRE;
use nrf51_pac::{Interrupt, interrupt};

use crate::chip;
use crate::pins::{FROM_OFFICE, Input, Output, TO_OFFICE};
use crate::register::{
    UART_BAUDRATE, UART_ENABLE, UART_INTENSET, UART_PSELRXD, UART_PSELTXD, UART_RXD, UART_RXDRDY,
    UART_STARTRX, UART_STARTTX, UART_TXD, UART_TXDRDY,
};

/// Two requests: the office never has more in flight.
const RX: usize = 128;
/// A few milliseconds of line: the task that fills it runs that often.
const TX: usize = 64;
const _: () = assert!(RX >= 2 * MAX_REQUEST_ON_WIRE, "two requests fit");

const BAUD_115200: u32 = 0x01D7_E000;
const ENABLED: u32 = 4;
const RXDRDY_AND_TXDRDY: u32 = 1 << 2 | 1 << 7;

/// The emulator drops the interrupt after a byte that had to wait for its reader, so the register
/// is polled this often.
const LOOK: Duration = Duration::from_millis(1);

static FROM_LINE: Pipe<CriticalSectionRawMutex, RX> = Pipe::new();
static TO_LINE: Pipe<CriticalSectionRawMutex, TX> = Pipe::new();
/// A byte is on its way out.
static SENDING: AtomicBool = AtomicBool::new(false);

#[interrupt]
fn UART0() {
    while UART_RXDRDY.read() != 0 {
        UART_RXDRDY.write(0);
        // A byte too many is missing from its frame, and the checksum shows it.
        let _lost = FROM_LINE.try_write(&[UART_RXD.read() as u8]);
    }
    if UART_TXDRDY.read() != 0 {
        UART_TXDRDY.write(0);
        SENDING.store(false, Ordering::Relaxed);
    }
    let mut byte = [0];
    if !SENDING.load(Ordering::Relaxed) && TO_LINE.try_read(&mut byte).is_ok() {
        SENDING.store(true, Ordering::Relaxed);
        UART_TXD.write(u32::from(byte[0]));
    }
}

/// What comes from the office.
pub(crate) struct FromOffice;

/// What goes to the office.
pub(crate) struct ToOffice;

/// Opens the line.
pub(crate) fn open() -> (FromOffice, ToOffice) {
    Output::new(TO_OFFICE, true);
    Input::new(FROM_OFFICE);
    UART_PSELTXD.write(u32::from(TO_OFFICE));
    UART_PSELRXD.write(u32::from(FROM_OFFICE));
    UART_BAUDRATE.write(BAUD_115200);
    UART_ENABLE.write(ENABLED);
    UART_INTENSET.write(RXDRDY_AND_TXDRDY);
    UART_STARTTX.write(1);
    UART_STARTRX.write(1);
    chip::listen(Interrupt::UART0);
    (FromOffice, ToOffice)
}

impl ErrorType for FromOffice {
    type Error = Infallible;
}

impl Read for FromOffice {
    async fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        Ok(FROM_LINE.read(bytes).await)
    }
}

impl ErrorType for ToOffice {
    type Error = Infallible;
}

impl Write for ToOffice {
    async fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        loop {
            let written = with_timeout(LOOK, TO_LINE.write(bytes)).await;
            NVIC::pend(Interrupt::UART0);
            if let Ok(length) = written {
                return Ok(length);
            }
        }
    }

    async fn flush(&mut self) -> Result<(), Infallible> {
        while !TO_LINE.is_empty() || SENDING.load(Ordering::Relaxed) {
            NVIC::pend(Interrupt::UART0);
            embassy_time::Timer::after(LOOK).await;
        }
        Ok(())
    }
}
