//! Every verb that writes is killed: at random moments, and at calls that change a file.
//!
//! ```text
//! before --the verb, undisturbed--> after --the same words again--> twice
//!    |                                ^                               ^
//!    +--killed--> before --again------+        or  after --again------+
//! ```
//!
//! After each kill the database is whole and holds what it held before, or what it was to hold; a
//! file is as it was, or whole. The words said again end where they would have ended.

use std::os::unix::process::ExitStatusExt;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::Command;
use std::thread;
use std::time::{Duration, Instant};

use hornrule_herd::Database;
use hornrule_insight::luck::Luck;

use crate::bench::{Bench, long, succeeded, whole};
use crate::prepared::{Holds, Office, Prepared};
use crate::shim;
use crate::shim::Kind;
use crate::verbs::{Again, Case, Does, State, VERBS};

const SIGKILL: i32 = 9;
/// Kills of each case.
const QUICK: usize = 4;
const LONG: usize = 100;
/// What a file has in it that is to be replaced.
const OLD_FILE: &str = "what stood here before\n";
/// Tables whose rows are somebody's word: none may be lost, whatever a verb is in the middle of.
const SAID: [&str; 8] =
    ["sealed", "decision", "closing", "bill", "bill_line", "herd", "lot", "lot_note"];

/// A case without a kill: what it begins with, ends in, and does when said again.
struct Undisturbed {
    /// Whether it changes the database.
    changes: bool,
    before: Holds,
    after: Holds,
    twice: Holds,
    again_succeeds: bool,
    took: Duration,
    /// Calls that change a file.
    calls: usize,
}

fn with_shim(office: &mut Office, words: &str, kind: Kind, at: usize) -> Command {
    let mut command = office.says(words);
    shim::put_before(&mut command, &office.db(), kind, at);
    command.env("HORNRULE_FAULT_FOLDER", &office.at);
    command
}

/// An office with old files where the case writes, if it may replace them.
fn office(case: &Case, old_files: bool) -> Office {
    let office = Prepared::get().office(case.state);
    for name in case.files.iter().filter(|_| old_files && replaces(case)) {
        let file = office.at.join(name);
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(file, OLD_FILE).unwrap();
    }
    office
}

/// Files of databases are compared as such, and logs are added to.
fn replaces(case: &Case) -> bool {
    let text = |name: &&str| !name.ends_with(".db") && !name.starts_with("practice");
    case.again != Again::Refused && case.files.iter().all(text)
}

impl Undisturbed {
    fn of(case: &Case, changes: bool) -> Self {
        let mut office = office(case, false);
        let before = office.holds(case, changes);
        let began = Instant::now();
        let output = office.run(case.words);
        let took = began.elapsed();
        succeeded(&output);
        let after = office.holds(case, changes);
        // A plan changes the handheld first of all.
        let something = before != after || case.words.contains("PORT");
        assert!(something, "{}: it does nothing that could be broken", case.words);
        let again_succeeds = office.run(case.words).status.success();
        let twice = office.holds(case, changes);
        match case.again {
            Again::Same => assert!(again_succeeds && after == twice, "{}", case.words),
            Again::Refused => assert!(!again_succeeds && after == twice, "{}", case.words),
            Again::Further => assert!(again_succeeds, "{}", case.words),
        }
        let mut counted = self::office(case, true);
        succeeded(&with_shim(&mut counted, case.words, Kind::None, 0).output().unwrap());
        let calls = shim::numbered(&shim::calls(&counted.db()), |_| true).len();
        Self { changes, before, after, twice, again_succeeds, took, calls }
    }

    /// Kills until as many as wanted have struck.
    fn killed(&self, verb: &str, case: &Case, luck: &mut Luck) -> usize {
        let slow = self.took > Duration::from_millis(500);
        let wanted = if long() { LONG } else { QUICK / (1 + usize::from(slow)) };
        let (mut struck, mut tried) = (0, 0);
        while struck < wanted {
            tried += 1;
            assert!(tried < wanted * 6, "{verb}: {struck} of {tried} kills struck");
            let mut office = office(case, luck.chance(0.5));
            let (about, status) = if tried % 2 == 0 {
                let after = self.took.mul_f64(luck.part() * 1.2);
                let mut child = office.says(case.words).spawn().unwrap();
                thread::sleep(after);
                // It may have ended by itself.
                let _ended = child.kill();
                (format!("after {after:?}"), child.wait_with_output().unwrap().status)
            } else {
                let at = 1 + luck.below(self.calls);
                // A line added to a log is one write, which no kill tears; a full disk may.
                let adds = case.files.iter().any(|name| name.starts_with("practice"));
                let kind = if adds || luck.chance(0.5) { Kind::Kill } else { Kind::Tear };
                let output = with_shim(&mut office, case.words, kind, at).output().unwrap();
                (format!("{kind:?} at call {at} of {}", self.calls), output.status)
            };
            struck += usize::from(status.signal() == Some(SIGKILL));
            self.holds(&format!("{verb}: `{}` killed {about}", case.words), case, &mut office);
        }
        struck
    }

