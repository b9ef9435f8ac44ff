//! Remarks as pages show them.

use hornrule_facts::{AnimalId, Day, HerdId, Severity};
use rusqlite::Row;

use super::{Fault, Rows, queries};

/// A remark on a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RemarkRow {
    /// The rule that fired, or the word for what was decided.
    pub rule: String,
    /// What became of the record.
    pub severity: Severity,
    /// The cow, where she is known.
    pub animal: Option<AnimalId>,
    /// Why and what to do.
    pub sentence: String,
}

impl Rows<'_> {
    /// Remarks on records of a herd and day.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn remarks(&self, herd: HerdId, day: Day) -> Result<Vec<RemarkRow>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::REMARKS)?;
        let remarks = statement.query_map((herd.0, day.0), remark)?;
        Ok(remarks.collect::<Result<_, _>>()?)
    }

    /// Remarks on records that no herd is known for.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn unplaced_remarks(&self) -> Result<Vec<RemarkRow>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::UNPLACED_REMARKS)?;
        let remarks = statement.query_map([], remark)?;
        Ok(remarks.collect::<Result<_, _>>()?)
    }
}

pub(super) const fn severity_of(number: u8) -> Severity {
    match number {
        0 => Severity::Flagged,
        1 => Severity::Held,
        _ => Severity::Settled,
    }
}

fn remark(row: &Row<'_>) -> rusqlite::Result<RemarkRow> {
    Ok(RemarkRow {
        rule: row.get(3)?,
        severity: severity_of(row.get(4)?),
        animal: row.get::<_, Option<i64>>(5)?.map(AnimalId),
        sentence: row.get(8)?,
    })
}
