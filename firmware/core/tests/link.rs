//! The handheld's end of the wire, over a shelf of records without any flash.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use hornrule_core::link::{Asked, Link, Now, Shelf};
use hornrule_protocol::digest::RunDigest;
use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::limits::{MAX_BATCH, MAX_DIGESTED, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Refusal, Request, Response};
use hornrule_protocol::{
    Boot, Deframer, DeviceId, Entry, LogId, Record, Sealed, Seq, Uptime, open, seal,
};

const DEVICE: DeviceId = DeviceId(7);
const LOG: LogId = LogId(9);
const NOW: Now = Now { firmware: [0, 1, 0], boot: Boot(3), uptime: Uptime(4_000) };

/// Records in memory. Numbers in `lost` cannot be read, as after damage.
struct Memory {
    count: u32,
    first: Seq,
    released: Seq,
    lost: Vec<u32>,
    broken: bool,
}

impl Memory {
    fn of(count: u32) -> Self {
        Self { count, first: Seq::FIRST, released: Seq::NONE, lost: Vec::new(), broken: false }
    }
}

impl Shelf for Memory {
    fn device(&self) -> DeviceId {
        DEVICE
    }
    fn log(&self) -> LogId {
        LOG
    }
    fn first(&self) -> Seq {
        self.first
    }
    fn next(&self) -> Seq {
        Seq(self.count + 1)
    }
    fn released(&self) -> Seq {
        self.released
    }
    fn read_from(&mut self, from: Seq) -> Result<Option<Sealed>, Refusal> {
        if self.broken {
            return Err(Refusal::FlashFault);
        }
        if from < self.first {
            return Err(Refusal::Gone);
        }
        let found = (from.0..=self.count).find(|seq| !self.lost.contains(seq));
        Ok(found.map(|seq| {
            let record = Record {
                boot: Boot(1),
                uptime: Uptime(u64::from(seq)),
                entry: Entry::Clock { unix_ms: i64::from(seq) },
            };
            seal(DEVICE, LOG, Seq(seq), &record).unwrap()
        }))
    }
    fn release_through(&mut self, through: Seq) -> Result<Seq, Refusal> {
        if through >= self.next() {
            return Err(Refusal::NotYet);
        }
        self.released = self.released.max(through);
        Ok(self.released)
    }
}

/// What came back, with batches opened.
#[derive(Debug, PartialEq, Eq)]
enum Heard {
    Batch { from: u32, through: u32, seqs: Vec<u32> },
    Other(Response<'static>),
}

struct Line {
    link: Link,
    shelf: Memory,
}

impl Line {
    fn over(shelf: Memory) -> Self {
        Self { link: Link::new(), shelf }
    }

    fn send(&mut self, id: u16, request: Request) -> Asked {
        let mut line = [0u8; 64];
        let bytes = frame::encode(RequestId(id), &request, &mut line).unwrap();
        let asked: Vec<Asked> = bytes
            .iter()
            .map(|byte| self.link.receive(*byte, &mut self.shelf, NOW))
            .filter(|asked| *asked != Asked::Nothing)
            .collect();
        asked.first().copied().unwrap_or(Asked::Nothing)
    }

    /// Everything the link wants to send now, with the id it answers.
    fn hear(&mut self) -> Vec<(u16, Heard)> {
        let mut heard = Vec::new();
        let mut deframer = Box::new(Deframer::<MAX_RESPONSE_ON_WIRE>::new());
        while let Some(bytes) = self.link.transmit(&mut self.shelf) {
            let bytes = bytes.to_vec();
            let mut frames = 0;
            for byte in bytes {
                let Some(frame) = deframer.push(byte) else { continue };
                let frame = frame.unwrap();
                frames += 1;
                let one = match frame.message::<Response<'_>>().unwrap() {
                    Response::Batch { from, through, sealed } => {
                        Heard::Batch { from: from.0, through: through.0, seqs: seqs(sealed) }
                    }
                    Response::Hello(hello) => Heard::Other(Response::Hello(hello)),
                    Response::Now { boot, uptime } => Heard::Other(Response::Now { boot, uptime }),
                    Response::End { next } => Heard::Other(Response::End { next }),
                    Response::Released { through } => Heard::Other(Response::Released { through }),
                    Response::Refused(refusal) => Heard::Other(Response::Refused(refusal)),
                    Response::Digest { from, through, count, digest } => {
                        Heard::Other(Response::Digest { from, through, count, digest })
                    }
                    other => panic!("{other:?}"),
                };
                heard.push((frame.id.0, one));
            }
            assert_eq!(frames, 1, "one frame a transmit");
        }
        heard
    }
}

fn seqs(mut run: &[u8]) -> Vec<u32> {
    let mut seqs = Vec::new();
    while !run.is_empty() {
        let (sealed, rest) = Sealed::split_first(run).unwrap();
        open(DEVICE, LOG, &sealed).unwrap();
        seqs.push(sealed.seq().0);
        run = rest;
    }
    seqs
}

