//! Which code may know which. The table is in `ARCHITECTURE.md`; this test checks the code against
//! it: crates by what they are built with, and what Cargo cannot say by words in their sources.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use cargo_metadata::{DependencyKind, MetadataCommand};

/// Which of our own crates each crate needs to build; those of tests alone may know everyone. The fakes
/// (`kit`, `testkit`) stand in no list but their own: no program is built with them.
const CRATES: &[(&str, &[&str])] = &[
    ("protocol", &[]),
    ("core", &["protocol"]),
    ("shell", &["core", "protocol"]),
    ("players", &["core"]),
    ("board-sim", &["core", "players", "protocol"]),
    ("testkit", &["core", "players", "protocol"]),
    ("facts", &["protocol"]),
    ("files", &[]),
    ("insight", &[]),
    ("pdf", &[]),
    ("line", &["core", "facts", "files", "protocol"]),
    ("herd", &["facts", "files", "protocol"]),
    ("intake", &["facts", "herd", "protocol"]),
    ("kit", &["facts", "herd", "intake", "protocol"]),
    ("casebook", &["facts", "protocol"]),
    ("questions", &["casebook", "facts", "herd", "insight", "line", "protocol"]),
    ("exchange", &["casebook", "facts", "herd", "insight", "intake", "protocol", "questions"]),
    ("papers", &["casebook", "core", "facts", "insight", "line", "pdf", "protocol", "questions"]),
    (
        "hornrule",
        &[
            "board-sim",
            "core",
            "exchange",
            "facts",
            "files",
            "herd",
            "insight",
            "intake",
            "line",
            "papers",
            "pdf",
            "protocol",
            "questions",
        ],
    ),
];

/// Crates that hold tests and nothing else.
const TESTS: [&str; 2] = ["tests", "tests-emu"];

/// Libraries that only these crates of ours are built with, tests apart: what a database, a serial port,
/// a command line or a typesetter is, nobody else knows.
const LIBRARIES: &[(&str, &[&str])] = &[
    ("rusqlite", &["herd"]),
    ("serialport", &["line"]),
    ("clap", &["hornrule"]),
    ("ratatui-core", &["hornrule"]),
    ("fluent-bundle", &["papers"]),
    ("typst", &["pdf"]),
    ("parquet", &["exchange"]),
    ("rand_xoshiro", &["insight", "players"]),
];

/// Words that no source of a room may contain outside comments: (folder or file, forbidden words).
const ROOMS: &[(&str, &[&str])] = &[
    ("protocol/src", &["std::", "Instant", "SystemTime"]),
    ("firmware/core/src", &["std::", "embassy", "unsafe ", "f32", "f64"]),
    ("firmware/core/src/calliper", &["crate::keypad", "crate::log", "crate::chute", "crate::link"]),
    ("firmware/core/src/keypad", &["crate::chute", "crate::calliper", "crate::log", "protocol"]),
    ("firmware/core/src/chute", &["crate::log", "crate::link", "crate::calliper", "NorFlash"]),
    (
        "firmware/core/src/log",
        &["crate::chute", "crate::link", "protocol::record", "Entry", "protocol::open"],
    ),
    ("firmware/core/src/link", &["crate::log", "crate::chute", "NorFlash", "Entry"]),
    ("firmware/core/src/plan", &["crate::keypad", "crate::log", "crate::link", "Entry"]),
    ("firmware/core/src/cue", &["crate::"]),
    ("firmware/shell/src", &["std::", "nrf", "cortex_m", "unsafe ", "embassy_executor"]),
    ("firmware/board-emu/src", &["std::", "core::log", "core::link"]),
    ("host/facts/src", &["SystemTime", "Instant", "std::fs"]),
    ("host/files/src", &["SystemTime", "Instant", "hornrule_", "println!"]),
    ("host/insight/src", &["std::fs", "SystemTime"]),
    ("host/line/src/port", &["protocol::record"]),
    ("host/line/src/pull", &["protocol::open"]),
    ("host/line/src/calliper", &["Instant"]),
    ("host/herd/src/inbox", &["Entry", "rules"]),
    ("host/casebook/src", &["SystemTime", "Instant", "std::fs"]),
    ("host/questions/src", &["SystemTime", "Instant", "std::fs"]),
    ("host/exchange/src/study", &["std::fs"]),
    ("host/papers/src", &["hornrule_herd", "SystemTime", "Instant"]),
    ("host/papers/src/svg", &["crate::"]),
    ("host/pdf/src", &["std::fs", "SystemTime"]),
    ("host/src/practise", &["hornrule_board_sim", "ratatui", "Instant", "crate::cli"]),
    ("host/src/season", &["crate::cli", "crate::office"]),
    ("host/src/cli", &["fs::write", "fs::rename", "File::create", "read_to_string", "fs::read("]),
];

