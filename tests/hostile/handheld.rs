//! A handheld that wants to do harm: what it holds, and up to three ways in which it lies.

use std::io;
use std::time::Duration;

use hornrule_line::port::Port;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::message::{Hello, Refusal, Request, Response};
use hornrule_protocol::{Boot, DeviceId, LogId, Record, Sealed, Seq, Uptime, open, seal};
use hornrule_testkit::seeded::Seeded;
use hornrule_tests::scripted::{Answer, Scripted, Truth, batch, raw_frame, raw_sealed, wire};

use crate::{DEVICE, HONEST, LOG};

/// Whose records it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Holds {
    /// The honest one's, and others from a place on: under its name.
    Twin,
    /// The honest one's, and more: a perfect copy that went on.
    Copy,
    /// Fewer than it once sent.
    PutBack,
    /// Its own, under another log's number.
    OtherLog,
    /// Its own, as another handheld.
    Stranger,
}

/// One way of lying.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Lie {
    HelloNumbers,
    HelloBoot,
    AnotherHelloEachTime,
    CursorGoesBack,
    EndlessBatches,
    EndlessEnds,
    EmptyBatches,
    HugeNumbers,
    OtherSeals,
    OtherLogMidPull,
    OutOfOrder,
    DamagedRecords,
    StrangeRecords,
    Garbage,
    NoiseForEver,
    WrongDigests,
    RefusedDigests,
    Silence,
    Drip,
    AbsurdClock,
    WrongRelease,
    Unplugged,
}

const LIES: [Lie; 22] = [
    Lie::HelloNumbers,
    Lie::HelloBoot,
    Lie::AnotherHelloEachTime,
    Lie::CursorGoesBack,
    Lie::EndlessBatches,
    Lie::EndlessEnds,
    Lie::EmptyBatches,
    Lie::HugeNumbers,
    Lie::OtherSeals,
    Lie::OtherLogMidPull,
    Lie::OutOfOrder,
    Lie::DamagedRecords,
    Lie::StrangeRecords,
    Lie::Garbage,
    Lie::NoiseForEver,
    Lie::WrongDigests,
    Lie::RefusedDigests,
    Lie::Silence,
    Lie::Drip,
    Lie::AbsurdClock,
    Lie::WrongRelease,
    Lie::Unplugged,
];
const HOLDS: [Holds; 5] =
    [Holds::Twin, Holds::Copy, Holds::PutBack, Holds::OtherLog, Holds::Stranger];
const REFUSALS: [Refusal; 6] = [
    Refusal::OtherLog,
    Refusal::NotYet,
    Refusal::Gone,
    Refusal::Unknown,
    Refusal::FlashFault,
    Refusal::LogFull,
];

/// The handheld of a seed.
pub(crate) struct Hostile {
    pub(crate) holds: Holds,
    pub(crate) lies: Vec<Lie>,
    truth: Truth,
    chance: Seeded,
    /// The call at which it is unplugged, or falls silent.
    until: u32,
}

impl Hostile {
    pub(crate) fn of(seed: u64) -> Self {
        let mut chance = Seeded::new(seed);
        // Every kind and every lie comes, whatever is drawn beside it.
        let holds = HOLDS[seed as usize % HOLDS.len()];
        let mut lies = vec![LIES[seed as usize / HOLDS.len() % LIES.len()]];
        for _ in 0..chance.below(3) {
            lies.push(LIES[chance.below(LIES.len() as u64) as usize]);
        }
        lies.sort_unstable();
        lies.dedup();
        let truth = truth(holds, &mut chance);
        let until = 1 + chance.below(14) as u32;
        Self { holds, lies, truth, chance, until }
    }

    fn lies(&self, lie: Lie) -> bool {
        self.lies.contains(&lie)
    }

    fn edge(&mut self) -> u32 {
        let near =
            self.truth.hello.next.0.wrapping_add(self.chance.below(9) as u32).wrapping_sub(4);
        let edges = [0, 1, near, HONEST, HONEST + 1, 10_000, 1 << 20, u32::MAX - 1, u32::MAX];
        edges[self.chance.below(edges.len() as u64) as usize]
    }

    fn refusal(&mut self) -> Vec<u8> {
        Vec::from([REFUSALS[self.chance.below(6) as usize] as u8])
    }

