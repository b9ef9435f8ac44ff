//! The machine against a handheld on paper: every answer it may get, in every order that matters.

use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::message::{Hello, Refusal, Request, Response};
use hornrule_protocol::{Boot, Deframer, Seq, Uptime};

use super::error::PullError;
use super::machine::Machine;
use super::step::{Do, Event, Run};
use bench::{Bench, LOG, hello, sealed};

mod bench;
mod proof;

#[test]
fn a_quiet_pull_goes_straight_through() {
    let mut bench = Bench::reading(0, 6);
    assert!(matches!(bench.last().1, Request::Read { log: LOG, from: Seq(1), .. }));
    bench.batch(1, 5).unwrap();
    bench.answer(Response::End { next: Seq(6) }).unwrap();
    assert_eq!(bench.last().1, Request::Release { log: LOG, through: Seq(5) });
    bench.answer(Response::Released { through: Seq(5) }).unwrap();
    assert_eq!((bench.stored.as_slice(), bench.finished), (&[(1, 5)][..], Some(Some(Seq(5)))));
    assert_eq!(bench.sent.len(), 1 + 3 + 1 + 1, "Hello, three probes, Read, Release");
}

#[test]
fn p3_nothing_is_released_before_the_end() {
    let mut bench = Bench::reading(0, 100);
    for from in (1..80).step_by(5) {
        bench.batch(from, from + 4).unwrap();
        assert!(!bench.sent.iter().any(|(_, request)| matches!(request, Request::Release { .. })));
    }
}

#[test]
fn credit_is_given_while_batches_still_come() {
    let mut bench = Bench::reading(0, 100);
    let Request::Read { credit, .. } = bench.last().1 else { panic!("no Read") };
    let mut granted = credit;
    for count in 1..60 {
        bench.batch(count, count).unwrap();
        if let Request::Credit { batches } = bench.last().1 {
            assert!(batches >= granted, "credit never falls");
            granted = batches;
        }
        assert!(granted > count, "the handheld is never left without credit");
    }
    assert!(granted < 60 + 10, "and never has more than a window");
}

#[test]
fn a_lost_batch_is_asked_for_again_under_a_new_id() {
    let mut bench = Bench::reading(0, 100);
    let old = bench.last().0;
    bench.batch(1, 5).unwrap();
    bench.batch(11, 15).unwrap();
    let (new, request) = bench.last();
    assert!(matches!(request, Request::Read { from: Seq(6), .. }));
    assert_ne!(new, old);
    // What was still on the way under the old id is dropped.
    let run = sealed(6);
    let late = Response::Batch { from: Seq(6), through: Seq(6), sealed: run.as_bytes() };
    bench.answer_to(old, late).unwrap();
    assert_eq!(bench.stored, [(1, 5)]);
    bench.batch(6, 15).unwrap();
    assert_eq!(bench.stored, [(1, 5), (6, 15)]);
}

#[test]
fn a_lost_last_batch_shows_at_the_end() {
    let mut bench = Bench::reading(0, 11);
    bench.batch(1, 5).unwrap();
    bench.answer(Response::End { next: Seq(11) }).unwrap();
    assert!(matches!(bench.last().1, Request::Read { from: Seq(6), .. }));
}

#[test]
fn doubled_frames_do_nothing() {
    let mut bench = Bench::reading(0, 6);
    bench.batch(1, 5).unwrap();
    bench.batch(1, 5).unwrap();
    bench.answer(Response::End { next: Seq(6) }).unwrap();
    let release = bench.last();
    bench.answer_to(RequestId(release.0.0 - 1), Response::End { next: Seq(6) }).unwrap();
    assert_eq!(bench.last(), release);
    assert_eq!(bench.stored, [(1, 5)]);
}

