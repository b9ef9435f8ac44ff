//! Whether the handheld holds what is stored: each row of the table in `SPEC.md`, section 8.

use super::*;

const STORED: Run = Run { from: Seq(41), through: Seq(60), count: 20, digest: 7 };
const TWIN: Run = Run { from: Seq(90), through: Seq(95), count: 6, digest: 8 };

fn says(run: Run) -> Response<'static> {
    let Run { from, through, count, digest } = run;
    Response::Digest { from, through, count, digest }
}

fn asks(run: Run) -> Request {
    Request::Digest { log: LOG, from: run.from, through: run.through }
}

/// Through 60 is stored of a log that ends before 101.
fn known(runs: &[Run]) -> Bench {
    let mut bench = Bench::with_office(|office| (office.runs, office.had) = (runs.to_vec(), 60));
    bench.answer(Response::Hello(hello(101))).unwrap();
    bench
}

#[test]
fn the_same_digest_reads_on() {
    let mut bench = known(&[STORED]);
    assert_eq!(bench.last().1, asks(STORED));
    bench.answer(says(STORED)).unwrap();
    bench.probe();
    assert_eq!(bench.proved, Some(0));
    assert!(matches!(bench.last().1, Request::Read { from: Seq(61), credit: 8, .. }));
    assert_eq!((bench.sent.len(), bench.compared.len()), (6, 0), "one question more");
}

#[test]
fn another_log_of_the_office_is_asked_for_too() {
    let mut bench = known(&[STORED, TWIN]);
    bench.answer(says(Run { digest: 99, ..STORED })).unwrap();
    assert_eq!(bench.last().1, asks(TWIN));
    bench.answer(says(TWIN)).unwrap();
    assert_eq!(bench.proved, Some(1));
}

/// Whatever differs is compared: number, count, digest.
#[test]
fn another_digest_is_compared_byte_by_byte() {
    for lie in [
        Run { digest: 99, ..STORED },
        Run { count: 19, ..STORED },
        Run { through: Seq(59), ..STORED },
        Run { from: Seq(1), ..STORED },
        Run { from: Seq(0), through: Seq(u32::MAX), count: u32::MAX, digest: 7 },
    ] {
        let mut bench = known(&[STORED]);
        bench.answer(says(lie)).unwrap();
        let request = bench.last().1;
        assert!(matches!(request, Request::Read { from: Seq(41), credit: 1, .. }), "{request:?}");
        bench.batch(41, 50).unwrap();
        assert_eq!(bench.last().1, Request::Credit { batches: 2 });
        // No more than the run is compared, and nothing is stored.
        bench.batch(51, 70).unwrap();
        assert_eq!((&bench.compared[..], &bench.stored[..]), (&[(41, 50), (51, 60)][..], &[][..]));
        assert_eq!(bench.last().1, Request::Now);
        assert_eq!(bench.proved, None);
    }
}

#[test]
fn firmware_that_knows_no_digest_is_compared_once_and_not_asked_again() {
    let mut bench = known(&[TWIN, STORED]);
    bench.answer(Response::Refused(Refusal::Unknown)).unwrap();
    assert!(matches!(bench.last().1, Request::Read { from: Seq(41), .. }), "over both runs");
    bench.batch(41, 95).unwrap();
    bench.probe();
    bench.batch(61, 100).unwrap();
    bench.before_release = Some(vec![STORED]);
    bench.answer(Response::End { next: Seq(101) }).unwrap();
    assert_eq!(bench.last().1, Request::Release { log: LOG, through: Seq(100) });
}

#[test]
fn a_log_that_ends_while_it_is_compared_is_judged_by_what_came() {
    let mut bench = known(&[STORED]);
    bench.answer(says(TWIN)).unwrap();
    bench.batch(41, 45).unwrap();
    bench.answer(Response::End { next: Seq(46) }).unwrap();
    assert_eq!(bench.last().1, Request::Now);
}

#[test]
fn a_recorded_session_is_not_asked() {
    let mut bench = Bench::begin();
    bench.machine = Machine::without_proof();
    let todo = bench.machine.begin();
    bench.obey(todo).unwrap();
    (bench.runs, bench.had) = (vec![STORED], 60);
    bench.answer(Response::Hello(hello(101))).unwrap();
    bench.probe();
    bench.batch(61, 100).unwrap();
    (bench.before_release, bench.gaps) = (Some(vec![STORED]), vec![(5, 6)]);
    bench.answer(Response::End { next: Seq(101) }).unwrap();
    // A second reading may be on the tape; if it is not, nothing is lost by asking.
    assert!(matches!(bench.last().1, Request::Read { from: Seq(5), .. }));
    for _ in 0..5 {
        bench.silence().unwrap();
    }
    assert_eq!(bench.last().1, Request::Release { log: LOG, through: Seq(100) });
    assert!(!bench.sent.iter().any(|(_, request)| matches!(request, Request::Digest { .. })));
}