    /// What it says.
    pub(crate) fn answer(&mut self, id: RequestId, request: Request) -> Answer {
        if self.lies(Lie::NoiseForEver) && self.chance.once_in(3) {
            let noise = vec![self.chance.any() as u8, 7, 0, self.chance.any() as u8];
            return Answer { once: Vec::new(), for_ever: noise };
        }
        if self.lies(Lie::Garbage) && self.chance.once_in(3) {
            let body: Vec<u8> =
                (0..self.chance.below(60)).map(|_| self.chance.any() as u8).collect();
            let kind = if self.chance.once_in(9) { self.chance.any() as u8 } else { 0x52 };
            return raw_frame(1, kind, id, &body).into();
        }
        match request {
            Request::Hello => wire(id, &Response::Hello(self.hello())).into(),
            Request::Now if self.lies(Lie::AbsurdClock) => {
                let uptime = Uptime(self.chance.any() >> self.chance.below(64));
                let boot = Boot(self.chance.below(4) as u16);
                wire(id, &Response::Now { boot, uptime }).into()
            }
            Request::Read { from, .. } => self.read(id, from),
            Request::Digest { from, through, .. } => self.digest(id, request, from, through).into(),
            Request::Release { through, .. } if self.lies(Lie::WrongRelease) => {
                if self.chance.once_in(2) {
                    let code = self.refusal();
                    return raw_frame(1, 0x52, id, &[&[7], &code[..]].concat()).into();
                }
                let through = Seq(through.0.wrapping_add(self.chance.below(9) as u32));
                wire(id, &Response::Released { through }).into()
            }
            other => self.truth.answer(id, other).into(),
        }
    }

    fn hello(&mut self) -> Hello {
        let mut hello = self.truth.hello;
        if self.lies(Lie::HelloNumbers) || self.lies(Lie::AnotherHelloEachTime) {
            match self.chance.below(3) {
                0 => hello.first = Seq(self.edge()),
                1 => hello.next = Seq(self.edge()),
                _ => hello.released = Seq(self.edge()),
            }
        }
        if self.lies(Lie::HelloBoot) {
            hello.boot = Boot(self.chance.any() as u16);
        }
        if self.lies(Lie::AnotherHelloEachTime) {
            self.truth.hello.log = LogId(LOG.0 + self.chance.below(2) as u32);
        }
        if self.lies(Lie::CursorGoesBack) {
            self.truth.hello.next = Seq(self.truth.hello.next.0.saturating_sub(5).max(1));
        }
        hello
    }

    fn read(&mut self, id: RequestId, from: Seq) -> Answer {
        let end = wire(id, &Response::End { next: Seq(self.edge()) });
        if self.lies(Lie::EndlessEnds) {
            return Answer { once: Vec::new(), for_ever: end };
        }
        if self.lies(Lie::EndlessBatches) {
            let for_ever = self.truth.batches(id, Seq(1)).first().cloned().unwrap_or_default();
            return Answer { once: Vec::new(), for_ever };
        }
        if self.lies(Lie::OtherLogMidPull) && self.chance.once_in(2) {
            return wire(id, &Response::Refused(Refusal::OtherLog)).into();
        }
        if self.lies(Lie::EmptyBatches) {
            let through = Seq(from.0.saturating_add(self.chance.below(3_000) as u32));
            let mut line = batch(id, from, through, &[]);
            line.extend(wire(id, &Response::End { next: through.next() }));
            return line.into();
        }
        if self.lies(Lie::HugeNumbers) && self.chance.once_in(2) {
            let (device, log) = (self.truth.hello.device, self.truth.hello.log);
            let huge = Seq(u32::MAX - self.chance.below(3) as u32);
            let last = raw_sealed(device, log, huge, 1, &[1, 9, 8]);
            return batch(id, from, huge, &[last]).into();
        }
        let mut truth = self.truth.clone();
        for one in &mut truth.records {
            *one = self.spoiled(one);
        }
        let mut all = truth.batches(id, from);
        if self.lies(Lie::OutOfOrder) {
            let turn = self.chance.below(all.len().max(1) as u64) as usize;
            all.rotate_left(turn);
        }
        all.push(wire(id, &Response::End { next: self.truth.hello.next }));
        all.concat().into()
    }

