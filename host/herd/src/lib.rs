//! The herd database: one SQLite file.
//!
//! ```text
//!  pull --Batch--> [ pull sealed conflict covered anchor ]   the inbox, verbatim
//!                                   |
//!                                intake   <-- [ herd animal handheld ]   what the office was told
//!                                   v
//!            [ presence reading finding action score ] [ remark ]   derived, may be derived again
//! ```
//!
//! This room is the only one that speaks SQL, and every query stands in `queries`. Other rooms
//! get plain values: what was said as [`hornrule_facts::Fact`]s, by one reader. It knows no wire
//! and no rule.
//!
//! Every change is one transaction, durable when it returns (`synchronous = FULL`).

mod backup;
mod bill_rows;
mod closing_rows;
mod decision_rows;
mod derived_rows;
mod due_rows;
mod error;
mod fact_rows;
mod farm_rows;
mod health_rows;
pub mod inbox;
mod inbox_rows;
mod limit_rows;
mod list_rows;
mod mark_rows;
mod migrations;
mod payment_rows;
mod queries;
mod remark_rows;
mod review_rows;

#[cfg(test)]
mod tests;

use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior};

use hornrule_facts::{AnimalId, Day, HerdId};

pub use backup::{Copied, CopyError, back_up, restore};
pub use error::{DatabaseError, Fault};
pub use fact_rows::{Kinds, Span};
pub use health_rows::{Change, DerivedRows, Health};
pub use queries::ALL as QUERIES;
pub use remark_rows::RemarkRow;
pub use review_rows::Noted;

use migrations::{MIGRATIONS, Unfit};

/// How long to wait for another program that writes.
const PATIENCE: Duration = Duration::from_secs(5);
/// How long to nap where SQLite does not wait by itself.
const NAP: Duration = Duration::from_millis(10);
/// Prepared statements kept: more than the queries there are.
const STATEMENTS: usize = 160;

/// An open herd database.
#[derive(Debug)]
pub struct Database {
    conn: Connection,
    path: PathBuf,
}

/// The tables inside one transaction. All SQL is a method of this, spread over the `*_rows` files.
pub struct Rows<'a> {
    conn: &'a Connection,
}

