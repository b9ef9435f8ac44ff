//! A scripted handheld: the test decides what it answers.

use std::collections::VecDeque;
use std::io;
use std::time::Duration;

use hornrule_line::port::Port;
use hornrule_protocol::digest::RunDigest;
use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::message::{Hello, Request, Response};
use hornrule_protocol::record::{Finding, StartCause, Started};
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{
    AnimalNumber, Boot, Claw, Deframer, DeviceId, Entry, Foot, HerdNumber, Lesion, LogId, Place,
    Record, Sealed, Seq, Side, Uptime, seal,
};

/// Records per batch of [`Truth`].
const IN_A_BATCH: usize = 5;

/// What comes back for a request.
#[derive(Clone, Debug, Default)]
pub struct Answer {
    /// Once.
    pub once: Vec<u8>,
    /// And then this repeatedly, without end, until the next request changes it.
    pub for_ever: Vec<u8>,
}

impl From<Vec<u8>> for Answer {
    fn from(once: Vec<u8>) -> Self {
        Self { once, for_ever: Vec::new() }
    }
}

/// The port.
pub struct Scripted<F> {
    deframer: Deframer<128>,
    answer: F,
    ready: VecDeque<u8>,
    for_ever: Vec<u8>,
    given: usize,
    requests: Vec<Request>,
}

impl<F: FnMut(RequestId, Request) -> Answer> Scripted<F> {
    /// A handheld that answers like this.
    pub fn new(answer: F) -> Self {
        Self {
            deframer: Deframer::new(),
            answer,
            ready: VecDeque::new(),
            for_ever: Vec::new(),
            given: 0,
            requests: Vec::new(),
        }
    }

    /// Bytes that the office has read.
    #[must_use]
    pub const fn given(&self) -> usize {
        self.given
    }

    /// What the office requested.
    #[must_use]
    pub fn requests(&self) -> &[Request] {
        &self.requests
    }

    /// Through which record it was told to release.
    #[must_use]
    pub fn released(&self) -> Option<Seq> {
        self.requests.iter().rev().find_map(|request| match request {
            Request::Release { through, .. } => Some(*through),
            _ => None,
        })
    }
}

impl<F: FnMut(RequestId, Request) -> Answer> Port for Scripted<F> {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        for byte in bytes {
            let Some(Ok(frame)) = self.deframer.push(*byte) else { continue };
            let (id, request) = (frame.id, frame.message::<Request>().unwrap());
            self.requests.push(request);
            let Answer { once, for_ever } = (self.answer)(id, request);
            self.ready.extend(once);
            self.for_ever = for_ever;
        }
        Ok(())
    }

    fn receive(&mut self, buffer: &mut [u8], _wait: Duration) -> io::Result<usize> {
        while !self.for_ever.is_empty() && self.ready.len() < buffer.len() {
            self.ready.extend(&self.for_ever);
        }
        let length = buffer.len().min(self.ready.len());
        for (place, byte) in buffer.iter_mut().zip(self.ready.drain(..length)) {
            *place = byte;
        }
        self.given += length;
        Ok(length)
    }
}

/// A message as it goes over the wire.
#[must_use]
pub fn wire(id: RequestId, response: &Response<'_>) -> Vec<u8> {
    let mut line = [0u8; 2048];
    frame::encode(id, response, &mut line).unwrap().to_vec()
}

/// An intact frame with any body, even one that is not a message.
#[must_use]
pub fn raw_frame(version: u8, kind: u8, id: RequestId, body: &[u8]) -> Vec<u8> {
    let [low, high] = id.0.to_le_bytes();
    let mut plain = [&[version, kind, low, high], body].concat();
    plain.extend(CRC.checksum(&plain).to_le_bytes());
    let mut line = vec![0];
    // COBS: the length of each run without zeros, plus one, then the run.
    for run in plain.split(|byte| *byte == 0) {
        let mut rest = run;
        while rest.len() >= 254 {
            line.push(255);
            line.extend_from_slice(&rest[..254]);
            rest = &rest[254..];
        }
        line.push(u8::try_from(rest.len() + 1).unwrap());
        line.extend_from_slice(rest);
    }
    line.push(0);
    line
}

/// A batch of these records.
#[must_use]
pub fn batch(id: RequestId, from: Seq, through: Seq, records: &[Sealed]) -> Vec<u8> {
    let sealed: Vec<u8> = records.iter().flat_map(|one| one.as_bytes().to_vec()).collect();
    wire(id, &Response::Batch { from, through, sealed: &sealed })
}

