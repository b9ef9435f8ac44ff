//! P3, P4 and P8: a handheld that lies. Each lie ends in a clear error or in a correct database,
//! after a bounded number of bytes.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::path::{Path, PathBuf};

use hornrule::office;
use hornrule::office::{OfficeError, PulledDay};
use hornrule_herd::Database;
use hornrule_line::clock::Clock;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::message::{Hello, Refusal, Request, Response};
use hornrule_protocol::{Boot, DeviceId, LogId, Seq, Uptime};
use hornrule_tests::scripted::{Answer, Scripted, Truth, batch, raw_frame, wire};
use hornrule_tests::{herd_at, memory_folder, rows, sound};

const DEVICE: DeviceId = DeviceId(5);
const LOG: LogId = LogId(6);
/// More than any of these pulls may read: 64 windows of the longest frames are 539 kB.
const MOST_BYTES: usize = 700_000;

struct Evening;
impl Clock for Evening {
    fn unix_ms(&self) -> i64 {
        1_772_557_200_000
    }
}

fn truth() -> Truth {
    Truth::day(DEVICE, LOG, 12)
}

/// One database, and pulls into it.
struct Desk {
    folder: tempfile::TempDir,
    herd: Database,
}

impl Desk {
    fn new() -> Self {
        let folder = memory_folder();
        let herd = herd_at(&folder.path().join("herd.db"));
        Self { folder, herd }
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("herd.db")
    }

    fn pull<A: Into<Answer>>(
        &mut self,
        mut answer: impl FnMut(RequestId, Request) -> A,
    ) -> Result<PulledDay, OfficeError> {
        let mut port = Scripted::new(|id, request| answer(id, request).into());
        let pulled = office::pull(&mut port, &mut self.herd, &Evening, "", &mut |_, _| {});
        assert!(port.given() < MOST_BYTES, "{} bytes were read", port.given());
        // P3: it was told to release nothing that is not here.
        let held = self.herd.cursor(DEVICE, LOG).unwrap();
        assert!(port.released().is_none_or(|through| through <= held), "P3");
        let _closed = sound::check(&self.path());
        pulled
    }

    fn rows(&self) -> String {
        rows::dump(&self.path())
    }
}

/// The rows an honest handheld gives.
fn true_rows() -> String {
    let mut desk = Desk::new();
    desk.pull(|id, request| truth().answer(id, request)).unwrap();
    assert_eq!(rows::count(&desk.path(), "finding"), 12);
    desk.rows()
}

/// The lie ends well, in the true rows.
fn harmless<A: Into<Answer>>(answer: impl FnMut(RequestId, Request) -> A) {
    let mut desk = Desk::new();
    desk.pull(answer).unwrap();
    assert_eq!(desk.rows(), true_rows());
}

/// The lie ends in this error; afterwards an honest pull gives the true rows.
fn told<A: Into<Answer>>(says: &str, answer: impl FnMut(RequestId, Request) -> A) {
    let mut desk = Desk::new();
    let said = desk.pull(answer).unwrap_err().to_string();
    assert!(said.contains(says), "does not say `{says}`: {said}");
    desk.pull(|id, request| truth().answer(id, request)).unwrap();
    assert_eq!(desk.rows(), true_rows(), "after {says}");
}

/// Answers truthfully except to `Read`.
fn reading<A: Into<Answer>>(
    mut answer: impl FnMut(RequestId, Seq) -> A,
) -> impl FnMut(RequestId, Request) -> Answer {
    let truth = truth();
    move |id, request| match request {
        Request::Read { from, .. } => answer(id, from).into(),
        other => truth.answer(id, other).into(),
    }
}

/// Answers truthfully except for a changed `Hello`.
fn greeting(change: impl Fn(&mut Hello)) -> impl FnMut(RequestId, Request) -> Vec<u8> {
    let mut lie = truth();
    change(&mut lie.hello);
    let truth = truth();
    move |id, request| match request {
        Request::Hello => lie.answer(id, request),
        other => truth.answer(id, other),
    }
}

#[test]
fn numbers_said_twice() {
    let one = truth().records[0].clone();
    let twice = [one.clone(), one];
    told("out of its batch", reading(|id, _| batch(id, Seq(1), Seq(2), &twice)));
    // Every frame twice.
    harmless(|id, request| [truth().answer(id, request), truth().answer(id, request)].concat());
    // Each batch starts again at the first record.
    harmless(reading(|id, _| {
        let records = truth().records;
        let grown = (5..=records.len()).step_by(11).chain([records.len()]);
        let mut all: Vec<Vec<u8>> =
            grown.map(|n| batch(id, Seq(1), records[n - 1].seq(), &records[..n])).collect();
        all.push(wire(id, &Response::End { next: truth().hello.next }));
        all.concat()
    }));
}

