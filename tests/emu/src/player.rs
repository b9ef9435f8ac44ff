//! Plays a story at the pins: fingers, jaws, plugs, in real time.
//!
//! The person waits for the handheld to answer and fall silent before the next key, so nothing
//! depends on the emulator's speed, and what has been acknowledged is known at every moment.

mod clip;

use std::thread::sleep;
use std::time::{Duration, Instant};

use hornrule_board_sim::story::{Event, Line};
use hornrule_board_sim::{Bench, Identity, Make, Story};
use hornrule_core::cue::{Cue, Signal};
use hornrule_core::keypad::Key;
use hornrule_core::time::Micros;
use hornrule_line::clock::Clock;
use hornrule_line::plan::load;
use hornrule_line::port;
use hornrule_line::port::{Address, Port};
use hornrule_line::pull::ask;
use hornrule_protocol::message::{Request, Response};
use hornrule_protocol::record::CalliperKind;
use hornrule_testkit::contacts::Contacts;
use hornrule_testkit::seeded::Seeded;

use crate::ear::may_be;
use crate::emulator::{Cable, Emulator, Pace, Run, Start};
use crate::flash::Beside;
use crate::image::Image;

/// Shortest time a finger stays on a key: two debounces and a scan.
const KEY_DOWN: Duration = Duration::from_millis(60);
/// Longest contact bounce, microseconds.
const BOUNCE_US: u64 = 6_000;
/// Longest wait for an answer: a clip that gets none ends after two seconds, or four; a computer
/// busy compiling takes ten times as long.
const ANSWER: Duration = Duration::from_secs(40);
/// Scans in which a released key must be seen up: 20 ms of debounce, twice, at 5 ms per scan, and
/// the one under way.
const SCANS_UP: u64 = 9;
/// What is wrong with the lines between calliper and handheld.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lines {
    /// Nothing.
    Straight,
    /// Both inverted.
    Inverted,
    /// Clock on the data line, data on the clock line.
    Swapped,
}

/// Power was cut before the line was played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PowerCut;

/// The true time, which a story may set.
#[derive(Clone, Copy, Debug)]
pub struct TrueTime {
    base_ms: i64,
    since: Instant,
}

impl Clock for TrueTime {
    fn unix_ms(&self) -> i64 {
        self.base_ms + i64::try_from(self.since.elapsed().as_millis()).unwrap()
    }
}

/// The person, the calliper, and the handheld, on or off.
pub struct Player {
    image: Image,
    identity: Identity,
    chance: Seeded,
    /// What is on the calliper's plug.
    pub calliper: Option<Bench>,
    lines: Lines,
    loose: bool,
    battery_mv: u16,
    /// What the line is connected to.
    pub cable: Cable,
    /// Whether it runs at once when switched on.
    pub run: Run,
    /// How its time passes.
    pub pace: Pace,
    /// When the battery is pulled.
    pub cut_at: Option<Instant>,
    /// The flash, as the last power cut left it.
    pub flash: Vec<u8>,
    /// The other flash regions.
    pub beside: Beside,
    /// The handheld, while it is on.
    pub emulator: Option<Emulator>,
    /// Cues from earlier boots.
    before: Vec<Signal>,
    /// The true time.
    pub time: TrueTime,
}

/// A typical calliper.
fn usual(kind: CalliperKind) -> Bench {
    Bench::new(Make::usual(kind), 1)
}

impl Player {
    /// A handheld that is switched off.
    #[must_use]
    pub fn new(image: Image, identity: Identity, flash: Vec<u8>) -> Self {
        Self {
            image,
            identity,
            chance: Seeded::new(1),
            calliper: Some(usual(CalliperKind::Sync24)),
            lines: Lines::Straight,
            loose: false,
            battery_mv: 0,
            cable: Cable::Tcp,
            run: Run::AtOnce,
            pace: Pace::Computer,
            cut_at: None,
            flash,
            beside: Beside::blank(),
            emulator: None,
            before: Vec::new(),
            time: TrueTime { base_ms: 0, since: Instant::now() },
        }
    }

