//! Drafts, issues and credits: the only file of this room that asks the database.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_facts::bill::document::reckon;
use hornrule_facts::bill::{Bill, BillKind, BillLine, BillNumber, Currency, Item, Money, Rate};
use hornrule_facts::{AnimalId, Language, Severity, What};
use hornrule_herd::{Kinds, Span};
use hornrule_protocol::record::Done;

use super::prices::PriceList;
use super::tally::count;
use hornrule_facts::{Day, Herd, HerdId, Signed};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

/// What an item is called on a bill in a language, where the price list has no text of its own.
pub type Named<'a> = &'a dyn Fn(Language, Item) -> String;

/// What is to be billed.
#[derive(Clone, Copy, Debug)]
pub struct Ask {
    /// Of which herd.
    pub herd: HerdId,
    /// No day before this one; `None` for all.
    pub from: Option<Day>,
    /// No day after this one.
    pub until: Day,
    /// The day of issue.
    pub issued: Day,
}

/// Why there is no bill.
#[derive(Debug, thiserror::Error)]
pub enum BillError {
    /// The database.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// No such herd.
    #[error("that herd is no longer in the database; `hornrule herd list` shows all herds")]
    NoHerd,
    /// Nothing that costs anything and is not billed yet.
    #[error(
        "there is nothing to bill at {farm}: every visit in that period is billed, or nothing done \
         there has a price; see `hornrule bill list` and the price list"
    )]
    Nothing {
        /// The farm.
        farm: String,
    },
    /// Two currencies.
    #[error(
        "the price list is in {list}, the bills of {farm} are in {farms}; make a price list in \
         {farms} and name it with --prices, or `hornrule herd set --currency {list}`"
    )]
    Currency {
        /// The farm.
        farm: String,
        /// Its currency.
        farms: Currency,
        /// The list's.
        list: Currency,
    },
    /// No such bill.
    #[error("there is no bill {number}; `hornrule bill list` shows all bills")]
    NoBill {
        /// The number asked for.
        number: BillNumber,
    },
    /// A credit note is not credited itself.
    #[error("{number} belongs to bill {of}; use `hornrule bill credit {of}`")]
    NotFirst {
        /// The number asked for.
        number: BillNumber,
        /// The bill it belongs to.
        of: BillNumber,
    },
    /// Nothing differs.
    #[error("bill {number} matches the records; there is nothing to credit")]
    Same {
        /// The bill.
        number: BillNumber,
    },
}

/// A draft, and how many entries of its days are held until a person decides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drafted {
    /// The draft.
    pub bill: Bill,
    /// Held entries: what they say is not counted.
    pub held: usize,
}

/// How much of a bill is taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// What differs from the records as they are now.
    Difference,
    /// All of it.
    Whole,
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
    signed: &Signed,
) -> Result<Drafted, BillError> {
    herd.write_or_not(|rows| {
        let mut drafted = match drafted(rows, ask, prices, named)? {
            Ok(drafted) => drafted,
            Err(refused) => return Ok(Err(refused)),
        };
        keep(rows, &mut drafted.bill, &prices.series, signed)?;
        Ok(Ok(drafted))
    })
}

/// Issues what differs between a bill and the records as they are now: a credit note, or a further
/// bill where more is to be paid. What the first bill said stays.
///
/// # Errors
/// [`BillError`]; nothing is issued then.
pub fn credit(
    herd: &mut Database,
    number: &BillNumber,
    (extent, issued, why): (Extent, Day, &str),
    (prices, named): (&PriceList, Named<'_>),
    signed: &Signed,
) -> Result<Bill, BillError> {
    herd.write_or_not(|rows| {
        let chain = match chain(rows, number)? {
            Ok(chain) => chain,
            Err(refused) => return Ok(Err(refused)),
        };
        let lines = difference(rows, &chain, extent, (prices, named))?;
        if lines.is_empty() {
            return Ok(Err(BillError::Same { number: number.clone() }));
        }
        let first = &chain[0];
        let taxes = reckon(&lines, first.gross_prices);
        let mut bill = Bill { number: None, lines, taxes, issued, ..first.clone() };
        why.clone_into(&mut bill.why);
        bill.kind = if bill.gross() <= Money(0) {
            BillKind::Credit { of: number.clone() }
        } else {
            BillKind::Bill { adds_to: Some(number.clone()) }
        };
        bill.due = match bill.kind {
            BillKind::Credit { .. } => None,
            BillKind::Bill { .. } => prices.pay_within.map(|days| issued.plus(days)),
        };
        keep(rows, &mut bill, &prices.series, signed)?;
        Ok(Ok(bill))
    })
}

/// Whether the records have changed since a bill was issued: how many of its lines have changed.
///
/// # Errors
/// [`DatabaseError`].
pub fn changed_since(herd: &Database, number: &BillNumber) -> Result<usize, BillError> {
    herd.read(|rows| {
        let chain = match chain(rows, number)? {
            Ok(chain) => chain,
            Err(refused) => return Ok(Err(refused)),
        };
        Ok(Ok(lines_of(rows, &chain, Extent::Difference)?.len()))
    })?
}

fn keep(rows: &Rows<'_>, bill: &mut Bill, series: &str, signed: &Signed) -> Result<(), Fault> {
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
    let billed = rows.billed_days(ask.herd)?;
    let mut lines = Vec::new();
    let mut held = 0;
    for day in days_of(rows, ask.herd)? {
        if billed.contains(&day) || day > ask.until || ask.from.is_some_and(|from| day < from) {
            continue;
        }
        let (seen, done) = work_of(rows, ask.herd, day)?;
        for (item, quantity) in count(&seen, &done) {
            lines.extend(line(&farm, (prices, named), (day, item, quantity)));
        }
        held += held_on(rows, ask.herd, day)?;
    }
    if lines.is_empty() {
        return Ok(Err(BillError::Nothing { farm: farm.name }));
    }
    let taxes = reckon(&lines, prices.gross);
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
        note: prices.note.clone(),
        why: String::new(),
        lines,
        taxes,
    };
    Ok(Ok(Drafted { bill, held }))
}

