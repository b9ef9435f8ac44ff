//! P3, P4, P5 and P8: 300 handhelds that want to do harm, each against the database of an honest one.
//!
//! Each comes twice; then the honest one comes with a further day. Whatever they did:
//!
//! - nothing panics, every pull ends within bounded steps, and an error says something;
//! - what the honest one had sent before stands as it stood, record by record and row by row;
//! - everything it holds is in the database afterwards, and it has let go of nothing else;
//! - nobody was told to let go of what is not stored.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

mod handheld;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use hornrule::office;
use hornrule::office::{OfficeError, PulledDay, Standing};
use hornrule_herd::Database;
use hornrule_line::clock::Clock;
use hornrule_line::pull::{PullError, RunError};
use hornrule_protocol::{DeviceId, LogId, Seq};
use hornrule_tests::scripted::{Answer, Scripted, Truth};
use hornrule_tests::{herd_at, long, memory_folder, sound};
use rusqlite::Connection;

use handheld::{Hostile, Line};

pub(crate) const DEVICE: DeviceId = DeviceId(5);
pub(crate) const LOG: LogId = LogId(6);
/// Records of the honest handheld's first day.
pub(crate) const HONEST: u32 = 27;
/// More than any pull may read; a log of 10,000 numbers more than announced included.
const MOST_BYTES: usize = 3_000_000;
/// More than any pull may ask.
const MOST_QUESTIONS: usize = 25_000;

struct Evening;
impl Clock for Evening {
    fn unix_ms(&self) -> i64 {
        1_772_557_200_000
    }
}

/// How a pull ended, in a few words.
fn word(ended: &Result<PulledDay, OfficeError>) -> &'static str {
    match ended {
        Ok(day) => match (&day.standing, day.pulled.finished.withheld) {
            (Standing::Aside(_), _) => "kept aside, not released",
            (_, true) => "contradicts itself, not released",
            (Standing::New, false) => "taken for a new log",
            (_, false) => "took nothing or went on",
        },
        Err(OfficeError::Run(RunError::Port(_))) => "unplugged",
        Err(OfficeError::Run(RunError::Pull(error))) => match error {
            PullError::Silent | PullError::Lost => "silent",
            PullError::Stuck => "sends nothing new",
            PullError::NotOurs | PullError::Echo | PullError::Version { .. } => "not a handheld",
            PullError::Refused(_) => "refused",
            PullError::Contradiction(_) => "contradiction",
        },
        Err(error) => panic!("the database: {error}"),
    }
}

/// The rows that the honest handheld's first day has in the tables about cows, and its records.
fn honest_rows(path: &Path) -> Vec<String> {
    let conn = Connection::open(path).unwrap();
    let mut all = Vec::new();
    for (table, columns) in [
        ("sealed", "hex(bytes)"),
        ("presence", "herd || ' ' || animal || ' ' || at_ms || ' ' || day"),
        ("finding", "herd || ' ' || animal || ' ' || at_ms || ' ' || lesion || ' ' || grade"),
        ("reading", "herd || ' ' || length_nm"),
        ("action", "herd || ' ' || animal || ' ' || action"),
        ("score", "herd || ' ' || animal || ' ' || value"),
    ] {
        let text = format!(
            "SELECT seq || ' ' || {columns} FROM {table} WHERE device = {} AND log = {} \
             AND seq <= {HONEST} ORDER BY seq",
            DEVICE.0, LOG.0
        );
        let mut statement = conn.prepare(&text).unwrap();
        let rows = statement.query_map([], |row| row.get::<_, String>(0)).unwrap();
        all.extend(rows.map(|row| format!("{table} {}", row.unwrap())));
    }
    all
}

/// Whether these very bytes are stored, under whatever log.
fn holds_all(path: &Path, truth: &Truth) -> bool {
    let conn = Connection::open(path).unwrap();
    let text = "SELECT count(*) FROM (SELECT bytes FROM sealed UNION SELECT bytes FROM conflict) \
                WHERE bytes = ?1";
    let mut statement = conn.prepare(text).unwrap();
    truth
        .records
        .iter()
        .all(|one| statement.query_row([one.as_bytes()], |row| row.get::<_, u32>(0)).unwrap() > 0)
}

