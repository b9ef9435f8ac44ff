//! Which code may know which. The table is in `ARCHITECTURE.md`; this test checks the code against
//! it: crates by their dependencies, modules ("rooms") by the paths their sources name.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use cargo_metadata::{DependencyKind, MetadataCommand};

/// Which of our own crates each crate may depend on.
const CRATES: &[(&str, &[&str])] = &[
    ("hornrule-protocol", &[]),
    ("hornrule-core", &["hornrule-protocol"]),
    ("hornrule-shell", &["hornrule-core", "hornrule-protocol"]),
    ("hornrule-testkit", &["hornrule-core", "hornrule-protocol"]),
    ("hornrule-board-sim", &["hornrule-core", "hornrule-protocol", "hornrule-testkit"]),
    ("hornrule", &["hornrule-board-sim", "hornrule-core", "hornrule-pdf", "hornrule-protocol"]),
    ("hornrule-pdf", &[]),
    (
        "hornrule-tests",
        &[
            "hornrule",
            "hornrule-board-sim",
            "hornrule-core",
            "hornrule-protocol",
            "hornrule-testkit",
        ],
    ),
    (
        "hornrule-tests-emu",
        &[
            "hornrule",
            "hornrule-board-sim",
            "hornrule-core",
            "hornrule-protocol",
            "hornrule-testkit",
        ],
    ),
];

/// Words that no source of a room may contain outside comments: (folder or file, forbidden words).
const ROOMS: &[(&str, &[&str])] = &[
    ("protocol/src", &["hornrule_core", "std::", "Instant", "SystemTime"]),
    ("firmware/core/src", &["std::", "embassy", "hornrule_testkit", "unsafe ", "f32", "f64"]),
    ("firmware/core/src/calliper", &["crate::keypad", "crate::log", "crate::chute", "crate::link"]),
    ("firmware/core/src/keypad", &["crate::chute", "crate::calliper", "crate::log", "protocol"]),
    ("firmware/core/src/chute", &["crate::log", "crate::link", "crate::calliper", "NorFlash"]),
    (
        "firmware/core/src/log",
        &["crate::chute", "crate::link", "protocol::record", "Entry", "protocol::open"],
    ),
    ("firmware/core/src/link", &["crate::log", "crate::chute", "NorFlash", "Entry"]),
    ("firmware/core/src/plan", &["crate::keypad", "crate::log", "crate::link", "Entry"]),
    ("host/src/calliper", &["rusqlite", "println", "crate::cli", "crate::inbox", "Instant"]),
    ("host/src/plan", &["rusqlite", "println", "crate::cli", "crate::inbox"]),
    ("firmware/core/src/cue.rs", &["crate::"]),
    (
        "firmware/shell/src",
        &["std::", "nrf", "cortex_m", "unsafe ", "embassy_executor", "hornrule_testkit"],
    ),
    ("firmware/board-emu/src", &["std::", "hornrule_testkit", "core::log", "core::link"]),
    ("firmware/testkit/src", &["hornrule::"]),
    ("firmware/board-sim/src", &["hornrule::"]),
    (
        "host/src/port",
        &["crate::herd", "crate::inbox", "crate::intake", "rusqlite", "protocol::record"],
    ),
    (
        "host/src/pull",
        &["crate::herd", "crate::inbox", "crate::intake", "rusqlite", "protocol::open"],
    ),
    (
        "host/src/keying",
        &[
            "hornrule_board_sim",
            "crate::herd",
            "crate::report",
            "rusqlite",
            "println",
            "crate::cli",
        ],
    ),
    (
        "host/src/practise",
        &["hornrule_board_sim", "ratatui", "Instant", "rusqlite", "println", "crate::cli"],
    ),
    (
        "host/src/study",
        &[
            "crate::port",
            "crate::pull",
            "crate::report",
            "rusqlite",
            "println",
            "crate::cli",
            "fs::",
        ],
    ),
    ("host/src/inbox", &["crate::intake", "crate::port", "Entry", "rules"]),
    ("host/src/intake", &["crate::port", "rusqlite", "println", "crate::cli"]),
    ("host/src/herd", &["crate::port", "crate::pull::run", "crate::cli", "println"]),
    ("host/src/bill", &["crate::port", "crate::pull", "rusqlite", "println", "crate::cli"]),
    ("host/src/due", &["crate::port", "crate::pull", "rusqlite", "println", "crate::cli"]),
    (
        "host/src/words",
        &["crate::report", "crate::intake", "crate::port", "rusqlite", "println", "crate::cli"],
    ),
    ("host/pdf/src", &["hornrule::", "hornrule_", "std::fs", "println", "SystemTime"]),
    ("host/src/report", &["crate::port", "crate::pull", "rusqlite", "println", "crate::cli"]),
    ("host/src/report/farm/cases.rs", &["crate::words", "crate::evidence", "Herd,"]),
    ("host/src/report/farm/tally.rs", &["crate::words", "crate::evidence", "Herd,"]),
    ("host/src/report/svg", &["crate::"]),
    ("host/src/exchange", &["crate::port", "crate::pull", "println", "crate::cli"]),
    (
        "host/src/evidence",
        &["crate::port", "crate::pull", "crate::report", "crate::cli", "rusqlite", "println"],
    ),
    (
        "host/src/season",
        &["crate::port", "crate::report", "crate::cli", "crate::office", "rusqlite", "println"],
    ),
    (
        "host/src/insight",
        &[
            "crate::herd",
            "crate::inbox",
            "crate::intake",
            "crate::report",
            "crate::cli",
            "rusqlite",
            "std::fs",
            "println",
            "SystemTime",
            "hornrule_protocol",
        ],
    ),
];

