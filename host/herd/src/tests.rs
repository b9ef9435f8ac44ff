//! What goes wrong with a file, and that nothing is half written.

use std::fs;

use rusqlite::Connection;

use super::*;
use crate::inbox::PullStart;
use crate::migrations::MIGRATIONS;
use hornrule_facts::Batch;
use hornrule_facts::{FarmSettings, ListedAnimal};
use hornrule_kit::{DEVICE, EIGHT, LOG, Story};

/// Tables that have rows without intake.
const TOLD: [&str; 5] = ["herd", "animal", "pull", "sealed", "covered"];

impl Database {
    /// Every row of them, as text.
    pub(crate) fn dump(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for table in TOLD {
            let mut statement = self.conn.prepare(&format!("SELECT * FROM {table}")).unwrap();
            let columns = statement.column_count();
            let mut rows = statement.query([]).unwrap();
            while let Some(row) = rows.next().unwrap() {
                let cells: Vec<String> =
                    (0..columns).map(|i| format!("{:?}", row.get_ref(i).unwrap())).collect();
                lines.push(format!("{table}: {}", cells.join(", ")));
            }
        }
        lines
    }

    pub(crate) fn count(&self, table: &str) -> i64 {
        let text = format!("SELECT count(*) FROM {table}");
        self.conn.query_row(&text, [], |row| row.get(0)).unwrap()
    }

    /// New, known, and the end of a pull.
    pub(crate) fn pull_counts(&self, pull: i64) -> (u32, u32, i64) {
        let text = "SELECT fresh, known, ended_ms FROM pull WHERE pull = $1";
        let row = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?, row.get(2)?));
        self.conn.query_row(text, [pull], row).unwrap()
    }

    /// One column of a table in the order of its key, as text; empty for NULL.
    pub(crate) fn column(&self, table: &str, column: &str) -> Vec<String> {
        let text = format!(
            "SELECT coalesce(CAST({column} AS TEXT), '') FROM {table} ORDER BY device, log, seq"
        );
        let mut statement = self.conn.prepare(&text).unwrap();
        statement.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
    }
}

/// A pull by an office whose clock was never set.
pub(crate) fn begin(database: &mut Database) -> crate::inbox::PullId {
    database.begin_pull(&PullStart { started_ms: 0, ..start() }).unwrap()
}

/// Two invented farms: the first with these cows on its list.
pub(crate) fn two_farms() -> (Database, HerdId) {
    let mut database = Database::in_memory().unwrap();
    let first = farm(&mut database, "Lindenhof", 1, &[312, 313, 351]);
    farm(&mut database, "Birkenhof", 2, &[]);
    (database, first)
}

pub(crate) fn farm(database: &mut Database, name: &str, digit: u8, cows: &[i64]) -> HerdId {
    let cows: Vec<_> = cows.iter().map(|cow| ListedAnimal::numbered(AnimalId(*cow))).collect();
    let made: Result<HerdId, DatabaseError> = database.write(|rows| {
        let herd = rows.insert_herd(name, Some(digit), "Europe/Berlin")?;
        rows.write_animals(herd, &cows)?;
        Ok(herd)
    });
    made.unwrap()
}

fn start() -> PullStart {
    PullStart {
        device: DEVICE,
        log: LOG,
        firmware: [0, 1, 0],
        source: "test".to_owned(),
        started_ms: EIGHT,
    }
}

#[test]
fn a_new_file_is_ours_and_opens_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    assert!(matches!(Database::open_existing(&path), Err(DatabaseError::Missing { .. })));
    assert!(!path.exists());
    let mut herd = Database::open(&path).unwrap();
    farm(&mut herd, "Lindenhof", 1, &[312]);
    drop(herd);
    let herd = Database::open_existing(&path).unwrap();
    assert_eq!(herd.herds().unwrap().len(), 1);
    let setting = |name: &str| -> String {
        let text = format!("PRAGMA {name}");
        let value = |row: &rusqlite::Row<'_>| Ok(format!("{:?}", row.get_ref(0)?));
        herd.conn.query_row(&text, [], value).unwrap()
    };
    assert_eq!(setting("application_id"), format!("Integer({})", 0x486F_726E));
    assert_eq!(setting("user_version"), format!("Integer({})", MIGRATIONS.len()));
    assert_eq!(setting("synchronous"), "Integer(2)");
    assert_eq!(setting("foreign_keys"), "Integer(1)");
    assert_eq!(setting("trusted_schema"), "Integer(0)");
    assert_eq!(setting("cell_size_check"), "Integer(1)");
    let mode: String = herd.conn.query_row("PRAGMA journal_mode", [], |row| row.get(0)).unwrap();
    assert_eq!(mode, "wal");
}