/// A sealed record with any body, even one that is not a record.
#[must_use]
pub fn raw_sealed(device: DeviceId, log: LogId, seq: Seq, version: u8, body: &[u8]) -> Sealed {
    let n = u8::try_from(body.len()).unwrap();
    let bytes = [&[version, n], &seq.0.to_le_bytes()[..], body].concat();
    let mut digest = CRC.digest();
    digest.update(&device.0.to_le_bytes());
    digest.update(&log.0.to_le_bytes());
    digest.update(&bytes);
    Sealed::from_bytes(&[&bytes[..], &digest.finalize().to_le_bytes()].concat()).unwrap()
}

/// A handheld that tells the truth.
#[derive(Clone, Debug)]
pub struct Truth {
    /// Its claimed identity.
    pub hello: Hello,
    /// What it holds.
    pub records: Vec<Sealed>,
}

impl Truth {
    /// A day with this many cows at Alder Brook, with the clock set in the morning.
    #[must_use]
    pub fn day(device: DeviceId, log: LogId, cows: u32) -> Self {
        Self::begun_with(Entry::Clock { unix_ms: 1_772_521_200_000 }, device, log, cows)
    }

    /// The same, but the clock was not set: everything depends on the pull's own anchor.
    #[must_use]
    pub fn timeless_day(device: DeviceId, log: LogId, cows: u32) -> Self {
        Self::begun_with(Entry::AnimalLeft, device, log, cows)
    }

    fn begun_with(first: Entry, device: DeviceId, log: LogId, cows: u32) -> Self {
        let mut entries = vec![
            Entry::Started(Started { cause: StartCause::PowerOn, firmware: [0, 1, 0], fault: 0 }),
            first,
            Entry::Visit { farm: 1 },
        ];
        let foot = Foot::from_number(2).unwrap();
        let place = Place::Claw(Claw { foot, side: Side::Lateral });
        for cow in 1..=cows {
            entries.push(Entry::Animal(AnimalNumber::Herd(HerdNumber::new(cow).unwrap())));
            let lesion = Lesion::from_code(13).unwrap();
            entries.push(Entry::Finding(Finding { lesion, place, grade: 2, zone: None }));
        }
        let records: Vec<Sealed> = (1u32..)
            .zip(entries)
            .map(|(place, entry)| {
                let uptime = Uptime(u64::from(place) * 20_000);
                seal(device, log, Seq(place), &Record { boot: Boot(1), uptime, entry }).unwrap()
            })
            .collect();
        let next = Seq(u32::try_from(records.len()).unwrap() + 1);
        let hello = Hello {
            device,
            log,
            firmware: [0, 1, 0],
            boot: Boot(1),
            first: Seq(1),
            next,
            released: Seq(0),
        };
        Self { hello, records }
    }

    /// The batches from a number on.
    #[must_use]
    pub fn batches(&self, id: RequestId, from: Seq) -> Vec<Vec<u8>> {
        let wanted: Vec<Sealed> =
            self.records.iter().filter(|one| one.seq() >= from).cloned().collect();
        let runs = wanted.chunks(IN_A_BATCH);
        runs.map(|run| batch(id, run[0].seq(), run[run.len() - 1].seq(), run)).collect()
    }

    /// The digest of a run.
    fn digest(&self, id: RequestId, from: Seq, through: Seq) -> Vec<u8> {
        let mut run = RunDigest::new();
        let inside = self.records.iter().filter(|one| from <= one.seq() && one.seq() <= through);
        inside.for_each(|one| run.add(one));
        let (count, digest) = (run.count(), run.finish());
        wire(id, &Response::Digest { from, through, count, digest })
    }

    /// The true answer. Credit is taken as given.
    #[must_use]
    pub fn answer(&self, id: RequestId, request: Request) -> Vec<u8> {
        match request {
            Request::Hello => wire(id, &Response::Hello(self.hello)),
            Request::Now => wire(id, &Response::Now { boot: Boot(1), uptime: Uptime(36_000_000) }),
            Request::Read { from, .. } => {
                let end = wire(id, &Response::End { next: self.hello.next });
                let mut all = self.batches(id, from);
                all.extend([end.clone(), end]);
                all.concat()
            }
            Request::Release { through, .. } => wire(id, &Response::Released { through }),
            Request::Digest { from, through, .. } => self.digest(id, from, through),
            Request::Credit { .. }
            | Request::State
            | Request::SetClock { .. }
            | Request::PlanState
            | Request::PlanBegin { .. }
            | Request::PlanPart { .. }
            | Request::PlanCommit { .. }
            | Request::CalliperState
            | Request::CalliperHear { .. }
            | Request::CalliperStore { .. } => Vec::new(),
        }
    }
}
