//! A bill or credit note as values: all that stands on the paper.

use std::collections::BTreeMap;

use super::money::{Money, Rate};
use super::{Currency, FreeLine, Item};
use crate::{Day, HerdId, Language};

/// The number of an issued bill: "2026-0007".
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BillNumber {
    /// The series.
    pub series: String,
    /// Within it, from 1, without a gap.
    pub number: u32,
}

impl core::fmt::Display for BillNumber {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}-{:04}", self.series, self.number)
    }
}

impl BillNumber {
    /// From text like "2026-0007".
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let (series, number) = text.rsplit_once('-')?;
        let digits = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
        let number = digits.then(|| number.parse().ok()).flatten().filter(|number| *number > 0)?;
        (!series.is_empty()).then(|| Self { series: series.to_owned(), number })
    }
}

/// What it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BillKind {
    /// A bill; one that adds to another names it.
    Bill {
        /// The bill it adds to.
        adds_to: Option<BillNumber>,
    },
    /// A credit note.
    Credit {
        /// The bill it takes back from.
        of: BillNumber,
    },
}

impl BillKind {
    /// The bill that it belongs to, where it is not the first.
    #[must_use]
    pub const fn of(&self) -> Option<&BillNumber> {
        match self {
            Self::Bill { adds_to } => adds_to.as_ref(),
            Self::Credit { of } => Some(of),
        }
    }
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillLine {
    /// The day of the visit.
    pub day: Day,
    /// What is counted.
    pub item: Item,
    /// What stands on the paper.
    pub words: String,
    /// How many; negative where given back.
    pub quantity: i64,
    /// What one costs.
    pub unit_price: Money,
    /// The tax rate.
    pub rate: Rate,
}

impl BillLine {
    /// What all of them cost. Quantities come from counting and prices have a limit, so it fits.
    #[must_use]
    pub const fn amount(&self) -> Money {
        Money(self.quantity.saturating_mul(self.unit_price.0))
    }
}

/// The tax of one rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TaxLine {
    /// The rate.
    pub rate: Rate,
    /// What it is reckoned on.
    pub net: Money,
    /// The tax.
    pub tax: Money,
}

/// A bill or credit note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bill {
    /// Its number; `None` for a draft.
    pub number: Option<BillNumber>,
    /// What it is.
    pub kind: BillKind,
    /// The herd.
    pub herd: HerdId,
    /// The farm's name.
    pub farm: String,
    /// Who sends it, line by line.
    pub seller: Vec<String>,
    /// Whom it goes to, line by line.
    pub buyer: Vec<String>,
    /// The day of issue.
    pub issued: Day,
    /// The day by which to pay.
    pub due: Option<Day>,
    /// The language that its words are in.
    pub language: Language,
    /// The currency.
    pub currency: Currency,
    /// Whether prices have their tax in them.
    pub gross_prices: bool,
    /// What stands below.
    pub note: String,
    /// Why it was made; empty for a first bill.
    pub why: String,
    /// The lines counted from records.
    pub lines: Vec<BillLine>,
    /// The lines that no record counts.
    pub free: Vec<FreeLine>,
    /// The tax, by rate.
    pub taxes: Vec<TaxLine>,
}

impl Bill {
    /// All without tax.
    #[must_use]
    pub fn net(&self) -> Money {
        Money(self.taxes.iter().map(|line| line.net.0).sum())
    }

    /// All tax.
    #[must_use]
    pub fn tax(&self) -> Money {
        Money(self.taxes.iter().map(|line| line.tax.0).sum())
    }

    /// What is to be paid.
    #[must_use]
    pub fn gross(&self) -> Money {
        Money(self.net().0 + self.tax().0)
    }
}

