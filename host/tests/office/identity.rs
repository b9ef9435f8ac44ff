//! Two handhelds under one name, as a person at the desk meets them; and how virtual ones get theirs.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::kit::{DATABASE, HANDHELD, Handheld, OTHER, command, fails, hornrule, json, says};

const FIRST: &str = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n\
    keys COW 27 COW RH FIND 13 2\nkeys COW 31 COW LH FIND 00\n";
const SECOND: &str = "at 2026-03-03 08:00\npower on\nwait 5s\noffice clock\nkeys COW 01 COW\n\
    keys COW 46 COW LH FIND 22 1\nkeys COW 58 COW LH FIND 31 2\nkeys COW 12 COW RF FIND 15 3\n";
const PLUGGED_IN: &str = "2026-03-03T18:00:00Z";
const NAME: [&str; 4] = ["--device", "c0ffee0000000001", "--log", "a1de0001"];

/// Plays a story on a flash file, and ends.
fn play(folder: &Path, flash: &str, story: &str, name: &[&str]) {
    fs::write(folder.join("day.story"), story).unwrap();
    let words = ["handheld", "--flash", flash, "--story", "day.story", "--tcp", "127.0.0.1:0"];
    says(folder, &[&words[..], name].concat());
}

fn plugged_in(folder: &Path, flash: &str) -> Handheld {
    Handheld::on(folder, flash, &["--baud", "4000000", "--now", PLUGGED_IN])
}

fn pull(handheld: &Handheld) -> [&str; 6] {
    ["--pretend-now", PLUGGED_IN, "pull", "--port", &handheld.port, "--json"]
}

#[test]
fn two_handhelds_under_one_name() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let list = "number\n27\n31\n46\n58\n12\n";
    fs::write(folder.join("cows.csv"), list).unwrap();
    let herd = ["--herd", "Alder Brook", "--farm", "1", "--zone", "Europe/Dublin", "--yes"];
    says(folder, &[&["herd", "import", "cows.csv"][..], &herd].concat());
    for (flash, story) in [("first.flash", FIRST), ("second.flash", SECOND)] {
        play(folder, flash, story, &NAME);
    }
    let first = plugged_in(folder, "first.flash");
    assert_eq!(json(folder, &pull(&first))["standing"], "new");
    drop(first);
    let before = says(folder, &["report", "visit", "--herd", "Alder Brook", "--json"]);

    let second = plugged_in(folder, "second.flash");
    let words = &pull(&second)[..5];
    let output = hornrule(folder, words);
    let text = String::from_utf8(output.stdout).unwrap();
    let wrong = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(HANDHELD), "{text}{wrong}");
    assert!(wrong.contains("does not hold what is stored under its name"), "{wrong}");
    for part in ["kept aside", "CONFLICT", "released  nothing", "hornrule aside take"] {
        assert!(text.contains(part), "does not say `{part}`:\n{text}");
    }
    // Every view of the database says so, and what it says to do can be done.
    let doctor = ["doctor", "--port", &second.port];
    fails(folder, &doctor, DATABASE, &["needs attention"]);
    let told = String::from_utf8(hornrule(folder, &doctor).stdout).unwrap();
    assert!(told.contains("BAD   aside"), "{told}");
    let status = says(folder, &["status", "--no-handheld"]);
    assert!(status.contains("CONFLICT") && status.contains("undecided"), "{status}");
    let aside = json(folder, &["aside", "--json"]);
    let log = aside[0]["log"].as_str().unwrap().to_owned();
    assert!(text.contains(&log), "{text}");
    assert_eq!(says(folder, &["report", "visit", "--herd", "Alder Brook", "--json"]), before);
    // Nobody decides without a name and a reason, or about what is not there.
    fails(folder, &["aside", "take", &log], OTHER, &["--who"]);
    let signed = ["--who", "Anna", "--why", "the second chute"];
    fails(
        folder,
        &[&["aside", "take", "12345678"][..], &signed].concat(),
        OTHER,
        &["kept aside", &log],
    );
    says(folder, &[&["aside", "take", &log][..], &signed].concat());
    let visit = json(folder, &["report", "visit", "--herd", "Alder Brook", "--json"]);
    assert_eq!(visit["summary"]["cows_examined"], 5, "{visit}");
    let day: Value = json(folder, &pull(&second));
    assert_eq!((&day["standing"], &day["withheld"]), (&"aside".into(), &false.into()));
    assert!(day["released_through"].as_u64().unwrap() > 6);
    let told = says(folder, &["doctor", "--port", &second.port]);
    assert!(told.contains("taken in by Anna") && !told.contains("BAD"), "{told}");
    let all = says(folder, &["aside"]);
    assert!(all.contains("taken in by Anna (the second chute)"), "{all}");
}

#[test]
fn doctor_says_whether_a_handheld_is_the_one_that_is_stored() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    for (flash, story) in [("first.flash", FIRST), ("second.flash", SECOND)] {
        play(folder, flash, story, &NAME);
    }
    let first = plugged_in(folder, "first.flash");
    json(folder, &pull(&first));
    let told = says(folder, &["doctor", "--port", &first.port]);
    assert!(told.contains("it holds what is stored under its name"), "{told}");
    drop(first);
    let second = plugged_in(folder, "second.flash");
    let told = hornrule(folder, &["doctor", "--port", &second.port]);
    let told = String::from_utf8(told.stdout).unwrap();
    assert!(told.contains("BAD   same"), "{told}");
    assert!(says(folder, &["aside"]).contains("Nothing is kept aside"));
}

#[test]
fn a_virtual_handheld_draws_its_numbers_and_keeps_them() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let mut named = Vec::new();
    for flash in ["a.flash", "b.flash", "a.flash"] {
        play(folder, flash, FIRST, &[]);
        let file = flash.replace("flash", "device");
        named.push(fs::read_to_string(folder.join(file)).unwrap());
    }
    assert_ne!(named[0], named[1]);
    assert_eq!(named[0], named[2], "the second start is the same handheld");
    assert_eq!(named[0].trim().len(), 16);
    // The office meets two handhelds with two logs, and takes both in.
    for flash in ["a.flash", "b.flash"] {
        let mut handheld = command(folder);
        let words = ["handheld", "--flash", flash, "--tcp", "127.0.0.1:0", "--baud", "4000000"];
        let handheld = Handheld::started(handheld.args(words));
        assert_eq!(json(folder, &pull(&handheld))["standing"], "new");
    }
    let logs = json(folder, &["status", "--no-handheld", "--json"])["database"]["logs"].clone();
    let logs: Vec<Value> = logs.as_array().unwrap().clone();
    assert_eq!(logs.len(), 2);
    assert_ne!(logs[0]["handheld"], logs[1]["handheld"]);
    assert_ne!(logs[0]["log"], logs[1]["log"]);
    // A file that holds no number is named.
    fs::write(folder.join("a.device"), "moo").unwrap();
    fails(folder, &["handheld", "--flash", "a.flash"], OTHER, &["a.device", "--device"]);
}

#[test]
fn two_virtual_handhelds_on_one_flash_file_are_one_too_many() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let first = plugged_in(folder, "cow.flash");
    let second = ["handheld", "--flash", "cow.flash", "--tcp", "127.0.0.1:0"];
    fails(folder, &second, OTHER, &["cow.flash", "another virtual handheld", "name another file"]);
    drop(first);
    play(folder, "cow.flash", FIRST, &NAME);
}
