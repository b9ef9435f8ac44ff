//! P5 and P8: whatever comes over the port, nothing panics, the pull ends, and no record with an
//! invalid seal is believed.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule::office;
use hornrule_herd::Database;
use hornrule_line::clock::Clock;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::message::{Hello, Refusal, Request, Response};
use hornrule_protocol::{Boot, DeviceId, Entry, LogId, Record, Seq, Uptime, seal};
use hornrule_tests::scripted::{Answer, Scripted, Truth, batch, raw_frame, raw_sealed, wire};
use hornrule_tests::{herd_at, long, memory_folder, sound};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

const DEVICE: DeviceId = DeviceId(5);
const LOG: LogId = LogId(6);

/// A clock that shows whatever it is told.
struct Odd(i64);
impl Clock for Odd {
    fn unix_ms(&self) -> i64 {
        self.0
    }
}

/// A record that may be there.
#[derive(Clone, Debug)]
enum Kept {
    /// True, with any time.
    Whole(u16, u64, Entry),
    /// Intact, with any body and version.
    Strange(u8, Vec<u8>),
    /// The next one, but with this byte changed.
    Bent(u8, u8),
    /// Sealed by another handheld.
    Foreign(u64),
    /// Nothing: a number without a record.
    Missing,
}

/// The answer to one request.
#[derive(Clone, Debug)]
enum Said {
    Truth,
    Silence,
    Noise(Vec<u8>),
    Frame(u8, u8, Vec<u8>),
    Hello(u32, u32, u32, u16),
    Now(u16, u64),
    End(u32),
    Released(u32),
    Refused,
    /// A batch from an offset to the number wanted, with these records.
    Batch(i8, Vec<Kept>),
    /// The truth with one byte changed.
    Bent(usize, u8),
}

