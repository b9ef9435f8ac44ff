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

/// Ten cows, keyed as the list shows it, counted and told; in both languages.
#[test]
fn a_timed_day_is_counted_and_told() {
    let folder = tempfile::tempdir().unwrap();
    for (language, keys_of, told) in [
        ("en", "    keys  ", ["10 of 10 cows done: 1", "3 to 12 s a cow", "80 cows"]),
        ("de", "    Tasten  ", ["10 von 10 Kühen fertig: 1", "3 bis 12 s je Kuh", "80 Kühen"]),
    ] {
        let words = ["--day", "--seed", "8", "--language", language];
        let (listed, code) = practise(folder.path(), &[&words[..], &["--list"]].concat());
        assert_eq!(code, Some(0), "{listed}");
        let keys: Vec<&str> =
            listed.lines().filter_map(|line| line.strip_prefix(keys_of)).collect();
        assert_eq!(keys.len(), 10, "{listed}");
        let (said, code) =
            practise(folder.path(), &[&words[..], &["--keys", &keys.join(" ")]].concat());
        assert_eq!(code, Some(0), "{said}");
        for what in told {
            assert!(said.contains(what), "{what}: {said}");
        }
        let json = [&words[..], &["--json", "--log", "day.csv", "--keys", keys[0]]].concat();
        let (said, code) = practise(folder.path(), &json);
        let rows: Value = serde_json::from_str(&said).unwrap();
        assert_eq!((rows[0]["lesson"].as_str(), code), (Some("day"), Some(0)), "{said}");
    }
    let log = fs::read_to_string(folder.path().join("day.csv")).unwrap();
    assert_eq!(log.matches(";day;yes;").count(), 2, "{log}");
    let (help, _) = practise(folder.path(), &["--language", "de", "--help"]);
    assert!(help.contains("Aufruf: hornrule practise") && !help.contains("Usage"), "{help}");
    let (help, _) = practise(folder.path(), &["--help"]);
    assert!(help.contains("Usage: hornrule practise") && help.contains("Example:"), "{help}");
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
    refused(&["--day", "--lesson", "feet"], WORDS, "--lesson");
    refused(&["--language", "fr"], WORDS, "en and de");
    insta::assert_snapshot!("lessons", says(folder.path(), &["practise", "--list"]));
}
