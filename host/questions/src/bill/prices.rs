//! The price list as a text file, `prices.toml`.
//!
//! ```toml
//! currency = "EUR"           # ISO 4217
//! prices = "net"             # or "gross": with tax in them
//! series = "{year}"          # of the bills' numbers; {year} is the year of issue
//! pay-within = 14            # days; left out: no day is named
//! seller = ["Hoof & Horn", "Mill Lane 4"]
//! note = "Thank you."        # or by language: note = { en = "Thank you.", de = "Danke." }
//!
//! [tax]                      # per cent
//! standard = 19
//!
//! [item.cow]                 # call-out, cow, cow-seen, block, block-off, wrap
//! price = "12.50"
//! tax = "standard"           # left out: no tax
//! text = "Cow trimmed"       # or by language; left out: the program's words
//!
//! [line.travel]              # any name: what `--line travel 34` puts on a bill
//! price = "0.55"
//! unit = "km"                # or by language; left out: by the piece
//! tax = "standard"
//! text = { en = "Travel", de = "Anfahrt" }
//!
//! [farm."Alder Brook".item.cow]
//! price = "11.00"            # what is not named is as above
//! ```
//!
//! What has no price is not billed. A name that is not known is an error, because a slip of the pen
//! would otherwise cost money and say nothing.

mod reader;

use std::collections::BTreeMap;

use toml::de::DeTable;

use super::texts::Texts;
use crate::toml_text::TomlText;
use hornrule_facts::bill::{Currency, Item, Money, Rate};
use reader::Reader;

/// Why a price list was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PricesError {
    /// Not TOML.
    #[error(
        "line {line} cannot be read: {why}; write it like `price = \"12.50\"` below `[item.cow]`"
    )]
    Text {
        /// The line.
        line: usize,
        /// What the reader says.
        why: String,
    },
    /// A name that is not known.
    #[error("line {line}: `{name}` is unknown here; known: {known}")]
    Name {
        /// The line.
        line: usize,
        /// What it says.
        name: String,
        /// What it could say.
        known: String,
    },
    /// A value that is not what its name holds.
    #[error("line {line}: `{name}` must be {what}")]
    Value {
        /// The line.
        line: usize,
        /// Which.
        name: String,
        /// What it should be.
        what: String,
    },
    /// Something without which there is no bill.
    #[error("`{name}` is missing; {what}")]
    Missing {
        /// Which.
        name: &'static str,
        /// What to write.
        what: &'static str,
    },
}

/// One price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// What one costs.
    pub price: Money,
    /// The tax rate.
    pub rate: Rate,
    /// What stands on the paper; where it is empty, the program's words.
    pub text: Texts,
    /// The unit of a free line; empty by the piece, and for what is counted.
    pub unit: Texts,
}

/// Prices by what they are of: what is counted, and the names of free lines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Prices {
    items: BTreeMap<Item, Price>,
    lines: BTreeMap<String, Price>,
}

/// A price list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceList {
    /// The currency of all prices.
    pub currency: Currency,
    /// Whether they have their tax in them.
    pub gross: bool,
    /// The series of numbers; `{year}` is the year of issue.
    pub series: String,
    /// Days to pay.
    pub pay_within: Option<u16>,
    /// Who sends the bills.
    pub seller: Vec<String>,
    /// What stands below.
    pub note: Texts,
    all: Prices,
    farms: BTreeMap<String, Prices>,
}

impl PriceList {
    /// The price of an item on a farm; `None` where it costs nothing.
    #[must_use]
    pub fn price(&self, farm: &str, item: Item) -> Option<&Price> {
        let of_farm = self.farms.get(farm).and_then(|prices| prices.items.get(&item));
        of_farm.or_else(|| self.all.items.get(&item))
    }

    /// The price of a free line on a farm; `None` where the list does not have it.
    #[must_use]
    pub fn free(&self, farm: &str, name: &str) -> Option<&Price> {
        let of_farm = self.farms.get(farm).and_then(|prices| prices.lines.get(name));
        of_farm.or_else(|| self.all.lines.get(name))
    }