/// In the office, only these files may contain these words.
const ONLY: [(&str, &[&str]); 4] = [
    (
        "hornrule_board_sim",
        &[
            "host/src/cli/handheld.rs",
            "host/src/cli/failure.rs",
            "host/src/cli/cues.rs",
            "host/src/cli/practise",
        ],
    ),
    ("ratatui", &["host/src/cli/practise"]),
    ("println!", &["host/src/cli"]),
    ("serialport", &["host/src/port"]),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

/// Every Rust file in a folder and below, or the file itself.
fn sources(below: &Path) -> Vec<PathBuf> {
    if below.is_file() {
        return vec![below.to_owned()];
    }
    let mut found = Vec::new();
    for entry in fs::read_dir(below).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
    found
}

/// The code of a file, without comments and without its unit tests.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let text = text.split("#[cfg(test)]").next().unwrap_or_default();
    text.lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn crates_depend_downwards_only() {
    let metadata =
        MetadataCommand::new().manifest_path(root().join("Cargo.toml")).no_deps().exec().unwrap();
    let allowed: BTreeMap<&str, &[&str]> = CRATES.iter().copied().collect();
    let mut seen = BTreeSet::new();
    for package in &metadata.packages {
        let name = package.name.as_str();
        let may = allowed.get(name);
        assert!(may.is_some(), "{name} is not in the table of who may know whom");
        seen.insert(name.to_owned());
        for dependency in &package.dependencies {
            let ours = dependency.name.starts_with("hornrule");
            if ours && dependency.kind == DependencyKind::Normal {
                assert!(
                    may.unwrap().contains(&dependency.name.as_str()),
                    "{name} must not know {}",
                    dependency.name
                );
            }
        }
    }
    assert_eq!(seen.len(), CRATES.len(), "the table names crates that are gone");
}

#[test]
fn rooms_do_not_name_what_they_must_not_know() {
    for (room, words) in ROOMS {
        let files = sources(&root().join(room));
        assert!(!files.is_empty(), "{room} is gone");
        for file in files.iter().filter(|file| !file.ends_with("tests.rs")) {
            let code = code(file);
            for word in *words {
                let found = code.lines().find(|line| line.contains(word));
                assert!(found.is_none(), "{} names {word}: {found:?}", file.display());
            }
        }
    }
}

#[test]
fn some_words_belong_to_one_room() {
    let office = sources(&root().join("host/src"));
    for (word, rooms) in ONLY {
        let mut named = 0;
        for file in office.iter().filter(|file| !file.ends_with("tests.rs")) {
            if code(file).contains(word) {
                let allowed = rooms.iter().any(|room| file.starts_with(root().join(room)));
                assert!(allowed, "{} names {word}", file.display());
                named += 1;
            }
        }
        assert!(named > 0, "nobody names {word} any more");
    }
}

#[test]
fn main_is_a_skin() {
    for (main, most) in [("host/src/main.rs", 40), ("firmware/board-emu/src/main.rs", 200)] {
        let lines = fs::read_to_string(root().join(main)).unwrap().lines().count();
        assert!(lines < most, "{main} has {lines} lines");
    }
}

/// In the firmware only boards have `unsafe`; on this one each place says why it is sound.
#[test]
fn unsafe_says_why() {
    let mut found = 0;
    for file in sources(&root().join("firmware/board-emu/src")) {
        let text = fs::read_to_string(&file).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            let line = line.split("//").next().unwrap_or_default();
            let reasoned = line.contains("unsafe {") || line.contains("unsafe fn");
            if reasoned || line.contains("unsafe(link_section") {
                let above = &lines[at.saturating_sub(4)..at];
                let said = above.iter().any(|line| line.contains("// SAFETY: "));
                assert!(said, "{}:{} has no SAFETY comment", file.display(), at + 1);
                found += 1;
            }
        }
    }
    assert!(found > 5, "{found} places: the test is blind");
}
