//! Stories: what a trimmer says, as sealed records.
#![expect(missing_docs, reason = "each method says a sentence of its name")]

use hornrule_protocol::record::{
    CalliperFault, CalliperKind, Done, Finding, Reading, StartCause, Started, UnitMode,
};
use hornrule_protocol::{
    Action, AnimalNumber, Boot, Claw, DeviceId, Dimension, Entry, Foot, HerdNumber, Lesion, LogId,
    Nanometres, Place, Record, Scale, Sealed, Seq, Side, Uptime, Zone, seal,
};

use hornrule_facts::Batch;

/// 2026-03-02T07:00:00Z, a Monday; eight o'clock at the farm.
pub const EIGHT: i64 = 1_772_434_800_000;
pub const DEVICE: DeviceId = DeviceId(0xF00D_0000_0000_0001);
pub const LOG: LogId = LogId(7);

pub const LH: Place = Place::Foot(Foot::LeftHind);
pub const LH_OUT: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Lateral });
pub const LH_IN: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Medial });
pub const RH: Place = Place::Foot(Foot::RightHind);
pub const LF_OUT: Place = Place::Claw(Claw { foot: Foot::LeftFore, side: Side::Lateral });
pub const RF_OUT: Place = Place::Claw(Claw { foot: Foot::RightFore, side: Side::Lateral });
pub const RH_OUT: Place = Place::Claw(Claw { foot: Foot::RightHind, side: Side::Lateral });

/// A log that is being told.
#[derive(Clone, Debug)]
pub struct Story {
    device: DeviceId,
    boot: u16,
    uptime: u64,
    next: Seq,
    pub sealed: Vec<Sealed>,
    /// Boot and uptime of each of them.
    pub times: Vec<(Boot, Uptime)>,
}

impl Story {
    /// A story of another handheld.
    pub fn of(device: DeviceId) -> Self {
        let (sealed, times) = (Vec::new(), Vec::new());
        Self { device, boot: 0, uptime: 0, next: Seq::FIRST, sealed, times }
    }

    pub const fn device(&self) -> DeviceId {
        self.device
    }

    /// Started, clock set to eight, at farm 1.
    pub fn at_work() -> Self {
        let mut story = Self::of(DEVICE);
        story.start().clock(EIGHT).visit(1);
        story
    }

    pub fn say(&mut self, entry: Entry) -> &mut Self {
        let (boot, uptime) = (Boot(self.boot), Uptime(self.uptime));
        let record = Record { boot, uptime, entry };
        self.sealed.push(seal(self.device, LOG, self.next, &record).unwrap());
        self.times.push((boot, uptime));
        self.next = self.next.next();
        // A sentence takes longer than a slip of the thumb.
        self.wait(6000)
    }

    pub fn wait(&mut self, ms: u64) -> &mut Self {
        self.uptime += ms;
        self
    }

    /// From here on the handheld claims to be running for ages.
    pub fn nonsense_uptime(&mut self) -> &mut Self {
        self.uptime = 1 << 62;
        self
    }

    /// Takes back time, so that the next sentence follows at once.
    pub fn at_once(&mut self) -> &mut Self {
        self.uptime -= 5000;
        self
    }

    /// The number of the last record.
    pub fn last(&self) -> Seq {
        self.next.previous()
    }

    pub fn start(&mut self) -> &mut Self {
        self.start_by(StartCause::PowerOn)
    }

    pub fn start_by(&mut self, cause: StartCause) -> &mut Self {
        self.boot += 1;
        self.uptime = 0;
        let fault = if cause == StartCause::Panic { 0xDEAD_BEEF } else { 0 };
        self.say(Entry::Started(Started { cause, firmware: [0, 1, 0], fault }))
    }

    /// The handheld's clock is set so that its boot began at `unix_ms`, less what has passed.
    pub fn clock(&mut self, unix_ms: i64) -> &mut Self {
        self.say(Entry::Clock { unix_ms })
    }

    pub fn visit(&mut self, farm: u8) -> &mut Self {
        self.say(Entry::Visit { farm })
    }

    /// A plan of this name was loaded.
    pub fn plan(&mut self, name: u32) -> &mut Self {
        self.say(Entry::PlanLoaded { plan: name, animals: 1 })
    }

    pub fn cow(&mut self, number: u32) -> &mut Self {
        let number = HerdNumber::new(number).unwrap();
        self.say(Entry::Animal(AnimalNumber::Herd(number)))
    }