/// In the office, only these files may contain these words.
const ONLY: [(&str, &[&str]); 7] = [
    (
        "hornrule_board_sim",
        &[
            "host/src/cli/handheld.rs",
            "host/src/cli/failure.rs",
            "host/src/cli/cues",
            "host/src/cli/practise",
        ],
    ),
    ("ratatui", &["host/src/cli/practise"]),
    ("println!", &["host/src/cli", "host/papers/build.rs"]),
    // One way out to the terminal; the trainer draws on it.
    ("io::stdout", &["host/src/cli/say.rs", "host/src/cli/practise"]),
    // One writer of files.
    ("OpenOptions", &["host/files/src"]),
    ("create_dir", &["host/files/src"]),
    // A look at the tables, for tests.
    (".inspect(", &["host/kit/src/inspect.rs"]),
];

/// Every room of the office.
const OFFICE: [&str; 13] = [
    "host/src",
    "host/facts/src",
    "host/files/src",
    "host/insight/src",
    "host/pdf/src",
    "host/line/src",
    "host/herd/src",
    "host/intake/src",
    "host/kit/src",
    "host/casebook/src",
    "host/questions/src",
    "host/exchange/src",
    "host/papers/src",
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
    // A test module of its own file hides nothing of what follows.
    let text = text.replace("#[cfg(test)]\nmod tests;\n", "");
    let text = text.split("#[cfg(test)]").next().unwrap_or_default();
    text.lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n")
}

fn short(name: &str) -> &str {
    name.strip_prefix("hornrule-").unwrap_or(name)
}

#[test]
fn crates_depend_downwards_only() {
    let metadata =
        MetadataCommand::new().manifest_path(root().join("Cargo.toml")).no_deps().exec().unwrap();
    let allowed: BTreeMap<&str, &[&str]> = CRATES.iter().copied().collect();
    let mut seen = BTreeSet::new();
    for package in &metadata.packages {
        let name = short(&package.name);
        if TESTS.contains(&name) {
            continue;
        }
        let may = allowed.get(name);
        assert!(may.is_some(), "{name} is not in the table of who may know whom");
        seen.insert(name.to_owned());
        let normal = package.dependencies.iter().filter(|one| one.kind == DependencyKind::Normal);
        for needed in normal {
            if needed.name.starts_with("hornrule") {
                let needed = short(&needed.name);
                assert!(may.unwrap().contains(&needed), "{name} must not know {needed}");
            }
            if let Some((_, rooms)) = LIBRARIES.iter().find(|one| one.0 == needed.name) {
                assert!(rooms.contains(&name), "{name} must not be built with {}", needed.name);
            }
        }
    }
    assert_eq!(seen.len(), CRATES.len(), "the table names crates that are gone");
    for (library, _) in LIBRARIES {
        let known = |package: &cargo_metadata::Package| {
            package.dependencies.iter().any(|one| one.name == *library)
        };
        assert!(metadata.packages.iter().any(known), "nobody is built with {library} any more");
    }
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
    let office: Vec<PathBuf> = OFFICE.iter().flat_map(|room| sources(&root().join(room))).collect();
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