#[test]
fn batches_out_of_order() {
    // The first time backwards, then in order.
    let mut first = true;
    harmless(reading(move |id, from| {
        let mut all = truth().batches(id, from);
        if std::mem::take(&mut first) {
            all.reverse();
        }
        all.push(wire(id, &Response::End { next: truth().hello.next }));
        all.concat()
    }));
    // Always without the one that was requested.
    told("sends nothing new", reading(|id, from| truth().batches(id, from)[1..].concat()));
}

#[test]
fn another_handheld_under_the_same_name() {
    // The seals change between Hello and the batches: another handheld's, or another log's.
    for (device, log) in [(DeviceId(77), LOG), (DEVICE, LogId(77))] {
        let other = Truth::day(device, log, 12);
        let mut desk = Desk::new();
        desk.pull(reading(|id, from| {
            let request = Request::Read { log: LOG, from, credit: 8 };
            other.answer(id, request)
        }))
        .unwrap();
        // All kept, none believed, and each reported.
        assert_eq!(sound::check(&desk.path()), truth().records.len());
        assert_eq!(rows::count(&desk.path(), "finding"), 0);
        // The true ones take their place when they arrive; those already there stay as well.
        let mut shorter = truth();
        shorter.hello.next = shorter.hello.next.next();
        desk.pull(|id, request| match request {
            Request::Read { .. } => {
                let all = &truth().records;
                let mut line = batch(id, Seq(1), shorter.hello.next.previous(), all);
                line.extend(wire(id, &Response::End { next: shorter.hello.next }));
                line
            }
            other => shorter.answer(id, other),
        })
        .unwrap();
        assert_eq!(sound::check(&desk.path()), 0);
        assert_eq!(rows::count(&desk.path(), "finding"), 12);
        assert_eq!(rows::count(&desk.path(), "conflict"), truth().records.len());
    }
}

#[test]
fn another_name_between_pulls() {
    let mut desk = Desk::new();
    desk.pull(|id, request| truth().answer(id, request)).unwrap();
    // The same flash claims another log, then another handheld: both are treated as new ones, and
    // what is sealed for the first is not believed under their names.
    for hello in
        [Hello { log: LogId(7), ..truth().hello }, Hello { device: DeviceId(8), ..truth().hello }]
    {
        desk.pull(greeting(|lie| *lie = hello)).unwrap();
        assert_eq!(desk.herd.cursor(hello.device, hello.log).unwrap(), hello.next.previous());
    }
    assert_eq!(rows::count(&desk.path(), "finding"), 12);
    assert_eq!(sound::check(&desk.path()), 2 * truth().records.len());
}

#[test]
fn wrong_counts() {
    // Fewer than there are: they were made in the meantime, as far as the office can know.
    harmless(greeting(|hello| hello.next = Seq(9)));
    harmless(greeting(|hello| hello.next = Seq(100)));
    told("ends before it begins", greeting(|hello| hello.first = Seq(100)));
    told("ends before it begins", greeting(|hello| hello.released = Seq(100)));
    told("ends before it begins", greeting(|hello| hello.next = Seq(0)));
    told("holds more than it can", greeting(|hello| hello.next = Seq(u32::MAX)));
    // The end is claimed to be where it is not.
    told(
        "sends nothing new",
        reading(|id, from| {
            let mut line = truth().batches(id, from).concat();
            line.extend(wire(id, &Response::End { next: Seq(1_000) }));
            line
        }),
    );
    // An early end: what arrived is released, the rest comes with the next pull.
    let mut desk = Desk::new();
    desk.pull(reading(|id, from| {
        let mut line = truth().batches(id, from)[0].clone();
        line.extend(wire(id, &Response::End { next: Seq(6) }));
        line
    }))
    .unwrap();
    desk.pull(|id, request| truth().answer(id, request)).unwrap();
    assert_eq!(desk.rows(), true_rows());
    // Fewer than were already stored.
    let mut desk = Desk::new();
    desk.pull(|id, request| truth().answer(id, request)).unwrap();
    let said = desk.pull(greeting(|hello| hello.next = Seq(4))).unwrap_err().to_string();
    assert!(said.contains("was its flash put back"), "{said}");
    assert_eq!(desk.rows(), true_rows());
}

#[test]
fn numbers_without_end() {
    told("said it has not", reading(|id, from| batch(id, from, Seq(u32::MAX), &[])));
    // One more with every batch, for ever: the office stops at the bound, and the numbers without
    // records up to there are noted as lost.
    let mut desk = Desk::new();
    let said = desk
        .pull(reading(|id, from| {
            let all: Vec<u8> = (from.0..from.0 + 20_000)
                .flat_map(|seq| batch(id, Seq(seq), Seq(seq), &[]))
                .collect();
            all
        }))
        .unwrap_err()
        .to_string();
    assert!(said.contains("said it has not"), "{said}");
    assert_eq!(rows::count(&desk.path(), "covered"), 1);
    assert!(desk.herd.cursor(DEVICE, LOG).unwrap().0 < 10_100);
}

