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

mod aside_rows;
mod backup;
mod bill_rows;
mod closing_rows;
mod decision_rows;
mod derived_rows;
mod due_rows;
mod emptied;
mod error;
mod fact_rows;
mod farm_rows;
mod health_rows;
pub mod inbox;
mod inbox_rows;
mod key_rows;
mod limit_rows;
mod list_rows;
mod lot_rows;
mod mark_rows;
mod migrations;
mod open;
mod payment_rows;
mod proof;
mod queries;
mod remark_rows;
mod review_rows;
mod wash_rows;
mod way_rows;

#[cfg(test)]
mod tests;

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, TransactionBehavior};

use hornrule_facts::{AnimalId, Day, HerdId};

pub use backup::{Copied, CopyError, back_up, restore};
pub use error::{DatabaseError, Fault};
pub use fact_rows::{Kinds, Span};
pub use health_rows::{Change, DerivedRows, Health};
pub use key_rows::{PlanLoad, StayAt, Whereabouts};
pub use queries::ALL as QUERIES;
pub use remark_rows::RemarkRow;
pub use review_rows::Noted;
pub use wash_rows::Arrived;

/// How long to wait for another program that writes.
const PATIENCE: Duration = Duration::from_secs(5);

/// An open herd database.
#[derive(Debug)]
pub struct Database {
    conn: Connection,
    path: PathBuf,
    read_only: bool,
}

/// The tables inside one transaction. All SQL is a method of this, spread over the `*_rows` files.
pub struct Rows<'a> {
    conn: &'a Connection,
}

impl Database {
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

    /// Whether it can only be read: its file or folder cannot be written.
    #[must_use]
    pub const fn is_read_only(&self) -> bool {
        self.read_only
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
        self.view(work).map_err(|fault| fault.at(&self.path))
    }

    /// The same, where the fault may be of another file.
    fn view<T>(&self, work: impl FnOnce(&Rows<'_>) -> Result<T, Fault>) -> Result<T, Fault> {
        let tx = self.conn.unchecked_transaction()?;
        let value = work(&Rows { conn: &tx })?;
        tx.commit()?;
        Ok(value)
    }
}
