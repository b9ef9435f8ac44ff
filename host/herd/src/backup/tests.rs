//! Backups come back as they were, and nothing is replaced unasked.

use std::fs;

use super::replace::beside;
use super::*;
use crate::tests::{begin, farm};
use hornrule_files::output::OutputError;
use hornrule_kit::{LH_OUT, Story};

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn day_at(path: &Path, cow: u32) -> Database {
    let mut herd = Database::open(path).unwrap();
    farm(&mut herd, "Lindenhof", 1, &[312, 313]);
    let mut story = Story::at_work();
    for _ in 0..5 {
        story.cow(cow).read(1, 8000, LH_OUT).find(13, 2, LH_OUT);
    }
    let pull = begin(&mut herd);
    herd.store(pull, &story.batch()).unwrap();
    herd
}

#[test]
fn a_backup_made_in_use_is_restored_row_for_row() {
    let folder = folder();
    let (db, backup) = (folder.path().join("herd.db"), folder.path().join("monday.backup"));
    let herd = day_at(&db, 312);
    let copied = back_up(&herd, &backup, false).unwrap();
    assert!(copied.tables > 12 && copied.rows > 20, "{copied:?}");
    assert_eq!(copied.bytes, fs::metadata(&backup).unwrap().len());
    let expected = herd.dump();
    drop(herd);
    // Elsewhere, and in the place of a database that has gone on since.
    let elsewhere = folder.path().join("other.db");
    assert_eq!(restore(&backup, &elsewhere, false).unwrap().kept, None);
    assert_eq!(Database::open_existing(&elsewhere).unwrap().dump(), expected);
    farm(&mut Database::open(&db).unwrap(), "Birkenhof", 2, &[7]);
    let restored = restore(&backup, &db, true).unwrap();
    let herd = Database::open_existing(&db).unwrap();
    assert_eq!((herd.dump(), herd.herds().unwrap().len()), (expected, 1));
    let kept = Database::open_existing(&restored.kept.unwrap()).unwrap();
    assert_eq!(kept.herds().unwrap().len(), 2, "what was replaced is kept");
}

#[test]
fn nothing_is_replaced_unasked() {
    let folder = folder();
    let (db, backup) = (folder.path().join("herd.db"), folder.path().join("monday.backup"));
    let herd = day_at(&db, 312);
    fs::write(&backup, "a letter").unwrap();
    assert!(matches!(back_up(&herd, &backup, false), Err(CopyError::Exists { .. })));
    assert_eq!(fs::read_to_string(&backup).unwrap(), "a letter");
    assert!(matches!(back_up(&herd, &db, true), Err(CopyError::Same { .. })));
    back_up(&herd, &backup, true).unwrap();
    assert!(matches!(restore(&backup, &db, false), Err(CopyError::Exists { .. })));
    assert!(!folder.path().join("herd.db.part").exists());
}

#[test]
fn what_is_no_backup_is_not_restored() {
    let folder = folder();
    let (db, letter) = (folder.path().join("herd.db"), folder.path().join("letter.txt"));
    let herd = day_at(&db, 312);
    let before = herd.dump();
    drop(herd);
    fs::write(&letter, "Dear farmer, this is no database at all. ".repeat(30)).unwrap();
    let missing = folder.path().join("missing");
    for (from, told) in [(&letter, "no database"), (&missing, "there is no")] {
        let error = restore(from, &db, true).unwrap_err();
        assert!(matches!(error, CopyError::Database(_)), "{error}: {told}");
    }
    // A backup with a bent page, behind the first one.
    let backup = folder.path().join("monday.backup");
    back_up(&Database::open(&db).unwrap(), &backup, false).unwrap();
    let mut bytes = fs::read(&backup).unwrap();
    for at in (8192..bytes.len()).step_by(4096) {
        bytes[at..at + 64].fill(0xA5);
    }
    fs::write(&backup, &bytes).unwrap();
    let error = restore(&backup, &db, true).unwrap_err();
    assert!(matches!(error, CopyError::Database(_) | CopyError::NotWhole { .. }), "{error}");
    assert_eq!(Database::open_existing(&db).unwrap().dump(), before);
}

