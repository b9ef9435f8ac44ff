//! From a file's tables to a price list; every mistake has its line.

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::{Price, PriceList, Prices, PricesError, Texts};
use crate::toml_text::TomlText;
use hornrule_facts::Language;
use hornrule_facts::bill::money::MOST_PRICE;
use hornrule_facts::bill::{Currency, Item, Money, Rate};
use hornrule_facts::decimal::decimal;
use hornrule_facts::text::{NOTE, is_unseen};

type Key<'a> = &'a Spanned<std::borrow::Cow<'a, str>>;
type Value<'a> = &'a Spanned<DeValue<'a>>;

const TOP: &str = "currency, prices, series, pay-within, seller, note, [tax], [item.NAME], \
                   [line.NAME], [farm.\"NAME\".item.NAME], [farm.\"NAME\".line.NAME]";
/// Letters of a free line's name.
const MOST_NAME: usize = 30;

pub(super) struct Reader<'a> {
    pub(super) text: TomlText<'a>,
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

    pub(super) fn list(&self, table: &DeTable<'_>) -> Result<PriceList, PricesError> {
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
            DeValue::String(text) if text.chars().count() > NOTE => {
                Err(self.wrong(key, format!("text of at most {NOTE} letters")))
            }
            DeValue::String(text) => {
                Ok(text.chars().map(|c| if is_unseen(c) { ' ' } else { c }).collect())
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
            if name.is_empty() || name.chars().count() > MOST_NAME || name.contains(is_unseen) {
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
