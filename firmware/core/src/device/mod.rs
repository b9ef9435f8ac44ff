//! The whole handheld, sans-IO: the only module that knows all the others.
//!
//! ```text
//! Input, now --> on --> Outputs { cues }        board: play them
//!                transmit --> frame             board: send it when the line is free
//!                request  --> level             board: pull the calliper's request line
//!                next_wake --> Now | At | OnInput
//! ```
//!
//! An entry waits in `held` while a calliper packet is coming in, because a page erase halts the
//! chip for tens of milliseconds and would tear the packet; it never waits longer than `HOLD_MS`,
//! nor past the next press. The next page is erased ahead once nobody has keyed or asked anything
//! for `QUIET_MS`.

mod journal;
mod office;
mod shelf;

pub use journal::{Journal, NotStored};

use embedded_storage::nor_flash::NorFlash;
use heapless::Vec;
use hornrule_protocol::record::{StartCause, Started};
use hornrule_protocol::{DeviceId, Entry, LogId, Seq};

use crate::calliper::{self, Calliper, Clip, Edge};
use crate::chute::{Answer, Chute, DayPlan, Measured, Press};
use crate::cue::{Cue, Family, Signal};
use crate::keypad::{KeyEvent, Keypad};
use crate::link::Link;
use crate::log::{Log, MountError};
use crate::plan::{CalliperShelf, PlanShelf};
use crate::tag::TagLine;
use crate::time::{Micros, Wake};
use crate::trace::{self, Note};
use shelf::LogShelf;

/// Longest time an entry waits for a calliper packet to end. The longest known packet takes 28 ms;
/// a clock line that never rests must not keep an entry out of flash.
const HOLD_MS: u64 = 60;

/// After this long without input nobody is using the handheld, so a page erase keeps nobody
/// waiting. Longer than any cue, which an erase would stretch.
const QUIET_MS: u64 = 2_000;

/// The log is nearly full ([`Cue::LogNearlyFull`]) when less than one part in this many is free.
const NEARLY_FULL_PART: u32 = 10;

/// What a board tells the core about itself.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The chip's own number.
    pub device: DeviceId,
    /// Id for a log about to be formatted: new each time, from the chip's entropy or clock.
    pub fresh_log: LogId,
    /// Firmware version.
    pub firmware: [u8; 3],
    /// Why the handheld started.
    pub cause: StartCause,
    /// Where the firmware stopped, after a panic; otherwise zero.
    pub fault: u32,
    /// How to read the calliper, if none was proved.
    pub calliper: calliper::Settings,
    /// Below this the battery is low, millivolts.
    pub battery_low_mv: u16,
}

/// An event from outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Input<'a> {
    /// The key matrix was scanned: bit `row * 4 + column` is set for a closed contact.
    Keys(u32),
    /// A calliper line changed.
    Edge(Edge),
    /// The pedal or the send contact closed.
    Clip,
    /// Bytes came over the link.
    Received(&'a [u8]),
    /// Bytes came from the tag reader.
    Tag(&'a [u8]),
    /// The battery was measured, millivolts.
    Battery(u16),
    /// Nothing happened, but it is time.
    Time,
}

/// What the board has to do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outputs {
    /// To be played in this order.
    pub cues: Vec<Signal, 10>,
}

impl Outputs {
    /// More cues than fit could not be told apart anyway: the newest is dropped.
    fn play(&mut self, cue: impl Into<Signal>) {
        let _newest_dropped = self.cues.push(cue.into());
    }
}

/// What the handheld needs from whatever keeps the day's plan and the calliper's setting: answers
/// at the chute, and storage for new ones.
pub trait Plan: DayPlan + PlanShelf + CalliperShelf {}

impl<P: DayPlan + PlanShelf + CalliperShelf> Plan for P {}

/// The handheld.
pub struct Device<F: NorFlash, P> {
    settings: Settings,
    keypad: Keypad,
    calliper: Calliper,
    chute: Chute,
    link: Link,
    tag: TagLine,
    journal: Journal<F>,
    plan: P,
    held: Option<(Entry, Micros)>,
    /// When someone last keyed, clipped or asked.
    active: Micros,
    calliper_faults: u32,
    battery_mv: u16,
    warned_clock: bool,
}

