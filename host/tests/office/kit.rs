//! The program, and a database with two days of the demo's farm in it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use serde_json::Value;
use tempfile::TempDir;

/// Exit codes.
pub(crate) const OTHER: i32 = 1;
pub(crate) const WORDS: i32 = 2;
pub(crate) const FILE: i32 = 6;

pub(crate) fn hornrule(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_hornrule"))
        .current_dir(folder)
        .env_remove("HORNRULE_DB")
        .args(words)
        .output()
        .unwrap()
}

/// Runs, and gives what it said.
pub(crate) fn says(folder: &Path, words: &[&str]) -> String {
    let output = hornrule(folder, words);
    let wrong = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{words:?}: {wrong}");
    String::from_utf8(output.stdout).unwrap()
}

/// Runs, and gives its one JSON value.
pub(crate) fn json(folder: &Path, words: &[&str]) -> Value {
    serde_json::from_str(&says(folder, words)).unwrap()
}

/// Runs, and holds exit code and sentence to what is expected.
pub(crate) fn fails(folder: &Path, words: &[&str], code: i32, parts: &[&str]) {
    let output = hornrule(folder, words);
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{words:?}: {said}");
    for part in parts {
        assert!(said.contains(part), "{words:?} does not say `{part}`: {said}");
    }
    assert!(!said.contains("panicked"), "{said}");
}

/// The demo, played once for all tests.
fn played() -> &'static PathBuf {
    static PLAYED: OnceLock<(TempDir, PathBuf)> = OnceLock::new();
    let (_, db) = PLAYED.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        says(folder.path(), &["demo", "--dir", "demo"]);
        let db = folder.path().join("copy.db");
        says(folder.path(), &["--db", "demo/herd.db", "backup", "copy.db"]);
        (folder, db)
    });
    db
}

/// A folder with `hornrule.db`: Alder Brook, 26 cows, visits on 2026-03-03 and 2026-03-17.
pub(crate) fn two_days() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(played(), folder.path().join("hornrule.db")).unwrap();
    folder
}
