//! The office's clock: the computer's, or a pretended one for rehearsals and tests.

use std::time::Instant;

/// Gives the time.
pub trait Clock {
    /// Milliseconds since 1970-01-01T00:00:00Z.
    fn unix_ms(&self) -> i64;
}

/// The computer's clock.
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn unix_ms(&self) -> i64 {
        jiff::Timestamp::now().as_millisecond()
    }
}

/// A clock that was at `start` when it was made and has run at the usual rate since.
#[derive(Clone, Copy, Debug)]
pub struct PretendedClock {
    start_ms: i64,
    made: Instant,
}

impl PretendedClock {
    /// A clock that shows this time now.
    #[must_use]
    pub fn starting_at(start: jiff::Timestamp) -> Self {
        Self { start_ms: start.as_millisecond(), made: Instant::now() }
    }
}

impl Clock for PretendedClock {
    fn unix_ms(&self) -> i64 {
        // 584 million years fit: the cast cannot cut.
        self.start_ms + self.made.elapsed().as_millis() as i64
    }
}
