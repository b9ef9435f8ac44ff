//! Files and words that are given: what is no file is not waited for, and nothing is endless.

use std::fs::{self, File};
use std::path::Path;

use crate::kit::{FILE, OTHER, WORDS, fails, says, two_days};

/// Every verb that reads a file whose name a person gives; the name comes last.
const READERS: &[&[&str]] = &[
    &["rules", "--config"],
    &["due", "--config"],
    &["herd", "import", "--herd", "x"],
    &["import", "ade", "--herd", "x"],
    &["bill", "draft", "--prices"],
    &["study", "check"],
    &["export", "ade", "--herd", "Alder Brook", "--out", "day.json", "--earlier"],
    #[cfg(feature = "virtual")]
    &["handheld", "--flash", "f", "--story"],
];

/// A sparse file of this many bytes.
fn long(file: &Path, bytes: u64) {
    File::create(file).unwrap().set_len(bytes).unwrap();
}

#[cfg(unix)]
#[test]
fn what_is_no_file_is_refused_at_once() {
    let folder = two_days();
    let at = folder.path();
    fs::create_dir(at.join("folder")).unwrap();
    let made = std::process::Command::new("mkfifo").arg(at.join("pipe")).status().unwrap();
    assert!(made.success());
    for reader in READERS {
        for (name, what) in
            [("pipe", "is a pipe"), ("folder", "is a folder"), ("/dev/zero", "is a device")]
        {
            // A verb that waited for the pipe would never end.
            fails(at, &[reader, &[name][..]].concat(), FILE, &[name, what]);
        }
    }
    for name in ["pipe", "folder", "/dev/zero"] {
        let replay = format!("replay:{name}");
        fails(at, &["pull", "--port", &replay], FILE, &[name, "not a file"]);
        fails(at, &["--db", name, "due"], 5, &[name, "not a database file"]);
    }
    // Beside the database and not named on the command line.
    fs::rename(at.join("pipe"), at.join("hornrule.toml")).unwrap();
    fails(at, &["due"], FILE, &["hornrule.toml", "is a pipe"]);
    fs::remove_file(at.join("hornrule.toml")).unwrap();
    fs::create_dir(at.join("prices.toml")).unwrap();
    fails(at, &["bill", "draft"], FILE, &["prices.toml", "is a folder"]);
}

#[test]
fn files_have_an_end() {
    let folder = two_days();
    let at = folder.path();
    long(&at.join("hand"), (1 << 20) + 1);
    long(&at.join("list"), (16 << 20) + 1);
    long(&at.join("program"), (256 << 20) + 1);
    for reader in READERS {
        let file = match reader[..2] {
            ["herd", _] => "list",
            ["import" | "export", _] => "program",
            _ => "hand",
        };
        fails(at, &[reader, &[file][..]].concat(), FILE, &[file, "is larger than"]);
    }
    fails(at, &["pull", "--port", "replay:program"], FILE, &["program", "is larger than"]);
}

#[test]
fn text_that_is_kept_is_one_line_of_a_bounded_length() {
    let folder = two_days();
    let at = folder.path();
    let (name, note) = ("n".repeat(101), "n".repeat(501));
    let mark = ["herd", "mark", "58", "--do-not-trim"];
    let done = ["due", "done", "58", "--duty", "trim"];
    let decide = ["review", "decide", "--accept"];
    fs::write(at.join("cows.csv"), "number\n12\n").unwrap();
    for verb in [&mark[..], &done, &decide] {
        let who = [verb, &["--who", &name, "--why", "x"]].concat();
        fails(at, &who, WORDS, &["101 letters", "100 is the most"]);
        let why = [verb, &["--who", "Anna", "--why", &note]].concat();
        fails(at, &why, WORDS, &["501 letters", "500 is the most"]);
        let control = [verb, &["--who", "An\u{1b}[2Jna", "--why", "x"]].concat();
        fails(at, &control, WORDS, &["U+001B"]);
    }
    for words in [
        &["herd", "import", "cows.csv", "--herd", &name][..],
        &["trial", "1", &name],
        &["herd", "set", "--address", &note],
        &["bill", "credit", "2026-0001", "--who", "Anna", "--why", &note],
    ] {
        fails(at, words, WORDS, &["is the most"]);
    }
    // In files.
    let list = |cell: &str| format!("number,name\n12,{cell}\n");
    for (cell, told) in [
        (name.as_str(), "longer than 100"),
        ("Ber\u{1b}[31mta", "control character"),
        ("Ber\u{202e}ta", "control character"),
        ("\"Ber\nta\"", "more than one line"),
    ] {
        fs::write(at.join("cows.csv"), list(cell)).unwrap();
        let words = ["herd", "import", "cows.csv", "--herd", "x"];
        fails(at, &words, FILE, &["cows.csv", "name", told]);
    }
    let prices = include_str!("../../demo/prices.toml");
    fs::write(at.join("prices.toml"), format!("note = \"{note}\"\n{prices}")).unwrap();
    fails(at, &["bill", "draft"], FILE, &["prices.toml", "500 letters"]);
    says(at, &["study", "new", "wall.toml"]);
    let study = fs::read_to_string(at.join("wall.toml")).unwrap();
    let named = study.lines().find(|line| line.starts_with("name = ")).unwrap();
    fs::write(at.join("wall.toml"), study.replace(named, &format!("name = \"{note}\""))).unwrap();
    fails(at, &["study", "check", "wall.toml"], FILE, &["wall.toml", "500 letters"]);
}

#[test]
fn a_missing_file_is_missing() {
    let folder = two_days();
    let words = ["herd", "import", "none.csv", "--herd", "x"];
    fails(folder.path(), &words, OTHER, &["none.csv", "check the path"]);
}