fn read(from: u32, credit: u32) -> Request {
    Request::Read { log: LOG, from: Seq(from), credit }
}

fn refused(refusal: Refusal) -> Heard {
    Heard::Other(Response::Refused(refusal))
}

fn end(next: u32) -> Heard {
    Heard::Other(Response::End { next: Seq(next) })
}

#[test]
fn a_stream_gives_every_record_once_and_says_end_twice() {
    let mut line = Line::over(Memory::of(200));
    assert_eq!(line.send(5, read(1, 1000)), Asked::PullBegan);
    let heard = line.hear();
    let mut expected = 1;
    for (id, one) in &heard[..heard.len() - 2] {
        let Heard::Batch { from, through, seqs } = one else { panic!("{one:?}") };
        assert_eq!((*id, *from), (5, expected));
        assert_eq!(*seqs, (*from..=*through).collect::<Vec<u32>>());
        expected = through + 1;
    }
    assert_eq!(expected, 201);
    assert_eq!(heard[heard.len() - 2..], [(5, end(201)), (5, end(201))]);
    assert!(!line.link.has_news(line.shelf.next()), "silence after END");
}

#[test]
fn batches_are_filled() {
    let mut line = Line::over(Memory::of(200));
    line.send(1, read(1, 1000));
    let full: Vec<usize> = line
        .hear()
        .iter()
        .filter_map(|(_, one)| match one {
            Heard::Batch { seqs, .. } => Some(seqs.len()),
            Heard::Other(_) => None,
        })
        .collect();
    // Each of these records takes 22 bytes or fewer; all but the last batch must be nearly full.
    let (_, but_last) = full.split_last().unwrap();
    assert!(!but_last.is_empty() && but_last.iter().all(|count| count * 22 > MAX_BATCH - 44));
}

#[test]
fn credit_holds_the_stream_and_repeated_credit_does_nothing() {
    let mut line = Line::over(Memory::of(500));
    line.send(1, read(1, 2));
    assert_eq!(line.hear().len(), 2);
    line.send(1, Request::Credit { batches: 2 });
    assert_eq!(line.hear().len(), 0, "that much was given already");
    line.send(2, Request::Credit { batches: 9 });
    assert_eq!(line.hear().len(), 0, "credit for another stream");
    line.send(1, Request::Credit { batches: 3 });
    assert_eq!(line.hear().len(), 1);
}

#[test]
fn end_costs_no_credit() {
    let mut line = Line::over(Memory::of(3));
    line.send(1, read(1, 1));
    let heard: Vec<Heard> = line.hear().into_iter().map(|(_, one)| one).collect();
    let batch = Heard::Batch { from: 1, through: 3, seqs: vec![1, 2, 3] };
    assert_eq!(heard, [batch, end(4), end(4)]);
}

#[test]
fn numbers_lost_on_flash_are_accounted_for() {
    let mut line = Line::over(Memory { lost: vec![1, 3, 5], ..Memory::of(5) });
    line.send(1, read(1, 9));
    let batch = Heard::Batch { from: 1, through: 5, seqs: vec![2, 4] };
    assert_eq!(line.hear(), [(1, batch), (1, end(6)), (1, end(6))]);
}

#[test]
fn a_new_read_ends_the_running_stream() {
    let mut line = Line::over(Memory::of(500));
    line.send(1, read(1, 1));
    line.hear();
    line.send(2, read(400, 100));
    let heard = line.hear();
    assert!(heard.iter().all(|(id, _)| *id == 2));
    assert!(matches!(heard[0].1, Heard::Batch { from: 400, .. }));
}

#[test]
fn questions_do_not_disturb_a_stream() {
    let mut line = Line::over(Memory::of(100));
    line.send(1, read(1, 1));
    line.hear();
    line.send(2, Request::Now);
    let now = Response::Now { boot: NOW.boot, uptime: NOW.uptime };
    assert_eq!(line.hear(), [(2, Heard::Other(now))]);
    line.send(1, Request::Credit { batches: 2 });
    assert!(matches!(line.hear()[0], (1, Heard::Batch { .. })));
}

#[test]
fn what_cannot_be_read_is_refused_with_its_reason() {
    for (memory, request, refusal) in [
        (
            Memory::of(5),
            Request::Read { log: LogId(8), from: Seq(1), credit: 1 },
            Refusal::OtherLog,
        ),
        (Memory::of(5), read(7, 1), Refusal::NotYet),
        (Memory { first: Seq(4), ..Memory::of(5) }, read(3, 1), Refusal::Gone),
        (Memory::of(5), read(0, 1), Refusal::Gone),
        (Memory { broken: true, ..Memory::of(5) }, read(1, 1), Refusal::FlashFault),
        (Memory::of(5), Request::Release { log: LOG, through: Seq(6) }, Refusal::NotYet),
        (Memory::of(5), Request::Release { log: LogId(8), through: Seq(1) }, Refusal::OtherLog),
    ] {
        let mut line = Line::over(memory);
        line.send(3, request);
        assert_eq!(line.hear(), [(3, refused(refusal))], "{request:?}");
    }
}

