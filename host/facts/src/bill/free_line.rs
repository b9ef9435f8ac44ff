//! A line that no record counts: travel, hours, a product.

use super::money::{Money, Rate, share};
use crate::Language;
use crate::decimal::decimal;

/// How many thousandths one unit has.
const THOUSANDTHS: i128 = 1000;
/// No line has more than this, in thousandths: with [`super::money::MOST_PRICE`] an amount then
/// fits 64 bits by far.
pub const MOST_QUANTITY: i64 = 1_000_000_000;

/// Thousandths of a unit; negative where it is given back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Quantity(pub i64);

impl Quantity {
    /// From text like "34" or "1.75"; `None` for nothing, signs, letters, more than three decimals
    /// and more than a million.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        decimal(text, 3).filter(|n| (1..=MOST_QUANTITY).contains(n)).map(Self)
    }

    /// "34", "1.75": as many decimals as it has, with the language's decimal sign.
    #[must_use]
    pub fn shown(self, language: Language) -> String {
        let (sign, all) = (if self.0 < 0 { "-" } else { "" }, self.0.unsigned_abs());
        let text = format!("{}.{:03}", all / 1000, all % 1000);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        format!("{sign}{}", super::money::signed(text, language))
    }
}

/// One such line. It belongs to the bill and not to a visit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeLine {
    /// What the price list calls it.
    pub item: String,
    /// What stands on the paper.
    pub words: String,
    /// What it is measured in; empty where it is counted by the piece.
    pub unit: String,
    /// How much.
    pub quantity: Quantity,
    /// What one unit costs.
    pub unit_price: Money,
    /// The tax rate.
    pub rate: Rate,
}

impl FreeLine {
    /// What all of it costs, rounded to the minor unit, a half away from zero.
    #[must_use]
    pub fn amount(&self) -> Money {
        share(self.unit_price, i128::from(self.quantity.0), THOUSANDTHS)
    }

    /// The same given back.
    #[must_use]
    pub fn back(&self) -> Self {
        Self { quantity: Quantity(-self.quantity.0), ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(quantity: i64, price: i64) -> FreeLine {
        FreeLine {
            item: "travel".to_owned(),
            words: "Travel".to_owned(),
            unit: "km".to_owned(),
            quantity: Quantity(quantity),
            unit_price: Money(price),
            rate: Rate(1900),
        }
    }

    /// By hand: 34 km at 0.55 are 18.70; 1.75 h at 48.00 are 84.00; 0.5 of 0.05 is 0.025, a half:
    /// 0.03; a third of a litre at 9.99 is 0.333 x 9.99 = 3.32667: 3.33.
    #[test]
    fn amounts_are_rounded_as_by_hand_and_mirror() {
        for (quantity, price, amount) in
            [(34_000, 55, 1870), (1_750, 4800, 8400), (500, 5, 3), (333, 999, 333)]
        {
            assert_eq!(line(quantity, price).amount(), Money(amount));
            assert_eq!(line(quantity, price).back().amount(), Money(-amount));
        }
    }

    #[test]
    fn quantities_are_read_and_shown() {
        for (text, thousandths) in [("34", 34_000), ("1.75", 1_750), ("0.001", 1)] {
            assert_eq!(Quantity::read(text), Some(Quantity(thousandths)));
            assert_eq!(Quantity(thousandths).shown(Language::English), text);
        }
        assert_eq!(Quantity(-1_750).shown(Language::German), "-1,75");
        for wrong in ["", "0", "0.000", "-1", "1,5", "1.2345", "1000000.001", "1e3", "34 km"] {
            assert_eq!(Quantity::read(wrong), None, "{wrong}");
        }
    }
}