fn config(cases: u32) -> ProptestConfig {
    // A failure prints its whole script, which then becomes a test of its own.
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

fn entry() -> impl Strategy<Value = Entry> {
    let truth = Truth::day(DEVICE, LOG, 3);
    let known: Vec<Entry> = truth
        .records
        .iter()
        .map(|one| hornrule_protocol::open(DEVICE, LOG, one).unwrap().entry)
        .collect();
    prop_oneof![
        4 => prop::sample::select(known),
        1 => any::<i64>().prop_map(|unix_ms| Entry::Clock { unix_ms }),
        1 => any::<u32>().prop_map(|refused| Entry::Gap { refused }),
        1 => (0..40u32).prop_map(|seq| Entry::Void { seq: Seq(seq) }),
        1 => any::<u8>().prop_map(|farm| Entry::Visit { farm }),
        1 => Just(Entry::AnimalLeft),
    ]
}

fn edge_u64() -> impl Strategy<Value = u64> {
    prop_oneof![0..100_000_000u64, any::<u64>(), Just(u64::MAX), Just(1 << 63)]
}

fn kept() -> impl Strategy<Value = Kept> {
    prop_oneof![
        6 => (0..4u16, edge_u64(), entry()).prop_map(|(boot, up, said)| Kept::Whole(boot, up, said)),
        1 => (any::<u16>(), edge_u64(), entry()).prop_map(|(boot, up, said)| Kept::Whole(boot, up, said)),
        1 => (0..3u8, prop::collection::vec(any::<u8>(), 1..30))
            .prop_map(|(version, body)| Kept::Strange(version, body)),
        1 => (any::<u8>(), 1..=255u8).prop_map(|(at, xor)| Kept::Bent(at, xor)),
        1 => any::<u64>().prop_map(Kept::Foreign),
        1 => Just(Kept::Missing),
    ]
}

fn said() -> impl Strategy<Value = Said> {
    let edge = || prop_oneof![0..60u32, any::<u32>(), Just(u32::MAX)];
    prop_oneof![
        12 => Just(Said::Truth),
        1 => Just(Said::Silence),
        1 => prop::collection::vec(any::<u8>(), 0..200).prop_map(Said::Noise),
        1 => (0..3u8, 0x50..0x54u8, prop::collection::vec(any::<u8>(), 0..40))
            .prop_map(|(version, kind, body)| Said::Frame(version, kind, body)),
        1 => (edge(), edge(), edge(), any::<u16>())
            .prop_map(|(first, next, released, boot)| Said::Hello(first, next, released, boot)),
        1 => (any::<u16>(), edge_u64()).prop_map(|(boot, up)| Said::Now(boot, up)),
        1 => edge().prop_map(Said::End),
        1 => edge().prop_map(Said::Released),
        1 => Just(Said::Refused),
        20 => (-3..2i8, prop::collection::vec(kept(), 0..12))
            .prop_map(|(offset, records)| Said::Batch(offset, records)),
        1 => (any::<usize>(), 1..=255u8).prop_map(|(at, xor)| Said::Bent(at, xor)),
    ]
}

fn rendered(kept: &[Kept], from: Seq) -> Vec<hornrule_protocol::Sealed> {
    let mut records = Vec::new();
    for (seq, one) in (from.0..=u32::MAX).map(Seq).zip(kept) {
        let left = Record { boot: Boot(1), uptime: Uptime(9), entry: Entry::AnimalLeft };
        records.extend(match one {
            Kept::Whole(boot, uptime, entry) => {
                let (boot, uptime) = (Boot(*boot), Uptime(*uptime));
                seal(DEVICE, LOG, seq, &Record { boot, uptime, entry: *entry }).ok()
            }
            Kept::Strange(version, body) => Some(raw_sealed(DEVICE, LOG, seq, *version, body)),
            Kept::Bent(at, xor) => {
                let mut bytes = seal(DEVICE, LOG, seq, &left).unwrap().as_bytes().to_vec();
                // Anywhere but in length and number, which would corrupt the batch.
                let place = 6 + usize::from(*at) % (bytes.len() - 6);
                bytes[place] ^= xor;
                hornrule_protocol::Sealed::from_bytes(&bytes).ok()
            }
            Kept::Foreign(device) => seal(DeviceId(*device), LOG, seq, &left).ok(),
            Kept::Missing => None,
        });
    }
    records
}

fn answer(said: &Said, truth: &Truth, id: RequestId, request: Request) -> Vec<u8> {
    let wanted = match request {
        Request::Read { from, .. } => from,
        _ => Seq(1),
    };
    match said {
        Said::Truth => truth.answer(id, request),
        Said::Silence => Vec::new(),
        Said::Noise(bytes) => bytes.clone(),
        Said::Frame(version, kind, body) => raw_frame(*version, *kind, id, body),
        Said::Hello(first, next, released, boot) => {
            let (first, next, released) = (Seq(*first), Seq(*next), Seq(*released));
            let hello = Hello { first, next, released, boot: Boot(*boot), ..truth.hello };
            wire(id, &Response::Hello(hello))
        }
        Said::Now(boot, uptime) => {
            wire(id, &Response::Now { boot: Boot(*boot), uptime: Uptime(*uptime) })
        }
        Said::End(next) => wire(id, &Response::End { next: Seq(*next) }),
        Said::Released(through) => wire(id, &Response::Released { through: Seq(*through) }),
        Said::Refused => wire(id, &Response::Refused(Refusal::FlashFault)),
        Said::Batch(offset, kept) => {
            let from = Seq(wanted.0.saturating_add_signed(i32::from(*offset)));
            let through = Seq(from.0.saturating_add(kept.len() as u32).saturating_sub(1));
            let mut line = batch(id, from, through, &rendered(kept, from));
            line.extend(wire(id, &Response::End { next: through.next() }));
            line
        }
        Said::Bent(at, xor) => {
            let mut line = truth.answer(id, request);
            if let Some(place) = at.checked_rem(line.len()) {
                line[place] ^= xor;
            }
            line
        }
    }
}

/// Two pulls answered by these, one per request, then an honest one.
#[test]
fn p5_p8_any_answers() {
    let cases = if long() { 4_000 } else { 150 };
    let folder = memory_folder();
    let listed = folder.path().join("listed.db");
    drop(herd_at(&listed));
    let truth = Truth::day(DEVICE, LOG, 8);
    let path = folder.path().join("herd.db");
    let mut runner = TestRunner::new(config(cases));
    let script = prop::collection::vec((said(), any::<u8>()), 1..40);
    let clock = prop_oneof![8 => 1_772_500_000_000..1_772_600_000_000i64, 1 => any::<i64>()];
    let closed = std::cell::Cell::new(0);
    runner
        .run(&(script, clock), |(script, now)| {
            for end in ["", "-wal", "-shm"] {
                let _there = std::fs::remove_file(format!("{}{end}", path.display()));
            }
            std::fs::copy(&listed, &path).unwrap();
            let mut herd = Database::open(&path).unwrap();
            let mut lines = script.iter();
            for _ in 0..2 {
                let mut port = Scripted::new(|id, request| -> Answer {
                    // Credit uses no line of the script: it is not answered.
                    if matches!(request, Request::Credit { .. }) {
                        return Answer::default();
                    }
                    let (said, chance) = lines.next().unwrap_or(&(Said::Truth, 0));
                    // Most lies are about records: a liar at the door gets no further.
                    let at_the_door = !matches!(request, Request::Read { .. });
                    let said = if at_the_door && *chance < 220 { &Said::Truth } else { said };
                    answer(said, &truth, id, request).into()
                });
                let _ended = office::pull(&mut port, &mut herd, &Odd(now), "", &mut |_, _| {});
                let held = herd.cursor(DEVICE, LOG).unwrap();
                prop_assert!(port.released().is_none_or(|through| through <= held), "P3");
                closed.set(closed.get() + sound::check(&path));
            }
            Ok(())
        })
        .unwrap();
    assert!(closed.get() > 100, "only {} records did not open: the test is blind", closed.get());
}

/// Bytes alone, in pieces of any size.
#[test]
fn p8_any_bytes() {
    let cases = if long() { 4_000 } else { 200 };
    let herd = std::cell::RefCell::new(Database::in_memory().unwrap());
    let mut runner = TestRunner::new(config(cases));
    let bytes = prop_oneof![
        prop::collection::vec(any::<u8>(), 0..3_000),
        prop::collection::vec(prop_oneof![Just(0u8), Just(1), Just(0x52), any::<u8>()], 0..300),
    ];
    runner
        .run(&bytes, |bytes| {
            let mut port = Scripted::new(|_, _| bytes.clone().into());
            let mut herd = herd.borrow_mut();
            let pulled = office::pull(&mut port, &mut herd, &Odd(0), "", &mut |_, _| {});
            prop_assert!(pulled.is_err());
            Ok(())
        })
        .unwrap();
    assert_eq!(herd.borrow().logs().unwrap(), [], "noise left something in the inbox");
}
