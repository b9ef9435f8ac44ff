//! P4: the process is killed at a call, and half way through a write.

use std::os::unix::process::ExitStatusExt;

use crate::bench::{Bench, Start, folder, sample};
use crate::shim;
use crate::shim::{Act, Kind};

const SIGKILL: i32 = 9;

fn killed_at_calls(start: Start, quick: usize) {
    let bench = Bench::get();
    let folder = folder();
    let db = bench.database(folder.path(), start);
    bench.pull(&db, Kind::None, 0);
    let calls = shim::calls(&db);
    for (kind, numbers) in [
        (Kind::Kill, shim::numbered(&calls, |_| true)),
        (Kind::Tear, shim::numbered(&calls, |act| matches!(act, Act::Write { .. }))),
    ] {
        assert!(numbers.len() > 30, "{} calls are too few to mean anything", numbers.len());
        let numbers = sample(&numbers, quick);
        for at in &numbers {
            let about = format!("{start:?}, {kind:?} at call {at}");
            let db = bench.database(folder.path(), start);
            let status = bench.pull(&db, kind, *at).status;
            assert_eq!(status.signal(), Some(SIGKILL), "{about}: {status}");
            bench.holds(&db, start, &about);
        }
        eprintln!("{start:?} {kind:?}: {} calls", numbers.len());
    }
}

#[test]
fn p4_killed_at_every_call() {
    killed_at_calls(Start::Listed, 20);
}

#[test]
fn p4_killed_at_every_call_of_a_first_pull() {
    killed_at_calls(Start::Fresh, 20);
}

#[test]
fn p4_killed_at_every_call_of_a_second_pull() {
    killed_at_calls(Start::Second, 20);
}