/// A database that is broken is no reason not to restore, and is kept.
#[test]
fn a_broken_database_is_replaced_and_kept() {
    let folder = folder();
    let (db, backup) = (folder.path().join("herd.db"), folder.path().join("monday.backup"));
    let herd = day_at(&db, 312);
    back_up(&herd, &backup, false).unwrap();
    let expected = herd.dump();
    drop(herd);
    fs::write(&db, "broken ".repeat(1000)).unwrap();
    let kept = restore(&backup, &db, true).unwrap().kept.unwrap();
    assert_eq!(Database::open_existing(&db).unwrap().dump(), expected);
    assert!(fs::read_to_string(&kept).unwrap().starts_with("broken"));
}

/// Another program that has the database open would write on into a file that has no name any more.
#[test]
fn a_database_in_use_is_not_replaced() {
    let folder = folder();
    let (db, backup) = (folder.path().join("herd.db"), folder.path().join("monday.backup"));
    let herd = day_at(&db, 312);
    back_up(&herd, &backup, false).unwrap();
    // An open view of it.
    let refused = herd.read(|rows| {
        rows.row_counts()?;
        Ok(restore(&backup, &db, true))
    });
    let error = refused.unwrap().unwrap_err();
    assert!(matches!(error, CopyError::Database(DatabaseError::Busy { .. })), "{error}");
}

/// Another program has the target open and has changes waiting beside it: once they were replayed
/// into what was called verified.
#[test]
fn a_backup_does_not_take_the_place_of_a_database_in_use() {
    let folder = folder();
    let (db, other) = (folder.path().join("herd.db"), folder.path().join("other.db"));
    let herd = day_at(&db, 312);
    let theirs = day_at(&other, 313);
    assert!(fs::metadata(beside(&other, "-wal")).unwrap().len() > 0);
    let error = back_up(&herd, &other, true).unwrap_err();
    assert!(matches!(error, CopyError::Output(OutputError::OpenDatabase { .. })), "{error}");
    assert_eq!(Database::open_existing(&other).unwrap().dump(), theirs.dump());
}

/// What waits beside a file that no program has open any more: of a database that is gone, or of one
/// that is replaced.
#[test]
fn what_waits_beside_a_name_never_reaches_the_copy() {
    let folder = folder();
    let (db, other) = (folder.path().join("herd.db"), folder.path().join("other.db"));
    let herd = day_at(&db, 312);
    let theirs = day_at(&other, 313);
    // As a program that was killed leaves them.
    for (copy, base) in [("gone.db", false), ("killed.db", true)] {
        let copy = folder.path().join(copy);
        for end in if base { &["", "-wal"][..] } else { &["-wal"][..] } {
            fs::copy(beside(&other, end), beside(&copy, end)).unwrap();
        }
        back_up(&herd, &copy, base).unwrap();
        assert!(!beside(&copy, "-wal").exists());
        assert_eq!(Database::open_existing(&copy).unwrap().dump(), herd.dump());
        if !base {
            let kept = beside(&copy, ".before-backup-wal");
            assert_eq!(fs::read(kept).unwrap(), fs::read(beside(&other, "-wal")).unwrap());
        }
    }
    drop(theirs);
}