/// The same database as an older version would have left it: its tables with the columns they had.
fn as_of(new: &std::path::Path, old: &std::path::Path, version: usize) {
    let mut conn = Connection::open(old).unwrap();
    migrations::run(&mut conn, &MIGRATIONS[..version]).unwrap();
    conn.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
    conn.execute("ATTACH $1 AS new", [new.to_str().unwrap()]).unwrap();
    let names = |conn: &Connection, text: &str| -> Vec<String> {
        let mut statement = conn.prepare(text).unwrap();
        statement.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
    };
    let tables = "SELECT name FROM main.sqlite_schema WHERE type = 'table' \
                  AND name NOT LIKE 'sqlite%' AND name <> 'migration'";
    for table in names(&conn, tables) {
        let columns = names(&conn, &format!("SELECT name FROM pragma_table_info('{table}')"));
        let columns = columns.join(", ");
        let copy =
            format!("INSERT INTO main.{table} ({columns}) SELECT {columns} FROM new.{table}");
        conn.execute_batch(&copy).unwrap();
    }
}

/// A database as an older version left it: all is there after it is opened.
#[test]
fn older_databases_are_brought_up() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let mut herd = Database::open(&path).unwrap();
    let farm = farm(&mut herd, "Lindenhof", 1, &[312]);
    let mut story = Story::at_work();
    story.cow(312).cow(313);
    let pull = begin(&mut herd);
    herd.store(pull, &story.batch()).unwrap();
    let sealed = herd.column("sealed", "hex(bytes)");
    let list = herd.animals(farm).unwrap();
    drop(herd);
    for version in 1..MIGRATIONS.len() {
        let old = folder.path().join(format!("{version}.db"));
        as_of(&path, &old, version);
        let herd = Database::open_existing(&old).unwrap();
        assert_eq!(herd.count("decision"), 0);
        assert_eq!(herd.column("sealed", "hex(bytes)"), sealed);
        assert_eq!(herd.animals(farm).unwrap(), list);
        assert_eq!(herd.farm_settings(farm).unwrap(), FarmSettings::default());
    }
}

#[test]
fn every_table_is_strict() {
    let herd = Database::in_memory().unwrap();
    let text = "SELECT count(*), CAST(sum(strict) AS INTEGER) FROM pragma_table_list \
                WHERE type = 'table' AND name NOT LIKE 'sqlite%'";
    let (all, strict): (i64, i64) =
        herd.conn.query_row(text, [], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    assert!(all > 10);
    assert_eq!(all, strict);
}

#[test]
fn files_that_are_not_ours_are_left_as_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let text = folder.path().join("letter.txt");
    fs::write(
        &text,
        "Dear farmer, this is a letter and no database, however long it is. ".repeat(9),
    )
    .unwrap();
    let before = fs::read(&text).unwrap();
    assert!(matches!(Database::open(&text), Err(DatabaseError::NotADatabase { .. })));
    assert_eq!(fs::read(&text).unwrap(), before);

    // Another program's: with its own id, and with none but tables.
    for (name, sql) in [
        ("id.db", "PRAGMA application_id = 7; CREATE TABLE t (a)"),
        ("tables.db", "CREATE TABLE t (a)"),
    ] {
        let path = folder.path().join(name);
        Connection::open(&path).unwrap().execute_batch(sql).unwrap();
        let before = fs::read(&path).unwrap();
        assert!(matches!(Database::open(&path), Err(DatabaseError::NotOurs { .. })), "{name}");
        assert_eq!(fs::read(&path).unwrap(), before, "{name}");
    }
}