/// A database with the honest handheld's first day.
fn first_day(folder: &Path) -> PathBuf {
    let path = folder.join("first.db");
    let mut herd = herd_at(&path);
    let truth = Truth::day(DEVICE, LOG, 12);
    assert_eq!(truth.records.len(), HONEST as usize);
    let mut port = Scripted::new(|id, request| Answer::from(truth.answer(id, request)));
    office::pull(&mut port, &mut herd, &Evening, "", &mut |_, _| {}).unwrap();
    path
}

/// Nobody was told to let go of more than is stored from that handheld.
fn p3(path: &Path, through: Option<Seq>, about: &str) {
    let Some(through) = through else { return };
    let conn = Connection::open(path).unwrap();
    let text = "SELECT coalesce(max(last_seq), 0) FROM covered";
    let last: u32 = conn.query_row(text, [], |row| row.get(0)).unwrap();
    assert!(through.0 <= last, "{about}: P3");
}

#[test]
fn p3_p4_p5_p8_three_hundred_hostile_handhelds() {
    let folder = memory_folder();
    let first = first_day(folder.path());
    let expected = honest_rows(&first);
    assert_eq!(expected.len(), 27 + 12 + 12);
    let path = folder.path().join("herd.db");
    let mut ends: BTreeMap<&str, u32> = BTreeMap::new();
    let mut honest_ends: BTreeMap<&str, u32> = BTreeMap::new();
    let mut most = (0, 0);
    let handhelds = if long() { 3_000 } else { 300 };
    for seed in 0..handhelds {
        for end in ["", "-wal", "-shm"] {
            let _there = std::fs::remove_file(format!("{}{end}", path.display()));
        }
        std::fs::copy(&first, &path).unwrap();
        let mut herd = Database::open(&path).unwrap();
        let about = {
            let hostile = Hostile::of(seed);
            format!("handheld {seed}, {:?} {:?}", hostile.holds, hostile.lies)
        };
        for visit in 0..2 {
            let (hostile, mut answering) = (Hostile::of(seed), Hostile::of(seed + visit * 1_500));
            let mut line = Line::to(&hostile, |id, request| answering.answer(id, request));
            let ended = office::pull(&mut line, &mut herd, &Evening, "", &mut |_, _| {});
            let (bytes, asked) = (line.port.given(), line.port.requests().len());
            assert!(bytes < MOST_BYTES && asked < MOST_QUESTIONS, "{about}: {bytes} {asked}");
            most = (most.0.max(bytes), most.1.max(asked));
            p3(&path, line.port.released(), &about);
            if let Err(error) = &ended {
                assert!(error.to_string().len() > 15, "{about}: {error}");
            }
            *ends.entry(word(&ended)).or_default() += 1;
            let _closed = sound::check(&path);
            assert_eq!(honest_rows(&path), expected, "{about}");
        }
        // The honest one, a day later. Its records are all here, whatever came in between.
        let honest = Truth::day(DEVICE, LOG, 30);
        let mut port = Scripted::new(|id, request| Answer::from(honest.answer(id, request)));
        let ended = office::pull(&mut port, &mut herd, &Evening, "", &mut |_, _| {});
        let released = port.released();
        *honest_ends.entry(word(&ended)).or_default() += 1;
        assert!(ended.is_ok(), "{about}: the honest one is locked out: {}", ended.unwrap_err());
        assert!(holds_all(&path, &honest), "{about}: a record is not stored");
        let last = honest.hello.next.previous();
        assert!(released.is_none_or(|through| through == last), "{about}: {released:?}");
        assert_eq!(honest_rows(&path), expected, "{about}");
        drop(herd);
    }
    eprintln!(
        "{handhelds} handhelds, 2 pulls each: {ends:#?}\nthe honest one then: {honest_ends:#?}"
    );
    eprintln!("most bytes and questions of a pull: {most:?}");
}