#[test]
fn silence_repeats_and_then_gives_up_with_the_right_word() {
    let mut bench = Bench::begin();
    for _ in 0..4 {
        bench.silence().unwrap();
    }
    assert_eq!(bench.silence(), Err(PullError::Silent));

    let mut bench = Bench::begin();
    bench.machine.on(&Event::Bytes(1), 0).unwrap();
    let last = (0..9).map_while(|_| bench.silence().err().map_or(Some(None), |e| Some(Some(e))));
    assert!(last.flatten().next().is_some_and(|error| error == PullError::NotOurs));

    let mut bench = Bench::reading(0, 100);
    bench.batch(1, 5).unwrap();
    for _ in 0..4 {
        bench.silence().unwrap();
        assert!(matches!(bench.last().1, Request::Read { from: Seq(6), .. }));
    }
    assert_eq!(bench.silence(), Err(PullError::Lost));
}

#[test]
fn an_unconfirmed_release_is_no_failure() {
    let mut bench = Bench::reading(0, 6);
    bench.batch(1, 5).unwrap();
    bench.answer(Response::End { next: Seq(6) }).unwrap();
    while bench.finished.is_none() {
        bench.silence().unwrap();
    }
    assert_eq!(bench.finished, Some(None));
}

#[test]
fn nothing_new_is_a_pull_too() {
    let mut bench = Bench::reading(5, 6);
    bench.answer(Response::End { next: Seq(6) }).unwrap();
    assert_eq!(bench.last().1, Request::Release { log: LOG, through: Seq(5) });
    assert_eq!(bench.stored, []);
}

#[test]
fn records_released_elsewhere_are_passed_over() {
    let mut bench = Bench::with_office(|office| office.had = 5);
    bench
        .answer(Response::Hello(Hello { first: Seq(40), released: Seq(60), ..hello(80) }))
        .unwrap();
    assert_eq!(bench.machine.expected(), Seq(40));
}

#[test]
fn numbers_lost_on_flash_are_accepted_as_lost() {
    let mut bench = Bench::reading(0, 6);
    let run: Vec<u8> = [2, 4].iter().flat_map(|seq| sealed(*seq).as_bytes().to_vec()).collect();
    bench.answer(Response::Batch { from: Seq(1), through: Seq(5), sealed: &run }).unwrap();
    assert_eq!(bench.stored, [(1, 5)]);
}

#[test]
fn contradictions_end_the_pull_and_store_nothing() {
    let one = sealed(3);
    let two: Vec<u8> = [4, 3].iter().flat_map(|seq| sealed(*seq).as_bytes().to_vec()).collect();
    for (from, through, bytes) in [
        (5, 4, &[][..]),
        (1, 2, one.as_bytes()),
        (1, 5, &two[..]),
        (1, 5, &one.as_bytes()[..10]),
        (1, 5, &[1, 200, 0, 0][..]),
    ] {
        let mut bench = Bench::reading(0, 9);
        let batch = Response::Batch { from: Seq(from), through: Seq(through), sealed: bytes };
        let error = bench.answer(batch).unwrap_err();
        assert!(matches!(error, PullError::Contradiction(_)), "{from} {through} {error}");
        assert_eq!(bench.stored, []);
    }
    // A log that ends before what it sent earlier.
    let mut bench = Bench::with_office(|office| office.had = 6);
    let error = bench.answer(Response::Hello(hello(6))).unwrap_err();
    assert!(matches!(error, PullError::Contradiction(_)), "{error}");
    let mut bench = Bench::begin();
    let backwards = Hello { first: Seq(9), ..hello(6) };
    assert!(bench.answer(Response::Hello(backwards)).is_err());
}

#[test]
fn refusals_are_told() {
    let mut bench = Bench::reading(0, 6);
    assert_eq!(
        bench.answer(Response::Refused(Refusal::FlashFault)),
        Err(PullError::Refused(Refusal::FlashFault))
    );
}

/// A line that is never quiet has no time-outs: bytes are counted instead.
#[test]
fn noise_without_end_ends_the_pull() {
    let noise = |bench: &mut Bench| {
        for _ in 0..1_000 {
            match bench.machine.on(&Event::Bytes(4_096), 0) {
                Ok(todo) => bench.obey(todo).unwrap(),
                Err(error) => return Some(error),
            }
            if bench.finished.is_some() {
                return None;
            }
        }
        unreachable!("four megabytes of noise were listened to")
    };
    assert_eq!(noise(&mut Bench::begin()), Some(PullError::NotOurs));
    assert_eq!(noise(&mut Bench::reading(0, 9)), Some(PullError::Stuck));
    let mut bench = Bench::reading(0, 2);
    bench.batch(1, 1).unwrap();
    bench.answer(Response::End { next: Seq(2) }).unwrap();
    assert_eq!((noise(&mut bench), bench.finished), (None, Some(None)), "all is stored");
}