/// All news is stored; what the office says now comes before the release.
fn read_through_100(change: impl FnOnce(&mut Bench)) -> Bench {
    let mut bench = Bench::reading(60, 101);
    bench.batch(61, 100).unwrap();
    change(&mut bench);
    bench.answer(Response::End { next: Seq(101) }).unwrap();
    bench
}

#[test]
fn what_is_missing_is_read_again_before_the_release() {
    let mut bench = read_through_100(|office| office.gaps = vec![(70, 70), (80, 99)]);
    let request = bench.last().1;
    assert!(matches!(request, Request::Read { from: Seq(70), credit: 1, .. }), "{request:?}");
    bench.batch(70, 90).unwrap();
    assert!(matches!(bench.last().1, Request::Read { from: Seq(80), credit: 1, .. }));
    bench.batch(80, 85).unwrap();
    bench.batch(86, 100).unwrap();
    assert_eq!(bench.filled, [(70, 70, 1), (80, 85, 6), (86, 99, 14)]);
    // What is released is what was stored, however far back was read again.
    assert_eq!(bench.last().1, Request::Release { log: LOG, through: Seq(100) });
    bench.answer(Response::Released { through: Seq(100) }).unwrap();
    assert_eq!((bench.finished, bench.withheld), (Some(Some(Seq(100))), false));
}

#[test]
fn what_cannot_be_read_again_holds_nothing_up() {
    for refusal in [Refusal::FlashFault, Refusal::Gone, Refusal::NotYet] {
        let mut bench = read_through_100(|office| office.gaps = vec![(70, 70)]);
        bench.answer(Response::Refused(refusal)).unwrap();
        assert!(matches!(bench.last().1, Request::Release { .. }), "{refusal:?}");
    }
}

#[test]
fn every_run_is_proved_before_the_release() {
    let mut bench = read_through_100(|office| office.before_release = Some(vec![STORED, TWIN]));
    assert_eq!(bench.last().1, asks(STORED));
    bench.answer(says(STORED)).unwrap();
    assert_eq!(bench.last().1, asks(TWIN));
    bench.answer(says(TWIN)).unwrap();
    assert_eq!(bench.last().1, Request::Release { log: LOG, through: Seq(100) });
}

#[test]
fn p3_a_run_that_differs_is_not_released_without_consent() {
    for consents in [true, false] {
        let mut bench = read_through_100(|office| {
            office.before_release = Some(vec![TWIN, STORED, TWIN]);
            office.consents = consents;
        });
        bench.answer(says(TWIN)).unwrap();
        bench.answer(says(Run { digest: 0, ..STORED })).unwrap();
        assert!(matches!(bench.last().1, Request::Read { from: Seq(41), .. }));
        bench.batch(41, 60).unwrap();
        if consents {
            assert_eq!(bench.last().1, asks(TWIN), "the rest is proved too");
            bench.answer(says(TWIN)).unwrap();
            assert_eq!(bench.last().1, Request::Release { log: LOG, through: Seq(100) });
        } else {
            assert_eq!((bench.finished, bench.withheld), (Some(None), true));
            let told = |(_, request): &(_, Request)| matches!(request, Request::Release { .. });
            assert!(!bench.sent.iter().any(told));
        }
    }
}

#[test]
fn p3_what_the_office_withholds_is_not_released() {
    let bench = read_through_100(|office| office.before_release = None);
    assert_eq!((bench.finished, bench.withheld), (Some(None), true));
}

#[test]
fn unplugged_before_the_release_all_is_stored() {
    let mut bench = read_through_100(|office| office.before_release = Some(vec![STORED]));
    for _ in 0..5 {
        bench.silence().unwrap();
    }
    assert_eq!((bench.finished, bench.withheld), (Some(None), false));
}

/// Nothing it says to a question about digests keeps the pull from ending.
#[test]
fn lies_about_digests_end() {
    let lie = Run { digest: 1, ..STORED };
    let mut bench = known(&[STORED]);
    bench.answer(says(lie)).unwrap();
    let error = (0..200).find_map(|_| bench.batch(55, 60).err());
    assert_eq!(error, Some(PullError::Stuck));
    // One number at a time is slow, but it ends.
    let mut bench = known(&[STORED]);
    bench.answer(says(lie)).unwrap();
    for seq in 41..=60 {
        bench.batch(seq, seq).unwrap();
    }
    assert_eq!(bench.last().1, Request::Now);
}