    /// The names of free lines on a farm.
    #[must_use]
    pub fn free_names(&self, farm: &str) -> Vec<&str> {
        let of_farm = self.farms.get(farm).into_iter().chain([&self.all]);
        let mut names: Vec<&str> =
            of_farm.flat_map(|prices| prices.lines.keys()).map(String::as_str).collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// Reads a file's text.
    ///
    /// # Errors
    /// [`PricesError`].
    pub fn read(text: &str) -> Result<Self, PricesError> {
        let text = TomlText(text);
        let table = DeTable::parse(text.0).map_err(|error| {
            let (line, why) = text.unread(&error);
            PricesError::Text { line, why }
        })?;
        Reader { text }.list(table.get_ref())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_facts::Language;

    const LIST: &str = "currency = \"EUR\"\nseller = [\"Hoof & Horn\", \"Mill Lane 4\"]\n\
        pay-within = 14\n[tax]\nstandard = 19\nlow = 7.0\n[item.cow]\nprice = \"12.50\"\n\
        tax = \"standard\"\n[item.call-out]\nprice = 35\ntax = \"low\"\ntext = \"Journey\"\n\
        [farm.\"Alder Brook\".item.cow]\nprice = 11.5\n";

    #[test]
    fn a_farms_own_price_goes_first() {
        let list = PriceList::read(LIST).unwrap();
        let price = |farm, item| {
            list.price(farm, item).map(|one| {
                let text = one.text.of(Language::English).map(str::to_owned);
                (one.price.0, one.rate.0, text)
            })
        };
        assert_eq!(price("Birch Hill", Item::Cow), Some((1250, 1900, None)));
        assert_eq!(price("Alder Brook", Item::Cow), Some((1150, 1900, None)));
        let journey = Some((3500, 700, Some("Journey".to_owned())));
        assert_eq!(price("Alder Brook", Item::CallOut), journey);
        assert_eq!(price("Alder Brook", Item::Block), None);
        assert_eq!(
            (list.series.as_str(), list.pay_within, list.gross),
            ("{year}", Some(14), false)
        );
    }

    #[test]
    fn texts_units_and_free_lines_are_by_language_and_farm() {
        let text = format!(
            "note = {{ en = \"Thank you.\", de = \"Danke.\" }}\n{LIST}\
             [line.travel]\nprice = \"0.55\"\nunit = \"km\"\ntax = \"standard\"\n\
             text.de = \"Anfahrt\"\n[line.\"hoof ointment\"]\nprice = 9.9\n\
             [farm.\"Alder Brook\".line.travel]\nprice = \"0.40\"\n"
        );
        let list = PriceList::read(&text).unwrap();
        let free = |farm, name| list.free(farm, name).unwrap();
        assert_eq!(free("Alder Brook", "travel").price, Money(40));
        let travel = free("Birch Hill", "travel");
        assert_eq!((travel.price, travel.rate), (Money(55), Rate(1900)));
        assert_eq!(travel.unit.of(Language::German), Some("km"));
        assert_eq!(travel.text.of(Language::German), Some("Anfahrt"));
        assert_eq!(travel.text.of(Language::English), None);
        assert_eq!(travel.text.of_any(Language::English), Some("Anfahrt"));
        assert_eq!(list.free_names("Birch Hill"), ["hoof ointment", "travel"]);
        assert_eq!(list.free("Birch Hill", "hours"), None);
        assert_eq!(list.note.of_any(Language::German), Some("Danke."));
    }

    #[test]
    fn errors_name_the_line() {
        let head = "currency = \"EUR\"\n";
        let cases = [
            "",
            "currency = \"EUR\"",
            "currency = \"DEM\"\n[item.cow]\nprice = 1",
            "currency = EUR",
            "curency = \"EUR\"",
            "currency = \"EUR\"\nprices = \"brutto\"",
            "currency = \"EUR\"\nseries = \"a b\"",
            "currency = \"EUR\"\npay-within = -1",
            "currency = \"EUR\"\nseller = \"Hoof & Horn\"",
        ];
        let below = [
            "[item.cows]\nprice = 1",
            "[item.cow]\nprise = 1",
            "[item.cow]\ntext = \"x\"",
            "[item.cow]\nprice = 12.505",
            "[item.cow]\nprice = -1",
            "[item.cow]\nprice = \"12,50\"",
            "[item.cow]\nprice = 1e3",
            "[item.cow]\nprice = 1000001",
            "[item.cow]\nprice = 1\ntax = \"high\"",
            "[tax]\nstandard = 101",
            "[farm.\"A\"]\nnote = \"x\"",
            "item = 3",
            "line = 3",
            "[line.travel]\nunit = \"km\"",
            "[line.travel]\nprice = 1\nunits = \"km\"",
            "[item.cow]\nprice = 1\nunit = \"head\"",
            "[item.cow]\nprice = 1\ntext.fr = \"vache\"",
            "[line.\" \"]\nprice = 1",
        ];
        let mut told = String::new();
        let below = below.iter().map(|case| format!("{head}{case}"));
        for case in cases.iter().map(ToString::to_string).chain(below) {
            told += &format!("{case:?}\n  {}\n", PriceList::read(&case).unwrap_err());
        }
        insta::assert_snapshot!(told);
    }
}