/// A line that drips is neither silent nor loud; whoever drives the machine says that it stands still.
#[test]
fn a_line_that_drips_ends_the_pull() {
    let mut bench = Bench::begin();
    bench.machine.on(&Event::Bytes(1), 0).unwrap();
    assert_eq!(bench.machine.on(&Event::Drips, 0), Err(PullError::NotOurs));
    let mut bench = Bench::reading(0, 9);
    let steps = bench.machine.steps();
    bench.machine.on(&Event::Bytes(1), 0).unwrap();
    assert_eq!(bench.machine.steps(), steps, "bytes are no step");
    assert_eq!(bench.machine.on(&Event::Drips, 0), Err(PullError::Stuck));
    let mut bench = Bench::reading(0, 9);
    bench.batch(1, 4).unwrap();
    assert!(bench.machine.steps() > steps);
}

#[test]
fn promises_without_records_end_the_pull() {
    let mut bench = Bench::reading(0, 100);
    let error = (0..100).find_map(|_| bench.answer(Response::End { next: Seq(100) }).err());
    assert_eq!(error, Some(PullError::Stuck));
    let mut bench = Bench::reading(0, 100);
    let error = (0..100).find_map(|_| bench.batch(50, 54).err());
    assert_eq!(error, Some(PullError::Stuck));
    // A step forward begins the count anew.
    let mut bench = Bench::reading(0, 1_000);
    for next in 1..300 {
        bench.batch(next + 5, next + 5).unwrap();
        bench.batch(next, next).unwrap();
    }
}

#[test]
fn counts_that_cannot_be_end_the_pull() {
    let mut bench = Bench::begin();
    let error = bench.answer(Response::Hello(hello(u32::MAX))).unwrap_err();
    assert!(matches!(error, PullError::Contradiction(_)), "{error}");
    for through in [50_000, u32::MAX] {
        let mut bench = Bench::reading(0, 9);
        let batch = Response::Batch { from: Seq(1), through: Seq(through), sealed: &[] };
        let error = bench.answer(batch).unwrap_err();
        assert!(matches!(error, PullError::Contradiction(_)), "{error}");
        assert_eq!(bench.stored, []);
    }
    // Keyed while the pull ran.
    let mut bench = Bench::reading(0, 9);
    bench.batch(1, 20).unwrap();
    bench.answer(Response::End { next: Seq(21) }).unwrap();
    // It lets go of what nobody has.
    let error = bench.answer(Response::Released { through: Seq(21) }).unwrap_err();
    assert!(matches!(error, PullError::Contradiction(_)), "{error}");
}

/// A clock set back during a probe gives no round trip, not one of zero.
#[test]
fn a_probe_over_a_jump_of_the_clock_does_not_count() {
    let mut bench = Bench::with_office(|office| office.now_ms = 1_000);
    bench.answer(Response::Hello(hello(9))).unwrap();
    let mut anchors = Vec::new();
    // Asked at 1,000; the clock then goes back by 600 and on.
    for now_ms in [400, 407, 410] {
        let mut line = [0u8; 64];
        let now = Response::Now { boot: Boot(1), uptime: Uptime(5) };
        let bytes = frame::encode(bench.last().0, &now, &mut line).unwrap();
        let mut deframer = Deframer::<64>::new();
        for byte in bytes {
            if let Some(frame) = deframer.push(*byte) {
                let todo = bench.machine.on(&Event::Frame(&frame.unwrap()), now_ms).unwrap();
                anchors.extend(todo.iter().filter_map(|one| match one {
                    Do::Anchor(anchor) => Some((anchor.asked_ms, anchor.answered_ms)),
                    _ => None,
                }));
                bench.obey(todo).unwrap();
            }
        }
    }
    assert_eq!(anchors, [(407, 410)]);
}