    pub fn left(&mut self) -> &mut Self {
        self.say(Entry::AnimalLeft)
    }

    pub fn clip(&mut self, dimension: u8, nm: i32, place: Place, unit: UnitMode) -> &mut Self {
        let dimension = Dimension::from_code(dimension).unwrap();
        let kind = CalliperKind::Sync24;
        self.say(Entry::Reading(Reading { length: Nanometres(nm), dimension, place, unit, kind }))
    }

    pub fn read(&mut self, dimension: u8, hundredths_mm: i32, place: Place) -> &mut Self {
        self.clip(dimension, hundredths_mm * 10_000, place, UnitMode::Millimetre)
    }

    pub fn find(&mut self, lesion: u8, grade: u8, place: Place) -> &mut Self {
        let lesion = Lesion::from_code(lesion).unwrap();
        self.say(Entry::Finding(Finding { lesion, place, grade, zone: None }))
    }

    pub fn find_at(&mut self, lesion: u8, grade: u8, zone: u8, place: Place) -> &mut Self {
        let lesion = Lesion::from_code(lesion).unwrap();
        self.say(Entry::Finding(Finding { lesion, place, grade, zone: Zone::new(zone) }))
    }

    pub fn act(&mut self, action: u8, place: Place) -> &mut Self {
        let action = Action::from_code(action).unwrap();
        self.say(Entry::Action(Done { action, place, days: 0 }))
    }

    /// A bundle and its parts, said at one time.
    pub fn bundle(&mut self, bundle: u8, parts: &[(u8, Place)]) -> &mut Self {
        self.bundle_cut(bundle, u8::try_from(parts.len()).unwrap(), parts)
    }

    /// A bundle of this many parts, of which these are there.
    pub fn bundle_cut(&mut self, bundle: u8, parts: u8, there: &[(u8, Place)]) -> &mut Self {
        self.say(Entry::Bundle { bundle, parts });
        for (action, place) in there {
            self.uptime -= 6000;
            self.act(*action, *place);
        }
        self
    }

    pub fn again_in(&mut self, days: u8, place: Place) -> &mut Self {
        let action = Action::from_code(82).unwrap();
        self.say(Entry::Action(Done { action, place, days }))
    }

    pub fn score(&mut self, scale: u8, value: u8) -> &mut Self {
        let scale = Scale::from_code(scale).unwrap();
        self.say(Entry::Score { scale, value })
    }

    /// Takes back the record before the last `back` ones.
    pub fn undo(&mut self, back: u32) -> &mut Self {
        let seq = Seq(self.last().0.saturating_sub(back));
        self.say(Entry::Void { seq })
    }

    pub fn full(&mut self, refused: u32) -> &mut Self {
        self.say(Entry::Gap { refused })
    }

    pub fn fault(&mut self) -> &mut Self {
        self.say(Entry::CalliperFault(CalliperFault::WrongBits))
    }

    /// The last record's body gets a flipped bit.
    pub fn damage(&mut self) -> &mut Self {
        self.bend(|bytes| bytes[7] ^= 1, false)
    }

    /// The last record becomes one of a newer version.
    pub fn newer(&mut self) -> &mut Self {
        self.bend(|bytes| bytes[0] = 2, true)
    }

    /// The last record becomes whole nonsense.
    pub fn nonsense(&mut self) -> &mut Self {
        self.bend(|bytes| bytes[6..].fill(0xFF), true)
    }

    fn bend(&mut self, how: impl FnOnce(&mut [u8]), reseal: bool) -> &mut Self {
        let mut bytes = self.sealed.pop().unwrap().as_bytes().to_vec();
        let covered = bytes.len() - 4;
        how(&mut bytes);
        if reseal {
            let mut digest = hornrule_protocol::seal::CRC.digest();
            digest.update(&self.device.0.to_le_bytes());
            digest.update(&LOG.0.to_le_bytes());
            digest.update(&bytes[..covered]);
            bytes[covered..].copy_from_slice(&digest.finalize().to_le_bytes());
        }
        self.sealed.push(Sealed::from_bytes(&bytes).unwrap());
        self
    }

    /// That many numbers have no record.
    pub fn lose(&mut self, count: u32) -> &mut Self {
        self.next = Seq(self.next.0 + count);
        self
    }

    /// All of it as one batch.
    pub fn batch(&self) -> Batch {
        let (device, log) = (self.device, LOG);
        let sealed = self.sealed.clone();
        Batch { device, log, from: Seq::FIRST, through: self.last(), sealed }
    }
}
