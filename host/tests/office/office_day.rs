//! After the pull: what waits is decided and taken back, the tables are derived again, copied and put
//! back. The whole binary, on the demo's database.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::kit;
use crate::kit::on_demo;

const HELD: &str = "118";
/// The cow it is given to.
const COW: u64 = 31;

fn says(folder: &Path, words: &[&str]) -> String {
    kit::said(on_demo(folder, words), words)
}

/// Refuses with that exit code, naming that.
fn refuses(folder: &Path, words: &[&str], code: i32, naming: &str) {
    kit::failed(on_demo(folder, words), words, code, &[naming]);
}

fn waiting(folder: &Path, filter: &[&str]) -> Vec<(u64, String)> {
    let words = [&["review", "list", "--json"], filter].concat();
    let rows: Value = serde_json::from_str(&says(folder, &words)).unwrap();
    let row = |row: &Value| (row["entry"].as_u64().unwrap(), row["rule"].to_string());
    rows.as_array().unwrap().iter().map(row).collect()
}

/// Readings of the day that the report counts, of all dimensions.
fn readings(folder: &Path) -> u64 {
    let words = ["report", "visit", "--day", "2026-03-03", "--json"];
    let report: Value = serde_json::from_str(&says(folder, &words)).unwrap();
    let count = |length: &Value| {
        let of = |state: &str| length[state]["readings"].as_u64().unwrap_or(0);
        of("before_trimming") + of("after_trimming")
    };
    report["lengths"].as_array().unwrap().iter().map(count).sum()
}

fn demo() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    says(folder.path(), &["demo", "--no-pdf"]);
    folder
}

#[test]
fn a_held_entry_is_decided_and_taken_back() {
    let folder = demo();
    let at = folder.path();
    assert_eq!(waiting(at, &["--held"]).len(), 2, "no cow, no claw");
    let shown = says(at, &["review", "show", HELD]);
    assert!(shown.contains(&format!("\n> {HELD:>6} ")), "marked among its neighbours: {shown}");
    let before = readings(at);
    // Who and why are not left open.
    let cow = COW.to_string();
    refuses(at, &["review", "decide", HELD, "--cow", &cow, "--why", "seen"], 2, "--who");
    refuses(at, &["review", "decide", HELD, "--cow", &cow, "--who", "Anna"], 2, "--why");
    assert_eq!(waiting(at, &["--held"]).len(), 2, "a refused decision decides nothing");
    let by = ["--who", "Anna", "--why", "his note"];
    says(at, &[&["review", "decide", HELD, "--cow", &cow], &by[..]].concat());
    assert_eq!(readings(at), before, "her claw is still open");
    let claw = [&["review", "decide", HELD, "--set", "place=LH outer"], &by[..]].concat();
    let told = says(at, &claw);
    assert!(!told.contains("held "), "{told}");
    assert_eq!(readings(at), before + 1);
    assert_eq!(waiting(at, &["--held"]), []);
    let same = says(at, &["rebuild"]);
    assert!(same.contains("changed   nothing"), "P6: {same}");
    // Decisions are numbered in order: the cow was 1, the claw 2.
    says(at, &[&["review", "take-back", "1", "2"], &by[..]].concat());
    assert_eq!((readings(at), waiting(at, &["--held"]).len()), (before, 2), "P7: as before");
    refuses(at, &[&["review", "take-back", "99"], &by[..]].concat(), 2, "99");
    refuses(at, &["review", "show", "9999"], 1, "9999");
    refuses(at, &["review", "decide", HELD, "--set", "colour=2"], 2, "colour");
}

#[test]
fn a_whole_visit_is_accepted_at_once() {
    let folder = demo();
    let at = folder.path();
    let flagged = waiting(at, &["--flagged"]);
    assert!(flagged.len() >= 5, "{flagged:?}");
    let day = ["--herd", "Alder Brook", "--day", "2026-03-03", "--flagged"];
    let by = ["--accept", "--who", "Anna", "--why", "looked through"];
    says(at, &[&["review", "decide"], &day[..], &by].concat());
    assert_eq!(waiting(at, &["--flagged"]), []);
    assert_eq!(waiting(at, &["--held"]).len(), 2, "only what was asked for");
    let none = says(at, &[&["review", "decide"], &day[..], &by].concat());
    assert!(none.contains("Nothing waits"), "{none}");
}

#[test]
fn numbers_of_rules_come_from_the_file_and_derive_the_tables_again() {
    let folder = demo();
    let at = folder.path();
    let short = |at: &Path| waiting(at, &["--rule", "short-after-trimming"]).len();
    assert_eq!(short(at), 1);
    let listed = says(at, &["rules"]);
    assert!(listed.contains("short-after-trimming"), "{listed}");
    // The cow's claw has 58.90 mm left: below 70, not below 55.
    let file = at.join("hornrule-demo/hornrule.toml");
    fs::write(&file, "[short-after-trimming]\nleast = 55\n").unwrap();
    assert_eq!(short(at), 0);
    fs::write(&file, "[short-after-trimming]\nleast = \"five\"\n").unwrap();
    refuses(at, &["review", "list"], 6, "hornrule.toml");
    fs::remove_file(&file).unwrap();
    assert_eq!(short(at), 1);
}

#[test]
fn a_damaged_database_is_found_and_a_backup_put_back() {
    let folder = demo();
    let at = folder.path();
    says(at, &["backup", "copy.db"]);
    refuses(at, &["backup", "copy.db"], 6, "copy.db");
    let report = says(at, &["report", "visit"]);
    let well = says(at, &["doctor", "--no-handheld"]);
    assert!(well.lines().all(|line| line.starts_with("well")), "{well}");
    // Rows that no record stands behind.
    let db = rusqlite::Connection::open(at.join("hornrule-demo/herd.db")).unwrap();
    db.execute("UPDATE finding SET grade = grade % 3 + 1, seq = seq + 100000", []).unwrap();
    drop(db);
    let found = on_demo(at, &["doctor", "--no-handheld"]);
    let found = String::from_utf8(found.stdout).unwrap();
    assert!(found.lines().any(|line| !line.starts_with("well")), "{found}");
    refuses(at, &["restore", "copy.db"], 6, "--force");
    refuses(at, &["restore", "none.db", "--force"], 5, "none.db");
    fs::write(at.join("text.db"), "not a database at all").unwrap();
    refuses(at, &["restore", "text.db", "--force"], 5, "text.db");
    let restored = says(at, &["restore", "copy.db", "--force"]);
    assert!(restored.contains("before-restore"), "{restored}");
    let well = says(at, &["doctor", "--no-handheld"]);
    assert!(well.lines().all(|line| line.starts_with("well")), "{well}");
    assert_eq!(says(at, &["report", "visit"]), report);
}

#[test]
fn rebuild_cures_tables_that_were_damaged() {
    let folder = demo();
    let at = folder.path();
    let db = rusqlite::Connection::open(at.join("hornrule-demo/herd.db")).unwrap();
    let gone = db.execute("DELETE FROM finding WHERE lesion <> 0", []).unwrap();
    drop(db);
    assert!(gone > 0);
    let rows: Value = serde_json::from_str(&says(at, &["rebuild", "--json"])).unwrap();
    let finding = rows.as_array().unwrap().iter().find(|row| row["table"] == "finding").unwrap();
    assert_eq!(finding["new"].as_u64(), u64::try_from(gone).ok());
    assert!(says(at, &["rebuild"]).contains("changed   nothing"));
}