/// The tax of lines: once a rate, over the sum of its lines, by rising rate.
#[must_use]
pub fn reckon(lines: &[BillLine], free: &[FreeLine], gross_prices: bool) -> Vec<TaxLine> {
    let mut sums: BTreeMap<Rate, i64> = BTreeMap::new();
    let counted = lines.iter().map(|line| (line.rate, line.amount()));
    let all = counted.chain(free.iter().map(|line| (line.rate, line.amount())));
    for (rate, amount) in all {
        *sums.entry(rate).or_default() += amount.0;
    }
    let taxes = sums.into_iter().map(|(rate, sum)| {
        if gross_prices {
            let tax = rate.in_gross(Money(sum));
            TaxLine { rate, net: Money(sum - tax.0), tax }
        } else {
            TaxLine { rate, net: Money(sum), tax: rate.on_net(Money(sum)) }
        }
    });
    taxes.collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn line(quantity: i64, price: i64, rate: u16) -> BillLine {
        BillLine {
            day: Day(20_515),
            item: Item::Cow,
            words: "cow".to_owned(),
            quantity,
            unit_price: Money(price),
            rate: Rate(rate),
        }
    }

    /// By hand: 38 cows at 12.50 are 475.00, 4 blocks at 18.00 are 72.00, the journey 35.00; 582.00
    /// at 19 % are 110.58, in all 692.58. With 3 tins at 9.99 and 7 %: 29.97, tax 2.0979, 2.10.
    #[test]
    fn a_bill_reckoned_by_hand() {
        let mut lines = vec![line(38, 1250, 1900), line(4, 1800, 1900), line(1, 3500, 1900)];
        let taxes = reckon(&lines, &[], false);
        assert_eq!(taxes, [TaxLine { rate: Rate(1900), net: Money(58_200), tax: Money(11_058) }]);
        lines.push(line(3, 999, 700));
        let taxes = reckon(&lines, &[], false);
        assert_eq!(taxes[0], TaxLine { rate: Rate(700), net: Money(2_997), tax: Money(210) });
        // Tax in the price: 3 at 9.99 are 29.97; 29.97 x 7 / 107 = 1.9607, 1.96; net 28.01.
        let taxes = reckon(&lines[3..], &[], true);
        assert_eq!(taxes, [TaxLine { rate: Rate(700), net: Money(2_801), tax: Money(196) }]);
    }

    /// Rounded once over the sum and not line by line: 10 lines of 0.05 at 10 % are 0.05 of tax;
    /// each alone would round to 0.01, in all 0.10.
    #[test]
    fn tax_is_rounded_once_a_rate() {
        let lines: Vec<BillLine> = (0..10).map(|_| line(1, 5, 1000)).collect();
        assert_eq!(reckon(&lines, &[], false)[0].tax, Money(5));
        assert_eq!(reckon(&[], &[], false), []);
    }

    #[test]
    fn numbers_are_read_back() {
        let number = BillNumber { series: "2026-A".to_owned(), number: 7 };
        assert_eq!(number.to_string(), "2026-A-0007");
        assert_eq!(BillNumber::read("2026-A-0007"), Some(number));
        for wrong in ["", "7", "-7", "2026-", "2026-0", "2026-x", "2026-+7"] {
            assert_eq!(BillNumber::read(wrong), None, "{wrong}");
        }
    }

    proptest! {
        /// Net and tax add up whatever the lines; lines given back in full leave nothing.
        #[test]
        fn a_whole_credit_note_takes_all_back(
            all in prop::collection::vec((0..500i64, 0..100_000i64, 0..4usize), 0..12),
            gross in any::<bool>(),
        ) {
            let rates = [0, 700, 1900, 770];
            let lines: Vec<BillLine> =
                all.iter().map(|(n, price, rate)| line(*n, *price, rates[*rate])).collect();
            let taxes = reckon(&lines, &[], gross);
            let sum: i64 = lines.iter().map(|line| line.amount().0).sum();
            let net: i64 = taxes.iter().map(|one| one.net.0).sum();
            let tax: i64 = taxes.iter().map(|one| one.tax.0).sum();
            prop_assert_eq!(if gross { net + tax } else { net }, sum);
            let turned = |one: &BillLine| BillLine { quantity: -one.quantity, ..one.clone() };
            let back: Vec<BillLine> = lines.iter().map(turned).collect();
            for (one, other) in taxes.iter().zip(reckon(&back, &[], gross)) {
                prop_assert_eq!((one.net.0, one.tax.0), (-other.net.0, -other.tax.0));
            }
        }
    }
}