    /// Wires the calliper wrongly, or correctly again.
    pub const fn wire(&mut self, lines: Lines) {
        self.lines = lines;
    }

    /// The running handheld.
    ///
    /// # Panics
    /// If it is off.
    #[must_use]
    pub fn on(&self) -> &Emulator {
        self.emulator.as_ref().expect("the handheld is off")
    }

    /// Switches it on, with these contacts closed.
    pub fn power_on(&mut self, contacts: u32) {
        self.power_off();
        let start = Start {
            battery_mv: self.battery_mv,
            contacts,
            cable: self.cable,
            run: self.run,
            pace: self.pace,
            beside: Some(&self.beside),
            ..Start::on(&self.flash, self.identity)
        };
        let emulator = Emulator::start(&self.image, &start);
        self.emulator = Some(emulator);
    }

    /// Waits until it signals that it is ready, or that it is not.
    pub fn wait_ready(&self) {
        assert!(self.on().panel.wait_begun(0, ANSWER), "the handheld does not start");
    }

    /// Cuts the power.
    pub fn power_off(&mut self) {
        if let Some(emulator) = self.emulator.take() {
            self.before.extend(emulator.panel.heard().0);
            (self.flash, self.beside) = emulator.cut();
        }
    }

    /// Every complete cue so far.
    #[must_use]
    pub fn heard(&self) -> Vec<Signal> {
        let now = self.emulator.as_ref().map(|emulator| emulator.panel.heard().0);
        [self.before.clone(), now.unwrap_or_default()].concat()
    }

    /// Waits until something that sounds like this cue has been played this often.
    ///
    /// # Panics
    /// If it is not.
    pub fn wait_heard(&self, cue: Cue, times: usize) {
        let until = Instant::now() + ANSWER;
        while self.heard().iter().filter(|heard| may_be(**heard, cue)).count() < times {
            assert!(Instant::now() < until, "no {cue:?}; heard {:?}", self.heard());
            sleep(Duration::from_millis(20));
        }
    }

    /// Address of the office's end of the line.
    #[must_use]
    pub fn address(&mut self) -> Address {
        self.emulator.as_mut().expect("the handheld is off").line()
    }

    /// The office's end of the line.
    #[must_use]
    pub fn plug(&mut self) -> Box<dyn Port> {
        port::open(&self.address()).unwrap()
    }

    /// Plays one line; false for the cable, which the caller serves.
    ///
    /// # Errors
    /// The power was cut at [`Self::cut_at`]: the handheld is off.
    ///
    /// # Panics
    /// If an expectation does not hold, or an answer does not come.
    pub fn play(&mut self, line: &Line) -> Result<bool, PowerCut> {
        let played = self.event(&line.event, line.number);
        if played.is_err() {
            self.power_off();
        }
        played
    }

    fn event(&mut self, event: &Event, number: usize) -> Result<bool, PowerCut> {
        match event {
            Event::At(ms) => self.time = TrueTime { base_ms: *ms, since: Instant::now() },
            Event::Wait(ms) => self.nap(Duration::from_millis(*ms))?,
            Event::PowerOn => {
                self.power_on(0);
                self.answer(0)?;
            }
            Event::PowerOff => self.power_off(),
            Event::Keys(keys) => {
                for key in keys {
                    self.press(*key, KEY_DOWN)?;
                }
            }
            Event::Hold(key, ms) => self.press(*key, Duration::from_millis(*ms))?,
            Event::Clip(length, unit) => self.clip(*length, *unit)?,
            Event::Calliper(kind) => self.calliper = kind.map(usual),
            Event::PlugLoose(loose) => self.loose = *loose,
            Event::Battery(mv) => self.battery_mv = *mv,
            Event::OfficeClock => self.office_clock(),
            Event::Tag(line) => {
                panic!("story line {number}: this chip has no second serial input for {line}")
            }
            Event::OfficePlan(plan) => {
                // The office's own loader, over the image's own line; it reads back what is in
                // force.
                let mut port = self.plug();
                load(&mut *port, plan, &mut |_| {}).unwrap();
            }
            Event::PlugIn => return Ok(false),
            Event::Expect(cue) => {
                self.rest()?;
                let heard = self.heard();
                let as_expected = heard.last().is_some_and(|heard| may_be(*heard, *cue));
                assert!(as_expected, "story line {number}: {cue:?} in {heard:?}");
            }
        }
        Ok(true)
    }

