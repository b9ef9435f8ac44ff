//! The numbers that rules went by.

use super::{Fault, Rows, queries};
use hornrule_facts::limits::{Limits, THRESHOLDS};

/// Under this name stands the checksum of the rules; no rule has it.
const CHECKSUM: &str = "rules";

impl Rows<'_> {
    /// The numbers in force; the default of each that is not here.
    pub fn limits(&self) -> Result<Limits, Fault> {
        let mut limits = Limits::default();
        for (name, value) in self.thresholds()? {
            if let Some(threshold) = THRESHOLDS.iter().find(|one| one.name() == name) {
                threshold.set(&mut limits, value);
            }
        }
        Ok(limits)
    }

    /// The checksum of rules and numbers by which the derived tables were made; `None` where they
    /// never were.
    pub fn rules_checksum(&self) -> Result<Option<i64>, Fault> {
        let checksum = self.thresholds()?.into_iter().find(|(name, _)| name == CHECKSUM);
        Ok(checksum.map(|(_, value)| value))
    }

    /// Puts numbers and rules in force.
    pub fn set_limits(&self, limits: &Limits, checksum: i64) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::CLEAR_THRESHOLDS)?.execute([])?;
        let mut statement = self.conn.prepare_cached(queries::INSERT_THRESHOLD)?;
        for threshold in THRESHOLDS {
            statement.execute((threshold.name(), threshold.value(limits)))?;
        }
        statement.execute((CHECKSUM, checksum))?;
        Ok(())
    }

    fn thresholds(&self) -> Result<Vec<(String, i64)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::THRESHOLDS)?;
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}
