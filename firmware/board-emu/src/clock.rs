//! Time: TIMER0 as a free-running counter of microseconds, 32 bits on the chip, 64 here.
//!
//! ```text
//! channel 0: the next alarm     1: the counter wraps to zero     3: the current count
//! ```
//!
//! Time is read from the counter and never counted in ticks: a late tick, as happens on a busy
//! emulator, must not make the day longer.

use core::cell::RefCell;
use core::task::Waker;

use critical_section::{CriticalSection, Mutex};
use embassy_time_driver::Driver;
use embassy_time_queue_utils::Queue;
use hornrule_core::time::Micros;
use nrf51_pac::{Interrupt, interrupt};

use crate::register::{
    TIMER_BITMODE, TIMER_CLEAR, TIMER_INTENCLR, TIMER_INTENSET, TIMER_MODE, TIMER_PRESCALER,
    TIMER_START, timer_capture, timer_cc, timer_compare,
};
use crate::{chip, sim};

const ALARM: u8 = 0;
const WRAP: u8 = 1;
const NOW: u8 = 3;
const ALARM_IRQ: u32 = 1 << 16;
const WRAP_IRQ: u32 = 1 << 17;
/// Furthest alarm set at once: a quarter of the counter's range.
const FARTHEST: u64 = 0x4000_0000;

struct Clock {
    /// How often the counter has wrapped, and who wants to be woken.
    state: Mutex<RefCell<(u32, Queue)>>,
}

embassy_time_driver::time_driver_impl!(static CLOCK: Clock = Clock {
    state: Mutex::new(RefCell::new((0, Queue::new()))),
});

/// The counter itself: microseconds, and back to zero after 71 minutes.
pub(crate) fn counter() -> u32 {
    timer_capture(NOW).write(1);
    timer_cc(NOW).read()
}

impl Clock {
    fn now_in(rounds: u32) -> u64 {
        let counter = counter();
        // The counter has wrapped, but the interrupt that counts it has not run yet.
        let late = timer_compare(WRAP).read() != 0 && counter < 0x8000_0000;
        u64::from(rounds + u32::from(late)) << 32 | u64::from(counter)
    }

    fn set_alarm(&self, cs: CriticalSection<'_>) {
        let (rounds, queue) = &mut *self.state.borrow_ref_mut(cs);
        loop {
            let now = Self::now_in(*rounds);
            let at = queue.next_expiration(now);
            if at == u64::MAX {
                TIMER_INTENCLR.write(ALARM_IRQ);
                return;
            }
            let at = at.min(now + FARTHEST);
            // The counter has 32 bits: the rest is in the wraps.
            timer_cc(ALARM).write(at as u32);
            timer_compare(ALARM).write(0);
            TIMER_INTENSET.write(ALARM_IRQ);
            // Not so close that the counter may have passed it while it was being set.
            if Self::now_in(*rounds) + 2 < at {
                return;
            }
        }
    }
}

impl Driver for Clock {
    fn now(&self) -> u64 {
        critical_section::with(|cs| Self::now_in(self.state.borrow_ref(cs).0))
    }

    fn schedule_wake(&self, at: u64, waker: &Waker) {
        critical_section::with(|cs| {
            let sooner = self.state.borrow_ref_mut(cs).1.schedule_wake(at, waker);
            if sooner {
                self.set_alarm(cs);
            }
        });
    }
}

#[interrupt]
fn TIMER0() {
    critical_section::with(|cs| {
        if timer_compare(WRAP).read() != 0 {
            timer_compare(WRAP).write(0);
            CLOCK.state.borrow_ref_mut(cs).0 += 1;
        }
        if timer_compare(ALARM).read() != 0 {
            timer_compare(ALARM).write(0);
            CLOCK.set_alarm(cs);
        }
    });
}

/// Starts time at zero.
pub(crate) fn start() {
    TIMER_MODE.write(0);
    TIMER_BITMODE.write(3);
    // 16 MHz divided by two to the fourth.
    TIMER_PRESCALER.write(4);
    timer_cc(WRAP).write(0);
    TIMER_CLEAR.write(1);
    TIMER_START.write(1);
    // Starting at zero is not a wrap, though the chip reports both the same way.
    while counter() == 0 {}
    timer_compare(WRAP).write(0);
    TIMER_INTENSET.write(WRAP_IRQ);
    chip::listen(Interrupt::TIMER0);
}

/// The handheld's clock: microseconds since it started, or what a test sets.
pub(crate) fn now() -> Micros {
    sim::now().unwrap_or_else(counted)
}

/// Microseconds since it started, whatever a test sets: a test's time may be ahead of this for the
/// length of a packet, and alarms use this one.
pub(crate) fn counted() -> Micros {
    Micros(CLOCK.now())
}
