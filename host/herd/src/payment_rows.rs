//! Rows of payments: only ever added, as the schema demands.

use hornrule_facts::bill::{BillNumber, Money, NotedPayment, Payment};
use rusqlite::params;

use super::{Database, DatabaseError, Day, Fault, Rows, queries};

impl Rows<'_> {
    /// Notes a payment, or what takes the payment of a number back.
    ///
    /// # Errors
    /// [`Fault`]; the schema refuses what is taken back twice or otherwise than it was noted.
    pub fn insert_payment(&self, payment: &Payment, takes_back: Option<i64>) -> Result<(), Fault> {
        let Payment { bill, day, amount, who, at_ms, why } = payment;
        let row = params![bill.series, bill.number, day.0, amount.0, takes_back, who, at_ms, why];
        self.conn.prepare_cached(queries::INSERT_PAYMENT)?.execute(row)?;
        Ok(())
    }

    /// All payments and what takes them back, in the order in which they were noted.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn payments(&self) -> Result<Vec<NotedPayment>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::PAYMENTS)?;
        let payments = statement.query_map([], |row| {
            let payment = Payment {
                bill: BillNumber { series: row.get(1)?, number: row.get(2)? },
                day: Day(row.get(3)?),
                amount: Money(row.get(4)?),
                who: row.get(6)?,
                at_ms: row.get(7)?,
                why: row.get(8)?,
            };
            Ok(NotedPayment { number: row.get(0)?, payment, takes_back: row.get(5)? })
        })?;
        Ok(payments.collect::<Result<_, _>>()?)
    }
}

impl Database {
    /// All payments and what takes them back, in the order in which they were noted.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn payments(&self) -> Result<Vec<NotedPayment>, DatabaseError> {
        self.read(|rows| rows.payments())
    }
}
