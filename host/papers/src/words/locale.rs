//! How dates, numbers and lengths are written in a language.

use hornrule_protocol::Nanometres;

use super::Words;
use hornrule_facts::{Day, Language, LengthUnit};

/// No line breaks here.
const NO_BREAK: char = '\u{a0}';

impl Words {
    /// "3 Mar 2026", "3. März 2026".
    #[must_use]
    pub fn date(&self, day: Day) -> String {
        let date = day.date();
        // The calendar has months 1 to 12 and days 1 to 31.
        let month = self.month_short(date.month().unsigned_abs());
        match self.language {
            Language::English => format!("{} {month} {}", date.day(), date.year()),
            Language::German => format!("{}. {month} {}", date.day(), date.year()),
        }
    }

    /// "Tuesday, 3 March 2026", "Dienstag, 3. März 2026".
    #[must_use]
    pub fn long_date(&self, day: Day) -> String {
        let date = day.date();
        let weekday = self.weekday(date.weekday().to_monday_one_offset().unsigned_abs());
        let month = self.month_name(date.month().unsigned_abs());
        match self.language {
            Language::English => format!("{weekday}, {} {month} {}", date.day(), date.year()),
            Language::German => format!("{weekday}, {}. {month} {}", date.day(), date.year()),
        }
    }

    /// "Mar 2026": the month a day is in.
    #[must_use]
    pub fn month(&self, day: Day) -> String {
        let date = day.date();
        format!("{} {}", self.month_short(date.month().unsigned_abs()), date.year())
    }

    /// A number with that many decimals and the language's decimal sign.
    #[must_use]
    pub fn decimal(&self, value: f64, decimals: usize) -> String {
        let text = format!("{value:.decimals$}");
        match self.language {
            Language::English => text,
            Language::German => text.replace('.', ","),
        }
    }

    /// A share from 0 to 1 as whole per cent: "34 %".
    #[must_use]
    pub fn percent(&self, share: f64) -> String {
        format!("{:.0}{NO_BREAK}%", share * 100.0)
    }

    /// A length without its unit: millimetres with one decimal, or inches with two. Finer than that
    /// no landmark of a claw can be found.
    #[must_use]
    pub fn length(&self, length: Nanometres) -> String {
        match self.unit {
            LengthUnit::Millimetre => self.decimal(length.as_mm(), 1),
            LengthUnit::Inch => self.decimal(f64::from(length.0) / LengthUnit::NM_PER_INCH, 2),
        }
    }

    /// The same as fine as the calliper shows.
    #[must_use]
    pub fn fine_length(&self, length: Nanometres) -> String {
        match self.unit {
            LengthUnit::Millimetre => self.decimal(length.as_mm(), 2),
            LengthUnit::Inch => self.decimal(f64::from(length.0) / LengthUnit::NM_PER_INCH, 3),
        }
    }

    /// "mm" or "in".
    #[must_use]
    pub const fn unit_sign(&self) -> &'static str {
        match self.unit {
            LengthUnit::Millimetre => "mm",
            LengthUnit::Inch => "in",
        }
    }

    /// A length with its unit.
    #[must_use]
    pub fn length_with_unit(&self, length: Nanometres) -> String {
        format!("{}{NO_BREAK}{}", self.length(length), self.unit_sign())
    }
}