#[test]
fn the_same_for_ever() {
    let say = |id: RequestId, response: &Response<'_>| Answer {
        once: Vec::new(),
        for_ever: wire(id, response),
    };
    let now = Response::Now { boot: Boot(1), uptime: Uptime(9) };
    told("sends nothing new", reading(move |id, _| say(id, &now)));
    told("sends nothing new", reading(move |id, _| say(id, &Response::End { next: Seq(99) })));
    let hello = Response::Hello(truth().hello);
    told("sends nothing new", reading(move |id, _| say(id, &hello)));
    // An answer to a question that is no longer open.
    told("sends nothing new", reading(move |id, _| say(RequestId(id.0 - 1), &now)));
    // END for ever instead of Released: everything is stored, the release is not confirmed.
    let mut desk = Desk::new();
    let day = desk
        .pull(|id, request| match request {
            Request::Release { .. } => say(id, &Response::End { next: truth().hello.next }),
            other => truth().answer(id, other).into(),
        })
        .unwrap();
    assert_eq!(day.pulled.finished.released, None);
    assert_eq!(desk.rows(), true_rows());
    // The first batch for ever.
    told(
        "sends nothing new",
        reading(move |id, _| Answer {
            once: Vec::new(),
            for_ever: truth().batches(id, Seq(1))[0].clone(),
        }),
    );
}

#[test]
fn noise_for_ever() {
    for noise in [&b"\0"[..], b"x", b"$GPGGA,120000,5300.00,N*4F\r\n", b"\x05abcd\0", b"\0\0\xff"] {
        let for_ever = |_, _| Answer { once: Vec::new(), for_ever: noise.to_vec() };
        told("not a hornrule handheld", for_ever);
        told("sends nothing new", reading(|id, _| for_ever(id, Request::Hello)));
        // Also when only one question is asked, as at every port when none is named.
        let mut port = Scripted::new(for_ever);
        let said = office::greet(&mut port).unwrap_err().to_string();
        assert!(said.contains("not a hornrule handheld"), "{said}");
        assert!(port.given() < MOST_BYTES, "{} bytes were read", port.given());
    }
}

#[test]
fn frames_that_lie_about_their_length() {
    // A batch that claims four thousand million bytes; one that claims one more than it has.
    for body in [&[4, 1, 5, 0xff, 0xff, 0xff, 0xff, 0x0f][..], &[4, 1, 1, 3, 1, 2]] {
        told("not a hornrule handheld", reading(|id, _| raw_frame(1, 0x52, id, body)));
    }
    // Bytes left over, and a message that does not exist.
    for body in [&[4, 1, 1, 0, 9][..], &[99]] {
        told("not a hornrule handheld", reading(|id, _| raw_frame(1, 0x52, id, body)));
    }
    // Longer than any frame may be, with a good one hidden in its tail and another after it.
    harmless(reading(|id, from| {
        let mut line = vec![7u8; 3_000];
        line.extend(&wire(id, &Response::End { next: Seq(1) })[1..]);
        line.extend(truth().answer(id, Request::Read { log: LOG, from, credit: 8 }));
        line
    }));
    told("version 9", |id, _| raw_frame(9, 0x52, id, &[0]));
    told("echoes", |id, _| raw_frame(1, 0x51, id, &[0]));
}

#[test]
fn refusals_and_releases() {
    for refusal in [Refusal::OtherLog, Refusal::NotYet, Refusal::Unknown, Refusal::FlashFault] {
        told("refused", |id, request| match request {
            Request::Release { .. } => wire(id, &Response::Refused(refusal)),
            other => truth().answer(id, other),
        });
        told("refused", reading(|id, _| wire(id, &Response::Refused(refusal))));
    }
    told("which nobody has released", reading(|id, _| wire(id, &Response::Refused(Refusal::Gone))));
    told("not told to", |id, request| match request {
        Request::Release { .. } => wire(id, &Response::Released { through: Seq(9_999) }),
        other => truth().answer(id, other),
    });
}

/// Every lie above relies on this checker; here the checker itself is tested.
#[test]
fn a_false_row_would_be_noticed() {
    let mut desk = Desk::new();
    desk.pull(|id, request| truth().answer(id, request)).unwrap();
    let path: &Path = &desk.path();
    let conn = rusqlite::Connection::open(path).unwrap();
    conn.execute("UPDATE sealed SET bytes = x'0101040000000000000000' WHERE seq = 4", []).unwrap();
    drop(conn);
    assert!(std::panic::catch_unwind(|| sound::check(path)).is_err());
}
