//! What is written over and what is not, whichever verb it is told to.

use std::fs;
use std::path::Path;

use rusqlite::Connection;
use tempfile::TempDir;

use crate::kit::{DATABASE, OTHER, command, fails, hornrule, json, says, season, two_days};

/// A session in which a handheld says nothing.
const SILENT: &str = "hornrule session 1\n";

/// Every verb that writes a file whose name a person gives; the name comes last.
const WRITERS: &[&[&str]] = &[
    &["report", "visit", "--html"],
    &["report", "visit", "--csv"],
    &["report", "farm", "--html"],
    &["report", "vet", "--html"],
    &["cow", "58", "--html"],
    &["due", "--day", "2026-03-17", "--csv"],
    &["due", "--day", "2026-03-17", "--html"],
    &["due", "--day", "2026-03-17", "--ics"],
    &["bill", "draft", "--prices", "prices.toml", "--until", "2026-03-17", "--html"],
    &["card", "--html"],
    &["export", "xlsx", "--out"],
    &["export", "ade", "--herd", "Alder Brook", "--out"],
    &["study", "new"],
    &["pull", "--port", "replay:silent.session", "--record"],
    #[cfg(feature = "virtual")]
    &["practise", "--lesson", "scores", "--count", "1", "--keys", "COW", "--log"],
    #[cfg(feature = "virtual")]
    &["handheld", "--tcp", "127.0.0.1:0", "--flash"],
    &["backup", "--force"],
];

fn office() -> TempDir {
    let folder = two_days();
    let at = folder.path();
    fs::write(at.join("silent.session"), SILENT).unwrap();
    fs::write(at.join("prices.toml"), include_str!("../../demo/prices.toml")).unwrap();
    let theirs = Connection::open(at.join("theirs.db")).unwrap();
    theirs.execute_batch("PRAGMA application_id = 7; CREATE TABLE t (x)").unwrap();
    folder
}

#[cfg(unix)]
#[test]
fn no_verb_writes_over_a_database_or_what_is_no_file() {
    use std::os::unix::fs::{FileTypeExt, symlink};
    let folder = office();
    let at = folder.path();
    says(at, &["status"]);
    symlink(at.join("hornrule.db"), at.join("link.html")).unwrap();
    fs::hard_link(at.join("hornrule.db"), at.join("second.html")).unwrap();
    fs::create_dir(at.join("folder")).unwrap();
    let made = std::process::Command::new("mkfifo").arg(at.join("pipe")).status().unwrap();
    assert!(made.success());
    let before = |name: &str| fs::read(at.join(name)).unwrap();
    let (ours, theirs) = (before("hornrule.db"), before("theirs.db"));
    let targets = [
        "hornrule.db",
        "./folder/../hornrule.db",
        "link.html",
        "second.html",
        "hornrule.db-wal",
        "hornrule.db-journal",
        "theirs.db",
        "theirs.db-wal",
        "folder",
        "pipe",
        "-",
    ];
    for writer in WRITERS {
        for target in targets {
            let words = [writer, &[target][..]].concat();
            let output = hornrule(at, &words);
            let said = String::from_utf8(output.stderr).unwrap();
            let code = output.status.code();
            assert!(matches!(code, Some(OTHER | DATABASE | 6)), "{words:?} {code:?}: {said}");
            let told = ["left as it is", "not a file", "names no file", "onto itself", "database"];
            assert!(told.iter().any(|one| said.contains(one)), "{words:?}: {said}");
            assert!(!said.contains("panicked"), "{said}");
        }
    }
    assert!(before("hornrule.db") == ours && before("theirs.db") == theirs);
    assert!(fs::symlink_metadata(at.join("pipe")).unwrap().file_type().is_fifo());
    assert!(!at.join("theirs.db-wal").exists() && !at.join("hornrule.db-journal").exists());
    let left = fs::read_dir(at).unwrap().map(|one| one.unwrap().file_name());
    let parts: Vec<_> = left.filter(|name| name.to_string_lossy().contains(".part")).collect();
    assert!(parts.is_empty(), "{parts:?}");
}

