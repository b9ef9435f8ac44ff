//! Brings a database to the newest version: an array of SQL files, one transaction each.
//!
//! ```text
//! user_version n --> file n+1 --> ... --> newest        n above newest: refused
//! ```
//!
//! Files are only ever added. What each one said is kept as a checksum in the database, so a file
//! that was edited after it shipped is noticed when the database is opened. The published crates
//! for this were the road not taken: they hold the SQLite crate back, and a second engine later
//! needs a second folder with the same numbers.

use hornrule_protocol::seal::CRC;
use rusqlite::{Connection, TransactionBehavior};

use super::error::Fault;
use super::queries;

/// "Horn" in ASCII: says that the file is ours.
pub(crate) const APPLICATION_ID: i32 = 0x486F_726E;

/// One step of the schema.
pub(super) struct Migration {
    pub(super) version: i64,
    pub(super) name: &'static str,
    pub(super) sql: &'static str,
}

pub(super) const MIGRATIONS: &[Migration] = &[
    Migration {
        version: 1,
        name: "001_first",
        sql: include_str!("migrations/sqlite/001_first.sql"),
    },
    Migration {
        version: 2,
        name: "002_decisions",
        sql: include_str!("migrations/sqlite/002_decisions.sql"),
    },
    Migration {
        version: 3,
        name: "003_farms",
        sql: include_str!("migrations/sqlite/003_farms.sql"),
    },
    Migration {
        version: 4,
        name: "004_chute",
        sql: include_str!("migrations/sqlite/004_chute.sql"),
    },
    Migration {
        version: 5,
        name: "005_duties",
        sql: include_str!("migrations/sqlite/005_duties.sql"),
    },
    Migration {
        version: 6,
        name: "006_aside",
        sql: include_str!("migrations/sqlite/006_aside.sql"),
    },
    Migration {
        version: 7,
        name: "007_duties",
        sql: include_str!("migrations/sqlite/007_duties.sql"),
    },
    Migration {
        version: 8,
        name: "008_farms",
        sql: include_str!("migrations/sqlite/008_farms.sql"),
    },
    Migration {
        version: 9,
        name: "009_payments",
        sql: include_str!("migrations/sqlite/009_payments.sql"),
    },
    Migration { version: 10, name: "010_vet", sql: include_str!("migrations/sqlite/010_vet.sql") },
    Migration { version: 11, name: "011_lot", sql: include_str!("migrations/sqlite/011_lot.sql") },
    Migration {
        version: 12,
        name: "012_ways",
        sql: include_str!("migrations/sqlite/012_ways.sql"),
    },
];

/// Why a database cannot be brought to the newest version.
#[derive(Debug)]
pub(super) enum Unfit {
    Fault(Fault),
    NotOurs,
    Newer { found: i64, known: i64 },
    Edited { version: i64 },
    Schema { what: String },
}

impl From<rusqlite::Error> for Unfit {
    fn from(error: rusqlite::Error) -> Self {
        Self::Fault(Fault::Sql(error))
    }
}

/// CRC-32 of the text without CR, so that a checkout with other line ends is no edit.
fn checksum(sql: &str) -> i64 {
    let mut digest = CRC.digest();
    for line in sql.split('\r') {
        digest.update(line.as_bytes());
    }
    i64::from(digest.finalize())
}

/// Whether the file is ours or empty, and not newer. Writes nothing.
pub(super) fn check(conn: &Connection, migrations: &[Migration]) -> Result<(), Unfit> {
    let application: i32 = conn.query_row("PRAGMA application_id", [], |row| row.get(0))?;
    let found = version(conn)?;
    let objects: i64 = conn.query_row(queries::SCHEMA_OBJECTS, [], |row| row.get(0))?;
    let empty = application == 0 && found == 0 && objects == 0;
    if !empty && application != APPLICATION_ID {
        return Err(Unfit::NotOurs);
    }
    let known = newest(migrations);
    if found > known {
        return Err(Unfit::Newer { found, known });
    }
    if found == 0 {
        return Ok(());
    }
    let mut statement = conn.prepare(queries::MIGRATIONS)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (version, written): (i64, i64) = (row.get(0)?, row.get(1)?);
        let same = migrations.iter().any(|m| m.version == version && checksum(m.sql) == written);
        if !same {
            return Err(Unfit::Edited { version });
        }
    }
    Ok(())
}

