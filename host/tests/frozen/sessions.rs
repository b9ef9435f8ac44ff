//! Recorded pulls replay into the same records and rows.

use std::fs;
use std::path::Path;

use rusqlite::Connection;
use serde_json::Value;

use crate::{copies, digest, frozen, says};

/// Replays a session into a database, at the moment the cable was plugged in then.
fn replay(folder: &Path, db: &str, session: &str) -> String {
    let times = fs::read_to_string(frozen().join("session/plugged-in.txt")).unwrap();
    let at = times.lines().find_map(|line| line.strip_prefix(session)).unwrap().trim().to_owned();
    let port = format!("replay:{session}");
    says(folder, &["--db", db, "--pretend-now", &at, "pull", "--port", &port])
}

/// The records in a database, as `NAME.records.txt` has them.
fn records(path: &Path) -> Vec<String> {
    let conn = Connection::open(path).unwrap();
    let mut statement = conn.prepare("SELECT seq, bytes FROM sealed ORDER BY seq").unwrap();
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    rows.map(|row| {
        let (seq, bytes): (i64, Vec<u8>) = row.unwrap();
        let bytes: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        format!("{seq}\t{bytes}")
    })
    .collect()
}

fn listed(name: &str) -> Vec<String> {
    let text = fs::read_to_string(frozen().join(format!("flash/{name}.records.txt"))).unwrap();
    text.lines().map(str::to_owned).collect()
}

#[test]
fn the_demos_days_give_its_rows() {
    let folder = copies(&["alder-brook.csv", "session/day-1.session", "session/day-2.session"]);
    let folder = folder.path();
    let herd = ["--herd", "Alder Brook", "--farm", "1", "--zone", "Europe/Dublin", "--yes"];
    let import = [&["--db", "again.db", "herd", "import", "alder-brook.csv"][..], &herd].concat();
    says(folder, &import);
    says(folder, &["--db", "again.db", "gauge", "75.00", "--handheld", "c0ffee0000000001"]);
    for session in ["day-1.session", "day-2.session"] {
        replay(folder, "again.db", session);
    }
    assert_eq!(records(&folder.join("again.db")), listed("demo"));
    let counts: Value =
        serde_json::from_str(&fs::read_to_string(frozen().join("counts.json")).unwrap()).unwrap();
    let wrong = digest::differs(&counts["herd.db"], &folder.join("again.db"), true);
    assert_eq!(wrong, Vec::<String>::new());
    // A second replay brings nothing.
    replay(folder, "again.db", "day-2.session");
    assert_eq!(records(&folder.join("again.db")), listed("demo"));
}

#[test]
fn the_others_give_their_records() {
    let sessions = ["session/codes-1.session", "session/full-1.session", "session/full-2.session"];
    let folder = copies(&sessions);
    let folder = folder.path();
    replay(folder, "codes.db", "codes-1.session");
    assert_eq!(records(&folder.join("codes.db")), listed("codes"));
    replay(folder, "full.db", "full-1.session");
    assert_eq!(records(&folder.join("full.db")), listed("full"));
    replay(folder, "full.db", "full-2.session");
    let all = records(&folder.join("full.db"));
    let lapped = listed("lapped");
    assert_eq!(all.len(), 206);
    assert!(all.ends_with(&lapped), "the second pull ends with what was on the flash then");
}
