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

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::texts::Texts;
use crate::toml_text::TomlText;
use hornrule_facts::Language;
use hornrule_facts::bill::money::MOST_PRICE;
use hornrule_facts::bill::{Currency, Item, Money, Rate};
use hornrule_facts::decimal::decimal;

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

type Key<'a> = &'a Spanned<std::borrow::Cow<'a, str>>;
type Value<'a> = &'a Spanned<DeValue<'a>>;

const TOP: &str = "currency, prices, series, pay-within, seller, note, [tax], [item.NAME], \
                   [line.NAME], [farm.\"NAME\".item.NAME], [farm.\"NAME\".line.NAME]";
/// Letters of a free line's name.
const MOST_NAME: usize = 30;

struct Reader<'a> {
    text: TomlText<'a>,
}

impl Reader<'_> {
    fn unknown(&self, key: Key<'_>, known: &str) -> PricesError {
        let (line, name) = (self.text.line(key), key.get_ref().to_string());
        PricesError::Name { line, name, known: known.to_owned() }
    }

    fn wrong(&self, key: Key<'_>, what: impl Into<String>) -> PricesError {
        let (line, name) = (self.text.line(key), key.get_ref().to_string());
        PricesError::Value { line, name, what: what.into() }
    }

    fn list(&self, table: &DeTable<'_>) -> Result<PriceList, PricesError> {
        let mut currency = None;
        let (mut gross, mut series, mut pay_within) = (false, "{year}".to_owned(), None);
        let (mut seller, mut note) = (Vec::new(), Texts::default());
        for (key, value) in table {
            match key.get_ref().as_ref() {
                "currency" => currency = Some(self.currency(key, value)?),
                "prices" => {
                    gross = match self.string(key, value)?.as_str() {
                        "net" => false,
                        "gross" => true,
                        _ => return Err(self.wrong(key, "\"net\" or \"gross\"")),
                    }
                }
                "series" => series = self.series(key, value)?,
                "pay-within" => pay_within = Some(self.days(key, value)?),
                "seller" => seller = self.lines(key, value)?,
                "note" => note = self.texts(key, value)?,
                "tax" | "item" | "line" | "farm" => {}
                _ => return Err(self.unknown(key, TOP)),
            }
        }
        let currency = currency.ok_or(PricesError::Missing {
            name: "currency",
            what: "write it like currency = \"EUR\"",
        })?;
        let rates = self.rates(table)?;
        let all = self.prices(table, (currency, &rates), &Prices::default())?;
        let farms = self.farms(table, (currency, &rates), &all)?;
        if all == Prices::default() && farms.is_empty() {
            return Err(PricesError::Missing {
                name: "[item.cow]",
                what: "give at least one item a price",
            });
        }
        Ok(PriceList { currency, gross, series, pay_within, seller, note, all, farms })
    }

    fn string(&self, key: Key<'_>, value: Value<'_>) -> Result<String, PricesError> {
        match value.get_ref() {
            // A line end inside a text would tear the paper's lines.
            DeValue::String(text) => {
                Ok(text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect())
            }
            _ => Err(self.wrong(key, "text in quotes")),
        }
    }

    /// One text, or a text by language.
    fn texts(&self, key: Key<'_>, value: Value<'_>) -> Result<Texts, PricesError> {
        let DeValue::Table(table) = value.get_ref() else {
            return Ok(Texts::same(self.string(key, value)?));
        };
        let mut texts = Texts::default();
        for (key, value) in table {
            let language =
                Language::from_code(key.get_ref()).ok_or_else(|| self.unknown(key, "en, de"))?;
            texts.put(language, self.string(key, value)?);
        }
        Ok(texts)
    }

    fn currency(&self, key: Key<'_>, value: Value<'_>) -> Result<Currency, PricesError> {
        Currency::from_code(&self.string(key, value)?)
            .ok_or_else(|| self.wrong(key, "a currency of ISO 4217, like \"EUR\""))
    }

    fn series(&self, key: Key<'_>, value: Value<'_>) -> Result<String, PricesError> {
        let text = self.string(key, value)?;
        let plain = text.replace("{year}", "2026");
        let fits = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '/' | '.');
        if plain.is_empty() || plain.len() > 20 || !plain.chars().all(fits) {
            return Err(self.wrong(key, "up to 20 letters, digits, and - / . ; {year} is the year"));
        }
        Ok(text)
    }

    fn days(&self, key: Key<'_>, value: Value<'_>) -> Result<u16, PricesError> {
        let days = match value.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().parse().ok(),
            _ => None,
        };
        days.filter(|days| *days <= 365).ok_or_else(|| self.wrong(key, "whole days, 0 to 365"))
    }

    fn lines(&self, key: Key<'_>, value: Value<'_>) -> Result<Vec<String>, PricesError> {
        let DeValue::Array(lines) = value.get_ref() else {
            return Err(self.wrong(key, "a list of lines, like [\"Hoof & Horn\", \"Mill Lane 4\"]"));
        };
        lines.iter().map(|line| self.string(key, line)).collect()
    }

    /// A number as it is written, with or without quotes: never through a binary fraction.
    fn number(value: Value<'_>) -> Option<String> {
        match value.get_ref() {
            DeValue::String(text) => Some(text.trim().to_owned()),
            DeValue::Integer(number) if number.radix() == 10 => Some(number.as_str().to_owned()),
            DeValue::Float(number) => Some(number.as_str().to_owned()),
            _ => None,
        }
    }

    fn table<'a>(
        &self,
        table: &'a DeTable<'a>,
        name: &str,
    ) -> Result<Option<&'a DeTable<'a>>, PricesError> {
        let Some((key, value)) = table.iter().find(|(key, _)| key.get_ref().as_ref() == name)
        else {
            return Ok(None);
        };
        match value.get_ref() {
            DeValue::Table(inner) => Ok(Some(inner)),
            _ => Err(self.wrong(key, format!("a heading, like [{name}]"))),
        }
    }

    fn rates(&self, table: &DeTable<'_>) -> Result<BTreeMap<String, Rate>, PricesError> {
        let mut rates = BTreeMap::new();
        for (key, value) in self.table(table, "tax")?.into_iter().flatten() {
            let rate = Self::number(value).and_then(|text| Rate::read(&text));
            let rate = rate.ok_or_else(|| {
                self.wrong(key, "per cent from 0 to 100 with at most two decimals")
            })?;
            rates.insert(key.get_ref().to_string(), rate);
        }
        Ok(rates)
    }

    fn farms(
        &self,
        table: &DeTable<'_>,
        of: (Currency, &BTreeMap<String, Rate>),
        all: &Prices,
    ) -> Result<BTreeMap<String, Prices>, PricesError> {
        let mut farms = BTreeMap::new();
        for (key, value) in self.table(table, "farm")?.into_iter().flatten() {
            let DeValue::Table(farm) = value.get_ref() else {
                return Err(self.wrong(key, "a heading, like [farm.\"NAME\".item.cow]"));
            };
            let known = |key: &str| key == "item" || key == "line";
            if let Some((other, _)) = farm.iter().find(|(key, _)| !known(key.get_ref())) {
                return Err(self.unknown(other, "item, line"));
            }
            farms.insert(key.get_ref().to_string(), self.prices(farm, of, all)?);
        }
        Ok(farms)
    }

    /// The prices below `item` and `line`; what one does not say is as in the list for all farms.
    fn prices(
        &self,
        table: &DeTable<'_>,
        of: (Currency, &BTreeMap<String, Rate>),
        all: &Prices,
    ) -> Result<Prices, PricesError> {
        let mut prices = Prices::default();
        for (key, value) in self.table(table, "item")?.into_iter().flatten() {
            let item = Item::from_key(key.get_ref())
                .ok_or_else(|| self.unknown(key, &Item::ALL.map(Item::key).join(", ")))?;
            let price = self.entry((key, value), of, all.items.get(&item), false)?;
            prices.items.insert(item, price);
        }
        for (key, value) in self.table(table, "line")?.into_iter().flatten() {
            let name = key.get_ref().trim().to_owned();
            if name.is_empty()
                || name.chars().count() > MOST_NAME
                || name.contains(char::is_control)
            {
                return Err(self.wrong(key, format!("a name of 1 to {MOST_NAME} letters")));
            }
            let price = self.entry((key, value), of, all.lines.get(&name), true)?;
            prices.lines.insert(name, price);
        }
        Ok(prices)
    }

    fn entry(
        &self,
        (key, value): (Key<'_>, Value<'_>),
        (currency, rates): (Currency, &BTreeMap<String, Rate>),
        usual: Option<&Price>,
        is_line: bool,
    ) -> Result<Price, PricesError> {
        let DeValue::Table(fields) = value.get_ref() else {
            let kind = if is_line { "line" } else { "item" };
            return Err(self.wrong(key, format!("a heading, like [{kind}.{}]", key.get_ref())));
        };
        let mut price = usual.map(|usual| usual.price);
        let mut rate = usual.map_or(Rate(0), |usual| usual.rate);
        let (mut text, mut unit) =
            usual.map(|usual| (usual.text.clone(), usual.unit.clone())).unwrap_or_default();
        for (field, value) in fields {
            match field.get_ref().as_ref() {
                "price" => price = Some(self.price(field, value, currency)?),
                "tax" => {
                    let name = self.string(field, value)?;
                    rate = *rates
                        .get(&name)
                        .ok_or_else(|| self.wrong(field, "a name that stands below [tax]"))?;
                }
                "text" => text = self.texts(field, value)?,
                "unit" if is_line => unit = self.texts(field, value)?,
                _ if is_line => return Err(self.unknown(field, "price, tax, text, unit")),
                _ => return Err(self.unknown(field, "price, tax, text")),
            }
        }
        let price = price.ok_or_else(|| self.wrong(key, "given a price"))?;
        Ok(Price { price, rate, text, unit })
    }

    fn price(
        &self,
        key: Key<'_>,
        value: Value<'_>,
        currency: Currency,
    ) -> Result<Money, PricesError> {
        let price = Self::number(value).and_then(|text| decimal(&text, currency.digits()));
        price.filter(|price| *price <= MOST_PRICE).map(Money).ok_or_else(|| {
            let digits = currency.digits();
            self.wrong(key, format!("a price in {currency} with at most {digits} decimals"))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
