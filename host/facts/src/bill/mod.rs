//! Bills as values. How quantities are counted and prices found is the question of another room.

pub mod currency;
pub mod document;
pub mod free_line;
pub mod item;
pub mod money;
pub mod payment;

pub use currency::Currency;
pub use document::{Bill, BillKind, BillLine, BillNumber, TaxLine};
pub use free_line::{FreeLine, Quantity};
pub use item::Item;
pub use money::{Money, Rate};
pub use payment::{NotedPayment, Payment};

/// Who issued a bill, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// Who.
    pub who: String,
    /// When, UTC milliseconds.
    pub at_ms: i64,
    /// Why it was issued although entries of its visits were held; `None` where none was.
    pub despite: Option<Despite>,
}

/// Entries that were held when a bill was issued.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Despite {
    /// How many.
    pub held: u32,
    /// Why it was issued all the same.
    pub why: String,
}
