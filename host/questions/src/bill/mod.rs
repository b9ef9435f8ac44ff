//! Bills: what the records say was done, times the price list.
//!
//! ```text
//! herd tables --tally--> quantities by day --+
//! prices.toml --PriceList-------------------+--> lines --reckon--> Bill (draft)
//!                                                                    | issue: one transaction
//!                                       Bill (issued, values) <------+  number = last + 1
//!                                          |
//!      records corrected later --credit--> a further Bill with the difference
//!      payments noted ----------account--> paid, open, overdue
//! ```
//!
//! The rules are in `BILLS.md`.
//!
//! Money is whole minor units of a currency (cents, yen). Tax is reckoned once a rate, over the sum
//! of that rate's lines, and rounded to the minor unit, a half away from zero, so that a credit
//! note takes back exactly what its bill put down. What was issued never changes: the database
//! refuses it.
//!
//! Pure but for `office`, `credit` and `paid`, which ask the database.

pub mod account;
pub mod credit;
mod error;
pub mod office;
pub mod paid;
pub mod prices;
pub mod tally;
pub mod texts;

pub use account::{Account, Paper};
pub use credit::{Extent, changed_since, credit};
pub use error::BillError;
pub use office::{Ask, Drafted, Signer, draft, issue};
pub use prices::{PriceList, PricesError};
pub use tally::Tally;

#[cfg(test)]
mod tests;