    /// What must hold after a kill.
    fn holds(&self, about: &str, case: &Case, office: &mut Office) {
        let db = office.db();
        whole(&db, about);
        drop(Database::open_existing(&db).map_err(|error| format!("{about}: {error}")).unwrap());
        let now = office.holds(case, self.changes);
        if self.changes && case.state != State::Old {
            lost_nothing(&self.before.rows, &now.rows, about);
        }
        let (old, new) = (now.rows == self.before.rows, now.rows == self.after.rows);
        let named = office.names();
        assert!(old || new || case.steps, "{about}: the database is half changed; {named}");
        for (at, file) in now.files.iter().enumerate() {
            let as_it_was =
                [None, Some(OLD_FILE.as_bytes().to_vec()), self.before.files[at].clone()];
            let name = case.files[at];
            let right = as_it_was.contains(file) || *file == self.after.files[at];
            assert!(right, "{about}: {name} is neither old nor whole; {named}");
        }
        kept_by_restore(self, case, office, new, about);
        let done =
            if self.before.rows != self.after.rows { new } else { now.files == self.after.files };
        let output = office.run(case.words);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        let end = office.holds(case, self.changes);
        if done {
            assert_eq!(output.status.success(), self.again_succeeds, "{about}, again: {said}");
            let as_meant = end.rows == self.twice.rows
                || (case.again == Again::Further && end.rows == self.after.rows);
            assert!(as_meant, "{about}: done and said again it ends elsewhere");
        } else {
            assert!(output.status.success(), "{about}, again: {said}");
            assert!(end == self.after, "{about}: said again it ends elsewhere, in {}", {
                let other = |(at, name): (usize, &&'static str)| {
                    (end.files[at] != self.after.files[at]).then_some(*name)
                };
                let mut others: Vec<&str> =
                    case.files.iter().enumerate().filter_map(other).collect();
                others.extend((end.rows != self.after.rows).then_some("the database"));
                others.join(", ")
            });
        }
    }
}

/// Every row that was somebody's word is still there.
fn lost_nothing(before: &str, now: &str, about: &str) {
    let rows = |text: &str| -> Vec<String> {
        let sections =
            text.split("== ").filter(|one| SAID.contains(&one.lines().next().unwrap_or("")));
        sections
            .flat_map(|one| one.lines().skip(1).map(str::to_owned).collect::<Vec<_>>())
            .collect()
    };
    // What the words themselves change is judged by `after`; here, only that no row went away.
    assert!(rows(now).len() >= rows(before).len(), "{about}: rows are gone");
}

/// A database that was replaced stands beside, whole.
fn kept_by_restore(of: &Undisturbed, case: &Case, office: &Office, new: bool, about: &str) {
    if !case.words.starts_with("restore") || !new {
        return;
    }
    let kept = office.names().split(' ').any(|name| {
        let ours = name.starts_with("hornrule.db.before") || name.contains("before-restore");
        ours && crate::rows::dump_for_verbs(&office.at.join(name)) == of.before.rows
    });
    assert!(kept, "{about}: the database that was replaced is gone; {}", office.names());
}

fn all(cases: &[(&str, &Case)], changes: bool, seed: u64) {
    let mut luck = Luck::of(seed);
    let mut total = 0;
    let mut broken = Vec::new();
    for (verb, case) in cases {
        // All verbs are tried, whatever becomes of one: the list of what breaks is the result.
        let tried = catch_unwind(AssertUnwindSafe(|| {
            let undisturbed = Undisturbed::of(case, changes);
            let struck = undisturbed.killed(verb, case, &mut luck);
            eprintln!(
                "{verb}: {struck} kills, {} calls, {:?}",
                undisturbed.calls, undisturbed.took
            );
            struck
        }));
        match tried {
            Ok(struck) => total += struck,
            Err(_) => broken.push(*verb),
        }
    }
    eprintln!("{} cases, {total} kills", cases.len());
    assert!(broken.is_empty(), "a kill broke: {}", broken.join(", "));
}

#[test]
fn p4_verbs_that_change_the_database_are_killed() {
    let _made_first = Bench::get();
    let cases: Vec<_> = VERBS
        .iter()
        .flat_map(|(verb, does)| match does {
            Does::Changes(cases) => cases.iter().map(|case| (*verb, case)).collect(),
            _ => Vec::new(),
        })
        .collect();
    all(&cases, true, 20_260_303);
}

#[test]
fn p4_verbs_that_write_files_are_killed() {
    let cases: Vec<_> = VERBS
        .iter()
        .flat_map(|(verb, does)| match does {
            Does::Writes(cases) => cases.iter().map(|case| (*verb, case)).collect(),
            _ => Vec::new(),
        })
        .collect();
    all(&cases, false, 20_260_317);
}

/// What only reads is not killed, because it changes nothing; which is tried here.
#[test]
fn verbs_that_read_change_nothing() {
    let mut office = Prepared::get().office(State::Billed);
    // The first opening may tidy up the file.
    succeeded(&office.run("herd list"));
    let (rows, names) = (office.rows(), office.names());
    let mut said = 0;
    for words in VERBS.iter().flat_map(|(_, does)| match does {
        Does::Reads(words) => *words,
        _ => &[],
    }) {
        let output = office.run(words);
        succeeded(&output);
        assert!(office.rows() == rows, "{words} changes the database");
        assert_eq!(office.names(), names, "{words} leaves a file");
        said += 1;
    }
    assert!(said > 10, "{said} verbs");
}
