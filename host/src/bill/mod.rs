//! Bills: what the records say was done, times the price list.
//!
//! Pure: values in, values out. What was issued is kept by the herd database.

pub mod currency;

pub use currency::Currency;
