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

/// What each version wrote, a folder each.
const VERSIONS: [&str; 2] = ["0.1.0", "schema-5"];

fn version(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().join("tests/frozen").join(name)
}

fn frozen() -> PathBuf {
    version("0.1.0")
}

/// A folder with copies of these files.
fn copies(files: &[&str]) -> TempDir {
    copies_of(&frozen(), files)
}

/// A folder with copies of these files of a version.
fn copies_of(version: &Path, files: &[&str]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for file in files {
        let name = Path::new(file).file_name().unwrap();
        fs::copy(version.join(file), folder.path().join(name)).unwrap();
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
    if name == "office" && folder.join("office.toml").exists() {
        all.extend(["--config", "office.toml"]);
    }
    all.extend(words);
    says(folder, &all)
}

#[test]
fn the_files_are_those_that_were_frozen() {
    for name in VERSIONS {
        let root = version(name);
        let sums = fs::read_to_string(root.join("SHA256SUMS")).unwrap();
        let mut listed = BTreeSet::new();
        for line in sums.lines() {
            let (sum, file) = line.split_once("  ").unwrap();
            assert_eq!(digest::sha256(&fs::read(root.join(file)).unwrap()), sum, "{name}/{file}");
            listed.insert(file.to_owned());
        }
        let mut there = BTreeSet::new();
        below(&root, &root, &mut there);
        there.remove("SHA256SUMS");
        assert_eq!(there, listed, "{name}");
    }
}

fn below(root: &Path, folder: &Path, files: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            below(root, &path, files);
        } else {
            let parts: Vec<_> = path
                .strip_prefix(root)
                .unwrap()
                .iter()
                .map(|part| part.to_string_lossy())
                .collect();
            files.insert(parts.join("/"));
        }
    }
}
