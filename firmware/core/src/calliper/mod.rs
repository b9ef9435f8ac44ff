//! Edges in, readings out.
//!
//! ```text
//!                                   +- sync24:    24 bits -+
//! pins --Edge--> packet --Packet--> |  nibbles28: 28        | --Shown--> clip --Clip--> chute
//!                (spikes, rests)    |  words48:   48        |              ^
//!                                   +- bcd52:     52       -+              |
//! pedal ---------------------------------------------------------------+
//! request line <-------------------------------------------------------+
//! ```
//!
//! The two usual outputs share two wires, clock and data, driven by the calliper; they are told
//! apart by the number of bits in a packet. What differs within a kind is in [`Settings`]. Time is
//! an argument and is only compared, never divided: handling an edge is short enough for an
//! interrupt.
//!
//! Two further outputs, of 48 bits and of 28, have clocks of 70 to 90 kHz. They are read with
//! [`Timing::QUICK`], on a board that stamps its pins finely enough. With [`Timing::DEFAULT`] a
//! clip of one ends as [`CalliperFault::WrongBits`](hornrule_protocol::record::CalliperFault).
//!
//! This module knows nothing of keys, records or flash.

pub mod bcd52;
mod clip;
mod edge;
mod listen;
pub mod nibbles28;
mod packet;
mod settings;
mod shown;
pub mod sync24;
pub mod words48;

use hornrule_protocol::calliper::{CalliperSetting, Heard, Pace, RawPacket};
use hornrule_protocol::record::{CalliperFault, CalliperKind};

pub use self::clip::Clip;
use self::clip::{Clipper, Event};
pub use self::edge::{Edge, Level, Slope};
use self::listen::Listening;
use self::packet::{Collector, Packet};
pub use self::settings::{InchCode, Outputs, Settings, SignBit, Timing, Wiring, WordOrder};
pub use self::shown::Shown;
use crate::time::{Micros, Wake};

/// The calliper on the plug.
///
/// Each call takes the time, which never goes back (an earlier time is harmless and counts as no
/// time passed), and gives at most one result of a clip.
#[derive(Debug)]
pub struct Calliper {
    settings: Settings,
    collector: Collector,
    clipper: Clipper,
    listening: Option<Listening>,
}

impl Calliper {
    /// A calliper nothing has been heard from.
    #[must_use]
    pub const fn new(settings: Settings) -> Self {
        let collector = Collector::new(settings.timing);
        let clipper = Clipper::new(settings.timing);
        Self { settings, collector, clipper, listening: None }
    }

    /// A pin changed. Report every change of the clock, both ways.
    #[must_use]
    pub fn on_edge(&mut self, edge: Edge, now: Micros) -> Option<Clip> {
        let outcome = self.on_time(now);
        self.collector.on_edge(edge, now);
        outcome.or(self.clipper.on(Event::Edge, now))
    }

    /// Starts or continues listening to raw packets; gives what was heard since it began. A clip
    /// under way is finished first.
    #[must_use]
    pub fn listen(&mut self, pace: Pace, now: Micros) -> Heard {
        if !self.clipper.is_idle() {
            return Heard::default();
        }
        match &mut self.listening {
            Some(listening) if listening.pace == pace => listening.asked(now),
            Some(_) | None => {
                self.collector = Collector::new(listen::timing(pace));
                self.listening = Some(Listening::new(pace, now));
                Heard::default()
            }
        }
    }

    /// Whether the office is listening: nobody else would hear a clip.
    #[must_use]
    pub const fn is_listening(&self) -> bool {
        self.listening.is_some()
    }

    /// The pedal was pressed. While a clip is under way this does nothing: it may be a bounce.
    #[must_use]
    pub fn on_clip(&mut self, now: Micros) -> Option<Clip> {
        let outcome = self.on_time(now);
        if self.is_listening() {
            return outcome;
        }
        outcome.or(self.clipper.on(Event::Pressed, now))
    }