impl<F: NorFlash, P: Plan> Device<F, P> {
    /// Starts the handheld on its flash.
    ///
    /// # Errors
    /// The flash, and why its log cannot be used.
    pub fn start(flash: F, settings: Settings, plan: P) -> Result<Self, (F, MountError<F::Error>)> {
        let log = Log::mount(flash, settings.fresh_log)?;
        let Settings { cause, firmware, fault, .. } = settings;
        let journal = Journal::new(settings.device, log, Started { cause, firmware, fault });
        Ok(Self {
            keypad: Keypad::new(),
            calliper: Calliper::new(
                plan.calliper().map_or(settings.calliper, calliper::Settings::proved),
            ),
            chute: Chute::new(),
            link: Link::new(),
            tag: TagLine::new(),
            journal,
            plan,
            held: None,
            active: Micros(0),
            calliper_faults: 0,
            battery_mv: 0,
            warned_clock: false,
            settings,
        })
    }

    /// Takes an event.
    pub fn on(&mut self, input: Input<'_>, now: Micros) -> Outputs {
        let mut out = Outputs::default();
        match input {
            Input::Keys(mask) => {
                for event in self.keypad.on_mask(mask, now) {
                    self.active = now;
                    self.on_key(event, now, &mut out);
                }
            }
            Input::Edge(edge) => {
                let clip = self.calliper.on_edge(edge, now);
                self.on_clip(clip, now, &mut out);
            }
            Input::Clip => {
                self.active = now;
                if self.calliper.is_listening() {
                    out.play(Cue::Refused);
                }
                let clip = self.calliper.on_clip(now);
                self.on_clip(clip, now, &mut out);
            }
            Input::Received(bytes) => {
                self.active = now;
                for byte in bytes {
                    self.on_byte(*byte, now, &mut out);
                }
            }
            Input::Tag(bytes) => {
                self.active = now;
                for byte in bytes {
                    if let Some(read) = self.tag.on_byte(*byte, now) {
                        self.commit_held(now, &mut out);
                        let answer = self.chute.tag(read.ok());
                        self.answer(answer, now, &mut out);
                    }
                }
            }
            Input::Battery(mv) => {
                if mv < self.settings.battery_low_mv && !self.battery_is_low() {
                    out.play(Cue::BatteryLow);
                }
                self.battery_mv = mv;
            }
            Input::Time => {
                let clip = self.calliper.on_time(now);
                self.on_clip(clip, now, &mut out);
            }
        }
        if let Some(cue) = self.chute.on_time(now) {
            out.play(cue);
        }
        if self.held.is_some_and(|(_, until)| now >= until || !self.calliper.is_receiving(now)) {
            self.commit_held(now, &mut out);
        }
        if let Wake::At(at) = self.tend_at()
            && now >= at
        {
            self.journal.log_mut().tend();
        }
        self.chute.heard(&out.cues);
        out
    }

    /// The next frame to send, when the line is free; `None` when there is nothing.
    pub fn transmit(&mut self) -> Option<&[u8]> {
        let mut shelf = LogShelf { device: self.settings.device, log: self.journal.log_mut() };
        self.link.transmit(&mut shelf)
    }

    /// Whether to pull the calliper's request line low.
    #[must_use]
    pub fn request(&self) -> bool {
        self.calliper.request()
    }

    /// When [`Self::on`] wants to be called with [`Input::Time`] or a scan.
    #[must_use]
    pub fn next_wake(&self, now: Micros) -> Wake {
        let held = self.held.map_or(Wake::OnInput, |(_, until)| Wake::At(until));
        let link =
            if self.link.has_news(self.journal.log().next()) { Wake::Now } else { Wake::OnInput };
        self.keypad
            .next_wake(now)
            .sooner(self.calliper.next_wake())
            .sooner(self.chute.next_wake())
            .sooner(held)
            .sooner(link)
            .sooner(self.tend_at())
    }

    /// When the log may erase ahead. Not while a packet comes in: it would be torn.
    fn tend_at(&self) -> Wake {
        let free = self.held.is_none() && self.calliper.next_wake() == Wake::OnInput;
        match free && self.journal.wants_tending() {
            true => Wake::At(self.active.after_ms(QUIET_MS)),
            false => Wake::OnInput,
        }
    }

