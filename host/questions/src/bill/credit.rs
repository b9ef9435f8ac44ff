//! What differs between a bill and the records as they are now.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_facts::Day;
use hornrule_facts::bill::document::reckon;
use hornrule_facts::bill::{
    Bill, BillKind, BillLine, BillNumber, FreeLine, Item, Money, Rate, TaxLine,
};
use hornrule_herd::{Database, Fault, Rows};

use super::BillError;
use super::office::{Named, Signer, held_on, keep, line, work_of};
use super::prices::PriceList;
use super::tally::count;

/// How much of a bill is taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// What differs from the records as they are now.
    Difference,
    /// All of it.
    Whole,
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
    signer: &Signer,
) -> Result<Bill, BillError> {
    herd.write_or_not(|rows| {
        let chain = match chain(rows, number)? {
            Ok(chain) => chain,
            Err(refused) => return Ok(Err(refused)),
        };
        let first = &chain[0];
        let lines = difference(rows, &chain, extent, (prices, named))?;
        let free = if extent == Extent::Whole { free_back(&chain) } else { Vec::new() };
        if lines.is_empty() && free.is_empty() {
            return Ok(Err(BillError::Same { number: number.clone() }));
        }
        // What is taken back whole is counted anew on the next bill, held entries and all.
        let days: BTreeSet<Day> = first.lines.iter().map(|line| line.day).collect();
        let held = match extent {
            Extent::Difference => held_on(rows, first.herd, &days)?,
            Extent::Whole => 0,
        };
        let Some(signed) = signer.signed(held) else {
            return Ok(Err(BillError::Held { farm: first.farm.clone(), held }));
        };
        let taxes = match extent {
            Extent::Whole => taxes_back(&chain),
            Extent::Difference => reckon(&lines, &free, first.gross_prices),
        };
        let mut bill = Bill { number: None, lines, free, taxes, issued, ..first.clone() };
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
        keep(rows, &mut bill, &prices.series, &signed)?;
        Ok(Ok(bill))
    })
}

/// The free lines of a bill given back, where they stand: only the whole bill takes them back.
fn free_back(chain: &[Bill]) -> Vec<FreeLine> {
    if chain[1..].iter().any(|bill| !bill.free.is_empty()) {
        return Vec::new();
    }
    chain[0].free.iter().map(FreeLine::back).collect()
}

/// Of each rate what still stands, given back: to the last cent, whatever was rounded on the way.
fn taxes_back(chain: &[Bill]) -> Vec<TaxLine> {
    let mut standing: BTreeMap<Rate, (i64, i64)> = BTreeMap::new();
    for line in chain.iter().flat_map(|bill| &bill.taxes) {
        let stands = standing.entry(line.rate).or_default();
        *stands = (stands.0 - line.net.0, stands.1 - line.tax.0);
    }
    let back = standing.into_iter().filter(|(_, stands)| *stands != (0, 0));
    back.map(|(rate, (net, tax))| TaxLine { rate, net: Money(net), tax: Money(tax) }).collect()
}

/// Whether the records have changed since a bill was issued: how many of its lines have changed.
///
/// # Errors
/// [`hornrule_herd::DatabaseError`].
pub fn changed_since(herd: &Database, number: &BillNumber) -> Result<usize, BillError> {
    herd.read(|rows| {
        let chain = match chain(rows, number)? {
            Ok(chain) => chain,
            Err(refused) => return Ok(Err(refused)),
        };
        Ok(Ok(lines_of(rows, &chain, Extent::Difference)?.len()))
    })?
}

/// A bill and all that was issued to it since.
pub(super) fn chain(
    rows: &Rows<'_>,
    number: &BillNumber,
) -> Result<Result<Vec<Bill>, BillError>, Fault> {
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