impl Database {
    /// Opens the database at this path, and creates it if missing.
    ///
    /// # Errors
    /// [`DatabaseError`]; a file that is not ours is never changed.
    pub fn open(path: &Path) -> Result<Self, DatabaseError> {
        Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE)
    }

    /// Opens the database at this path.
    ///
    /// # Errors
    /// `Missing` if there is none, and all of [`Database::open`].
    pub fn open_existing(path: &Path) -> Result<Self, DatabaseError> {
        if !path.exists() {
            return Err(DatabaseError::Missing { path: path.to_owned() });
        }
        Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
    }

    /// Opens the database at this path only to read, and leaves its version as it is.
    fn open_to_read(path: &Path) -> Result<Self, DatabaseError> {
        if !path.exists() {
            return Err(DatabaseError::Missing { path: path.to_owned() });
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let conn = Connection::open_with_flags(path, flags).map_err(|e| Fault::Sql(e).at(path))?;
        match migrations::check(&conn, MIGRATIONS) {
            Ok(()) => Ok(Self { conn, path: path.to_owned() }),
            Err(unfit) => Err(Self::unfit(unfit, path.to_owned())),
        }
    }

    /// A database that is gone when it is dropped.
    ///
    /// # Errors
    /// `Ours` only.
    pub fn in_memory() -> Result<Self, DatabaseError> {
        let path = PathBuf::from("the database in memory");
        let conn = Connection::open_in_memory().map_err(|e| Fault::Sql(e).at(&path))?;
        Self::prepared(conn, path)
    }

    fn open_with(path: &Path, flags: OpenFlags) -> Result<Self, DatabaseError> {
        let flags = flags | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let conn = Connection::open_with_flags(path, flags).map_err(|e| Fault::Sql(e).at(path))?;
        Self::prepared(conn, path.to_owned())
    }

    fn prepared(mut conn: Connection, path: PathBuf) -> Result<Self, DatabaseError> {
        let outcome = Self::prepare(&mut conn);
        match outcome {
            Ok(()) => Ok(Self { conn, path }),
            Err(unfit) => Err(Self::unfit(unfit, path)),
        }
    }

    fn unfit(unfit: Unfit, path: PathBuf) -> DatabaseError {
        match unfit {
            Unfit::Fault(fault) => fault.at(&path),
            Unfit::NotOurs => DatabaseError::NotOurs { path },
            Unfit::Newer { found, known } => DatabaseError::Newer { path, found, known },
            Unfit::Edited { version } => DatabaseError::Edited { path, version },
        }
    }

    fn prepare(conn: &mut Connection) -> Result<(), Unfit> {
        conn.busy_timeout(PATIENCE)?;
        // Looked at first: the settings below write to the file. In one view, or a file that another
        // program makes just now looks half ours.
        let view = conn.unchecked_transaction()?;
        migrations::check(&view, MIGRATIONS)?;
        view.commit()?;
        use_wal(conn)?;
        for (name, value) in [
            ("synchronous", "FULL"),
            ("foreign_keys", "ON"),
            // A database file from elsewhere must not run functions from its own schema.
            ("trusted_schema", "OFF"),
            ("cell_size_check", "ON"),
            // Only macOS listens to these two.
            ("fullfsync", "ON"),
            ("checkpoint_fullfsync", "ON"),
        ] {
            conn.pragma_update(None, name, value)?;
        }
        conn.set_prepared_statement_cache_capacity(STATEMENTS);
        migrations::run(conn, MIGRATIONS)
    }

    /// One column of what a statement gives, as text; empty for NULL. For tests that look at the
    /// tables themselves: no room of the office may use it, which a test holds.
    ///
    /// # Errors
    /// What SQLite says.
    #[doc(hidden)]
    pub fn inspect(&self, text: &str) -> Result<Vec<String>, String> {
        let read = || -> Result<Vec<String>, rusqlite::Error> {
            let mut statement = self.conn.prepare(text)?;
            let mut rows = statement.query([])?;
            let mut all = Vec::new();
            while let Some(row) = rows.next()? {
                all.push(row.get::<_, Option<String>>(0)?.unwrap_or_default());
            }
            Ok(all)
        };
        read().map_err(|error| error.to_string())
    }

    /// Where the file is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// One transaction that changes something: all of it is kept, or nothing.
    pub fn write<T, E: From<DatabaseError>>(
        &mut self,
        work: impl FnOnce(&Rows<'_>) -> Result<T, Fault>,
    ) -> Result<T, E> {
        // Immediate: two writers meet here and not half way.
        let done = (|| {
            let tx = self.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
            let value = work(&Rows { conn: &tx })?;
            tx.commit()?;
            Ok(value)
        })();
        done.map_err(|fault: Fault| fault.at(&self.path).into())
    }

    /// One transaction that may be refused: kept where the work says so, and else nothing of it.
    pub fn write_or_not<T, E: From<DatabaseError>>(
        &mut self,
        work: impl FnOnce(&Rows<'_>) -> Result<Result<T, E>, Fault>,
    ) -> Result<T, E> {
        let done = (|| {
            let tx = self.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
            let outcome = work(&Rows { conn: &tx })?;
            if outcome.is_ok() {
                tx.commit()?;
            }
            Ok(outcome)
        })();
        done.map_err(|fault: Fault| E::from(fault.at(&self.path)))?
    }

    /// One view of the database that no other program's change divides.
    pub fn read<T>(
        &self,
        work: impl FnOnce(&Rows<'_>) -> Result<T, Fault>,
    ) -> Result<T, DatabaseError> {
        let done = (|| {
            let tx = self.conn.unchecked_transaction()?;
            let value = work(&Rows { conn: &tx })?;
            tx.commit()?;
            Ok(value)
        })();
        done.map_err(|fault: Fault| fault.at(&self.path))
    }
}

/// Two programs that make the same file at once both ask for it alone, and SQLite then says "busy" at
/// once, whatever its time-out is: waiting in there could last forever.
fn use_wal(conn: &Connection) -> Result<(), rusqlite::Error> {
    let until = Instant::now() + PATIENCE;
    loop {
        match conn.pragma_update(None, "journal_mode", "WAL") {
            Err(error)
                if error.sqlite_error_code() == Some(ErrorCode::DatabaseBusy)
                    && Instant::now() < until =>
            {
                thread::sleep(NAP);
            }
            done => return done,
        }
    }
}
