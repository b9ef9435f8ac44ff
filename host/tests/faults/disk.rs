//! No room on the disk, and a disk that fails: exit code 5, a sentence that names the file and says
//! what to try, nothing half there, and the next pull brings the rest.

use crate::bench::{Bench, Start, folder, rows_of, sample, whole};
use crate::shim;
use crate::shim::{Act, Kind};

const DATABASE: i32 = 5;

fn at_every_call(kind: Kind, start: Start, quick: usize, says: &[&str]) {
    let bench = Bench::get();
    let folder = folder();
    let db = bench.database(folder.path(), start);
    bench.pull(&db, Kind::None, 0);
    let calls = shim::calls(&db);
    let writes_only = matches!(kind, Kind::Full | Kind::FullOnce);
    let numbers = shim::numbered(&calls, |act| !writes_only || matches!(act, Act::Write { .. }));
    assert!(numbers.len() > 50, "{} calls are too few to mean anything", numbers.len());
    let numbers = sample(&numbers, quick);
    let (mut told, mut unharmed) = (0, 0);
    for at in &numbers {
        let about = format!("{start:?}, {kind:?} at call {at}");
        let db = bench.database(folder.path(), start);
        let output = bench.pull(&db, kind, *at);
        let said = String::from_utf8(output.stderr).unwrap();
        match output.status.code() {
            Some(0) => {
                // The last commit was through: only the tidying up after it failed, which the next
                // opening repeats.
                assert!(rows_of(&db) == bench.rows(start), "{about}: rows are missing, unsaid");
                unharmed += 1;
            }
            code => {
                assert_eq!(code, Some(DATABASE), "{about}: {said}");
                for part in ["herd.db", "hornrule: "].iter().chain(says) {
                    assert!(said.contains(part), "{about} does not say `{part}`: {said}");
                }
                assert!(!said.contains("panicked"), "{about}: {said}");
                told += 1;
            }
        }
        whole(&db, &about);
        bench.holds(&db, start, &about);
    }
    eprintln!("{start:?} {kind:?}: {told} told, {unharmed} unharmed");
    assert!(told > unharmed, "{start:?} {kind:?}: {told} told, {unharmed} unharmed");
}

#[test]
fn p4_full_from_any_write_on() {
    at_every_call(Kind::Full, Start::Listed, 20, &["full", "make room"]);
}

#[test]
fn p4_full_from_any_write_on_in_a_first_pull() {
    at_every_call(Kind::Full, Start::Fresh, 12, &["full", "make room"]);
}

#[test]
fn p4_full_at_one_write() {
    at_every_call(Kind::FullOnce, Start::Listed, 16, &["full", "make room"]);
}

#[test]
fn p4_a_disk_that_fails_from_any_call_on() {
    at_every_call(Kind::Io, Start::Listed, 16, &["check the disk"]);
}

#[test]
fn p4_a_disk_that_fails_at_one_call() {
    at_every_call(Kind::IoOnce, Start::Listed, 16, &["check the disk"]);
}