    /// Time passed: call this when [`next_wake`](Self::next_wake) says so. Calling more often is
    /// harmless.
    #[must_use]
    pub fn on_time(&mut self, now: Micros) -> Option<Clip> {
        let mut outcome = None;
        // At most twice: a packet that is over, and one begun by a level pending since then. Only
        // the first can be complete, so no result is lost.
        while let Some(packet) = self.collector.on_time(now) {
            match &mut self.listening {
                Some(listening) => listening.hear(packet.raw(), now),
                None => outcome = outcome.or(self.on_packet(&packet, now)),
            }
        }
        if self.listening.as_mut().is_some_and(|listening| !listening.on_time(now)) {
            self.listening = None;
            self.collector = Collector::new(self.settings.timing);
        }
        // Wait for a packet under way: cut off, it would later count as unrequested. It cannot take
        // long, having at most 52 bits and no long pause.
        if outcome.is_none() && !self.collector.has_begun() {
            outcome = self.clipper.on(Event::Time, now);
        }
        outcome
    }

    fn on_packet(&mut self, packet: &Packet, now: Micros) -> Option<Clip> {
        let kind = self.kind_of(packet);
        // Between clips only a 52-bit calliper has anything to say; the stream of a 24-bit one, and
        // noise, are dropped undecoded.
        if self.clipper.is_idle() && !matches!(kind, Some((CalliperKind::Bcd52, _))) {
            return None;
        }
        let shown = match kind {
            Some((CalliperKind::Sync24, bits)) => sync24::decode(bits, &self.settings),
            Some((CalliperKind::Bcd52, bits)) => bcd52::decode(bits, &self.settings),
            Some((CalliperKind::Words48, bits)) => words48::decode(bits, &self.settings),
            Some((CalliperKind::Nibbles28, bits)) => nibbles28::decode(bits),
            None => Err(CalliperFault::WrongBits),
        };
        self.clipper.on(Event::Packet(shown), now)
    }

    /// Which kind of calliper sent this, and its bits.
    fn kind_of(&self, packet: &Packet) -> Option<(CalliperKind, u64)> {
        let Settings { sync24, bcd52, outputs, .. } = self.settings;
        let found = |kind, wiring, count| packet.bits(wiring, count).map(|bits| (kind, bits));
        match outputs {
            Outputs::Sync24AndBcd52 => found(CalliperKind::Sync24, sync24, sync24::BITS)
                .or_else(|| found(CalliperKind::Bcd52, bcd52, bcd52::BITS)),
            Outputs::Words48 => found(CalliperKind::Words48, bcd52, words48::BITS),
            Outputs::Nibbles28 => found(CalliperKind::Nibbles28, bcd52, nibbles28::BITS),
        }
    }

    /// Whether to pull the request line low now. Check after every call.
    #[must_use]
    pub const fn request(&self) -> bool {
        let pulled = match &self.listening {
            Some(listening) => listening.pulls(),
            None => self.clipper.request(),
        };
        pulled && !self.collector.has_begun()
    }

    /// Whether a packet is under way or may just have begun: a flash write now would lose it. Noise
    /// can keep this true, so anyone waiting on it must limit the wait.
    #[must_use]
    pub fn is_receiving(&self, now: Micros) -> bool {
        self.collector.is_receiving(now)
    }

    /// When to call [`on_time`](Self::on_time) if nothing else comes.
    #[must_use]
    pub fn next_wake(&self) -> Wake {
        let packet = self.collector.next_wake();
        if let Some(listening) = &self.listening {
            return packet.sooner(listening.next_wake());
        }
        if self.collector.has_begun() { packet } else { packet.sooner(self.clipper.next_wake()) }
    }
}

/// What a raw packet reads as with this setting; `None` if it is of another kind, or broken. A
/// single packet is not yet a reading: see [`Shown`].
#[must_use]
pub fn open(packet: &RawPacket, setting: CalliperSetting) -> Option<Result<Shown, CalliperFault>> {
    let settings = Settings::proved(setting);
    let bits = |wanted| packet.bits(setting.slope, setting.one, wanted);
    Some(match setting.kind {
        CalliperKind::Sync24 => sync24::decode(bits(sync24::BITS)?, &settings),
        CalliperKind::Bcd52 => bcd52::decode(bits(bcd52::BITS)?, &settings),
        CalliperKind::Words48 => words48::decode(bits(words48::BITS)?, &settings),
        CalliperKind::Nibbles28 => nibbles28::decode(bits(nibbles28::BITS)?),
    })
}

#[cfg(test)]
mod tests {
    /// "1100 01..." in sending order, to bits with bit 0 sent first.
    pub(super) fn bits(sent: &str) -> u64 {
        sent.chars()
            .filter(|c| *c != ' ')
            .enumerate()
            .map(|(place, c)| u64::from(c == '1') << place)
            .sum()
    }
}
