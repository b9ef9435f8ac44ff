//! A bill or credit note as a page, in the language it was issued in.

use super::page::{Block, Cell, Column, Number, Page, Table};
use crate::words::{Say, Words};
use hornrule_facts::Paper;
use hornrule_facts::bill::{Bill, BillKind, Item, Money};

/// The table's name for scripts.
pub const TABLE: &str = "bill";

/// What an item is called where the price list does not say.
#[must_use]
pub fn item(words: &Words, item: Item) -> String {
    words.say(match item {
        Item::CallOut => Say::ItemCallOut,
        Item::Cow => Say::ItemCow,
        Item::CowSeen => Say::ItemCowSeen,
        Item::Block => Say::ItemBlock,
        Item::BlockOff => Say::ItemBlockOff,
        Item::Wrap => Say::ItemWrap,
    })
}

/// The bill as a page.
#[must_use]
pub fn page(bill: &Bill, words: &Words, paper: Paper) -> Page {
    let mut page = Page::new(words, paper, title(bill, words), bill.issued);
    if let BillKind::Credit { of } = &bill.kind {
        page.subtitle = Some(words.say(Say::BillOf { of: of.to_string().into() }));
    }
    if !bill.seller.is_empty() {
        page.note(words.say(Say::BillFrom));
        page.add(Block::Lines(bill.seller.clone()));
    }
    page.note(words.say(Say::BillTo));
    page.add(Block::Lines(bill.buyer.clone()));
    page.add(Block::Numbers(numbers(bill, words)));
    if !bill.why.is_empty() {
        page.para(words.say(Say::BillWhy { why: bill.why.as_str().into() }));
    }
    page.add(Block::Table(items(bill, words)));
    page.add(Block::Table(sums(bill, words)));
    let currency = bill.currency.to_string().into();
    page.note(words.say(if bill.gross_prices {
        Say::BillPricesGross { currency }
    } else {
        Say::BillPricesNet { currency }
    }));
    if !bill.note.is_empty() {
        page.para(bill.note.clone());
    }
    page
}

fn title(bill: &Bill, words: &Words) -> String {
    let Some(number) = &bill.number else { return words.say(Say::BillTitleDraft) };
    let number = number.to_string().into();
    words.say(match &bill.kind {
        BillKind::Bill { adds_to: None } => Say::BillTitle { number },
        BillKind::Bill { adds_to: Some(of) } => {
            Say::BillTitleFurther { number, of: of.to_string().into() }
        }
        BillKind::Credit { .. } => Say::BillTitleCredit { number },
    })
}

fn money(bill: &Bill, money: Money, words: &Words) -> String {
    money.shown(bill.currency, words.language())
}

fn numbers(bill: &Bill, words: &Words) -> Vec<Number> {
    let number = |say, value| Number { label: words.say(say), value, note: None };
    let credit = matches!(bill.kind, BillKind::Credit { .. });
    let (total, gross) = if credit {
        (Say::BillTotalCredit, Money(-bill.gross().0))
    } else {
        (Say::BillTotal, bill.gross())
    };
    let paid = format!("{}\u{a0}{}", money(bill, gross, words), bill.currency);
    let mut numbers = vec![number(total, paid), number(Say::BillIssued, words.date(bill.issued))];
    if let Some(due) = bill.due {
        numbers.push(number(Say::BillPayBy, words.date(due)));
    }
    numbers
}

fn items(bill: &Bill, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::BillColumnItem), 6),
        Column::number(words.say(Say::BillColumnQuantity)),
        Column::number(words.say(Say::BillColumnPrice)),
        Column::number(words.say(Say::BillColumnTax)),
        Column::number(words.say(Say::BillColumnAmount)),
    ];
    let table = Table::new(TABLE, words.say(Say::BillAbout), columns);
    let mut table = table.grouped_by(words.say(Say::BillGroup));
    for day in bill.lines.chunk_by(|a, b| a.day == b.day) {
        let Some(first) = day.first() else { continue };
        let date = words.long_date(first.day).into();
        table.section(words.say(Say::BillVisit { date }));
        for line in day {
            table.row([
                line.words.clone(),
                line.quantity.to_string(),
                money(bill, line.unit_price, words),
                format!("{}\u{a0}%", line.rate.shown(words.language())),
                money(bill, line.amount(), words),
            ]);
        }
    }
    if !bill.free.is_empty() {
        table.section(words.say(Say::BillFree));
    }
    for line in &bill.free {
        let quantity = format!("{}\u{a0}{}", line.quantity.shown(words.language()), line.unit);
        table.row([
            line.words.clone(),
            quantity.trim_end().to_owned(),
            money(bill, line.unit_price, words),
            format!("{}\u{a0}%", line.rate.shown(words.language())),
            money(bill, line.amount(), words),
        ]);
    }
    table
}

fn sums(bill: &Bill, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::BillColumnRate), 6),
        Column::number(words.say(Say::BillColumnNet)),
        Column::number(words.say(Say::BillColumnTax)),
        Column::number(words.say(Say::BillColumnGross)),
    ];
    let mut table = Table::new("sums", words.say(Say::BillAboutSums), columns);
    for tax in &bill.taxes {
        table.row([
            format!("{}\u{a0}%", tax.rate.shown(words.language())),
            money(bill, tax.net, words),
            money(bill, tax.tax, words),
            money(bill, Money(tax.net.0 + tax.tax.0), words),
        ]);
    }
    let sums = [bill.net(), bill.tax(), bill.gross()].map(|sum| money(bill, sum, words));
    table.row([Cell::Strong(words.say(Say::BillSum))].into_iter().chain(sums.map(Cell::Strong)));
    table
}
