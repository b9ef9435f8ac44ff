//! What the office noted as paid.

use super::{BillNumber, Money};
use crate::Day;

/// A payment, or what takes one back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Payment {
    /// The bill or supplement.
    pub bill: BillNumber,
    /// On which day it came in.
    pub day: Day,
    /// How much, more than zero.
    pub amount: Money,
    /// Who noted it.
    pub who: String,
    /// When it was noted, UTC milliseconds.
    pub at_ms: i64,
    /// Why; may be empty.
    pub why: String,
}

/// A payment as it stands in the database.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotedPayment {
    /// Its number: 1, 2, 3, ... in the order in which they were noted.
    pub number: i64,
    /// What was noted.
    pub payment: Payment,
    /// The payment that this row takes back; `None` for a payment.
    pub takes_back: Option<i64>,
}

/// The payments that stand: neither taken back nor taking back.
pub fn standing(noted: &[NotedPayment]) -> impl Iterator<Item = &NotedPayment> {
    let taken_back = |number: i64| noted.iter().any(|one| one.takes_back == Some(number));
    noted.iter().filter(move |one| one.takes_back.is_none() && !taken_back(one.number))
}
