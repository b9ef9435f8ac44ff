//! Rows of decisions. They are only ever added.

use hornrule_protocol::{DeviceId, LogId, Seq};
use rusqlite::{Row, params};

use super::inbox_rows::{device_number, device_of};
use super::{AnimalId, Database, DatabaseError, Fault, HerdId, Rows, queries};
use hornrule_facts::field::Field;
use hornrule_facts::{Decision, Verdict};

/// At which farm the work was: a field of no entry, after those that entries have.
const AT: u8 = 14;

impl Rows<'_> {
    /// Keeps a decision and gives its number.
    pub fn insert_decision(&self, one: &Decision) -> Result<i64, Fault> {
        let (kind, field, value, back) = match one.verdict {
            Verdict::Accept => (0, None, None, None),
            Verdict::Correct(field, value) => (1, Some(field.number()), Some(value), None),
            Verdict::Reassign(animal) => (2, None, Some(animal.0), None),
            Verdict::At(herd) => (1, Some(AT), Some(herd.0), None),
            Verdict::Discard => (3, None, None, None),
            Verdict::TakeBack(decision) => (4, None, None, Some(decision)),
        };
        let row = params![
            device_number(one.device),
            one.log.0,
            one.seq.0,
            kind,
            field,
            value,
            back,
            one.who,
            one.at_ms,
            one.why,
        ];
        let mut statement = self.conn.prepare_cached(queries::INSERT_DECISION)?;
        Ok(statement.query_row(row, |row| row.get(0))?)
    }

    /// The decisions on a log, in the order in which they were made.
    pub fn decisions(&self, device: DeviceId, log: LogId) -> Result<Vec<Decision>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::DECISIONS)?;
        let mut rows = statement.query((device_number(device), log.0))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(decision(row)?);
        }
        Ok(all)
    }

    /// All decisions, in the order in which they were made.
    pub fn all_decisions(&self) -> Result<Vec<Decision>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::ALL_DECISIONS)?;
        let mut rows = statement.query([])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(decision(row)?);
        }
        Ok(all)
    }
}

fn decision(row: &Row<'_>) -> Result<Decision, Fault> {
    let number: i64 = row.get(0)?;
    let strange = || Fault::Stored(format!("decision {number} is of no kind that there is"));
    let kind: u8 = row.get(4)?;
    let field: Option<u8> = row.get(5)?;
    let value: Option<i64> = row.get(6)?;
    let back: Option<i64> = row.get(7)?;
    let verdict = match (kind, field.and_then(Field::from_number), value, back) {
        (1, None, Some(herd), None) if field == Some(AT) => Verdict::At(HerdId(herd)),
        (0, None, None, None) => Verdict::Accept,
        (1, Some(field), Some(value), None) => Verdict::Correct(field, value),
        (2, None, Some(animal), None) => Verdict::Reassign(AnimalId(animal)),
        (3, None, None, None) => Verdict::Discard,
        (4, None, None, Some(back)) => Verdict::TakeBack(back),
        _ => return Err(strange()),
    };
    Ok(Decision {
        decision: number,
        device: device_of(row, 1)?,
        log: LogId(row.get(2)?),
        seq: Seq(row.get(3)?),
        verdict,
        who: row.get(8)?,
        at_ms: row.get(9)?,
        why: row.get(10)?,
    })
}

impl Database {
    /// All decisions, in the order in which they were made, also those taken back.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn decisions(&self) -> Result<Vec<Decision>, DatabaseError> {
        self.read(|rows| rows.all_decisions())
    }
}
