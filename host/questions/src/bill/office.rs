//! Drafts and issues.

use std::collections::BTreeSet;

use hornrule_facts::bill::document::reckon;
use hornrule_facts::bill::{Bill, BillKind, BillLine, Despite, FreeLine, Item, Quantity};
use hornrule_facts::{AnimalId, Language, Severity, What};
use hornrule_herd::{Kinds, Span};
use hornrule_protocol::record::Done;

use super::BillError;
use super::prices::PriceList;
use super::tally::count;
use hornrule_facts::{Day, Herd, HerdId, Signed};
use hornrule_herd::{Database, Fault, Rows};

/// What an item is called on a bill in a language, where the price list has no text of its own.
pub type Named<'a> = &'a dyn Fn(Language, Item) -> String;

/// What is to be billed.
#[derive(Clone, Debug)]
pub struct Ask {
    /// Of which herd.
    pub herd: HerdId,
    /// No day before this one; `None` for all.
    pub from: Option<Day>,
    /// No day after this one.
    pub until: Day,
    /// The day of issue.
    pub issued: Day,
    /// Lines that no record counts: what the price list calls them, and how much.
    pub free: Vec<(String, Quantity)>,
    /// Whether these are all, and no visit is meant.
    pub lines_only: bool,
}

impl Ask {
    /// One visit, billed on its day.
    #[must_use]
    pub fn visit(herd: HerdId, day: Day) -> Self {
        let (free, lines_only) = (Vec::new(), false);
        Self { herd, from: Some(day), until: day, issued: day, free, lines_only }
    }
}

/// Who issues.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signer {
    /// Who.
    pub who: String,
    /// When, UTC milliseconds.
    pub at_ms: i64,
    /// Why to issue it although entries are held; `None` where it then is not to be issued.
    pub with_held: Option<String>,
}

impl Signer {
    /// The signature of a bill with so many held entries; `None` where it is refused.
    pub(super) fn signed(&self, held: usize) -> Option<Signed> {
        let (who, at_ms) = (self.who.clone(), self.at_ms);
        let despite = match u32::try_from(held).unwrap_or(u32::MAX) {
            0 => None,
            held => Some(Despite { held, why: self.with_held.clone()? }),
        };
        Some(Signed { who, at_ms, despite })
    }
}

/// A draft, and how many entries of its days are held until a person decides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drafted {
    /// The draft.
    pub bill: Bill,
    /// Held entries: what they say is not counted.
    pub held: usize,
}

