//! The virtual handheld and the demo are killed at random moments.
//!
//! The handheld is told a day at the chute. What it has promised with its cue (P1) is on its flash
//! file, and nothing that was never said. The demo is killed again and again in one folder, and
//! ends as one that ran undisturbed.

use std::collections::BTreeSet;
use std::fs;
use std::io::Read;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Child, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use hornrule_insight::luck::Luck;
use rusqlite::Connection;

use crate::bench::{Handheld, folder, long, succeeded, whole};
use crate::prepared::command;
use crate::rows;

const SIGKILL: i32 = 9;

/// Lets it run for so long, then kills it. Gives its lines, and whether it was still alive.
fn killed_after(mut child: Child, wait: Duration) -> (String, bool) {
    let mut stdout = child.stdout.take().unwrap();
    let reader = thread::spawn(move || {
        let mut said = String::new();
        // What came before a cut-off line is enough.
        let _read = stdout.read_to_string(&mut said);
        said
    });
    thread::sleep(wait);
    // It may have ended by itself.
    let _ended = child.kill();
    let status = child.wait().unwrap();
    (reader.join().unwrap(), status.signal() == Some(SIGKILL))
}

/// Numbers and bytes of all records of the first start.
fn records(db: &Path) -> BTreeSet<(u32, Vec<u8>)> {
    let conn = Connection::open(db).unwrap();
    let mut query = conn.prepare("SELECT seq, bytes FROM sealed").unwrap();
    query.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap().map(Result::unwrap).collect()
}

/// Switches the handheld on again and pulls everything into a new database.
fn pulled(at: &Path) -> BTreeSet<(u32, Vec<u8>)> {
    let handheld = Handheld::start(&at.join("cow.flash"), &["--now", "2026-03-03T20:00:00Z"]);
    let pull = ["--db", "new.db", "pull", "--port", &handheld.port];
    succeeded(&command(at).args(pull).output().unwrap());
    whole(&at.join("new.db"), "pulled");
    records(&at.join("new.db"))
}

#[test]
fn p1_killed_handheld() {
    let told = include_str!("../../demo/alder-brook.story");
    let (morning, _) = told.split_once("plug in").unwrap();
    let story = |at: &Path| {
        fs::write(at.join("day.story"), morning).unwrap();
        let words = ["handheld", "--tcp", "127.0.0.1:0", "--flash", "cow.flash", "--story"];
        // The same each time: a sealed record's checksum covers both.
        let ids = ["--device", "c0ffee0000000001", "--log", "a1de0001"];
        command(at).args(words).arg("day.story").args(ids).spawn().unwrap()
    };
    let undisturbed = folder();
    let began = Instant::now();
    let output = story(undisturbed.path()).wait_with_output().unwrap();
    succeeded(&output);
    let took = began.elapsed();
    let all = pulled(undisturbed.path());
    assert!(all.len() > 150, "{} records", all.len());
    let mut luck = Luck::of(41);
    let (wanted, mut struck, mut kept) = (if long() { 100 } else { 8 }, 0, 0);
    for tried in 0..wanted * 6 {
        if struck == wanted {
            break;
        }
        let folder = folder();
        let at = folder.path();
        let wait = took.mul_f64(luck.part());
        let (said, killed) = killed_after(story(at), wait);
        struck += usize::from(killed);
        let there = pulled(at);
        let about = format!("kill {tried} after {wait:?}");
        // Every record but those of the start after the kill is one of the day.
        let first_new = all.iter().zip(&there).position(|(ours, theirs)| ours != theirs);
        let same = first_new.unwrap_or(all.len().min(there.len()));
        let promised = said.lines().filter(|line| line.contains(" Committed ")).count();
        assert!(same >= promised, "{about}: {promised} cues, {same} records");
        assert!(there.len() - same < 8, "{about}: {} records that nobody said", there.len() - same);
        kept += same;
    }
    eprintln!("handheld: {struck} kills, {kept} records kept");
    assert_eq!(struck, wanted);
}

#[test]
fn p4_killed_demo() {
    let demo = |at: &Path| {
        let mut command = command(at);
        command.args(["demo", "--dir", "demo", "--no-pdf"]).stderr(Stdio::null());
        command
    };
    let undisturbed = folder();
    let began = Instant::now();
    succeeded(&demo(undisturbed.path()).output().unwrap());
    let took = began.elapsed();
    let rows = |at: &Path| {
        ["herd.db", "season.db"].map(|name| rows::dump_for_verbs(&at.join("demo").join(name)))
    };
    let expected = rows(undisturbed.path());
    let mut luck = Luck::of(43);
    let (rounds, kills) = if long() { (20, 5) } else { (1, 3) };
    let mut struck = 0;
    for round in 0..rounds {
        let folder = folder();
        for kill in 0..kills {
            // A demo that was played before takes less time: until a kill strikes, sooner and sooner.
            let mut within = took;
            let mut killed = false;
            while !killed {
                let wait = within.mul_f64(luck.part());
                killed = killed_after(demo(folder.path()).spawn().unwrap(), wait).1;
                within = within.mul_f64(0.7);
                for name in ["herd.db", "season.db"] {
                    whole(&folder.path().join("demo").join(name), &format!("{round}.{kill}"));
                }
            }
            struck += 1;
        }
        succeeded(&demo(folder.path()).output().unwrap());
        for (ours, theirs) in rows(folder.path()).iter().zip(&expected) {
            let other = ours.lines().zip(theirs.lines()).find(|(ours, theirs)| ours != theirs);
            assert!(ours == theirs, "round {round}: the demo ends elsewhere: {other:?}");
        }
    }
    eprintln!("demo: {struck} kills in {rounds} folders");
    assert_eq!(struck, rounds * kills);
}
