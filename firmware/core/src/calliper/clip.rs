//! From asking for a value to having one, or knowing why not.
//!
//! ```text
//!            pressed, or a 52-bit packet unasked
//!   +------+ ---------------------------------> +-------+ good, unlike the last: keep the newer
//!   | Idle |                                    | Asked | broken: forget the last
//!   +------+ <--------------------------------- +-------+ pressed again: nothing
//!            good, and agrees with the last: Measured
//!            waited long enough:             Faulty
//! ```
//!
//! No output has a checksum, so a value counts only when two successive packets agree. The newer of
//! the two is used: while clipped, jaws settle into place rather than move away from it. A broken
//! packet between two good ones separates them; they are not successive.
//!
//! A calliper with a request line sends one packet each time that line falls. So the line is pulled
//! at the clip, released when the packet begins, and pulled again after it if more is needed. That
//! calliper's own send button sends an unrequested packet: it becomes the first of a clip, and the
//! second is requested. A 24-bit calliper sends all the time, so its unrequested packets mean
//! nothing. An answer that arrives when nobody is waiting any longer looks like a send button and
//! is treated as one: no measured calliper is that slow.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperFault, CalliperKind, UnitMode};

use super::settings::Timing;
use super::shown::Shown;
use crate::time::{Micros, Wake};

/// The result of a clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clip {
    /// Two successive packets agreed.
    Measured {
        /// What the calliper shows, from the newer of the two.
        length: Nanometres,
        /// How it is set.
        unit: UnitMode,
        /// Which output it has.
        kind: CalliperKind,
    },
    /// No value, and why.
    Faulty(CalliperFault),
}

/// What can happen to a clip.
#[derive(Clone, Copy, Debug)]
pub(super) enum Event {
    /// Pedal or send contact.
    Pressed,
    /// A pin changed, whatever that leads to.
    Edge,
    /// A packet is over.
    Packet(Result<Shown, CalliperFault>),
    /// Time passed with no packet under way.
    Time,
}

#[derive(Clone, Copy, Debug)]
enum State {
    Idle,
    Asked(Want),
}

/// A value being waited for.
#[derive(Clone, Copy, Debug)]
struct Want {
    /// When waiting ends.
    deadline: Micros,
    /// The last packet, if it was good.
    last: Option<Shown>,
    /// Whether a good packet has come: the first one extends the deadline.
    extended: bool,
    /// The most recent fault.
    fault: CalliperFault,
    line: Line,
}

/// The request line.
#[derive(Clone, Copy, Debug)]
pub(super) enum Line {
    Pulled { until: Micros },
    Resting { until: Micros },
}

impl Line {
    pub(super) const fn pulled(now: Micros, timing: &Timing) -> Self {
        Self::Pulled { until: now.after_us(timing.longest_answer_us) }
    }

    const fn resting(now: Micros, timing: &Timing) -> Self {
        Self::Resting { until: now.after_us(timing.request_rest_us) }
    }

    pub(super) fn next(self, now: Micros, timing: &Timing) -> Self {
        match self {
            Self::Pulled { until } if now >= until => Self::resting(now, timing),
            Self::Resting { until } if now >= until => Self::pulled(now, timing),
            Self::Pulled { .. } | Self::Resting { .. } => self,
        }
    }

    pub(super) const fn until(self) -> Micros {
        match self {
            Self::Pulled { until } | Self::Resting { until } => until,
        }
    }
}

impl Want {
    const fn new(now: Micros, timing: &Timing) -> Self {
        Self {
            deadline: now.after_us(timing.longest_wait_us),
            last: None,
            extended: false,
            fault: CalliperFault::Silent,
            line: Line::pulled(now, timing),
        }
    }

    /// After a packet that did not settle the value.
    fn after_packet(
        mut self,
        packet: Result<Shown, CalliperFault>,
        now: Micros,
        timing: &Timing,
    ) -> Self {
        match packet {
            Ok(shown) => {
                if self.last.is_some() {
                    self.fault = CalliperFault::Unsteady;
                }
                if !self.extended {
                    self.extended = true;
                    self.deadline = now.after_us(timing.longest_wait_us);
                }
                self.last = Some(shown);
            }
            Err(fault) => {
                self.fault = fault;
                self.last = None;
            }
        }
        self.line = Line::pulled(now, timing);
        self
    }
}

/// The clip machine.
#[derive(Debug)]
pub(super) struct Clipper {
    timing: Timing,
    state: State,
    /// Whether an edge has come since the clip, or its last packet, began.
    heard: bool,
}

impl Clipper {
    pub(super) const fn new(timing: Timing) -> Self {
        Self { timing, state: State::Idle, heard: false }
    }

    /// One event in, at most one outcome out.
    pub(super) fn on(&mut self, event: Event, now: Micros) -> Option<Clip> {
        let timing = &self.timing;
        let (next, outcome) = match (self.state, event) {
            (_, Event::Edge) => {
                self.heard = true;
                return None;
            }
            (State::Idle, Event::Time) | (State::Asked(_), Event::Pressed) => return None,
            // From a calliper that sends all the time, an unrequested packet means nothing.
            (
                State::Idle,
                Event::Packet(Ok(Shown {
                    kind: CalliperKind::Sync24 | CalliperKind::Words48 | CalliperKind::Nibbles28,
                    ..
                })),
            ) => return None,
            (State::Idle, Event::Pressed) => (State::Asked(Want::new(now, timing)), None),
            (State::Idle, Event::Packet(packet)) => {
                (State::Asked(Want::new(now, timing).after_packet(packet, now, timing)), None)
            }
            (State::Asked(Want { last: Some(last), .. }), Event::Packet(Ok(shown)))
                if shown.agrees(last) =>
            {
                let Shown { length, unit, kind, .. } = shown;
                (State::Idle, Some(Clip::Measured { length, unit, kind }))
            }
            (State::Asked(want), Event::Packet(packet)) => {
                (State::Asked(want.after_packet(packet, now, timing)), None)
            }
            (State::Asked(want), Event::Time) if now >= want.deadline => {
                (State::Idle, Some(Clip::Faulty(self.complaint(want.fault))))
            }
            (State::Asked(want), Event::Time) => {
                let line = want.line.next(now, timing);
                self.state = State::Asked(Want { line, ..want });
                return None;
            }
        };
        self.heard = false;
        self.state = next;
        outcome
    }

    /// If there were edges but no packet, the plug is loose rather than out.
    fn complaint(&self, fault: CalliperFault) -> CalliperFault {
        match fault {
            CalliperFault::Silent if self.heard => CalliperFault::WrongBits,
            CalliperFault::Silent
            | CalliperFault::WrongBits
            | CalliperFault::Nonsense
            | CalliperFault::Unsteady => fault,
        }
    }

    pub(super) const fn is_idle(&self) -> bool {
        matches!(self.state, State::Idle)
    }

    /// Whether the request line should be low while no packet has begun.
    pub(super) const fn request(&self) -> bool {
        matches!(self.state, State::Asked(Want { line: Line::Pulled { .. }, .. }))
    }

    pub(super) fn next_wake(&self) -> Wake {
        match self.state {
            State::Idle => Wake::OnInput,
            State::Asked(Want { deadline, line, .. }) => Wake::At(deadline.min(line.until())),
        }
    }
}