/// A bill as it would be issued now. Nothing is written.
///
/// # Errors
/// [`BillError`].
pub fn draft(
    herd: &Database,
    ask: &Ask,
    (prices, named): (&PriceList, Named<'_>),
) -> Result<Drafted, BillError> {
    herd.read(|rows| drafted(rows, ask, prices, named))?
}

/// Counts again and issues under the next number of the series: all in one transaction, so that two
/// offices neither take one number twice nor bill one day twice, and no number is left out.
///
/// # Errors
/// [`BillError`]; nothing is issued then.
pub fn issue(
    herd: &mut Database,
    ask: &Ask,
    (prices, named): (&PriceList, Named<'_>),
    signer: &Signer,
) -> Result<Drafted, BillError> {
    herd.write_or_not(|rows| {
        let mut drafted = match drafted(rows, ask, prices, named)? {
            Ok(drafted) => drafted,
            Err(refused) => return Ok(Err(refused)),
        };
        let Some(signed) = signer.signed(drafted.held) else {
            let (farm, held) = (drafted.bill.farm, drafted.held);
            return Ok(Err(BillError::Held { farm, held }));
        };
        keep(rows, &mut drafted.bill, &prices.series, &signed)?;
        Ok(Ok(drafted))
    })
}

pub(super) fn keep(
    rows: &Rows<'_>,
    bill: &mut Bill,
    series: &str,
    signed: &Signed,
) -> Result<(), Fault> {
    let series = series.replace("{year}", &bill.issued.date().year().to_string());
    bill.number = Some(rows.next_number(&series)?);
    rows.insert_bill(bill, signed)
}

fn drafted(
    rows: &Rows<'_>,
    ask: &Ask,
    prices: &PriceList,
    named: Named<'_>,
) -> Result<Result<Drafted, BillError>, Fault> {
    let herds = rows.herds()?;
    let Some(farm) = herds.into_iter().find(|one| one.herd == ask.herd) else {
        return Ok(Err(BillError::NoHerd));
    };
    if farm.settings.currency != prices.currency {
        let (farms, list) = (farm.settings.currency, prices.currency);
        return Ok(Err(BillError::Currency { farm: farm.name, farms, list }));
    }
    let free = match free_lines(&farm, prices, ask) {
        Ok(free) => free,
        Err(refused) => return Ok(Err(refused)),
    };
    let (lines, held) = match ask.lines_only {
        true => (Vec::new(), 0),
        false => visits(rows, &farm, ask, (prices, named))?,
    };
    if lines.is_empty() && (free.is_empty() || !ask.lines_only) {
        return Ok(Err(BillError::Nothing { farm: farm.name }));
    }
    let taxes = reckon(&lines, &free, prices.gross);
    let buyer = if farm.settings.address.is_empty() {
        vec![farm.name.clone()]
    } else {
        farm.settings.address
    };
    let bill = Bill {
        number: None,
        kind: BillKind::Bill { adds_to: None },
        herd: ask.herd,
        farm: farm.name,
        seller: prices.seller.clone(),
        buyer,
        issued: ask.issued,
        due: prices.pay_within.map(|days| ask.issued.plus(days)),
        language: farm.settings.language,
        currency: prices.currency,
        gross_prices: prices.gross,
        note: prices.note.of_any(farm.settings.language).unwrap_or_default().to_owned(),
        why: String::new(),
        lines,
        free,
        taxes,
    };
    Ok(Ok(Drafted { bill, held }))
}

/// The lines of all visits asked for that stand on no bill, and how many entries of them are held.
fn visits(
    rows: &Rows<'_>,
    farm: &Herd,
    ask: &Ask,
    by: (&PriceList, Named<'_>),
) -> Result<(Vec<BillLine>, usize), Fault> {
    let billed = rows.billed_days(ask.herd)?;
    let mut days = days_of(rows, ask.herd)?;
    days.retain(|day| {
        let asked = *day <= ask.until && ask.from.is_none_or(|from| from <= *day);
        asked && !billed.contains(day)
    });
    let mut lines = Vec::new();
    for day in &days {
        let (seen, done) = work_of(rows, ask.herd, *day)?;
        for (item, quantity) in count(&seen, &done) {
            lines.extend(line(farm, by, (*day, item, quantity)));
        }
    }
    Ok((lines, held_on(rows, ask.herd, &days)?))
}

fn free_lines(farm: &Herd, prices: &PriceList, ask: &Ask) -> Result<Vec<FreeLine>, BillError> {
    let language = farm.settings.language;
    let line = |(name, quantity): &(String, Quantity)| {
        let price = prices.free(&farm.name, name).ok_or_else(|| {
            let known = match prices.free_names(&farm.name) {
                names if names.is_empty() => "it has none".to_owned(),
                names => format!("it has {}", names.join(", ")),
            };
            BillError::NoLine { name: name.clone(), known }
        })?;
        Ok(FreeLine {
            item: name.clone(),
            words: price.text.of_any(language).unwrap_or(name).to_owned(),
            unit: price.unit.of_any(language).unwrap_or_default().to_owned(),
            quantity: *quantity,
            unit_price: price.price,
            rate: price.rate,
        })
    };
    ask.free.iter().map(line).collect()
}

pub(super) fn line(
    farm: &Herd,
    (prices, named): (&PriceList, Named<'_>),
    (day, item, quantity): (Day, Item, i64),
) -> Option<BillLine> {
    let price = prices.price(&farm.name, item)?;
    let language = farm.settings.language;
    let usual = || named(language, item);
    let words = price.text.of(language).map_or_else(usual, str::to_owned);
    let (unit_price, rate) = (price.price, price.rate);
    Some(BillLine { day, item, words, quantity, unit_price, rate })
}

/// Days on which a herd had cows in the chute, in order.
fn days_of(rows: &Rows<'_>, herd: HerdId) -> Result<BTreeSet<Day>, Fault> {
    let days = rows.visit_days()?.into_iter().filter(|(of, ..)| *of == herd);
    Ok(days.map(|(_, day, _)| day).collect())
}

/// Who was in the chute on a day, and what was done to whom.
pub(super) type Work = (BTreeSet<AnimalId>, Vec<(AnimalId, Done)>);

pub(super) fn work_of(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Work, Fault> {
    let (mut seen, mut work) = (BTreeSet::new(), Vec::new());
    rows.each_fact(herd, Span::day(day), Kinds::STAYS.and(Kinds::ACTIONS), |fact| {
        match (fact.animal, fact.what) {
            (Some(animal), What::Stay { .. }) => {
                seen.insert(animal);
            }
            // A sentence said twice was done once.
            (Some(animal), What::Action(done)) if !fact.doubted => work.push((animal, done)),
            _ => {}
        }
    })?;
    Ok((seen, work))
}

/// Entries of these days that are in no table until someone decides, each counted once.
pub(super) fn held_on(rows: &Rows<'_>, herd: HerdId, days: &BTreeSet<Day>) -> Result<usize, Fault> {
    let noted = rows.noted()?.into_iter().filter(|one| {
        one.severity == Severity::Held
            && one.herd == Some(herd)
            && one.day.is_some_and(|day| days.contains(&day))
    });
    Ok(noted.map(|one| one.key).collect::<BTreeSet<_>>().len())
}
