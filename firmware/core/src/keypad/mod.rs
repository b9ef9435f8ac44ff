//! Scan masks in, keys out.
//!
//! ```text
//! matrix --Mask--> ghosts? --Contact--> debounce --Change--> press --KeyEvent--> chute
//!                  (whole mask)         (one per key)        (one per key)
//! ```
//!
//! This module does not know what any key means.

mod debounce;
mod key;
mod press;

use heapless::Vec;

pub use self::debounce::DEBOUNCE_US;
use self::debounce::{Contact, Debounce};
pub use self::key::{COLUMNS, KEYS, Key, Mask, ROWS};
pub use self::press::{HOLD_US, REPEAT_US, STUCK_US};
use self::press::{Origin, Press, Word};
use crate::time::{Micros, Wake};

/// Interval between scans while anything is down, in microseconds: four per debounce.
pub const SCAN_US: u64 = 5_000;

const _: () = assert!(4 * SCAN_US <= DEBOUNCE_US, "a spike must not be seen in every scan");
const _: () = assert!(HOLD_US < STUCK_US, "a key is held before it is stuck");

/// What a key did.
///
/// For each key the events come as `Pressed`, at most one `Held`, at most one `Stuck`, `Released`,
/// and then again from the start; or as a single `Stuck` for a key that was never reported as
/// pressed: down at the start, or pressed a second time within [`REPEAT_US`] and never released.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyEvent {
    /// It went down.
    Pressed(Key),
    /// It has been down for [`HOLD_US`].
    Held(Key),
    /// It came up, after a `Pressed`.
    Released(Key),
    /// It has been down for [`STUCK_US`], or was down at the start. Nothing more is reported until
    /// it comes up.
    Stuck(Key),
}

impl KeyEvent {
    const fn new(key: Key, word: Word) -> Self {
        match word {
            Word::Pressed => Self::Pressed(key),
            Word::Held => Self::Held(key),
            Word::Released => Self::Released(key),
            Word::Stuck => Self::Stuck(key),
        }
    }
}

/// At most one event per key and scan, in order of position.
pub type KeyEvents = Vec<KeyEvent, KEYS>;

/// The keypad.
#[derive(Clone, Debug)]
pub struct Keypad {
    debounces: [Debounce; KEYS],
    presses: [Press; KEYS],
    /// Keys that have been down in every scan so far; `None` before the first scan.
    since_start: Option<Mask>,
}

impl Default for Keypad {
    fn default() -> Self {
        Self::new()
    }
}

impl Keypad {
    /// A keypad that has not been scanned yet.
    #[must_use]
    pub const fn new() -> Self {
        Self { debounces: [Debounce::Up; KEYS], presses: [Press::UP; KEYS], since_start: None }
    }

    /// Takes one scan: bit = row * 4 + column, 1 = down. Times never go back (an earlier one counts
    /// as no time passed). The first scan must come right after power-up.
    pub fn on_mask(&mut self, bits: u32, now: Micros) -> KeyEvents {
        let mask = Mask::new(bits);
        let since_start = self.since_start.map_or(mask, |before| before.and(mask));
        self.since_start = Some(since_start);
        let doubtful = mask.is_doubtful();
        let mut events = KeyEvents::new();
        let machines = self.debounces.iter_mut().zip(&mut self.presses);
        for (key, (debounce, press)) in Key::ALL.into_iter().zip(machines) {
            let origin = if since_start.has(key) { Origin::Start } else { Origin::Later };
            let contact = match (mask.has(key), origin) {
                (false, _) => Contact::Open,
                // A key down since the start is ignored anyway, doubtful or not.
                (true, Origin::Later) if doubtful => Contact::Doubtful,
                (true, Origin::Start | Origin::Later) => Contact::Closed,
            };
            let change = debounce.on(contact, now);
            if let Some(word) = press.on(change, origin, now) {
                // There is room for one event per key.
                let _ = events.push(KeyEvent::new(key, word));
            }
        }
        events
    }

    /// How many keys are currently stuck.
    #[must_use]
    pub fn stuck(&self) -> u8 {
        self.presses.iter().map(|press| u8::from(press.is_stuck())).sum()
    }

    /// When to scan next. Idle means that the board may wait for any contact to close; a stuck key
    /// keeps the scans going, because that wait would not work.
    #[must_use]
    pub fn next_wake(&self, now: Micros) -> Wake {
        match self.since_start {
            None => Wake::Now,
            Some(_) if self.is_quiet() => Wake::OnInput,
            Some(_) => Wake::At(now.after_us(SCAN_US)),
        }
    }

    /// Whether every key is accepted as up and none appears down.
    fn is_quiet(&self) -> bool {
        self.debounces.iter().all(|debounce| debounce.is_up())
    }
}