/// Figures and samples, and verbs that write whole folders.
#[test]
fn no_figure_and_no_folder_takes_the_place_of_a_database() {
    let folder = season();
    let at = folder.path();
    let study = include_str!("../../exchange/src/study/template.toml");
    let study = study.replace("Alder Brook", "Larch Meadow").replace("Mill Farm", "Stony Ford");
    fs::write(at.join("wall.toml"), study).unwrap();
    // Puts the rules in force, once.
    says(at, &["due"]);
    let before = fs::read(at.join("hornrule.db")).unwrap();
    let file = &["left as it is"][..];
    let no_folder = &["not a folder"][..];
    for (words, told) in [
        (&["plot", "blocks", "--svg", "hornrule.db"][..], file),
        (&["plot", "healing", "--svg", "hornrule.db-wal"], file),
        (&["study", "sample", "wall.toml", "--out", "hornrule.db"], file),
        (&["study", "export", "wall.toml", "--out", "hornrule.db"], no_folder),
        #[cfg(feature = "virtual")]
        (&["cues", "--wav", "hornrule.db"], no_folder),
        #[cfg(feature = "virtual")]
        (&["demo", "--dir", "hornrule.db"], no_folder),
    ] {
        fails(at, words, OTHER, &[&["hornrule.db"], told].concat());
    }
    assert!(fs::read(at.join("hornrule.db")).unwrap() == before);
}

/// Also one that is not there yet: a session is opened before the database is made.
#[test]
fn a_session_never_takes_the_name_of_the_database() {
    let folder = office();
    let at = folder.path();
    let words = ["--db", "new.db", "pull", "--port", "replay:silent.session", "--record", "new.db"];
    fails(at, &words, OTHER, &["new.db", "left as it is"]);
    assert!(!at.join("new.db").exists());
}

/// A pull that fails is what a session is recorded for.
#[test]
fn a_session_is_kept_also_when_the_pull_fails() {
    let folder = office();
    let at = folder.path();
    let words = ["--db", "new.db", "pull", "--port", "replay:silent.session", "--record"];
    for name in ["first.session", "first.session"] {
        assert!(!hornrule(at, &[&words[..], &[name]].concat()).status.success());
        let session = fs::read_to_string(at.join(name)).unwrap();
        assert!(session.starts_with("hornrule session 1\n> "), "{session}");
    }
}

#[cfg(unix)]
#[test]
fn a_file_that_is_replaced_keeps_its_mode_and_its_links() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = office();
    let at = folder.path();
    fs::write(at.join("page.html"), "old").unwrap();
    fs::set_permissions(at.join("page.html"), fs::Permissions::from_mode(0o640)).unwrap();
    symlink(at.join("page.html"), at.join("link.html")).unwrap();
    says(at, &["card", "--html", "link.html"]);
    assert!(fs::symlink_metadata(at.join("link.html")).unwrap().is_symlink());
    assert!(fs::read_to_string(at.join("page.html")).unwrap().starts_with("<!DOCTYPE"));
    let mode = |name: &str| fs::metadata(at.join(name)).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode("page.html"), 0o640);
    // What holds the farms' data is its owner's alone.
    says(at, &["backup", "monday.db"]);
    says(at, &["--db", "new.db", "restore", "monday.db"]);
    fs::write(at.join("cows.csv"), "number\n12\n").unwrap();
    says(at, &["--db", "made.db", "herd", "import", "cows.csv", "--yes", "--herd", "x"]);
    assert_eq!(["monday.db", "new.db", "made.db"].map(mode), [0o600; 3]);
}

#[test]
fn names_that_keep_nothing_are_refused() {
    let folder = office();
    let at = folder.path();
    fs::write(at.join("cows.csv"), "number\n12\n").unwrap();
    let before = fs::read_dir(at).unwrap().count();
    for db in [":memory:", "file:herd.db?mode=memory", "file::memory:"] {
        for verb in [
            &["pull", "--port", "replay:silent.session"][..],
            &["herd", "import", "cows.csv", "--yes", "--herd", "x"],
            &["restore", "hornrule.db"],
            &["due"],
            &["doctor", "--no-handheld"],
        ] {
            let output = hornrule(at, &[&["--db", db], verb].concat());
            let said = [output.stdout, output.stderr].concat();
            let said = String::from_utf8(said).unwrap();
            assert_eq!(output.status.code(), Some(DATABASE), "{db} {verb:?}: {said}");
            assert!(said.contains("names no file"), "{db} {verb:?}: {said}");
        }
    }
    fails(at, &["backup", ":memory:"], DATABASE, &["names no file"]);
    assert_eq!(fs::read_dir(at).unwrap().count(), before, "nothing was made");
}

