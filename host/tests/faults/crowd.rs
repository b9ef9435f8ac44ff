//! Eight programs at once on one database: some read, some write, one copies.
//!
//! Every write that was acknowledged is there once, every other one not at all, and whoever was
//! refused was told that the database is in use.

use std::path::Path;
use std::thread;

use hornrule_insight::luck::Luck;
use rusqlite::Connection;

use crate::bench::{Bench, long, succeeded, whole};
use crate::prepared::{Office, Prepared, command, split};
use crate::rows;
use crate::verbs::State;

const PROGRAMS: u64 = 8;
const DATABASE: i32 = 5;
/// Cows of the list, to be marked.
const COWS: [u32; 8] = [12, 27, 31, 46, 58, 63, 70, 84];
const READS: [&str; 8] = [
    "due",
    "status --no-handheld",
    "herd list",
    "report visit --json",
    "cow 27",
    "review list",
    "bill draft --csv TAG.csv",
    "export xlsx --out TAG.xlsx",
];

/// A write that leaves a trace: words, and the table and column in which its tag stands then.
const WRITES: [(&str, &str, &str); 3] = [
    ("herd mark COW --do-not-trim --who TAG --why crowd", "do_not_trim", "who"),
    ("review decide 41 --accept --who TAG --why crowd", "decision", "who"),
    ("trial WAY TAG", "trial_way", "name"),
];

/// What became of one program's words.
#[derive(Default)]
struct Told {
    /// Tags of writes that were acknowledged, with their tables.
    done: Vec<(usize, String)>,
    /// Tags of writes that were refused.
    refused: Vec<(usize, String)>,
    reads: u32,
    busy: u32,
}

impl Told {
    fn run(&mut self, at: &Path, words: &str) -> bool {
        let output = command(at).args(split(words)).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        match output.status.code() {
            Some(0) => true,
            code => {
                assert_eq!(code, Some(DATABASE), "{words}: {said}");
                let right =
                    said.contains("in use by another program") && said.contains("hornrule.db");
                assert!(right && !said.contains("panicked"), "{words}: {said}");
                self.busy += 1;
                false
            }
        }
    }

    fn works(at: &Path, program: u64, turns: u64) -> Self {
        let mut told = Self::default();
        let mut luck = Luck::of(800 + program);
        for turn in 0..turns {
            let tag = format!("p{program}t{turn}");
            if luck.chance(0.5) {
                let words = READS[luck.below(READS.len())].replace("TAG", &tag);
                told.reads += u32::from(told.run(at, &words));
                continue;
            }
            // A way of gluing has one name, and each program one way.
            let which = luck.below(WRITES.len());
            let cow = COWS[luck.below(COWS.len())].to_string();
            let words = WRITES[which].0.replace("COW", &cow).replace("TAG", &tag);
            let done = told.run(at, &words.replace("WAY", &(1 + program).to_string()));
            if done { &mut told.done } else { &mut told.refused }.push((which, tag));
        }
        told
    }
}

/// The last one copies the database as long as the others work, and pulls.
fn copies(office: &mut Office, turns: u64) -> usize {
    for turn in 0..turns {
        let copy = format!("copy{turn}.db");
        let output = office.run(&format!("backup {copy}"));
        succeeded(&output);
        whole(&office.at.join(&copy), &copy);
        succeeded(&office.run(&format!("--db {copy} herd list")));
        if turn % 3 == 0 {
            succeeded(&office.run("pull --port SESSION"));
        }
    }
    usize::try_from(turns).unwrap()
}

#[test]
fn p4_eight_programs_at_once() {
    let _made_first = Bench::get();
    let mut office = Prepared::get().office(State::Listed);
    succeeded(&office.run("pull --port SESSION"));
    let turns = if long() { 120 } else { 10 };
    let at = office.at.clone();
    let (told, copied) = thread::scope(|scope| {
        let at = &at;
        let others: Vec<_> = (1..PROGRAMS)
            .map(|program| scope.spawn(move || Told::works(at, program, turns)))
            .collect();
        let copied = copies(&mut office, turns / 2);
        (others.into_iter().map(|one| one.join().unwrap()).collect::<Vec<_>>(), copied)
    });
    let db = office.db();
    whole(&db, "after the crowd");
    let conn = Connection::open(&db).unwrap();
    let rows = |(which, tag): &(usize, String)| -> i64 {
        let (_, table, column) = WRITES[*which];
        let text = format!("SELECT count(*) FROM {table} WHERE {column} = ?1");
        conn.query_row(&text, [tag], |row| row.get(0)).unwrap()
    };
    let (mut done, mut refused, mut reads, mut busy) = (0, 0, 0, 0);
    for one in &told {
        // A later name of a way replaces the earlier one.
        let last_name = one.done.iter().rev().find(|(which, _)| WRITES[*which].1 == "trial_way");
        for write in &one.done {
            let replaced = WRITES[write.0].1 == "trial_way" && Some(write) != last_name;
            assert_eq!(rows(write), i64::from(!replaced), "{write:?} is lost, or there twice");
        }
        for write in &one.refused {
            assert_eq!(rows(write), 0, "{write:?} was refused and is there");
        }
        done += one.done.len();
        refused += one.refused.len();
        reads += one.reads;
        busy += one.busy;
    }
    drop(conn);
    eprintln!(
        "{done} writes, {refused} refused, {reads} reads, {copied} copies, {busy} told to wait"
    );
    assert!(done > 7 * 2 && reads > 7 * 2, "{done} writes and {reads} reads are too few");
    // What all of them made of it is what the records say.
    let before = rows::dump_for_verbs(&db);
    succeeded(&office.run("rebuild"));
    assert!(rows::dump_for_verbs(&db) == before, "a rebuild changes it");
}
