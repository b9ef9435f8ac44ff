//! What is said, as the records a handheld makes of it.

use hornrule_protocol::record::{
    CalliperKind, Done, Finding, Reading, StartCause, Started, UnitMode,
};
use hornrule_protocol::{
    Action, AnimalNumber, Boot, Claw, DeviceId, Dimension, Entry, Foot, HerdNumber, Lesion,
    Nanometres, Place, Record, Scale, Seq, Uptime, Zone,
};

use super::Evening;
use hornrule_herd::inbox::Anchor;

/// The handheld's clock runs this much fast: a usual crystal, 20 millionths.
const FAST: f64 = 20e-6;
/// One step of the calliper.
const STEP_NM: i32 = 10_000;
/// Request and answer over the line.
const ROUND_TRIP_MS: u32 = 18;

/// One handheld over the season.
#[derive(Debug)]
pub(super) struct Narrator {
    device: DeviceId,
    boot: Boot,
    began_ms: i64,
    now_ms: i64,
    next: Seq,
    records: Vec<Record>,
}

impl Narrator {
    pub(super) fn new(device: DeviceId) -> Self {
        let (boot, records) = (Boot(0), Vec::new());
        Self { device, boot, began_ms: 0, now_ms: 0, next: Seq::FIRST, records }
    }

    pub(super) fn switch_on(&mut self, at_ms: i64) {
        self.boot = Boot(self.boot.0 + 1);
        (self.began_ms, self.now_ms) = (at_ms, at_ms);
        let started = Started { cause: StartCause::PowerOn, firmware: [0, 1, 0], fault: 0 };
        self.say(Entry::Started(started));
        self.wait(20.0);
    }

    pub(super) fn wait(&mut self, seconds: f64) {
        self.now_ms += (seconds * 1000.0) as i64;
    }

    pub(super) fn wait_until(&mut self, at_ms: i64) {
        self.now_ms = self.now_ms.max(at_ms);
    }

    pub(super) const fn now_ms(&self) -> i64 {
        self.now_ms
    }

    fn uptime(&self) -> Uptime {
        let passed = (self.now_ms - self.began_ms) as f64;
        Uptime((passed * (1.0 + FAST)) as u64)
    }

    pub(super) fn say(&mut self, entry: Entry) -> Seq {
        let seq = self.next;
        self.records.push(Record { boot: self.boot, uptime: self.uptime(), entry });
        self.next = seq.next();
        seq
    }

    pub(super) fn clock(&mut self) {
        self.say(Entry::Clock { unix_ms: self.now_ms });
    }

    pub(super) fn take_back(&mut self, seq: Seq) {
        self.say(Entry::Void { seq });
    }

    /// Herd numbers of a season are never zero.
    pub(super) fn cow(&mut self, number: u32) -> Option<Seq> {
        let number = HerdNumber::new(number)?;
        Some(self.say(Entry::Animal(AnimalNumber::Herd(number))))
    }

    pub(super) fn locomotion(&mut self, value: u8) {
        if let Some(scale) = Scale::from_code(1) {
            self.say(Entry::Score { scale, value });
        }
    }

    pub(super) fn clip(&mut self, dimension: u8, mm: f64, place: Place) -> Option<Seq> {
        let dimension = Dimension::from_code(dimension)?;
        let steps = (mm * f64::from(Nanometres::PER_MM / STEP_NM)).round() as i32;
        let length = Nanometres(steps * STEP_NM);
        let (unit, kind) = (UnitMode::Millimetre, CalliperKind::Sync24);
        Some(self.say(Entry::Reading(Reading { length, dimension, place, unit, kind })))
    }

    pub(super) fn find(&mut self, lesion: u8, grade: u8, zone: Option<u8>, place: Place) {
        if let Some(lesion) = Lesion::from_code(lesion) {
            let zone = zone.and_then(Zone::new);
            self.say(Entry::Finding(Finding { lesion, place, grade, zone }));
        }
    }

    pub(super) fn act(&mut self, action: u8, place: Place) {
        self.act_in(action, place, 0);
    }

    pub(super) fn act_in(&mut self, action: u8, place: Place, days: u8) {
        if let Some(action) = Action::from_code(action) {
            self.say(Entry::Action(Done { action, place, days }));
        }
    }

    /// A bundle of the day's plan, sealed at one moment as the handheld does: its name, then its parts.
    pub(super) fn together(&mut self, bundle: u8, parts: &[(u8, Place)]) {
        // At most seven parts.
        let count = parts.len() as u8;
        self.say(Entry::Bundle { bundle, parts: count });
        parts.iter().for_each(|(action, place)| self.act(*action, *place));
    }

    /// The evening's pull of all since the last one.
    pub(super) fn pulled(&mut self) -> Evening {
        let records = std::mem::take(&mut self.records);
        let through = self.next.previous();
        let from = Seq(through.0 + 1 - records.len() as u32);
        let anchor = Anchor {
            boot: self.boot,
            uptime: self.uptime(),
            unix_ms: self.now_ms,
            round_trip_ms: ROUND_TRIP_MS,
        };
        Evening { device: self.device, from, through, records, anchor }
    }
}

/// The foot of a claw.
pub(super) const fn foot(claw: Claw) -> Place {
    Place::Foot(claw.foot)
}

/// Feet in the order in which they are lifted.
pub(super) const LIFTED: [Foot; 4] =
    [Foot::RightHind, Foot::LeftHind, Foot::RightFore, Foot::LeftFore];
