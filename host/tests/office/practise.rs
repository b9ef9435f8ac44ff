//! `hornrule practise` without a terminal.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::kit::{OTHER, WORDS, fails, hornrule, says};

/// What it prints, and its exit code: keys that are not yet right are printed too.
fn practise(folder: &Path, words: &[&str]) -> (String, Option<i32>) {
    let output = hornrule(folder, &[&["practise"], words].concat());
    (String::from_utf8(output.stdout).unwrap(), output.status.code())
}

#[test]
fn keys_are_said_to_the_core_and_judged_by_its_flash() {
    let folder = tempfile::tempdir().unwrap();
    let course = ["--lesson", "corrections", "--seed", "5", "--count", "1"];
    let (listed, _) =
        practise(folder.path(), &["--lesson", "corrections", "--seed", "5", "--list"]);
    assert!(listed.contains("UNDO"), "{listed}");

    // No key says it: the exercise is not right, and the exit code says so.
    let (said, code) = practise(folder.path(), &[&course[..], &["--keys", "5"]].concat());
    assert_eq!(code, Some(OTHER));
    assert!(said.contains("slip      A digit begins no sentence"), "{said}");
    assert!(said.contains("red    "), "{said}");

    // An exercise is right with the keys that the list shows for it.
    let (listed, _) = practise(folder.path(), &["--lesson", "scores", "--seed", "5", "--list"]);
    assert_eq!(listed.matches("keys  ").count(), 4, "{listed}");
    let words = ["--lesson", "scores", "--seed", "5", "--count", "1", "--keys"];
    let (asked, _) = practise(folder.path(), &[&words[..], &["COW COW"]].concat());
    let exercise = asked.lines().next().unwrap();
    let of = listed.split(exercise).nth(1).unwrap();
    let keys = of.lines().find_map(|line| line.trim().strip_prefix("keys  ")).unwrap();
    let (said, code) = practise(folder.path(), &[&words[..], &[keys]].concat());
    assert_eq!(code, Some(0), "{exercise} {keys}: {said}");
    assert!(said.contains("right     "), "{said}");
}

#[test]
fn scores_are_kept_only_where_asked() {
    let folder = tempfile::tempdir().unwrap();
    let words = ["--lesson", "cows", "--seed", "2", "--count", "1", "--json", "--keys"];
    let rows = |keys: &str, more: &[&str]| {
        let (said, _) = practise(folder.path(), &[&words[..], &[keys], more].concat());
        serde_json::from_str::<Value>(&said).unwrap()
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
    let refused = |words: &[&str], code, says| {
        fails(folder.path(), &[&["practise"], words].concat(), code, &[says]);
    };
    refused(&["--keys", "RH TRIM"], OTHER, "`TRIM` is no key");
    refused(&["--lesson", "hooves"], WORDS, "lessons are cows, findings");
    refused(&[], OTHER, "needs a terminal");
    refused(&["--log", "no/such/folder.csv", "--keys", "1"], OTHER, "no/such/folder.csv");
    refused(&["--json"], WORDS, "--keys");
    insta::assert_snapshot!("lessons", says(folder.path(), &["practise", "--list"]));
}
