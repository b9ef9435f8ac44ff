//! Scans the key matrix.
//!
//! ```text
//!           scanning: 5 ms                     idle: all rows low
//! row 0 ‾|_|‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾|_|‾ ...      ‾|______________
//! row 1 ‾‾‾‾|_|‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾          ‾|______________
//! read     ^ ^ columns with, then without the row
//! ```
//!
//! After each row the columns are read with no row driven: one that is still low has not recovered
//! (a long wire, water), and the next row would be misread. Such a scan is discarded. If this goes
//! on for so long that the line must be broken, its keys are left out and the others work again: a
//! key that gives no tick is noticed, whereas five that nobody pressed would be stored.

use embassy_time::{Duration, Instant, Timer};
use embedded_hal::digital::{InputPin, OutputPin};
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::device::{Input, Plan};
use hornrule_core::keypad::{COLUMNS, DEBOUNCE_US, ROWS, SCAN_US};

use crate::{Rest, Shell};

/// Time for a row to settle and for its columns to recover.
const SETTLE: Duration = Duration::from_micros(SCAN_US / (2 * ROWS as u64));
/// Consecutive scans that may be discarded: half a second.
const VOID_SCANS: u32 = 100;
/// Empty scans after which every key is accepted as up.
const QUIET_SCANS: u32 = (2 * DEBOUNCE_US / SCAN_US) as u32;
/// The matrix: rows are driven low one at a time, columns are pulled up.
pub struct Matrix<R, C> {
    /// Rows, from the top.
    pub rows: [R; ROWS as usize],
    /// Columns, from the left.
    pub columns: [C; COLUMNS as usize],
}

impl<R: OutputPin, C: InputPin> Matrix<R, C> {
    /// Columns that are low, as bits. A pin that cannot be read counts as an open contact.
    fn low(&mut self) -> u32 {
        let columns = self.columns.iter_mut().enumerate();
        columns.map(|(at, pin)| u32::from(pin.is_low().unwrap_or(false)) << at).sum()
    }

    fn drive_all(&mut self, low: bool) {
        for row in &mut self.rows {
            let _moved = if low { row.set_low() } else { row.set_high() };
        }
    }

    /// One scan: contacts, and columns that did not recover after a row.
    async fn scan(&mut self) -> (u32, u32) {
        let (mut mask, mut low) = (0, 0);
        let mut next = Instant::now();
        for row in 0..self.rows.len() {
            let _moved = self.rows[row].set_low();
            next += SETTLE;
            Timer::at(next).await;
            mask |= self.low() << (row * usize::from(COLUMNS));
            let _moved = self.rows[row].set_high();
            next += SETTLE;
            Timer::at(next).await;
            low |= self.low();
        }
        (mask, low)
    }

    /// Waits until any contact appears closed.
    async fn idle(&mut self, rest: &mut impl Rest<C>) {
        self.drive_all(true);
        Timer::after(SETTLE).await;
        rest.until_low(&mut self.columns).await;
        self.drive_all(false);
        Timer::after(SETTLE).await;
    }
}

/// Runs for ever.
pub async fn keys<F: NorFlash, P: Plan, C: InputPin>(
    shell: &Shell<'_, F, P>,
    mut matrix: Matrix<impl OutputPin, C>,
    mut rest: impl Rest<C>,
) -> ! {
    matrix.drive_all(false);
    let (mut void, mut quiet) = (0, 0);
    loop {
        let (mask, low) = matrix.scan().await;
        if low != 0 && void < VOID_SCANS {
            void += 1;
            continue;
        }
        void = if low == 0 { 0 } else { void };
        let broken: u32 = (0..ROWS).map(|row| low << (row * COLUMNS)).sum();
        let mask = mask & !broken;
        shell.input(Input::Keys(mask));
        quiet = if mask == 0 { quiet + 1 } else { 0 };
        if quiet >= QUIET_SCANS {
            matrix.idle(&mut rest).await;
            quiet = 0;
        }
    }
}
