//! Proof of the schema: what stands in the file is what the migrations make, in every table, column,
//! index and trigger.
//!
//! A database of version n is held to an empty one that went through migrations 1 to n, by the text
//! that SQLite keeps of each thing. Blanks and quotes do not count: SQLite itself changes them where
//! a migration alters a table. What the migrations make is worked out once a run of the program.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::sync::{Mutex, PoisonError};

use rusqlite::Connection;

use super::migrations::{MIGRATIONS, Unfit, run, version};
use super::queries;

/// Kind and name of each thing, and its text.
type Schema = BTreeMap<(String, String), String>;

/// By version.
static MADE: Mutex<BTreeMap<i64, Schema>> = Mutex::new(BTreeMap::new());

/// Holds a database to what the migrations to its version make. Writes nothing.
pub(super) fn prove(conn: &Connection) -> Result<(), Unfit> {
    let version = version(conn)?;
    let found = read(conn)?;
    let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
    let made = match made.entry(version) {
        Entry::Occupied(made) => made.into_mut(),
        Entry::Vacant(free) => free.insert(expected(version)?),
    };
    match differs(made, &found) {
        Some(what) => Err(Unfit::Schema { what }),
        None => Ok(()),
    }
}

fn expected(version: i64) -> Result<Schema, Unfit> {
    let upto = MIGRATIONS.iter().take_while(|one| one.version <= version).count();
    let mut conn = Connection::open_in_memory()?;
    run(&mut conn, &MIGRATIONS[..upto])?;
    read(&conn)
}

fn read(conn: &Connection) -> Result<Schema, Unfit> {
    let mut statement = conn.prepare(queries::SCHEMA)?;
    let rows = statement.query_map([], |row| {
        let (kind, name, of): (String, String, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let text: String = row.get(3)?;
        Ok(((kind, name), format!("{of}: {}", normal(&text))))
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Each line with single blanks, and without quotes. Lines stay: a comment ends with its line.
fn normal(sql: &str) -> String {
    let line = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
    let lines: Vec<String> = sql.lines().map(line).filter(|line| !line.is_empty()).collect();
    lines.join("\n").replace(['"', '`', '[', ']'], "")
}

/// The first thing that differs, and how many do.
fn differs(made: &Schema, found: &Schema) -> Option<String> {
    let missing =
        made.keys().filter(|key| !found.contains_key(*key)).map(|key| ("is missing", key));
    let other = made.iter().filter(|(key, text)| found.get(*key).is_some_and(|f| f != *text));
    let other = other.map(|(key, _)| ("is another", key));
    let extra = found.keys().filter(|key| !made.contains_key(*key));
    let extra = extra.map(|key| ("does not belong there", key));
    let mut all: Vec<_> = missing.chain(other).chain(extra).collect();
    // What stands on a table goes with it: the table is the reason.
    all.sort_by_key(|(_, (kind, _))| kind != "table");
    let (how, (kind, name)) = all.first()?;
    let more = match all.len() - 1 {
        0 => String::new(),
        more => format!(" (and {more} more)"),
    };
    Some(format!("{kind} `{name}` {how}{more}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn changed(sql: &str) -> Option<String> {
        let mut conn = Connection::open_in_memory().unwrap();
        run(&mut conn, MIGRATIONS).unwrap();
        prove(&conn).unwrap();
        conn.execute_batch(sql).unwrap();
        match prove(&conn) {
            Err(Unfit::Schema { what }) => Some(what),
            Err(other) => panic!("{other:?}"),
            Ok(()) => None,
        }
    }

    #[test]
    fn every_version_is_proved() {
        for upto in 0..=MIGRATIONS.len() {
            let mut conn = Connection::open_in_memory().unwrap();
            run(&mut conn, &MIGRATIONS[..upto]).unwrap();
            prove(&conn).unwrap();
        }
    }

    #[test]
    fn what_differs_is_named() {
        for (sql, says) in [
            ("DROP TABLE remark", "`remark` is missing"),
            ("ALTER TABLE animal ADD COLUMN price INTEGER", "`animal` is another"),
            ("ALTER TABLE animal RENAME COLUMN name TO title", "`animal` is another"),
            ("CREATE TABLE notes (x)", "`notes` does not belong there"),
            ("CREATE VIEW cows AS SELECT * FROM animal", "view `cows` does not belong there"),
            (
                "CREATE TRIGGER gone AFTER INSERT ON finding BEGIN DELETE FROM finding; END",
                "trigger `gone` does not belong there",
            ),
            ("CREATE INDEX quick ON animal (name)", "index `quick` does not belong there"),
        ] {
            let told = changed(sql).unwrap();
            assert!(told.contains(says), "{sql}: {told}");
        }
        assert!(changed("DROP TABLE remark; DROP TABLE score").unwrap().contains("more)"));
    }

    /// Statistics that SQLite keeps for itself are no change.
    #[test]
    fn what_sqlite_adds_is_no_change() {
        assert_eq!(changed("ANALYZE"), None);
    }

    #[test]
    fn blanks_and_quotes_do_not_count() {
        assert_eq!(normal("CREATE TABLE \"a\"  (b)\r\n\n"), normal("CREATE TABLE a (b)"));
        assert_ne!(normal("a -- b\nc"), normal("a -- b c"), "what a comment hides counts");
    }
}
