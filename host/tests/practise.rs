//! `hornrule practise` as a whole binary, without a terminal.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn practise(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_hornrule"))
        .current_dir(folder)
        .arg("practise")
        .args(words)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn keys_are_said_to_the_core_and_judged_by_its_flash() {
    let folder = tempfile::tempdir().unwrap();
    let course = ["--lesson", "corrections", "--seed", "5", "--count", "1"];
    let listed = practise(folder.path(), &["--lesson", "corrections", "--seed", "5", "--list"]);
    assert!(text(&listed.stdout).contains("UNDO"), "{}", text(&listed.stdout));

    // No key says it: the exercise is not right, and the exit code says so.
    let wrong = practise(folder.path(), &[&course[..], &["--keys", "5"]].concat());
    assert_eq!(wrong.status.code(), Some(1));
    let said = text(&wrong.stdout);
    assert!(said.contains("slip      A digit begins no sentence"), "{said}");
    assert!(said.contains("red    "), "{said}");

    // Each exercise of the list is right with the keys that the list shows.
    let listed = practise(folder.path(), &["--lesson", "scores", "--seed", "5", "--list"]);
    let listed = text(&listed.stdout);
    let keys: Vec<&str> = listed
        .lines()
        .filter_map(|line| line.trim().strip_prefix("keys "))
        .map(str::trim)
        .collect();
    assert_eq!(keys.len(), 4, "{listed}");
    for key in &keys {
        assert!(key.starts_with("SCORE "), "{key}");
    }
}

#[test]
fn scores_are_kept_only_where_asked() {
    let folder = tempfile::tempdir().unwrap();
    let words = ["--lesson", "cows", "--seed", "2", "--count", "1", "--json", "--keys"];
    let rows = |keys: &str, more: &[&str]| {
        let output = practise(folder.path(), &[&words[..], &[keys], more].concat());
        serde_json::from_slice::<serde_json::Value>(&output.stdout).unwrap()
    };
    let asked = rows("COW COW", &[]);
    let exercise = asked[0]["exercise"].as_str().unwrap();
    assert_eq!(asked[0]["lesson"], "cows", "{exercise}");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is kept unasked");
    rows("COW COW", &["--log", "practice.csv"]);
    rows("COW 5 COW", &["--log", "practice.csv"]);
    let log = fs::read_to_string(folder.path().join("practice.csv")).unwrap();
    let lines: Vec<&str> = log.lines().collect();
    assert_eq!(lines.len(), 3, "a heading and two lines: {log}");
    assert!(lines[0].starts_with("begun;lesson;done;seconds"));
    assert!(lines[1].contains(";cows;"), "{log}");
}

#[test]
fn what_cannot_be_is_said() {
    let folder = tempfile::tempdir().unwrap();
    for (words, code, says) in [
        (&["--keys", "RH TRIM"][..], 1, "`TRIM` is no key"),
        (&["--lesson", "hooves"], 2, "lessons are cows, findings"),
        (&[], 1, "no terminal to practise in"),
        (&["--log", "no/such/folder.csv", "--keys", "1"], 1, "no/such/folder.csv"),
        (&["--json"], 2, "--keys"),
    ] {
        let output = practise(folder.path(), words);
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(code), "{words:?}: {said}");
        assert!(said.contains(says), "{words:?}: {said}");
    }
    let list = text(&practise(folder.path(), &["--list"]).stdout);
    insta::assert_snapshot!("lessons", list);
}
