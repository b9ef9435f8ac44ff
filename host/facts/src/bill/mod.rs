//! Bills as values. How quantities are counted and prices found is the question of another room.

pub mod currency;
pub mod document;
pub mod item;
pub mod money;

pub use currency::Currency;
pub use document::{Bill, BillKind, BillLine, BillNumber, TaxLine};
pub use item::Item;
pub use money::{Money, Rate};

/// Who issued a bill, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// Who.
    pub who: String,
    /// When, UTC milliseconds.
    pub at_ms: i64,
}
