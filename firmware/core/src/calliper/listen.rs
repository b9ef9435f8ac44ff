//! Raw packets for the office, while someone proves a calliper.
//!
//! ```text
//! asked --> listening, request line pulled between packets --> packets counted, the newest kept
//!              |  asked again: extended
//!              +--> no longer asked: as before
//! ```

use hornrule_protocol::calliper::{Heard, Pace, RawPacket};

use super::clip::Line;
use super::settings::Timing;
use crate::time::{Micros, Wake};

/// How long the handheld keeps listening after the last request: an office asks many times a
/// second, and one that was unplugged must not keep the calliper from the trimmer.
const LISTEN_MS: u64 = 2_000;

/// One spell of listening.
#[derive(Debug)]
pub(super) struct Listening {
    pub(super) pace: Pace,
    until: Micros,
    line: Line,
    heard: Heard,
}

/// The timing for a calliper of this pace.
pub(super) const fn timing(pace: Pace) -> Timing {
    match pace {
        Pace::Usual => Timing::DEFAULT,
        Pace::Quick => Timing::QUICK,
    }
}

impl Listening {
    pub(super) const fn new(pace: Pace, now: Micros) -> Self {
        let line = Line::pulled(now, &timing(pace));
        let heard = Heard { packets: 0, last: None };
        Self { pace, until: now.after_ms(LISTEN_MS), line, heard }
    }

    /// Extends the listening, and gives what has been heard so far.
    pub(super) const fn asked(&mut self, now: Micros) -> Heard {
        self.until = now.after_ms(LISTEN_MS);
        self.heard
    }

    pub(super) const fn hear(&mut self, packet: RawPacket, now: Micros) {
        self.heard.packets = self.heard.packets.wrapping_add(1);
        self.heard.last = Some(packet);
        self.line = Line::pulled(now, &timing(self.pace));
    }

    /// Lets time pass; false when listening is over.
    pub(super) fn on_time(&mut self, now: Micros) -> bool {
        self.line = self.line.next(now, &timing(self.pace));
        now < self.until
    }

    pub(super) const fn pulls(&self) -> bool {
        matches!(self.line, Line::Pulled { .. })
    }

    pub(super) fn next_wake(&self) -> Wake {
        Wake::At(self.until.min(self.line.until()))
    }
}
