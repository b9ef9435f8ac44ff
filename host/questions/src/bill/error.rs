//! Why there is no bill, each with what to try.

use hornrule_facts::bill::{BillNumber, Currency};
use hornrule_facts::{Day, plain};
use hornrule_herd::DatabaseError;

/// Why there is no bill.
#[derive(Debug, thiserror::Error)]
pub enum BillError {
    /// The database.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// No such herd.
    #[error("that herd is no longer in the database; `hornrule herd list` shows all herds")]
    NoHerd,
    /// Nothing that costs anything and is not billed yet.
    #[error(
        "there is nothing to bill at {farm}: every visit in that period is billed, or nothing done \
         there has a price; see `hornrule bill list` and the price list"
    )]
    Nothing {
        /// The farm.
        farm: String,
    },
    /// Two currencies.
    #[error(
        "the price list is in {list}, the bills of {farm} are in {farms}; make a price list in \
         {farms} and name it with --prices, or `hornrule herd set --currency {list}`"
    )]
    Currency {
        /// The farm.
        farm: String,
        /// Its currency.
        farms: Currency,
        /// The list's.
        list: Currency,
    },
    /// No such bill.
    #[error("there is no bill {number}; `hornrule bill list` shows all bills")]
    NoBill {
        /// The number asked for.
        number: BillNumber,
    },
    /// A credit note is not credited itself.
    #[error("{number} belongs to bill {of}; use `hornrule bill credit {of}`")]
    NotFirst {
        /// The number asked for.
        number: BillNumber,
        /// The bill it belongs to.
        of: BillNumber,
    },
    /// Nothing differs.
    #[error("bill {number} matches the records; there is nothing to credit")]
    Same {
        /// The bill.
        number: BillNumber,
    },
    /// Entries of its visits are held.
    #[error(
        "nothing was issued: {} of these visits at {farm} {} held and not counted; see `hornrule \
         review list --held --herd \"{farm}\"` and decide, or give a reason with --with-held",
        plain::count(*held, "entry", "entries"),
        if *held == 1 { "is" } else { "are" }
    )]
    Held {
        /// The farm.
        farm: String,
        /// How many.
        held: usize,
    },
    /// A free line that the price list does not have.
    #[error(
        "the price list has no line `{name}` ({known}); write it as `[line.\"{name}\"]` with a \
         price and a unit"
    )]
    NoLine {
        /// What was asked for.
        name: String,
        /// What it has.
        known: String,
    },
    /// A credit note cannot be paid.
    #[error("{number} is a credit note to bill {of}; note what was paid for `{of}`")]
    NotPaid {
        /// The credit note.
        number: BillNumber,
        /// Its bill.
        of: BillNumber,
    },
    /// A payment on a day to come.
    #[error("a payment on {day} has not come yet: today is {today}")]
    NotYet {
        /// The day said.
        day: Day,
        /// Today.
        today: Day,
    },
    /// More than is open.
    #[error(
        "only {open} {currency} is open on bill {number}; see `hornrule bill payments {number}`, or \
         use --overpaid if more did come in"
    )]
    TooMuch {
        /// The bill.
        number: BillNumber,
        /// What is open, as text.
        open: String,
        /// In which currency.
        currency: Currency,
    },
    /// No such payment.
    #[error("there is no payment {payment}; `hornrule bill payments` shows all payments")]
    NoPayment {
        /// The number asked for.
        payment: i64,
    },
    /// A payment that is taken back already, or takes one back itself.
    #[error("payment {payment} no longer stands; `hornrule bill payments` shows all payments")]
    TakenBack {
        /// The number asked for.
        payment: i64,
    },
}
