//! `host/THIRD-PARTY.md`, which `hornrule licences` prints, is held to what the programs are built
//! from. After a change of dependencies it is written anew:
//!
//! ```text
//! HORNRULE_WRITE=1 cargo test -p hornrule-tests --test dependencies
//! ```

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use cargo_metadata::Package;

use crate::packages::{BOARDS, here, locked, resolved, root, shipped};

const FILE: &str = "host/THIRD-PARTY.md";

/// Platforms of the office that the file speaks of. A test sees the one it runs on.
const PLATFORMS: [&str; 3] =
    ["x86_64-unknown-linux-gnu", "x86_64-pc-windows-msvc", "aarch64-apple-darwin"];

/// Crates with a notice of their own for parts that are in the program.
const NOTICES: [&str; 3] = ["citationberg", "hayagriva", "parquet"];

/// Texts of licences: SPDX name, and the crate whose file it is taken from.
const TEXTS: [(&str, &str, &str); 5] = [
    ("BSD-2-Clause", "arrayref", "LICENSE"),
    ("BSD-3-Clause", "snap", "COPYING"),
    ("Zlib", "foldhash", "LICENSE"),
    ("Unicode-3.0", "icu_provider", "LICENSE"),
    ("MPL-2.0", "serialport", "LICENSE.txt"),
];

type Rows = BTreeMap<(String, String), String>;
type Crates = BTreeMap<(String, String), Package>;

const HEAD: &str = "# Third-party notices

What `hornrule` and the handheld's firmware are built from, besides their own code, which is under
MIT or Apache 2.0. Where a crate gives a choice of licences, it is used under MIT, or under Apache
2.0 if MIT is not among them.

## Parts with terms of their own

- **Inter**, the typeface of pages in PDF (`host/pdf/fonts/`): Copyright 2016-2022 The Inter
  Project Authors, SIL Open Font License 1.1; its text is below. Both files are unchanged.
- **serialport** SERIALPORT: Mozilla Public License 2.0; its text is below. It is used unchanged. Its
  source is published as the crate `serialport` of that version in Rust's public package registry:
  `cargo vendor`, said in the source of this program, fetches it. Whoever has the program without
  its source gets both from whoever gave it to them.
- **SQLite**, in `libsqlite3-sys`: in the public domain.
- **Unicode data** in the `icu` crates and others: Unicode License 3.0; its text is below.
- **Colour profiles** in `typst-assets`: Creative Commons Zero 1.0, which asks for nothing. Parts of
  its tables of HTML attributes are derived from documents of the World Wide Web Consortium; their
  notice is below. The fonts of that crate are not in the program.
- **Citation styles** in `hayagriva` and `citationberg`, a part of the typesetter: Creative Commons
  BY-SA 3.0, by the authors named in each style of the Citation Style Language project.
- **The standard library of Rust**: MIT or Apache 2.0.
";

/// Crates of the office on these platforms.
fn office(platforms: &[&str]) -> Crates {
    let mut all = Crates::new();
    for platform in platforms {
        all.extend(shipped(&resolved(".", platform), "hornrule"));
    }
    all
}

/// Crates of the boards' images.
fn handheld() -> Crates {
    let mut all = Crates::new();
    for (workspace, platform) in BOARDS {
        let program = workspace.replace("firmware/", "hornrule-");
        all.extend(shipped(&resolved(workspace, platform), &program));
    }
    all
}

fn rows(crates: &Crates) -> Rows {
    let row = |package: &Package| {
        let licence = package.license.clone().unwrap_or_default();
        format!(
            "| {} | {} | {licence} | {} |",
            package.name,
            package.version,
            copyright(package).replace('|', "/")
        )
    };
    crates.iter().map(|(name, package)| (name.clone(), row(package))).collect()
}

