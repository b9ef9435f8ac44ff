//! Databases open, are migrated, are whole, and answer.

use std::fs;

use serde_json::Value;

use crate::{ASKED, asks, copies, digest, frozen};

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

#[test]
fn they_open_are_migrated_and_answer() {
    let counts: Value =
        serde_json::from_str(&fs::read_to_string(frozen().join("counts.json")).unwrap()).unwrap();
    for asked in ASKED {
        let (name, day, farm) = asked;
        let file = format!("{name}.db");
        let folder = copies(&[&file, "office.toml"]);
        let folder = folder.path();
        let well = asks(folder, asked, &["doctor", "--no-handheld"]);
        assert!(!well.contains("BAD"), "{name}: {well}");
        for words in READS {
            assert!(!asks(folder, asked, words).trim().is_empty(), "{name}: {words:?}");
        }
        let visits = asks(folder, asked, &["report", "visit", "--herd", farm]);
        assert!(visits.contains(farm), "{name}: {visits}");
        let page = asks(folder, asked, &["report", "farm", "--herd", farm]);
        assert!(page.contains(farm), "{name} on {day}: {page}");
        let same = || digest::differs(&counts[&file], &folder.join(&file), false);
        assert_eq!(same(), Vec::<String>::new(), "{name}, migrated");
        let rebuilt = asks(folder, asked, &["rebuild"]);
        assert_eq!(same(), Vec::<String>::new(), "{name}, rebuilt: {rebuilt}");
    }
}