    /// Plays a story up to the next cable or its end.
    ///
    /// # Errors
    /// The power was cut.
    pub fn tell(&mut self, story: &str) -> Result<(), PowerCut> {
        let story: Story = story.parse().expect("a story");
        for line in &story.lines {
            assert!(self.play(line)?, "nobody serves a cable here");
        }
        // Wait for the last answer to finish.
        let rested = if self.emulator.is_some() { self.rest() } else { Ok(()) };
        if rested.is_err() {
            self.power_off();
        }
        rested
    }

    /// Time left until the power is cut.
    fn left(&self) -> Option<Duration> {
        self.cut_at.map(|at| at.saturating_duration_since(Instant::now()))
    }

    /// Longest wait for the image at this point.
    fn wait(&self) -> Duration {
        self.left().map_or(ANSWER, |left| left.min(ANSWER))
    }

    /// A wait that failed: power was cut meanwhile, or the image is at fault.
    fn cut_or(&self, fault: &str) -> Result<(), PowerCut> {
        assert!(self.left() == Some(Duration::ZERO), "{fault}; heard {:?}", self.heard());
        Err(PowerCut)
    }

    fn nap(&self, length: Duration) -> Result<(), PowerCut> {
        match self.left() {
            Some(left) if left <= length => {
                sleep(left);
                Err(PowerCut)
            }
            _ => {
                sleep(length);
                Ok(())
            }
        }
    }

    /// Waits until the voice is at rest.
    fn rest(&self) -> Result<(), PowerCut> {
        let until = Instant::now() + ANSWER;
        while !self.on().panel.heard().1 {
            assert!(Instant::now() < until, "the voice never rests: {:?}", self.heard());
            self.nap(Duration::from_millis(10))?;
        }
        Ok(())
    }

    /// Waits until more than this many sounds have begun.
    fn answer(&self, more_than: usize) -> Result<(), PowerCut> {
        if self.on().panel.wait_begun(more_than, self.wait()) {
            return Ok(());
        }
        self.cut_or("nobody answers")
    }

    /// Presses a key with bounce until it is answered, then releases it.
    fn press(&mut self, key: Key, down: Duration) -> Result<(), PowerCut> {
        self.rest()?;
        let before = self.on().panel.begun();
        let bit = key.position();
        let pressed = Instant::now();
        self.bounce(bit, true);
        self.answer(before)?;
        self.nap(down.saturating_sub(pressed.elapsed()))?;
        let scans = self.on().panel.scans();
        self.bounce(bit, false);
        // The same key again would look like a bounce unless it has been seen up, and when that
        // happens depends on the image, however slowly it runs.
        self.nap(KEY_DOWN)?;
        let wait = self.wait();
        if self.on().panel.wait_scans(scans + SCANS_UP, wait) {
            return Ok(());
        }
        self.cut_or("the keys are no longer looked at")
    }

    fn bounce(&mut self, bit: u8, closed: bool) {
        let mut contacts = Contacts::new();
        let bounce = self.chance.below(BOUNCE_US);
        contacts.press(bit, Micros(0), Micros(100_000), bounce, &mut self.chance);
        let start = Instant::now();
        for at in contacts.changes().into_iter().filter(|at| at.0 < 50_000) {
            sleep(Duration::from_micros(at.0).saturating_sub(start.elapsed()));
            let bounced = contacts.mask_at(at);
            let mask = if closed { bounced } else { bounced ^ 1 << bit };
            self.on().panel.contacts(mask);
        }
    }

    fn office_clock(&mut self) {
        let time = self.time;
        let mut port = self.plug();
        // Once: a second request would be a second clock.
        let patience = (1, ANSWER);
        let unix_ms = time.unix_ms();
        ask(&mut *port, &Request::SetClock { unix_ms }, patience, |response| {
            matches!(response, Response::ClockSet { .. }).then_some(())
        })
        .unwrap();
    }
}
