//! Scan masks in, keys out.
//!
//! ```text
//! matrix --Mask--> ghosts? --Contact--> debounce --Change--> press --KeyEvent--> chute
//!                  (whole mask)         (one per key)        (one per key)
//! ```
//!
//! The room knows no meaning of any key.

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

/// Time from scan to scan while anything is down, in microseconds: four in a debounce.
pub const SCAN_US: u64 = 5_000;

const _: () = assert!(4 * SCAN_US <= DEBOUNCE_US, "a spike must not be seen in every scan");
const _: () = assert!(HOLD_US < STUCK_US, "a key is held before it is stuck");

/// What a key did.
///
/// For each key the events come as `Pressed`, at most one `Held`, at most one `Stuck`, `Released`,
/// and so on from the start; or as a single `Stuck` for a key that was never told as pressed: down
/// at the start, or pressed a second time within [`REPEAT_US`] and never let go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyEvent {
    /// It went down.
    Pressed(Key),
    /// It has been down for [`HOLD_US`].
    Held(Key),
    /// It came up, after a `Pressed`.
    Released(Key),
    /// It has been down for [`STUCK_US`], or was down at the start. Nothing more is said of it
    /// until it comes up.
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

/// At most one event a key and scan, in the order of positions.
pub type KeyEvents = Vec<KeyEvent, KEYS>;

/// The keypad.
#[derive(Clone, Debug)]
pub struct Keypad {
    debounces: [Debounce; KEYS],
    presses: [Press; KEYS],
    /// Keys that have been down in every scan so far; `None` before the first.
    since_start: Option<Mask>,
}

impl Default for Keypad {
    fn default() -> Self {
        Self::new()
    }
}

impl Keypad {
    /// A keypad of which nothing has been seen.
    #[must_use]
    pub const fn new() -> Self {
        Self { debounces: [Debounce::Up; KEYS], presses: [Press::UP; KEYS], since_start: None }
    }

    /// Takes one scan: bit = row * 4 + column, 1 = down. Times never go back (an earlier one
    /// counts as no time passed). The first scan belongs right after power-up.
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
                // A key down since the start will be ignored in any case: doubt or not.
                (true, Origin::Later) if doubtful => Contact::Doubtful,
                (true, Origin::Start | Origin::Later) => Contact::Closed,
            };
            let change = debounce.on(contact, now);
            if let Some(word) = press.on(change, origin, now) {
                // There is room for one event of each key.
                let _ = events.push(KeyEvent::new(key, word));
            }
        }
        events
    }

    /// How many keys are stuck now.
    #[must_use]
    pub fn stuck(&self) -> u8 {
        self.presses.iter().map(|press| u8::from(press.is_stuck())).sum()
    }

    /// When to scan next. Idle means that the board may wait for any contact to close; a stuck key
    /// keeps the scans going, since it keeps that wait from working.
    #[must_use]
    pub fn next_wake(&self, now: Micros) -> Wake {
        match self.since_start {
            None => Wake::Now,
            Some(_) if self.is_quiet() => Wake::OnInput,
            Some(_) => Wake::At(now.after_us(SCAN_US)),
        }
    }

    /// Whether every key is believed up and none seems down.
    fn is_quiet(&self) -> bool {
        self.debounces.iter().all(|debounce| debounce.is_up())
    }
}
