//! Money and tax rates as whole numbers.

use super::Currency;
use crate::Language;
use crate::decimal::decimal;

/// An amount in the minor unit of its currency; negative where it is given back.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money(pub i64);

/// A tax rate in hundredths of a per cent: 1900 is 19 %.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rate(pub u16);

/// No single price is more than this, in minor units: an amount then fits 64 bits by far.
pub const MOST_PRICE: i64 = 100_000_000;
/// 100 %.
const WHOLE: i128 = 10_000;

impl Rate {
    /// From text like "19" or "7.7", per cent; `None` above 100 or finer than hundredths.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let hundredths = decimal(text, 2)?;
        u16::try_from(hundredths).ok().filter(|rate| i128::from(*rate) <= WHOLE).map(Self)
    }

    /// "19", "7.7": per cent, with the language's decimal sign.
    #[must_use]
    pub fn shown(self, language: Language) -> String {
        let text = format!("{}.{:02}", self.0 / 100, self.0 % 100);
        signed(text.trim_end_matches('0').trim_end_matches('.'), language)
    }

    /// The tax on a sum to which tax is added, rounded to the minor unit, a half away from zero.
    #[must_use]
    pub fn on_net(self, net: Money) -> Money {
        share(net, i128::from(self.0), WHOLE)
    }

    /// The tax in a sum that has it in it, rounded the same way.
    #[must_use]
    pub fn in_gross(self, gross: Money) -> Money {
        share(gross, i128::from(self.0), WHOLE + i128::from(self.0))
    }
}

/// amount * part / whole, rounded half away from zero.
pub(super) fn share(amount: Money, part: i128, whole: i128) -> Money {
    let product = i128::from(amount.0) * part;
    let half = if product < 0 { -whole } else { whole };
    let rounded = (2 * product + half) / (2 * whole);
    // Shares of tax are no larger than the amount, and quantities have a limit: it fits.
    Money(i64::try_from(rounded).unwrap_or(amount.0))
}

pub(super) fn signed(text: &str, language: Language) -> String {
    match language {
        Language::English => text.to_owned(),
        Language::German => text.replace('.', ","),
    }
}

impl Money {
    /// "1234.50", "-0.05", "1234" in a currency without minor unit; the language's decimal sign.
    #[must_use]
    pub fn shown(self, currency: Currency, language: Language) -> String {
        let digits = usize::from(currency.digits());
        let sign = if self.0 < 0 { "-" } else { "" };
        let number = format!("{:0>width$}", self.0.unsigned_abs(), width = digits + 1);
        let (whole, rest) = number.split_at(number.len() - digits);
        let text = if digits == 0 { whole.to_owned() } else { format!("{whole}.{rest}") };
        format!("{sign}{}", signed(&text, language))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn currency(code: &str) -> Currency {
        Currency::from_code(code).unwrap()
    }

    #[test]
    fn amounts_are_shown_with_their_currencys_digits() {
        let shown = |amount, code, language| Money(amount).shown(currency(code), language);
        assert_eq!(shown(123_450, "EUR", Language::English), "1234.50");
        assert_eq!(shown(123_450, "EUR", Language::German), "1234,50");
        assert_eq!(shown(-5, "EUR", Language::English), "-0.05");
        assert_eq!(shown(1234, "JPY", Language::German), "1234");
        assert_eq!(shown(7, "KWD", Language::English), "0.007");
        assert_eq!(shown(0, "EUR", Language::English), "0.00");
    }

    /// Reckoned by hand. 582.00 x 19 % = 110.58; 0.50 x 7 % = 0.035, a half: 0.04; 1,005 yen x 10 %
    /// = 100.5, a half: 101; 33.333 dinars x 5 % = 1.66665: 1.667; 582.25 x 7.7 % = 44.83325:
    /// 44.83.
    #[test]
    fn tax_is_rounded_as_by_hand() {
        let on = |net, rate| Rate(rate).on_net(Money(net)).0;
        assert_eq!(on(58_200, 1900), 11_058);
        assert_eq!(on(50, 700), 4);
        assert_eq!(on(-50, 700), -4);
        assert_eq!(on(1005, 1000), 101);
        assert_eq!(on(33_333, 500), 1_667);
        assert_eq!(on(58_225, 770), 4_483);
        assert_eq!(on(49, 100), 0);
        // 119.00 with 19 % in it: 19.00; 100.00: 100 x 19 / 119 = 15.9664: 15.97.
        let within = |gross, rate| Rate(rate).in_gross(Money(gross)).0;
        assert_eq!(within(11_900, 1900), 1_900);
        assert_eq!(within(10_000, 1900), 1_597);
        assert_eq!(within(-10_000, 1900), -1_597);
        assert_eq!(within(12_345, 0), 0);
    }

    #[test]
    fn rates_are_read_exactly() {
        assert_eq!(Rate::read("19"), Some(Rate(1900)));
        assert_eq!(Rate::read("7.7"), Some(Rate(770)));
        assert_eq!(Rate::read("100"), Some(Rate(10_000)));
        for wrong in ["100.01", "-1", "7,7", "7.125", "", "%"] {
            assert_eq!(Rate::read(wrong), None, "{wrong}");
        }
        assert_eq!(Rate(770).shown(Language::German), "7,7");
        assert_eq!(Rate(1000).shown(Language::English), "10");
        assert_eq!(Rate(0).shown(Language::English), "0");
    }

    proptest! {
        /// Never further off than half a minor unit, and what is given back is what was taken.
        #[test]
        fn tax_is_the_nearest_unit_and_mirrors(
            net in -1_000_000_000_000i64..1_000_000_000_000,
            rate in 0..=10_000u16,
        ) {
            let rate = Rate(rate);
            let tax = rate.on_net(Money(net)).0;
            let off = 2 * (i128::from(tax) * 10_000 - i128::from(net) * i128::from(rate.0));
            prop_assert!(off.abs() <= 10_000);
            prop_assert_eq!(rate.on_net(Money(-net)).0, -tax);
            let within = rate.in_gross(Money(net)).0;
            let whole = 10_000 + i128::from(rate.0);
            let off = 2 * (i128::from(within) * whole - i128::from(net) * i128::from(rate.0));
            prop_assert!(off.abs() <= whole);
            prop_assert_eq!(rate.in_gross(Money(-net)).0, -within);
        }

        #[test]
        fn what_is_shown_reads_back(
            amount in 0..1_000_000_000_000i64,
            code in prop::sample::select(vec!["EUR", "JPY", "KWD", "CLF"]),
        ) {
            let currency = Currency::from_code(code).unwrap();
            let shown = Money(amount).shown(currency, Language::English);
            prop_assert_eq!(decimal(&shown, currency.digits()), Some(amount));
        }
    }
}