#[test]
fn a_newer_database_is_refused_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    drop(Database::open(&path).unwrap());
    Connection::open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
    match Database::open(&path) {
        Err(error @ DatabaseError::Newer { found: 99, .. }) => {
            assert!(error.to_string().contains("version 99"), "{error}");
            assert!(error.to_string().contains("herd.db"), "{error}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_database_made_by_an_edited_migration_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    drop(Database::open(&path).unwrap());
    let edit = "UPDATE migration SET checksum = checksum + 1";
    Connection::open(&path).unwrap().execute_batch(edit).unwrap();
    assert!(matches!(Database::open(&path), Err(DatabaseError::Edited { version: 1, .. })));
}

/// A file where a folder should be fails for every user, also for root.
#[test]
fn a_folder_that_is_none_cannot_hold_a_database() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "").unwrap();
    assert!(matches!(Database::open(&file.join("herd.db")), Err(DatabaseError::CannotOpen { .. })));
    assert!(matches!(Database::open(folder.path()), Err(DatabaseError::NotAFile { .. })));
}

#[test]
fn a_database_that_cannot_be_written_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    drop(Database::open(&path).unwrap());
    let read_only = Database::open_to_read(&path);
    assert!(read_only.as_ref().unwrap().is_read_only());
    let outcome = read_only.and_then(|mut herd| herd.begin_pull(&start()));
    assert!(matches!(outcome, Err(DatabaseError::ReadOnly { .. })), "{outcome:?}");
}

#[test]
fn a_database_in_use_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let one = Database::open(&path).unwrap();
    let mut other = Database::open(&path).unwrap();
    other.conn.busy_timeout(Duration::ZERO).unwrap();
    one.conn.execute_batch("BEGIN IMMEDIATE").unwrap();
    let outcome = other.begin_pull(&start());
    assert!(matches!(outcome, Err(DatabaseError::Busy { .. })), "{outcome:?}");
    one.conn.execute_batch("ROLLBACK").unwrap();
    other.begin_pull(&start()).unwrap();
}

/// `max_page_count` makes SQLite say what a full disk makes it say.
#[test]
fn a_full_disk_keeps_nothing_of_the_batch_and_all_before() {
    let (mut herd, _) = two_farms();
    let pull = begin(&mut herd);
    let mut story = Story::at_work();
    story.cow(312);
    herd.store(pull, &story.batch()).unwrap();
    let before = herd.count("sealed");
    let pages: i64 = herd.conn.query_row("PRAGMA page_count", [], |row| row.get(0)).unwrap();
    let limit = |herd: &Database, pages: i64| {
        let text = format!("PRAGMA max_page_count = {pages}");
        let _: i64 = herd.conn.query_row(&text, [], |row| row.get(0)).unwrap();
    };
    limit(&herd, pages);
    let from = story.last().next();
    for _ in 0..2000 {
        story.cow(313);
    }
    let sealed = story.sealed.split_off(before.try_into().unwrap());
    let batch = Batch { device: DEVICE, log: LOG, from, through: story.last(), sealed };
    let outcome = herd.store(pull, &batch);
    match outcome {
        Err(crate::inbox::InboxError::Database(error @ DatabaseError::Full { .. })) => {
            assert!(error.to_string().contains("make room"), "{error}");
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(herd.count("sealed"), before);
    assert_eq!(herd.cursor(DEVICE, LOG).unwrap(), from.previous());
    // With room again the same batch goes in.
    limit(&herd, 1_000_000);
    assert_eq!(herd.store(pull, &batch).unwrap().new, 2000);
    assert_eq!(herd.cursor(DEVICE, LOG).unwrap(), story.last());
}

#[test]
fn stored_nonsense_is_named_and_not_believed() {
    let (mut herd, _) = two_farms();
    let pull = begin(&mut herd);
    herd.store(pull, &Story::at_work().batch()).unwrap();
    herd.conn.execute_batch("UPDATE sealed SET bytes = x'0102' WHERE seq = 2").unwrap();
    match herd.sealed_among(DEVICE, LOG, 2..=2) {
        Err(DatabaseError::Damaged { what, .. }) => assert!(what.contains("record 2"), "{what}"),
        other => panic!("{other:?}"),
    }
}
