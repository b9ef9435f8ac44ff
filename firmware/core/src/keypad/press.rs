//! One key: accepted changes in, key events out.
//!
//! ```text
//!        down                    700 ms           10 s
//!  Up ---------> Down --------------------> Held ------> Stuck
//!  | \            | Pressed                  | Held        | Stuck
//!  |  \ too soon  | up: Released             | up: Rel.    | up: Released
//!  |   +-> Ignored (silent until up, or Stuck after 10 s)
//!  +-- down since the start --> Stuck (up: silent, it was never Pressed)
//! ```

use super::debounce::Change;
use crate::time::Micros;

/// How long a key must be down to count as held, in microseconds: the middle of the 600 to 800 ms
/// that are common practice.
pub const HOLD_US: u64 = 700_000;
/// How long a key must be down to count as stuck, in microseconds. Nobody means to press for ten
/// seconds; a glove, a strap or dried dirt does.
pub const STUCK_US: u64 = 10_000_000;
/// A second press of the same key this soon after the first, in microseconds, is a worn contact and
/// not a finger: fingers need more than 100 ms. Common practice, no source.
pub const REPEAT_US: u64 = 80_000;

/// Since when a key has been down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Origin {
    /// Since the first scan.
    Start,
    /// Since later.
    Later,
}

/// A key's event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Word {
    Pressed,
    Held,
    Released,
    Stuck,
}

/// Whether a stuck key still owes a release.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Owes {
    Release,
    Nothing,
}

#[derive(Clone, Copy, Debug)]
enum State {
    Up,
    Down,
    Held,
    Stuck(Owes),
    Ignored,
}

/// The press machine of one key.
#[derive(Clone, Copy, Debug)]
pub(super) struct Press {
    state: State,
    /// When it was last pressed.
    pressed: Option<Micros>,
}

impl Press {
    pub(super) const UP: Self = Self { state: State::Up, pressed: None };

    /// Takes one scan: what changed, if anything.
    pub(super) fn on(
        &mut self,
        change: Option<Change>,
        origin: Origin,
        now: Micros,
    ) -> Option<Word> {
        let lasted = |us: u64| self.pressed.is_some_and(|at| now.since(at) >= us);
        let (next, word) = match (self.state, change) {
            (State::Up, Some(Change::Down)) => match origin {
                Origin::Start => (State::Stuck(Owes::Nothing), Some(Word::Stuck)),
                Origin::Later if self.pressed.is_some() && !lasted(REPEAT_US) => {
                    (State::Ignored, None)
                }
                Origin::Later => {
                    self.pressed = Some(now);
                    (State::Down, Some(Word::Pressed))
                }
            },
            (State::Down | State::Held | State::Stuck(Owes::Release), Some(Change::Up)) => {
                (State::Up, Some(Word::Released))
            }
            (State::Stuck(Owes::Nothing) | State::Ignored, Some(Change::Up)) => (State::Up, None),
            (State::Down, None) if lasted(HOLD_US) => (State::Held, Some(Word::Held)),
            (State::Held, None) if lasted(STUCK_US) => {
                (State::Stuck(Owes::Release), Some(Word::Stuck))
            }
            (State::Ignored, None) if lasted(STUCK_US) => {
                (State::Stuck(Owes::Nothing), Some(Word::Stuck))
            }
            // Debounced changes alternate, so the other pairs do not occur; they would mean
            // nothing.
            (State::Down | State::Held | State::Stuck(_) | State::Ignored, Some(Change::Down))
            | (State::Up, Some(Change::Up))
            | (_, None) => (self.state, None),
        };
        self.state = next;
        word
    }

    pub(super) const fn is_stuck(self) -> bool {
        matches!(self.state, State::Stuck(_))
    }
}