/// The lines on copyright in a crate's own files, or else its authors.
fn copyright(package: &Package) -> String {
    let folder = package.manifest_path.parent().unwrap();
    let mut files: Vec<_> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let mut lines = Vec::new();
    for file in files {
        let name = file.file_name().unwrap().to_string_lossy().to_uppercase();
        let about = ["LICENSE", "LICENCE", "COPYING", "COPYRIGHT"];
        if !file.is_file() || !about.iter().any(|word| name.starts_with(word)) {
            continue;
        }
        for line in String::from_utf8_lossy(&fs::read(&file).unwrap()).lines() {
            let line = line.trim().trim_matches('/').trim();
            let says = line.starts_with("Copyright") || line.starts_with("\u{a9}");
            // Not the lines to be filled in at the end of a licence, nor on notices in general.
            let whose = line.contains(|c: char| c.is_ascii_digit()) || line.contains("(c)");
            let pattern = line.contains("yyyy") || line.contains("Free Software Foundation");
            let line = line.trim_end_matches('.').to_owned();
            if says && whose && !pattern && line.len() < 160 && !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    match (lines.is_empty(), package.authors.is_empty()) {
        (false, _) => lines.join("; "),
        (true, false) => {
            // Names only: addresses of people have no business in here.
            let names = package.authors.iter().map(|one| one.split(" <").next().unwrap_or(one));
            names.collect::<Vec<_>>().join(", ")
        }
        (true, true) => format!("the authors of {}", package.name),
    }
}

/// Of a long notice that speaks of fonts besides, the part on what is in the program.
fn web_tables(crates: &Crates) -> String {
    let (_, package) = crates.iter().find(|(key, _)| key.0 == "typst-assets").unwrap();
    let notice = package.manifest_path.parent().unwrap().join("NOTICE");
    let notice = fs::read_to_string(notice).unwrap();
    let mut parts = notice.split("\n====");
    let part = parts.find(|part| part.contains("The W3C Document license")).unwrap();
    let (_, part) = part.split_once('\n').unwrap();
    format!("```text\n{}\n```\n", part.trim())
}

/// A file of a crate, as a block.
fn file_of(crates: &Crates, name: &str, file: &str) -> String {
    let (_, package) = crates.iter().find(|(key, _)| key.0 == name).unwrap();
    block(&package.manifest_path.parent().unwrap().as_std_path().join(file))
}

fn block(file: &Path) -> String {
    let text = fs::read_to_string(file).unwrap().replace('\r', "");
    let lines: Vec<&str> = text.trim_end().lines().map(str::trim_end).collect();
    format!("```text\n{}\n```\n", lines.join("\n"))
}

fn write(office: &Crates, tables: [&Rows; 2]) -> String {
    let version = office.keys().find(|key| key.0 == "serialport").unwrap().1.clone();
    let mut text = HEAD.replace("SERIALPORT", &version);
    for (title, rows) in ["The office tool", "The handheld's firmware"].iter().zip(tables) {
        write!(text, "\n## {title}: {} crates\n\n", rows.len()).unwrap();
        text += "| Crate | Version | Licence | Copyright |\n| --- | --- | --- | --- |\n";
        rows.values().for_each(|row| writeln!(text, "{row}").unwrap());
    }
    text += "\n## Notices of crates\n";
    for name in NOTICES {
        let folder = office.iter().find(|(key, _)| key.0 == name).unwrap().1.manifest_path.parent();
        let there = |file: &&str| folder.unwrap().join(file).exists();
        let file = ["NOTICE", "NOTICE.txt"].into_iter().find(there).unwrap();
        write!(text, "\n### {name}\n\n{}", file_of(office, name, file)).unwrap();
    }
    write!(text, "\n### typst-assets, in part\n\n{}", web_tables(office)).unwrap();
    text += "\n## Texts of licences\n\nWhose copyright is named in one of them is an example; for each \
             crate it is in the tables.\n";
    let own = |name: &str| block(&root().join(name));
    write!(text, "\n### OFL-1.1 (Inter)\n\n{}", own("host/pdf/fonts/OFL.txt")).unwrap();
    write!(text, "\n### MIT\n\n{}", own("LICENSE-MIT")).unwrap();
    write!(text, "\n### Apache-2.0\n\n{}", own("LICENSE-APACHE")).unwrap();
    for (licence, name, file) in TEXTS {
        write!(text, "\n### {licence}\n\n{}", file_of(office, name, file)).unwrap();
    }
    text
}

/// The two tables of a file, by crate.
fn tables(text: &str) -> [Rows; 2] {
    let mut tables = [Rows::new(), Rows::new()];
    let mut at = None;
    for line in text.lines() {
        if line.starts_with("## ") {
            at = ["## The office tool", "## The handheld"]
                .iter()
                .position(|one| line.starts_with(one));
        }
        let cells: Vec<&str> = line.split(" | ").collect();
        if let (Some(at), true) = (at, cells.len() == 4 && !line.contains("---")) {
            let name = cells[0].trim_start_matches("| ").to_owned();
            tables[at].insert((name, cells[1].to_owned()), line.to_owned());
        }
    }
    tables.map(|mut rows| {
        rows.remove(&("Crate".to_owned(), "Version".to_owned()));
        rows
    })
}

#[test]
fn third_party_notices_are_those_of_the_programs() {
    let file = root().join(FILE);
    let boards = rows(&handheld());
    let again = "HORNRULE_WRITE=1 cargo test -p hornrule-tests --test dependencies";
    if std::env::var_os("HORNRULE_WRITE").is_some() {
        let office = office(&PLATFORMS);
        fs::write(&file, write(&office, [&rows(&office), &boards])).unwrap();
    }
    let text = fs::read_to_string(&file).unwrap();
    let [listed, on_boards] = tables(&text);
    // Crates of this platform are there as they are; those of others are in the lock file.
    let here = office(&[here().as_str()]);
    for (name, row) in &rows(&here) {
        assert_eq!(listed.get(name), Some(row), "{FILE} is stale: {again}");
    }
    let locked: BTreeSet<(String, String)> =
        locked(".").into_iter().map(|one| (one.name, one.version)).collect();
    for name in listed.keys() {
        assert!(locked.contains(name), "{FILE} names {name:?}, which is gone: {again}");
    }
    assert!(listed.len() > 300 && on_boards.len() > 30, "{} and {}", listed.len(), on_boards.len());
    assert_eq!(on_boards, boards, "{FILE} is stale: {again}");
    assert!(text == write(&here, [&listed, &on_boards]), "{FILE} is stale: {again}");
}

/// A crate under a licence that asks for its text has that text in the file.
#[test]
fn every_licence_that_is_used_has_its_text() {
    let text = fs::read_to_string(root().join(FILE)).unwrap();
    let [office, boards] = tables(&text);
    for row in office.values().chain(boards.values()) {
        let licence = row.split(" | ").nth(2).unwrap();
        let given = |name: &str| text.contains(&format!("\n### {name}"));
        let choices = licence.split(" OR ").flat_map(|one| one.split('/')).map(str::trim);
        let mut one_of = choices.flat_map(|one| one.split(" AND "));
        let right = one_of.any(|one| given(one.trim_matches(['(', ')'])) || one == "0BSD");
        assert!(right, "{FILE} has no text for {row}");
    }
}