/// P3: old and repeated releases do nothing; the last one reports that everything is released.
#[test]
fn p3_release_goes_forward_only() {
    let mut line = Line::over(Memory::of(5));
    for (through, asked, now) in [
        (3, Asked::Nothing, 3),
        (3, Asked::Nothing, 3),
        (1, Asked::Nothing, 3),
        (5, Asked::AllReleased, 5),
        (2, Asked::AllReleased, 5),
    ] {
        assert_eq!(line.send(1, Request::Release { log: LOG, through: Seq(through) }), asked);
        let released = Response::Released { through: Seq(now) };
        assert_eq!(line.hear(), [(1, Heard::Other(released))]);
    }
}

#[test]
fn echoes_and_noise_are_met_with_silence_and_a_strange_version_with_a_word() {
    let mut line = Line::over(Memory::of(5));
    // Our own answer comes back.
    line.send(1, Request::Hello);
    let answer = line.link.transmit(&mut line.shelf).unwrap().to_vec();
    for byte in answer.iter().chain(b"\x00noise\x00\xff\xff\x00") {
        line.link.receive(*byte, &mut line.shelf, NOW);
    }
    assert_eq!(line.hear(), []);
    assert!(line.link.bad_frames() >= 1);
    // An intact frame of version 2: version byte, kind 'Q', id, an unknown tag, checksum.
    let mut plain = vec![2, 0x51, 4, 0, 99];
    let check = hornrule_protocol::seal::CRC.checksum(&plain);
    plain.extend(check.to_le_bytes());
    // No zero among these bytes except the id's high one: one COBS block ends before it.
    let mut wire = vec![0, 4, 2, 0x51, 4];
    wire.push(u8::try_from(plain.len() - 4 + 1).unwrap());
    wire.extend(&plain[4..]);
    wire.push(0);
    assert!(!plain[4..].contains(&0));
    for byte in wire {
        line.link.receive(byte, &mut line.shelf, NOW);
    }
    assert_eq!(line.hear(), [(4, refused(Refusal::Unknown))]);
}

fn digest(from: u32, through: u32) -> Request {
    Request::Digest { log: LOG, from: Seq(from), through: Seq(through) }
}

/// What the office computes over the same records.
fn digested(shelf: &mut Memory, from: u32, through: u32) -> Heard {
    let mut run = RunDigest::new();
    for seq in from..=through {
        let found = shelf.read_from(Seq(seq)).unwrap();
        found.filter(|one| one.seq() == Seq(seq)).iter().for_each(|one| run.add(one));
    }
    let (from, through, count) = (Seq(from), Seq(through), run.count());
    Heard::Other(Response::Digest { from, through, count, digest: run.finish() })
}

#[test]
fn a_digest_is_of_the_records_on_flash_and_of_64_at_most() {
    let mut line = Line::over(Memory { lost: vec![3, 9, 10], ..Memory::of(200) });
    for (from, through, reached) in
        [(1, 10, 10), (9, 10, 10), (5, 5, 5), (11, 74, 74), (11, 75, 74), (1, 200, 67)]
    {
        line.send(7, digest(from, through));
        let expected = digested(&mut line.shelf, from, reached);
        assert_eq!(line.hear(), [(7, expected)], "{from} to {through}");
    }
    assert_eq!(MAX_DIGESTED, 64);
}

#[test]
fn a_digest_of_what_is_not_on_the_shelf_is_refused() {
    let mut line = Line::over(Memory { first: Seq(20), ..Memory::of(60) });
    for (request, refusal) in [
        (digest(30, 61), Refusal::NotYet),
        (digest(31, 30), Refusal::NotYet),
        (digest(19, 30), Refusal::Gone),
        (digest(0, 30), Refusal::Gone),
        (Request::Digest { log: LogId(1), from: Seq(30), through: Seq(31) }, Refusal::OtherLog),
    ] {
        line.send(8, request);
        assert_eq!(line.hear(), [(8, refused(refusal))], "{request:?}");
    }
    line.shelf.broken = true;
    line.send(8, digest(30, 31));
    assert_eq!(line.hear(), [(8, refused(Refusal::FlashFault))]);
}

#[test]
fn a_digest_does_not_disturb_a_stream() {
    let mut line = Line::over(Memory::of(100));
    line.send(1, read(1, 1));
    assert_eq!(line.hear().len(), 1);
    line.send(2, digest(1, 10));
    assert_eq!(line.hear().len(), 1);
    line.send(1, Request::Credit { batches: 9 });
    let last = line.hear().pop();
    assert_eq!(last, Some((1, end(101))));
}
