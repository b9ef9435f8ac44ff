//! Notes payments, and takes them back.

use hornrule_facts::bill::payment::standing;
use hornrule_facts::bill::{BillKind, BillNumber, Money, NotedPayment, Payment};
use hornrule_facts::{Day, Language};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

use super::BillError;
use super::account::{Account, accounts};

/// What is to be noted.
#[derive(Clone, Debug)]
pub struct Paying<'a> {
    /// The bill or supplement.
    pub number: &'a BillNumber,
    /// How much; `None` for all that is open.
    pub amount: Option<Money>,
    /// On which day it came in.
    pub on: Day,
    /// The day it is.
    pub today: Day,
    /// Whether more than is open did come in.
    pub overpaid: bool,
}

/// Who notes it, when (UTC milliseconds), and why.
pub type Noting<'a> = (&'a str, i64, &'a str);

/// Notes a payment. Gives the row and what is then open on the account.
///
/// # Errors
/// [`BillError`]; nothing is noted then.
pub fn pay(
    herd: &mut Database,
    paying: &Paying<'_>,
    (who, at_ms, why): Noting<'_>,
) -> Result<(NotedPayment, Account), BillError> {
    herd.write_or_not(|rows| {
        let number = paying.number;
        let Some(bill) = rows.bill(number)? else {
            return Ok(Err(BillError::NoBill { number: number.clone() }));
        };
        if let BillKind::Credit { of } = bill.kind {
            return Ok(Err(BillError::NotPaid { number: number.clone(), of }));
        }
        if paying.on > paying.today {
            return Ok(Err(BillError::NotYet { day: paying.on, today: paying.today }));
        }
        let first = bill.kind.of().unwrap_or(number);
        let open = account_of(rows, first)?.open();
        let amount = paying.amount.unwrap_or(open);
        if amount <= Money(0) || amount > open && !paying.overpaid {
            let open = open.shown(bill.currency, Language::English);
            let (number, currency) = (first.clone(), bill.currency);
            return Ok(Err(BillError::TooMuch { number, open, currency }));
        }
        let (who, why) = (who.to_owned(), why.to_owned());
        let bill = number.clone();
        let payment = Payment { bill, day: paying.on, amount, who, at_ms, why };
        rows.insert_payment(&payment, None)?;
        Ok(Ok((last(rows)?, account_of(rows, first)?)))
    })
}

/// Takes a payment back by a further row. Gives that row and what is then open on the account.
///
/// # Errors
/// [`BillError`]; nothing is taken back then.
pub fn take_back(
    herd: &mut Database,
    payment: i64,
    (who, at_ms, why): Noting<'_>,
) -> Result<(NotedPayment, Account), BillError> {
    herd.write_or_not(|rows| {
        let noted = rows.payments()?;
        if !noted.iter().any(|one| one.number == payment) {
            return Ok(Err(BillError::NoPayment { payment }));
        }
        let Some(found) = standing(&noted).find(|one| one.number == payment) else {
            return Ok(Err(BillError::TakenBack { payment }));
        };
        let (who, why) = (who.to_owned(), why.to_owned());
        let back = Payment { who, at_ms, why, ..found.payment.clone() };
        rows.insert_payment(&back, Some(payment))?;
        let bill = rows.bill(&back.bill)?;
        let first = bill.as_ref().and_then(|bill| bill.kind.of()).unwrap_or(&back.bill);
        Ok(Ok((last(rows)?, account_of(rows, first)?)))
    })
}

/// The accounts of all first bills, in their order.
///
/// # Errors
/// [`DatabaseError`].
pub fn all_accounts(herd: &Database) -> Result<Vec<Account>, DatabaseError> {
    herd.read(|rows| Ok(accounts(&rows.bills(None)?, &rows.payments()?)))
}

fn account_of(rows: &Rows<'_>, first: &BillNumber) -> Result<Account, Fault> {
    let all = accounts(&rows.bills(None)?, &rows.payments()?);
    let is_it = |one: &Account| {
        one.papers.first().is_some_and(|paper| paper.bill.number.as_ref() == Some(first))
    };
    let none = || Fault::Stored(format!("a bill belongs to {first}, which is not there"));
    all.into_iter().find(is_it).ok_or_else(none)
}

fn last(rows: &Rows<'_>) -> Result<NotedPayment, Fault> {
    let none = || Fault::Stored("a payment was noted and is not there".to_owned());
    rows.payments()?.pop().ok_or_else(none)
}