/// The version that all migrations lead to.
pub(super) fn newest(migrations: &[Migration]) -> i64 {
    migrations.last().map_or(0, |last| last.version)
}

/// The version that a database is at.
pub(super) fn version(conn: &Connection) -> Result<i64, Unfit> {
    Ok(conn.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}

/// Runs what is missing.
pub(super) fn run(conn: &mut Connection, migrations: &[Migration]) -> Result<(), Unfit> {
    if version(conn)? >= newest(migrations) {
        return Ok(());
    }
    for migration in migrations {
        let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Asked again inside the transaction: another program may have migrated in between.
        if migration.version <= version(&tx)? {
            continue;
        }
        tx.execute_batch(migration.sql)?;
        let row = (migration.version, migration.name, checksum(migration.sql));
        tx.execute(queries::INSERT_MIGRATION, row)?;
        tx.pragma_update(None, "application_id", APPLICATION_ID)?;
        tx.pragma_update(None, "user_version", migration.version)?;
        tx.commit()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What shipped stays as it is. A new file gets a new line; no line ever changes.
    const FROZEN: &[(i64, i64)] = &[
        (1, 2_953_153_288),
        (2, 4_038_378_425),
        (3, 2_258_321_934),
        (4, 1_531_347_660),
        (5, 4_176_287_276),
        (6, 250_076_174),
        (7, 282_392_333),
        (8, 508_597_805),
        (9, 2_870_069_778),
        (10, 2_290_018_992),
        (11, 483_913_644),
        (12, 2_209_731_797),
    ];

    #[test]
    fn shipped_migrations_are_not_edited() {
        let now: Vec<_> = MIGRATIONS.iter().map(|m| (m.version, checksum(m.sql))).collect();
        assert_eq!(now, FROZEN);
    }

    #[test]
    fn versions_rise_by_one_and_names_carry_them() {
        for (at, migration) in (1..).zip(MIGRATIONS) {
            assert_eq!(migration.version, at);
            assert!(migration.name.starts_with(&format!("{at:03}_")));
        }
    }

    #[test]
    fn other_line_ends_are_no_edit() {
        assert_eq!(checksum("a\r\nb\r\n"), checksum("a\nb\n"));
        assert_ne!(checksum("a\nb\n"), checksum("a\nc\n"));
    }

    #[test]
    fn a_failing_step_leaves_the_step_before_it() {
        let broken = Migration { version: 99, name: "099_x", sql: "CREATE TABLE t (a) ; oops" };
        let mut conn = Connection::open_in_memory().unwrap();
        run(&mut conn, MIGRATIONS).unwrap();
        assert!(run(&mut conn, &[broken]).is_err());
        let version: i64 = conn.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
        let tables: i64 = conn
            .query_row("SELECT count(*) FROM sqlite_schema WHERE name = 't'", [], |row| row.get(0))
            .unwrap();
        assert_eq!((version, tables), (MIGRATIONS.len().try_into().unwrap(), 0));
    }

    #[test]
    fn an_edited_migration_is_noticed() {
        let mut conn = Connection::open_in_memory().unwrap();
        run(&mut conn, MIGRATIONS).unwrap();
        check(&conn, MIGRATIONS).unwrap();
        for edited in 0..MIGRATIONS.len() {
            let now = |at: usize, one: &Migration| Migration {
                version: one.version,
                name: one.name,
                sql: if at == edited { "-- something else" } else { one.sql },
            };
            let all: Vec<_> = MIGRATIONS.iter().enumerate().map(|(i, one)| now(i, one)).collect();
            let told = check(&conn, &all);
            assert!(
                matches!(told, Err(Unfit::Edited { version }) if version == all[edited].version)
            );
        }
    }
}