/// Once, what waited beside the target was replayed into the copy that had just been verified.
#[test]
fn a_backup_onto_a_database_in_use_is_refused_and_onto_one_left_behind_is_whole() {
    let folder = office();
    let at = folder.path();
    fs::copy(season().path().join("hornrule.db"), at.join("stick.db")).unwrap();
    let theirs = Connection::open(at.join("stick.db")).unwrap();
    theirs.pragma_update(None, "journal_mode", "WAL").unwrap();
    theirs.execute_batch("UPDATE animal SET name = 'Waits'").unwrap();
    theirs.execute_batch("CREATE TEMP TABLE t (x); BEGIN; SELECT count(*) FROM animal").unwrap();
    assert!(fs::metadata(at.join("stick.db-wal")).unwrap().len() > 0);
    let kept = ["stick.db", "stick.db-wal"].map(|name| fs::read(at.join(name)).unwrap());
    fails(at, &["backup", "stick.db", "--force"], DATABASE, &["stick.db", "in use"]);
    let now = ["stick.db", "stick.db-wal"].map(|name| fs::read(at.join(name)).unwrap());
    assert!(now == kept);
    // Its program was killed: the same files, and nobody has them open.
    for (name, bytes) in ["left.db", "left.db-wal"].iter().zip(&kept) {
        fs::write(at.join(name), bytes).unwrap();
    }
    drop(theirs);
    let said = says(at, &["backup", "left.db", "--force"]);
    assert!(said.contains("verified"), "{said}");
    assert!(!at.join("left.db-wal").exists());
    let rows = |db: &str| json(at, &["--db", db, "report", "visit", "--json"]);
    assert_eq!(rows("left.db"), rows("hornrule.db"));
}

#[test]
fn every_restore_keeps_what_was_there() {
    let folder = office();
    let at = folder.path();
    says(at, &["backup", "monday.db"]);
    fs::write(at.join("cows.csv"), "number\n12\n").unwrap();
    let farms = ["First", "Second", "Third"];
    for farm in farms {
        says(at, &["herd", "import", "cows.csv", "--yes", "--herd", farm]);
        let said = says(at, &["restore", "monday.db", "--force"]);
        assert!(said.contains("before-restore"), "{said}");
    }
    for (end, farm) in ["", "-2", "-3"].iter().zip(farms) {
        let kept = format!("hornrule.db.before-restore{end}");
        let said = says(at, &["--db", &kept, "herd", "list"]);
        assert!(said.contains(farm), "{kept}: {said}");
    }
}

/// The office's folder as a stick with its switch on "lock": neither file nor folder can be written.
/// A superuser may write everywhere, so the program then runs as nobody.
#[cfg(unix)]
#[test]
fn a_database_that_can_only_be_read_is_read() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
    use std::os::unix::process::CommandExt;
    const NOBODY: u32 = 65534;
    let folder = office();
    let at = folder.path();
    let shown = says(at, &["due", "--day", "2026-03-17", "--json"]);
    let mode = |path: &Path, mode: u32| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    };
    let stick = at.join("stick");
    fs::create_dir(&stick).unwrap();
    fs::copy(at.join("hornrule.db"), stick.join("herd.db")).unwrap();
    mode(&stick.join("herd.db"), 0o444);
    let desk = at.join("desk");
    fs::create_dir(&desk).unwrap();
    let root = fs::metadata(at).unwrap().uid() == 0;
    let program = at.join("hornrule");
    fs::copy(env!("CARGO_BIN_EXE_hornrule"), &program).unwrap();
    mode(&program, 0o755);
    mode(at, 0o755);
    if root {
        chown(&desk, Some(NOBODY), Some(NOBODY)).unwrap();
    }
    mode(&stick, 0o555);
    let run = |words: &[&str]| {
        let mut command = std::process::Command::new(&program);
        command.current_dir(at).env_remove("HORNRULE_DB").env_remove("HORNRULE_WHO").args(words);
        if root {
            command.uid(NOBODY).gid(NOBODY);
        }
        let output = command.output().unwrap();
        let told = [output.stdout, output.stderr].map(|text| String::from_utf8(text).unwrap());
        (output.status.code(), told)
    };
    let db = ["--db", "stick/herd.db"];
    for verb in [
        &["status"][..],
        &["due", "--day", "2026-03-17", "--json"],
        &["report", "visit"],
        &["herd", "list"],
        &["review", "list"],
        &["doctor", "--no-handheld"],
    ] {
        let (code, [said, wrong]) = run(&[&db[..], verb].concat());
        assert_eq!(code, Some(0), "{verb:?}: {wrong}");
        if verb[0] == "due" {
            assert_eq!(said, shown);
        }
    }
    let mark = ["herd", "mark", "58", "--do-not-trim", "--who", "Anna", "--why", "dry"];
    let (code, [_, wrong]) = run(&[&db[..], &mark].concat());
    assert_eq!((code, wrong.contains("cannot be written")), (Some(DATABASE), true), "{wrong}");
    let (code, [said, wrong]) = run(&["--db", "desk/herd.db", "restore", "stick/herd.db"]);
    assert_eq!((code, said.contains("verified")), (Some(0), true), "{wrong}");
    // Changes that wait are not passed over in silence.
    mode(&stick, 0o755);
    fs::write(stick.join("herd.db-wal"), "waits").unwrap();
    mode(&stick, 0o555);
    let (code, [_, wrong]) = run(&["--db", "desk/other.db", "restore", "stick/herd.db"]);
    assert_eq!((code, wrong.contains("changes wait")), (Some(DATABASE), true), "{wrong}");
    mode(&stick, 0o755);
}

