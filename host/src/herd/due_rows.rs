//! Rows for what is due: all that was said of a herd's feet, and the days of the due rules.

use hornrule_protocol::{DeviceId, LogId, Seq};

use super::inbox_rows::device_of;
use super::report_rows::{done_of, finding_of};
use super::{AnimalId, Day, Fault, Herd, HerdError, HerdId, Rows, queries};
use crate::due::cow::Told;
use crate::due::{DUE_RULES, DueRules};

/// Where something said stands among all that was said.
type At = (i64, DeviceId, LogId, Seq);

impl Rows<'_> {
    /// Every finding and action of a herd up to and with a day, in the order of time.
    pub(crate) fn told_through(
        &self,
        herd: HerdId,
        day: Day,
    ) -> Result<Vec<(AnimalId, Day, Told)>, Fault> {
        let key = (herd, day);
        let found = self.told(queries::FOUND_THROUGH, key, |row| finding_of(row, 6))?;
        let done = self.told(queries::DONE_THROUGH, key, |row| done_of(row, 6))?;
        let mut all: Vec<(At, AnimalId, Day, Told)> = Vec::with_capacity(found.len() + done.len());
        all.extend(found.into_iter().map(|(at, cow, day, what)| (at, cow, day, Told::Found(what))));
        all.extend(done.into_iter().map(|(at, cow, day, what)| (at, cow, day, Told::Did(what))));
        // The day goes first: a clock that was put right can run backwards over midnight.
        all.sort_by_key(|(at, _, day, _)| (*day, *at));
        Ok(all.into_iter().map(|(_, animal, day, told)| (animal, day, told)).collect())
    }

    fn told<T>(
        &self,
        query: &str,
        (herd, day): (HerdId, Day),
        what: impl Fn(&rusqlite::Row<'_>) -> Result<T, Fault>,
    ) -> Result<Vec<(At, AnimalId, Day, T)>, Fault> {
        let mut statement = self.conn.prepare_cached(query)?;
        let mut rows = statement.query((herd.0, day.0))?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let at = (row.get(0)?, device_of(row, 1)?, LogId(row.get(2)?), Seq(row.get(3)?));
            all.push((at, AnimalId(row.get(4)?), Day(row.get(5)?), what(row)?));
        }
        Ok(all)
    }

    /// The days of the due rules; the default of each that is not here.
    pub(crate) fn due_rules(&self) -> Result<DueRules, Fault> {
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

impl Herd {
    /// The days of the due rules.
    ///
    /// # Errors
    /// [`HerdError`].
    pub fn due_rules(&self) -> Result<DueRules, HerdError> {
        self.read(|rows| rows.due_rules())
    }

    /// Puts days of the due rules in force. Nothing is derived from them; nothing is written where
    /// they are in force already.
    ///
    /// # Errors
    /// [`HerdError`]; all is then as before.
    pub fn set_due_rules(&mut self, rules: &DueRules) -> Result<(), HerdError> {
        if self.due_rules()? == *rules {
            return Ok(());
        }
        self.write(|rows| rows.set_due_rules(rules))
    }
}
