//! What shipped opens for ever: `tests/frozen/README.md` says what must hold. Tests work on copies.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

mod databases;
mod digest;
mod exports;
mod flash;
mod sessions;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

/// Databases of 0.1.0, the day on which its exports were asked for, and the farm asked about.
const ASKED: [(&str, &str, &str); 3] = [
    ("herd", "2026-03-18", "Alder Brook"),
    ("season", "2026-03-03", "Stony Ford"),
    ("office", "2026-03-28", "Alder Brook"),
];

fn frozen() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().join("tests/frozen/0.1.0")
}

/// A folder with copies of these files.
fn copies(files: &[&str]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for file in files {
        let name = Path::new(file).file_name().unwrap();
        fs::copy(frozen().join(file), folder.path().join(name)).unwrap();
    }
    folder
}

/// Runs the program in a folder; gives what it said.
fn says(folder: &Path, words: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_hornrule"))
        .current_dir(folder)
        .env_remove("HORNRULE_DB")
        .env_remove("HORNRULE_WHO")
        .args(words)
        .output()
        .unwrap();
    let wrong = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{words:?}: {wrong}");
    String::from_utf8(output.stdout).unwrap()
}

/// Runs it on a database of these, in force as its office had it, on the day of its exports.
fn asks(folder: &Path, (name, day, _): (&str, &str, &str), words: &[&str]) -> String {
    let (db, now) = (format!("{name}.db"), format!("{day}T18:00:00Z"));
    let mut all = vec!["--db", &db, "--pretend-now", &now];
    if name == "office" {
        all.extend(["--config", "office.toml"]);
    }
    all.extend(words);
    says(folder, &all)
}

#[test]
fn the_files_are_those_that_were_frozen() {
    let sums = fs::read_to_string(frozen().join("SHA256SUMS")).unwrap();
    let mut listed = BTreeSet::new();
    for line in sums.lines() {
        let (sum, file) = line.split_once("  ").unwrap();
        assert_eq!(digest::sha256(&fs::read(frozen().join(file)).unwrap()), sum, "{file}");
        listed.insert(file.to_owned());
    }
    let mut there = BTreeSet::new();
    below(&frozen(), &mut there);
    there.remove("SHA256SUMS");
    assert_eq!(there, listed);
}

fn below(folder: &Path, files: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            below(&path, files);
        } else {
            let parts: Vec<_> = path
                .strip_prefix(frozen())
                .unwrap()
                .iter()
                .map(|part| part.to_string_lossy())
                .collect();
            files.insert(parts.join("/"));
        }
    }
}