/// A schema that no migration makes: another program, a prank, a slip of the hand.
#[test]
fn a_database_whose_tables_were_changed_is_refused_by_name() {
    let folder = office();
    let at = folder.path();
    for (change, says) in [
        ("CREATE TRIGGER x AFTER INSERT ON sealed BEGIN DELETE FROM sealed; END", "trigger `x`"),
        ("ALTER TABLE animal DROP COLUMN breed", "table `animal` is another"),
        ("DROP INDEX finding_day", "index `finding_day` is missing"),
        ("DROP TABLE score", "table `score` is missing"),
        ("CREATE VIEW v AS SELECT 1", "view `v` does not belong there"),
    ] {
        fs::copy(at.join("hornrule.db"), at.join("changed.db")).unwrap();
        Connection::open(at.join("changed.db")).unwrap().execute_batch(change).unwrap();
        let before = fs::read(at.join("changed.db")).unwrap();
        let told = ["changed.db", says, "restore the last backup"];
        fails(at, &["--db", "changed.db", "due"], DATABASE, &told);
        fails(at, &["--db", "new.db", "restore", "changed.db"], DATABASE, &told);
        assert!(!at.join("new.db").exists());
        assert!(fs::read(at.join("changed.db")).unwrap() == before, "{change}");
    }
}

#[cfg(feature = "virtual")]
#[test]
fn a_demo_forgets_nothing_but_its_own() {
    let folder = office();
    let at = folder.path();
    // A trimmer's own folder, with the names that a demo uses.
    let own = at.join("own");
    fs::create_dir(&own).unwrap();
    for name in ["herd.db", "season.db", "handheld.flash", "ended", "due.csv"] {
        fs::copy(at.join("hornrule.db"), own.join(name)).unwrap();
    }
    let read = || fs::read(own.join("herd.db")).unwrap();
    let before = read();
    for words in [&["demo", "--dir", "own"][..], &["demo", "--dir", "own", "--fresh"]] {
        fails(at, words, OTHER, &["own", "not made by a demo", "left as it is"]);
    }
    assert!(read() == before && fs::read_dir(&own).unwrap().count() == 5);
    // A demo's folder into which somebody put their own database.
    says(at, &["demo", "--dir", "demo", "--no-pdf"]);
    fs::write(at.join("cows.csv"), "number\n12\n").unwrap();
    says(at, &["--db", "mine.db", "herd", "import", "cows.csv", "--yes", "--herd", "Lindenhof"]);
    fs::copy(at.join("mine.db"), at.join("demo/herd.db")).unwrap();
    fails(at, &["demo", "--dir", "demo", "--fresh"], OTHER, &["herd.db", "Lindenhof"]);
    assert!(says(at, &["--db", "demo/herd.db", "herd", "list"]).contains("Lindenhof"));
    fs::remove_file(at.join("demo/herd.db")).unwrap();
    says(at, &["demo", "--dir", "demo", "--no-pdf", "--fresh"]);
    // Left of the program's own commands is nothing else to run.
    assert!(command(at).arg("--version").status().unwrap().success());
}
