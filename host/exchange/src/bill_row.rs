//! A bill as values, for scripts.

use serde::Serialize;

use hornrule_facts::Language;
use hornrule_facts::Signed;
use hornrule_facts::bill::{Bill, BillKind, Money};

/// A line of a bill, for scripts. Money is text in the currency's main unit, with a decimal point.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LineRow {
    day: String,
    item: &'static str,
    words: String,
    quantity: i64,
    price: String,
    amount: String,
    tax_percent: String,
}

/// A line that no record counts. The quantity is text with a decimal point.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FreeLineRow {
    item: String,
    words: String,
    unit: String,
    quantity: String,
    price: String,
    amount: String,
    tax_percent: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TaxRow {
    tax_percent: String,
    net: String,
    tax: String,
}

/// A bill, for scripts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BillRow {
    number: Option<String>,
    kind: &'static str,
    of: Option<String>,
    farm: String,
    issued: String,
    due: Option<String>,
    currency: String,
    prices: &'static str,
    seller: Vec<String>,
    buyer: Vec<String>,
    note: String,
    why: String,
    /// Who issued it; empty for a draft.
    by: Option<String>,
    /// Entries of its visits that were held when it was issued, and why it was issued.
    held: u32,
    held_why: Option<String>,
    lines: Vec<LineRow>,
    free_lines: Vec<FreeLineRow>,
    taxes: Vec<TaxRow>,
    net: String,
    tax: String,
    gross: String,
}

impl BillRow {
    /// Of a bill.
    #[must_use]
    pub fn of(bill: &Bill) -> Self {
        let money = |money: Money| money.shown(bill.currency, Language::English);
        let lines = bill.lines.iter().map(|line| LineRow {
            day: line.day.to_string(),
            item: line.item.key(),
            words: line.words.clone(),
            quantity: line.quantity,
            price: money(line.unit_price),
            amount: money(line.amount()),
            tax_percent: line.rate.shown(Language::English),
        });
        let free = bill.free.iter().map(|line| FreeLineRow {
            item: line.item.clone(),
            words: line.words.clone(),
            unit: line.unit.clone(),
            quantity: line.quantity.shown(Language::English),
            price: money(line.unit_price),
            amount: money(line.amount()),
            tax_percent: line.rate.shown(Language::English),
        });
        let taxes = bill.taxes.iter().map(|line| TaxRow {
            tax_percent: line.rate.shown(Language::English),
            net: money(line.net),
            tax: money(line.tax),
        });
        Self {
            number: bill.number.as_ref().map(ToString::to_string),
            kind: kind(bill),
            of: bill.kind.of().map(ToString::to_string),
            farm: bill.farm.clone(),
            issued: bill.issued.to_string(),
            due: bill.due.map(|day| day.to_string()),
            currency: bill.currency.to_string(),
            prices: if bill.gross_prices { "gross" } else { "net" },
            seller: bill.seller.clone(),
            buyer: bill.buyer.clone(),
            note: bill.note.clone(),
            why: bill.why.clone(),
            by: None,
            held: 0,
            held_why: None,
            lines: lines.collect(),
            free_lines: free.collect(),
            taxes: taxes.collect(),
            net: money(bill.net()),
            tax: money(bill.tax()),
            gross: money(bill.gross()),
        }
    }
}

impl BillRow {
    /// The same with who issued it, and what was held then.
    #[must_use]
    pub fn signed(self, signed: Option<&Signed>) -> Self {
        let Some(signed) = signed else { return self };
        let despite = signed.despite.as_ref();
        let held = despite.map_or(0, |despite| despite.held);
        let held_why = despite.map(|despite| despite.why.clone());
        Self { by: Some(signed.who.clone()), held, held_why, ..self }
    }
}

/// One word.
#[must_use]
pub const fn kind(bill: &Bill) -> &'static str {
    match bill.kind {
        BillKind::Bill { .. } => "bill",
        BillKind::Credit { .. } => "credit",
    }
}