fn line(
    farm: &Herd,
    (prices, named): (&PriceList, Named<'_>),
    (day, item, quantity): (Day, Item, i64),
) -> Option<BillLine> {
    let price = prices.price(&farm.name, item)?;
    let usual = || named(farm.settings.language, item);
    let words = price.text.clone().unwrap_or_else(usual);
    let (unit_price, rate) = (price.price, price.rate);
    Some(BillLine { day, item, words, quantity, unit_price, rate })
}

/// Days on which a herd had cows in the chute, in order.
fn days_of(rows: &Rows<'_>, herd: HerdId) -> Result<BTreeSet<Day>, Fault> {
    let days = rows.visit_days()?.into_iter().filter(|(of, ..)| *of == herd);
    Ok(days.map(|(_, day, _)| day).collect())
}

/// Who was in the chute on a day, and what was done to whom.
type Work = (BTreeSet<AnimalId>, Vec<(AnimalId, Done)>);

fn work_of(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Work, Fault> {
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

/// Entries of a day that are in no table until someone decides.
fn held_on(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<usize, Fault> {
    let remarks = rows.remarks(herd, day)?;
    Ok(remarks.iter().filter(|one| one.severity == Severity::Held).count())
}

/// A bill and all that was issued to it since.
fn chain(rows: &Rows<'_>, number: &BillNumber) -> Result<Result<Vec<Bill>, BillError>, Fault> {
    let Some(first) = rows.bill(number)? else {
        return Ok(Err(BillError::NoBill { number: number.clone() }));
    };
    if let Some(of) = first.kind.of() {
        return Ok(Err(BillError::NotFirst { number: number.clone(), of: of.clone() }));
    }
    let further = rows.bills(Some(first.herd))?;
    let further = further.into_iter().filter(|bill| bill.kind.of() == Some(number));
    Ok(Ok([first].into_iter().chain(further).collect()))
}

/// One thing of one day at one price.
type Billed = (Day, Item, Money, Rate);

/// The lines that bring a chain to what the records say now, at the prices it was billed at.
fn lines_of(rows: &Rows<'_>, chain: &[Bill], extent: Extent) -> Result<Vec<BillLine>, Fault> {
    let mut billed: BTreeMap<Billed, (i64, String)> = BTreeMap::new();
    for line in chain.iter().flat_map(|bill| &bill.lines) {
        let key = (line.day, line.item, line.unit_price, line.rate);
        billed.entry(key).or_insert_with(|| (0, line.words.clone())).0 += line.quantity;
    }
    // Taken back whole: its days are open again, for a new bill and not for this one.
    if billed.values().all(|(quantity, _)| *quantity == 0) {
        return Ok(Vec::new());
    }
    let mut now: BTreeMap<Day, BTreeMap<Item, i64>> = BTreeMap::new();
    if extent == Extent::Difference {
        for (day, ..) in billed.keys() {
            if !now.contains_key(day) {
                let (seen, done) = work_of(rows, chain[0].herd, *day)?;
                now.insert(*day, count(&seen, &done));
            }
        }
    }
    let mut lines = Vec::new();
    for ((day, item, unit_price, rate), (quantity, words)) in billed {
        // An item that stands at two prices is brought to the count at the first of them.
        let stands = now.get_mut(&day).and_then(|items| items.remove(&item)).unwrap_or(0);
        let quantity = stands - quantity;
        if quantity != 0 {
            lines.push(BillLine { day, item, words, quantity, unit_price, rate });
        }
    }
    Ok(lines)
}

/// The same, with what was not on the bill at all and has a price now.
fn difference(
    rows: &Rows<'_>,
    chain: &[Bill],
    extent: Extent,
    (prices, named): (&PriceList, Named<'_>),
) -> Result<Vec<BillLine>, Fault> {
    let mut lines = lines_of(rows, chain, extent)?;
    let first = &chain[0];
    let stands = |day: Day, item: Item| -> i64 {
        let all = chain.iter().flat_map(|bill| &bill.lines);
        all.filter(|line| line.day == day && line.item == item).map(|line| line.quantity).sum()
    };
    let whole = first.lines.iter().all(|line| stands(line.day, line.item) == 0);
    if whole || extent == Extent::Whole || prices.currency != first.currency {
        return Ok(lines);
    }
    let all = || chain.iter().flat_map(|bill| &bill.lines);
    let days: BTreeSet<Day> = all().map(|line| line.day).collect();
    let herds = rows.herds()?;
    let Some(farm) = herds.iter().find(|one| one.herd == first.herd) else { return Ok(lines) };
    for day in days {
        let (seen, done) = work_of(rows, first.herd, day)?;
        for (item, quantity) in count(&seen, &done) {
            if !all().any(|line| line.day == day && line.item == item) {
                lines.extend(line(farm, (prices, named), (day, item, quantity)));
            }
        }
    }
    lines.sort_by_key(|line| (line.day, line.item));
    Ok(lines)
}

#[cfg(test)]
mod tests;