    /// The journal, for boards and tests to inspect.
    pub const fn journal(&self) -> &Journal<F> {
        &self.journal
    }

    /// Returns the flash, as a power cut would leave it.
    pub fn into_flash(self) -> F {
        self.journal.into_flash()
    }

    /// The day's plan, for boards and tests to inspect.
    pub const fn plan(&self) -> &P {
        &self.plan
    }

    fn on_key(&mut self, event: KeyEvent, now: Micros, out: &mut Outputs) {
        match event {
            KeyEvent::Pressed(key) => {
                // What was entered before must be in flash before the next press can mean anything.
                self.commit_held(now, out);
                let answer = self.chute.press(Press::from(key), now, &mut self.plan);
                self.answer(answer, now, out);
            }
            KeyEvent::Stuck(_) => out.play(Cue::KeyStuck),
            KeyEvent::Held(_) | KeyEvent::Released(_) => {}
        }
    }

    fn answer(&mut self, answer: Answer, now: Micros, out: &mut Outputs) {
        match answer {
            Answer::Cue(cue) => out.play(cue),
            Answer::Asked => {
                for signal in self.chute.tell(&self.plan) {
                    out.play(signal);
                }
            }
            Answer::Entry(entry) => self.hold(entry, now),
        }
    }

    fn on_clip(&mut self, clip: Option<Clip>, now: Micros, out: &mut Outputs) {
        let entry = match clip {
            None => return,
            Some(Clip::Measured { length, unit, kind }) => {
                self.commit_held(now, out);
                self.chute.clip(Measured { length, unit, kind }, &self.plan)
            }
            Some(Clip::Faulty(fault)) => {
                self.calliper_faults = self.calliper_faults.saturating_add(1);
                trace::note(Note::CalliperFault(self.calliper_faults));
                self.commit_held(now, out);
                Entry::CalliperFault(fault)
            }
        };
        self.hold(entry, now);
    }

    fn hold(&mut self, entry: Entry, now: Micros) {
        self.held = Some((entry, now.after_ms(HOLD_MS)));
    }

    fn commit_held(&mut self, now: Micros, out: &mut Outputs) {
        let Some((entry, _)) = self.held.take() else { return };
        match self.say(entry, now) {
            Ok(seq) => {
                let cue = self.chute.committed(seq, &entry, &mut self.plan);
                if let Entry::CalliperFault(_) = entry {
                    return out.play(Cue::CalliperFault);
                }
                if cue.family() != Family::InFlash {
                    out.play(Cue::Committed);
                }
                out.play(cue);
                self.chute.drawn(&entry).for_each(|cue| out.play(cue));
                if let Entry::Animal(_) = entry {
                    self.chute.more_of_cow().for_each(|cue| out.play(cue));
                }
                self.chute.warnings(&entry).for_each(|cue| out.play(cue));
                if let Entry::Animal(_) = entry {
                    self.warn(out);
                }
            }
            Err(NotStored::Full) => out.play(Cue::LogFull),
            Err(NotStored::Flash) => out.play(Cue::LogUnusable),
        }
    }

    /// An entry, and of a bundle its parts: all are in flash when this gives the entry's number. A
    /// log without room for all of them takes none.
    fn say(&mut self, entry: Entry, now: Micros) -> Result<Seq, NotStored> {
        let Entry::Bundle { parts, .. } = entry else { return self.journal.say(entry, now) };
        self.journal.make_sure_of(1 + u32::from(parts))?;
        let seq = self.journal.say(entry, now)?;
        for part in self.chute.parts() {
            self.journal.say(Entry::Action(*part), now)?;
        }
        Ok(seq)
    }

    /// What the trimmer should know, signalled between two cows, when there is time to listen.
    fn warn(&mut self, out: &mut Outputs) {
        if self.journal.free() < self.journal.capacity() / NEARLY_FULL_PART {
            out.play(Cue::LogNearlyFull);
        }
        if self.battery_is_low() {
            out.play(Cue::BatteryLow);
        }
        if !self.journal.clock_known() && !self.warned_clock {
            self.warned_clock = true;
            out.play(Cue::ClockUnknown);
        }
    }

    /// Zero means that the board does not measure it.
    fn battery_is_low(&self) -> bool {
        self.battery_mv != 0 && self.battery_mv < self.settings.battery_low_mv
    }
}