#[test]
fn every_restore_keeps_what_it_replaces() {
    let folder = folder();
    let (db, backup) = (folder.path().join("herd.db"), folder.path().join("monday.backup"));
    let herd = day_at(&db, 312);
    back_up(&herd, &backup, false).unwrap();
    drop(herd);
    let mut kept = Vec::new();
    for (digit, name) in [(2, "Birkenhof"), (3, "Tannhof"), (4, "Erlenhof")] {
        farm(&mut Database::open(&db).unwrap(), name, digit, &[7]);
        kept.push((name, restore(&backup, &db, true).unwrap().kept.unwrap()));
    }
    for (name, kept) in &kept {
        let herds = Database::open_existing(kept).unwrap().herds().unwrap();
        assert!(herds.iter().any(|herd| herd.name == *name), "{name}: {}", kept.display());
    }
    let names: Vec<_> = kept.iter().map(|(_, kept)| kept.file_name().unwrap()).collect();
    let expected =
        ["herd.db.before-restore", "herd.db.before-restore-2", "herd.db.before-restore-3"];
    assert_eq!(names, expected);
}

#[test]
fn the_database_of_another_program_is_not_replaced() {
    let folder = folder();
    let (db, theirs) = (folder.path().join("herd.db"), folder.path().join("theirs.db"));
    let herd = day_at(&db, 312);
    let conn = Connection::open(&theirs).unwrap();
    conn.execute_batch("PRAGMA application_id = 7; CREATE TABLE t (a)").unwrap();
    drop(conn);
    let before = fs::read(&theirs).unwrap();
    let error = back_up(&herd, &theirs, true).unwrap_err();
    assert!(matches!(error, CopyError::Database(DatabaseError::NotOurs { .. })), "{error}");
    assert_eq!(fs::read(&theirs).unwrap(), before);
    // Nor is one restored whose tables were changed.
    let copy = folder.path().join("copy.db");
    back_up(&herd, &copy, false).unwrap();
    Connection::open(&copy).unwrap().execute_batch("DROP TABLE remark").unwrap();
    let error = restore(&copy, &folder.path().join("new.db"), false).unwrap_err();
    assert!(error.to_string().contains("`remark` is missing"), "{error}");
    assert!(!folder.path().join("new.db").exists());
}

/// The disk that is full is the disk of the copy.
#[test]
fn a_full_disk_is_that_of_the_copy() {
    use rusqlite::ffi::{Error, SQLITE_FULL, SQLITE_IOERR_READ, SQLITE_IOERR_WRITE};
    let (from, to) = (Path::new("herd.db"), Path::new("stick/monday.db"));
    let fault = |code| Fault::Sql(rusqlite::Error::SqliteFailure(Error::new(code), None));
    let said = told(fault(SQLITE_FULL), (from, to)).to_string();
    assert!(said.contains("the disk that stick/monday.db is on is full"), "{said}");
    assert!(told(fault(SQLITE_IOERR_WRITE), (from, to)).to_string().contains("stick/monday.db"));
    assert!(told(fault(SQLITE_IOERR_READ), (from, to)).to_string().contains("herd.db"));
}

#[cfg(unix)]
#[test]
fn databases_and_backups_are_their_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    let (db, backup) = (folder.path().join("herd.db"), folder.path().join("monday.backup"));
    let herd = day_at(&db, 312);
    back_up(&herd, &backup, false).unwrap();
    let mode = |file: &Path| fs::metadata(file).unwrap().permissions().mode() & 0o777;
    assert_eq!([mode(&db), mode(&beside(&db, "-wal")), mode(&backup)], [0o600; 3]);
    // One that its owner shares stays shared.
    fs::set_permissions(&backup, fs::Permissions::from_mode(0o640)).unwrap();
    back_up(&herd, &backup, true).unwrap();
    assert_eq!(mode(&backup), 0o640);
}

/// As on a disk that cannot be written: a database in WAL mode without the files beside it.
#[test]
fn a_copy_made_by_hand_is_restored() {
    let folder = folder();
    let (db, copy) = (folder.path().join("herd.db"), folder.path().join("copied.db"));
    let herd = day_at(&db, 312);
    let expected = herd.dump();
    drop(herd);
    fs::copy(&db, &copy).unwrap();
    let restored = folder.path().join("restored.db");
    restore(&copy, &restored, false).unwrap();
    assert_eq!(Database::open_existing(&restored).unwrap().dump(), expected);
}