    /// A record that it changes on the way out.
    fn spoiled(&mut self, one: &Sealed) -> Sealed {
        let (device, log) = (self.truth.hello.device, self.truth.hello.log);
        if self.lies(Lie::DamagedRecords) && self.chance.once_in(4) {
            let mut bytes = one.as_bytes().to_vec();
            let place = 6 + self.chance.below(bytes.len() as u64 - 6) as usize;
            bytes[place] ^= 1 << self.chance.below(8);
            return Sealed::from_bytes(&bytes).unwrap();
        }
        if self.lies(Lie::StrangeRecords) && self.chance.once_in(4) {
            let body: Vec<u8> =
                (0..1 + self.chance.below(29)).map(|_| self.chance.any() as u8).collect();
            return raw_sealed(device, log, one.seq(), self.chance.below(4) as u8, &body);
        }
        if self.lies(Lie::OtherSeals) {
            let record = open(device, log, one);
            let other = DeviceId(device.0 ^ 1);
            return record
                .map_or_else(|_| one.clone(), |it| seal(other, log, one.seq(), &it).unwrap());
        }
        one.clone()
    }

    fn digest(&mut self, id: RequestId, request: Request, from: Seq, through: Seq) -> Vec<u8> {
        if self.lies(Lie::RefusedDigests) {
            let code = self.refusal();
            return raw_frame(1, 0x52, id, &[&[7], &code[..]].concat());
        }
        if self.lies(Lie::WrongDigests) {
            let any = |chance: &mut Seeded, right: u32| match chance.below(3) {
                0 => right,
                1 => chance.any() as u32,
                _ => right.wrapping_add(1),
            };
            let from = Seq(any(&mut self.chance, from.0));
            let through = Seq(any(&mut self.chance, through.0));
            let count = any(&mut self.chance, through.0.wrapping_sub(from.0).wrapping_add(1));
            let digest = self.chance.any();
            return wire(id, &Response::Digest { from, through, count, digest });
        }
        self.truth.answer(id, request)
    }
}

/// What it holds.
fn truth(holds: Holds, chance: &mut Seeded) -> Truth {
    let (device, log) = match holds {
        Holds::OtherLog => (DEVICE, LogId(LOG.0 + 1)),
        Holds::Stranger => (DeviceId(DEVICE.0 + 1), LOG),
        Holds::Twin | Holds::Copy | Holds::PutBack => (DEVICE, LOG),
    };
    let mut truth = Truth::day(device, log, 12 + chance.below(40) as u32);
    let parts = match holds {
        Holds::Twin => chance.below(u64::from(HONEST)) as usize,
        Holds::Copy => HONEST as usize,
        Holds::PutBack => {
            let kept = 1 + chance.below(u64::from(HONEST)) as usize;
            truth.records.truncate(kept);
            truth.hello.next = Seq(kept as u32 + 1);
            kept
        }
        Holds::OtherLog | Holds::Stranger => usize::MAX,
    };
    // From there on it is a later start of another handheld.
    for one in truth.records.iter_mut().skip(parts) {
        let record = open(device, log, one).unwrap();
        let uptime = Uptime(record.uptime.0 + 7);
        *one = seal(device, log, one.seq(), &Record { boot: Boot(2), uptime, ..record }).unwrap();
        truth.hello.boot = Boot(2);
    }
    truth
}

/// The line to it: as it answers, or byte by byte, or until it is unplugged or falls silent.
pub(crate) struct Line<F> {
    pub(crate) port: Scripted<F>,
    pub(crate) calls: u32,
    drips: bool,
    silent_from: u32,
    unplugged_at: u32,
}

impl<F: FnMut(RequestId, Request) -> Answer> Line<F> {
    pub(crate) fn to(hostile: &Hostile, answer: F) -> Self {
        let at = |lie| if hostile.lies(lie) { hostile.until } else { u32::MAX };
        Self {
            port: Scripted::new(answer),
            calls: 0,
            drips: hostile.lies(Lie::Drip),
            silent_from: at(Lie::Silence),
            unplugged_at: at(Lie::Unplugged),
        }
    }
}

impl<F: FnMut(RequestId, Request) -> Answer> Port for Line<F> {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.calls += 1;
        if self.calls >= self.unplugged_at {
            return Err(io::ErrorKind::BrokenPipe.into());
        }
        self.port.send(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        self.calls += 1;
        if self.calls >= self.unplugged_at {
            return Err(io::ErrorKind::BrokenPipe.into());
        }
        if self.calls >= self.silent_from {
            return Ok(0);
        }
        let room = if self.drips { 1 } else { buffer.len() };
        self.port.receive(&mut buffer[..room], wait)
    }
}
