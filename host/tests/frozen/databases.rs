//! Databases open, are migrated, are whole, and answer.

use std::fs;

use serde_json::Value;

use crate::{ASKED, asks, copies_of, digest};

/// Verbs that read, each with words that every database answers.
const READS: [&[&str]; 8] = [
    &["status", "--no-handheld"],
    &["review", "list"],
    &["rules"],
    &["blocks"],
    &["healing"],
    &["growth"],
    &["agreement"],
    &["due"],
];

/// Which databases a version left, and its numbers of rules where they are not the usual.
fn left_by(version: &str) -> (Vec<&'static str>, &'static [&'static str]) {
    match version {
        "0.1.0" => (vec!["herd", "season", "office"], &["office.toml"]),
        _ => (vec!["herd", "office"], &[]),
    }
}

#[test]
fn they_open_are_migrated_and_answer() {
    for version in crate::VERSIONS {
        let root = crate::version(version);
        let counts: Value =
            serde_json::from_str(&fs::read_to_string(root.join("counts.json")).unwrap()).unwrap();
        let (names, beside) = left_by(version);
        for asked in ASKED.into_iter().filter(|(name, ..)| names.contains(name)) {
            let (name, day, farm) = asked;
            let file = format!("{name}.db");
            let folder = copies_of(&root, &[&[file.as_str()][..], beside].concat());
            let folder = folder.path();
            let label = format!("{version}/{name}");
            let well = asks(folder, asked, &["doctor", "--no-handheld"]);
            assert!(!well.contains("BAD"), "{label}: {well}");
            for words in READS {
                assert!(!asks(folder, asked, words).trim().is_empty(), "{label}: {words:?}");
            }
            let visits = asks(folder, asked, &["report", "visit", "--herd", farm]);
            assert!(visits.contains(farm), "{label}: {visits}");
            let page = asks(folder, asked, &["report", "farm", "--herd", farm]);
            assert!(page.contains(farm), "{label} on {day}: {page}");
            let same = || digest::differs(&counts[&file], &folder.join(&file), false);
            assert_eq!(same(), Vec::<String>::new(), "{label}, migrated");
            let rebuilt = asks(folder, asked, &["rebuild"]);
            assert_eq!(same(), Vec::<String>::new(), "{label}, rebuilt: {rebuilt}");
        }
    }
}

/// What a farm's key was until version 5 it was always.
#[test]
fn the_key_of_a_farm_becomes_its_standing_key() {
    let root = crate::version("schema-5");
    let folder = copies_of(&root, &["office.db"]);
    let asked = ("office", "2026-03-28", "Alder Brook");
    let herds = asks(folder.path(), asked, &["herd", "list", "--json"]);
    let herds: Value = serde_json::from_str(&herds).unwrap();
    let keys: Vec<(&str, Option<u64>)> = herds
        .as_array()
        .unwrap()
        .iter()
        .map(|herd| (herd["herd"].as_str().unwrap(), herd["farm"].as_u64()))
        .collect();
    assert_eq!(keys, [("Alder Brook", Some(1)), ("Tarn Edge", Some(2)), ("Long Fen", None)]);
}
