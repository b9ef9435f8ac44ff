//! Backups come back as they were, and nothing is replaced unasked.

use super::*;
use crate::tests::{begin, farm};
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
