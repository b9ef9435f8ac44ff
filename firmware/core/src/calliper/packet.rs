//! Edges in, packets of bits out.
//!
//! ```text
//!            spike: ignored                   the clock rests: the packet is over
//!               v                                 |<-- longest pause -->|
//! clock ‾‾|___|‾‾|___|‾|___|‾‾|___|‾‾ ... ‾|___|‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾|
//! fall    d0     d1        d2     d3       dn        data at each fall
//! rise        d0     d1        d2     d3      dn     data at each rise
//! ```
//!
//! A clock level is accepted once it has lasted long enough, so a bit is known one edge (or one
//! pause) late. Data is collected at both slopes and the decoder chooses: a 24-bit calliper behind
//! inverting shifters and a 52-bit one without can therefore share a pair of pins.

use hornrule_protocol::calliper::{RawPacket, Sampled};

use super::edge::{Edge, Level};
use super::settings::{Timing, Wiring};
use crate::time::{Micros, Wake};

/// A packet with more bits than this is from no known calliper.
const MOST_BITS: u8 = super::bcd52::BITS;

/// The data at one slope of the clock.
#[derive(Clone, Copy, Debug, Default)]
struct Run {
    /// Last bit on top, so that adding a bit is a shift by one.
    bits: u64,
    count: u8,
    last: Micros,
}

impl Run {
    /// Takes a bit; false if it came too soon after the one before.
    fn push(&mut self, data: Level, at: Micros, timing: &Timing) -> bool {
        let soon = self.count > 0 && at.since(self.last) < timing.shortest_bit_us;
        self.bits = self.bits >> 1 | u64::from(data == Level::High) << 63;
        self.count = self.count.saturating_add(1);
        self.last = at;
        !soon
    }

    /// As reported to the office: bit 0 sent first.
    fn sampled(self) -> Sampled {
        // With no bits this would be a shift by 64.
        let unused = u32::from(64_u8.saturating_sub(self.count));
        Sampled { bits: self.bits.checked_shr(unused).unwrap_or(0), count: self.count }
    }
}

/// A run of bits between two rests of the clock.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Packet {
    fall: Run,
    rise: Run,
    spoiled: bool,
}

impl Packet {
    /// The bits as seen with this wiring, if there are this many and none came too soon.
    pub(super) fn bits(&self, wiring: Wiring, wanted: u8) -> Option<u64> {
        self.raw().bits(wiring.slope, wiring.one, wanted)
    }

    /// Both slopes, for decoding elsewhere.
    pub(super) fn raw(&self) -> RawPacket {
        RawPacket { fall: self.fall.sampled(), rise: self.rise.sampled(), hurried: self.spoiled }
    }

    const fn count(&self) -> u8 {
        if self.fall.count > self.rise.count { self.fall.count } else { self.rise.count }
    }
}

/// A clock level that has not yet lasted long enough.
#[derive(Clone, Copy, Debug)]
struct Pending {
    edge: Edge,
    since: Micros,
}

/// Collects bits.
#[derive(Debug)]
pub(super) struct Collector {
    timing: Timing,
    /// The clock level last accepted. Unknown before the first edge, which is then taken as a clock
    /// edge: otherwise the first bit of the first packet would be lost.
    clock: Option<Level>,
    pending: Option<Pending>,
    /// When the clock last changed in this packet; `None` between packets.
    changed: Option<Micros>,
    packet: Packet,
}

impl Collector {
    pub(super) const fn new(timing: Timing) -> Self {
        const NO_BITS: Run = Run { bits: 0, count: 0, last: Micros(0) };
        let packet = Packet { fall: NO_BITS, rise: NO_BITS, spoiled: false };
        Self { timing, clock: None, pending: None, changed: None, packet }
    }

    /// Takes a change of the pins. First call `on_time` with the same time until it gives nothing.
    pub(super) fn on_edge(&mut self, edge: Edge, now: Micros) {
        if self.clock == Some(edge.clock) {
            // Back to the accepted level: a spike, or a change of the data alone.
            self.pending = None;
        } else if self.pending.is_none_or(|pending| pending.edge.clock != edge.clock) {
            self.pending = Some(Pending { edge, since: now });
        }
    }

    /// Lets time pass. Gives a packet that is over; call again until there is none.
    pub(super) fn on_time(&mut self, now: Micros) -> Option<Packet> {
        if !self.is_over(now) {
            self.believe(now);
        }
        if !self.is_over(now) {
            return None;
        }
        self.changed = None;
        Some(core::mem::take(&mut self.packet))
    }

    /// Whether the clock has rested. A pending level ends the rest at the moment it began, since it
    /// may still turn out to be a bit.
    fn is_over(&self, now: Micros) -> bool {
        let until = self.pending.map_or(now, |pending| pending.since);
        self.changed.is_some_and(|changed| until.since(changed) >= self.timing.longest_pause_us)
    }

    /// Accepts the pending level if it has lasted long enough.
    fn believe(&mut self, now: Micros) {
        let Some(Pending { edge, since }) = self.pending else { return };
        if now.since(since) < self.timing.shortest_level_us {
            return;
        }
        self.pending = None;
        self.clock = Some(edge.clock);
        self.changed = Some(since);
        let run = match edge.clock {
            Level::Low => &mut self.packet.fall,
            Level::High => &mut self.packet.rise,
        };
        if !run.push(edge.data, since, &self.timing) {
            self.packet.spoiled = true;
        }
    }

    /// Whether there are bits that may become a packet. Too many cannot.
    pub(super) const fn has_begun(&self) -> bool {
        self.changed.is_some() && self.packet.count() <= MOST_BITS
    }

    /// Whether a packet is under way or may just have begun.
    pub(super) fn is_receiving(&self, now: Micros) -> bool {
        let recent = |at: Micros| now.since(at) < self.timing.longest_pause_us;
        (self.has_begun() && self.changed.is_some_and(recent))
            || self.pending.is_some_and(|pending| recent(pending.since))
    }

    /// When a packet will be over if nothing more comes.
    pub(super) fn next_wake(&self) -> Wake {
        let rest = |at: Micros| at.after_us(self.timing.longest_pause_us);
        let believed = |at: Micros| at.after_us(self.timing.shortest_level_us);
        match (self.changed, self.pending) {
            (None, None) => Wake::OnInput,
            (Some(changed), None) => Wake::At(rest(changed)),
            // Called at the end of its rest, by when it is accepted as well.
            (None, Some(pending)) => Wake::At(rest(pending.since).max(believed(pending.since))),
            (Some(changed), Some(pending)) => Wake::At(rest(changed).max(believed(pending.since))),
        }
    }
}
