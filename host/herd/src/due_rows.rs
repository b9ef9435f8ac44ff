//! The days of the due rules.

use hornrule_facts::{DUE_RULES, DueRules};

use super::{Database, DatabaseError, Fault, Rows, queries};

impl Rows<'_> {
    /// The days of the due rules; the default of each that is not here.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn due_rules(&self) -> Result<DueRules, Fault> {
        let mut rules = DueRules::default();
        let mut statement = self.conn.prepare_cached(queries::DUE_RULES)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (name, days): (String, u16) = (row.get(0)?, row.get(1)?);
            if let Some(rule) = DUE_RULES.iter().find(|rule| rule.key == name) {
                rule.set(&mut rules, days);
            }
        }
        Ok(rules)
    }

    fn set_due_rules(&self, rules: &DueRules) -> Result<(), Fault> {
        let mut statement = self.conn.prepare_cached(queries::SET_DUE_RULE)?;
        for rule in DUE_RULES {
            statement.execute((rule.key, rule.days(rules)))?;
        }
        Ok(())
    }
}

impl Database {
    /// The days of the due rules.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn due_rules(&self) -> Result<DueRules, DatabaseError> {
        self.read(|rows| rows.due_rules())
    }

    /// Puts days of the due rules in force. Nothing is derived from them; nothing is written where
    /// they are in force already.
    ///
    /// # Errors
    /// [`DatabaseError`]; all is then as before.
    pub fn set_due_rules(&mut self, rules: &DueRules) -> Result<(), DatabaseError> {
        if self.due_rules()? == *rules {
            return Ok(());
        }
        self.write(|rows| rows.set_due_rules(rules))
    }
}
